"""Is plugging in cheaper than warming up?"""

from calculators.engine.rules import Caution
from calculators.engine.units import Count, Dollars, DollarsPerGallon, DollarsPerKilowattHour, GallonsPerHour, Hours, Minutes, Watts

HEADLINE = ("saving_per_year", "heater_cost_per_year", "idle_cost_per_year", "idle_hours_avoided_per_year")


def heater_cost_per_year(heater_power: Watts, heater_hours_per_day: Hours, cold_days_per_year: Count,
                         electricity_price: DollarsPerKilowattHour) -> Dollars:
    """Electricity for the heater on every cold day."""
    return heater_power / 1000 * heater_hours_per_day * cold_days_per_year * electricity_price


def idle_hours_avoided_per_year(warm_up_idle_time: Minutes, cold_days_per_year: Count) -> Hours:
    """Hours of warm-up idling that plugging in spares."""
    return warm_up_idle_time / 60 * cold_days_per_year


def idle_cost_per_year(idle_hours_avoided_per_year: Hours, idle_fuel_rate: GallonsPerHour, fuel_price: DollarsPerGallon) -> Dollars:
    """Fuel for that idling."""
    return idle_hours_avoided_per_year * idle_fuel_rate * fuel_price


def saving_per_year(idle_cost_per_year: Dollars, heater_cost_per_year: Dollars) -> Dollars:
    """Fuel saved less electricity."""
    return idle_cost_per_year - heater_cost_per_year


def verdict(saving_per_year: Dollars, heater_hours_per_day: Hours) -> str:
    """Fits: it saves money. Watch: it costs money, though the engine still gains; or it is never plugged in."""
    return "fits" if saving_per_year > 0 and heater_hours_per_day > 0 else "watch"


def cord() -> Caution:
    """Said with every answer: mains power on wet ground."""
    return Caution("WARNING", "A damaged cord on wet ground can kill.",
                   "Use an outdoor cord rated for the heater, on an outlet with ground-fault protection. Look at cord and plug each time; "
                   "unplug before you start.")


def answer(verdict: str, cold_days_per_year: Count, heater_hours_per_day: Hours, warm_up_idle_time: Minutes,
           cold_days_per_year_is_assumed: bool) -> str:
    """The sentence that says what to do."""
    return ("You told no cold days, so there is nothing to warm: leave the cord off." if cold_days_per_year == 0
            else "Write how long it is plugged in: at {heater_hours_per_day} it warms nothing and saves no idling."
            if heater_hours_per_day == 0
            else _by_whose_winter(cold_days_per_year_is_assumed, "plug in on a timer: it saves {saving_per_year} a year and "
                                  "{idle_hours_avoided_per_year} of cold idling.") if verdict == "fits"
            else _by_whose_winter(cold_days_per_year_is_assumed, "plugging in costs {heater_cost_per_year} a year and spares no fuel, as "
                                  "it doesn’t idle to warm up: do it for the engine, before a drive, and never while the truck stands.")
            if warm_up_idle_time == 0
            else _by_whose_winter(cold_days_per_year_is_assumed, "plugging in costs {heater_cost_per_year} a year against "
                                  "{idle_cost_per_year} of fuel: shorten the timer, and do it for the engine."))


def _by_whose_winter(is_assumed: bool, says: str) -> str:
    return f"By the example’s winter of {{cold_days_per_year}} cold days, {says}" if is_assumed else f"{says[0].upper()}{says[1:]}"
