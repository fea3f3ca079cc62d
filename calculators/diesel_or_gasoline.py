"""Diesel or gasoline: which costs me less?"""

from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from calculators.engine.figures import Missing
from calculators.engine.named import column, missing, present_worth, total, worth_today
from calculators.engine.rules import Caution, Check, Inner
from calculators.engine.units import (
    Count,
    Dollars,
    DollarsPerGallon,
    DollarsPerMile,
    Hours,
    Miles,
    MilesPerGallon,
    Months,
    Percent,
    PercentPerYear,
    Years,
)
from calculators.fluid_cost import diesel_cost_per_year as diesel_cost_per_year
from calculators.fluid_cost import difference_per_year as difference_per_year
from calculators.fluid_cost import farther_than_the_diesel as farther_than_the_diesel
from calculators.fluid_cost import gasoline_cost_per_year as gasoline_cost_per_year
from calculators.fluid_cost import gasoline_fuel_cost_per_year as gasoline_fuel_cost_per_year
from calculators.fluid_cost import gasoline_oil_change_cost as gasoline_oil_change_cost
from calculators.fluid_cost import idling_apart as idling_apart
from calculators.fluid_cost import oil_change_cost as oil_change_cost

HEADLINE = ("difference", "diesel_total", "gasoline_total", "break_even_distance_per_year", "diesel_payment", "gasoline_payment")


class YearOfCash(NamedTuple):
    """What one year takes, and what that is worth today; the last gives the resale back."""

    year: Count
    diesel: Dollars
    gasoline: Dollars
    diesel_today: Dollars
    gasoline_today: Dollars


@dataclass(frozen=True)
class EachYear(Inner):
    """An amount for each year."""

    amounts: tuple[float, ...]


def down_payment_is_below_both_prices(down_payment: Dollars, truck_price: Dollars, gasoline_truck_price: Dollars) -> Check:
    """pay down no more than the cheaper truck costs."""
    return down_payment <= truck_price and down_payment <= gasoline_truck_price


def borrowed(truck_price: Dollars, down_payment: Dollars, loan_time: Months) -> Dollars:
    """What the diesel’s loan is for; none if you pay cash."""
    return truck_price - down_payment if loan_time > 0 else 0


def gasoline_borrowed(gasoline_truck_price: Dollars, down_payment: Dollars, loan_time: Months) -> Dollars:
    """What the gasoline truck’s loan is for."""
    return gasoline_truck_price - down_payment if loan_time > 0 else 0


def loan_rate_per_month(loan_rate: PercentPerYear, months_per_year: Count) -> Percent:
    """A month’s interest."""
    return loan_rate / months_per_year


def loan_worth(loan_rate_per_month: Percent, loan_time: Months) -> Count:
    """What the lender has, today, for a dollar a month over the loan."""
    return loan_time if loan_rate_per_month == 0 else present_worth(loan_rate_per_month, loan_time)


def payment_per_dollar(loan_time: Months, loan_worth: Count) -> Count:
    """So the level monthly payment for each dollar borrowed is the other way round."""
    return 0 if loan_time == 0 else 1 / loan_worth


def diesel_payment(borrowed: Dollars, payment_per_dollar: Count) -> Dollars:
    """The diesel’s loan, a month."""
    return borrowed * payment_per_dollar


def gasoline_payment(gasoline_borrowed: Dollars, payment_per_dollar: Count) -> Dollars:
    """The gasoline truck’s loan, a month."""
    return gasoline_borrowed * payment_per_dollar


def months_left_at_sale(loan_time: Months, ownership_time: Years, months_per_year: Count) -> Months:
    """Months of the loan still to pay when you sell."""
    return max(0, loan_time - ownership_time * months_per_year)


def share_owed_at_sale(months_left_at_sale: Months, loan_rate_per_month: Percent, payment_per_dollar: Count) -> Count:
    """What those payments are worth then: sold before the loan ends, the balance is owed; a share of what was borrowed."""
    return (payment_per_dollar * months_left_at_sale if loan_rate_per_month == 0
            else payment_per_dollar * present_worth(loan_rate_per_month, months_left_at_sale))


def resale(truck_price: Dollars, resale_share: Percent) -> Dollars:
    """What the diesel sells for."""
    return truck_price * resale_share / 100


def gasoline_resale(gasoline_truck_price: Dollars, gasoline_resale_share: Percent) -> Dollars:
    """What the gasoline truck sells for."""
    return gasoline_truck_price * gasoline_resale_share / 100


def months_paid(loan_time: Months, ownership_time: Years, months_per_year: Count) -> EachYear:
    """Months of the loan that are paid in each year of ownership."""
    return EachYear(tuple(min(months_per_year, max(0.0, loan_time - months_per_year * year)) for year in range(int(ownership_time))))


