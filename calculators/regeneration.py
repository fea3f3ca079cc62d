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

HEADLINE = ("time_needed_from_cold", "share_of_trips_long_enough", "days_between_regenerations", "extra_long_trips_per_week",
            "fuel_per_regeneration", "fuel_into_oil")


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


def share_of_trips_long_enough(long_enough_trips_per_week: Count, short_trips_per_week: Count,
                               long_trips_per_week: Count) -> Percent | Missing:
    """Those trips among all trips."""
    return (long_enough_trips_per_week / (short_trips_per_week + long_trips_per_week) * 100
            if short_trips_per_week + long_trips_per_week > 0 else Missing("no trips are made"))


def short_trip_distance_per_week(short_trip_time: Minutes, short_trips_per_week: Count, short_trip_speed: MilesPerHour) -> Miles:
    """Miles on short trips."""
    return short_trip_time / 60 * short_trip_speed * short_trips_per_week


def long_trip_distance_per_week(long_trip_time: Minutes, long_trips_per_week: Count, long_trip_speed: MilesPerHour) -> Miles:
    """Miles on long trips."""
    return long_trip_time / 60 * long_trip_speed * long_trips_per_week


def soot_per_week(short_trip_distance_per_week: Miles, long_trip_distance_per_week: Miles, soot_rate: GramsPerMile,
                  idle_soot_rate: GramsPerHour, idle_hours_per_week: Hours) -> Grams:
    """Soot made driving and idling."""
    return (short_trip_distance_per_week + long_trip_distance_per_week) * soot_rate + idle_hours_per_week * idle_soot_rate


def soot_burned_passively_per_week(warm_up_time: Minutes | Missing, passive_share: Percent, soot_rate: GramsPerMile,
                                   long_trip_distance_per_week: Miles) -> Grams:
    """A hot highway drive burns part of its own soot on the way."""
    return 0 if missing(warm_up_time) else long_trip_distance_per_week * soot_rate * passive_share / 100


def soot_kept_per_week(soot_per_week: Grams, soot_burned_passively_per_week: Grams) -> Grams:
    """What stays in the filter."""
    return soot_per_week - soot_burned_passively_per_week


def soot_burned_per_regeneration(soot_burned_share: Percent, filter_capacity: Grams) -> Grams:
    """What one finished burn takes away."""
    return soot_burned_share / 100 * filter_capacity


def days_between_regenerations(soot_burned_per_regeneration: Grams, soot_kept_per_week: Grams, days_per_week: Days) -> Days | Missing:
    """Days until that much has built up again."""
    return (days_per_week * soot_burned_per_regeneration / soot_kept_per_week if soot_kept_per_week > 0
            else Missing("no soot builds up"))


def distance_between_regenerations(days_between_regenerations: Days, short_trip_distance_per_week: Miles,
                                   long_trip_distance_per_week: Miles, days_per_week: Days) -> Miles:
    """Miles driven in those days."""
    return days_between_regenerations / days_per_week * (short_trip_distance_per_week + long_trip_distance_per_week)


def burns_needed_per_week(soot_kept_per_week: Grams, soot_burned_per_regeneration: Grams) -> Count:
    """Whole burns a week that take away what builds up."""
    return soot_kept_per_week / soot_burned_per_regeneration


def extra_trip_time(time_needed_from_cold: Minutes, long_trip_time: Minutes) -> Minutes:
    """One more long drive lasts as long as yours do, or long enough for a burn if that is longer."""
    return max(time_needed_from_cold, long_trip_time)


def drive_time_to_plan(extra_trip_time: Minutes) -> Minutes:
    """In whole minutes, rounded up: a minute less would break the burn off."""
    return ceil(extra_trip_time)


def soot_kept_on_extra_trip(extra_trip_time: Minutes, long_trip_speed: MilesPerHour, soot_rate: GramsPerMile,
                            passive_share: Percent) -> Grams:
    """What such a drive itself leaves in the filter."""
    return extra_trip_time / 60 * long_trip_speed * soot_rate * (1 - passive_share / 100)


def extra_long_trips_per_week(burns_needed_per_week: Count, long_enough_trips_per_week: Count, soot_kept_per_week: Grams,
                              soot_burned_per_regeneration: Grams, soot_kept_on_extra_trip: Grams) -> Count | Missing:
    """The least number of long drives more that lets every burn finish, their own soot counted."""
    return (0 if long_enough_trips_per_week >= burns_needed_per_week
            else Missing("each long drive makes more soot than a burn takes away")
            if soot_kept_on_extra_trip >= soot_burned_per_regeneration
            else ceil((soot_kept_per_week - long_enough_trips_per_week * soot_burned_per_regeneration)
                      / (soot_burned_per_regeneration - soot_kept_on_extra_trip)))


def hours_free_per_week(hours_in_a_week: Hours, driving_time_per_week: Hours, idle_hours_per_week: Hours) -> Hours:
    """Hours of the week that are neither driven nor idled."""
    return hours_in_a_week - driving_time_per_week - idle_hours_per_week


