"""A truck: what its owner told, as my-truck.json holds it. Version 2 has a book; what version 1 held becomes one."""

import json
from collections.abc import Iterator, Mapping
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import Any

from calculators.engine.entries import Raw, content_id, merge
from calculators.engine.figures import EXAMPLES, FIGURES, Figure, keys
from calculators.engine.form import typed
from calculators.engine.units import UNITLESS, digits

FORMAT, VERSION = "diesel-handover-truck", 2
KEYS = {key: entry for entry in FIGURES.values() if entry.question and entry.name != "today" for key in keys(entry.name).values()}
_METERS = ("odometer", "engine_hours")
_READINGS = (*_METERS, "read_on", "engine_hours_read_on")  # facts of version 1; now entries


def example_trucks() -> tuple[str, ...]:
    """The example trucks by name."""
    return tuple(EXAMPLES)


def example_name() -> str:
    """What the first example truck is called, whose numbers stand where nobody told another's."""
    return str(next(iter(EXAMPLES.values()))["name"])


def example_facts() -> dict[str, Any]:
    """What the first example truck tells beside the data file's own values."""
    return dict(next(iter(EXAMPLES.values())).get("facts", {}))


def example_truck(name: str) -> dict[str, Any]:
    """An example truck as my-truck.json holds it: every invented fact, nothing that has a source; its book moves with the day."""
    told = EXAMPLES[name]
    invented = [entry for entry in FIGURES.values() if entry.invented and not entry.passing and entry.name not in _READINGS]
    facts = {key: _with_unit(entry, entry.default(row)) for entry in invented
             for row, key in keys(entry.name).items() if entry.default(row) is not None}
    return truck_of(told["name"], facts | told.get("facts", {})) | {"book": [dict(raw) for raw in _books()[name]]}


@cache
def _books() -> dict[str, list[Raw]]:
    books: dict[str, list[Raw]] = json.loads(Path(__file__).parent.with_name("books.json").read_text("utf-8"))
    return {name: merge(book) for name, book in books.items()}


def _with_unit(entry: Figure, value: Any) -> str:
    return typed(value) if entry.unit in UNITLESS else f"{digits(value, entry.unit)} {entry.unit}"


def is_example(truck: Mapping[str, Any]) -> bool:
    """Whether it is one of the example trucks, with the book that moves with the day: any other is somebody's own, of that name too."""
    named = any(truck.get("name") == example["name"] for example in EXAMPLES.values())
    book = truck.get("book")
    return named and isinstance(book, list) and any(isinstance(raw, dict) and "days_ago" in raw for raw in book)


# Facts by the inputs' names ------------------------------------------------------------------------------------------------------


def facts_of(truck: Mapping[str, Any]) -> dict[str, Any]:
    """What a truck tells under the inputs' names, as interval.engine_oil.time; readings and records are in its book."""
    return {key: told for key, told in _flat(upgraded(truck), ("facts", "interval")).items() if key in KEYS}


def _flat(truck: Mapping[str, Any], parts: tuple[str, ...]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for part in parts:
        for name, told in truck.get(part, {}).items():
            if isinstance(told, dict) and part != "facts":
                found |= {f"{part}.{name}.{what}": one for what, one in told.items() if one is not None}
            elif told is not None:
                found[name] = told
    return found


def truck_of(name: str, facts: Mapping[str, Any]) -> dict[str, Any]:
    """The other way round: a truck's file from a name and facts under the inputs' names, its readings and records as entries."""
    parts: dict[str, Any] = {"facts": {}, "interval": {}, "done": {}}
    for key, told in facts.items():
        part, _, rest = key.partition(".")
        if rest:
            job, _, what = rest.partition(".")
            parts[part].setdefault(job, {})[what] = told
        else:
            parts["facts"][key] = told
    return dict(upgraded({"format": FORMAT, "version": VERSION, "id": id_of(name), "name": name, "identity": {}, **parts}))


# Version 1 -----------------------------------------------------------------------------------------------------------------------


def upgraded(truck: Mapping[str, Any]) -> Mapping[str, Any]:
    """The truck as version 2: what version 1 held as a reading or a record becomes entries, whose ids carry the truck's name."""
    facts = truck.get("facts", {})
    version = truck.get("version")
    if is_version(version, VERSION) and "book" in truck and "done" not in truck and not any(meter in facts for meter in _METERS):
        return truck
    name = str(truck.get("name", ""))
    read = _READINGS if any(meter in facts for meter in _METERS) else ()
    rest = {key: told for key, told in truck.items() if key not in ("format", "version", "done", "facts", "interval", "book")}
    return {
        "format": FORMAT, "version": version if is_version(version, VERSION) else VERSION, "id": id_of(name), **rest,
        "facts": {fact: told for fact, told in facts.items() if fact not in read},
        "interval": truck.get("interval", {}),
        "book": merge(truck.get("book", ()), [{**raw, "id": content_id(name, raw)} for raw in _of_version_1(truck)]),
    }


def _of_version_1(truck: Mapping[str, Any]) -> Iterator[Raw]:
    """Readings and records of version 1 as entries."""
    facts = {name: told for name, told in truck.get("facts", {}).items() if told is not None}
    day = facts.get("read_on") or _day_of(truck)
    days = {"odometer": day, "engine_hours": facts.get("engine_hours_read_on") or day}
    read = {meter: facts[meter] for meter in days if meter in facts}
    for when in dict.fromkeys(days[meter] for meter in read):
        told = {meter: shown for meter, shown in read.items() if days[meter] == when}
        yield {"kind": "reading", **told, **({"date": when} if when else {})}
    for job, row in truck.get("done", {}).items():
        if done := {what: one for what, one in row.items() if one is not None}:
            yield {"kind": "job", "job": job, **done}


def _day_of(truck: Mapping[str, Any]) -> str | None:
    """The day on which a truck was saved, or its answers made; its readings are of that day, unless they say another."""
    saved = moment(truck.get("saved_at"))
    computed = truck.get("computed_on")
    return saved.date().isoformat() if saved > _NEVER else computed if isinstance(computed, str) and _is_day(computed) else None


_NEVER = datetime.min.replace(tzinfo=UTC)


def moment(told: Any) -> datetime:
    """A time as a file or a script tells it; the first of all where it tells none."""
    try:
        if isinstance(told, int | float) and not isinstance(told, bool):
            return datetime.fromtimestamp(told / 1000, UTC)
        read = datetime.fromisoformat(str(told))
        return read.replace(tzinfo=UTC) if read.tzinfo is None else read.astimezone(UTC)
    except (ValueError, OverflowError, OSError):
        return _NEVER


def _is_day(text: str) -> bool:
    try:
        return bool(date.fromisoformat(text))
    except ValueError:
        return False


def id_of(name: str) -> str:
    """A truck's id where it has none: by its name."""
    return content_id("", name)


def is_version(told: Any, least: int) -> bool:
    """Whether a version is a number, ours or a newer guide's."""
    return isinstance(told, int) and not isinstance(told, bool) and told >= least
