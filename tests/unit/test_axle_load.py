"""Weight on the axles: margins and verdicts by hand; the moments are in tests/reference."""

import pytest

from tests.unit.ask import ask, faults, results

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


def test_the_limit_with_the_least_share_left_is_named_as_for_a_trailer() -> None:
    """300 lb of the front axle's 6,000 are 5 %, 340 lb of the truck's 7,340 are 4.6 %: fewer pounds, and not the tightest."""
    said = ask("axle_load", **(BARE | {"front_axle_weight": 5700, "rear_axle_weight": 1300, "gross_rating": 7340}))
    assert said["answer"].startswith("It fits, but only just: 340 pounds is left on the whole truck")
    assert (said["results"]["tightest_limit"]["value"], said["results"]["tightest_margin"]["value"]) == ("whole_truck", 340)
    assert said["results"]["least_margin"]["value"] == 300


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


UNTOLD = {"front_axle_weight": None, "plow_weight": None, "plow_ahead": None, "front_axle_rating": None}


def test_what_is_untold_leaves_no_verdict_and_says_what_it_wants() -> None:
    said = ask("axle_load", **(BARE | UNTOLD))
    for result in ("front_axle_load", "gross_load", "front_margin", "ballast_needed", "verdict"):
        assert said["results"][result]["value"] is None and said["results"][result]["why"]
    assert said["answer"].startswith("No verdict yet")


@pytest.mark.parametrize("over", [{"rear_axle_rating": 2999}, {"gross_rating": 7000, "rear_axle_weight": 3001}, {"rear_tire_rating": 1499}])
def test_a_known_margin_below_zero_speaks_whatever_else_is_untold(over: dict[str, object]) -> None:
    told = BARE | {"front_tire_rating": None, "front_axle_rating": None} | over
    said = ask("axle_load", **told)
    assert said["results"]["verdict"]["value"] == "against"
    assert said["answer"].startswith("Take weight off")


def test_an_axle_that_lifts_speaks_whatever_else_is_untold() -> None:
    told = BARE | {"plow_weight": 2500, "plow_ahead": 90, "rear_axle_weight": 1000, "gross_rating": None, "rear_tire_rating": None}
    assert "lift off the ground" in ask("axle_load", **told)["answer"]


NOWHERE = {"plow_ahead": None, "cargo_ahead": None, "occupants_ahead": None, "tongue_behind": None, "ballast_behind": None}


def test_how_far_nothing_lies_is_not_asked() -> None:
    """4,000 and 3,000 lb as weighed and nothing on them: no distance, and no wheelbase, changes that."""
    said = results("axle_load", **(BARE | NOWHERE | {"wheelbase": None}))
    assert (said["front_axle_load"], said["rear_axle_load"], said["verdict"]) == (4000, 3000, "fits")


@pytest.mark.parametrize(("weight", "distance"), [("plow_weight", "plow_ahead"), ("cargo_weight", "cargo_ahead"),
                                                  ("occupants_weight", "occupants_ahead"), ("tongue_weight", "tongue_behind"),
                                                  ("ballast_weight", "ballast_behind")])
@pytest.mark.parametrize("untold", ["distance", "wheelbase"])
def test_how_far_something_lies_is_asked(weight: str, distance: str, untold: str) -> None:
    told = BARE | {weight: 100, (distance if untold == "distance" else "wheelbase"): None}
    said = ask("axle_load", **told)["results"]
    assert said["rear_axle_load"]["value"] is said["verdict"]["value"] is None
    assert said["gross_load"]["value"] == 7100  # wherever it lies


@pytest.mark.parametrize("untold", ["wheelbase", "ballast_behind", "rear_axle_rating", "gross_rating", "rear_tire_rating",
                                    "front_tire_rating"])
def test_ballast_is_no_advice_while_something_it_rests_on_is_untold(untold: str) -> None:
    said = ask("axle_load", **(HEAVY | {"ballast_behind": 10} | {untold: None}))
    assert said["results"]["ballast_needed"]["value"] is None
    assert said["results"]["verdict"]["value"] == "against"
    assert said["answer"].startswith("Take weight off or move it: it is over by 100 pounds on the front axle")


def test_ballast_goes_by_the_lever_of_the_rear_tires() -> None:
    """1,500 lb of ballast put 1,600 on the rear: 3,000 + 1,600 = 4,600 lb, 2,300 a tire."""
    told = HEAVY | {"ballast_behind": 10}
    assert results("axle_load", **(told | {"rear_tire_rating": 2300}))["ballast_needed"] == pytest.approx(1500)
    assert results("axle_load", **(told | {"rear_tire_rating": 2299}))["ballast_needed"] is None
    assert results("axle_load", **(told | {"rear_axle_rating": 4600}))["ballast_needed"] == pytest.approx(1500)
    assert results("axle_load", **(told | {"rear_axle_rating": 4599}))["ballast_needed"] is None
    assert results("axle_load", **(told | {"gross_rating": 10_600}))["ballast_needed"] == pytest.approx(1500)
    assert results("axle_load", **(told | {"gross_rating": 10_599}))["ballast_needed"] is None