def extra_trips_fit(extra_long_trips_per_week: Count, drive_time_to_plan: Minutes, hours_free_per_week: Hours) -> bool | Missing:
    """Whether the week has room for those drives."""
    return extra_long_trips_per_week * drive_time_to_plan / 60 <= hours_free_per_week


def fuel_per_regeneration(exhaust_flow: KilogramsPerHour, exhaust_heat_capacity: HeatCapacity, exhaust_heating: Kelvins,
                          heat_up_time: Minutes, burn_time: Minutes, diesel_energy: BtuPerGallon) -> Gallons:
    """Fuel that heats the exhaust for as long as a burn takes."""
    return exhaust_flow * exhaust_heat_capacity * exhaust_heating * (heat_up_time + burn_time) / 60 / kilojoules(diesel_energy)


def fuel_into_oil(days_between_regenerations: Days | Missing, share_of_trips_long_enough: Percent, days_per_month: Days,
                  fuel_per_broken_burn: Quarts, oil_capacity: Quarts) -> Percent:
    """A burn broken off leaves some fuel in the oil (a guess); its share of the oil after a month."""
    return (0 if missing(days_between_regenerations)
            else days_per_month / days_between_regenerations * (1 - share_of_trips_long_enough / 100)
            * fuel_per_broken_burn / oil_capacity * 100)


def fuel_into_oil_low(fuel_into_oil: Percent, fuel_per_broken_burn_least: Quarts, fuel_per_broken_burn: Quarts) -> Percent:
    """The same with the least that a broken burn may leave."""
    return fuel_into_oil * fuel_per_broken_burn_least / fuel_per_broken_burn


def fuel_into_oil_high(fuel_into_oil: Percent, fuel_per_broken_burn_most: Quarts, fuel_per_broken_burn: Quarts) -> Percent:
    """And with the most."""
    return fuel_into_oil * fuel_per_broken_burn_most / fuel_per_broken_burn


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


def verdict(long_enough_trips_per_week: Count, extra_long_trips_per_week: Count | Missing, soot_kept_per_week: Grams) -> str:
    """Fits: enough long trips. Watch: some. Against: none, or never warm. (Our own threshold.)"""
    return ("fits" if soot_kept_per_week == 0 else "against" if long_enough_trips_per_week == 0
            else "fits" if extra_long_trips_per_week == 0 else "watch")


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


def broken_burn(fuel_into_oil: Percent, fuel_in_oil_trouble: Percent, fuel_in_oil_limit: Percent) -> Caution | None:
    """Said where burns are broken off."""
    return (Caution("NOTICE", "A burn broken off leaves fuel in the oil.",
                    "On trucks that inject into the cylinder: look at the oil each week. Above FULL, stop soon, don’t tow, change it. "
                    "How much is a guess: {fuel_into_oil_low} to {fuel_into_oil_high} of the oil in a month. Trouble starts near "
                    "{fuel_in_oil_trouble}, at worst {days_to_oil_trouble} after an oil change; by {fuel_in_oil_limit}, at worst "
                    "{days_to_oil_limit} after it, change the oil.")
            if not missing(fuel_into_oil) and fuel_into_oil > 0 else None)


def answer(verdict: str, warm_up_time: Minutes | Missing, extra_long_trips_per_week: Count | Missing, extra_trips_fit: bool | Missing,
           soot_per_week: Grams, soot_kept_per_week: Grams) -> str:
    """The sentence that says what to do."""
    return ("Nothing is driven or idled, so no soot builds up." if soot_per_week == 0
            else "Your long hot trips burn the soot as fast as it comes: nothing builds up. If a filter message comes all the same, "
                 "have a shop look." if soot_kept_per_week == 0
            else "In this cold the exhaust never gets hot enough: have the filter burned clean parked, where the truck allows it."
            if missing(warm_up_time)
            else "Your week keeps the filter clean: about every {days_between_regenerations} it burns; then keep driving until it is "
                 "done, {time_needed_from_cold} from a cold start." if verdict == "fits"
            else "Your week makes more soot than burns can take away: ask a shop before the filter fills."
            if missing(extra_long_trips_per_week)
            else "Idle less, make short trips into one long one, or have the filter burned clean parked, where the truck allows it: your "
                 "week has no room for the long drives it lacks ({extra_long_trips_per_week}, each {drive_time_to_plan})."
            if not extra_trips_fit
            else "Add {extra_long_trips_per_week} long drive a week, {drive_time_to_plan} at road speed from a cold start."
            if extra_long_trips_per_week == 1
            else "Add {extra_long_trips_per_week} long drives a week, each {drive_time_to_plan} at road speed from a cold start.")


def _load(soot: float, trips: float, capacity: float, burned: float, days: float, week: float) -> list[float]:
    """Load in % day by day; a long-enough trip falls on a day when the week’s count passes a whole one."""
    def after(load: float, day: int) -> float:
        full = load + soot / week / capacity * 100
        drives = floor(trips * day / week) > floor(trips * (day - 1) / week)
        return full * (1 - burned / 100) if full >= 100 and drives else full
    return list(accumulate(range(1, int(days) + 1), after, initial=0.0))
