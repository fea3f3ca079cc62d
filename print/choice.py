"""Which sheets there are, in which packs they go, and which of them a truck needs: `sheets/_sheets.toml` says."""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, NamedTuple

import calculators
from calculators.engine.mistakes import Mistake, meant
from print import wording

ALL, HANDOVER = "all", "handover"


class NoSuchSheet(LookupError):
    """Nobody wrote a sheet of this name."""


class Asked(NamedTuple):
    """What was asked for: names of sheets, and what files that hold just these are called beside their truck."""

    names: tuple[str, ...]
    behind: str  # nothing for the pack that goes with the keys
    whole: bool  # by name: none is left out, whatever the truck has


def names() -> tuple[str, ...]:
    """The sheets there are, in the order of a handover."""
    return tuple(_table()["sheets"])


def groups() -> dict[str, Any]:
    """The groups of sheets on the page of sheets, with their words and the names in each."""
    return {key: {**told, "sheets": [name for name, each in _table()["sheets"].items() if each["group"] == key]}
            for key, told in _table()["groups"].items()}


def packs() -> dict[str, dict[str, str]]:
    """The packs there are, and their words."""
    return dict(_table()["packs"])


def in_pack(pack: str) -> tuple[str, ...]:
    """The sheets of a pack; those of a fleet belong to no truck's."""
    return tuple(name for name, each in _table()["sheets"].items() if pack in each["packs"] or (pack == ALL and each["group"] != "fleet"))


def of_a_fleet() -> tuple[str, ...]:
    """The sheets that show all trucks of a fleet."""
    return tuple(name for name, each in _table()["sheets"].items() if each["group"] == "fleet")


def asked(told: str) -> Asked:
    """What `--sheets` or a row's cell says: sheets and packs by name, with commas between; NoSuchSheet names what is neither."""
    parts = [part.strip().casefold().replace(" ", "-") for part in told.split(",") if part.strip()]
    found: list[str] = []
    for part in parts:
        if part not in packs() and part not in names():
            raise NoSuchSheet(f"there is no sheet or pack {part!r}; packs: {', '.join(packs())}; sheets: {', '.join(names())}")
        found += in_pack(part) if part in packs() else [part]
    chosen = tuple(dict.fromkeys(found))
    one_pack = len(parts) == 1 and parts[0] in packs()
    behind = (parts[0] if len(parts) == 1 else f"{chosen[0]}-and-{len(chosen) - 1}-more") if chosen else ""
    return Asked(chosen, "" if behind == HANDOVER else behind, not one_pack or parts[0] == ALL)


def of_truck(what: Asked, truck: Mapping[str, Any] | None) -> tuple[str, ...]:
    """The sheets of what was asked that a truck needs."""
    return tuple(name for name in what.names if what.whole or needed(name, truck))


def needed(name: str, truck: Mapping[str, Any] | None) -> bool:
    """Whether a truck does or has what a sheet is for, as far as it is told."""
    need = _table()["sheets"][name].get("when", "")
    return not need or has(need, truck)


def has(need: str, truck: Mapping[str, Any] | None) -> bool:
    """Whether a truck plows, pulls a trailer and so on: as it was told, else by a weight that says so."""
    facts = (truck or {}).get("facts", {})
    said = _table()["needs"][need]
    told = [_read(fact, facts[fact]) for fact in said.get("facts", ()) if fact in facts]
    if told:
        return any(each is True or each == said.get("is") for each in told)
    return any((_read(weight, facts[weight]) or 0) > 0 for weight in said.get("weights", ()) if weight in facts)


def _read(fact: str, told: Any) -> Any:
    entry = calculators.figure(fact)
    try:
        return entry.read(told) if entry else str(told).casefold() == "yes"
    except ValueError:
        return None


@cache
def _table() -> dict[str, Any]:
    """The whole table, sheets by name."""
    told = wording.read("_sheets")
    for each in told["sheet"]:
        look_over(each, told)
    return {**told, "sheets": {each["name"]: each for each in told["sheet"]}}


def look_over(row: Mapping[str, Any], table: Mapping[str, Any]) -> None:
    """Mistake names the first thing that a row of the table has wrong."""
    name = row.get("name", "a row without a name")
    if lacks := [key for key in ("name", "group", "packs") if key not in row]:
        raise Mistake(f"print/sheets/_sheets.toml: {name} has no {' and no '.join(lacks)}")
    named = [("group", row["group"], table["groups"]), *(("packs", pack, table["packs"]) for pack in row["packs"]),
             *([("when", row["when"], table["needs"])] if "when" in row else [])]
    for key, told, known_ones in named:
        if told not in known_ones:
            raise Mistake(f"print/sheets/_sheets.toml: {name} has {key} {told!r}, which is none; "
                          f"{meant(told, known_ones, 'write one of ' + ', '.join(known_ones))}")
    if not (wording.SHEETS / f"{name}.toml").exists():
        raise Mistake(f"print/sheets/_sheets.toml names {name}, but there is no print/sheets/{name}.toml")


def known(chosen: Iterable[str]) -> None:
    """Refuse by name what is no sheet."""
    for name in chosen:
        if name not in names():
            raise NoSuchSheet(f"there is no sheet {name!r}; there are {', '.join(names())}")
