"""A year of trips, drawn at random, and what the exhaust filter does on each: to hold the calculator's shares and means against.

What it is made of: the exhaust nears its running temperature with a time constant of 6 minutes and lights off at 482 degF, then 4 minutes
of heating (all from memory); soot burns first order, 90 % of it in 20 minutes (common practice: a burn runs about 20 minutes;
first order after Environ. Sci. Technol. 39 (2005) 4021). A truck asks for a burn when the filter is full, starts it when the
exhaust is hot, and a trip that ends before the burn does breaks it off: what had burned by then is gone (a newspaper column's
42 g trigger). The order of the trips is drawn anew each week.
"""

from math import exp, log
from random import Random
from typing import NamedTuple

HEATING = 4  # minutes
BURN = 20  # minutes that take 90 %
RATE = log(10) / BURN
WEEKS_PER_MONTH = 30.44 / 7


class Trips(NamedTuple):
    """One kind of trip."""

    minutes: float
    per_week: float
    speed: float
    passive: float = 0.0  # of its soot burnt on the way once it is hot


class Week(NamedTuple):
    """What a truck does, in the calculator's units."""

    short: Trips
    long: Trips
    idle_hours: float
    outside: float
    capacity: float = 42
    soot_rate: float = 0.07
    idle_soot_rate: float = 1


class Seen(NamedTuple):
    """What became of it, a month, and how full the filter got: on nine of ten trips no fuller than this."""

    finished: float
    broken: float
    fullest: float


def warm_up(outside: float) -> float:
    """Minutes to 482 degF with a rise of 540."""
    return 6 * log(540 / (outside + 540 - 482))


def simulate(week: Week, weeks: int, seed: int = 1) -> Seen:
    """That many weeks, from an empty filter."""
    random, cold = Random(seed), warm_up(week.outside)
    load = idled = 0.0
    finished = broken = 0
    loads = []
    for _ in range(weeks):
        trips = [kind for kind in (week.short, week.long) for _ in range(_times(kind.per_week, random))]
        random.shuffle(trips)
        idled += week.idle_hours * week.idle_soot_rate
        for trip in trips:
            load, idled = load + idled / len(trips), idled - idled / len(trips)
            load, ended = _drive(load, trip, cold, week)
            finished, broken = finished + (ended is True), broken + (ended is False)
            loads.append(load / week.capacity)
    months = weeks / WEEKS_PER_MONTH
    return Seen(finished / months, broken / months, sorted(loads)[len(loads) * 9 // 10] if loads else 0.0)


def _times(per_week: float, random: Random) -> int:
    """A part of a trip is one in some weeks."""
    return int(per_week) + (random.random() < per_week % 1)


def _drive(load: float, trip: Trips, cold: float, week: Week) -> tuple[float, bool | None]:
    """The load after a trip, and whether a burn on it ended (True), broke off (False) or never started (None)."""
    hot = max(0.0, trip.minutes - cold) / trip.minutes if trip.minutes else 0.0
    made = trip.minutes / 60 * trip.speed * week.soot_rate * (1 - trip.passive * hot)
    full_at = max(0.0, week.capacity - load) / made * trip.minutes if load + made >= week.capacity and made else trip.minutes
    room = trip.minutes - max(cold, full_at) - HEATING
    if room <= 0:
        return load + made, None
    return (load + made) * exp(-RATE * min(room, BURN)), room >= BURN


def plausible(random: Random) -> Week:
    """A week that some work truck has."""
    short = Trips(random.uniform(5, 30), random.randint(0, 40), random.uniform(15, 35))
    long = Trips(random.uniform(30, 120), random.choice([0.5, 1, 2, 3, 5, 8]), random.uniform(40, 70), 0.5)
    return Week(short, long, random.uniform(0, 40), random.uniform(-30, 100))
