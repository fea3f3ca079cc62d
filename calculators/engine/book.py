"""A truck's book: dated entries that are only ever added, and what they tell the calculators on a day.

``merge`` unites copies of one book, ``current`` says which entries count, ``learned`` what they make of the inputs.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Any, NamedTuple

from calculators.engine.entries import (
    METERS,
    READ_ON,
    Asked,
    Entry,
    Learned,
    canonical,
    content_id,
    counted,
    current,
    merge,
    read_entries,
    read_entry,
)
from calculators.engine.figures import FIGURES, TABLES
from calculators.engine.meters import Dated, Pace, Reading, pace

__all__ = [
    "METERS", "Asked", "Dated", "Entry", "Learned", "Opened", "canonical", "content_id", "current", "learned", "merge", "opened",
    "read_entries", "read_entry",
]

_PACES = {"odometer": "distance_per_week", "engine_hours": "engine_hours_per_week", "idle_hours": "idle_hours_per_week"}
_NAMED = {"odometer": "on the odometer", "engine_hours": "on the hour meter", "idle_hours": "on the idle meter"}


class Opened(NamedTuple):
    """A book on one day: the entries that count, what they tell the inputs, and what its owner must be asked."""

    entries: Dated
    learned: Mapping[str, Learned]
    asked: tuple[Asked, ...]


def opened(entries: Iterable[Entry], today: date) -> Opened:
    """The book as it is read on a day: what is dated later is asked about and counts for nothing."""
    found = counted(entry if entry.date or "days_ago" not in entry.told else counted_back(entry, today) for entry in entries)
    dated = Dated((entry for entry in found.entries if _counts(entry, today)), today)
    return Opened(dated, learned(dated), (*found.asked, *_later(found.entries, today), *_asked(dated)))


def counted_back(entry: Entry, today: date) -> Entry:
    """An example truck's entry, kept in days before the answer's day so that it never ages."""
    return entry._replace(date=date.fromordinal(max(1, today.toordinal() - int(entry.told["days_ago"]))))


def _counts(entry: Entry, today: date) -> bool:
    return entry.date <= today if entry.date else entry.kind in ("job", "reading")


def learned(entries: Dated) -> dict[str, Learned]:
    """What the book tells the inputs by name: the last readings and their days, the paces, and when each job was last done."""
    found: dict[str, Learned] = {}
    for meter in METERS:
        readings = entries.readings(meter)
        if meter in READ_ON and readings.kept:
            last = readings.kept[-1]
            found |= {meter: Learned(last.value, (last.id,)), READ_ON[meter]: Learned(last.date, (last.id,))}
        if (week := pace(readings)) and _can_be(week, _PACES[meter]):
            found[_PACES[meter]] = Learned(week.per_week, (week.first.id, week.last.id))
    return found | dict(_jobs(entries))


def _can_be(week: Pace, name: str) -> bool:
    return bool(week.per_week <= FIGURES[name].high)


def _jobs(entries: Dated) -> Iterator[tuple[str, Learned]]:
    """Each job's last entry, which stands whole; a new truck's delivery starts the clocks of those that have none."""
    new = next((entry for entry in reversed(entries) if entry.kind == "delivery" and entry.date and entry.get("new", False)), None)
    last = dict.fromkeys(TABLES["job"], new) | _last_done(entries)
    for job, entry in last.items():
        if entry:
            yield from _clocks(f"done.{job}", entry, entries)


def _last_done(entries: Dated) -> dict[str, Entry]:
    last: dict[str, Entry] = {}
    for entry in sorted(entries, key=lambda each: (each.date or date.min, each.get("odometer", 0.0), each.id)):
        if job := done_by(entry):
            last[job] = entry
    return last


def done_by(entry: Entry) -> str | None:
    """The job that an entry says was done; who looks at the jar has drained the separator."""
    if entry.kind == "job":
        return str(entry.told["job"]) if "job" in entry.told else None
    return "separator_drain" if entry.kind == "drain" or (entry.kind == "check" and "jar" in entry.told) else None


def _clocks(done: str, entry: Entry, entries: Dated) -> Iterator[tuple[str, Learned]]:
    """A job's day, odometer and hours; a meter that was replaced since starts its clock again, and a reading left out starts none."""
    if entry.date:
        yield f"{done}.date", Learned(entry.date, (entry.id,))
    for meter in READ_ON:
        _, fallen, start, old = entries.readings(meter)
        if start and ((entry.date or date.min) < start.date or entry.id in old):
            yield f"{done}.{meter}", Learned(start.value, (entry.id, start.id))
        elif meter in entry.told and entry.id not in {reading.id for reading in fallen}:
            yield f"{done}.{meter}", Learned(entry.told[meter], (entry.id,))


# What the owner is asked about -------------------------------------------------------------------------------------------------


def _later(entries: Iterable[Entry], today: date) -> Iterator[Asked]:
    for entry in entries:
        if entry.date and entry.date > today:
            yield Asked((entry.id,), "it is dated after today, and counts for nothing until then", "date")


def _asked(entries: Dated) -> Iterator[Asked]:
    delivered = entries.delivery.date if entries.delivery else None
    for entry in entries:
        if delivered and entry.date and entry.date < delivered:
            yield Asked((entry.id,), "it is dated before the truck came, so it does not count for your miles a week", "date")
        if entry.date is None and entry.kind == "reading":
            yield Asked((entry.id,), "it has no day, so it is taken as read today: write the day")
        if "meter_new" in entry.told and entry.told["meter_new"] not in entry.told:
            yield Asked((entry.id,), "it says that a meter is new, but not what that meter shows: write the reading")
    yield from _alike(entries)
    for meter in METERS:
        for reading in entries.readings(meter).fallen:
            yield Asked((reading.id,), _fallen(meter, reading), meter)


def _fallen(meter: str, reading: Reading) -> str:
    return f"{reading.value:,.10g} {_NAMED[meter]} does not go with the readings around it, and was left out: one of them is wrong"


def _alike(entries: Dated) -> Iterator[Asked]:
    """Entries of one kind, day and odometer: the same told twice, perhaps."""
    def what(entry: Entry) -> tuple[Any, ...]:
        return entry.kind, entry.date, entry.told["odometer"], entry.get("job")

    told = [entry for entry in entries if entry.date and "odometer" in entry.told]
    twice = {key for key, times in Counter(map(what, told)).items() if times > 1}
    for key in sorted(twice, key=str):
        same = tuple(entry.id for entry in told if what(entry) == key)
        yield Asked(same, "these are of one kind, day and odometer: is it one, told twice?")