def diesel_flow(months_paid: EachYear, truck_price: Dollars, borrowed: Dollars, diesel_payment: Dollars, diesel_cost_per_year: Dollars,
                repair_cost_per_year: Dollars, resale: Dollars, share_owed_at_sale: Count) -> EachYear:
    """What the diesel takes each year."""
    return _flow(truck_price - borrowed, diesel_payment, months_paid, diesel_cost_per_year + repair_cost_per_year,
                 resale - share_owed_at_sale * borrowed)


def gasoline_flow(months_paid: EachYear, gasoline_truck_price: Dollars, gasoline_borrowed: Dollars, gasoline_payment: Dollars,
                  gasoline_cost_per_year: Dollars, gasoline_repair_cost_per_year: Dollars, gasoline_resale: Dollars,
                  share_owed_at_sale: Count) -> EachYear:
    """What the gasoline truck takes each year."""
    return _flow(gasoline_truck_price - gasoline_borrowed, gasoline_payment, months_paid,
                 gasoline_cost_per_year + gasoline_repair_cost_per_year, gasoline_resale - share_owed_at_sale * gasoline_borrowed)


def cash_flow(diesel_flow: EachYear, gasoline_flow: EachYear, discount_rate: PercentPerYear) -> list[YearOfCash]:
    """Year 0 pays down; each year pays the loan, fuel, fluids and repairs at its end; the last sells and settles the loan."""
    return [YearOfCash(year, one, other, one * worth_today(discount_rate, year), other * worth_today(discount_rate, year))
            for year, (one, other) in enumerate(zip(diesel_flow.amounts, gasoline_flow.amounts, strict=True))]


def diesel_total(cash_flow: list[YearOfCash]) -> Dollars:
    """All the diesel takes, each year’s money at what it is worth today."""
    return total(column(cash_flow, "diesel_today"))


def gasoline_total(cash_flow: list[YearOfCash]) -> Dollars:
    """All the gasoline truck takes, likewise."""
    return total(column(cash_flow, "gasoline_today"))


def difference(diesel_total: Dollars, gasoline_total: Dollars) -> Dollars:
    """Diesel less gasoline: below zero the diesel is cheaper."""
    return diesel_total - gasoline_total


def present_worth_of_a_dollar_a_year(discount_rate: PercentPerYear, ownership_time: Years) -> Count:
    """What a dollar at the end of every year of ownership is worth today."""
    return ownership_time if discount_rate == 0 else present_worth(discount_rate, ownership_time)


def fuel_cost_more_per_distance(fuel_price: DollarsPerGallon, def_share_of_fuel: Percent, def_price: DollarsPerGallon,
                                fuel_economy: MilesPerGallon, gasoline_fuel_price: DollarsPerGallon,
                                gasoline_fuel_economy: MilesPerGallon) -> DollarsPerMile:
    """What a mile’s diesel and DEF cost more than a mile’s gasoline."""
    return (fuel_price + def_share_of_fuel / 100 * def_price) / fuel_economy - gasoline_fuel_price / gasoline_fuel_economy


def cost_with_each_oil_change(oil_change_cost: Dollars, fuel_filter_set_price: Dollars, oil_changes_per_fuel_filter: Count) -> Dollars:
    """One oil change and its part of a set of fuel filters."""
    return oil_change_cost + fuel_filter_set_price / oil_changes_per_fuel_filter


def equal_distance_per_year(difference: Dollars, present_worth_of_a_dollar_a_year: Count, distance_per_year: Miles,
                                 fuel_cost_more_per_distance: DollarsPerMile, cost_with_each_oil_change: Dollars,
                                 oil_distance_that_counts: Miles, oil_changes_at_least: Count, gasoline_oil_change_cost: Dollars,
                                 gasoline_oil_distance_that_counts: Miles, gasoline_oil_changes_at_least: Count,
                                 gasoline_idle_wear_per_year: Miles) -> Miles | Missing:
    """Miles a year at which both would cost the same; miles bring oil changes only where they outrun hours and months."""
    return _equal_at(distance_per_year, difference / present_worth_of_a_dollar_a_year, fuel_cost_more_per_distance,
                     _Oil(cost_with_each_oil_change, oil_distance_that_counts, oil_changes_at_least, 0),
                     _Oil(gasoline_oil_change_cost, gasoline_oil_distance_that_counts, gasoline_oil_changes_at_least,
                          gasoline_idle_wear_per_year))


def most_distance_per_year(distance_per_year: Miles, hours_in_a_week: Hours, engine_hours_per_week: Hours,
                           idle_hours_per_week: Hours) -> Miles | Missing:
    """The most that the hours of a year hold at your speed, driven day and night but for the idling."""
    return (distance_per_year * (hours_in_a_week - idle_hours_per_week) / (engine_hours_per_week - idle_hours_per_week)
            if distance_per_year > 0 and engine_hours_per_week > idle_hours_per_week else Missing("nothing is driven"))


