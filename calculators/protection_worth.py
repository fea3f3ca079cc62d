"""Is a pump-debris containment kit worth its price?"""

from math import exp, log
from typing import NamedTuple

from calculators.engine.figures import Missing
from calculators.engine.named import missing, present_worth, worth_today
from calculators.engine.rules import Caution
from calculators.engine.units import Count, Dollars, Percent, PercentPerYear, Years

HEADLINE = ("break_even_chance", "net_value", "saving_per_year", "expected_loss_per_year", "chance_of_any_failure")


class YearOfCash(NamedTuple):
    """What one year costs on average, all trucks, and what that is worth today."""

    year: Count
    with_protection: Dollars
    without: Dollars
    with_protection_today: Dollars
    without_today: Dollars


def present_worth_of_a_dollar_a_year(discount_rate: PercentPerYear, protection_time: Years) -> Count:
    """What a dollar at the end of every year is worth today."""
    return protection_time if discount_rate == 0 else present_worth(discount_rate, protection_time)


def saving_per_failure(system_cost: Dollars, protected_cost: Dollars) -> Dollars:
    """What one failure costs less with protection."""
    return system_cost - protected_cost


def break_even_chance(protection_price: Dollars, saving_per_failure: Dollars,
                      present_worth_of_a_dollar_a_year: Count) -> PercentPerYear | Missing:
    """The chance of a failure, a year and truck, at which it just pays."""
    return (protection_price / (saving_per_failure * present_worth_of_a_dollar_a_year) * 100 if saving_per_failure > 0
            else Missing("it saves nothing in a failure, so it never pays"))


def expected_loss_per_year(trucks: Count, failure_chance: PercentPerYear, system_cost: Dollars) -> Dollars:
    """What failures cost on average, all trucks, without it."""
    return trucks * failure_chance / 100 * system_cost


def saving_per_year(trucks: Count, failure_chance: PercentPerYear, saving_per_failure: Dollars) -> Dollars:
    """What it saves on average, all trucks."""
    return trucks * failure_chance / 100 * saving_per_failure


def net_value(saving_per_year: Dollars, present_worth_of_a_dollar_a_year: Count, trucks: Count, protection_price: Dollars) -> Dollars:
    """Those savings today, less the price, all trucks."""
    return saving_per_year * present_worth_of_a_dollar_a_year - trucks * protection_price


def cash_flow(trucks: Count, failure_chance: PercentPerYear, system_cost: Dollars, protected_cost: Dollars, protection_price: Dollars,
              protection_time: Years, discount_rate: PercentPerYear) -> list[YearOfCash]:
    """Year 0 buys the kits; each year then costs, on average, its share of failures; and what that is worth today."""
    return _flow(trucks * protection_price, trucks * failure_chance / 100 * protected_cost, trucks * failure_chance / 100 * system_cost,
                 int(protection_time), discount_rate)


def chance_of_any_failure(failure_chance: PercentPerYear, trucks: Count, protection_time: Years) -> Percent:
    """The chance that at least one truck fails in that time."""
    return (1 - exp(trucks * protection_time * log(1 - failure_chance / 100))) * 100 if failure_chance < 100 else 100


def verdict(failure_chance: PercentPerYear, break_even_chance: PercentPerYear | Missing, worth_from: Count, not_worth_below: Count) -> str:
    """Fits: your chance is well above break-even. Against: well below. (Our own threshold.)"""
    return ("against" if missing(break_even_chance)
            else "fits" if failure_chance >= worth_from * break_even_chance
            else "against" if failure_chance < not_worth_below * break_even_chance else "watch")


def no_base_rate() -> Caution:
    """Said with every answer: what nobody knows."""
    return Caution("NOTICE", "Nobody publishes how often these pumps fail.",
                   "So lead with the break-even chance, not with ours. The costs are estimates too. "
                   "Ask whether the kit touches your warranty.")


def answer(verdict: str, break_even_chance: PercentPerYear | Missing, failure_chance: PercentPerYear) -> str:
    """The sentence that says what to do."""
    return ("Leave it: it would save nothing when the pump fails." if missing(break_even_chance)
            else "Leave it: even a failure every year would not make it pay." if break_even_chance > 100
            else "Take it or leave it: it costs nothing, and without failures it saves nothing." if failure_chance == break_even_chance == 0
            else "Buy it if you believe a truck like yours fails more often than {break_even_chance}; at {failure_chance} it pays."
            if verdict == "fits"
            else "Leave it unless you believe the chance is above {break_even_chance}; spend on clean fuel and filters first."
            if verdict == "against"
            else "It is a close call at {break_even_chance}: decide by how badly a dead truck would hurt you.")


def _flow(price: float, protected: float, plain: float, years: int, rate: float) -> list[YearOfCash]:
    costs = [(price, 0.0), *[(protected, plain)] * years]
    return [YearOfCash(year, one, other, one * worth_today(rate, year), other * worth_today(rate, year))
            for year, (one, other) in enumerate(costs)]
