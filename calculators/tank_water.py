"""How much water gets into my tank, and how often must I drain?"""

from math import floor

from calculators.engine.figures import Missing
from calculators.engine.named import kelvin, milliliters, missing, saturated_at, saturation_pressure, water_per_gallon
from calculators.engine.rules import Caution
from calculators.engine.units import (
    Count,
    Days,
    Fahrenheit,
    Gallons,
    HeatCapacity,
    KilogramsPerCubicMeter,
    Milliliters,
    MillilitersPerGallon,
    Pascals,
    Percent,
)
from calculators.winter_fuel import fuel_level_age as fuel_level_age

HEADLINE = ("drain_every", "days_to_fill_bowl", "water_with_fuel_per_month", "water_from_air_per_month", "water_at_limit_per_month",
            "water_in_bad_fuel_per_month")
# What its form asks: a level that is typed there is today's.
ASKS = ("warm_temperature", "relative_humidity", "cool_temperature", "fuel_tank_capacity", "fuel_in_tank", "cycles_per_month",
        "fuel_per_month", "water_in_fuel", "separator_bowl_capacity")


def vapor_pressure(warm_temperature: Fahrenheit, relative_humidity: Percent, saturation: dict[str, list[float]]) -> Pascals:
    """Water vapor in the warm air."""
    return relative_humidity / 100 * saturation_pressure(warm_temperature, saturation)


def dew_point(vapor_pressure: Pascals, warm_temperature: Fahrenheit, saturation: dict[str, list[float]]) -> Fahrenheit | Missing:
    """Where that vapor begins to turn to water or frost."""
    return saturated_at(vapor_pressure, warm_temperature, saturation) if vapor_pressure > 0 else Missing("dry air has no dew point")


def humidity_ratio(vapor_pressure: Pascals, air_pressure: Pascals, vapor_to_air_mass: Count) -> Count:
    """Water with each part of dry air, by mass, warm."""
    return vapor_to_air_mass * vapor_pressure / (air_pressure - vapor_pressure)


def humidity_ratio_cool(cool_temperature: Fahrenheit, saturation: dict[str, list[float]], air_pressure: Pascals,
                        vapor_to_air_mass: Count) -> Count:
    """The most that the same air can hold once cool."""
    return (vapor_to_air_mass * saturation_pressure(cool_temperature, saturation)
            / (air_pressure - saturation_pressure(cool_temperature, saturation)))


def dry_air_density(air_pressure: Pascals, vapor_pressure: Pascals, dry_air_constant: HeatCapacity,
                    warm_temperature: Fahrenheit) -> KilogramsPerCubicMeter:
    """Dry air in a cubic meter of the warm air."""
    return (air_pressure - vapor_pressure) / (dry_air_constant * 1000 * kelvin(warm_temperature))


def water_in_air(humidity_ratio: Count, humidity_ratio_cool: Count, dry_air_density: KilogramsPerCubicMeter) -> MillilitersPerGallon:
    """Water that a gallon of the warm air gives up when it cools; a gram is a milliliter."""
    return water_per_gallon(max(0, humidity_ratio - humidity_ratio_cool) * dry_air_density)


def air_space(fuel_tank_capacity: Gallons, fuel_in_tank: Gallons | Missing) -> Gallons:
    """The tank’s room above the fuel; where nobody knows how much is in it, the whole tank."""
    return fuel_tank_capacity if missing(fuel_in_tank) else fuel_tank_capacity - fuel_in_tank


def air_exchanged(cool_temperature: Fahrenheit, warm_temperature: Fahrenheit) -> Percent:
    """Air that a warm day pushes out and the cool night draws in again."""
    return (1 - kelvin(cool_temperature) / kelvin(warm_temperature)) * 100


def water_per_cycle(air_exchanged: Percent, air_space: Gallons, water_in_air: MillilitersPerGallon) -> Milliliters:
    """Water that one day and night bring."""
    return air_exchanged / 100 * air_space * water_in_air


def water_from_air_per_month(cycles_per_month: Count, water_per_cycle: Milliliters, fuel_per_month: Gallons,
                             water_in_air: MillilitersPerGallon) -> Milliliters:
    """A month of days and nights, and the air that takes the place of the fuel burned."""
    return cycles_per_month * water_per_cycle + fuel_per_month * water_in_air


def water_from_air_at_most(cycles_per_month: Count, air_space: Gallons, water_in_air: MillilitersPerGallon,
                           water_from_air_per_month: Milliliters) -> Milliliters:
    """The most it could be: all the air changed in every cycle, or what the fuel burned alone draws in."""
    return max(cycles_per_month * air_space * water_in_air, water_from_air_per_month)


