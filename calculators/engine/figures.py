"""Figures: every number once, with its unit, source, kind and, where a reader is asked, question and bounds."""

import json
import os
import re
import sys
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from calculators.engine import units

KINDS = {
    "standard": "", "handbook": "",  # these two name their title
    "common practice": "Common practice in the trade", "from memory": "From memory, not yet confirmed",
    "example": "Example truck Juniper, invented", "ours": "Our own choice",
}


class Missing(NamedTuple):
    """A value that can't exist or was not told, and why."""

    why: str


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
    unless: str = ""  # an input that, once told, takes the place of this one's example
    each: str = ""  # asked once for each row of this table: done_date of engine_oil is done.engine_oil.date

    def default(self, row: str) -> Any:
        """The example's value, of one row where each row has its own."""
        return self.value.get(row) if isinstance(self.value, dict) else self.value

    def read(self, told: Any) -> Any:
        """What a reader or a truck file told, as a value; ValueError says what would do."""
        text = ("yes" if told else "no") if isinstance(told, bool) else str(told).strip()
        if self.choices:
            return self._choice(text)
        match self.unit:
            case "date":
                return _date(text)
            case "yes/no":
                return _yes_or_no(text)
        value = units.quantity(text, self.unit)
        if self.whole and value != int(value):
            raise ValueError("write a whole number")
        return value

    def within(self, value: Any, known: Mapping[str, Any]) -> None:
        """ValueError where ``value`` is outside its bounds; a bound may be another figure's value."""
        if isinstance(value, Missing | str | bool):
            return
        low, high = self._bound(self.low, known), self._bound(self.high, known)
        if (low is not None and value < low) or (high is not None and value > high):
            raise ValueError(f"write a value {self._bounds_in_words(low, high)}")

    def _choice(self, text: str) -> Any:
        choice = text.replace(" ", "_")
        if choice not in self.choices:
            raise ValueError(f"write one of {', '.join(self.choices).replace('_', ' ')}")
        return choice if self.unit == "word" else float(choice)

    def _bound(self, bound: Any, known: Mapping[str, Any]) -> Any:
        found = known.get(bound) if isinstance(bound, str) else bound
        return None if isinstance(found, Missing) else found

    def _bounds_in_words(self, low: Any, high: Any) -> str:
        said = [f"{word} {bound if isinstance(bound, date) else units.written(bound, self.unit)}"
                for word, bound in (("from", low), ("up to", high)) if bound is not None]
        return " ".join(said)


def _date(text: str) -> date:
    try:
        return date.fromisoformat(text if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) else "")
    except ValueError:
        raise ValueError("write a day of the calendar as 2026-09-01") from None


def _yes_or_no(text: str) -> bool:
    if text.lower() not in ("yes", "no", "true", "false"):
        raise ValueError("write yes or no")
    return text.lower() in ("yes", "true")


def checked(name: str, entry: Mapping[str, Any]) -> Figure:
    """One entry as a Figure; ValueError names the entry and what it lacks."""
    lacks = [key for key in ("unit", "kind") if key not in entry]
    kind = entry.get("kind")
    if kind is not None and kind not in KINDS:
        raise ValueError(f"figures.toml: [{name}] has the kind {kind!r}; write one of {', '.join(KINDS)}")
    lacks += [key for key in ("title", "year") if kind in ("standard", "handbook") and key not in entry]
    lacks += ["clause"] if kind == "standard" and "clause" not in entry else []
    if not {"value", "spread"} & set(entry) and not ("question" in entry and (entry.get("optional") or entry.get("derived"))):
        lacks.append("value")
    if lacks:
        raise ValueError(f"figures.toml: [{name}] has no {' and no '.join(lacks)}")
    told: dict[str, Any] = {key: tuple(v) if isinstance(v, list) else v for key, v in entry.items() if key != "derived"}
    return Figure(name, **{"title": KINDS[entry["kind"]], **told})


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
EXAMPLES: dict[str, dict[str, Any]] = _DATA.pop("truck")
RESULTS: dict[str, str] = _DATA["labels"].pop("results")  # a result whose name alone says too little
LABELS: dict[str, str] = _DATA.pop("labels")
_TABLES = {name: (checked(name, {"value": 0, "unit": ""} | {k: v for k, v in table.items() if k != "rows"}), table["rows"])
           for name, table in _DATA.pop("table").items()}
TABLES: dict[str, Any] = {name: rows for name, (_, rows) in _TABLES.items()}
FIGURES = {name: checked(name, entry) for name, entry in _DATA.items()}


@cache
def figure(name: str) -> Figure | None:
    """The figure a need names; a double underscore in it is a dot, ``_least`` and ``_most`` are the ends of a figure’s spread."""
    if name in _TABLES:
        return _TABLES[name][0]
    head, *rest = name.split("__")
    return FIGURES.get(f"{head}_{rest[-1]}" if rest else name) or _end(name)


def _end(name: str) -> Figure | None:
    whole, _, end = name.rpartition("_")
    entry = FIGURES.get(whole)
    if entry is None or entry.spread is None or end not in ("least", "most"):
        return None
    value = min(entry.spread) if end == "least" else max(entry.spread)
    return Figure(name, entry.unit, entry.kind, value, entry.title, entry.clause, entry.year, words=entry.words)


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
