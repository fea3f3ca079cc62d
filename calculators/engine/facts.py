"""The owner's answers: given, else the truck's, else derived, else the example's."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import ModuleType
from typing import Any

from calculators.engine.figures import TABLES, Figure, Missing, figure, keys, per_row
from calculators.engine.rules import Rule, calculator, needs, rules

_DERIVED = "week"  # the file of rules for facts that follow from others


@dataclass(frozen=True)
class Fault:
    """One thing wrong with what was told: the field, what was given, what would do."""

    field: str
    given: Any
    do: str

    def __str__(self) -> str:
        return f"{_one_line(self.field)}: {_one_line(self.given)!r} won't do; {self.do.rstrip('.')}."


def _one_line(told: Any) -> str:
    return " ".join(str(told).split())[:60]


@dataclass
class Gathered:
    """Values by need, where each input came from, and every fault; a faulty value is left out."""

    known: dict[str, Any] = field(default_factory=dict)
    told: dict[str, Any] = field(default_factory=dict)
    origin: dict[str, str] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)


def plan(module: ModuleType, told: set[str]) -> dict[str, Rule]:
    """The calculator's rules, and before them the shared rules for what it needs and nobody told."""
    book = dict(rules(module))
    for name, rule in reversed(rules(calculator(_DERIVED)).items()):
        asked = needs(book)
        wanted = name in asked and name not in told
        inputs_of_it = {n for n in rule.needs if (f := figure(n)) and f.question}
        if wanted or (rule.unit == "check" and inputs_of_it <= {*asked, *book}):
            book = {name: rule} | book
    return book


def inputs(book: dict[str, Rule]) -> dict[str, Figure]:
    """The inputs the rules ask, by need."""
    return {n: f for n in (*needs(book), *book) if (f := figure(n)) and f.question}


def gather(book: dict[str, Rule], sources: Mapping[str, Mapping[str, Any]], example_records: bool) -> Gathered:
    """What the rules need, each from the first of ``sources`` (by origin) that tells it, else the example's.

    ``example_records``: whether the example truck's service record may stand in for one not told.
    """
    got = Gathered(known={n: TABLES[n] for n in needs(book) if n in TABLES})
    for need, entry in ((n, f) for n in needs(book) if n not in TABLES and (f := figure(n))):
        _read(got, need, entry, sources, example_records)
    asked = [n for n in got.known if n not in TABLES]
    for need in sorted(asked, key=_named_bounds):  # bounds that are numbers first: a value out of them binds no other
        if need in got.known:
            _bound(got, need)
    got.faults = list(dict.fromkeys(got.faults))
    return got


def _named_bounds(need: str) -> bool:
    entry = figure(need)
    return entry is not None and (isinstance(entry.low, str) or isinstance(entry.high, str))


def _read(got: Gathered, need: str, entry: Figure, sources: Mapping[str, Mapping[str, Any]], example_records: bool) -> None:
    rows: dict[str, Any] = {}
    for row, key in keys(need).items():
        origin = next((by for by, facts in sources.items() if key in facts and entry.question), "example")
        told = sources[origin][key] if origin != "example" else _example(need, row, key, entry, sources, example_records)
        got.origin[key], got.told[key] = origin, told
        try:
            rows[row] = _not_told(key, entry) if told is None else entry.read(told) if entry.question else told
        except ValueError as wrong:
            got.faults.append(Fault(key, str(told), str(wrong)))
    if len(rows) == len(keys(need)):
        got.known[need] = rows if per_row(need) else rows[""]


def _not_told(key: str, entry: Figure) -> Missing:
    return Missing("no record yet" if entry.record else f"{key} is not told")


def _example(need: str, row: str, key: str, entry: Figure, sources: Mapping[str, Mapping[str, Any]], example_records: bool) -> Any:
    """The example's value; none where the owner told its other half, or any of that job's record."""
    told = [k for facts in sources.values() for k in facts]
    if entry.record and not (example_records and not any(k.startswith(key[:key.rindex(".") + 1]) for k in told)):
        return None
    return None if entry.unless in told else entry.default(row or need.split("__")[-2:][0])


def _bound(got: Gathered, need: str) -> None:
    entry = figure(need)
    if entry is None or not entry.question:
        return
    for row, key in keys(need).items():
        value = got.known[need][row] if row else got.known[need]
        try:
            entry.within(value, got.known)
        except ValueError as wrong:
            if got.origin[key] == "example" and entry.record:  # the example's record can't stand beside the owner's readings
                got.known[need][row] = _not_told(key, entry)
                continue
            got.faults.append(Fault(key, str(got.told[key]), str(wrong)))
            got.known.pop(need)
            return
