"""DEF for NOx by the reaction itself: CO(NH2)2 gives two NH3, each reduces one NO.

Molar masses: IUPAC, abridged standard atomic weights (2021). ISO 22241-1: 32.5 % urea by mass.
Limits: 40 CFR 86.007-11, 0.20 g per horsepower-hour of NOx.
"""

import pytest

from calculators.engine.figures import FIGURES
from tests.unit.ask import ask, results

CARBON, HYDROGEN, NITROGEN, OXYGEN = 12.011, 1.008, 14.007, 15.999  # g/mol
UREA = CARBON + OXYGEN + 2 * (NITROGEN + 2 * HYDROGEN)
NOX = NITROGEN + 2 * OXYGEN  # counted as NO2
HORSEPOWER_HOUR = 0.745699872  # kWh, NIST SP 811


def test_a_gram_of_nox_takes_two_grams_of_def() -> None:
    assert FIGURES["def_per_nox"].value == pytest.approx(UREA / (2 * NOX) / 0.325, rel=5e-4)


def test_the_limit_in_a_metric_unit() -> None:
    assert FIGURES["nox_after"].value == pytest.approx(0.20 / HORSEPOWER_HOUR, abs=0.005)


@pytest.mark.parametrize("calculator", ["fluid_cost", "exhaust_fluid_use"])
def test_def_is_2_75_percent_of_the_fuel(calculator: str) -> None:
    """4.0 down to 0.27 g/kWh at 210 g/kWh, 0.840 and 1.090 kg/L."""
    engine = {"nox_before": 4, "nox_after": 0.27, "specific_fuel_consumption": 210, "fuel_density": 0.840, "def_density": 1.090}
    answer = ask(calculator, **engine)
    share = (answer["results"].get("def_share_of_fuel") or answer["inputs"]["def_share_of_fuel"])["value"]
    assert share == pytest.approx(2.75, abs=0.005)
    by_hand = (4 - 0.27) * UREA / (2 * NOX) / 0.325 / 1.090 / (210 / 0.840) * 100
    assert share == pytest.approx(by_hand, rel=5e-4)


def test_the_example_lies_within_what_the_trade_says() -> None:
    """Trade articles: 2-4 % of the fuel."""
    assert 2 <= results("exhaust_fluid_use")["def_share_of_fuel"] <= 4


def test_a_gram_of_carbon_takes_7_66_grams_of_no2() -> None:
    """C. R. Chimie 17 (2014) 672: C + 2 NO2; arithmetic on the same molar masses, told in the guide only."""
    assert 2 * NOX / CARBON == pytest.approx(7.66, abs=0.005)