def water_with_fuel_per_month(fuel_per_month: Gallons, water_in_fuel: Percent) -> Milliliters:
    """Free water that comes in with the fuel and settles."""
    return milliliters(fuel_per_month * water_in_fuel / 100)


def water_at_limit_per_month(fuel_per_month: Gallons, water_in_fuel_limit: Percent) -> Milliliters:
    """At most: as much as the standard lets water and sediment be."""
    return milliliters(fuel_per_month * water_in_fuel_limit / 100)


def water_in_bad_fuel_per_month(fuel_per_month: Gallons, water_in_bad_fuel: Percent) -> Milliliters:
    """The same with bad fuel."""
    return milliliters(fuel_per_month * water_in_bad_fuel / 100)


def days_to_fill_bowl(separator_bowl_capacity: Milliliters, water_from_air_per_month: Milliliters,
                      water_with_fuel_per_month: Milliliters, days_per_month: Days) -> Days | Missing:
    """Days until both together fill the separator’s bowl, if all of it settles there: a bound, no date."""
    return (separator_bowl_capacity / (water_from_air_per_month + water_with_fuel_per_month) * days_per_month
            if water_from_air_per_month + water_with_fuel_per_month > 0 else Missing("no water comes in"))


def drain_every(days_to_fill_bowl: Days | Missing, drain_at_the_latest: Days) -> Days:
    """Drain every month, and sooner where even this fuel fills half the bowl before. (Our own rule.)"""
    return drain_at_the_latest if missing(days_to_fill_bowl) else min(drain_at_the_latest, days_to_fill_bowl / 2)


def whole_days_to_drain(drain_every: Days) -> Days:
    """Whole days of that, one at least."""
    return max(1, floor(drain_every))


def over_limit(water_in_fuel: Percent, water_in_fuel_limit: Percent) -> bool:
    """Whether that fuel holds more water than the standard lets it."""
    return water_in_fuel > water_in_fuel_limit


def bowl_in_doubt(days_to_fill_bowl: Days | Missing, bowl_days_in_doubt: Days) -> bool:
    """Whether the bowl fills so fast that its size is more likely wrong. (Our own threshold.)"""
    return not missing(days_to_fill_bowl) and days_to_fill_bowl < bowl_days_in_doubt


def verdict(over_limit: bool, days_to_fill_bowl: Days | Missing, drain_at_the_latest: Days) -> str:
    """Fits: a month’s drain keeps the bowl under half. Watch: under full. Against: it overflows, or over the limit. (Our own threshold.)"""
    return ("against" if over_limit
            else "fits" if missing(days_to_fill_bowl) or days_to_fill_bowl > 2 * drain_at_the_latest
            else "watch" if days_to_fill_bowl > drain_at_the_latest else "against")


def water_light() -> Caution:
    """Said with every answer: what the light means."""
    return Caution("WARNING", "The water light means stop now: it can already be late.",
                   "Park, key off, drain the separator. Water in the high-pressure pump can cost the whole fuel system.")


def drained_fuel() -> Caution:
    """Said with every answer: what is drained burns."""
    return Caution("CAUTION", "What you drain is fuel, and it burns.",
                   "Engine off and cool, no flames, wheels chocked. Catch it in a clear cup and take it to where used fuel is taken.")


def answer(over_limit: bool, bowl_in_doubt: bool, drain_every: Days, drain_at_the_latest: Days, whole_days_to_drain: Days,
           water_from_air_per_month: Milliliters, water_with_fuel_per_month: Milliliters, fuel_per_month: Gallons) -> str:
    """The sentence that says what to do."""
    return ("Don’t run that fuel, have it tested: {water_in_fuel} of water in it is more than the {water_in_fuel_limit} that the standard "
            "allows." if over_limit
            else "Check the bowl size: by these numbers it is full in less than {bowl_days_in_doubt}." if bowl_in_doubt
            else ("Drain it every month" if drain_every == drain_at_the_latest
                  else "Drain it every day" if whole_days_to_drain == 1 else "Drain it every {whole_days_to_drain}")
            + (": you burn no fuel, so only the air brings water, {water_from_air_per_month} a month." if fuel_per_month == 0
               else ". The air brings {water_from_air_per_month} a month, the fuel {water_with_fuel_per_month}, and fuel at the standard’s "
                    "limit {water_at_limit_per_month}: where you buy matters most, then a fuller tank."
               if water_from_air_per_month > water_with_fuel_per_month
               else ". The fuel brings {water_with_fuel_per_month} a month, the air {water_from_air_per_month}, and fuel at the "
                    "standard’s limit {water_at_limit_per_month}: where you buy matters most."))
