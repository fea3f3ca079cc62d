"""A truck: what its owner told once, as my-truck.json holds it."""

import json
import re
from collections.abc import Mapping
from typing import Any

from calculators.engine.facts import Fault
from calculators.engine.figures import EXAMPLES, FIGURES, Figure, keys
from calculators.engine.form import typed
from calculators.engine.units import UNITLESS, digits

FORMAT, VERSION = "diesel-handover-truck", 1
LEFT_OUT = "it was left out"  # what a page does with it; the command line refuses instead
_PARTS = ("done", "interval")
_STRING = re.compile(r'"(?:[^"\\]|\\.)*"')
_DEEPEST = 100  # levels; a truck's file has four
_LONGEST = 1_000_000  # characters; a truck's file has a few thousand


def example_trucks() -> tuple[str, ...]:
    """The example trucks by name."""
    return tuple(EXAMPLES)


def example_name() -> str:
    """What the first example truck is called, whose numbers stand where nobody told another's."""
    return str(next(iter(EXAMPLES.values()))["name"])


def example_truck(name: str) -> dict[str, Any]:
    """An example truck as my-truck.json holds it: every invented fact and its record, nothing that has a source."""
    told = facts_of(EXAMPLES[name])
    recorded = any(key.startswith("done.") for key in told)
    invented = [entry for entry in FIGURES.values() if entry.invented and not entry.passing and not (entry.record and recorded)]
    facts = {key: _with_unit(entry, entry.default(row)) for entry in invented
             for row, key in keys(entry.name).items() if entry.default(row) is not None}
    return truck_of(EXAMPLES[name]["name"], facts | told)


def _with_unit(entry: Figure, value: Any) -> str:
    return typed(value) if entry.unit in UNITLESS else f"{digits(value, entry.unit)} {entry.unit}"


def is_example(truck: Mapping[str, Any]) -> bool:
    """Whether it is one of the example trucks: any other is somebody's own."""
    return any(truck.get("name") == example["name"] for example in EXAMPLES.values())


def facts_of(truck: Mapping[str, Any]) -> dict[str, Any]:
    """A truck's facts under the inputs' names: done.engine_oil.date and so on."""
    facts = {name: told for name, told in truck.get("facts", {}).items() if told is not None}
    for part in _PARTS:
        for job, row in truck.get(part, {}).items():
            facts |= {f"{part}.{job}.{what}": told for what, told in row.items() if told is not None}
    return facts


def truck_of(name: str, facts: Mapping[str, Any]) -> dict[str, Any]:
    """The other way round: a truck's file from a name and facts under the inputs' names."""
    truck: dict[str, Any] = {"format": FORMAT, "version": VERSION, "name": name, "facts": {}, "done": {}, "interval": {}}
    for key, told in facts.items():
        part, _, rest = key.partition(".")
        if rest:
            job, _, what = rest.partition(".")
            truck[part].setdefault(job, {})[what] = told
        else:
            truck["facts"][key] = told
    return truck


def read_truck(text: str) -> tuple[dict[str, Any] | None, list[Fault]]:
    """A truck from a file's text, as far as it can be read, and what could not; None if nothing could."""
    if len(text) > _LONGEST:
        return None, [Fault("my-truck.json", f"{len(text):,} characters", "give a truck’s file; this one is far too long")]
    try:
        data = loads(text)
    except ValueError:
        return None, [Fault("my-truck.json", text, "give a whole file as it was saved; this one is cut off or is not a truck’s file")]
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        named = data.get("format") if isinstance(data, dict) else data
        return None, [Fault("format", named, f'give a truck\'s file; it says "format": "{FORMAT}"')]
    faults = _version_faults(data.get("version"))
    told: dict[str, Any] = {}
    for key, fact in _told(data, faults):
        wrong = _wrong(key, fact)
        if wrong:
            faults.append(wrong)
        else:
            told[key] = _KEYS[key].kept(fact)
    return truck_of(_name(data.get("name"), faults), told), faults


def loads(text: str) -> Any:
    """JSON from outside; ValueError also where it nests so deeply that reading it would overflow the browser's stack."""
    depth = deepest = 0
    for sign in _STRING.sub("", text):
        depth += (sign in "[{") - (sign in "]}")
        deepest = max(deepest, depth)
    if deepest > _DEEPEST:
        raise ValueError("it is nested too deeply")
    return json.loads(text, parse_constant=_no_constant)


def _version_faults(version: Any) -> list[Fault]:
    if version == VERSION and version is not True:
        return []
    return [Fault("version", version, f"this guide reads version {VERSION}; what it knows was taken, the rest left out")]


def _name(name: Any, faults: list[Fault]) -> str:
    if name is None:
        return "My truck"
    if not isinstance(name, str) or not name.strip():
        faults.append(Fault("name", name, "write a name in letters"))
        return "My truck"
    return " ".join(name.split())[:80]


def _told(data: dict[str, Any], faults: list[Fault]) -> list[tuple[str, Any]]:
    """Every fact in the file under its input's name; what has the wrong shape becomes a fault."""
    found: list[tuple[str, Any]] = []
    for part in ("facts", *_PARTS):
        rows = data.get(part, {})
        if not isinstance(rows, dict):
            faults.append(Fault(part, rows, "write it as names and values in braces"))
            continue
        for name, value in rows.items():
            if part == "facts":
                found.append((name, value))
            elif isinstance(value, dict):
                found += [(f"{part}.{name}.{what}", told) for what, told in value.items()]
            else:
                faults.append(Fault(f"{part}.{name}", value, "write it as names and values in braces"))
    faults += [Fault(key, data[key], f"a truck’s file has no such field; {LEFT_OUT}")
               for key in data if key not in ("format", "version", "name", "facts", *_PARTS)]
    return [(name, value) for name, value in found if value is not None]


def _wrong(key: str, fact: Any) -> Fault | None:
    """What is wrong with one fact by itself; bounds against other facts are looked at when it is used."""
    if key not in _KEYS:
        return Fault(key, fact, f"a truck has no such fact; {LEFT_OUT}")
    if not isinstance(fact, str | int | float | bool):
        return Fault(key, fact, "write one value")
    entry = _KEYS[key]
    try:
        entry.within(entry.read(fact), {}, fact)
    except ValueError as wrong:
        return Fault(key, fact, str(wrong))
    return None


def _no_constant(name: str) -> Any:
    raise ValueError(f"{name} is no number")


_KEYS = {key: entry for entry in FIGURES.values() if entry.question and entry.name != "today" for key in keys(entry.name).values()}
