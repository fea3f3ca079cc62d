"""The owner's answers: given, else the book's, else the truck's, else derived, else the example's."""

from collections.abc import Iterable, Mapping, Sequence
from enum import Enum
from functools import cache
from types import ModuleType
from typing import Any, NamedTuple

from calculators.engine.figures import FIGURES, IS_TOLD, TABLES, Figure, Missing, asked_about, figure, keys, per_row
from calculators.engine.rules import SHARED, Book, calculator, rules

Told = Mapping[str, tuple[str, Any]]  # by input: where it is from, and what was told

ORIGINS = ("given", "book", "truck", "derived", "example")  # who wins over whom
_ASKED = "asked"  # the origin of whether something was told: no source and nobody's number
_MOST_TOLD = 10  # faults at a time


class Fault(NamedTuple):
    """One thing wrong with what was told: the field, what was given, what would do."""

    field: str
    given: Any
    do: str

    def __str__(self) -> str:
        return f"{_one_line(self.field)}: {_one_line(self.given)!r} won’t do; {self.do.rstrip('.')}."


def shortened(faults: Sequence[Fault]) -> list[Fault]:
    """Ten of them, and how many more there are: nobody reads nine thousand."""
    more = len(faults) - _MOST_TOLD
    return [*faults[:_MOST_TOLD], *([Fault("and more", f"{more:,}", f"mend these first; {more:,} more are like them")] if more > 0 else [])]


def _one_line(told: Any) -> str:
    return " ".join(str(told).split())[:60]


class Whose(Enum):
    """Whose truck it is: what is told only, and the record of services, may be the example's or not."""

    NOBODY = "no truck is told, so all is the example’s"
    EXAMPLE = "an example truck, with a record of its own"
    OWN = "somebody’s own"


class Gathered:
    """Values by need, where each input came from, which of those are the owner's, and every fault; a faulty value is left out."""

    def __init__(self, known: dict[str, Any], owners: tuple[str, ...]) -> None:
        self.known, self.owners = known, owners
        self.told: dict[str, Any] = {}
        self.origin: dict[str, str] = {}
        self.given: dict[str, Any] = {}  # the values that were given, by the name they are told under
        self.measured: frozenset[str] = frozenset()  # what the book tells: its bounds were looked at entry by entry
        self.settled: dict[str, tuple[str, ...]] = {}  # by us, once another input is told as it is: that other
        self.untold: frozenset[str] = frozenset()  # what its owner once told and is old: never the example's
        self.faults: list[Fault] = []


def plan(module: ModuleType, told: Iterable[str]) -> Book:
    """The calculator's rules, and before them the shared rules for what it needs and nobody told."""
    return _planned(module, frozenset(rules(calculator(SHARED)).keys() & told))


def that_count(facts: Mapping[str, Any], others: Mapping[str, Any]) -> dict[str, Any]:
    """A truck's facts without those that yield to another one told: a share that was measured is taken before one by heart.

    Nor those of another hitch than the one that is told beside them.
    """
    told = {*facts, *others}
    apart = of_another(facts, others)
    return {key: fact for key, fact in facts.items() if key not in apart and not ((entry := figure(key)) and entry.yields_to in told)}


def of_another(facts: Mapping[str, Any], others: Mapping[str, Any]) -> list[str]:
    """A truck's facts that go with another fact of its own, where ``others`` tell that one otherwise."""
    with_it = {key: entry.goes_with for key in facts if (entry := figure(key)) and entry.goes_with}
    return [key for key, other in with_it.items()
            if key not in others and other in facts and others.get(other) is not None and not _means(other, others[other], facts[other])]


@cache
def _planned(module: ModuleType, told: frozenset[str]) -> Book:
    book = Book({name: rule for name, rule in rules(module).items() if name not in told})
    for name, rule in reversed(rules(calculator(SHARED)).items()):
        wanted = name in book.needs and name not in told
        inputs_of_it = {n for n in rule.needs if (f := figure(n)) and f.question}
        if wanted or (rule.unit == "check" and inputs_of_it <= {*book.needs, *book}):
            book = Book({name: rule} | book)
    return book


