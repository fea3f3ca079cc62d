"""What does idling cost me in a year?"""

from calculators.engine.figures import Missing
from calculators.engine.named import missing
from calculators.engine.rules import Caution, Check
from calculators.engine.units import (
    Count,
    Dollars,
    DollarsPerGallon,
    Fahrenheit,
    Gallons,
    GallonsPerHour,
    Hours,
    Miles,
    Percent,
    Years,
)
from calculators.oil import oil_distance_that_counts as oil_distance_that_counts
from calculators.oil import oil_hours_allowed as oil_hours_allowed
from calculators.oil import oil_interval_is_another as oil_interval_is_another

HEADLINE = ("cost_per_year", "fuel_per_year", "idle_hours_per_year", "equivalent_distance", "oil_life_used", "heater_payback")


def work_is_part_of_the_idling(work_idle_hours_per_day: Hours, idle_hours_per_day: Hours) -> Check:
    """write no more hours of work than it idles in a day: they are a part of them."""
    return work_idle_hours_per_day <= idle_hours_per_day


def fuel_per_day(trucks: Count, idle_hours_per_day: Hours, idle_fuel_rate: GallonsPerHour) -> Gallons:
    """Fuel burned standing still, all trucks, one working day."""
    return trucks * idle_hours_per_day * idle_fuel_rate


def fuel_per_year(fuel_per_day: Gallons, days_per_year: Count) -> Gallons:
    """A year is that fuel on every working day."""
    return fuel_per_day * days_per_year


def cost_per_day(fuel_per_day: Gallons, fuel_price: DollarsPerGallon) -> Dollars:
    """The day’s fuel at your price."""
    return fuel_per_day * fuel_price


def cost_per_year(fuel_per_year: Gallons, fuel_price: DollarsPerGallon) -> Dollars:
    """The year’s fuel at your price."""
    return fuel_per_year * fuel_price


def idle_hours_per_year(idle_hours_per_day: Hours, days_per_year: Count) -> Hours:
    """Hours one truck stands idling in a year."""
    return idle_hours_per_day * days_per_year


def equivalent_distance(idle_hours_per_year: Hours, distance_per_idle_hour: Miles) -> Miles:
    """Wear of those hours told as miles, by the trade’s rule of thumb."""
    return idle_hours_per_year * distance_per_idle_hour


def oil_life_used(oil_interval_is_another: bool, equivalent_distance: Miles, oil_distance_that_counts: Miles, idle_hours_per_year: Hours,
                  oil_hours_allowed: Hours) -> Percent:
    """Share of an oil change that its idling alone uses up; told as miles it may pass the year’s changes, which count it by hours."""
    return (equivalent_distance / oil_distance_that_counts * 100 if oil_interval_is_another
            else max(equivalent_distance / oil_distance_that_counts, idle_hours_per_year / oil_hours_allowed) * 100)


def idle_hours_without_work_per_day(idle_hours_per_day: Hours, work_idle_hours_per_day: Hours) -> Hours:
    """Idling that no work needs: power take-off, boom or strobes can’t be shut off."""
    return idle_hours_per_day - work_idle_hours_per_day


def idle_hours_for_warmth_per_day(idle_hours_per_day: Hours, warmth_share_of_idle: Percent,
                                  idle_hours_without_work_per_day: Hours) -> Hours:
    """A heater stands in for the idling that is for warmth, and for none that work needs."""
    return min(idle_hours_per_day * warmth_share_of_idle / 100, idle_hours_without_work_per_day)


def heater_saving_per_year(trucks: Count, idle_hours_for_warmth_per_day: Hours, days_per_year: Count, idle_fuel_rate: GallonsPerHour,
                           heater_fuel_rate: GallonsPerHour, fuel_price: DollarsPerGallon) -> Dollars:
    """A fuel-fired heater burns less than the engine in those hours."""
    return trucks * idle_hours_for_warmth_per_day * days_per_year * (idle_fuel_rate - heater_fuel_rate) * fuel_price


def heater_payback(trucks: Count, heater_price: Dollars, heater_saving_per_year: Dollars, idle_hours_per_year: Hours,
                   idle_hours_without_work_per_day: Hours, warmth_share_of_idle: Percent) -> Years | Missing:
    """The heaters' price over what they save in a year."""
    return (trucks * heater_price / heater_saving_per_year if heater_saving_per_year > 0
            else Missing("nothing idles, so a heater never pays back") if idle_hours_per_year == 0
            else Missing("all the idling is work, which no heater does") if idle_hours_without_work_per_day == 0
            else Missing("none of the idling is for warmth, so a heater never pays back") if warmth_share_of_idle == 0
            else Missing("the heater saves no fuel, so it never pays back"))


def cold_idling() -> Caution:
    """Said with every answer: what cold idling does to the engine."""
    return Caution("NOTICE", "Long idling in the cold wears the engine.",
                   "The cylinders lose heat and unburned fuel washes the oil off their walls. Where it must run, raise the idle as "
                   "the maker’s manual says. Local law may limit idling to a few minutes.")


def closed_space() -> Caution:
    """Said with every answer: exhaust gas."""
    return Caution("DANGER", "Exhaust gas kills in a closed space.",
                   "Never idle in a garage, not even with the door open. Move the truck out first.")


def heater_burns_more(heater_fuel_rate: GallonsPerHour, idle_fuel_rate: GallonsPerHour) -> Caution | None:
    """Said where the heater would burn as much as the engine."""
    return (Caution("NOTICE", "This heater would save nothing.",
                    "At {heater_fuel_rate} it burns no less than the engine at {idle_fuel_rate}.")
            if heater_fuel_rate >= idle_fuel_rate else None)


def heater_advice(heater_payback: Years | Missing, heater_pays_within: Years, heater_warms_within: Years) -> str:
    """A heater is advised where it pays soon, named for its warmth where it pays late, else left out. (Our own thresholds.)"""
    return ("nothing" if missing(heater_payback) else "pays" if heater_payback <= heater_pays_within
            else "warms" if heater_payback <= heater_warms_within else "nothing")


def answer(fuel_per_year: Gallons, outside_temperature: Fahrenheit, restart_doubtful_below: Fahrenheit, work_idle_hours_per_day: Hours,
           idle_hours_without_work_per_day: Hours, heater_advice: str) -> str:
    """The sentence that says what to do."""
    return ("Nothing idles here, so there is nothing to save: keep it that way." if fuel_per_year == 0
            else ("Idling costs {cost_per_year} a year, and all of it is work that needs the engine."
                  if idle_hours_without_work_per_day == 0
                  else "Idling costs {cost_per_year} a year. In this cold don’t shut it off unless you can plug in or park warm: it may "
                       "not start again." if outside_temperature < restart_doubtful_below
                  else "Idling costs {cost_per_year} a year: work takes {work_idle_hours_per_day} a day, in the rest shut the engine off."
                  if work_idle_hours_per_day > 0
                  else "Idling costs {cost_per_year} a year: shut the engine off when you step away.")
            + (" For warmth a heater would save {heater_saving_per_year} a year and pay for itself in {heater_payback}."
               if heater_advice == "pays"
               else " A heater would be for the warmth, not for the money: it pays for itself in {heater_payback}."
               if heater_advice == "warms" else ""))
