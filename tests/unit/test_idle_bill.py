"""Idling: sums by hand, and what happens at the ends."""

import pytest

from tests.unit.ask import ask, faults, results

# ten trucks, 100 minutes a day, 259 days, 0.5 gal/h at $3.50: 10 x 100/60 x 259 x 0.5 x 3.5
FLEET = {"trucks": 10, "idle_hours_per_day": "100 min", "days_per_year": 259, "idle_fuel_rate": 0.5, "fuel_price": "3.50"}


def test_a_fleet_by_hand() -> None:
    said = results("idle_bill", **FLEET)
    assert said["fuel_per_day"] == pytest.approx(10 * 5 / 3 * 0.5)
    assert said["cost_per_year"] == pytest.approx(7554.17, abs=0.005)
    assert said["idle_hours_per_year"] == pytest.approx(259 * 5 / 3)  # each truck


def test_wear_is_for_each_truck_and_fuel_for_all() -> None:
    one, ten = results("idle_bill", trucks=1), results("idle_bill", trucks=10)
    assert ten["cost_per_year"] == pytest.approx(10 * one["cost_per_year"])
    assert ten["heater_saving_per_year"] == pytest.approx(10 * one["heater_saving_per_year"])
    for each in ("idle_hours_per_year", "equivalent_distance", "oil_life_used", "heater_payback"):
        assert ten[each] == pytest.approx(one[each])


def test_the_heater_by_hand() -> None:
    """300 h, half of them for warmth, x (0.6 - 0.08) gal/h x $3.90 = $304.20; $1,500 over that is 4.93 years."""
    said = results("idle_bill")
    assert said["heater_saving_per_year"] == pytest.approx(304.20)
    assert said["heater_payback"] == pytest.approx(1500 / 304.20)
    assert results("idle_bill", warmth_share_of_idle=100)["heater_payback"] == pytest.approx(1500 / 608.40)


@pytest.mark.parametrize(("work", "warmth", "replaced"), [
    (0, 50, 3), (2, 50, 3), (4, 50, 2), (6, 50, 0), (4, 20, 1.2), (0, 100, 6), (2, 100, 4)])
def test_a_heater_replaces_no_hour_that_work_needs(work: float, warmth: float, replaced: float) -> None:
    """Of six hours: the smaller of the share for warmth and what work leaves."""
    said = results("idle_bill", idle_hours_per_day=6, work_idle_hours_per_day=work, warmth_share_of_idle=warmth)
    assert said["idle_hours_for_warmth_per_day"] == pytest.approx(replaced)
    assert said["heater_saving_per_year"] == pytest.approx(replaced * 300 * 0.52 * 3.90)


def test_a_truck_that_idles_for_its_work_alone_is_not_told_to_shut_it_off() -> None:
    """A bucket truck: 30 h of power take-off a week."""
    answer = ask("idle_bill", idle_hours_per_week=30, work_idle_hours_per_day=5)
    assert answer["results"]["heater_payback"]["value"] is None
    assert "work" in answer["results"]["heater_payback"]["why"]
    assert "work that needs the engine" in answer["answer"]
    assert "shut" not in answer["answer"] and "heater" not in answer["answer"]


def test_more_hours_of_work_than_of_idling_are_refused() -> None:
    assert "than it idles in a day" in faults("idle_bill", work_idle_hours_per_day=1.5)["work_idle_hours_per_day"]
    assert faults("idle_bill", work_idle_hours_per_day=1) == {}


@pytest.mark.parametrize(("price", "says", "silent"), [
    (1500, "would save $304 a year and pay for itself in 5 years", "not for the money"),
    (1530, "not for the money", "would save"), (3000, "not for the money", "would save"), (3100, "step away.", "heater"),
])
def test_a_heater_is_advised_to_five_years_and_named_for_its_warmth_to_ten(price: float, says: str, silent: str) -> None:
    """Ours. $1,521 and $3,042 are five and ten years of $304.20."""
    said = ask("idle_bill", heater_price=price)["answer"]
    assert says in said and silent not in said


@pytest.mark.parametrize(("outside", "off"), [(1, True), (0, True), (-1, False)])
def test_below_zero_nobody_is_told_to_shut_it_off(outside: float, off: bool) -> None:
    said = ask("idle_bill", outside_temperature=outside)["answer"]
    assert ("shut the engine off" in said) is off
    assert ("may not start again" in said) is not off


def test_oil_life_may_pass_a_hundred_percent() -> None:
    """300 h x 25 mi is 7,500 mi: two intervals of 3,750 in severe use, more than 300 h of 200; an interval given counts by miles alone."""
    assert results("idle_bill")["oil_life_used"] == pytest.approx(200)
    assert results("idle_bill", distance_per_idle_hour=10)["oil_life_used"] == pytest.approx(150)
    assert results("idle_bill", severe_use="no")["oil_life_used"] == pytest.approx(120)
    assert results("idle_bill", severe_use="no", distance_per_idle_hour=33)["oil_life_used"] == pytest.approx(132)
    assert results("idle_bill", oil_interval=5000)["oil_life_used"] == pytest.approx(150)
    assert results("idle_bill", oil_interval=5000, distance_per_idle_hour=1)["oil_life_used"] == pytest.approx(6)


def test_a_truck_that_never_idles() -> None:
    answer = ask("idle_bill", idle_hours_per_day=0)
    assert answer["results"]["cost_per_year"]["value"] == 0
    assert answer["results"]["heater_payback"]["value"] is None
    assert "never pays back" in answer["results"]["heater_payback"]["why"]
    assert answer["answer"].startswith("Nothing idles here")


def test_a_heater_that_burns_as_much_never_pays_back_and_says_so() -> None:
    answer = ask("idle_bill", heater_fuel_rate=0.3, idle_fuel_rate=0.3)
    assert answer["results"]["heater_payback"]["value"] is None
    assert "This heater would save nothing." in [caution["hazard"] for caution in answer["cautions"]]
    assert "heater would" not in answer["answer"]
    assert "This heater would save nothing." not in [caution["hazard"] for caution in ask("idle_bill")["cautions"]]


def test_a_heater_for_nothing_pays_at_once() -> None:
    assert results("idle_bill", heater_price=0)["heater_payback"] == 0


def test_why_no_heater_pays_back() -> None:
    whys = [ask("idle_bill", **told)["results"]["heater_payback"]["why"]
            for told in ({"idle_hours_per_week": 0}, {"idle_fuel_rate": 0.3, "heater_fuel_rate": 0.3}, {"warmth_share_of_idle": 0})]
    assert whys == ["nothing idles, so a heater never pays back", "the heater saves no fuel, so it never pays back",
                    "none of the idling is for warmth, so a heater never pays back"]
