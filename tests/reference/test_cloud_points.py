"""Blending cloud points: Oil & Gas Journal 68 (45) 66 (1970), by title; an index of the 20th power of the absolute temperature.

The exponent 20 = 1/0.05 is from memory; public code also uses 13.45. Values: the index recomputed for +10 and -40 degF.
"""

import pytest

from tests.unit.ask import results

FUELS = {"summer_cloud_point": 10, "winter_cloud_point": -40, "cloud_point_margin": 0}
TABLE = [(10, 7.8, 7.2, 5), (30, 2.7, 0.8, -5), (50, -3.7, -6.9, -15), (70, -12.6, -16.8, -25)]  # share, by 20, by 13.45, straight


@pytest.mark.parametrize(("share", "by_20", "by_13", "straight"), TABLE)
def test_the_table(share: float, by_20: float, by_13: float, straight: float) -> None:
    """A target at the tabled cloud point asks for about the tabled share: 0.05 degF of rounding is up to half a percent."""
    said = results("winter_fuel", **FUELS, expected_low=by_20)
    assert said["winter_fuel_share"] == pytest.approx(share, abs=0.4)
    assert said["blend_cloud_point"] == pytest.approx(by_20, abs=1e-9)
    assert said["blend_cloud_point_straight_line"] == pytest.approx(straight, abs=0.25)
    other = results("winter_fuel", **FUELS, expected_low=by_13)
    assert other["winter_fuel_share_other_index"] == pytest.approx(share, abs=0.4)


@pytest.mark.parametrize("share", [10, 30, 50, 70])
def test_the_index_by_hand(share: float) -> None:
    """In degrees Rankine: 10 degF is 469.67, -40 degF is 419.67."""
    mixed = ((1 - share / 100) * 469.67**20 + share / 100 * 419.67**20) ** 0.05 - 459.67
    said = results("winter_fuel", **FUELS, expected_low=repr(mixed))
    assert said["winter_fuel_share"] == pytest.approx(share, rel=1e-9)


def test_a_target_below_the_winter_fuels_own_cannot_be_reached() -> None:
    """A hair colder is watched, for no forecast is that sure; more is out of reach. No share is told for either."""
    for low, verdict in ((-40.001, "watch"), (-45, "against")):
        said = results("winter_fuel", **FUELS, expected_low=low)
        assert (said["winter_fuel_share"], said["verdict"]) == (None, verdict)
    assert results("winter_fuel", **FUELS, expected_low=-40)["winter_fuel_share"] == pytest.approx(100)


def test_the_margin_goes_to_the_cold_side() -> None:
    assert results("winter_fuel", expected_low=-5, cloud_point_margin=10)["target_cloud_point"] == -15


def test_no_1_has_2_to_6_percent_less_energy() -> None:
    """From memory: 2-6 %, 4 % by default."""
    from calculators.engine.figures import FIGURES

    assert (FIGURES["winter_fuel_energy_loss"].value, FIGURES["winter_fuel_energy_loss"].spread) == (4, (2, 6))
    assert results("winter_fuel", **FUELS, expected_low=-40)["energy_loss"] == pytest.approx(4)
