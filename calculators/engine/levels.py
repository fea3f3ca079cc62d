"""What a truck's gauges showed: a level has the day on which it was read, and is old once that is long ago or its tank was filled."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any, NamedTuple

from calculators.engine.figures import FIGURES, calendar_day, in_days
from calculators.engine.meters import Dated
from calculators.engine.truck import moment

LEVEL_READ_ON = {"def_level": "def_level_read_on", "fuel_in_tank": "fuel_in_tank_read_on"}
_FILLED = {"def_level": "def", "fuel_in_tank": "fuel"}  # what of an entry says that the tank was filled
_PASSES = {"def_level"}  # an old one is asked for; fuel that was read long ago may still be what a parked truck holds


class Level(NamedTuple):
    """A gauge as it was last read; ``day`` is none where nobody told it, ``entry`` is empty where it is a fact."""

    told: Any
    day: date | None
    entry: str
    passes: bool = True  # whether it says nothing any more once that is long ago
    filled: bool = False

    @property
    def stale_on(self) -> date | None:
        """The first day on which it was read long ago."""
        return in_days(self.day, int(FIGURES["level_stale"].value) + 1) if self.day else None

    def is_stale(self, today: date) -> bool:
        """Whether it was read long ago."""
        return self.stale_on is not None and self.stale_on <= today

    def is_old(self, today: date) -> bool:
        """Whether it says nothing of ``today`` any more."""
        return self.filled or (self.passes and self.is_stale(today))


def levels(truck: Mapping[str, Any], facts: Mapping[str, Any], entries: Dated) -> dict[str, Level]:
    """Each gauge's last reading, whether an entry tells it or a fact; one without a day is taken as read today."""
    found = {}
    for gauge, filled in _FILLED.items():
        told = [*_in_book(entries, gauge), *_in_facts(truck, facts, gauge, entries.today)]
        if told:
            last = max(told, key=lambda level: level.day or entries.today)
            since = last.day or entries.today
            is_filled = any(filled in entry.told and entry.date and entry.date > since for entry in entries)
            found[gauge] = last._replace(passes=gauge in _PASSES, filled=is_filled)
    return found


def _in_book(entries: Dated, gauge: str) -> Iterator[Level]:
    """The newest first: of one day the last entry counts."""
    for entry in reversed(entries):
        if gauge in entry.told and not entry.get("estimated", False):
            yield Level(entry.told[gauge], entry.date, entry.id)


def _in_facts(truck: Mapping[str, Any], facts: Mapping[str, Any], gauge: str, today: date) -> Iterator[Level]:
    if gauge in facts:
        yield Level(facts[gauge], _day_of(facts.get(LEVEL_READ_ON[gauge]), saved_on(truck), today), "")


def _day_of(told: Any, saved: str, today: date) -> date | None:
    """The day that is told, one ahead too: its bound refuses it; else that of the last saving, by whatever clock."""
    try:
        return calendar_day(str(told)) if told else min(calendar_day(saved), today) if saved else None
    except ValueError:  # its own fault is told where it is read
        return None


def saved_on(truck: Mapping[str, Any]) -> str:
    """The day on which a truck was saved; empty where it does not say."""
    saved = moment(truck.get("saved_at")).date()
    return "" if saved == date.min else saved.isoformat()


def dated(truck: Mapping[str, Any], today: date) -> dict[str, Any]:
    """The facts with a day for each level that has none: that of the last saving, else ``today``."""
    facts: Mapping[str, Any] = truck.get("facts", {})
    day = saved_on(truck) or today.isoformat()
    return {**{read_on: day for gauge, read_on in LEVEL_READ_ON.items() if gauge in facts}, **facts}
