"""Figures: every number once, with its unit, source, kind and, where a reader is asked, question and bounds."""

import json
import os
import re
import sys
from collections.abc import Mapping
from datetime import date
from functools import cache
from math import inf
from pathlib import Path
from typing import Any, NamedTuple

from calculators.engine import units
from calculators.engine.mistakes import Mistake, meant
from calculators.engine.reading import Asked, read, settled, unit_typed

KINDS = {
    "standard": "", "handbook": "",  # these two name their title
    "common practice": "Common practice in the trade", "from memory": "From memory, not yet confirmed",
    "example": "Example truck Juniper, invented", "ours": "Our own choice",
}


_PER = re.compile(r"_per_(day|week|month|year)$")
IS_TOLD, IS_ASSUMED = "_is_told", "_is_assumed"
OF_ENGINES = "The exhaust filter"  # a group of what its owner seldom knows, whoever told it


class Missing(NamedTuple):
    """A value that can't exist or was not told, and why."""

    why: str


class Untold(Missing):
    """A value that only the owner can tell, and did not."""


class Figure(NamedTuple):
    """One entry of figures.toml; with a ``question`` it is an input, without one a constant."""

    name: str
    unit: str
    kind: str
    value: Any = None
    title: str = ""
    clause: str = ""
    year: int | None = None
    spread: tuple[float, float] | None = None  # least and most where sources differ
    words: str = ""
    question: str = ""
    group: str = ""
    low: Any = None  # a number, or the name of the figure that bounds it
    high: Any = None
    choices: tuple[str, ...] = ()
    optional: bool = False
    whole: bool = False
    passing: bool = False  # of one occasion, not of the truck
    record: bool = False  # what was done to the truck: a told truck takes none of it from the example
    yields_to: str = ""  # an input that, told by anybody, is taken before this one as the truck tells it
    goes_with: str = ""  # an input with which a truck tells it: of no use beside another value of that
    settled: tuple[tuple[Any, ...], ...] = ()  # [another input, told as this, makes this one that]: a number, a figure's name, or unknown
    told_only: bool = False  # an own truck's is never the example's
    tell: str = ""  # what to tell, where it is told only: "the weight on the front axle"
    maybe_none: bool = False  # another truck may well have none of it: likely from nothing to double
    likely: tuple[float, float] | None = None  # ends between which an example's value likely lies for another truck; ours
    each: str = ""  # asked once for each row of this table: done_date of engine_oil is done.engine_oil.date

    @property
    def invented(self) -> bool:
        """Whether its own value is the example truck's: no number of the trade, of a standard or of ours."""
        return bool(self.question) and self.kind == "example"

    @property
    def untold(self) -> Untold:
        """What stands for it where only its owner could tell it."""
        return Untold(f"tell {self.tell}")

    def default(self, row: str) -> Any:
        """The example's value, of one row where each row has its own."""
        return self.value.get(row) if isinstance(self.value, dict) else self.value

    def stands_by(self, origin: str) -> "Figure | None":
        """Whose value stands where nobody told one: its own, or the figure's that another choice brings in."""
        if origin == "derived":
            return next((FIGURES[value[0]] for _, _, *value in self.settled if value and isinstance(value[0], str)), None)
        return self if origin == "example" else None

    def read(self, told: Any) -> Any:
        """What a reader or a truck file told, as a value; ValueError says what would do."""
        text = ("yes" if told else "no") if isinstance(told, bool) else str(told).strip()
        if self.choices:
            return self._choice(text)
        match self.unit:
            case "date":
                return calendar_day(text)
            case "yes/no":
                return _yes_or_no(text)
        sure = isinstance(told, int | float) and not isinstance(told, bool)  # JSON's number: a point in it is a decimal point
        value = units.finite(told) if sure else read(text, self.asked)
        if self.whole and value != int(value):
            raise ValueError("write a whole number")
        return value

    def kept(self, told: Any) -> Any:
        """What can be read, as a file keeps it: a choice by its key, a number so that it can mean no other."""
        if self.choices or self.unit in ("date", "yes/no"):
            return self.read(told) if self.unit == "word" else told
        return settled(told, self.asked) if isinstance(told, str) else told

    def within(self, value: Any, known: Mapping[str, Any], told: Any = None) -> Any:
        """``value``, or the bound that a conversion made it miss by a hair; a bound may be another figure's value.

        ValueError where it is outside, in the unit that was ``told``.
        """
        if isinstance(value, Missing | str | bool):
            return value
        low, high = self._bound(self.low, known), self._bound(self.high, known)
        if isinstance(value, date):
            inside: Any = value if (low is None or low <= value) and (high is None or value <= high) else None
        else:
            inside = units.held(value, low, high)
        if inside is None:
            raise ValueError(f"write a value {self._bounds_in_words(low, high, told)}")
        return inside

    @property
    def asked(self) -> Asked:
        """What its field asks of what is typed; a bound that is another figure's value by that figure's own."""
        per = _PER.search(self.name)
        return Asked(self.unit, _least(self), _most(self), "yr" if per and per[1] == "year" else per[1] if per else "")

    def _choice(self, text: str) -> Any:
        choice = text.casefold().replace(" ", "_")
        if choice not in self.choices:
            raise ValueError(f"write one of {', '.join(self.choices).replace('_', ' ')}")
        return choice if self.unit == "word" else float(choice)

    def _bound(self, bound: Any, known: Mapping[str, Any]) -> Any:
        found = known.get(bound) if isinstance(bound, str) else bound
        return None if isinstance(found, Missing) else found

    def _bounds_in_words(self, low: Any, high: Any, told: Any) -> str:
        if self.unit == "date":
            ends = tuple("" if bound is None else str(bound) for bound in (low, high))
        else:
            unit = unit_typed(told, self.asked) if isinstance(told, str) else self.unit
            ends = units.bounds_in(unit, self.unit, low, high)
        return " ".join(f"{word} {bound}" for word, bound in zip(("from", "up to"), ends, strict=True) if bound)


