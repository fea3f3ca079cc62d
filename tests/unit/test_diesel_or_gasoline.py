"""Diesel or gasoline: the table of cash by hand, cash and loan, break-even."""

import pytest

from calculators import diesel_or_gasoline
from tests.unit.ask import ask, faults, results

# Cash for both, nothing discounted: a table that can be added up in the head. A gasoline truck whose miles a gallon are told.
CASH = {
    "truck_price": 30_000, "gasoline_truck_price": 27_000, "down_payment": 5000, "loan_time": 0, "ownership_time": 4, "discount_rate": 0,
    "resale_share": 50, "gasoline_resale_share": 50, "repair_cost_per_year": 300, "gasoline_repair_cost_per_year": 100,
    "gasoline_fuel_economy": 10,
}


def test_cash_by_hand() -> None:
    said = results("diesel_or_gasoline", **CASH)
    running = {fuel: results("fluid_cost", gasoline_fuel_economy=10)[f"{fuel}_cost_per_year"] for fuel in ("diesel", "gasoline")}
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


@pytest.mark.parametrize("told", [
    {"fuel_price": 3},                                                 # miles bring oil changes on both sides
    {"fuel_price": 3, "idle_hours_per_week": 40},                      # hours bring the diesel's, however few the miles
    {"fuel_price": 3, "oil_interval": 5000, "gasoline_oil_interval": 5000},
    {"fuel_price": 3.5, "truck_price": 28_000, "gasoline_economy_share": 75, "severe_use": "no", "idle_hours_per_week": 60},
    {"fuel_price": 3.2, "truck_price": 27_200, "distance_per_year": 0},
], ids=str)
def test_at_the_break_even_distance_both_cost_the_same(told: dict[str, object]) -> None:
    """The other clocks of the oil stand still, so the cost of a mile bends where miles begin to bring changes."""
    miles = results("diesel_or_gasoline", **(CASH | told))["break_even_distance_per_year"]
    assert miles > 0
    at_even = CASH | {"average_speed": 40, "engine_hours_per_week": hours(told)} | told | {"distance_per_year": repr(miles)}
    assert results("diesel_or_gasoline", **at_even)["difference"] == pytest.approx(0, abs=1e-6)


@pytest.mark.parametrize(("now", "gap", "even"), [(10_500, 45, 10_200), (9000, 20, 9400)])
def test_of_two_break_evens_the_nearer_counts(now: float, gap: float, even: float) -> None:
    """A mile's fuel saves 5 cents; past 10,000 miles, where two changes a year no longer do, its oil costs 20. So both ways from there
    the diesel costs more: 45 dollars now at 10,500 miles, none 300 back; 20 dollars at 9,000, none 400 on."""
    assert diesel_or_gasoline._equal_at(now, gap, -0.05, diesel_or_gasoline._Oil(1000, 5000, 2, 0),
                                        diesel_or_gasoline._Oil(0, 1, 0, 0)) == pytest.approx(even)


def hours(told: dict[str, object]) -> float:
    """The week's engine hours, which the miles of a year alone don't move."""
    return 5.5 + float(str(told.get("idle_hours_per_week", 6)))


def test_no_break_even_where_miles_decide_nothing() -> None:
    answer = ask("diesel_or_gasoline", **CASH, fuel_price=15, gasoline_fuel_price=0.5)
    assert answer["results"]["break_even_distance_per_year"]["value"] is None
    assert "no number of miles" in answer["results"]["break_even_distance_per_year"]["why"]


@pytest.mark.parametrize(("lower", "there"), [(1, True), (-1, False)])
def test_no_break_even_past_the_hours_of_a_year(lower: int, there: bool) -> None:
    """10,000 miles a year in 5 of a week’s hours, 10 idled: in the other 158 of 168 it could go 316,000."""
    told = {"engine_hours_per_week": 15, "idle_hours_per_week": 10, "distance_per_year": 10_000}
    assert results("diesel_or_gasoline", **told)["most_distance_per_year"] == pytest.approx(316_000)
    cash = {key: value for key, value in CASH.items() if key != "truck_price"} | told | {"fuel_price": 3}
    price = even_at(cash, 316_000 - lower)
    said = ask("diesel_or_gasoline", **cash, truck_price=repr(price))["results"]["break_even_distance_per_year"]
    assert (said["value"] is not None) is there
    assert there or "hours" in said["why"]


def even_at(told: dict[str, object], miles: float) -> float:
    """The diesel's price at which both cost the same at those miles: on the straight line of two prices’ break-even."""
    def equal(price: float) -> float:
        return float(results("diesel_or_gasoline", **told, truck_price=price)["equal_distance_per_year"])

    low, high = 60_000.0, 61_000.0
    return low + (miles - equal(low)) * (high - low) / (equal(high) - equal(low))


