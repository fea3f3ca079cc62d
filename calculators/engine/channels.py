"""What the entries of a book measure: the fuel of each tank, DEF between fills, miles between burns, water between drains."""

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import inf
from statistics import median
from typing import NamedTuple

from calculators.engine.entries import METERS, Entry
from calculators.engine.figures import Missing
from calculators.engine.meters import Dated, Reading, going_together, on_the_new
from calculators.engine.rules import Inner

_HOURS_A_DAY = 24


class Shown(NamedTuple):
    """What a meter showed at an entry; ``part`` counts how often that meter was replaced before."""

    part: int
    value: float


class LeftOut(NamedTuple):
    """An entry that was not counted, and why."""

    date: date
    why: str
    entry: str


class Tank(NamedTuple):
    """From one full tank to the next: the fuel it took, the miles, and the idle hours where meters at both ends tell them."""

    entry: str
    since: date
    date: date
    distance: float
    idle_hours: float | None
    fuel: float
    hard: bool
    cost: float | None
    entries: tuple[str, ...]

    @property
    def causes(self) -> tuple[float, float]:
        """What its fuel follows from, where its idle hours are known: miles and hours."""
        assert self.idle_hours is not None, "only a tank that is clocked is asked"
        return self.distance, self.idle_hours

    @property
    def is_clocked(self) -> bool:
        """Whether its idle hours are known."""
        return self.idle_hours is not None

    @property
    def is_priced(self) -> bool:
        """Whether what it cost is known."""
        return self.cost is not None


@dataclass(frozen=True)
class Meters(Inner):
    """The readings that go together, by meter and entry."""

    odometer: Mapping[str, Shown]
    engine_hours: Mapping[str, Shown]
    idle_hours: Mapping[str, Shown]


@dataclass(frozen=True)
class FullTanks(Inner):
    """Every tank that can be measured, the fills that can't be counted, and whether the next full one will end another."""

    tanks: tuple[Tank, ...]
    left_out: tuple[LeftOut, ...]
    started: bool


class Span(NamedTuple):
    """What was added or found at an entry, against what was used or driven since the one before."""

    entry: str
    since: date
    date: date
    base: float
    amount: float
    times: float = 1.0  # how many it is the average of


def meters(entries: Sequence[Entry]) -> Meters:
    """All three meters."""
    return entries.once(_meters) if isinstance(entries, Dated) else _meters(entries)


def _meters(entries: Sequence[Entry]) -> Meters:
    return Meters(*(readings(entries, meter) for meter in METERS))


def readings(entries: Iterable[Entry], meter: str) -> dict[str, Shown]:
    """A meter's readings by entry: no guesses, nothing undated, and none that does not go with those around it."""
    told = {entry.id: Reading(_day(entry), entry.told[meter], entry.id) for entry in _dated(entries)
            if meter in entry.told and not entry.get("estimated")}
    new = {entry.date: entry.id for entry in _dated(entries) if entry.get("meter_new") == meter}

    def side(entry: Entry) -> int:  # of the day on which it was replaced: the old one's readings, the new one's first, its others
        own, start = told.get(entry.id), told.get(new.get(entry.date, ""))
        return 1 if entry.id in new.values() else 2 if own and start and on_the_new(own, start, told.values()) else 0

    parts: list[list[Reading]] = [[]]
    for entry in sorted(_dated(entries), key=lambda each: (_day(each), side(each))):
        if entry.get("meter_new") == meter:
            parts.append([])
        if entry.id in told:
            parts[-1].append(told[entry.id])
    return {reading.id: Shown(number, reading.value) for number, part in enumerate(parts) for reading in going_together(part, meter)[0]}


