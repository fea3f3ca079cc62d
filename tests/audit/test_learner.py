"""The learner on invented books of trucks whose use is known: `make audit` takes 800, `make test` a tenth.

Prints its table; what it must keep stands in the checks. A truck has a full tank a week for three years, DEF fills, burns, a look at
dipstick and jar each month; every second book is dirty (5 % of the tanks not filled full, 3 % with half of the fuel not written
down), every third truck does hard work in a tenth of its tanks.
"""

from collections.abc import Iterable
from datetime import date, timedelta
from statistics import median
from typing import Any, NamedTuple

import pytest

from calculators import own_records
from calculators.engine.figures import FIGURES, TABLES
from calculators.engine.records import SpanRecord
from calculators.engine.rules import rules, run
from tests.audit.books import START, Drift, Truck, book

NOISES = (0.03, 0.045, 0.06)
DRIFTS = (Drift("fuel", 60, 1.1), Drift("def", 60, 1.35), Drift("def", 60, 0.65), Drift("burns", 60, 0.5))
RAISES = {("fuel", True): "fuel_use_up", ("def", True): "def_use_up", ("def", False): "def_use_down", ("burns", False): "burns_closer"}
ENDS = {"fuel_economy": "economy", "idle_rate": "idle_rate", "def_share": "share", "burn_distance": "burn_distance"}


def records(truck: Truck) -> dict[str, Any]:
    """What own_records makes of a truck's book."""
    wanted = rules(own_records)
    known = {need: TABLES[need] if need in TABLES else FIGURES[need].value for need in wanted.needs if need in TABLES or need in FIGURES}
    known |= {"book": tuple(truck.entries), "today": truck.entries[-1].date, "fuel_economy": truck.told_economy,
              "idle_fuel_rate": truck.told_idle_rate, "def_share_of_fuel": truck.told_share, "average_speed": truck.average_speed,
              "distance_between_burns_published_least": 120.0}
    return run(wanted, known)


class Noticed(NamedTuple):
    """How many measurements it took; None where nothing was noticed."""

    after: int | None


def noticed(truck: Truck, drift: Drift) -> Noticed | None:
    """By the measurements from the drift on; None where too few were made to tell."""
    made = records(truck)
    day = START + timedelta(days=7 * (drift.tank + 1))
    record = made[{"fuel": "fuel_record", "def": "def_record", "burns": "burn_record"}[drift.what]]
    rows = [row.date for row in (record.spans if isinstance(record, SpanRecord) else record.tanks)]
    if sum(row < day for row in rows) < 12 or sum(row >= day for row in rows) < 20:
        return None
    first = next((alarm for alarm in made["alarms"] if alarm.what == RAISES[drift.what, drift.times > 1] and alarm.noticed >= day), None)
    return Noticed(sum(day <= row <= first.noticed for row in rows) if first else None)


def simulated(trucks: int) -> dict[float, dict[str, Any]]:
    """By noise: false alarms in three years by kind, how often an interval holds the truth, how soon a drift is noticed."""
    return {noise: {"false": false_alarms(noise, trucks), "held": held(noise, trucks), "noticed": soon(noise, trucks)} for noise in NOISES}


def false_alarms(noise: float, trucks: int) -> dict[str, float]:
    found = dict.fromkeys(TABLES["alarm_words"], 0.0)
    for one in range(trucks):
        for alarm in records(truck_of("calm", one, noise))["alarms"]:
            found[alarm.what] += 1 / trucks
    return found


def held(noise: float, trucks: int) -> dict[str, float]:
    """Books of 12 to 150 tanks: how many of their intervals hold what is true."""
    inside: dict[str, list[bool]] = {name: [] for name in ENDS}
    for one in range(trucks):
        truck = truck_of("held", one, noise, tanks=(12, 20, 40, 80, 150)[one % 5])
        made = records(truck)
        for name, true in ENDS.items():
            low, high = made[f"{name}_low"], made[f"{name}_high"]
            if isinstance(low, float) and isinstance(high, float):
                inside[name].append(low <= getattr(truck, true) <= high)
    return {name: sum(found) / len(found) for name, found in inside.items()}


def soon(noise: float, trucks: int) -> dict[str, tuple[float, float, float]]:
    """Of each drift: the median, what nine of ten need at most, and the share noticed."""
    found = {}
    for drift in DRIFTS:
        took = [one.after for truck in range(trucks // 2) if (one := noticed(truck_of("drift", truck, noise, drift=drift), drift))]
        after = sorted(one if one is not None else 999 for one in took)
        found[f"{drift.what} x {drift.times}"] = (median(after), after[int(0.9 * len(after))], sum(one < 999 for one in after) / len(after))
    return found


def truck_of(kind: str, one: int, noise: float, **told: Any) -> Truck:
    return book(f"{kind} {one}", noise, dirty=one % 2 == 1, hard=0.1 if one % 3 == 0 else 0.0, told=one % 4 != 3, **told)


def table(made: dict[float, dict[str, Any]], trucks: int) -> Iterable[str]:
    yield f"{trucks} trucks at each noise, every second book dirty"
    for noise, said in made.items():
        yield f"noise {100 * noise:g} %: {sum(said['false'].values()):.2f} false alarms in three years"
        yield "   " + ", ".join(f"{what} {times:.3f}" for what, times in said["false"].items())
        yield "   inside: " + ", ".join(f"{name} {100 * share:.1f} %" for name, share in said["held"].items())
        yield "   noticed: " + ", ".join(f"{drift} after {middle:g} ({most} for 9 of 10; {100 * share:.0f} %)"
                                        for drift, (middle, most, share) in said["noticed"].items())


@pytest.mark.parametrize("trucks", [80, pytest.param(800, marks=pytest.mark.audit)])
def test_noticed_early_and_without_crying_wolf(trucks: int) -> None:
    made = simulated(trucks)
    print(*table(made, trucks), sep="\n")
    room = 0 if trucks >= 800 else 0.04  # of a tenth: what chance adds
    for said in made.values():
        assert sum(said["false"].values()) <= 1
        assert said["noticed"]["fuel x 1.1"][2] >= 0.9 - room
        assert said["noticed"]["burns x 0.5"][2] >= 0.9 - room
    assert made[0.045]["noticed"]["fuel x 1.1"][0] <= 7
    for name in ENDS:
        assert 0.85 - room <= sum(said["held"][name] for said in made.values()) / len(made) <= 0.97 + room, name


def test_a_year_of_a_book_is_dated() -> None:
    """The invented books are what they say: dated week by week, and without noise their sums are the truck's own."""
    truck = book("plain", 1e-6, tanks=52)
    assert {entry.kind for entry in truck.entries} >= {"fuel", "def", "burn", "check"}
    assert truck.entries[-1].date == date(2024, 1, 1)
    made = records(truck)
    assert made["fuel_economy_measured"] == pytest.approx(truck.economy, rel=0.02)
    assert made["idle_rate_measured"] == pytest.approx(truck.idle_rate, rel=0.15)
