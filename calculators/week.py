"""Facts that follow from other facts, unless they are told: the week, the year, the DEF share."""

from datetime import date

from calculators.engine.figures import Missing
from calculators.engine.named import missing
from calculators.engine.rules import Check
from calculators.engine.units import (
    Count,
    Fahrenheit,
    Gallons,
    GramsPerKilowattHour,
    Hours,
    KilogramsPerLiter,
    Miles,
    MilesPerGallon,
    MilesPerHour,
    Minutes,
    Percent,
    Pounds,
)


def a_week_has_168_hours(short_trip_time: Minutes, short_trips_per_week: Count, long_trip_time: Minutes,
                         long_trips_per_week: Count, idle_hours_per_week: Hours, hours_in_a_week: Hours) -> Check:
    """shorten the trips or the idling: a week has 168 hours."""
    return ((short_trip_time * short_trips_per_week + long_trip_time * long_trips_per_week) / 60
            + idle_hours_per_week <= hours_in_a_week)


def driving_time_per_week(short_trip_time: Minutes, short_trips_per_week: Count,
                          long_trip_time: Minutes, long_trips_per_week: Count) -> Hours:
    """Driving time is each kind of trip by how often it is made."""
    return (short_trip_time * short_trips_per_week + long_trip_time * long_trips_per_week) / 60


def trip_distance_per_week(short_trip_time: Minutes, short_trips_per_week: Count, short_trip_speed: MilesPerHour,
                           long_trip_time: Minutes, long_trips_per_week: Count, long_trip_speed: MilesPerHour) -> Miles:
    """The trips' distance is the time of each kind at its speed."""
    return (short_trip_time * short_trips_per_week * short_trip_speed
            + long_trip_time * long_trips_per_week * long_trip_speed) / 60


def distance_per_week(trip_distance_per_week: Miles) -> Miles:
    """The week’s distance is that of the trips."""
    return trip_distance_per_week


def average_speed(trip_distance_per_week: Miles, driving_time_per_week: Hours) -> MilesPerHour | Missing:
    """Average speed is the trips' distance over their driving time."""
    return trip_distance_per_week / driving_time_per_week if driving_time_per_week > 0 else Missing("nothing is driven")


def a_week_of_that_distance_has_168_hours(distance_per_week: Miles, average_speed: MilesPerHour | Missing, idle_hours_per_week: Hours,
                                          driving_time_per_week: Hours, hours_in_a_week: Hours) -> Check:
    """fewer miles, a higher speed or less idling: a week has 168 hours."""
    return (missing(average_speed) or driving_time_per_week + idle_hours_per_week > hours_in_a_week
            or distance_per_week / average_speed + idle_hours_per_week <= hours_in_a_week)


def distance_per_year(distance_per_week: Miles, working_weeks_per_year: Count) -> Miles:
    """A year is the week’s distance in every working week."""
    return distance_per_week * working_weeks_per_year


def idle_hours_per_day(idle_hours_per_week: Hours, working_days_per_week: Count) -> Hours:
    """A working day’s share of the week’s idling."""
    return idle_hours_per_week / working_days_per_week


def days_per_year(working_days_per_week: Count, working_weeks_per_year: Count) -> Count:
    """Working days of a working year."""
    return working_days_per_week * working_weeks_per_year


def usual_oil_interval(interval__engine_oil__distance: Miles | Missing, usual_intervals: dict[str, dict[str, float]]) -> Miles:
    """The maker’s distance between oil changes, or the usual one until you enter it."""
    return usual_intervals["distance"]["engine_oil"] if missing(interval__engine_oil__distance) else interval__engine_oil__distance


def oil_interval(usual_oil_interval: Miles) -> Miles:
    """That distance, unless you give another."""
    return usual_oil_interval


def engine_hours_per_week(distance_per_week: Miles, average_speed: MilesPerHour | Missing, idle_hours_per_week: Hours) -> Hours:
    """Driving hours and idling hours, unless your readings show how many."""
    return idle_hours_per_week if missing(average_speed) else distance_per_week / average_speed + idle_hours_per_week


