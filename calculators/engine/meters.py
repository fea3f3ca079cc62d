"""A truck's meters: which readings can be trusted, the pace they show, and the day on which one passed a limit."""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from itertools import groupby
from typing import Any, NamedTuple

from calculators.engine.entries import Entry
from calculators.engine.figures import FIGURES

_A_WEEK = {"odometer": "distance_per_week", "engine_hours": "engine_hours_per_week", "idle_hours": "idle_hours_per_week"}
_DAYS: float = FIGURES["days_per_week"].value
_ROOM = 2  # times the most that a week can hold: between two readings lie a day more or less than their dates say


class Reading(NamedTuple):
    """What one meter showed; ``sure`` where its day is known and after the delivery, so that it may make a pace."""

    date: date
    value: float
    id: str
    sure: bool = True


class Readings(NamedTuple):
    """One meter's readings by date that go together, where they start again, and those that fall back against the others."""

    kept: tuple[Reading, ...]
    fallen: tuple[Reading, ...]
    new_meter: Reading | None
    of_the_old: frozenset[str] = frozenset()  # the entries that read the meter before


class Pace(NamedTuple):
    """How much of a meter a week takes, and the readings at its two ends."""

    per_week: float
    first: Reading
    last: Reading


class Dated(tuple[Entry, ...]):
    """The entries that count on one day, with the readings they hold; a plain tuple for whoever looks at it."""

    today: date

    def __new__(cls, entries: Iterable[Entry], today: date) -> "Dated":
        made = super().__new__(cls, entries)
        made.today = today
        made._readings, made._once = {}, {}
        return made

    _readings: dict[str, Readings]
    _once: dict[Callable[..., Any], Any]

    def once[Made](self, make: Callable[["Dated"], Made]) -> Made:
        """What is made of these entries and of nothing else, made once however many rules ask."""
        if make not in self._once:
            self._once[make] = make(self)
        return self._once[make]  # type: ignore[no-any-return]

    def readings(self, meter: str) -> Readings:
        """One meter's readings, looked for once."""
        if meter not in self._readings:
            self._readings[meter] = _readings(self, meter, self.today)
        return self._readings[meter]

    @property
    def delivery(self) -> Entry | None:
        """The last delivery."""
        return next((entry for entry in reversed(self) if entry.kind == "delivery" and entry.date), None)


def _readings(entries: Dated, meter: str, today: date) -> Readings:
    told = [Reading(entry.date, entry.told[meter], entry.id, not entry.get("day_assumed", False)) for entry in entries
            if entry.date and meter in entry.told and not entry.get("estimated", False)]
    if entries.delivery and (delivered := entries.delivery.date):
        told = [reading for reading in told if reading.date >= delivered] or [reading._replace(sure=False) for reading in told]
    new = next((entry for entry in reversed(entries) if entry.date and entry.get("meter_new") == meter and meter in entry.told), None)
    start = Reading(new.date, new.told[meter], new.id) if new and new.date else None
    read = [start, *(reading for reading in told if on_the_new(reading, start, told))] if start else told
    kept, fallen = going_together(read, meter)
    old = frozenset(reading.id for reading in told) - {reading.id for reading in read}
    return Readings((*kept, *_undated(entries, meter, today, kept)), fallen, start, old)


def on_the_new(reading: Reading, start: Reading, told: Iterable[Reading]) -> bool:
    """Whether a reading is the new meter's: later than its first, or of that day and nearer to it than to what the old one had shown."""
    if reading.date != start.date or reading.id == start.id:
        return reading.date > start.date
    before = max((other for other in told if other.date < start.date), key=lambda other: other.date, default=None)
    return before is not None and abs(reading.value - start.value) < abs(reading.value - before.value)


def _undated(entries: Iterable[Entry], meter: str, today: date, kept: Sequence[Reading]) -> list[Reading]:
    """A reading without a day, as if read today; one that the others have reached is older than they are."""
    told = [entry for entry in entries if entry.date is None and entry.kind == "reading" and meter in entry.told]
    most = max(told, key=lambda entry: (entry.told[meter], entry.id), default=None)
    if most is None or (kept and most.told[meter] <= kept[-1].value):
        return []
    return [Reading(today, most.told[meter], most.id, sure=False)]


def going_together(told: Iterable[Reading], meter: str) -> tuple[tuple[Reading, ...], tuple[Reading, ...]]:
    """The longest run that never falls and never climbs faster than a truck can; of equals, the one that goes on from the first.

    Both at once is one order: by what the meter shows, and by what it could have shown at the fastest, less what it shows.
    """
    most_a_week = FIGURES[_A_WEEK[meter]].high * _ROOM
    at = {reading.id: (reading.value, fastest - reading.value, reading) for reading, fastest in _fastest(told, most_a_week)}
    tails: list[float] = []
    last: list[str] = []
    before: dict[str, str | None] = {}
    for own, (_, behind, _) in sorted(at.items(), key=lambda item: item[1][:2]):
        place = bisect_right(tails, behind)
        before[own] = last[place - 1] if place else None
        tails[place:place + 1], last[place:place + 1] = [behind], [own]
    run: list[Reading] = []
    own_before = last[-1] if last else None
    while own_before is not None:
        run.append(at[own_before][2])
        own_before = before[own_before]
    kept = {reading.id for reading in run}
    return tuple(reversed(run)), tuple(reading for _, _, reading in at.values() if reading.id not in kept)


def _fastest(told: Iterable[Reading], most_a_week: float) -> list[tuple[Reading, float]]:
    """Each reading with what the meter could have gained by then; those of one day spread over it, the least first."""
    found = []
    for day, same in groupby(sorted(told, key=lambda reading: (reading.date, reading.value)), key=lambda reading: reading.date):
        rows = list(same)
        found += [(row, (day.toordinal() + (place + 1) / (len(rows) + 1)) * most_a_week / _DAYS) for place, row in enumerate(rows)]
    return found


def pace(readings: Readings) -> Pace | None:
    """What is usual: straight through the first and the last of the sure readings that lie near enough, and far enough apart."""
    sure = [reading for reading in readings.kept if reading.sure]
    if not sure:
        return None
    last = sure[-1]
    first = next(reading for reading in sure if (last.date - reading.date).days <= FIGURES["pace_days_back"].value)
    days = (last.date - first.date).days
    return Pace((last.value - first.value) * _DAYS / days, first, last) if days >= FIGURES["pace_days_apart"].value else None


def passed(line: Sequence[tuple[date, float]], limit: float) -> tuple[date, float] | None:
    """The day on which the straight lines between readings pass a limit, and how far into that day; None while they don't."""
    before: tuple[date, float] | None = None
    for day, value in line:
        if value > limit:
            if before is None:
                return day, 0
            span = (day - before[0]).days
            return before[0], span * (limit - before[1]) / (value - before[1])
        before = day, value
    return None


def at(line: Sequence[tuple[date, float]], day: date, per_week: float) -> float:
    """What a meter showed on a day: straight between its readings, at the week's pace before the first and after the last."""
    later = next((place for place, (read_on, _) in enumerate(line) if read_on >= day), len(line))
    if 0 < later < len(line):
        (start, low), (end, high) = line[later - 1], line[later]
        return low + (high - low) * (day - start).days / (end - start).days
    read_on, value = line[min(later, len(line) - 1)]
    return value + (day - read_on).days * per_week / _DAYS
