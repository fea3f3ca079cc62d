"""Loans and present worth against `numpy-financial`, and the worked examples of its documentation."""

import numpy_financial
import pytest

from tests.unit.ask import results


def test_40_000_at_6_percent_over_60_months() -> None:
    """773.31 a month (recomputed with numpy-financial)."""
    said = results("diesel_or_gasoline", truck_price=50_000, down_payment=10_000, loan_rate=6, loan_time=60)
    assert said["diesel_payment"] == pytest.approx(773.31, abs=0.005)


def test_the_documentations_loan() -> None:
    """numpy_financial.pmt: 200,000 at 7.5 % over 15 years is 1,854.0247 a month."""
    said = results("diesel_or_gasoline", truck_price=200_000, down_payment=0, loan_rate=7.5, loan_time=180, ownership_time=15)
    assert said["diesel_payment"] == pytest.approx(1854.0247, abs=5e-5)


@pytest.mark.parametrize("rate", [0, 0.5, 7.5, 40])
@pytest.mark.parametrize("months", [1, 13, 72, 180])
def test_payments(rate: float, months: int) -> None:
    said = results("diesel_or_gasoline", loan_rate=rate, loan_time=months, ownership_time=15)
    assert said["diesel_payment"] == pytest.approx(-numpy_financial.pmt(rate / 100 / 12, months, 58_000), rel=1e-9)
    assert said["gasoline_payment"] == pytest.approx(-numpy_financial.pmt(rate / 100 / 12, months, 47_000), rel=1e-9)


@pytest.mark.parametrize("rate", [0, 6, 25])
@pytest.mark.parametrize("years", [1, 3, 5])
def test_what_is_owed_when_sold_before_the_loan_ends(rate: float, years: int) -> None:
    said = results("diesel_or_gasoline", loan_rate=rate, loan_time=72, ownership_time=years)
    payment = numpy_financial.pmt(rate / 100 / 12, 72, 1)
    assert said["share_owed_at_sale"] == pytest.approx(-numpy_financial.fv(rate / 100 / 12, years * 12, payment, 1), rel=1e-9)


@pytest.mark.parametrize("rate", [0, 6, 40])
@pytest.mark.parametrize("years", [1, 6, 30])
def test_totals_are_the_net_present_value_of_the_table(rate: float, years: int) -> None:
    said = results("diesel_or_gasoline", discount_rate=rate, ownership_time=years)
    for fuel in ("diesel", "gasoline"):
        flows = [row[fuel]["value"] for row in said["cash_flow"]]
        assert said[f"{fuel}_total"] == pytest.approx(numpy_financial.npv(rate / 100, flows), rel=1e-9)
        assert len(flows) == years + 1


@pytest.mark.parametrize("rate", [0, 6, 40])
@pytest.mark.parametrize("years", [1, 7, 30])
def test_present_worth_of_a_dollar_a_year(rate: float, years: int) -> None:
    said = results("protection_worth", discount_rate=rate, protection_time=years)
    assert said["present_worth_of_a_dollar_a_year"] == pytest.approx(-numpy_financial.pv(rate / 100, years, 1), rel=1e-12)


def test_at_the_break_even_chance_nothing_is_won_or_lost() -> None:
    chance = results("protection_worth")["break_even_chance"]
    annuity = -float(numpy_financial.pv(0.06, 7, 1))
    assert chance == pytest.approx(400 / ((11_000 - 2_500) * annuity) * 100, rel=1e-12)
    assert results("protection_worth", failure_chance=chance)["net_value"] == pytest.approx(0, abs=1e-9)


def test_the_chance_over_the_years_is_one_less_all_that_go_well() -> None:
    said = results("protection_worth", failure_chance=3, trucks=4, protection_time=5)
    well = 1.0
    for _ in range(4 * 5):
        well *= 0.97
    assert said["chance_of_any_failure"] == pytest.approx((1 - well) * 100, rel=1e-12)
