"""Fuel and fluids of a year: sums by hand."""

import pytest

from tests.unit.ask import ask, results

YEAR = {"distance_per_year": 15_000, "fuel_economy": 15, "def_share_of_fuel": 3, "oil_interval": 7500}


def test_an_oil_change_by_hand() -> None:
    """13 qt x $7 + $25 = $116; gasoline 7 qt x $6.50 + $13.50 = $59; labor on both."""
    said = results("fluid_cost")
    assert said["oil_change_cost"] == pytest.approx(116)
    assert said["gasoline_oil_change_cost"] == pytest.approx(59)
    with_labor = results("fluid_cost", labor_per_oil_change=60)
    assert with_labor["oil_change_cost"] == pytest.approx(176)
    assert with_labor["gasoline_oil_change_cost"] == pytest.approx(119)


def test_a_year_by_hand() -> None:
    """1,000 gal x $3.90; 30 gal DEF x $4; 2 oil changes x $116; 1 filter set x $160: 3900 + 120 + 232 + 160 = $4,412."""
    said = results("fluid_cost", **YEAR)
    assert said["diesel_cost_per_year"] == pytest.approx(4412)
    assert said["gasoline_cost_per_year"] == pytest.approx(15_000 / 12 * 3.30 + 2.5 * 59)
    assert said["difference_per_year"] == pytest.approx(4412 - 4272.5)
    assert said["diesel_cost_per_distance"] == pytest.approx(4412 / 15_000)
    assert said["gasoline_cost_per_distance"] == pytest.approx(4272.5 / 15_000)


def test_the_lines_add_up() -> None:
    said = results("fluid_cost", **YEAR)
    assert [row["item"]["value"] for row in said["lines"]] == ["fuel", "exhaust_fluid", "oil_changes", "fuel_filters"]
    assert [row["diesel"]["value"] for row in said["lines"]] == pytest.approx([3900, 120, 232, 160])
    for fuel in ("diesel", "gasoline"):
        assert sum(row[fuel]["value"] for row in said["lines"]) == pytest.approx(said[f"{fuel}_cost_per_year"])


def test_a_filter_set_comes_with_every_so_many_oil_changes() -> None:
    assert results("fluid_cost", **YEAR, oil_changes_per_fuel_filter=4)["fuel_filter_cost_per_year"] == pytest.approx(80)


def test_nothing_driven() -> None:
    answer = ask("fluid_cost", distance_per_year=0)
    assert answer["results"]["diesel_cost_per_year"]["value"] == 0
    assert answer["results"]["diesel_cost_per_distance"] == {"value": None, "unit": "USD/mi", "why": "nothing is driven"}
    assert answer["answer"].startswith("Nothing is driven")
