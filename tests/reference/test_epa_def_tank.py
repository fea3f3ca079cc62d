"""US EPA, regulatory announcement EPA-420-F-14-017 (2014): a heavy-duty truck's DEF lasts at least one tank of fuel.

A light-duty truck's lasts at least 4,000 miles.
"""

from tests.unit.ask import TRUCKS, results


def test_the_example_trucks_def_lasts_longer_than_their_fuel() -> None:
    for truck in TRUCKS:
        assert results("exhaust_fluid_use", truck)["fuel_tanks_per_def_tank"] >= 1


def test_one_tank_of_def_for_one_of_fuel_is_where_the_share_equals_the_tanks() -> None:
    """Arithmetic: 7 gallons of DEF for 34 of fuel is 7/34 of it; there the two run out together."""
    said = results("exhaust_fluid_use", fuel_tank_capacity=100, def_tank_capacity=10, measured_def_share_of_fuel=10, fuel_economy=15)
    assert said["fuel_tanks_per_def_tank"] == 1
    assert said["def_range"] == said["fuel_range"] == 1500