def gasoline_fuel_economy(fuel_economy: MilesPerGallon, gasoline_economy_share: Percent) -> MilesPerGallon:
    """At the same work a gasoline truck goes fewer miles on a gallon than this diesel."""
    return fuel_economy * gasoline_economy_share / 100


def it_plows(plows: bool | Missing, plow_weight: Pounds | Missing) -> bool | Missing:
    """Whether it plows: as you say, else by a plow’s weight."""
    return plows if not missing(plows) else plow_weight > 0 if not missing(plow_weight) else Missing("whether it plows is not told")


def it_tows(tows: bool | Missing, trailer_weight: Pounds | Missing) -> bool | Missing:
    """Whether it pulls a trailer: as you say, else by a trailer’s weight."""
    return tows if not missing(tows) else trailer_weight > 0 if not missing(trailer_weight) else Missing("whether it tows is not told")


def severe_use(it_plows: bool | Missing, it_tows: bool | Missing, power_take_off: bool | Missing, idle_hours_per_week: Hours,
               driving_time_per_week: Hours, short_trip_time: Minutes, short_trips_per_week: Count, long_trips_per_week: Count,
               severe_idle_share: Percent, severe_trip_time: Minutes) -> bool:
    """Severe unless you say otherwise: it plows, tows, works by power take-off, idles much, or makes mostly short trips."""
    return (True if not missing(it_plows) and it_plows else True if not missing(it_tows) and it_tows
            else True if not missing(power_take_off) and power_take_off
            else True if idle_hours_per_week * 100 > severe_idle_share * (idle_hours_per_week + driving_time_per_week)
            else short_trips_per_week > long_trips_per_week and short_trip_time < severe_trip_time)


def read_on(today: date) -> date:
    """The odometer is read today unless you say otherwise."""
    return today


def engine_hours_read_on(today: date) -> date:
    """The engine hours are read today unless you say otherwise."""
    return today


def def_level_read_on(today: date) -> date:
    """The DEF gauge is read today unless you say otherwise."""
    return today


def fuel_in_tank_read_on(today: date) -> date:
    """The fuel gauge is read today unless you say otherwise."""
    return today


def def_share_of_fuel(measured_def_share_of_fuel: Percent | Missing, nox_before: GramsPerKilowattHour,
                      nox_after: GramsPerKilowattHour, def_per_nox: Count, def_density: KilogramsPerLiter,
                      specific_fuel_consumption: GramsPerKilowattHour, fuel_density: KilogramsPerLiter) -> Percent:
    """DEF for the NOx that a kWh makes, against the fuel that a kWh takes; your own measurement wins."""
    return ((nox_before - nox_after) * def_per_nox / def_density / (specific_fuel_consumption / fuel_density) * 100
            if missing(measured_def_share_of_fuel) else measured_def_share_of_fuel)


def winter_cloud_point(winter_fuel_kind: str | Missing, summer_cloud_point: Fahrenheit, number_1_cloud_point: Fahrenheit,
                       pump_blend_cloud_point: Fahrenheit) -> Fahrenheit | Missing:
    """Where the pump’s winter fuel clouds: No. 1 far down, a blend nobody knows until the station says; never above what is in the tank."""
    return (Missing("ask at the station what the pump sells, No. 1 or a blend") if missing(winter_fuel_kind)
            else min(summer_cloud_point, number_1_cloud_point) if winter_fuel_kind == "number_1"
            else min(summer_cloud_point, pump_blend_cloud_point))


def fuel_per_month(distance_per_year: Miles, fuel_economy: MilesPerGallon, months_per_year: Count) -> Gallons:
    """A month’s share of the year’s fuel."""
    return distance_per_year / fuel_economy / months_per_year


def truck_weight(front_axle_weight: Pounds, rear_axle_weight: Pounds, plow_weight: Pounds, cargo_weight: Pounds,
                 occupants_weight: Pounds, ballast_weight: Pounds) -> Pounds:
    """The truck as weighed and all that is put on it, without a trailer."""
    return front_axle_weight + rear_axle_weight + plow_weight + cargo_weight + occupants_weight + ballast_weight