def full_tanks(entries: Sequence[Entry], read: Meters, average_speed: float | Missing) -> FullTanks:
    """From full to full; ``average_speed`` takes the driving off engine hours where no meter tells the idling."""
    found, left_out = list[Tank](), list[LeftOut]()
    start: Entry | None = None
    taken: list[Entry] = []
    for entry in sorted((e for e in _dated(entries) if e.kind == "fuel"), key=lambda e: (_day(e), _place(read.odometer, e))):
        at = read.odometer.get(entry.id)
        taken.append(entry)
        if why := _breaks(entry, start, read.odometer):
            start = None
        why = why or _without_reading(entry, at)
        if why:
            left_out.append(LeftOut(_day(entry), why, entry.id))
        if start is not None and at and _is_full(entry) and at.value > read.odometer[start.id].value:
            found.append(_tank(start, taken, read, average_speed))
            start, taken = entry, []
        elif start is None:
            start, taken = (entry if at and _is_full(entry) and entry.get("fuel") else None), []
    return FullTanks(tuple(found), tuple(left_out), start is not None)


def _place(meter: Mapping[str, Shown], entry: Entry) -> tuple[float, float]:
    return meter.get(entry.id) or (inf, 0.0)


def _is_full(entry: Entry) -> bool:
    return bool(entry.get("full", True))


def _breaks(entry: Entry, start: Entry | None, odometer: Mapping[str, Shown]) -> str:
    """Why no tank can end or go on at a fill."""
    at = odometer.get(entry.id)
    if not entry.get("fuel"):
        return "how many gallons? None stand here"
    if start is None:
        return ""
    if entry.get("missed"):
        return "a fill before it is not in the book"
    if at and at.part != odometer[start.id].part:
        return "the odometer was replaced"
    return ""


def _without_reading(entry: Entry, at: Shown | None) -> str:
    """Why a full tank ends nothing: its gallons count to the next one that does."""
    if at or not _is_full(entry):
        return ""
    if entry.get("odometer") is None or entry.get("estimated"):
        return "no odometer was read"
    return "its odometer does not fit the entries around it"


def _tank(start: Entry, taken: Sequence[Entry], read: Meters, average_speed: float | Missing) -> Tank:
    end = taken[-1]
    prices = [entry.get("price") for entry in taken]
    distance = read.odometer[end.id].value - read.odometer[start.id].value
    return Tank(
        end.id, _day(start), _day(end), distance, _idle_hours(start, end, distance, read, average_speed),
        sum(entry.get("fuel") for entry in taken), any(entry.get("hard") for entry in taken),
        None if None in prices else sum(price * entry.get("fuel") for price, entry in zip(prices, taken, strict=True)),
        tuple(entry.id for entry in taken),
    )  # fmt: skip


def _idle_hours(start: Entry, end: Entry, distance: float, read: Meters, average_speed: float | Missing) -> float | None:
    """By the idle meter; else the engine's hours less those of driving. What no clock allows is not known."""
    most = ((_day(end) - _day(start)).days + 1) * _HOURS_A_DAY
    idling = _between(read.idle_hours, start, end)
    if idling is not None and idling <= most:
        return idling
    running = _between(read.engine_hours, start, end)
    if running is None or running > most or isinstance(average_speed, Missing):
        return None
    return running - distance / average_speed


def _between(meter: Mapping[str, Shown], start: Entry, end: Entry) -> float | None:
    first, last = meter.get(start.id), meter.get(end.id)
    return last.value - first.value if first and last and first.part == last.part else None


