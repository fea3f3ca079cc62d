"""What a truck's own records measure of the inputs, where they are sure enough to take the place of what was told."""

from collections.abc import Iterator, Mapping
from math import isfinite, nan
from typing import Any

from calculators.engine.entries import Learned
from calculators.engine.facts import Whose, gather
from calculators.engine.figures import figure
from calculators.engine.learner import ratio_interval
from calculators.engine.meters import Dated
from calculators.engine.rules import SHARED, Book, calculator, followed, run

RECORDS = "own_records"
MEASURED = ("fuel_economy", "idle_fuel_rate", "measured_def_share_of_fuel")
_WANTED = ("fuel_economy_with_idling", "fuel_economy_measured", "idle_rate_measured", "idle_rate_low",
           "idle_rate_high", "def_share_measured", "def_share_low", "def_share_high")


def measured(entries: Dated, facts: Mapping[str, Any]) -> dict[str, Learned]:
    """By input, with its interval and the entries behind it; ``facts`` are what was told, from which the records start.

    The fuel economy is that of all fuel, idling and all: that is what every rule that takes it divides miles by.
    """
    if not any(entry.kind == "fuel" for entry in entries):
        return {}
    records = followed(calculator(RECORDS), *_WANTED)
    shared = followed(calculator(SHARED), *records.needs)
    book = Book({name: rule for name, rule in shared.items() if name not in facts} | records)
    known = {**gather(book, {"truck": facts, "derived": {"today": entries.today.isoformat()}}, Whose.OWN).known, "book": entries}
    return {name: one for name, one in _sure({**known, **run(book, known)}) if _could_be_told(name, one)}


def carried(truck: Mapping[str, Any]) -> dict[str, Learned]:
    """What a truck's records measured where its whole book is: as a link brings it, as far as it could be told."""
    told = truck.get("learned")
    found = {name: told[name] for name in MEASURED if name in told} if isinstance(told, dict) else {}
    made = {name: _learned(one) for name, one in found.items() if isinstance(one, dict)}
    return {name: one for name, one in made.items() if isfinite(one.value) and _could_be_told(name, one)}


def _learned(told: Mapping[str, Any]) -> Learned:
    value, low, high = (float(one) if isinstance(one, int | float) else nan for one in map(told.get, ("value", "low", "high")))
    return Learned(value, (), *((low, high) if low <= value <= high else ()))


def as_carried(learned: Mapping[str, Learned]) -> dict[str, dict[str, float | None]]:
    """The same as a link carries it, without the entries behind it."""
    return {name: {"value": one.value, "low": one.low, "high": one.high} for name, one in learned.items() if name in MEASURED}


def _sure(made: Mapping[str, Any]) -> Iterator[tuple[str, Learned]]:
    fuel, fluid = made.get("fuel_record"), made.get("def_record")
    if fuel and isinstance(made.get("fuel_economy_measured"), float):
        tanks = [tank for tank in fuel.tanks if tank in fuel.counted]
        least, most = ratio_interval([tank.fuel for tank in tanks], [tank.distance for tank in tanks], _share())
        ids = tuple(tank.entry for tank in tanks)
        yield "fuel_economy", Learned(made["fuel_economy_with_idling"], ids, least, most)
        if isinstance(made.get("idle_rate_measured"), float):
            clocked = tuple(tank.entry for tank in tanks if tank.is_clocked)
            yield "idle_fuel_rate", Learned(made["idle_rate_measured"], clocked, made["idle_rate_low"], made["idle_rate_high"])
    if fluid and isinstance(made.get("def_share_measured"), float):
        ids = tuple(span.entry for span in fluid.counted)
        yield "measured_def_share_of_fuel", Learned(made["def_share_measured"], ids, made["def_share_low"], made["def_share_high"])


def _share() -> float:
    entry = figure("measured_interval")
    return float(entry.value) / 100 if entry else 0.0


def _could_be_told(name: str, one: Learned) -> bool:
    entry = figure(name)
    try:
        return entry is not None and bool(entry.within(one.value, {}))
    except ValueError:
        return False
