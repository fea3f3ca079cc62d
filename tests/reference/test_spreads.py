"""Ranges where sources differ, told beside the value; the publication stands with each, or that there is none."""

import pytest

from calculators.engine.figures import FIGURES

SPREADS = {
    "distance_per_idle_hour": (25, 33),  # common practice
    "gasoline_oil_filter_price": (13, 14),  # common practice
    "heat_up_time": (3, 6),  # from memory
    "regeneration_temperature": (1000, 1300),  # US Forest Service briefing paper (2010-10-04) and trade texts
    "soot_activation_energy": (110, 210),  # Environ. Sci. Technol. 39 (2005) 4021 to over 200
    "fuel_per_broken_burn": (0, 0.2),  # from memory, a guess; none where it is injected into the exhaust
    "fuel_per_burn": (0.2, 0.6),  # from memory
    "winter_fuel_energy_loss": (2, 6),  # from memory
    "heater_power": (400, 2000),  # rural electric cooperatives
    "heater_hours_per_day": (2, 4),  # rural electric cooperatives
}


@pytest.mark.parametrize(("name", "spread"), SPREADS.items())
def test_the_range(name: str, spread: tuple[float, float]) -> None:
    assert FIGURES[name].spread == spread


@pytest.mark.parametrize(("name", "value"), [("oil_capacity", 13), ("gasoline_oil_capacity", 7), ("oil_changes_per_fuel_filter", 2)])
def test_common_practice_beside_the_gasoline_truck(name: str, value: float) -> None:
    """About 13 quarts of oil against 7; fuel filters every other oil change."""
    assert FIGURES[name].value == value
