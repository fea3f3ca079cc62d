"""Diesel or gasoline: the table of cash by hand, cash and loan, break-even."""

import pytest

from tests.unit.ask import ask, faults, results

# Cash for both, nothing discounted: a table that can be added up in the head.
CASH = {
    "truck_price": 30_000, "gasoline_truck_price": 27_000, "down_payment": 5000, "loan_time": 0, "ownership_time": 4, "discount_rate": 0,
    "resale_share": 50, "gasoline_resale_share": 50, "repair_cost_per_year": 300, "gasoline_repair_cost_per_year": 100,
}


def test_cash_by_hand() -> None:
    said = results("diesel_or_gasoline", **CASH)
    running = {fuel: results("fluid_cost")[f"{fuel}_cost_per_year"] for fuel in ("diesel", "gasoline")}
    diesel = [row["diesel"]["value"] for row in said["cash_flow"]]
    assert diesel == pytest.approx([30_000, *[running["diesel"] + 300] * 3, running["diesel"] + 300 - 15_000])
    gasoline = [row["gasoline"]["value"] for row in said["cash_flow"]]
    assert gasoline == pytest.approx([27_000, *[running["gasoline"] + 100] * 3, running["gasoline"] + 100 - 13_500])
    assert said["diesel_total"] == pytest.approx(sum(diesel))
    assert said["difference"] == pytest.approx(sum(diesel) - sum(gasoline))
    assert said["diesel_payment"] == 0


def test_a_loan_without_interest_by_hand() -> None:
    """25,000 over 50 months is $500 a month: twelve a year, two left in the fifth."""
    said = results("diesel_or_gasoline", **(CASH | {"loan_time": 50, "loan_rate": 0, "ownership_time": 6}))
    plain = results("diesel_or_gasoline", **(CASH | {"ownership_time": 6}))
    paid = [one["diesel"]["value"] - other["diesel"]["value"] for one, other in zip(said["cash_flow"], plain["cash_flow"], strict=True)]
    assert paid == pytest.approx([-25_000, 6000, 6000, 6000, 6000, 1000, 0])
    assert said["diesel_total"] == pytest.approx(plain["diesel_total"])


def test_sold_before_the_loan_ends_the_balance_is_owed() -> None:
    said = results("diesel_or_gasoline", **(CASH | {"loan_time": 50, "loan_rate": 0, "ownership_time": 2}))
    plain = results("diesel_or_gasoline", **(CASH | {"ownership_time": 2}))
    assert said["share_owed_at_sale"] == pytest.approx(26 / 50)
    assert said["diesel_total"] == pytest.approx(plain["diesel_total"])


def test_at_the_break_even_distance_both_cost_the_same() -> None:
    told = CASH | {"fuel_price": 3}
    miles = results("diesel_or_gasoline", **told)["break_even_distance_per_year"]
    assert miles > 0
    assert results("diesel_or_gasoline", **told, distance_per_year=repr(miles))["difference"] == pytest.approx(0, abs=1e-6)


def test_no_break_even_where_miles_decide_nothing() -> None:
    answer = ask("diesel_or_gasoline", **CASH, fuel_price=15, gasoline_fuel_price=0.5)
    assert answer["results"]["break_even_distance_per_year"]["value"] is None
    assert "no number of miles" in answer["results"]["break_even_distance_per_year"]["why"]


@pytest.mark.parametrize(("share", "verdict"), [(-5.1, "fits"), (-4.9, "watch"), (4.9, "watch"), (5.1, "against")])
def test_the_threshold_itself(share: float, verdict: str) -> None:
    """Repairs set so that the diesel is dearer by that share of its price."""
    told = CASH | {"ownership_time": 1, "repair_cost_per_year": 20_000, "gasoline_repair_cost_per_year": 20_000}
    repair = 20_000 - results("diesel_or_gasoline", **told)["difference"] + share / 100 * 30_000
    assert results("diesel_or_gasoline", **(told | {"repair_cost_per_year": repr(repair)}))["verdict"] == verdict


def test_down_payment_above_a_price_is_a_fault() -> None:
    assert any("cheaper truck" in do for do in faults("diesel_or_gasoline", down_payment=60_000).values())
    assert faults("diesel_or_gasoline", down_payment=57_000) == {}


def test_what_is_left_out_is_said() -> None:
    assert any("taxes are left out" in caution["hazard"] for caution in ask("diesel_or_gasoline")["cautions"])


@pytest.mark.parametrize("told", [{"loan_rate": 1e-9}, {"loan_rate": 1e-30}, {"discount_rate": 1e-9}, {"discount_rate": 1e-30}])
def test_hardly_any_interest_is_like_none(told: dict[str, object]) -> None:
    none = results("diesel_or_gasoline", **dict.fromkeys(told, 0))
    hardly = results("diesel_or_gasoline", **told)
    for name in ("diesel_payment", "diesel_total", "difference"):
        assert hardly[name] == pytest.approx(none[name], rel=1e-6)
