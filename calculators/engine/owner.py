"""What a truck tells on a day: its facts, and what its book makes of the inputs; read once a truck and day."""

import marshal
from collections.abc import Mapping
from datetime import date
from functools import cache, lru_cache
from math import inf
from types import ModuleType
from typing import Any, NamedTuple

from calculators.engine.book import Dated, Entry, Learned, Opened, opened, read_entries
from calculators.engine.entries import READ_ON
from calculators.engine.facts import Whose
from calculators.engine.figures import EXAMPLES, FIGURES, TABLES, calendar_day, figure_of, in_days
from calculators.engine.levels import LEVEL_READ_ON, Level, levels
from calculators.engine.measured import MEASURED, RECORDS, carried, measured
from calculators.engine.rules import calculator, followed
from calculators.engine.truck import example_truck, facts_of, is_example, upgraded
from calculators.engine.units import UNITLESS, digits

PACES = ("distance_per_week", "engine_hours_per_week", "idle_hours_per_week")
_TRUCKS = 8  # remembered at a time, each on one day


class Owner(NamedTuple):
    """A truck on a day; without one told, the example whose numbers stand in."""

    facts: Mapping[str, Any]
    book: Opened
    whose: Whose
    levels: Mapping[str, Level]  # what an own truck's gauges showed

    def learned(self, module: ModuleType, given: Mapping[str, Any]) -> dict[str, Learned]:
        """What the book tells a calculator's inputs, beside what is given; an example's tells only what is asked about records."""
        if not (self.whose is Whose.OWN or getattr(module, "EXAMPLE_BOOK", False)):
            return {}
        told = self.book.learned if self.whose is not Whose.NOBODY else _records_beside(given, self.book.learned)
        passed = {pace for pace in PACES if follows_from(pace) & given.keys()}
        passed |= {READ_ON[meter] for meter in READ_ON if meter in given or self.reads_today(meter)}  # as unless another day is told
        passed |= set(MEASURED if module is calculator(RECORDS) or self.whose is not Whose.OWN else ())  # what was told is its guess
        return {key: one for key, one in {**told, **self._levels_read()}.items() if key not in passed | _read_now(given)}

    def facts_beside(self, given: Mapping[str, Any]) -> dict[str, Any]:
        """What was told, beside what is given: a level that is old, or that an entry tells, is not among it."""
        passed = {gauge for gauge, level in self.levels.items() if level.entry} | self.untold
        days = {LEVEL_READ_ON[gauge]: level.day.isoformat() for gauge, level in self.levels.items() if level.day}
        left_out = passed | {LEVEL_READ_ON[gauge] for gauge in passed} | _read_now(given)
        return {key: told for key, told in {**self.facts, **days}.items() if key not in left_out}

    @property
    def untold(self) -> frozenset[str]:
        """The gauges of which nothing is known any more: in place of what was told no example's value stands."""
        return frozenset(gauge for gauge, level in self.levels.items() if level.is_old(self.today))

    @property
    def today(self) -> date:
        """The day on which it is looked at."""
        return self.book.entries.today

    def on(self, day: date) -> "Owner":
        """The same truck on a later day, while its book stands."""
        return self._replace(book=self.book._replace(entries=Dated(self.book.entries, day)))

    def _levels_read(self) -> dict[str, Learned]:
        """The levels that entries tell, and their days."""
        found: dict[str, Learned] = {}
        for gauge, level in self.levels.items():
            if level.entry and gauge not in self.untold:
                ids = (level.entry,)
                found |= {gauge: Learned(level.told, ids), LEVEL_READ_ON[gauge]: Learned(level.day or self.today, ids)}
        return found

    def entries_beside(self, given: Mapping[str, Any]) -> Dated:
        """The entries that count, and a reading that is given; without a truck none of the example's beside what is given of them."""
        entries, today = self.book.entries, self.book.entries.today
        if self.whose is Whose.EXAMPLE or not any(key in READ_ON or key.startswith("done.") for key in given):
            return entries
        read = {meter: value for meter in READ_ON if (value := _number(meter, given.get(meter))) < inf}
        return Dated([*(entries if self.whose is Whose.OWN else []), *([Entry("given", today, "reading", read)] if read else [])], today)

    def read_today(self, given: Mapping[str, Any]) -> dict[str, tuple[str, str]]:
        """The days of meters that are given without them: each with today, and the meter by which that is so."""
        today = self.book.entries.today.isoformat()
        return {day: (today, meter) for meter, day in READ_ON.items() if meter in given and day not in given}

    def reads_today(self, meter: str) -> bool:
        """Whether an example truck's meter was read on the day of the answer."""
        one = self.book.learned.get(READ_ON[meter])
        return self.whose is not Whose.OWN and one is not None and one.value == self.today