class Burned(Inner):
    """The fuel burned up to an entry: straight between full tanks by the odometer, else by the day; gaps and ends at the average."""

    def __init__(self, odometer: Mapping[str, Shown], found: Sequence[Tank]) -> None:
        self.is_known = bool(found)
        self._odometer = odometer
        if not found:
            return
        self._by_mile = sum(tank.fuel for tank in found) / sum(tank.distance for tank in found)
        self._miles, self._days, self._fuel = list[Shown](), list[int](), list[float]()
        for tank in found:
            end = self._odometer[tank.entry]
            start = Shown(end.part, end.value - tank.distance)
            if not self._miles or self._miles[-1] != start:
                self._knot(start, tank.since, self._from(len(self._miles) - 1, start))
            self._knot(end, tank.date, self._fuel[-1] + tank.fuel)
        self._by_day = self._fuel[-1] / max(self._days[-1] - self._days[0], 1)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Burned) and vars(self) == vars(other)

    def upto(self, entry: Entry) -> float:
        """Gallons burned from the first full tank to a dated entry; below zero before it."""
        if at := self._odometer.get(entry.id):
            place = bisect_right(self._miles, at) - 1
            low, high = self._miles[max(place, 0)], self._miles[min(place + 1, len(self._miles) - 1)]
            inside = low.part == at.part == high.part and low.value < high.value and place >= 0
            return (self._straight(place, (at.value - low.value) / (high.value - low.value)) if inside
                    else self._from(place, at) if place >= 0 and low.part == at.part
                    else self._from(min(place + 1, len(self._miles) - 1), at))
        day = _day(entry).toordinal()
        place = bisect_right(self._days, day) - 1
        if 0 <= place < len(self._days) - 1 and self._days[place + 1] > self._days[place]:
            return self._straight(place, (day - self._days[place]) / (self._days[place + 1] - self._days[place]))
        return self._fuel[max(place, 0)] + (day - self._days[max(place, 0)]) * self._by_day

    def _knot(self, at: Shown, day: date, fuel: float) -> None:
        self._miles.append(at)
        self._days.append(day.toordinal())
        self._fuel.append(fuel)

    def _straight(self, place: int, share: float) -> float:
        return self._fuel[place] + share * (self._fuel[place + 1] - self._fuel[place])

    def _from(self, place: int, at: Shown) -> float:
        """On from a knot at the average; across a new odometer nothing is known to be burned."""
        if place < 0:
            return 0.0
        return self._fuel[place] + ((at.value - self._miles[place].value) * self._by_mile if self._miles[place].part == at.part else 0.0)


def def_spans(entries: Sequence[Entry], burned: Burned) -> tuple[list[Span], bool]:
    """DEF filled against the fuel burned since the fill before, and whether there is one; fills close to each other are one."""
    amounts = list[tuple[Entry, float]]()
    since_check, checked = 0.0, False
    if not burned.is_known:
        return [], False
    for entry in _dated(entries):
        told = entry.get("def")
        if entry.kind == "check" and told is not None:  # a check tells all that was filled since the check before
            amounts.append((entry, max(told - since_check, 0.0) if checked or not since_check else 0.0))
            since_check, checked = 0.0, True
        elif entry.kind == "def" and told:
            amounts.append((entry, told))
            since_check += told
    return _joined([(entry, burned.upto(entry), amount) for entry, amount in amounts]), bool(amounts)


def water_spans(entries: Sequence[Entry], burned: Burned, least_fuel: float) -> tuple[list[Span], list[LeftOut], bool]:
    """Water drained against the fuel burned since the drain before, what was not measured, and whether there was a drain.

    Drains with little fuel between them are one.
    """
    found, left_out = list[tuple[Entry, float, float]](), list[LeftOut]()
    if not burned.is_known:
        return [], [], False
    for entry in _dated(entries):
        if entry.kind not in ("drain", "check") or (entry.get("jar") is None and entry.get("water") is None):
            continue
        amount = entry.get("water", 0.0 if entry.get("jar") == "clear" else None)
        if amount is None and entry.get("jar") == "water":
            left_out.append(LeftOut(_day(entry), "how much water was in the jar?", entry.id))
        found.append((entry, burned.upto(entry), -1.0 if amount is None else amount))
    return [span for span in _joined(found, least_fuel) if span.amount >= 0], left_out, bool(found)


