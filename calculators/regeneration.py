"""Do my trips let the exhaust filter clean itself?"""

from itertools import accumulate
from math import ceil, exp, floor, log
from typing import NamedTuple

from calculators.engine.figures import Missing
from calculators.engine.named import kelvin, kilojoules, missing
from calculators.engine.rules import Caution
from calculators.engine.units import (
    BtuPerGallon,
    Count,
    Days,
    Fahrenheit,
    FahrenheitRise,
    Gallons,
    GasConstant,
    Grams,
    GramsPerHour,
    GramsPerMile,
    HeatCapacity,
    Hours,
    Kelvins,
    KilogramsPerHour,
    KilojoulesPerMole,
    Miles,
    MilesPerHour,
    Minutes,
    Percent,
    PerSecond,
    Quarts,
)

HEADLINE = ("days_between_regenerations", "advised_drive_time", "first_try_share", "broken_burns_per_month",
            "extra_long_trips_per_week", "fuel_into_oil")


class DayOfLoad(NamedTuple):
    """How full the filter is at the end of a day, as the week is and with one more long drive in it."""

    day: Count
    load: Percent
    load_with_one_more: Percent


def warm_up_time(outside_temperature: Fahrenheit, temperature_rise: FahrenheitRise, light_off_temperature: Fahrenheit,
                 warm_up_time_constant: Minutes) -> Minutes | Missing:
    """The exhaust nears its running temperature ever more slowly until the catalyst lights off."""
    return (warm_up_time_constant * log(temperature_rise / (outside_temperature + temperature_rise - light_off_temperature))
            if outside_temperature + temperature_rise > light_off_temperature
            else Missing("in this cold the exhaust never gets hot enough"))


def coldest_reached(light_off_temperature: Fahrenheit, temperature_rise: FahrenheitRise) -> Fahrenheit:
    """In air colder than this it never gets there."""
    return light_off_temperature - temperature_rise


def oxidation_rate(soot_rate_constant: PerSecond, soot_activation_energy: KilojoulesPerMole, gas_constant: GasConstant,
                   regeneration_temperature: Fahrenheit) -> PerSecond:
    """Soot burns faster the hotter the filter (Arrhenius)."""
    return soot_rate_constant * exp(-soot_activation_energy / (gas_constant * kelvin(regeneration_temperature)))


def burn_time(soot_burned_share: Percent, oxidation_rate: PerSecond) -> Minutes:
    """First-order burning takes the same share in every equal time."""
    return log(100 / (100 - soot_burned_share)) / oxidation_rate / 60


def burn_time_at_reference(reference_burn_time: Minutes, soot_burned_share: Percent, reference_burned_share: Percent) -> Minutes:
    """The same share at the temperature where the usual burn is known."""
    return reference_burn_time * log(100 / (100 - soot_burned_share)) / log(100 / (100 - reference_burned_share))


def burn_time_at_low_energy(burn_time_at_reference: Minutes, activation_energy_low: KilojoulesPerMole, gas_constant: GasConstant,
                            regeneration_temperature: Fahrenheit, reference_temperature: Fahrenheit) -> Minutes:
    """From there to your temperature with the lowest published activation energy."""
    return burn_time_at_reference * exp(
        activation_energy_low / gas_constant * (1 / kelvin(regeneration_temperature) - 1 / kelvin(reference_temperature)))


def burn_time_at_high_energy(burn_time_at_reference: Minutes, activation_energy_high: KilojoulesPerMole, gas_constant: GasConstant,
                             regeneration_temperature: Fahrenheit, reference_temperature: Fahrenheit) -> Minutes:
    """And with the highest."""
    return burn_time_at_reference * exp(
        activation_energy_high / gas_constant * (1 / kelvin(regeneration_temperature) - 1 / kelvin(reference_temperature)))


def burn_time_low(burn_time_at_low_energy: Minutes, burn_time_at_high_energy: Minutes) -> Minutes:
    """The shorter of the two. Where both are set to the same usual time they meet, but that time is a rule of thumb."""
    return min(burn_time_at_low_energy, burn_time_at_high_energy)


def burn_time_high(burn_time_at_low_energy: Minutes, burn_time_at_high_energy: Minutes) -> Minutes:
    """The longer of the two."""
    return max(burn_time_at_low_energy, burn_time_at_high_energy)


def time_needed_from_cold(warm_up_time: Minutes, heat_up_time: Minutes, burn_time: Minutes) -> Minutes:
    """One drive must warm up, heat the filter and finish the burn."""
    return warm_up_time + heat_up_time + burn_time