def _read_now(given: Mapping[str, Any]) -> set[str]:
    """Days that no longer hold: what is given is as of today unless another day is."""
    return {LEVEL_READ_ON[gauge] for gauge in LEVEL_READ_ON if gauge in given}


def _records_beside(given: Mapping[str, Any], learned: Mapping[str, Learned]) -> dict[str, Learned]:
    """Without a truck the example's jobs alone; none whose record is given in part, or is ahead of a given reading."""
    given_jobs = {key.split(".")[1] for key in given if key.startswith("done.")}
    shown = {meter: _number(meter, given.get(meter)) for meter in READ_ON}
    ahead = {job for job in TABLES["job"] for meter in READ_ON
             if (one := learned.get(f"done.{job}.{meter}")) and one.value > shown[meter]}
    return {key: one for key, one in learned.items() if key.startswith("done.") and key.split(".")[1] not in given_jobs | ahead}


@cache
def follows_from(pace: str) -> frozenset[str]:
    """What a pace follows from where no book tells it; where any of that is given, the given wins."""
    book = followed(calculator("week"), pace)
    return frozenset({*book, *book.needs} - {pace})


def _number(name: str, told: Any) -> float:
    try:
        return float(FIGURES[name].read(told))
    except ValueError:
        return inf  # not given; or its own fault is told where it is read


def owner(truck: Mapping[str, Any] | None, given: Mapping[str, Any], today: str) -> Owner:
    """The truck as it is on the day that is given, else ``today``."""
    day = _day(given["today"] if given.get("today") else today)
    if truck is None:
        return _example(day)
    try:
        return _read(marshal.dumps(dict(truck), 2), day)  # as bytes: a truck is a dict that anybody may change meanwhile
    except ValueError:  # it holds what no file can
        return _owner(truck, day)


def _day(told: Any) -> date:
    """A day that can't be read is told as a fault where it is asked."""
    try:
        return calendar_day(str(told).strip())
    except ValueError:
        return date.max


@lru_cache(maxsize=_TRUCKS)
def _example(day: date) -> Owner:
    return _owner(example_truck(next(iter(EXAMPLES))), day)._replace(facts={}, whose=Whose.NOBODY)


@lru_cache(maxsize=_TRUCKS)
def _read(truck: bytes, day: date) -> Owner:
    return _owner(marshal.loads(truck), day)


def _owner(truck: Mapping[str, Any], day: date) -> Owner:
    entries, _ = read_entries(upgraded(truck)["book"])
    facts, book = facts_of(truck), opened(entries, day)
    if is_example(truck):  # what its book measures is asked by nothing but the records themselves
        return Owner(facts, book, Whose.EXAMPLE, {})
    learned = {**book.learned, **carried(truck), **measured(book.entries, facts)}
    return Owner(facts, book._replace(learned=learned), Whose.OWN, levels(truck, facts, book.entries))


def stands_until(truck: Mapping[str, Any], today: date) -> date:
    """The day on which a truck's book tells something else than ``today``: that of its first entry ahead; the next, where it moves."""
    book = upgraded(truck)["book"]
    if any("days_ago" in raw or (raw.get("kind") == "reading" and not raw.get("date")) for raw in book):
        return in_days(today, 1)
    days = (entry.date for entry in read_entries(book)[0] if entry.date and entry.date > today)
    return min(days, default=date.max)


def fields_of(truck: Mapping[str, Any], today: str) -> dict[str, str]:
    """What a truck tells on a day, as text under its fields' names: facts, intervals, the last readings and jobs."""
    learned = owner(truck, {}, today).book.learned
    last = {key: _text(key, one) for key, one in learned.items() if key.startswith("done.") or key in (*READ_ON, *READ_ON.values())}
    return {key: str(told) for key, told in facts_of(truck).items()} | last


def _text(key: str, one: Learned) -> str:
    entry = figure_of(key)
    return str(one.value) if entry is None or entry.unit in UNITLESS else f"{digits(one.value, entry.unit)} {entry.unit}"
