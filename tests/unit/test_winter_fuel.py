"""Winter fuel: the blend is checked in tests/reference; here what goes into the tank, and the ends."""

import pytest

from tests.unit.ask import ask, faults, results


def test_adding_by_hand() -> None:
    """The share must be that of the whole tank afterwards: f x s/(1-s)."""
    said = results("winter_fuel", fuel_in_tank=5)
    share = said["winter_fuel_share"] / 100
    assert said["fuel_to_burn_first"] == 0
    assert said["winter_fuel_to_add"] == pytest.approx(5 * share / (1 - share))
    assert said["winter_fuel_to_add"] / (5 + said["winter_fuel_to_add"]) == pytest.approx(share)


def test_a_tank_too_full_says_what_to_burn_first() -> None:
    answer = ask("winter_fuel", fuel_in_tank=34)
    said = {name: value["value"] for name, value in answer["results"].items()}
    share = said["winter_fuel_share"] / 100
    assert said["fuel_to_burn_first"] == pytest.approx(34 * share)
    assert said["winter_fuel_to_add"] == pytest.approx(34 * share)
    assert said["verdict"] == "watch"
    assert answer["answer"].startswith("Burn ")


def test_an_empty_tank_is_filled_with_the_blend() -> None:
    answer = ask("winter_fuel", fuel_in_tank=0)
    assert answer["results"]["winter_fuel_to_add"]["value"] == 0
    assert answer["answer"].startswith(f"Fill with a blend that is {answer['results']['winter_fuel_share']['value']:.1f}% winter fuel")


@pytest.mark.parametrize("expected_low", [-30, -29])
def test_nobody_is_told_to_run_a_tank_dry(expected_low: float) -> None:
    answer = ask("winter_fuel", expected_low=expected_low, fuel_in_tank=20)
    assert answer["results"]["fuel_to_burn_first"]["value"] > 19
    assert "Burn" not in answer["answer"] and "dry" in answer["answer"]


@pytest.mark.parametrize(("expected_low", "first"), [(-14.8, "Burn "), (-15.1, "That cold needs")])
def test_a_tenth_of_a_tank_is_left_or_nothing_is_burned_first(expected_low: float, first: str) -> None:
    """What is left is the tank's part that is not winter fuel: 10.1 % of it, and 9.8 %."""
    answer = ask("winter_fuel", expected_low=expected_low, fuel_in_tank=20, fuel_tank_capacity=34)
    left = answer["results"]["fuel_left_after_burning"]["value"] / 34 * 100
    assert left == pytest.approx(100 - answer["results"]["winter_fuel_share"]["value"])
    assert abs(left - 10) < 0.4
    assert answer["answer"].startswith(first)


def test_out_of_reach() -> None:
    answer = ask("winter_fuel", expected_low=-60)
    assert answer["results"]["verdict"]["value"] == "against"
    for name in ("winter_fuel_share", "winter_fuel_to_add", "fuel_to_burn_first", "blend_cloud_point", "energy_loss"):
        assert answer["results"][name]["value"] is None
        assert "winter fuel alone" in answer["results"][name]["why"]


def test_warm_enough_already() -> None:
    answer = ask("winter_fuel", expected_low=30)
    assert answer["results"]["winter_fuel_share"]["value"] == answer["results"]["winter_fuel_to_add"]["value"] == 0
    assert answer["results"]["blend_cloud_point"]["value"] == pytest.approx(14)
    assert answer["answer"] == "Your fuel is good for that cold: add nothing."


def test_cloud_points_the_wrong_way_round() -> None:
    assert "winter_cloud_point" in faults("winter_fuel", summer_cloud_point=-20, winter_cloud_point=-10)


def test_an_empty_tank() -> None:
    said = results("winter_fuel", fuel_in_tank=0)
    assert said["winter_fuel_to_add"] == 0 and said["fuel_to_burn_first"] == 0


def test_winter_fuel_alone() -> None:
    said = results("winter_fuel", expected_low=-40, cloud_point_margin=0, fuel_in_tank=34)
    assert said["winter_fuel_share"] == pytest.approx(100)
    assert said["fuel_to_burn_first"] == pytest.approx(34)
    assert said["winter_fuel_to_add"] == pytest.approx(34)


def test_gasoline_and_alcohol_are_never_advised() -> None:
    for low in (-60, -20, 0, 30):
        answer = ask("winter_fuel", expected_low=low)
        assert not any(word in answer["answer"].lower() for word in ("gasoline", "alcohol", "kerosene"))
        assert any("Gasoline or alcohol" in caution["hazard"] for caution in answer["cautions"])
