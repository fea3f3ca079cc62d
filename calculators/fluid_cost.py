"""What do fuel and fluids cost in a year, beside a gasoline truck?"""

from typing import NamedTuple

from calculators.engine.figures import Missing
from calculators.engine.rules import Caution
from calculators.engine.units import (
    Count,
    Dollars,
    DollarsPerGallon,
    DollarsPerMile,
    DollarsPerQuart,
    Gallons,
    Hours,
    Miles,
    MilesPerGallon,
    Percent,
    Quarts,
)
from calculators.oil import oil_changes_per_year as oil_changes_per_year
from calculators.oil import share_allowed as share_allowed

HEADLINE = ("diesel_cost_per_year", "gasoline_cost_per_year", "difference_per_year", "oil_change_cost",
            "gasoline_oil_change_cost", "diesel_cost_per_distance")


class Line(NamedTuple):
    """One thing bought in a year, for each of the two trucks."""

    item: str
    diesel: Dollars
    gasoline: Dollars


def oil_change_cost(oil_capacity: Quarts, oil_price: DollarsPerQuart, oil_filter_price: Dollars,
                    labor_per_oil_change: Dollars) -> Dollars:
    """One oil change is its oil, its filter and the labor."""
    return oil_capacity * oil_price + oil_filter_price + labor_per_oil_change


def gasoline_oil_change_cost(gasoline_oil_capacity: Quarts, gasoline_oil_price: DollarsPerQuart,
                             gasoline_oil_filter_price: Dollars, labor_per_oil_change: Dollars) -> Dollars:
    """The same for the gasoline truck."""
    return gasoline_oil_capacity * gasoline_oil_price + gasoline_oil_filter_price + labor_per_oil_change


def fuel_per_year(distance_per_year: Miles, fuel_economy: MilesPerGallon) -> Gallons:
    """Diesel for the year’s miles."""
    return distance_per_year / fuel_economy


def fuel_cost_per_year(fuel_per_year: Gallons, fuel_price: DollarsPerGallon) -> Dollars:
    """That diesel at your price."""
    return fuel_per_year * fuel_price


def def_cost_per_year(fuel_per_year: Gallons, def_share_of_fuel: Percent, def_price: DollarsPerGallon) -> Dollars:
    """DEF is a share of the fuel, at its own price."""
    return fuel_per_year * def_share_of_fuel / 100 * def_price


def oil_cost_per_year(oil_changes_per_year: Count, oil_change_cost: Dollars) -> Dollars:
    """The year’s oil changes."""
    return oil_changes_per_year * oil_change_cost


def fuel_filter_sets_per_year(oil_changes_per_year: Count, oil_changes_per_fuel_filter: Count) -> Count:
    """A set of fuel filters with every so many oil changes."""
    return oil_changes_per_year / oil_changes_per_fuel_filter


def fuel_filter_cost_per_year(fuel_filter_sets_per_year: Count, fuel_filter_set_price: Dollars) -> Dollars:
    """The year’s fuel filters."""
    return fuel_filter_sets_per_year * fuel_filter_set_price


def gasoline_fuel_cost_per_year(distance_per_year: Miles, gasoline_fuel_economy: MilesPerGallon,
                                gasoline_fuel_price: DollarsPerGallon) -> Dollars:
    """Gasoline for the same miles."""
    return distance_per_year / gasoline_fuel_economy * gasoline_fuel_price


def gasoline_idle_wear_per_year(gasoline_oil_interval_is_told: bool, idle_hours_per_week: Hours, working_weeks_per_year: Count,
                                distance_per_idle_hour: Miles) -> Miles:
    """What the year’s idling wears a gasoline truck’s oil, told as miles; none where you gave its interval."""
    return 0 if gasoline_oil_interval_is_told else idle_hours_per_week * working_weeks_per_year * distance_per_idle_hour


def gasoline_oil_distance_that_counts(gasoline_oil_interval_is_told: bool, gasoline_oil_interval: Miles, share_allowed: Percent) -> Miles:
    """Miles between its oil changes: what you gave; else the usual, shortened in severe use."""
    return gasoline_oil_interval if gasoline_oil_interval_is_told else gasoline_oil_interval * share_allowed / 100


def gasoline_oil_changes_at_least(gasoline_oil_interval_is_told: bool, months_per_year: Count,
                                  usual_intervals: dict[str, dict[str, float]], share_allowed: Percent) -> Count:
    """However few the miles: by the calendar, as usual; none where you gave its interval."""
    return 0 if gasoline_oil_interval_is_told else months_per_year / (usual_intervals["time"]["engine_oil"] * share_allowed / 100)