def short_trips_long_enough(time_needed_from_cold: Minutes | Missing, short_trip_time: Minutes, short_trips_per_week: Count) -> Count:
    """Short trips count if they last at least that long."""
    return 0 if missing(time_needed_from_cold) or short_trip_time < time_needed_from_cold else short_trips_per_week


def long_trips_long_enough(time_needed_from_cold: Minutes | Missing, long_trip_time: Minutes, long_trips_per_week: Count) -> Count:
    """Long trips count if they last at least that long."""
    return 0 if missing(time_needed_from_cold) or long_trip_time < time_needed_from_cold else long_trips_per_week


def long_enough_trips_per_week(short_trips_long_enough: Count, long_trips_long_enough: Count) -> Count:
    """Trips a week that can finish a burn."""
    return short_trips_long_enough + long_trips_long_enough


def trips_are_assumed(short_trips_per_week_is_assumed: bool, long_trips_per_week_is_assumed: bool, short_trips_long_enough: Count,
                      long_trips_long_enough: Count) -> bool:
    """Whether you told neither kind of trip, or not the kind that ends its burns: then the example’s stand in."""
    return ((short_trips_per_week_is_assumed and (long_trips_per_week_is_assumed or short_trips_long_enough > 0))
            or (long_trips_per_week_is_assumed and long_trips_long_enough > 0))


def share_of_trips_long_enough(long_enough_trips_per_week: Count, short_trips_per_week: Count,
                               long_trips_per_week: Count) -> Percent | Missing:
    """Those trips among all trips."""
    return (long_enough_trips_per_week / (short_trips_per_week + long_trips_per_week) * 100
            if short_trips_per_week + long_trips_per_week > 0 else Missing("no trips are made"))


def advised_drive_time(time_needed_from_cold: Minutes, drive_time_reserve: Percent, drive_time_step: Minutes,
                       drive_to_finish_a_burn_most: Minutes) -> Minutes | Missing:
    """What is needed and a little more, in steps of a few minutes; never less than the trade’s rule."""
    return max(drive_to_finish_a_burn_most,
               ceil(time_needed_from_cold * (1 + drive_time_reserve / 100) / drive_time_step) * drive_time_step)


def trips_of_advised_time(advised_drive_time: Minutes | Missing, short_trip_time: Minutes, short_trips_per_week: Count,
                          long_trip_time: Minutes, long_trips_per_week: Count) -> Count:
    """Trips a week of at least that time: they finish a burn with room to spare."""
    return (0 if missing(advised_drive_time)
            else (short_trips_per_week if short_trip_time >= advised_drive_time else 0)
            + (long_trips_per_week if long_trip_time >= advised_drive_time else 0))


def room_on_short_trip(warm_up_time: Minutes | Missing, heat_up_time: Minutes, short_trip_time: Minutes) -> Minutes:
    """What a short trip leaves for burning once the filter is hot."""
    return 0 if missing(warm_up_time) else max(0, short_trip_time - warm_up_time - heat_up_time)


def room_on_long_trip(warm_up_time: Minutes | Missing, heat_up_time: Minutes, long_trip_time: Minutes) -> Minutes:
    """What a long trip leaves."""
    return 0 if missing(warm_up_time) else max(0, long_trip_time - warm_up_time - heat_up_time)


def short_trip_hot_share(room_on_short_trip: Minutes, burn_time: Minutes) -> Percent:
    """So much of a burn fits into a short trip: it is also how likely a burn comes due while it could start."""
    return min(100, room_on_short_trip / burn_time * 100)


def long_trip_hot_share(room_on_long_trip: Minutes, burn_time: Minutes) -> Percent:
    """So much of a burn fits into a long trip."""
    return min(100, room_on_long_trip / burn_time * 100)


def short_trips_breaking_a_burn(short_trips_long_enough: Count, short_trips_per_week: Count, short_trip_hot_share: Percent) -> Count:
    """Short trips a week, by that share, that can start a burn and not end it."""
    return 0 if short_trips_long_enough > 0 else short_trips_per_week * short_trip_hot_share / 100


def long_trips_breaking_a_burn(long_trips_long_enough: Count, long_trips_per_week: Count, long_trip_hot_share: Percent) -> Count:
    """Long trips a week that can start a burn and not end it."""
    return 0 if long_trips_long_enough > 0 else long_trips_per_week * long_trip_hot_share / 100