@pytest.mark.parametrize(("share", "verdict"), [(-5.1, "fits"), (-4.9, "watch"), (4.9, "watch"), (5.1, "against")])
def test_the_threshold_itself(share: float, verdict: str) -> None:
    """Repairs set so that the diesel is dearer by that share of its price; the gasoline truck's miles a gallon are told."""
    told = CASH | {"ownership_time": 1, "repair_cost_per_year": 20_000, "gasoline_repair_cost_per_year": 20_000}
    repair = 20_000 - results("diesel_or_gasoline", **told)["difference"] + share / 100 * 30_000
    assert results("diesel_or_gasoline", **(told | {"repair_cost_per_year": repr(repair)}))["verdict"] == verdict


def repairs_at(difference: float, share: float) -> str:
    """Repairs of the diesel that make it so much dearer where the gasoline truck goes that share of its miles on a gallon."""
    made = results("diesel_or_gasoline", gasoline_economy_share=share, gasoline_repair_cost_per_year=5000)
    return repr(1200 + (difference - made["difference"]) / made["present_worth_of_a_dollar_a_year"])


@pytest.mark.parametrize(("share", "difference", "verdict"), [
    (70, 3410, "against"), (70, 3390, "watch"), (85, -3410, "fits"), (85, -3390, "watch"),
])
def test_until_its_miles_a_gallon_are_told_both_ends_must_agree(share: float, difference: float, verdict: str) -> None:
    """$3,400 are 5 % of $68,000: dearer by more than that even at 70 %, cheaper by more even at 85 %."""
    repairs = repairs_at(difference, share)
    assert results("diesel_or_gasoline", repair_cost_per_year=repairs, gasoline_repair_cost_per_year=5000)["verdict"] == verdict


@pytest.mark.parametrize("told", [{"gasoline_economy_share": 79.9}, {"gasoline_fuel_economy": 8.9}])
def test_once_they_are_told_its_own_number_decides(told: dict[str, object]) -> None:
    """Tamarack: $9,900 dearer at 80 % and as dear at 70 %, so told it is against, untold it hangs on them."""
    assert results("diesel_or_gasoline", "tamarack", **told)["verdict"] == "against"
    untold = ask("diesel_or_gasoline", "tamarack")
    assert untold["results"]["verdict"]["value"] == "watch"
    assert untold["results"]["fewer_miles_to_break_even"]["value"] == pytest.approx(30, abs=0.5)
    assert untold["answer"].startswith("By these numbers gasoline costs $9,9") and "Let the work decide." in untold["answer"]
    assert "take the gasoline" not in untold["answer"]


def test_at_so_many_fewer_miles_a_gallon_both_cost_the_same() -> None:
    fewer = results("diesel_or_gasoline", "tamarack")["fewer_miles_to_break_even"]
    said = results("diesel_or_gasoline", "tamarack", gasoline_economy_share=repr(100 - fewer))
    assert said["difference"] == pytest.approx(0, abs=1e-6)


def test_where_the_diesel_is_cheaper_the_sentence_says_so() -> None:
    answer = ask("diesel_or_gasoline", "tamarack", repair_cost_per_year=0, gasoline_repair_cost_per_year=2600)
    assert answer["results"]["difference"]["value"] < -3400
    assert answer["answer"].startswith("By these numbers the diesel costs")


@pytest.mark.parametrize(("told", "why", "silent"), [
    ({"truck_price": 90_000, "gasoline_economy_share": 69}, "price less resale, and your miles are too few to earn it back", "repairs"),
    ({"truck_price": 90_000, "fuel_price": 6}, "are price less resale.", "too few"),
    ({"repair_cost_per_year": 6000}, "are repairs", "resale"), ({"fuel_price": 8}, "are fuel and fluids", "repairs"),
])
def test_a_dearer_diesel_is_told_by_what_it_is_dearer(told: dict[str, object], why: str, silent: str) -> None:
    answer = ask("diesel_or_gasoline", **told)
    assert answer["results"]["verdict"]["value"] == "against"
    assert why in answer["answer"] and silent not in answer["answer"]


def test_the_parts_of_the_difference_come_to_it() -> None:
    said = results("diesel_or_gasoline", "tamarack")
    assert said["dearer_by_running"] + said["dearer_by_repairs"] + said["dearer_by_price"] == pytest.approx(said["difference"])
    assert said["dearer_by_repairs"] == pytest.approx(500 * (1 - 1.06**-6) / 0.06)
    assert results("diesel_or_gasoline", **(CASH | {"gasoline_truck_price": 26_000}))["dearer_by_price"] == pytest.approx(4000 / 2)


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


def test_fewer_miles_are_told_to_the_whole_percent() -> None:
    """Nobody knows a gasoline truck's miles a gallon to a tenth of a percent."""
    said = ask("diesel_or_gasoline", "tamarack")
    assert 29.5 < said["results"]["fewer_miles_to_break_even"]["value"] < 30
    assert "at 30% fewer miles a gallon" in said["answer"]
