"""US EPA, idling leaflet for fleets (NEPIS document P100NJ5G): five trucks idling ten hours a day at a gallon an hour, $3.78 a gallon."""

import pytest

from tests.unit.ask import results

LEAFLET = {"trucks": 5, "idle_hours_per_day": 10, "idle_fuel_rate": 1, "fuel_price": 3.78, "days_per_year": 300}


def test_a_day_costs_189_dollars() -> None:
    assert results("idle_bill", **LEAFLET)["cost_per_day"] == pytest.approx(189, abs=0.005)


def test_a_year_of_300_days_costs_56_700_dollars() -> None:
    assert results("idle_bill", **LEAFLET)["cost_per_year"] == pytest.approx(56_700, abs=0.5)
