"""Diesel or gasoline: which costs me less?"""

from typing import NamedTuple

from calculators.engine.figures import Missing
from calculators.engine.named import column, present_worth, total, worth_today
from calculators.engine.rules import Caution, Check
from calculators.engine.units import Count, Dollars, DollarsPerMile, Miles, Months, Percent, PercentPerYear, Years
from calculators.fluid_cost import diesel_cost_per_distance as diesel_cost_per_distance
from calculators.fluid_cost import diesel_cost_per_year as diesel_cost_per_year
from calculators.fluid_cost import gasoline_cost_per_distance as gasoline_cost_per_distance
from calculators.fluid_cost import gasoline_cost_per_year as gasoline_cost_per_year

HEADLINE = ("difference", "diesel_total", "gasoline_total", "break_even_distance_per_year", "diesel_payment", "gasoline_payment")


class YearOfCash(NamedTuple):
    """What one year takes, and what that is worth today; the last gives the resale back."""

    year: Count
    diesel: Dollars
    gasoline: Dollars
    diesel_today: Dollars
    gasoline_today: Dollars


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


def cash_flow(truck_price: Dollars, gasoline_truck_price: Dollars, borrowed: Dollars, gasoline_borrowed: Dollars,
              diesel_payment: Dollars, gasoline_payment: Dollars, loan_time: Months, ownership_time: Years, months_per_year: Count,
              diesel_cost_per_year: Dollars, gasoline_cost_per_year: Dollars, repair_cost_per_year: Dollars,
              gasoline_repair_cost_per_year: Dollars, resale: Dollars, gasoline_resale: Dollars,
              share_owed_at_sale: Count, discount_rate: PercentPerYear) -> list[YearOfCash]:
    """Year 0 pays down; each year pays the loan, fuel, fluids and repairs at its end; the last sells and settles the loan."""
    diesel = _flows(truck_price - borrowed, diesel_payment, diesel_cost_per_year + repair_cost_per_year,
                    resale - share_owed_at_sale * borrowed, loan_time, ownership_time, months_per_year)
    gasoline = _flows(gasoline_truck_price - gasoline_borrowed, gasoline_payment,
                      gasoline_cost_per_year + gasoline_repair_cost_per_year,
                      gasoline_resale - share_owed_at_sale * gasoline_borrowed, loan_time, ownership_time, months_per_year)
    return [YearOfCash(year, one, other, one * worth_today(discount_rate, year), other * worth_today(discount_rate, year))
            for year, (one, other) in enumerate(zip(diesel, gasoline, strict=True))]


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


def difference_per_mile_a_year(diesel_cost_per_distance: DollarsPerMile, gasoline_cost_per_distance: DollarsPerMile,
                               present_worth_of_a_dollar_a_year: Count) -> DollarsPerMile:
    """What one mile a year more changes over the whole time."""
    return (diesel_cost_per_distance - gasoline_cost_per_distance) * present_worth_of_a_dollar_a_year


def break_even_distance_per_year(difference: Dollars, difference_per_mile_a_year: DollarsPerMile,
                                 distance_per_year: Miles) -> Miles | Missing:
    """The miles a year at which both cost the same."""
    return (Missing("a mile costs the same in both, so miles decide nothing") if difference_per_mile_a_year == 0
            else distance_per_year - difference / difference_per_mile_a_year
            if distance_per_year - difference / difference_per_mile_a_year >= 0
            else Missing("no number of miles makes them equal"))


def verdict(difference: Dollars, truck_price: Dollars, close_call_share: Percent) -> str:
    """Fits: the diesel is clearly cheaper. Against: clearly dearer. (Our own threshold.)"""
    return ("fits" if difference < -truck_price * close_call_share / 100
            else "against" if difference > truck_price * close_call_share / 100 else "watch")


def left_out() -> Caution:
    """Said with every answer: what is not in it."""
    return Caution("NOTICE", "Insurance, registration and taxes are left out, and so is what towing power is worth to you.",
                   "Prices and resale are examples until you enter yours. Fuel burned idling is in the idling calculator.")


def answer(verdict: str) -> str:
    """The sentence that says what to do."""
    return ("On money alone take the diesel: over {ownership_time} it costs {diesel_total}, the gasoline truck {gasoline_total}."
            if verdict == "fits"
            else "On money alone take the gasoline truck: over {ownership_time} it costs {gasoline_total}, the diesel {diesel_total}."
            if verdict == "against"
            else "Money does not decide it: over {ownership_time} the diesel costs {diesel_total}, the gasoline truck {gasoline_total}. "
                 "Let the work decide.")


def _flows(first: float, payment: float, running: float, last: float, loan_time: float, years: float, months: float) -> list[float]:
    flows = [first]
    for year in range(1, int(years) + 1):
        paid = min(months, max(0.0, loan_time - months * (year - 1))) * payment
        flows.append(paid + running)
    flows[-1] -= last
    return flows
