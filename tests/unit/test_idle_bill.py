"""Idling: sums by hand, and what happens at the ends."""

import pytest

from tests.unit.ask import ask, results

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
    """300 h x (0.6 - 0.08) gal/h x $3.90 = $608.40; $1,500 over that is 2.47 years."""
    said = results("idle_bill")
    assert said["heater_saving_per_year"] == pytest.approx(608.40)
    assert said["heater_payback"] == pytest.approx(1500 / 608.40)


def test_oil_life_may_pass_a_hundred_percent() -> None:
    """300 h x 25 mi is 7,500 mi: one whole interval of 7,500, one and a half of 5,000."""
    assert results("idle_bill")["oil_life_used"] == pytest.approx(100)
    assert results("idle_bill", oil_interval=5000)["oil_life_used"] == pytest.approx(150)


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
            for told in ({"idle_hours_per_week": 0}, {"idle_fuel_rate": 0.3, "heater_fuel_rate": 0.3})]
    assert whys == ["nothing idles, so a heater never pays back", "the heater saves no fuel, so it never pays back"]
