"""A rural electric cooperative on engine heaters (2011): 600 W from 10 pm to 7 am at $0.10 a kWh is $0.54; from 5 to 7 am $0.12."""

import pytest

from tests.unit.ask import results


@pytest.mark.parametrize(("hours", "dollars"), [(9, 0.54), (2, 0.12)])
def test_one_night(hours: float, dollars: float) -> None:
    said = results("block_heater", heater_power=600, heater_hours_per_day=hours, cold_days_per_year=1, electricity_price=0.10)
    assert said["heater_cost_per_year"] == pytest.approx(dollars, abs=0.005)


def test_the_saving_by_hand() -> None:
    """90 days: 0.75 kW x 3 h x $0.16 = $32.40; 0.25 h x 0.6 gal/h x $3.90 = $52.65."""
    said = results("block_heater")
    assert said["heater_cost_per_year"] == pytest.approx(32.40)
    assert said["idle_cost_per_year"] == pytest.approx(52.65)
    assert said["saving_per_year"] == pytest.approx(20.25)
