"""The truck sat: what do I do before the first start?"""

from typing import NamedTuple

from calculators.engine.figures import Missing
from calculators.engine.named import column, first, missing, row_reaching
from calculators.engine.rules import Caution
from calculators.engine.units import Count, Fahrenheit, Gallons, Minutes, Months, Percent, Years
from calculators.regeneration import advised_drive_time as advised_drive_time
from calculators.winter_fuel import fuel_level_age as fuel_level_age

HEADLINE = ("jobs_that_matter", "tank_share", "exhaust_fluid_shelf_life", "exhaust_fluid_time_left")
# What its form asks, a level as of today; what the first drive goes by comes from the truck or the example.
ASKS = ("time_parked", "temperature_today", "fuel_in_tank", "fuel_tank_capacity", "lowest_temperature", "highest_temperature", "def_age",
        "battery_age", "summer_cloud_point")


class Job(NamedTuple):
    """One thing to do, and why."""

    job: str
    why: str


def tank_share(fuel_in_tank: Gallons, fuel_tank_capacity: Gallons) -> Percent:
    """How full the tank stood."""
    return fuel_in_tank / fuel_tank_capacity * 100


def exhaust_fluid_shelf_life(highest_temperature: Fahrenheit, shelf_life_table: list[list[float]]) -> Months | Missing:
    """How long DEF keeps at the highest temperature it saw."""
    return (row_reaching(highest_temperature, shelf_life_table) if highest_temperature <= shelf_life_table[-1][0]
            else Missing("that hot it keeps for no stated time"))


def exhaust_fluid_age(def_age: Months, time_parked: Months) -> Months:
    """The DEF in the tank is at least as old as the truck’s standing."""
    return max(def_age, time_parked)


def exhaust_fluid_time_left(exhaust_fluid_shelf_life: Months, exhaust_fluid_age: Months) -> Months | Missing:
    """What is left of the time it keeps."""
    return exhaust_fluid_shelf_life - exhaust_fluid_age


def water_likely(time_parked: Months, drain_first_from: Months) -> bool:
    """Long enough for water to settle."""
    return time_parked >= drain_first_from


def exhaust_fluid_doubtful(exhaust_fluid_time_left: Months | Missing) -> bool:
    """Whether the DEF is too old or was too hot."""
    return missing(exhaust_fluid_time_left) or exhaust_fluid_time_left < 0


def batteries_doubtful(time_parked: Months, battery_age: Years, battery_test_from: Months, battery_old_from: Years) -> bool:
    """Whether the batteries need a test first."""
    return time_parked >= battery_test_from or battery_age >= battery_old_from


def fuel_old(time_parked: Months, fuel_old_from: Months) -> bool:
    """Whether the fuel is old."""
    return time_parked >= fuel_old_from


def fuel_waxed(temperature_today: Fahrenheit | Missing, lowest_temperature: Fahrenheit, summer_cloud_point: Fahrenheit) -> bool:
    """Whether the fuel is waxed now; where nobody says how warm it is, whether it was."""
    return (lowest_temperature if missing(temperature_today) else temperature_today) < summer_cloud_point


def batteries_frozen(batteries_doubtful: bool, lowest_temperature: Fahrenheit, flat_battery_freezes: Fahrenheit) -> bool:
    """Whether a battery that ran flat may have frozen and split."""
    return batteries_doubtful and lowest_temperature < flat_battery_freezes


def tank_low(tank_share: Percent | Missing, tank_low_below: Percent) -> bool:
    """Whether the tank stood low, room for damp air; where nobody knows, its gauge is to be read."""
    return not missing(tank_share) and tank_share < tank_low_below


def jobs_that_matter(water_likely: bool, exhaust_fluid_doubtful: bool, batteries_doubtful: bool, fuel_old: bool, fuel_waxed: bool,
                     tank_low: bool) -> Count:
    """How many of six hold: water, DEF, batteries, old fuel, waxed fuel, a low tank."""
    return water_likely + exhaust_fluid_doubtful + batteries_doubtful + fuel_old + fuel_waxed + tank_low


def jobs(water_likely: bool, exhaust_fluid_doubtful: bool, batteries_doubtful: bool, batteries_frozen: bool, fuel_old: bool,
         fuel_waxed: bool, temperature_today: Fahrenheit | Missing, tank_low: bool, tank_share: Percent | Missing,
         advised_drive_time: Minutes | Missing, sitting_jobs: list[dict[str, str]]) -> list[Job]:
    """What to do, in order, before and at the first start."""
    holds = {"water_likely": water_likely, "exhaust_fluid_doubtful": exhaust_fluid_doubtful, "batteries_doubtful": batteries_doubtful,
             "batteries_frozen": batteries_frozen, "fuel_old": fuel_old, "fuel_waxed": fuel_waxed and not missing(temperature_today),
             "fuel_perhaps_waxed": fuel_waxed and missing(temperature_today), "tank_low": tank_low,
             "tank_unknown": missing(tank_share), "always": True,
             "drive_known": not missing(advised_drive_time), "drive_unknown": missing(advised_drive_time)}
    return [Job(row["job"], row["why"]) for row in sitting_jobs if holds[row["if"]]]


def first_job(jobs: list[Job]) -> str:
    """Where that list begins."""
    return first(column(jobs, "job"))


def verdict(jobs_that_matter: Count, sitting_watch_from: Count, sitting_against_from: Count) -> str:
    """Fits: only the usual look. Watch: some of the six hold. Against: most do. (Our own threshold.)"""
    return ("against" if jobs_that_matter >= sitting_against_from
            else "watch" if jobs_that_matter >= sitting_watch_from else "fits")


def no_starting_fluid() -> Caution:
    """Said with every answer: starting fluid."""
    return Caution("WARNING", "Starting fluid explodes on glow plugs or an intake heater.",
                   "Never use it. Charge or warm the batteries and plug in instead.")


def draining() -> Caution:
    """Said with every answer: draining fuel."""
    return Caution("CAUTION", "Drained fuel burns.", "Engine cold, no flames, wheels chocked, a clear cup under the drain.")


def answer(verdict: str, water_likely: bool) -> str:
    """The sentence that says what to do."""
    return ("Don’t start it yet: much of it may have gone off. Go down the list, and begin with this: {first_job}"
            if verdict == "against"
            else "Drain the water separator before you start it, then go down the list." if water_likely
            else "Before you start it, go down the list, and begin with this: {first_job}" if verdict == "watch"
            else "It sat a short time: go down the list, start it, let it idle and look for leaks.")
