"""Soot burning: Environ. Sci. Technol. 39 (2005) 4021 (activation energy 110 kJ/mol; flame soot 162), others to over 200.

The constant A of the model was set so that 90 % burns in 20 minutes at 600 degC: that point proves nothing and is not tested here.
What is tested: ratios of rates, the burn times at other temperatures, and the closed form against scipy's integrator.
"""

from math import exp

import pytest
from scipy.constants import R as GAS_CONSTANT
from scipy.integrate import solve_ivp

from calculators.engine.figures import FIGURES
from tests.unit.ask import results


def rate(celsius: float) -> float:
    return float(results("regeneration", regeneration_temperature=f"{celsius} degC")["oxidation_rate"])


def test_the_gas_constant_is_codata_2018() -> None:
    assert FIGURES["gas_constant"].value == pytest.approx(GAS_CONSTANT / 1000, rel=1e-10)


def test_fifty_degrees_more_burn_2_95_times_as_fast() -> None:
    """k(650 degC)/k(600 degC) at 145 kJ/mol; free of A."""
    assert rate(650) / rate(600) == pytest.approx(2.95, abs=0.005)


def test_the_ratio_at_160_kilojoules_is_3_30() -> None:
    """The same law at another energy, as a check of the check: exp(E/R (1/873.15 - 1/923.15))."""
    assert exp(160 / (GAS_CONSTANT / 1000) * (1 / 873.15 - 1 / 923.15)) == pytest.approx(3.30, abs=0.005)


@pytest.mark.parametrize(("celsius", "at_110", "at_145", "at_210"), [(550, 50, 67, 116), (650, 8.8, 6.8, 4.2)])
def test_the_band_of_burn_times(celsius: float, at_110: float, at_145: float, at_210: float) -> None:
    """With A refitted to the same 20 minutes at 600 degC for each activation energy: arithmetic on the published energies."""
    said = results("regeneration", regeneration_temperature=f"{celsius} degC")
    assert said["burn_time"] == pytest.approx(at_145, rel=0.01)
    assert said["burn_time_at_low_energy"] == pytest.approx(at_110, rel=0.01)
    assert said["burn_time_at_high_energy"] == pytest.approx(at_210, rel=0.01)
    assert said["burn_time_low"] == min(said["burn_time_at_low_energy"], said["burn_time_at_high_energy"])
    assert said["burn_time_high"] == max(said["burn_time_at_low_energy"], said["burn_time_at_high_energy"])


@pytest.mark.parametrize("energy", ["low", "high"])
@pytest.mark.parametrize("celsius", [480, 560, 640, 690])
def test_the_band_by_the_integrator(energy: str, celsius: float) -> None:
    """The refitted law integrated: A from 20 minutes at 600 degC, then the soot left at another temperature over the time told."""
    said = results("regeneration", regeneration_temperature=f"{celsius} degC", soot_burned_share=90)
    law = FIGURES[f"activation_energy_{energy}"].value / (GAS_CONSTANT / 1000)
    refitted = 2.302585093 / (20 * 60) * exp(law / 873.15)  # ln 10
    k = refitted * exp(-law / (celsius + 273.15))
    burned = solve_ivp(lambda _, soot: -k * soot, (0, said[f"burn_time_at_{energy}_energy"] * 60), [1.0], rtol=1e-9, atol=1e-12)
    assert 1 - burned.y[0, -1] == pytest.approx(0.9, abs=1e-4)


@pytest.mark.parametrize("share", [10, 50, 90, 99.9])
@pytest.mark.parametrize("celsius", [460, 550, 650, 698])
def test_the_burn_time_by_the_integrator(celsius: float, share: float) -> None:
    said = results("regeneration", regeneration_temperature=f"{celsius} degC", soot_burned_share=share)
    burned = solve_ivp(lambda _, soot: -said["oxidation_rate"] * soot, (0, said["burn_time"] * 60), [1.0], rtol=1e-10, atol=1e-14)
    assert (1 - burned.y[0, -1]) * 100 == pytest.approx(share, abs=1e-5)


def test_hotter_burns_faster() -> None:
    rates = [rate(celsius) for celsius in range(450, 699, 10)]
    assert rates == sorted(rates)


def test_the_published_energy_and_the_choice_lie_in_the_published_range() -> None:
    assert FIGURES["activation_energy_low"].value == 110  # Environ. Sci. Technol. 39 (2005) 4021
    assert 110 <= FIGURES["soot_activation_energy"].value <= 210
    assert FIGURES["soot_activation_energy"].spread == (110, 210)


def test_burns_run_at_published_temperatures() -> None:
    """US Forest Service briefing paper (2010-10-04) and trade texts: 1,000-1,300 degF."""
    assert FIGURES["regeneration_temperature"].spread == (1000, 1300)
    assert 1000 <= FIGURES["regeneration_temperature"].value <= 1300
