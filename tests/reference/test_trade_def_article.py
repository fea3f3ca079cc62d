"""A trade article on DEF: 50,000 miles at 8 miles a gallon and 2 % take 6,250 gallons of fuel and 125 gallons of DEF."""

import pytest

from tests.unit.ask import results

ARTICLE = {"distance_per_year": 50_000, "fuel_economy": 8}


def test_fuel() -> None:
    assert results("fluid_cost", **ARTICLE, def_share_of_fuel=2)["fuel_per_year"] == pytest.approx(6250)


def test_def() -> None:
    assert results("exhaust_fluid_use", **ARTICLE, measured_def_share_of_fuel=2)["def_per_year"] == pytest.approx(125)


def test_def_at_a_dollar_costs_as_many_dollars() -> None:
    assert results("fluid_cost", **ARTICLE, def_share_of_fuel=2, def_price=1)["def_cost_per_year"] == pytest.approx(125)