def trips_breaking_a_burn(short_trips_breaking_a_burn: Count, long_trips_breaking_a_burn: Count) -> Count:
    """Both kinds."""
    return short_trips_breaking_a_burn + long_trips_breaking_a_burn


def finished_share(long_enough_trips_per_week: Count, trips_breaking_a_burn: Count) -> Percent:
    """Of the trips on which a waiting burn can start, those that also end it."""
    return (long_enough_trips_per_week / (long_enough_trips_per_week + trips_breaking_a_burn) * 100
            if long_enough_trips_per_week > 0 else 0)


def short_trip_distance_per_week(short_trip_time: Minutes, short_trips_per_week: Count, short_trip_speed: MilesPerHour) -> Miles:
    """Miles on short trips."""
    return short_trip_time / 60 * short_trip_speed * short_trips_per_week


def long_trip_distance_per_week(long_trip_time: Minutes, long_trips_per_week: Count, long_trip_speed: MilesPerHour) -> Miles:
    """Miles on long trips."""
    return long_trip_time / 60 * long_trip_speed * long_trips_per_week


def soot_from_idling_per_week(idle_soot_rate: GramsPerHour, idle_hours_per_week: Hours) -> Grams:
    """Soot made standing still."""
    return idle_hours_per_week * idle_soot_rate


def soot_per_week(short_trip_distance_per_week: Miles, long_trip_distance_per_week: Miles, soot_rate: GramsPerMile,
                  soot_from_idling_per_week: Grams) -> Grams:
    """Soot made driving and idling."""
    return (short_trip_distance_per_week + long_trip_distance_per_week) * soot_rate + soot_from_idling_per_week


def makes_no_soot(soot_per_week: Grams) -> bool:
    """Whether the week makes none: nothing is driven or idled."""
    return soot_per_week == 0


def soot_burned_passively_per_week(warm_up_time: Minutes | Missing, long_trip_time: Minutes, passive_share: Percent,
                                   soot_rate: GramsPerMile, long_trip_distance_per_week: Miles) -> Grams:
    """A long drive burns part of its own soot on the way, from the minute in which its exhaust is hot."""
    return (0 if missing(warm_up_time) or long_trip_time <= warm_up_time
            else long_trip_distance_per_week * soot_rate * passive_share / 100 * (long_trip_time - warm_up_time) / long_trip_time)


def soot_kept_on_short_trips(short_trip_distance_per_week: Miles, soot_rate: GramsPerMile) -> Grams:
    """Soot that short trips leave in the filter."""
    return short_trip_distance_per_week * soot_rate


def soot_kept_on_long_trips(long_trip_distance_per_week: Miles, soot_rate: GramsPerMile, soot_burned_passively_per_week: Grams) -> Grams:
    """Soot that long trips leave there."""
    return long_trip_distance_per_week * soot_rate - soot_burned_passively_per_week


def soot_kept_per_week(soot_kept_on_short_trips: Grams, soot_kept_on_long_trips: Grams, soot_from_idling_per_week: Grams) -> Grams:
    """All that stays in the filter."""
    return soot_kept_on_short_trips + soot_kept_on_long_trips + soot_from_idling_per_week


def soot_where_a_burn_can_end(short_trips_long_enough: Count, soot_kept_on_short_trips: Grams, long_trips_long_enough: Count,
                              soot_kept_on_long_trips: Grams) -> Grams:
    """What gathers on trips that are long enough: a burn that comes due there ends there."""
    return ((soot_kept_on_short_trips if short_trips_long_enough > 0 else 0)
            + (soot_kept_on_long_trips if long_trips_long_enough > 0 else 0))


def soot_where_a_burn_breaks(short_trips_long_enough: Count, soot_kept_on_short_trips: Grams, short_trip_hot_share: Percent,
                             long_trips_long_enough: Count, soot_kept_on_long_trips: Grams, long_trip_hot_share: Percent) -> Grams:
    """What gathers on trips that can start a burn and not end it."""
    return ((0 if short_trips_long_enough > 0 else soot_kept_on_short_trips * short_trip_hot_share / 100)
            + (0 if long_trips_long_enough > 0 else soot_kept_on_long_trips * long_trip_hot_share / 100))


def soot_where_a_burn_waits(soot_kept_per_week: Grams, soot_where_a_burn_can_end: Grams, soot_where_a_burn_breaks: Grams) -> Grams:
    """What gathers cold or idling: a burn that comes due there waits for a hot trip."""
    return max(0, soot_kept_per_week - soot_where_a_burn_can_end - soot_where_a_burn_breaks)


