"""The shares and means of ``regeneration`` against trips drawn at random (``burns.py`` has its sources).

Where a trip leaves less than five minutes for a burn the two part by design: the simulation starts one on every such trip, the
calculator by the share of a burn that fits, since hardly any fuel is injected.
"""

from random import Random
from typing import Any

import pytest

from tests.reference.burns import HEATING, Trips, Week, plausible, simulate, warm_up
from tests.unit.ask import results

LEAST_ROOM = 5  # minutes
JUNIPER = Week(Trips(12, 20, 25), Trips(45, 2, 60, 0.5), idle_hours=6, outside=30)


def worked_out(week: Week) -> dict[str, Any]:
    """The calculator's results for a simulated week."""
    told = {f"{name}_trip_{part}": repr(value) for name, trip in (("short", week.short), ("long", week.long))
            for part, value in (("time", trip.minutes), ("speed", trip.speed))}
    return results("regeneration", **told, short_trips_per_week=repr(week.short.per_week), long_trips_per_week=repr(week.long.per_week),
                   idle_hours_per_week=repr(week.idle_hours), outside_temperature=repr(week.outside),
                   filter_capacity=repr(week.capacity))


def rooms(week: Week) -> list[float]:
    """Minutes that hot-but-short trips leave for a burn."""
    left = [trip.minutes - warm_up(week.outside) - HEATING for trip in (week.short, week.long) if trip.per_week > 0]
    return [room for room in left if 0 < room < 20]


@pytest.mark.parametrize(("week", "broken"), [
    (JUNIPER, 0), (JUNIPER._replace(short=Trips(25, 20, 25)), 3.7),
    (JUNIPER._replace(short=Trips(20, 40, 25), long=Trips(36, 1, 60, 0.5)), 7),
    (JUNIPER._replace(short=Trips(25, 10, 25), long=Trips(40, 2, 60, 0.5), idle_hours=30, outside=50), 6),
    (JUNIPER._replace(short=Trips(30, 20, 25)), 3.4), (JUNIPER._replace(short=Trips(25, 40, 25), long=Trips(45, 0, 60, 0.5)), 5.3),
], ids=str)
def test_broken_burns_of_weeks_that_a_foreman_knows(week: Week, broken: float) -> None:
    """Told and simulated within a third, or half a burn a month."""
    seen = simulate(week, 2000)
    assert worked_out(week)["broken_burns_per_month"] == pytest.approx(broken, rel=0.04)
    assert broken == pytest.approx(seen.broken, rel=0.33, abs=0.5)


@pytest.mark.parametrize("outside", [-50, -30, 0, 30, 70, 110])
def test_one_drive_of_the_advised_time_ends_a_burn(outside: float) -> None:
    """A filter that cold trips have filled, and one drive: as long as advised it ends the burn, five minutes shorter than needed not."""
    said = results("regeneration", outside_temperature=outside)
    for minutes, ends in ((said["advised_drive_time"], True), (said["time_needed_from_cold"] - 5, False)):
        week = Week(Trips(0, 0, 25), Trips(minutes, 1, 60, 0.5), idle_hours=42, outside=outside)
        seen = simulate(week, 200)
        assert (seen.finished > 0) is ends
        assert (seen.broken == 0) is ends


def near(told: float, seen: float, times: float, apart: float) -> bool:
    """Whether they are that near, as a ratio or in burns a month."""
    return abs(told - seen) <= apart or seen / times <= told <= seen * times


def held_against(weeks: int, length: int, seed: int) -> dict[str, int]:
    """How many of each verdict were tried: burns end only where told so, no good week overfills, broken burns are about as many as told."""
    random, verdicts, apart, tried = Random(seed), dict.fromkeys(("fits", "watch", "against"), 0), 0, 0
    for _ in range(weeks):
        week = plausible(random)
        said, seen = worked_out(week), simulate(week, length)
        verdicts[said["verdict"]] += 1
        assert (seen.finished > 0) is (said["long_enough_trips_per_week"] > 0), week
        assert said["verdict"] != "fits" or seen.fullest < 1.5, (week, seen)
        if min(rooms(week), default=LEAST_ROOM) >= LEAST_ROOM:
            told = said["broken_burns_per_month"]
            assert near(told, seen.broken, times=4, apart=2), (week, seen, told)
            assert said["verdict"] != "fits" or seen.broken < 5, (week, seen)
            tried, apart = tried + 1, apart + (not near(told, seen.broken, times=1.7, apart=1.5))
    assert apart <= tried / 10
    return verdicts


def test_some_weeks_drawn_at_random() -> None:
    assert all(tried > 0 for tried in held_against(weeks=60, length=400, seed=5).values())


@pytest.mark.audit
def test_many_weeks_drawn_at_random() -> None:
    assert all(tried >= 20 for tried in held_against(weeks=600, length=1000, seed=11).values())