def break_even_distance_per_year(equal_distance_per_year: Miles, most_distance_per_year: Miles | Missing) -> Miles | Missing:
    """Those miles, where a truck can drive them."""
    return (Missing("only past all the miles that a year has hours for")
            if not missing(most_distance_per_year) and equal_distance_per_year > most_distance_per_year else equal_distance_per_year)


def difference_where_gasoline_goes_least(difference: Dollars, distance_per_year: Miles, fuel_economy: MilesPerGallon,
                                         gasoline_economy_share_least: Percent, gasoline_fuel_price: DollarsPerGallon,
                                         gasoline_fuel_cost_per_year: Dollars, present_worth_of_a_dollar_a_year: Count) -> Dollars:
    """The difference if the gasoline truck went the fewest miles on a gallon that are usual."""
    return difference - (distance_per_year / (fuel_economy * gasoline_economy_share_least / 100) * gasoline_fuel_price
                         - gasoline_fuel_cost_per_year) * present_worth_of_a_dollar_a_year


def difference_where_gasoline_goes_most(difference: Dollars, distance_per_year: Miles, fuel_economy: MilesPerGallon,
                                        gasoline_economy_share_most: Percent, gasoline_fuel_price: DollarsPerGallon,
                                        gasoline_fuel_cost_per_year: Dollars, present_worth_of_a_dollar_a_year: Count) -> Dollars:
    """And if it went the most."""
    return difference - (distance_per_year / (fuel_economy * gasoline_economy_share_most / 100) * gasoline_fuel_price
                         - gasoline_fuel_cost_per_year) * present_worth_of_a_dollar_a_year


def economy_is_told(gasoline_economy_share_is_told: bool, gasoline_fuel_economy: MilesPerGallon, fuel_economy: MilesPerGallon,
                    gasoline_economy_share: Percent, same_economy_within: MilesPerGallon) -> bool:
    """Whether you told how far the gasoline truck goes; until then both ends of what is usual must agree."""
    return (gasoline_economy_share_is_told
            or not -same_economy_within < gasoline_fuel_economy - fuel_economy * gasoline_economy_share / 100 < same_economy_within)


def close_call(truck_price: Dollars, close_call_share: Percent) -> Dollars:
    """Closer than this, money does not decide. (Our own threshold.)"""
    return truck_price * close_call_share / 100


def verdict(economy_is_told: bool, difference: Dollars, difference_where_gasoline_goes_least: Dollars,
            difference_where_gasoline_goes_most: Dollars, close_call: Dollars) -> str:
    """Fits: the diesel is clearly cheaper. Against: clearly dearer. Watch: neither, or it hangs on the gasoline truck’s miles a gallon."""
    return (("fits" if difference < -close_call else "against" if difference > close_call else "watch") if economy_is_told
            else "fits" if difference_where_gasoline_goes_most < -close_call
            else "against" if difference_where_gasoline_goes_least > close_call else "watch")


def gasoline_fuel_to_break_even(gasoline_fuel_cost_per_year: Dollars, difference: Dollars,
                                present_worth_of_a_dollar_a_year: Count) -> Dollars:
    """What the gasoline truck would have to burn in a year to cost as much as the diesel."""
    return gasoline_fuel_cost_per_year + difference / present_worth_of_a_dollar_a_year


def fuel_at_the_diesels_miles(distance_per_year: Miles, fuel_economy: MilesPerGallon, gasoline_fuel_price: DollarsPerGallon) -> Dollars:
    """What it would burn if it went as far on a gallon as the diesel."""
    return distance_per_year / fuel_economy * gasoline_fuel_price


def fewer_miles_to_break_even(gasoline_fuel_to_break_even: Dollars, fuel_at_the_diesels_miles: Dollars) -> Percent | Missing:
    """At so many fewer miles on a gallon both cost the same."""
    return ((1 - fuel_at_the_diesels_miles / gasoline_fuel_to_break_even) * 100
            if gasoline_fuel_to_break_even > fuel_at_the_diesels_miles > 0
            else Missing("no fewer miles on a gallon make them equal"))


def about_so_many_fewer(fewer_miles_to_break_even: Percent) -> Percent | Missing:
    """That to the whole percent: nobody knows it closer."""
    return round(fewer_miles_to_break_even)


def hangs_on_its_miles(economy_is_told: bool, verdict: str, difference: Dollars, close_call: Dollars,
                       fewer_miles_to_break_even: Percent | Missing) -> bool:
    """Whether by these numbers one is clearly cheaper, and the other end of what is usual would say otherwise."""
    return (not economy_is_told and verdict == "watch" and (difference > close_call or difference < -close_call)
            and not missing(fewer_miles_to_break_even))