@pytest.mark.parametrize(("plow", "asks"), [(0, False), (500, True)])
def test_no_ballast_for_the_front_axle_is_not_the_plows_last_word(plow: float, asks: bool) -> None:
    said = ask("axle_load", **(BARE | {"plow_weight": plow}))
    assert said["results"]["ballast_needed"]["value"] == 0
    assert ("0 for the front axle; the plow’s book may ask for more" in said["answer"]) is asks


def test_a_fifth_wheel_sits_just_ahead_of_the_axle_unless_told() -> None:
    """1,600 lb on a pin 2 in ahead, 160 in between the axles: 20 lb go to the front axle."""
    told = BARE | {"tongue_weight": 1600, "wheelbase": 160}
    pin = ask("axle_load", **told, hitch="fifth_wheel")
    assert pin["inputs"]["tongue_behind"] == {"value": -2, "unit": "in", "from": "derived"}
    assert pin["results"]["front_axle_load"]["value"] == pytest.approx(4020)
    assert results("axle_load", **told, hitch="fifth_wheel", tongue_behind=-4)["front_axle_load"] == pytest.approx(4040)
    assert results("axle_load", **told, hitch="ball", tongue_behind=40)["front_axle_load"] == pytest.approx(3600)


def test_no_hitch_carries_no_tongue() -> None:
    assert ask("axle_load", {"facts": {}}, hitch="none")["inputs"]["tongue_weight"]["value"] == 0
    assert "choose its hitch" in str(faults("axle_load", hitch="none", tongue_weight=100))


def test_two_tires_or_four_by_their_rating() -> None:
    """With four each by the dual rating, which the label gives beside the single one."""
    assert results("axle_load", **(BARE | {"rear_tires": 4, "rear_tire_rating": 3195}))["rear_tire_margin"] == 4 * 3195 - 3000


def test_the_limits_are_a_list_with_the_share_of_each() -> None:
    limits = ask("axle_load", **BARE)["results"]["limits"]
    rows = {row["limit"]["value"]: (row["margin"]["value"], row["share_left"]["value"]) for row in limits}
    assert rows == {"front_axle": (2000, pytest.approx(100 / 3)), "rear_axle": (4000, pytest.approx(400 / 7)),
                    "whole_truck": (4000, pytest.approx(400 / 11)), "front_tires": (3000, pytest.approx(300 / 7)),
                    "rear_tires": (4200, pytest.approx(420 / 7.2))}


@pytest.mark.parametrize(("told", "lifts"), [
    ({"rear_axle_weight": 1000, "plow_weight": 2000, "plow_ahead": 75}, False),
    ({"rear_axle_weight": 1000, "plow_weight": 2010, "plow_ahead": 75}, True),
    ({"front_axle_weight": 500, "tongue_weight": 1000, "tongue_behind": 75}, False),
    ({"front_axle_weight": 500, "tongue_weight": 1010, "tongue_behind": 75}, True),
])
def test_an_axle_without_a_load_still_stands_on_the_ground(told: dict[str, object], lifts: bool) -> None:
    """150 in between the axles: 2,000 lb 75 in out lift 1,000 lb, and 1,000 lift 500."""
    said = ask("axle_load", **(BARE | told))
    assert said["results"]["axle_lifts"]["value"] is lifts
    assert ("lift off the ground" in said["answer"]) is lifts


def test_a_front_axle_just_at_its_rating_needs_no_ballast_whatever_else_is_over() -> None:
    told = {"front_axle_weight": 6000, "rear_axle_weight": 7100, "gross_rating": 20_000, "rear_tire_rating": 8000}
    said = ask("axle_load", **(BARE | told))
    assert said["results"]["front_margin"]["value"] == 0
    assert said["answer"].startswith("Take weight off or move it: it is over by 100 pounds on the rear axle")


def test_ballast_that_brings_the_front_tires_just_to_their_rating_is_enough() -> None:
    """Axle and both tires are rated 6,000 lb: the same 100 lb are over on both."""
    assert results("axle_load", **(HEAVY | {"ballast_behind": 10, "front_tire_rating": 3000}))["ballast_needed"] == pytest.approx(1500)


@pytest.mark.parametrize(("front", "just"), [(5701, True), (5000, False)])
def test_only_a_tight_fit_is_called_one(front: float, just: bool) -> None:
    said = ask("axle_load", **(BARE | {"front_axle_weight": front}))["answer"]
    assert said.startswith("It fits, but only just" if just else "It fits: ")
