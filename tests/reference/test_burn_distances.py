"""Distance between burns, published: 124 mi (European Commission JRC, Atmosphere 11 (2020) 645), 700 mi (a newspaper column).

A comparison: the model's soot rates are from memory.
"""

from tests.unit.ask import TRUCKS, results


def test_the_example_trucks_lie_in_the_published_order_of_size() -> None:
    for truck in TRUCKS:
        assert 120 <= results("regeneration", truck)["distance_between_regenerations"] <= 2 * 700
    assert 120 <= results("regeneration", "juniper")["distance_between_regenerations"] <= 700


def test_fuel_in_oil_stays_below_what_the_oil_trade_changes_at_where_burns_finish() -> None:
    """Common practice: 5 % fuel in the oil is a usual limit; a week whose trips all finish their burns brings none."""
    said = results("regeneration", short_trips_per_week=0)
    assert said["share_of_trips_long_enough"] == 100
    assert said["fuel_into_oil"] == 0
