"""A truck's file: taken as far as it can be read, every other thing named, and what only a newer guide knows kept as it is."""

import json
import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from calculators.engine.book import counted_back
from calculators.engine.entries import Raw, content_id, merge, read_entries, read_entry
from calculators.engine.facts import Fault
from calculators.engine.figures import Figure
from calculators.engine.levels import dated
from calculators.engine.truck import FORMAT, KEYS, VERSION, id_of, is_version, upgraded

IDENTITY = ("unit", "vin", "plate", "driver", "location", "make", "model_year", "tire_size", "owner",
            "call_service", "call_tow", "call_boss")
UNUSED = "it was kept, but nothing here uses it"  # what a page does with it; the command line refuses instead
_KNOWN = ("format", "version", "id", "saved_at", "site_version", "name", "identity", "facts", "interval", "done", "book")
_STRING = re.compile(r'"(?:[^"\\]|\\.)*"')
_NO_LETTER = re.compile("[\ud800-\udfff\x00-\x08\x0e-\x1f\x7f]")  # halves of letters, and what no paper, file or calendar can hold
_DEEPEST = 100  # levels; a truck's file has four
_LINE = 200  # letters of a line about who the truck is: more does not fit the head of a sheet
_LONGEST = 5_000_000  # characters; a book of two thousand entries has 400,000


def read_truck(text: str, today: date | None = None) -> tuple[dict[str, Any] | None, list[Fault]]:
    """A truck from a file's text, as far as it can be read, and what could not; None if nothing could.

    ``today`` makes it its owner's own on that day: a reading or a level that nobody dated is dated, and an example's entries stop moving.
    """
    if len(text) > _LONGEST:
        return None, [Fault("my-truck.json", f"{len(text):,} characters", "give a truck’s file; this one is far too long")]
    try:
        data = loads(text.removeprefix("\ufeff"))
    except ValueError:
        return None, [Fault("my-truck.json", text, "give a whole file as it was saved; this one is cut off or is not a truck’s file")]
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        named = data.get("format") if isinstance(data, dict) else data
        return None, [Fault("format", named, f'give a truck\'s file; it says "format": "{FORMAT}"')]
    truck, faults = _truck(data)
    return (own_on(truck, today) if today else truck), faults


def _truck(data: dict[str, Any]) -> tuple[dict[str, Any], list[Fault]]:
    faults = _version_faults(data.get("version"))
    name = _name(data.get("name"), faults)
    told = {part: _told(part, data.get(part, {}), faults) for part in ("facts", "interval", "done")}
    book = _entries(data.get("book", []), faults)
    own = data["id"].strip() if isinstance(data.get("id"), str) and data["id"].strip() else id_of(name)
    rest = {key: value for key, value in data.items() if key not in _KNOWN and _is_harmless(key, faults)}
    kept = {key: data[key] for key in ("saved_at", "site_version") if isinstance(data.get(key), str | int | float)}
    identity = _identity(data.get("identity", {}), faults)
    truck = dict(upgraded({"version": data.get("version"), "id": own, **kept, "name": name, "identity": identity, **told,
                           "book": merge(book, truck=name), **rest}))
    faults += read_entries(truck["book"])[1]
    return truck, faults


def loads(text: str) -> Any:
    """JSON from outside; ValueError also where it nests so deeply that reading it would overflow the browser's stack."""
    depth = deepest = 0
    for sign in _STRING.sub("", text):
        depth += (sign in "[{") - (sign in "]}")
        deepest = max(deepest, depth)
    if deepest > _DEEPEST:
        raise ValueError("it is nested too deeply")
    return json.loads(text, parse_constant=_no_constant)


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


def _version_faults(version: Any) -> list[Fault]:
    if is_version(version, 1) and version <= VERSION:
        return []
    if is_version(version, 1):
        return [Fault("version", version, f"this guide knows versions 1 to {VERSION}: open the file with the newer guide that wrote it")]
    return [Fault("version", "" if version is None else version, f'say which the file is: write "version": {VERSION}')]


def _name(name: Any, faults: list[Fault]) -> str:
    if name is None:
        return "My truck"
    if not isinstance(name, str) or not (line := _line(name)):
        faults.append(Fault("name", name, "write a name in letters"))
        return "My truck"
    return line[:80]


