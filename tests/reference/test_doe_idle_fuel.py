"""US DOE, Vehicle Technologies Office, Fact #861 (2015), diesels idling without load: 0.44 gal/h (23,000-33,000 lb) to 0.97 gal/h.

Argonne National Laboratory (2013): medium-duty trucks 0.4-0.6 gal/h.
"""

import pytest

from calculators.engine.figures import FIGURES
from tests.unit.ask import results


def test_the_example_rate_lies_within_both() -> None:
    assert 0.44 <= FIGURES["idle_fuel_rate"].value <= 0.97
    assert 0.4 <= FIGURES["idle_fuel_rate"].value <= 0.6


@pytest.mark.parametrize(("rate", "gallons"), [(0.44, 132), (0.97, 291)])
def test_three_hundred_hours_at_either_end(rate: float, gallons: float) -> None:
    said = results("idle_bill", trucks=1, idle_hours_per_day=1, days_per_year=300, idle_fuel_rate=rate)
    assert said["fuel_per_year"] == pytest.approx(gallons)


def test_by_fuel_an_idle_hour_is_nine_miles_and_by_wear_rule_25_to_33() -> None:
    """Arithmetic: 0.6 gal/h times 15 mi/gal. Common practice: an idle hour counts as 25-33 miles of wear."""
    assert FIGURES["idle_fuel_rate"].value * FIGURES["fuel_economy"].value == pytest.approx(9)
    assert FIGURES["distance_per_idle_hour"].spread == (25, 33)
    said = results("idle_bill", idle_hours_per_day=1, days_per_year=100)
    assert said["equivalent_distance"] == 2500
