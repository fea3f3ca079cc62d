"""Weight on the axles: margins and verdicts by hand; the moments are in tests/reference."""

import pytest

from tests.unit.ask import ask, results

BARE = {"plow_weight": 0, "cargo_weight": 0, "occupants_weight": 0, "tongue_weight": 0, "ballast_weight": 0, "front_axle_weight": 4000,
        "rear_axle_weight": 3000, "front_axle_rating": 6000, "rear_axle_rating": 7000, "gross_rating": 11_000, "front_tire_rating": 3500,
        "rear_tire_rating": 3600, "wheelbase": 150}


def test_margins_by_hand() -> None:
    said = results("axle_load", **BARE)
    assert (said["front_margin"], said["rear_margin"], said["gross_margin"]) == (2000, 4000, 4000)
    assert (said["front_tire_margin"], said["rear_tire_margin"]) == (3000, 4200)
    assert results("axle_load", **BARE, rear_tires=4)["rear_tire_margin"] == 11_400
    assert said["verdict"] == "fits"


@pytest.mark.parametrize(("told", "verdict"), [
    ({"front_axle_weight": 5700}, "fits"), ({"front_axle_weight": 5701}, "watch"), ({"front_axle_weight": 6000}, "watch"),
    ({"front_axle_weight": 6001}, "against"), ({"front_tire_rating": 2000, "rear_axle_weight": 3000}, "watch"),
    ({"front_tire_rating": 1999}, "against"), ({"rear_tire_rating": 1499}, "against"), ({"gross_rating": 6999}, "against"),
    ({"gross_rating": 7368}, "watch"), ({"gross_rating": 7369}, "fits"),
])
def test_a_margin_below_a_twentieth_is_tight(told: dict[str, object], verdict: str) -> None:
    assert results("axle_load", **(BARE | told))["verdict"] == verdict


def test_no_ballast_helps_where_the_front_tires_stay_over() -> None:
    told = BARE | {"front_axle_weight": 6100, "front_tire_rating": 2500}
    answer = ask("axle_load", **told)
    assert answer["results"]["ballast_needed"]["value"] is None
    assert "front tires" in answer["results"]["ballast_needed"]["why"]
    assert answer["answer"].startswith("Take weight off")
    assert results("axle_load", **(told | {"front_tire_rating": 3500}))["ballast_needed"] > 0


@pytest.mark.parametrize(("told", "over"), [
    ({"front_axle_weight": 6239, "ballast_behind": 0}, "239 pounds on the front axle"),
    ({"rear_axle_weight": 7100, "rear_tire_rating": 3600}, "100 pounds on the rear axle"),
    ({"gross_rating": 6000}, "1,000 pounds on the whole truck"), ({"front_tire_rating": 1950}, "100 pounds on the front tires"),
    ({"rear_tire_rating": 1450}, "100 pounds on the rear tires"),
])
def test_what_is_over_is_told_by_how_much(told: dict[str, object], over: str) -> None:
    said = ask("axle_load", **(BARE | told))
    assert f"it is over by {over}." in said["answer"]
    assert said["results"]["passed_by"]["value"] == -said["results"]["least_margin"]["value"]
    assert results("axle_load", **BARE)["passed_by"] == 0


def test_an_axle_that_would_lift() -> None:
    answer = ask("axle_load", **(BARE | {"plow_weight": 2500, "plow_ahead": 90, "rear_axle_weight": 1000}))
    assert answer["results"]["rear_axle_load"]["value"] < 0
    assert answer["results"]["verdict"]["value"] == "against"
    assert "lift off the ground" in answer["answer"]


HEAVY = BARE | {"front_axle_weight": 6100}


@pytest.mark.parametrize(("told", "why"), [
    ({"ballast_behind": 0}, "must sit behind"), ({"ballast_behind": 10, "rear_axle_rating": 4000}, "overload the rear axle"),
    ({"ballast_behind": 10, "rear_tire_rating": 2000}, "overload the rear tires"),
    ({"ballast_behind": 10, "gross_rating": 10_000}, "over its gross rating"),
])
def test_where_ballast_cannot_help_it_says_why(told: dict[str, object], why: str) -> None:
    said = ask("axle_load", **(HEAVY | told))["results"]["ballast_needed"]
    assert said["value"] is None and why in said["why"]


def test_ballast_by_hand() -> None:
    """100 lb over, 150 in between the axles, 10 in behind: 1,500 lb, which puts 1,600 on the rear."""
    answer = ask("axle_load", **(HEAVY | {"ballast_behind": 10}))
    assert answer["results"]["ballast_needed"]["value"] == pytest.approx(1500)
    assert answer["answer"].startswith("Add 1,500 pounds of ballast")
    assert results("axle_load", **BARE)["ballast_needed"] == 0


def test_both_axles_add_up_to_the_whole() -> None:
    said = results("axle_load", **(BARE | {"cargo_weight": 777, "plow_weight": 555, "tongue_weight": 333, "occupants_weight": 222}))
    assert said["front_axle_load"] + said["rear_axle_load"] == pytest.approx(7000 + 777 + 555 + 333 + 222)
    assert said["gross_load"] == pytest.approx(8887)


def test_a_plow_has_no_exception_and_the_caution_says_so() -> None:
    hazards = " ".join(caution["text"] for caution in ask("axle_load", **HEAVY)["cautions"])
    assert "no exception" in hazards