def first_try_share(soot_kept_per_week: Grams, soot_where_a_burn_breaks: Grams, soot_where_a_burn_waits: Grams,
                    finished_share: Percent) -> Percent | Missing:
    """Burns that end at the first try: all but those that come due where they break, or wait for a trip that breaks them."""
    return (Missing("no soot builds up") if soot_kept_per_week == 0 else 0 if finished_share == 0
            else (1 - (soot_where_a_burn_breaks + soot_where_a_burn_waits * (1 - finished_share / 100)) / soot_kept_per_week) * 100)


def soot_burned_per_regeneration(soot_burned_share: Percent, filter_capacity: Grams) -> Grams:
    """What one finished burn takes away."""
    return soot_burned_share / 100 * filter_capacity


def days_between_regenerations(soot_burned_per_regeneration: Grams, soot_kept_per_week: Grams, days_per_week: Days) -> Days | Missing:
    """Days until that much has built up again."""
    return (days_per_week * soot_burned_per_regeneration / soot_kept_per_week if soot_kept_per_week > 0
            else Missing("no soot builds up"))


def distance_between_regenerations(days_between_regenerations: Days, short_trip_distance_per_week: Miles,
                                   long_trip_distance_per_week: Miles, days_per_week: Days, trips_are_assumed: bool) -> Miles | Missing:
    """Miles driven in those days, by trips of your own."""
    return (Missing("tell your trips") if trips_are_assumed
            else days_between_regenerations / days_per_week * (short_trip_distance_per_week + long_trip_distance_per_week))


def days_without_long_trips(soot_burned_per_regeneration: Grams, soot_kept_per_week: Grams, soot_where_a_burn_can_end: Grams,
                            days_per_week: Days) -> Days | Missing:
    """Days in which the filter would fill if the trips that are long enough were left out."""
    return (days_per_week * soot_burned_per_regeneration / (soot_kept_per_week - soot_where_a_burn_can_end)
            if soot_kept_per_week > soot_where_a_burn_can_end else Missing("nothing else fills the filter"))


def load_between_long_trips(soot_where_a_burn_breaks: Grams, soot_where_a_burn_waits: Grams, long_enough_trips_per_week: Count,
                            filter_capacity: Grams) -> Percent | Missing:
    """What gathers between two trips that are long enough, of what the filter holds."""
    return ((soot_where_a_burn_breaks + soot_where_a_burn_waits) / long_enough_trips_per_week / filter_capacity * 100
            if long_enough_trips_per_week > 0 else Missing("no trip is long enough"))


def about_so_full(load_between_long_trips: Percent) -> Percent | Missing:
    """That to the whole percent: nobody knows it closer."""
    return round(load_between_long_trips)


def burns_needed_per_week(soot_kept_per_week: Grams, soot_burned_per_regeneration: Grams) -> Count:
    """Whole burns a week that take away what builds up."""
    return soot_kept_per_week / soot_burned_per_regeneration


def burns_broken_before_one_ends(burns_needed_per_week: Count, first_try_share: Percent | Missing, finished_share: Percent,
                                 days_per_month: Days, days_per_week: Days) -> Count | Missing:
    """Burns a month broken off if each were tried until a trip ends it."""
    return (Missing("no trip is long enough") if finished_share == 0 else 0 if missing(first_try_share)
            else burns_needed_per_week * days_per_month / days_per_week * (100 - first_try_share) / finished_share)


def chances_to_break_per_month(trips_breaking_a_burn: Count, days_per_month: Days, days_per_week: Days) -> Count:
    """Trips a month that can break one off."""
    return trips_breaking_a_burn * days_per_month / days_per_week


def burned_on_short_trip(oxidation_rate: PerSecond, room_on_short_trip: Minutes) -> Percent:
    """The soot that a burn takes before a short trip breaks it off."""
    return (1 - exp(-oxidation_rate * room_on_short_trip * 60)) * 100


def burned_on_long_trip(oxidation_rate: PerSecond, room_on_long_trip: Minutes) -> Percent:
    """The soot that it takes before a long trip breaks it off."""
    return (1 - exp(-oxidation_rate * room_on_long_trip * 60)) * 100


def burned_by_broken_burn(short_trips_breaking_a_burn: Count, burned_on_short_trip: Percent, long_trips_breaking_a_burn: Count,
                          burned_on_long_trip: Percent, trips_breaking_a_burn: Count) -> Percent | Missing:
    """What a broken burn takes on average."""
    return ((short_trips_breaking_a_burn * burned_on_short_trip + long_trips_breaking_a_burn * burned_on_long_trip) / trips_breaking_a_burn
            if trips_breaking_a_burn > 0 else Missing("no burn is broken off"))


