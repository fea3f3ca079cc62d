"""CRC Handbook of Chemistry and Physics, aqueous urea at 20 degC: 30 % is 1.0812 kg/L, n 1.3785.

Between its lines 32.5 % is 1.0883 kg/L, n 1.38247.

ISO 22241-1 (AUS 32): urea 31.8-33.2 %, density 1.0870-1.0930 kg/L, refractive index 1.3814-1.3843 at 20 degC.
"""

import pytest

from tests.unit.ask import results


@pytest.mark.parametrize(("density", "index", "urea"), [(1.0812, 1.3785, 30), (1.0883, 1.38247, 32.5), (0.9982, 1.3330, 0)])
def test_the_tables_lines(density: float, index: float, urea: float) -> None:
    assert results("exhaust_fluid_quality", density=density)["urea"] == pytest.approx(urea, abs=0.005)
    assert results("exhaust_fluid_quality", refractive_index=index)["urea"] == pytest.approx(urea, abs=0.005)


def test_the_standards_highest_density_reads_34_2_percent() -> None:
    """CRC's line and the ISO limits disagree there; so each property is judged by its own limit."""
    said = results("exhaust_fluid_quality", density=1.0930)
    assert said["urea"] == pytest.approx(34.2, abs=0.05)
    assert said["within_limits"] is True


@pytest.mark.parametrize(("told", "good"), [
    ({"urea_reading": 31.8}, True), ({"urea_reading": 33.2}, True), ({"urea_reading": 31.79}, False), ({"urea_reading": 33.21}, False),
    ({"density": 1.0870}, True), ({"density": 1.0930}, True), ({"density": 1.08699}, False), ({"density": 1.09301}, False),
    ({"refractive_index": 1.3814}, True), ({"refractive_index": 1.3843}, True), ({"refractive_index": 1.38139}, False),
    ({"refractive_index": 1.38431}, False),
])
def test_the_limits_are_inside(told: dict[str, object], good: bool) -> None:
    assert results("exhaust_fluid_quality", **told)["within_limits"] is good


def test_five_percent_of_water_leave_31_0_percent_urea() -> None:
    said = results("exhaust_fluid_quality", density=1.0883, water_added=5)
    assert said["urea_after_water"] == pytest.approx(31.0, abs=0.05)
    assert said["verdict"] == "against"


def test_2_3_percent_of_water_bring_it_to_the_lower_limit() -> None:
    allowed = results("exhaust_fluid_quality", density=1.0883)["water_allowed"]
    assert allowed == pytest.approx(2.3, abs=0.05)
    assert results("exhaust_fluid_quality", density=1.0883, water_added=allowed)["urea_after_water"] == pytest.approx(31.8, abs=1e-9)


def test_the_balance_of_mass_by_hand() -> None:
    """100 L with 20 L of water: 80 x 1.0883 kg hold 32.5 %, 20 x 0.9982 kg hold none."""
    said = results("exhaust_fluid_quality", density=1.0883, water_added=20)
    assert said["urea_after_water"] == pytest.approx(80 * 1.0883 * 0.325 / (80 * 1.0883 + 20 * 0.9982) * 100, rel=1e-9)
