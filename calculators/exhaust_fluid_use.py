"""How much DEF do I use, and how far does a tank go?"""

from datetime import date
from math import floor

from calculators.engine.figures import Missing
from calculators.engine.named import days_between, missing
from calculators.engine.rules import Caution
from calculators.engine.units import Count, Days, Dollars, DollarsPerGallon, Gallons, Miles, MilesPerGallon, Months, Percent
from calculators.week import def_share_of_fuel as def_share_of_fuel

HEADLINE = ("range_to_reserve", "whole_days_to_reserve", "def_share_of_fuel", "def_range", "fuel_tanks_per_def_tank",
            "def_cost_per_year")
# What its form asks: a level that is typed there is today's.
ASKS = ("measured_def_share_of_fuel", "nox_before", "nox_after", "def_density", "specific_fuel_consumption", "fuel_density",
        "fuel_tank_capacity", "fuel_economy", "def_tank_capacity", "def_level", "distance_per_week", "reserve_level", "distance_per_year",
        "def_price")


def fuel_range(fuel_tank_capacity: Gallons, fuel_economy: MilesPerGallon) -> Miles:
    """A full fuel tank takes you this far."""
    return fuel_tank_capacity * fuel_economy


def def_range(def_tank_capacity: Gallons, fuel_economy: MilesPerGallon, def_share_of_fuel: Percent) -> Miles | Missing:
    """A full DEF tank lasts for this much driving."""
    return (def_tank_capacity * fuel_economy / (def_share_of_fuel / 100) if def_share_of_fuel > 0
            else Missing("this engine uses no DEF"))


def def_level_age(def_level: Percent, def_level_read_on: date, today: date) -> Days | Missing:
    """Days since the DEF gauge was read."""
    return def_level if missing(def_level) else days_between(def_level_read_on, today)


def def_level_now(def_level: Percent, def_level_age: Days, distance_per_week: Miles, days_per_week: Days,
                  def_range: Miles) -> Percent | Missing:
    """What the gauge showed, less what your week’s pace took since."""
    return (def_level if def_level_age == 0
            else max(0, def_level - def_level_age * distance_per_week / days_per_week / def_range * 100))


def range_left(def_range: Miles, def_level_now: Percent) -> Miles | Missing:
    """What the gauge shows of that."""
    return def_range * def_level_now / 100


def days_left(range_left: Miles, distance_per_week: Miles, days_per_week: Days) -> Days | Missing:
    """Days until it is empty, at your week’s pace."""
    return range_left / distance_per_week * days_per_week if distance_per_week > 0 else Missing("nothing is driven")


def range_to_reserve(def_range: Miles, def_level_now: Percent, reserve_level: Percent) -> Miles | Missing:
    """What is left above the reserve; never below nothing."""
    return max(0, def_range * (def_level_now - reserve_level) / 100)


def full_range_to_reserve(def_range: Miles, reserve_level: Percent) -> Miles | Missing:
    """A full tank, down to the reserve."""
    return def_range * (100 - reserve_level) / 100


def days_to_reserve(range_to_reserve: Miles, distance_per_week: Miles, days_per_week: Days) -> Days | Missing:
    """Days until the reserve, at your week’s pace."""
    return range_to_reserve / distance_per_week * days_per_week if distance_per_week > 0 else Missing("nothing is driven")


def whole_days_to_reserve(days_to_reserve: Days) -> Days | Missing:
    """Whole days of that: what is told is never too late."""
    return floor(days_to_reserve)


def fill_now(def_level_now: Percent, reserve_level: Percent, range_to_reserve: Miles, reserve_close: Miles) -> bool | Missing:
    """Whether it is at the reserve, or so close that a trip may reach it. (Our own threshold.)"""
    return def_level_now <= reserve_level or range_to_reserve < reserve_close


def refill_at_least(def_refill_at_least: Gallons, def_tank_capacity: Gallons, def_level_now: Percent) -> Gallons | Missing:
    """Less than this may not clear an empty tank’s message; a small tank takes less."""
    return min(def_refill_at_least, def_tank_capacity * (100 - def_level_now) / 100)


def def_keeps(def_shelf_life_good: Months, days_per_month: Days) -> Days:
    """Well stored, DEF keeps this long."""
    return def_shelf_life_good * days_per_month


def fuel_tanks_per_def_tank(def_range: Miles, fuel_range: Miles) -> Count:
    """Fuel tanks to one tank of DEF."""
    return def_range / fuel_range


def def_per_year(distance_per_year: Miles, fuel_economy: MilesPerGallon, def_share_of_fuel: Percent) -> Gallons:
    """DEF for the year’s fuel."""
    return distance_per_year / fuel_economy * def_share_of_fuel / 100


def def_cost_per_year(def_per_year: Gallons, def_price: DollarsPerGallon) -> Dollars:
    """At your price."""
    return def_per_year * def_price


def two_fillers() -> Caution:
    """Said with every answer: the right filler."""
    return Caution("NOTICE", "DEF in the fuel tank ruins the fuel system.",
                   "The small filler marked DEF, often blue, takes DEF and nothing else. Wrong tank? Don’t turn the key.")


def spills() -> Caution:
    """Said with every answer: spilled DEF."""
    return Caution("NOTICE", "Spilled DEF eats bare steel and copper and dries to a white crust.",
                   "Rinse it with water, off the truck and off your hands and eyes. Add nothing to it.")


def answer(days_to_reserve: Days | Missing, fill_now: bool | Missing, def_level_now: Percent | Missing, reserve_level: Percent,
           def_share_of_fuel: Percent, days_left: Days | Missing, def_keeps: Days, def_level_age: Days | Missing) -> str:
    """The sentence that says what to do."""
    return ("By these numbers the engine uses no DEF, so there is none to fill or plan: check them." if def_share_of_fuel == 0
            else "A full tank lasts about {full_range_to_reserve} to the reserve: read the gauge."
            if missing(def_level_now) or missing(fill_now) or missing(def_level_age)
            else "Fill DEF now, at least {refill_at_least}, or what fits: the tank is empty." if def_level_now == 0 and def_level_age == 0
            else "Fill DEF now, at least {refill_at_least}, or what fits: it is down to the reserve, where the warnings begin."
            if def_level_now <= reserve_level and def_level_age == 0
            else "Read the DEF gauge and fill, at least {refill_at_least}, or what fits: by the reading of {def_level_read_on} it should "
                 "be down to the reserve." if def_level_now <= reserve_level
            else _as_read(def_level_age, (
                "Fill DEF now, at least {refill_at_least}, or what fits: only {range_to_reserve} are left to the reserve" if fill_now
                else "Plan on {def_per_year} of DEF a year. What is in the tank lasts {range_to_reserve} to the reserve"
                if missing(days_to_reserve)
                else "Test or replace your DEF once it is {def_shelf_life_good} old: what is left would last {days_left}, longer than it "
                     "keeps" if not missing(days_left) and days_left > def_keeps
                else "Fill DEF today: {range_to_reserve} are left to the reserve, less than a day of yours" if days_to_reserve < 1
                else "Fill DEF within {whole_days_to_reserve}: about {range_to_reserve} are left to the reserve")))


def _as_read(def_level_age: Days, says: str) -> str:
    """A level that is carried on says from which day."""
    return f"{says}." if def_level_age == 0 else f"{says}, by the gauge as read on {{def_level_read_on}}."