def broken_burns_fed_per_month(soot_kept_per_week: Grams, burned_by_broken_burn: Percent, filter_capacity: Grams,
                               days_per_month: Days, days_per_week: Days) -> Count | Missing:
    """Broken burns a month that the soot is enough for: each takes some, and the next comes when the filter is full again."""
    return (soot_kept_per_week * days_per_month / days_per_week / (burned_by_broken_burn / 100 * filter_capacity)
            if burned_by_broken_burn > 0 else Missing("no burn is broken off"))


def broken_burns_per_month(chances_to_break_per_month: Count, broken_burns_fed_per_month: Count | Missing,
                           burns_broken_before_one_ends: Count | Missing) -> Count:
    """Burns broken off in a month: the least of the three."""
    return (0 if missing(broken_burns_fed_per_month)
            else min(chances_to_break_per_month, broken_burns_fed_per_month) if missing(burns_broken_before_one_ends)
            else min(chances_to_break_per_month, broken_burns_fed_per_month, burns_broken_before_one_ends))


def soot_kept_on_extra_trip(advised_drive_time: Minutes, warm_up_time: Minutes, long_trip_speed: MilesPerHour, soot_rate: GramsPerMile,
                            passive_share: Percent) -> Grams:
    """What one more drive of the advised time itself leaves in the filter."""
    return long_trip_speed * soot_rate * (advised_drive_time - passive_share / 100 * (advised_drive_time - warm_up_time)) / 60


def extra_long_trips_wanted(long_enough_trips_per_week: Count, burns_needed_per_week: Count, soot_kept_per_week: Grams,
                            soot_burned_per_regeneration: Grams, soot_kept_on_extra_trip: Grams) -> Count | Missing:
    """Long drives a week more that let every burn finish, their own soot counted; parts of one are one in some weeks."""
    return (0 if long_enough_trips_per_week >= burns_needed_per_week
            else Missing("each long drive makes more soot than a burn takes away")
            if soot_kept_on_extra_trip >= soot_burned_per_regeneration
            else (soot_kept_per_week - long_enough_trips_per_week * soot_burned_per_regeneration)
            / (soot_burned_per_regeneration - soot_kept_on_extra_trip))


def extra_long_trips_per_week(extra_long_trips_wanted: Count) -> Count:
    """The same in whole drives."""
    return ceil(extra_long_trips_wanted)


def days_between_extra_trips(extra_long_trips_wanted: Count, days_per_week: Days) -> Days | Missing:
    """Days from one of them to the next, part days dropped."""
    return (floor(days_per_week / extra_long_trips_wanted) if extra_long_trips_wanted > 0
            else Missing("no drive is lacking"))


def hours_free_per_week(hours_in_a_week: Hours, driving_time_per_week: Hours, idle_hours_per_week: Hours) -> Hours:
    """Hours of the week that are neither driven nor idled."""
    return hours_in_a_week - driving_time_per_week - idle_hours_per_week


def extra_trips_fit(extra_long_trips_per_week: Count, advised_drive_time: Minutes, hours_free_per_week: Hours) -> bool | Missing:
    """Whether the week has room for those drives."""
    return extra_long_trips_per_week * advised_drive_time / 60 <= hours_free_per_week


def fuel_per_regeneration(exhaust_flow: KilogramsPerHour, exhaust_heat_capacity: HeatCapacity, exhaust_heating: Kelvins,
                          heat_up_time: Minutes, burn_time: Minutes, diesel_energy: BtuPerGallon) -> Gallons:
    """Fuel that heats the exhaust for as long as a burn takes."""
    return exhaust_flow * exhaust_heat_capacity * exhaust_heating * (heat_up_time + burn_time) / 60 / kilojoules(diesel_energy)


def fuel_per_regeneration_low(fuel_per_regeneration: Gallons, fuel_per_burn_least: Gallons) -> Gallons:
    """The least that a burn is said to take, or less if the sum says so."""
    return min(fuel_per_regeneration, fuel_per_burn_least)


def fuel_per_regeneration_high(fuel_per_regeneration: Gallons, fuel_per_burn_most: Gallons) -> Gallons:
    """The most, or more if the sum says so."""
    return max(fuel_per_regeneration, fuel_per_burn_most)