def _least(entry: Figure) -> float:
    bound = FIGURES[entry.low].low if isinstance(entry.low, str) else entry.low
    return bound if isinstance(bound, int | float) else -inf


def _most(entry: Figure) -> float:
    bound = FIGURES[entry.high].high if isinstance(entry.high, str) else entry.high
    return bound if isinstance(bound, int | float) else inf


_FIELDS = {*Figure._fields, "derived"} - {"name"}


def calendar_day(text: str) -> date:
    """A day as 2026-09-01; ValueError says what would do."""
    try:
        return date.fromisoformat(text if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) else "")
    except ValueError:
        raise ValueError("write a day of the calendar as 2026-09-01") from None


def in_days(day: date, days: int) -> date:
    """That many days later, or earlier; the calendar's own end where there is no such day."""
    return date.fromordinal(min(max(day.toordinal() + days, date.min.toordinal()), date.max.toordinal()))


def _yes_or_no(text: str) -> bool:
    if text.lower() not in ("yes", "no", "true", "false"):
        raise ValueError("write yes or no")
    return text.lower() in ("yes", "true")


def checked(name: str, entry: Mapping[str, Any]) -> Figure:
    """One entry as a Figure; Mistake names the entry, and what it lacks or has wrong."""
    lacks = [key for key in ("unit", "kind") if key not in entry]
    kind = entry.get("kind")
    if kind is not None and kind not in KINDS:
        raise Mistake(f"figures.toml: [{name}] has the kind {kind!r}; write one of {', '.join(KINDS)}")
    for key in sorted(entry.keys() - _FIELDS):
        raise Mistake(f"figures.toml: [{name}] has a {key!r}, which no entry has; {meant(key, _FIELDS, 'take it out')}")
    unit = entry.get("unit")
    if unit is not None and unit not in _UNITS:
        raise Mistake(f"figures.toml: [{name}] has the unit {unit!r}, which no rule can take; "
                      f"{meant(str(unit), _UNITS, 'add its type to units.py')}")
    lacks += [key for key in ("title", "year") if kind in ("standard", "handbook") and key not in entry]
    lacks += ["tell"] if entry.get("told_only") and "tell" not in entry else []
    lacks += ["clause"] if kind == "standard" and "clause" not in entry else []
    if not {"value", "spread"} & set(entry) and not ("question" in entry and (entry.get("optional") or entry.get("derived"))):
        lacks.append("value")
    if lacks:
        raise Mistake(f"figures.toml: [{name}] has no {' and no '.join(lacks)}")
    told: dict[str, Any] = {key: tuple(v) if isinstance(v, list) else v for key, v in entry.items() if key != "derived"}
    return Figure(name, **{"title": KINDS[entry["kind"]], **told})


def _look_for_the_named(figures: Mapping[str, Figure]) -> None:
    """Mistake where an entry names a figure or a table that isn't there."""
    for entry in figures.values():
        named = [("low", entry.low), ("high", entry.high), *(("settled", told[0]) for told in entry.settled)]
        for key, name in named:
            if isinstance(name, str) and name not in figures:
                raise Mistake(f"figures.toml: [{entry.name}] has its {key} by {name!r}, which is no figure; "
                              f"{meant(name, figures, 'write the name of one')}")
        if entry.each and entry.each not in _TABLES:
            raise Mistake(f"figures.toml: [{entry.name}] is asked for each {entry.each!r}, which is no table; "
                          f"{meant(entry.each, _TABLES, 'add it')}")


