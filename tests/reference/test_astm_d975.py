"""ASTM D975: water and sediment at most 0.05 % by volume; in 30 gallons that is 57 mL (arithmetic)."""

import pytest

from calculators.engine.figures import FIGURES
from tests.unit.ask import results


def test_the_limit() -> None:
    assert FIGURES["water_in_fuel_limit"].value == 0.05
    assert results("tank_water", fuel_per_month=30)["water_at_limit_per_month"] == pytest.approx(57, abs=0.5)


def test_typical_and_bad_fuel_beside_it() -> None:
    """Examples: typical 0.02 %, a bad load 0.5 %: ten times the limit."""
    said = results("tank_water", fuel_per_month=30, water_in_fuel=0.02)
    assert said["water_with_fuel_per_month"] == pytest.approx(30 * 3785.411784 * 0.0002)
    assert said["water_in_bad_fuel_per_month"] == pytest.approx(10 * said["water_at_limit_per_month"])


def test_what_matters_is_the_fuel() -> None:
    """Fuel at the limit brings more than all the air could."""
    said = results("tank_water")
    assert said["water_at_limit_per_month"] > said["water_from_air_at_most"]