def fuel_into_oil(broken_burns_per_month: Count, fuel_per_broken_burn: Quarts, oil_capacity: Quarts) -> Percent:
    """Each burn broken off leaves some fuel in the oil (a guess); its share of the oil after a month."""
    return broken_burns_per_month * fuel_per_broken_burn / oil_capacity * 100


def fuel_into_oil_low(broken_burns_per_month: Count, fuel_per_broken_burn_least: Quarts, oil_capacity: Quarts) -> Percent:
    """The same with the least: trucks that inject into the exhaust leave none."""
    return broken_burns_per_month * fuel_per_broken_burn_least / oil_capacity * 100


def fuel_into_oil_high(broken_burns_per_month: Count, fuel_per_broken_burn_most: Quarts, oil_capacity: Quarts) -> Percent:
    """And with the most."""
    return broken_burns_per_month * fuel_per_broken_burn_most / oil_capacity * 100


def days_to_oil_trouble(fuel_in_oil_trouble: Percent, fuel_into_oil_high: Percent, days_per_month: Days) -> Days | Missing:
    """At worst, fresh oil holds as much fuel as starts trouble after these days: none of it boiled off again."""
    return fuel_in_oil_trouble / fuel_into_oil_high * days_per_month if fuel_into_oil_high > 0 else Missing("no burn is broken off")


def days_to_oil_limit(fuel_in_oil_limit: Percent, fuel_into_oil_high: Percent, days_per_month: Days) -> Days | Missing:
    """And as much as it is changed at, at the latest."""
    return fuel_in_oil_limit / fuel_into_oil_high * days_per_month if fuel_into_oil_high > 0 else Missing("no burn is broken off")


def filter_load(soot_kept_per_week: Grams, filter_capacity: Grams, soot_burned_share: Percent, long_enough_trips_per_week: Count,
                soot_kept_on_extra_trip: Grams | Missing, filter_load_days: Days, days_per_week: Days) -> list[DayOfLoad]:
    """Six weeks from an empty filter: each day adds its soot; full and on a long-enough trip, it burns."""
    extra, trips = (0.0, 0) if missing(soot_kept_on_extra_trip) else (soot_kept_on_extra_trip, 1)
    same = (filter_capacity, soot_burned_share, filter_load_days, days_per_week)
    now = _load(soot_kept_per_week, long_enough_trips_per_week, *same)
    more = _load(soot_kept_per_week + extra, long_enough_trips_per_week + trips, *same)
    return [DayOfLoad(day, load, other) for day, (load, other) in enumerate(zip(now, more, strict=True))]


def mostly_idling(soot_from_idling_per_week: Grams, soot_kept_per_week: Grams) -> bool:
    """Whether most of what stays in the filter comes from idling."""
    return soot_from_idling_per_week > soot_kept_per_week / 2


def breaks_too_often(first_try_share: Percent | Missing, first_try_share_good: Percent) -> bool:
    """Whether too few burns end at the first try."""
    return not missing(first_try_share) and first_try_share < first_try_share_good


def fills_between(load_between_long_trips: Percent | Missing, load_between_good: Percent) -> bool:
    """Whether too much gathers from one long trip to the next."""
    return not missing(load_between_long_trips) and load_between_long_trips > load_between_good


def only_just(trips_of_advised_time: Count, burns_needed_per_week: Count) -> bool:
    """Whether the trips that end a burn do so with nothing to spare."""
    return trips_of_advised_time < burns_needed_per_week


def nearly_too_cold(outside_temperature: Fahrenheit, coldest_reached: Fahrenheit, coldest_reached_margin: FahrenheitRise) -> bool:
    """Whether a little colder it would never get hot enough."""
    return outside_temperature - coldest_reached < coldest_reached_margin


def needs_its_long_trips(days_without_long_trips: Days | Missing, days_without_long_trips_few: Days,
                         share_of_trips_long_enough: Percent | Missing) -> bool:
    """Whether the filter would fill soon if only the other trips were made."""
    return (not missing(days_without_long_trips) and days_without_long_trips <= days_without_long_trips_few
            and not missing(share_of_trips_long_enough) and share_of_trips_long_enough < 100)