def burn_spans(entries: Sequence[Entry], odometer: Mapping[str, Shown], second_try: float) -> tuple[list[Span], bool]:
    """Miles from one burn to the next, and whether there was one; a burn soon after one broken off is its second try.

    A check's count gives the month's average.
    """
    burns = [entry for entry in _dated(entries) if entry.kind == "burn" and entry.id in odometer]
    single = [(start, Span(end.id, _day(start), _day(end), odometer[end.id].value - odometer[start.id].value, 1.0))
              for start, end in pairwise(burns) if odometer[start.id].part == odometer[end.id].part]
    kept = _without_second_tries([(start.get("burn") == "broken_off", span) for start, span in single if span.base > 0], second_try)
    counted, started = _counted_at_checks(entries, odometer, burns)
    return sorted(kept + counted, key=lambda span: span.date), started or bool(burns)


def _without_second_tries(spans: Sequence[tuple[bool, Span]], second_try: float) -> list[Span]:
    """Each comes with whether the burn before it was broken off."""
    usual = median([span.base for _, span in spans]) if spans else 0.0
    kept, waiting = list[Span](), 0.0
    for after_broken, span in spans:
        if after_broken and span.base < second_try * usual:
            waiting += span.base
        else:
            kept.append(span._replace(base=span.base + waiting))
            waiting = 0.0
    return kept


def _counted_at_checks(entries: Sequence[Entry], odometer: Mapping[str, Shown], burns: Sequence[Entry]) -> tuple[list[Span], bool]:
    """The average since the check before, where a check counts more burns than were written down singly."""
    found, start, miles_waiting = list[Span](), None, 0.0
    for entry in _dated(entries):
        counts = [entry.get(name) for name in ("burns_finished", "burns_broken_off")]
        if entry.kind != "check" or entry.id not in odometer:
            continue
        if start and counts[0] is not None and odometer[start.id].part == odometer[entry.id].part:
            miles = miles_waiting + odometer[entry.id].value - odometer[start.id].value
            singly = sum(_day(start) < _day(burn) <= _day(entry) for burn in burns)
            times = sum(count for count in counts if count is not None)
            if times > singly and miles > 0:
                found.append(Span(entry.id, _day(start), _day(entry), miles / times, 1.0, times))
            miles_waiting = 0.0 if times else miles
        start = entry if counts[0] is not None or start is None else start
    return found, start is not None


def _joined(found: Sequence[tuple[Entry, float, float]], least: float = 0.0) -> list[Span]:
    """Each amount against what was used since the one before; with less than half the usual between, or the least, it waits."""
    used = [later - earlier for (_, earlier, _), (_, later, _) in pairwise(found) if later > earlier]
    enough = max(median(used) / 2 if used else 0.0, least)
    spans, waiting, start = list[Span](), 0.0, found[0] if found else None
    for entry, place, amount in found[1:]:
        assert start
        waiting = -inf if amount < 0 else waiting + amount
        if place - start[1] >= enough:
            spans.append(Span(entry.id, _day(start[0]), _day(entry), place - start[1], waiting))
            waiting, start = 0.0, (entry, place, amount)
    return spans


def _dated(entries: Iterable[Entry]) -> list[Entry]:
    return sorted((entry for entry in entries if entry.date), key=_day)


def _day(entry: Entry) -> date:
    assert entry.date
    return entry.date


def burn_counts(entries: Sequence[Entry]) -> tuple[float, float]:
    """How many burns were finished and how many broken off; a check counts again what was written down singly since the one before."""
    found = {"finished": 0.0, "broken_off": 0.0}
    singly = dict.fromkeys(found, 0.0)
    for entry in _dated(entries):
        if entry.kind == "burn":
            singly["broken_off" if entry.get("burn") == "broken_off" else "finished"] += 1
        elif entry.kind == "check":
            for how in found:
                found[how] += max(entry.get(f"burns_{how}", 0.0), singly[how])
            singly = dict.fromkeys(found, 0.0)
    return found["finished"] + singly["finished"], found["broken_off"] + singly["broken_off"]