def gasoline_saves(difference: Dollars) -> Dollars:
    """What the gasoline truck costs less, if it does."""
    return max(0, difference)


def diesel_saves(difference: Dollars) -> Dollars:
    """What the diesel costs less, if it does."""
    return max(0, -difference)


def dearer_by_running(difference_per_year: Dollars, present_worth_of_a_dollar_a_year: Count) -> Dollars:
    """Of the difference, fuel and fluids."""
    return difference_per_year * present_worth_of_a_dollar_a_year


def dearer_by_repairs(repair_cost_per_year: Dollars, gasoline_repair_cost_per_year: Dollars,
                      present_worth_of_a_dollar_a_year: Count) -> Dollars:
    """Of the difference, repairs."""
    return (repair_cost_per_year - gasoline_repair_cost_per_year) * present_worth_of_a_dollar_a_year


def dearer_by_price(difference: Dollars, dearer_by_running: Dollars, dearer_by_repairs: Dollars) -> Dollars:
    """The rest: price and loan, less resale."""
    return difference - dearer_by_running - dearer_by_repairs


def left_out() -> Caution:
    """Said with every answer: what is not in it."""
    return Caution("NOTICE", "Insurance, registration and taxes are left out, and so is what towing power is worth to you.",
                   "Prices and resale are examples until you enter yours.")


def answer(verdict: str, hangs_on_its_miles: bool, difference: Dollars, dearer_by_running: Dollars, dearer_by_repairs: Dollars,
           dearer_by_price: Dollars) -> str:
    """The sentence that says what to do."""
    return ("On money alone take the diesel: over {ownership_time} it costs {diesel_total}, the gasoline truck {gasoline_total}."
            if verdict == "fits"
            else "On money alone take the gasoline truck: over {ownership_time} it costs {gasoline_total}, the diesel {diesel_total}."
            + (" Of the difference, {dearer_by_price} are price less resale, and your miles are too few to earn it back."
               if dearer_by_price >= dearer_by_repairs and dearer_by_price >= dearer_by_running and dearer_by_running < 0
               else " Of the difference, {dearer_by_price} are price less resale."
               if dearer_by_price >= dearer_by_repairs and dearer_by_price >= dearer_by_running
               else " Of the difference, {dearer_by_repairs} are repairs." if dearer_by_repairs >= dearer_by_running
               else " Of the difference, {dearer_by_running} are fuel and fluids.") if verdict == "against"
            else "By these numbers gasoline costs {gasoline_saves} less; at {about_so_many_fewer} fewer miles a gallon they cost the "
                 "same. Let the work decide." if hangs_on_its_miles and difference > 0
            else "By these numbers the diesel costs {diesel_saves} less; at only {about_so_many_fewer} fewer miles a gallon for "
                 "gasoline they cost the same. Let the work decide." if hangs_on_its_miles
            else "Money does not decide it: over {ownership_time} the diesel costs {diesel_total}, the gasoline truck {gasoline_total}. "
                 "Let the work decide.")


class _Oil(NamedTuple):
    """What oil changes cost as the miles grow: none more until they outrun the other clocks; ``wear`` is idling told as miles."""

    cost: float
    distance: float
    at_least: float
    wear: float

    def a_year(self, miles: float) -> float:
        return self.cost * max((miles + self.wear) / self.distance, self.at_least)

    @property
    def bend(self) -> float:
        """Where miles begin to bring changes."""
        return max(0.0, self.at_least * self.distance - self.wear)


def _equal_at(now: float, gap: float, per_mile: float, diesel: _Oil, gasoline: _Oil) -> float | Missing:
    """The nearest miles at which a year’s ``gap`` of now is closed, on straight lines from bend to bend."""
    def at(miles: float) -> float:
        oil = diesel.a_year(miles) - diesel.a_year(now) - gasoline.a_year(miles) + gasoline.a_year(now)
        return gap + per_mile * (miles - now) + oil

    bends = sorted({0.0, diesel.bend, gasoline.bend})
    last, beyond = bends[-1], per_mile + diesel.cost / diesel.distance - gasoline.cost / gasoline.distance
    found = [low - at(low) * (high - low) / (at(high) - at(low)) for low, high in pairwise(bends) if at(low) * at(high) < 0]
    found += [last - at(last) / beyond] if beyond and at(last) / beyond <= 0 else []
    return min(found, key=lambda miles: abs(miles - now), default=Missing("no number of miles makes them equal"))


def _flow(first: float, payment: float, months_paid: EachYear, running: float, last: float) -> EachYear:
    """Down payment or cash, then the years; the last gives ``last`` back."""
    years = [months * payment + running for months in months_paid.amounts]
    return EachYear((first, *years[:-1], years[-1] - last))