def cause(soot_kept_per_week: Grams, warm_up_time: Minutes | Missing, short_trips_per_week: Count, long_trips_per_week: Count,
          long_enough_trips_per_week: Count, trips_breaking_a_burn: Count, extra_long_trips_wanted: Count | Missing,
          mostly_idling: bool, breaks_too_often: bool, fills_between: bool, only_just: bool, nearly_too_cold: bool,
          needs_its_long_trips: bool) -> str:
    """What it comes from, the gravest first; where nothing is wrong, what carries it."""
    return ("nothing_builds_up" if soot_kept_per_week == 0
            else "too_cold" if missing(warm_up_time)
            else "only_idles" if short_trips_per_week + long_trips_per_week == 0
            else "too_short_to_start" if long_enough_trips_per_week + trips_breaking_a_burn == 0
            else "too_short_to_end" if long_enough_trips_per_week == 0
            else "too_much_soot" if missing(extra_long_trips_wanted)
            else "idles_too_much" if mostly_idling and (extra_long_trips_wanted > 0 or fills_between)
            else "too_few_long_trips" if extra_long_trips_wanted > 0
            else "too_short_to_end" if breaks_too_often
            else "too_few_long_trips" if fills_between
            else "only_just" if only_just
            else "nearly_too_cold" if nearly_too_cold
            else "long_trips" if needs_its_long_trips else "all_trips")


def verdict(cause: str, long_enough_trips_per_week: Count, extra_long_trips_per_week: Count | Missing,
            extra_long_trips_bearable: Count, extra_trips_fit: bool | Missing) -> str:
    """Fits: nothing is wrong. Watch: some trips are long enough, and few drives are lacking. Against: else. (Our own threshold.)"""
    return ("fits" if cause == "nothing_builds_up" or cause == "long_trips" or cause == "all_trips"
            else "against" if long_enough_trips_per_week == 0 or missing(extra_long_trips_per_week)
            else "against" if extra_long_trips_per_week > extra_long_trips_bearable or not extra_trips_fit
            else "watch")


def remedy(cause: str, verdict: str, long_enough_trips_per_week: Count, extra_long_trips_per_week: Count | Missing,
           extra_trips_fit: bool | Missing, extra_long_trips_wanted: Count | Missing, fills_between: bool) -> str:
    """What would do; drives that are lacking only now and then are counted in days."""
    return ("nothing" if verdict == "fits" else "shop" if missing(extra_long_trips_per_week) or missing(extra_long_trips_wanted)
            else "no_room" if not extra_trips_fit
            else "drives" if extra_long_trips_per_week > 1
            else "drive" if extra_long_trips_wanted > 1 / 2
            else "more_often" if fills_between and extra_long_trips_wanted < long_enough_trips_per_week and cause != "too_short_to_end"
            else "drive_now_and_then" if extra_long_trips_wanted > 0
            else "end_them" if cause == "too_short_to_end" else "longer" if cause == "only_just" else "start_warm")


def fire_under_the_truck() -> Caution:
    """Said with every answer: a burn’s heat."""
    return Caution("WARNING", "A burn can set dry grass under the truck on fire.",
                   "Before you park, look at the ground. Bare ground or pavement only, nothing behind the tailpipe. "
                   "Stay with the truck.")


def exhaust_gas() -> Caution:
    """Said with every answer: a parked burn’s gas."""
    return Caution("DANGER", "Exhaust gas kills in a closed space.",
                   "A parked burn is for outdoors only. Stand upwind: it sends very fine particles around the truck.")


def how_sure(reference_burn_time: Minutes, reference_temperature: Fahrenheit) -> Caution:
    """Said with every answer: what the burn’s time stands on."""
    return Caution("NOTICE", "Nobody is sure how long a burn takes.",
                   "The sum is set to the usual {reference_burn_time} at {reference_temperature}, a rule of thumb. So at that heat the "
                   "least and the most are the same, and near it they look surer than they are. Go by your truck’s own message.")


def broken_burn(broken_burns_per_month: Count, broken_burns_bearable: Count, fuel_in_oil_trouble: Percent,
                fuel_in_oil_limit: Percent) -> Caution | None:
    """Said where burns are broken off more than now and then."""
    return (Caution("NOTICE", "A burn broken off can leave fuel in the oil.",
                    "On trucks that inject into the cylinder: look at the dipstick each week. Above FULL, stop soon, don’t tow, change it. "
                    "How much is a guess, from {fuel_into_oil_low} to {fuel_into_oil_high} of the oil in a month. Trouble starts near "
                    "{fuel_in_oil_trouble}; that could be as soon as {days_to_oil_trouble} after an oil change. At {fuel_in_oil_limit}, "
                    "change it at the latest.")
            if broken_burns_per_month >= broken_burns_bearable else None)


