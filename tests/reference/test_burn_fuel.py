"""Fuel for one burn: 220 kg/h of exhaust heated by 300 K for 25 minutes is 30 MJ, 0.22 gallons (arithmetic on values from memory).

Energy: US DOE, Alternative Fuels Data Center, Fuel Properties Comparison (2013): ultra-low-sulfur diesel,
lower heating value, 128,488 Btu/gal.
"""

import pytest

from calculators.engine.figures import FIGURES
from tests.unit.ask import results

BTU = 1.05505585262  # kJ, NIST SP 811


def test_the_diesels_energy() -> None:
    assert FIGURES["diesel_energy"].value == 128_488


def test_30_megajoules_are_0_22_gallons() -> None:
    heat = 220 * 1.1 * 300 * 25 / 60  # kJ
    assert heat == pytest.approx(30_000, rel=0.01)
    assert heat / (128_488 * BTU) == pytest.approx(0.22, abs=0.005)
    burn = results("regeneration", heat_up_time=15)["burn_time"]
    said = results("regeneration", heat_up_time=25 - burn)
    assert said["fuel_per_regeneration"] == pytest.approx(heat / (128_488 * BTU), rel=1e-9)


def test_the_example_lies_within_what_is_published() -> None:
    """0.2 to 0.6 gallons a burn."""
    assert 0.2 <= results("regeneration")["fuel_per_regeneration"] <= 0.6
