"""Moments about an axle: a light truck owner's manual (1999) on plows, and a hand sum on a weighed pickup."""

import pytest

from tests.unit.ask import results

BARE = {"plow_weight": 0, "cargo_weight": 0, "occupants_weight": 0, "tongue_weight": 0, "ballast_weight": 0}


def test_the_manuals_plow_adds_980_pounds() -> None:
    """700 lb, 4 ft ahead of the front axle, wheelbase 10 ft: +980 lb on the front axle."""
    told = BARE | {"wheelbase": "10 ft", "front_axle_weight": 4000, "rear_axle_weight": 3000}
    with_plow = results("axle_load", **(told | {"plow_weight": 700, "plow_ahead": "4 ft"}))
    assert with_plow["front_axle_load"] - 4000 == pytest.approx(980)
    assert with_plow["rear_axle_load"] - 3000 == pytest.approx(-280)


def test_a_weighed_pickup() -> None:
    """4,200 and 2,800 lb empty, wheelbase 141.5 in, 800 lb of plow 48 in ahead: 5,271.4 and 2,528.6 lb."""
    told = BARE | {"front_axle_weight": 4200, "rear_axle_weight": 2800, "wheelbase": 141.5, "plow_weight": 800, "plow_ahead": 48}
    said = results("axle_load", **told)
    assert said["front_axle_load"] == pytest.approx(5271.4, abs=0.05)
    assert said["rear_axle_load"] == pytest.approx(2528.6, abs=0.05)
    assert said["gross_load"] == 7800


@pytest.mark.parametrize(("load", "front", "rear"), [
    # hand sums on a wheelbase of 150 in, 1,000 lb each
    ({"cargo_weight": 1000, "cargo_ahead": 30}, 200, 800), ({"cargo_weight": 1000, "cargo_ahead": -15}, -100, 1100),
    ({"occupants_weight": 1000, "occupants_ahead": 75}, 500, 500), ({"tongue_weight": 1000, "tongue_behind": 60}, -400, 1400),
    ({"tongue_weight": 1000, "tongue_behind": -15}, 100, 900), ({"ballast_weight": 1000, "ballast_behind": 30}, -200, 1200),
    ({"plow_weight": 1000, "plow_ahead": 30}, 1200, -200),
])
def test_each_load_by_itself(load: dict[str, object], front: float, rear: float) -> None:
    told = BARE | {"front_axle_weight": 4000, "rear_axle_weight": 3000, "wheelbase": 150} | load
    said = results("axle_load", **told)
    assert said["front_axle_load"] - 4000 == pytest.approx(front)
    assert said["rear_axle_load"] - 3000 == pytest.approx(rear)


def test_ballast_brings_the_front_to_its_rating() -> None:
    told = BARE | {"front_axle_weight": 5900, "rear_axle_weight": 2500, "wheelbase": 150, "ballast_behind": 30, "front_axle_rating": 5800}
    needed = results("axle_load", **told)["ballast_needed"]
    assert needed == pytest.approx(100 * 150 / 30)
    assert results("axle_load", **(told | {"ballast_weight": needed}))["front_margin"] == pytest.approx(0, abs=1e-9)