# What each cause says, of the owner’s trips or of the example’s, and what each remedy; those of _DRIVES may begin with idling less.
_CAUSES = {
    "nothing_builds_up": "%(your)s long hot trips burn the soot as fast as it comes: nothing builds up. If a filter message comes all the "
                         "same, have a shop look.",
    "too_cold": "This sum reaches down to {coldest_reached}: in colder air the exhaust never gets hot enough by it. Start warm, plugged in "
                "or from a warm building, and ask a shop what your truck does in such cold.",
    "long_trips": "%(your)s {long_enough_trips_per_week} long trips a week keep it clean: a burn about every {days_between_regenerations}. "
                  "Leave them out and no burn finishes: an empty filter is full in about {days_without_long_trips}.",
    "one_long_trip": "%(your)s one long trip a week keeps it clean: a burn about every {days_between_regenerations}. Leave it out and no "
                     "burn finishes: an empty filter is full in about {days_without_long_trips}.",
    "all_trips": "%(your)s trips keep the filter clean: a burn about every {days_between_regenerations}. When it burns, drive on until it "
                 "is done.",
    "only_idles": "It only idles, and idling never burns the filter clean.",
    "too_short_to_start": "%(your)s trips are too short to start a burn.",
    "idles_too_much": "%(it)s idles more than its drives can burn off.",
    "too_much_soot": "%(your)s week makes more soot than its drives can burn off.",
    "too_few_long_trips": "%(your)s long trips are too few for the soot of the week.",
    "only_just": "%(your)s long trips end a burn only just.",
    "nearly_too_cold": "In this cold a drive hardly gets hot enough.",
}
_YOURS = {"your": "Your", "it": "It"}
_EXAMPLES = {"your": "By the example’s trips, the", "it": "By the example’s trips, it"}
_REMEDIES = {
    "nothing": "",
    "shop": " Ask a shop before the filter fills: each drive makes more soot than a burn takes away.",
    "no_room": " Idle less, or make short trips into one long one: the week has no room for the drives it lacks "
               "({extra_long_trips_per_week}, each {advised_drive_time}).",
    "end_them": " When the message comes, drive on until it goes out, {advised_drive_time} or more from a cold start.",
    "longer": " Make them {advised_drive_time} or longer.",
    "start_warm": " Start it plugged in or from a warm building.",
}
_DRIVES = {
    "more_often": "make long trips more often: from one to the next the filter would get {about_so_full} full.",
    "drives": "add {extra_long_trips_per_week} drives a week, each {advised_drive_time} at road speed from a cold start.",
    "drive": "add one drive a week, {advised_drive_time} at road speed from a cold start.",
    "drive_now_and_then": "add one drive every {days_between_extra_trips}, {advised_drive_time} at road speed from a cold start.",
}


def answer(cause: str, remedy: str, makes_no_soot: bool, long_enough_trips_per_week: Count, broken_burns_per_month: Count,
           broken_burns_bearable: Count, trips_are_assumed: bool) -> str:
    """The sentence that says what to do."""
    return ("Nothing is driven or idled, so no soot builds up." if makes_no_soot
            else _CAUSES["too_cold"] if cause == "too_cold"
            else (_too_short_to_end(long_enough_trips_per_week, broken_burns_per_month, broken_burns_bearable)
                  if cause == "too_short_to_end"
                  else _CAUSES["one_long_trip" if cause == "long_trips" and long_enough_trips_per_week == 1 else cause])
            % (_EXAMPLES if trips_are_assumed else _YOURS)
            + _advised(remedy, cause) + (" How many trips do you make?" if trips_are_assumed else ""))


def _too_short_to_end(long_enough: Count, broken: Count, bearable: Count) -> str:
    whose = "%(your)s trips" if long_enough == 0 else "%(your)s shorter trips"
    many = ": about {broken_burns_per_month} a month break off" if broken >= bearable else ""
    return f"{whose} get hot enough to start a burn and are too short to end it, the more so in warm weather{many}."


def _advised(remedy: str, cause: str) -> str:
    if remedy in _REMEDIES:
        return _REMEDIES[remedy]
    drive = _DRIVES[remedy]
    return f" Idle less, or {drive}" if cause == "idles_too_much" else f" {drive[0].upper()}{drive[1:]}"


def _load(soot: float, trips: float, capacity: float, burned: float, days: float, week: float) -> list[float]:
    """Load in % day by day; a long-enough trip falls on a day when the week’s count passes a whole one."""
    def after(load: float, day: int) -> float:
        full = load + soot / week / capacity * 100
        drives = floor(trips * day / week) > floor(trips * (day - 1) / week)
        return full * (1 - burned / 100) if full >= 100 and drives else full
    return list(accumulate(range(1, int(days) + 1), after, initial=0.0))