def gather(book: Book, sources: dict[str, Mapping[str, Any]], truck: Whose, measured: frozenset[str] = frozenset(),
           untold: frozenset[str] = frozenset()) -> Gathered:
    """What the rules need, each from the first of ``sources`` (by origin) that tells it, else the example's.

    ``measured``: the inputs that a truck's book tells; ``untold``: those that are never the example's.
    """
    told: Told = {key: (origin, fact) for origin, facts in reversed(sources.items()) for key, fact in facts.items()}
    got = Gathered({n: TABLES[n] for n in book.needs if n in TABLES}, ORIGINS[:3] if truck is Whose.OWN else ORIGINS[:1])
    got.measured, got.untold = measured, untold
    for need, entry in ((n, f) for n in book.needs if n not in TABLES and (f := figure(n))):
        _read(got, need, entry, told if entry.question else {}, truck)
    for need in (need for need in book.needs if asked_about(need) != need):
        key = asked_about(need)
        told_so = _is_told(key, got, told) if need.endswith(IS_TOLD) else truck is Whose.OWN and got.origin.get(key) == "example"
        got.known[need], got.origin[need] = told_so, _ASKED
    asked = [n for n in got.known if n not in TABLES]
    for need in sorted(asked, key=_named_bounds):  # bounds that are numbers first: a value out of them binds no other
        if need in got.known:
            _bound(got, need)
    got.faults = list(dict.fromkeys(got.faults))
    return got


def _named_bounds(need: str) -> bool:
    entry = figure(need)
    return entry is not None and (isinstance(entry.low, str) or isinstance(entry.high, str))


def _read(got: Gathered, need: str, entry: Figure, told: Told, truck: Whose) -> None:
    rows: dict[str, Any] = {}
    for row, key in keys(need).items():
        origin, fact, *by = told.get(key) or _settled(entry, told) or ("example", _example(need, row, entry, truck, got.untold))
        got.origin[key], got.told[key] = origin, fact
        got.settled |= {key: tuple(by)} if by else {}
        if key in told and fact is None and not (entry.optional or entry.told_only):
            got.faults.append(Fault(key, "", "write a value, or leave it out"))
            continue
        try:
            rows[row] = _not_told(key, entry, got.untold) if fact is None else entry.read(fact) if entry.question else fact
            if origin == "given" and fact is not None:
                got.given[key] = rows[row]
        except ValueError as wrong:
            got.faults.append(Fault(key, str(fact), str(wrong)))
    if len(rows) == len(keys(need)):
        got.known[need] = rows if per_row(need) else rows[""]


def _is_told(key: str, got: Gathered, told: Told) -> bool:
    """Whether its owner told it, and otherwise than it stands in the field."""
    entry = figure(key)
    return key in told and told[key][0] in got.owners and got.known.get(key) not in (None, entry and entry.value)


def _not_told(key: str, entry: Figure, untold: frozenset[str]) -> Missing:
    return entry.untold if entry.told_only or key in untold else Missing("no record yet" if entry.record else f"{key} is not told")


def _example(need: str, row: str, entry: Figure, truck: Whose, untold: frozenset[str]) -> Any:
    """The example's value; none for what is told only, nor for what was told and is old."""
    return None if (entry.told_only and truck is Whose.OWN) or need in untold else entry.default(row or need.split("__")[-2:][0])


def _settled(entry: Figure, told: Told) -> tuple[Any, ...] | None:
    """What another told fact makes of this one: no plow weighs nothing, by the owner's own word; where a fifth wheel sits, by ours."""
    for other, means, *value in entry.settled:
        if other in told and _means(other, told[other][1], means):
            by_us = bool(value) and isinstance(value[0], str)
            return ("derived", FIGURES[value[0]].value, other) if by_us else (told[other][0], *(value or (None, other)))
    return None


def _means(other: str, fact: Any, means: str) -> bool:
    entry = FIGURES[other]
    try:
        return fact is not None and bool(entry.read(fact) == entry.read(means))
    except ValueError:
        return False  # its own fault is told where it is read


def _bound(got: Gathered, need: str) -> None:
    entry = figure(need)
    if entry is None or not entry.question:
        return
    for row, key in keys(need).items():
        if key in got.measured or {entry.low, entry.high} & got.measured:  # a record may be newer than the last reading
            continue
        try:
            if row:
                got.known[need][row] = entry.within(got.known[need][row], got.known, got.told[key])
            else:
                got.known[need] = entry.within(got.known[need], got.known, got.told[key])
        except ValueError as wrong:
            got.faults.append(Fault(key, str(got.told[key]), str(wrong)))
            got.known.pop(need)
            return
