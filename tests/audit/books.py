"""Invented books of trucks whose use is known: what the learner is tried on. Its own random numbers, by seed."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from math import exp, log, sqrt
from random import Random
from typing import Any

from calculators.engine.entries import Entry

START = date(2023, 1, 2)
TANKS = 156  # weekly, three years


@dataclass(frozen=True)
class Drift:
    """From which tank on what is multiplied by how much."""

    what: str  # fuel, def or burns
    tank: int
    times: float


@dataclass
class Truck:
    """What is true of a truck, what its owner guessed, and the book he wrote."""

    noise: float
    economy: float
    idle_rate: float
    share: float  # DEF, % of the fuel
    burn_distance: float
    told_economy: float
    told_idle_rate: float
    told_share: float
    average_speed: float
    entries: list[Entry] = field(default_factory=list)

    def write(self, kind: str, day: date, **told: Any) -> None:
        """An entry as it would be typed."""
        rounded = {name: round(value, 1) if isinstance(value, float) else value for name, value in told.items() if value is not None}
        self.entries.append(Entry(f"{len(self.entries):05}", day, kind, rounded))


def noisy(chance: Random, noise: float) -> float:
    """One, give or take ``noise``, never below zero, on average one."""
    spread = sqrt(log(1 + noise**2))
    return exp(chance.gauss(-(spread**2) / 2, spread))


def book(seed: str, noise: float, *, dirty: bool = False, hard: float = 0.0, drift: Drift | None = None, tanks: int = TANKS,
         told: bool = True) -> Truck:
    """A truck’s book: a full tank a week, DEF, burns, a check a month, oil changes."""
    chance = Random(seed)
    economy, idle_rate, share, burns = (chance.uniform(*ends) for ends in ((9, 19), (0.4, 1.1), (2, 4), (180, 600)))
    truck = Truck(noise, economy, idle_rate, share, burns, economy * noisy(chance, 0.12) if told else 15.0,
                  idle_rate * noisy(chance, 0.35) if told else 0.6, share * noisy(chance, 0.25) if told else 3.2, chance.uniform(25, 50))
    week = _Week(truck, chance, dirty, hard, drift)
    for tank in range(tanks):
        week.drive(tank)
    return truck


class _Week:
    """The state of a truck from week to week."""

    def __init__(self, truck: Truck, chance: Random, dirty: bool, hard: float, drift: Drift | None) -> None:
        self.truck, self.chance, self.dirty, self.hard, self.drift = truck, chance, dirty, hard, drift
        self.day = START
        self.odometer, self.idle, self.engine = chance.uniform(0, 120_000), chance.uniform(0, 900), chance.uniform(1000, 3000)
        self.miles_a_week, self.idle_a_week = chance.uniform(120, 600), chance.choice([2.0, 5.0, 10.0, 20.0, 30.0]) * noisy(chance, 0.2)
        self.meter = chance.choice(["idle_hours", "engine_hours"])
        self.short = self.def_used = 0.0
        self.to_burn = self._gap(0)
        self.burn_cv = chance.uniform(0.35, 0.5)
        self.def_noise = chance.uniform(0.12, 0.2)
        self.oil, self.oil_loss, self.since_oil = 0.0, chance.uniform(0, 1.0) / 5000, 0.0
        self.water_per_fuel, self.fuel_since_drain = chance.uniform(3, 45) / 100, 0.0

    def times(self, what: str, tank: int) -> float:
        return self.drift.times if self.drift and self.drift.what == what and tank >= self.drift.tank else 1.0

    def drive(self, tank: int) -> None:
        chance, truck = self.chance, self.truck
        hard = chance.random() < self.hard
        miles, idle = self.miles_a_week * noisy(chance, 0.35), self.idle_a_week * noisy(chance, 0.6)
        fuel = (miles / truck.economy + idle * truck.idle_rate) * self.times("fuel", tank) * (chance.uniform(1.2, 1.6) if hard else 1)
        fuel *= noisy(chance, truck.noise)
        self._burns(tank, miles)
        self.day += timedelta(days=7)
        self.odometer, self.idle = self.odometer + miles, self.idle + idle
        self.engine += idle + miles / truck.average_speed
        self._fill(fuel, hard)
        self._def(tank, fuel)
        self.fuel_since_drain += fuel
        self.oil -= self.oil_loss * miles
        self.since_oil += miles
        if tank % 4 == 3:
            self._check()

    def _fill(self, fuel: float, hard: bool) -> None:
        chance = self.chance
        short = chance.uniform(0.1, 0.5) * fuel if self.dirty and chance.random() < 0.05 else 0.0
        filled, self.short = fuel - short + self.short, short
        if self.dirty and chance.random() < 0.03:
            filled /= 2
        hours = {self.meter: self.idle if self.meter == "idle_hours" else self.engine}
        self.truck.write("fuel", self.day, odometer=float(round(self.odometer)), fuel=max(filled, 0.1), full=True, hard=hard or None,
                         price=chance.uniform(3.5, 4.5), **hours)

    def _def(self, tank: int, fuel: float) -> None:
        self.def_used += fuel * self.truck.share / 100 * self.times("def", tank)
        if self.def_used > 4.5:
            filled = self.def_used * noisy(self.chance, self.def_noise)
            self.truck.write("def", self.day, odometer=float(round(self.odometer)), **{"def": filled})
            self.def_used = 0.0

    def _gap(self, tank: int) -> float:
        cv = getattr(self, "burn_cv", 0.4)
        return self.truck.burn_distance * self.times("burns", tank) * self.chance.gammavariate(1 / cv**2, cv**2)

    def _burns(self, tank: int, miles: float) -> None:
        driven = 0.0
        while driven + self.to_burn < miles:
            driven += self.to_burn
            self.to_burn = self._gap(tank)
            went = "broken_off" if self.chance.random() < 0.1 else "finished"
            day = self.day + timedelta(days=1 + int(6 * driven / miles))
            self.truck.write("burn", day, odometer=float(round(self.odometer + driven)), burn=went)
        self.to_burn -= miles - driven

    def _check(self) -> None:
        chance = self.chance
        water = self.water_per_fuel * self.fuel_since_drain * noisy(chance, 0.5)
        self.fuel_since_drain = 0.0
        if self.since_oil > 6000:
            self.since_oil, self.oil = 0.0, chance.gauss(0, 0.1)
            self.truck.write("job", self.day, job="engine_oil", odometer=float(round(self.odometer)))
        read = self.oil + chance.gauss(0, 0.125)
        mark = min(MARKS, key=lambda name: abs(MARKS[name] - read))
        added = None
        if read < -0.9:
            added, self.oil = 1.0, self.oil + 1
        self.truck.write("check", self.day, odometer=float(round(self.odometer)), jar="water" if water > 1 else "clear", water=water,
                         oil_mark=mark, oil_added=added)


MARKS = {"below_add": -1.0, "hatch": -0.5, "full": 0.0, "half_over": 0.5, "quart_over": 1.0}