def gasoline_oil_changes_per_year(distance_per_year: Miles, gasoline_idle_wear_per_year: Miles,
                                  gasoline_oil_distance_that_counts: Miles, gasoline_oil_changes_at_least: Count) -> Count:
    """Its oil changes in a year, a rate and not rounded."""
    return max((distance_per_year + gasoline_idle_wear_per_year) / gasoline_oil_distance_that_counts, gasoline_oil_changes_at_least)


def gasoline_oil_cost_per_year(gasoline_oil_changes_per_year: Count, gasoline_oil_change_cost: Dollars) -> Dollars:
    """The gasoline truck’s oil changes of the year."""
    return gasoline_oil_changes_per_year * gasoline_oil_change_cost


def diesel_cost_per_year(fuel_cost_per_year: Dollars, def_cost_per_year: Dollars, oil_cost_per_year: Dollars,
                         fuel_filter_cost_per_year: Dollars) -> Dollars:
    """Fuel, DEF, oil and fuel filters of the diesel; idling burns more on top (see the idling calculator)."""
    return fuel_cost_per_year + def_cost_per_year + oil_cost_per_year + fuel_filter_cost_per_year


def gasoline_cost_per_year(gasoline_fuel_cost_per_year: Dollars, gasoline_oil_cost_per_year: Dollars) -> Dollars:
    """Fuel and oil of the gasoline truck."""
    return gasoline_fuel_cost_per_year + gasoline_oil_cost_per_year


def difference_per_year(diesel_cost_per_year: Dollars, gasoline_cost_per_year: Dollars) -> Dollars:
    """Diesel less gasoline: below zero the diesel is cheaper to feed."""
    return diesel_cost_per_year - gasoline_cost_per_year


def extra_cost_per_year(difference_per_year: Dollars) -> Dollars:
    """What the diesel costs more, if it does."""
    return max(0, difference_per_year)


def saved_per_year(difference_per_year: Dollars) -> Dollars:
    """What it saves, if it does."""
    return max(0, -difference_per_year)


def diesel_cost_per_distance(diesel_cost_per_year: Dollars, distance_per_year: Miles) -> DollarsPerMile | Missing:
    """What a mile in the diesel costs."""
    return diesel_cost_per_year / distance_per_year if distance_per_year > 0 else Missing("nothing is driven")


def gasoline_cost_per_distance(gasoline_cost_per_year: Dollars, distance_per_year: Miles) -> DollarsPerMile | Missing:
    """What a mile in the gasoline truck costs."""
    return gasoline_cost_per_year / distance_per_year if distance_per_year > 0 else Missing("nothing is driven")


def lines(fuel_cost_per_year: Dollars, def_cost_per_year: Dollars, oil_cost_per_year: Dollars, fuel_filter_cost_per_year: Dollars,
          gasoline_fuel_cost_per_year: Dollars, gasoline_oil_cost_per_year: Dollars) -> list[Line]:
    """The year’s purchases side by side."""
    return [Line("fuel", fuel_cost_per_year, gasoline_fuel_cost_per_year),
            Line("exhaust_fluid", def_cost_per_year, 0.0),
            Line("oil_changes", oil_cost_per_year, gasoline_oil_cost_per_year),
            Line("fuel_filters", fuel_filter_cost_per_year, 0.0)]


def farther_than_the_diesel(gasoline_fuel_economy: MilesPerGallon, fuel_economy: MilesPerGallon) -> Caution | None:
    """Said where the gasoline truck is told to go farther on a gallon."""
    return (Caution("NOTICE", "The gasoline truck goes farther on a gallon than the diesel here.",
                    "At the same work it seldom does: look at {gasoline_fuel_economy} and {fuel_economy} again.")
            if gasoline_fuel_economy > fuel_economy else None)


def wrong_oil() -> Caution:
    """Said with every answer: the oil’s specification."""
    return Caution("NOTICE", "Cheap oil of the wrong specification can ruin the exhaust filter.",
                   "Buy only oil and filters that meet the specification in the maker’s manual.")


def idling_apart() -> Caution:
    """Said with every answer: fuel burned standing still."""
    return Caution("NOTICE", "Fuel burned idling counts here only as far as your miles per gallon hold it.",
                   "Worked out from full tanks they do. The idling calculator tells what idling burns and costs.")


def answer(difference_per_year: Dollars, distance_per_year: Miles) -> str:
    """The sentence that says what to do."""
    return ("Nothing is driven, so no fuel is burned on the way: oil and filters alone come to {diesel_cost_per_year} a year."
            if distance_per_year == 0
            else "Set aside {diesel_cost_per_year} a year for fuel, DEF, oil and filters: {extra_cost_per_year} more than a gasoline truck "
                 "would take." if difference_per_year > 0
            else "Set aside {diesel_cost_per_year} a year for fuel, DEF, oil and filters: {saved_per_year} less than a gasoline truck "
                 "would take.")
