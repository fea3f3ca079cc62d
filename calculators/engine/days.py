"""What a kept truck shows on later days: worked out when it was saved, so that nothing need be when it is read."""

from collections.abc import Callable, Iterable, Mapping
from datetime import date, timedelta
from typing import Any

from calculators.engine.due import due, reading, turning_days
from calculators.engine.figures import in_days

AHEAD = 366  # days for which words are made; after that a page works them out anew
_DAILY = {"days_left": -1, "days_since_reading": 1, "days_since_hours_reading": 1, "readings_age": 1, "def_level_age": 1,
          "fuel_level_age": 1}  # days: by how many a day
# What changes each day; of these but the first a card says of which day they are.
_MOVING = (*_DAILY, "distance_left", "engine_hours_left", "odometer_now", "engine_hours_now")
_TOLD = ("value", "shown", "phrase")

type Value = Mapping[str, Any]
type On = Callable[[date], Value]  # the view of an answer on another day


class Later:
    """The service dates of one truck from one day on, while its book stands; ``on`` gives their view on another day."""

    def __init__(self, view: Value, today: date, stands_until: date, on: On) -> None:
        self.until, self.on = min(in_days(today, AHEAD), stands_until), on
        days = turning_days(view["results"], today) | self._stale(today, view)
        self.views = {today: view} | {day: self.on(day) for day in sorted(days) if day < self.until}

    def _stale(self, today: date, view: Value) -> set[date]:
        """The first day on which the reading is too old; once it is, it stays so."""
        fresh, old = today, self.until
        if view["results"]["reading_wanted"]["value"]:
            return set()
        while (days := (old - fresh).days) > 1:
            middle = fresh + timedelta(days=days // 2)
            wanted = self.on(middle)["results"]["reading_wanted"]["value"]
            fresh, old = (fresh, middle) if wanted else (middle, old)
        return {old}

    def reading(self) -> list[dict[str, Any]]:
        """What is said of the last reading, with the day from which it holds."""
        first, *_ = self.views.values()
        found: list[dict[str, Any]] = []
        for day, view in self.views.items():
            _add(found, day, reading({"inputs": first["inputs"], "results": view["results"]}))
        return found

    def jobs(self) -> list[dict[str, Any]]:
        """Each job's words, section and place, with the day from which they hold."""
        found: dict[str, list[dict[str, Any]]] = {}
        rests: dict[str, str] = {}  # only the first day's answer says what it rests on, and a day more does not change it
        for day, view in self.views.items():
            for row in due(view["results"], day):
                row["rests_on"] = rests.setdefault(row["job"], row["rests_on"])
                _add(found.setdefault(row["job"], []), day, row)
        return [{"job": job, "days": days} for job, days in found.items()]

    def answer(self) -> dict[str, Any]:
        """The answer of the first day, and under ``days`` what it says otherwise later, with the day from which it does."""
        (today, first), *later = self.views.items()
        return by_day(first, today, (day for day, _ in later), self.views.__getitem__)


def by_day(first: Value, today: date, days: Iterable[date], on: On) -> dict[str, Any]:
    """An answer and, under ``days``, what it says otherwise on later days, with the day from which it does."""
    found: list[dict[str, Any]] = []
    for day in (today, *days):
        _add(found, day, _otherwise(first, first if day == today else on(day)))
    return {**first, "results": _counting(first["results"]), "days": found}


def _add(days: list[dict[str, Any]], day: date, told: dict[str, Any]) -> None:
    """One day more, if it tells something else than the one before it."""
    if not days or {name: one for name, one in days[-1].items() if name != "from"} != told:
        days.append({"from": day.isoformat(), **told})


def _otherwise(first: Value, other: Value) -> dict[str, Any]:
    results = {name: changed for name, value in other["results"].items()
               if name not in _MOVING and (changed := _changed(first["results"][name], value))}
    words = {name: other[name] for name in ("answer", "look", "sign") if other[name] != first[name]}
    return words | {"results": results}


def _changed(first: Any, other: Any) -> Any:
    """A value that is another; of a list the cells that are, by row, or all of it where it is longer or shorter."""
    if not isinstance(other, list):
        return _as_it_rests(first, other) if _differs(first, other) else None
    if len(first) != len(other):
        return other
    cells = [{name: _as_it_rests(row[name], cell) for name, cell in line.items()
              if name not in _MOVING and _differs(row[name], cell)} for row, line in zip(first, other, strict=True)]
    return cells if any(cells) else None


def _as_it_rests(first: Value, other: Value) -> Value:
    """Only the first day's answer says what a value rests on: a day more does not change it."""
    return {**other, **{name: first.get(name, "") for name in ("rests_on", "whose")}}


def _counting(values: Value) -> dict[str, Any]:
    """Values, and beside those that count days by how many they change each day."""
    def told(name: str, value: Any) -> Any:
        if isinstance(value, list):
            return [_counting(row) for row in value]
        return {**value, "daily": _DAILY[name]} if name in _DAILY and value["value"] is not None else value

    return {name: told(name, value) for name, value in values.items()}


def _differs(first: Value, other: Value) -> bool:
    return any(first.get(name) != other.get(name) for name in _TOLD)