def _line(text: str) -> str:
    """One line of whole letters."""
    return " ".join(_NO_LETTER.sub("", text).split())


def _identity(told: Any, faults: list[Fault]) -> dict[str, Any]:
    """Who the truck is, each in a line; what a newer guide knows more is kept."""
    if not isinstance(told, dict):
        faults.append(Fault("identity", told, "write it as names and values in braces"))
        return {}
    found: dict[str, Any] = {}
    for key, value in told.items():
        if key not in IDENTITY:
            found |= {key: value} if _is_harmless(key, faults) else {}
        elif isinstance(value, str | int | float) and not isinstance(value, bool):
            found[key] = (line := _line(str(value)))[:_LINE]
            if len(line) > _LINE:
                faults.append(Fault(f"identity.{key}", value, f"write it in at most {_LINE} letters"))
        elif value is not None:
            faults.append(Fault(f"identity.{key}", value, "write it in letters"))
    return found


def _told(part: str, rows: Any, faults: list[Fault]) -> dict[str, Any]:
    """A part of the file: what won't do is left out and named, what only a newer guide knows is named and kept."""
    if not isinstance(rows, dict):
        faults.append(Fault(part, rows, "write it as names and values in braces"))
        return {}
    if part == "facts":
        return _good(rows, "", faults)
    found = {}
    for name, row in rows.items():
        if isinstance(row, dict):
            found[name] = _good(row, f"{part}.{name}.", faults)
        else:
            faults.append(Fault(f"{part}.{name}", row, "write it as names and values in braces"))
    return {name: row for name, row in found.items() if row and _is_harmless(name, faults)}


def _good(rows: Mapping[str, Any], before: str, faults: list[Fault]) -> dict[str, Any]:
    found = {}
    for name, told in rows.items():
        entry = KEYS.get(before + name)
        if told is None or not _is_harmless(name, faults):
            continue
        if entry is None:
            faults.append(Fault(before + name, told, f"a truck has no such fact; {UNUSED}"))
            found[name] = told
        elif wrong := _wrong(entry, told):
            faults.append(Fault(before + name, told, wrong))
        else:
            found[name] = entry.kept(told)
    return found


def _wrong(entry: Figure, fact: Any) -> str:
    """What is wrong with one fact by itself; bounds against other facts are looked at when it is used."""
    if not isinstance(fact, str | int | float | bool):
        return "write one value"
    try:
        entry.within(entry.read(fact), {})
    except ValueError as wrong:
        return str(wrong)
    return ""


def _entries(book: Any, faults: list[Fault]) -> list[Raw]:
    if not isinstance(book, list):
        faults.append(Fault("book", book, "write it as a list of entries in brackets"))
        return []
    faults += [Fault("book", raw, "write each entry as names and values in braces") for raw in book if not isinstance(raw, dict)]
    return [raw for raw in book if isinstance(raw, dict)]


def _is_harmless(key: str, faults: list[Fault]) -> bool:
    """No script may take a name for a part of its own machinery."""
    if key == "__proto__":
        faults.append(Fault(key, key, "take it out of the file: no guide writes it"))
    return key != "__proto__"


def own_on(truck: Mapping[str, Any], today: date) -> dict[str, Any]:
    """The truck as its owner's own from this day on: nothing in its book moves any more with the day on which it is read."""
    name, book = str(truck["name"]), [_dated(raw, today) for raw in truck["book"]]
    corrected = {raw.get("replaces") for raw in book}
    undated = [raw for raw in book if raw.get("kind") == "reading" and "date" not in raw and raw["id"] not in corrected]
    first = [{**raw, "date": f"{today}", "day_assumed": True, "replaces": raw["id"], "written": f"{today}T00:00:00Z"} for raw in undated]
    return {**truck, "facts": dated(truck, today), "book": merge(book, [{**raw, "id": content_id(name, raw)} for raw in first])}


def _dated(raw: Raw, today: date) -> Raw:
    """An example's entry on its day; one of an owner as it is."""
    entry, _ = read_entry(raw)
    if entry.date or "days_ago" not in entry.told:
        return raw
    return {**{key: told for key, told in raw.items() if key != "days_ago"}, "date": str(counted_back(entry, today).date)}
