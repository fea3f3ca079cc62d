"""A school's idling leaflet: 15 minutes a day at 0.0053 gallons a minute and $2.50 a gallon, 365 days, come to $73."""

import pytest

from tests.unit.ask import results


def test_a_quarter_of_an_hour_a_day_costs_73_dollars_a_year() -> None:
    said = results("idle_bill", idle_hours_per_day="15 min", idle_fuel_rate=0.0053 * 60, fuel_price="$2.50", days_per_year=365)
    assert said["cost_per_year"] == pytest.approx(73, abs=0.5)  # the leaflet rounds to a dollar