def _parsed(path: Path) -> dict[str, Any]:
    """The data file; kept as JSON beside the compiled modules, since reading TOML would be most of a short answer's time."""
    if sys.dont_write_bytecode:
        return _read(path)
    stamp = f"{path.stat().st_mtime_ns}-{path.stat().st_size}"
    kept = path.parent / "__pycache__" / f"figures-{stamp}.json"
    try:
        data: dict[str, Any] = json.loads(kept.read_text("utf-8"))
    except (OSError, ValueError):
        data = _read(path)
        _keep(kept, data)
    return data


def _read(path: Path) -> dict[str, Any]:
    import tomllib  # not needed where the kept copy is there

    return tomllib.loads(path.read_text("utf-8"))


def _keep(kept: Path, data: dict[str, Any]) -> None:
    try:
        kept.parent.mkdir(exist_ok=True)
        for old in kept.parent.glob("figures-*.json"):
            old.unlink(missing_ok=True)
        beside = kept.with_suffix(f".{os.getpid()}")
        beside.write_text(json.dumps(data), "utf-8")
        beside.replace(kept)
    except OSError:  # a folder that can't be written: read the data file each time
        return


_DATA = _parsed(Path(__file__).parent.with_name("figures.toml"))
units.load(_DATA.pop("units"))
_UNITS = {*units.DECLARED, *units.UNITLESS, *units.sizes(), "text"}
EXAMPLES: dict[str, dict[str, Any]] = _DATA.pop("truck")
RESULTS: dict[str, str] = _DATA["labels"].pop("results")  # a result whose name alone says too little
WHOSE: dict[str, str] = _DATA["labels"].pop("whose")  # how a value's provenance is said
NEVER_LESS: dict[str, str] = _DATA["labels"].pop("never_less")  # than that figure is a result, whatever else it rests on
LABELS: dict[str, str] = _DATA.pop("labels")
_TABLES = {name: (checked(name, {"value": 0, "unit": ""} | {k: v for k, v in table.items() if k != "rows"}), table["rows"])
           for name, table in _DATA.pop("table").items()}
ENTRY_KINDS: dict[str, list[str]] = _DATA.pop("entry_kinds")
ENTRY = {name: checked(name, {"kind": "ours", "optional": True} | entry) for name, entry in _DATA.pop("entry").items()}
TABLES: dict[str, Any] = {name: rows for name, (_, rows) in _TABLES.items()}
FIGURES = {name: checked(name, entry) for name, entry in _DATA.items()}
_look_for_the_named(FIGURES)
ENTRY |= {name: FIGURES[name] for name in ("odometer", "engine_hours", "def_level", "fuel_in_tank")}


@cache
def figure(name: str) -> Figure | None:
    """The figure a need names; a double underscore in it is a dot.

    ``_least`` and ``_most`` are the ends of a figure’s spread, ``_is_told`` whether its owner told it, ``_is_assumed`` whether the example
    stands in for the owner who did not.
    """
    if name in _TABLES:
        return _TABLES[name][0]
    head, *rest = name.split("__")
    return FIGURES.get(f"{head}_{rest[-1]}" if rest else name) or _end(name) or _asked(name)


def figure_of(key: str) -> Figure | None:
    """The figure of an input by the name it is told under: done.engine_oil.date is done_date."""
    head, _, rest = key.partition(".")
    return figure(f"{head}_{rest.rpartition('.')[2]}" if rest else key)


def names_of_figures() -> tuple[str, ...]:
    """What a rule may need from the data file, but for the ends of spreads."""
    return (*FIGURES, *TABLES)


def _end(name: str) -> Figure | None:
    whole, _, end = name.rpartition("_")
    entry = FIGURES.get(whole)
    if entry is None or entry.spread is None or end not in ("least", "most"):
        return None
    value = min(entry.spread) if end == "least" else max(entry.spread)
    return Figure(name, entry.unit, entry.kind, value, entry.title, entry.clause, entry.year, words=entry.words)


def _asked(name: str) -> Figure | None:
    entry = FIGURES.get(asked_about(name)) if name.endswith((IS_TOLD, IS_ASSUMED)) else None
    return Figure(name, "yes/no", entry.kind) if entry else None


def asked_about(name: str) -> str:
    """The figure whose teller a need asks for; another need as it is."""
    return name.removesuffix(IS_TOLD).removesuffix(IS_ASSUMED)


@cache
def per_row(name: str) -> bool:
    """Whether a need is told anew for each row of a table."""
    return "__" not in name and name in FIGURES and bool(FIGURES[name].each)


@cache
def keys(name: str) -> dict[str, str]:
    """Input names by row: done_date is asked as done.engine_oil.date; a plain need has the one row ''."""
    if not per_row(name):
        return {"": name.replace("__", ".")}
    head, _, tail = name.partition("_")
    return {row: f"{head}.{row}.{tail}" for row in TABLES[FIGURES[name].each]}
