"""The trailer: six margins by hand, tight ones, and no trailer at all."""

import pytest

import calculators
from tests.unit.ask import TRUCKS, ask, faults, results

TOLD = {"truck_weight": 7000, "trailer_weight": 6000, "tongue_weight": 720, "hitch": "ball", "hitch_rating": 12_000, "tongue_rating": 1200,
        "tow_rating": 11_000, "gross_rating": 10_000, "combined_rating": 20_000, "trailer_rating": 7000}


def test_margins_by_hand() -> None:
    said = results("trailer_check", **TOLD)
    expected = {"hitch_margin": 6000, "tongue_margin": 480, "tow_margin": 5000, "gross_margin": 2280, "combined_margin": 7000,
                "trailer_margin": 1000}
    assert {name: said[name] for name in expected} == expected
    assert said["tongue_share"] == pytest.approx(12)
    assert (said["least_margin"], said["verdict"]) == (480, "fits")


@pytest.mark.parametrize(("told", "verdict"), [
    ({"hitch_rating": 5999}, "against"), ({"tongue_rating": 719}, "against"), ({"tow_rating": 5999}, "against"),
    ({"gross_rating": 7719}, "against"), ({"combined_rating": 12_999}, "against"), ({"trailer_rating": 5999}, "against"),
    ({"trailer_rating": 6000}, "watch"), ({"trailer_rating": 6315}, "watch"), ({"trailer_rating": 6316}, "fits"),
    ({"combined_rating": 13_683}, "watch"), ({"combined_rating": 13_685}, "fits"),
    ({"tongue_weight": 599}, "watch"), ({"tongue_weight": 600}, "fits"), ({"tongue_weight": 900}, "fits"),
    ({"tongue_weight": 901}, "watch"),
])
def test_verdicts(told: dict[str, object], verdict: str) -> None:
    assert results("trailer_check", **(TOLD | told))["verdict"] == verdict


def test_no_trailer() -> None:
    answer = ask("trailer_check", **(TOLD | {"trailer_weight": 0, "tongue_weight": 0}))
    assert answer["results"]["tongue_share"]["why"] == "no trailer is hitched"
    assert answer["results"]["license_class_question"]["value"] is False
    assert answer["answer"].startswith("No trailer is hitched")


@pytest.mark.parametrize(("gross_rating", "first", "verdict"), [
    (9316, "No trailer is hitched", "fits"),  # 8,850 lb and a twentieth of 9,316 left: 466 lb
    (9315, "Hitch nothing yet: the truck alone leaves only 465 pounds of the gross rating.", "watch"),
    (8849, "Don’t drive it so: with no trailer at all the gross rating is passed by 1 pound.", "against"),
])
def test_a_truck_that_is_full_without_a_trailer_says_so(gross_rating: int, first: str, verdict: str) -> None:
    said = ask("trailer_check", trailer_weight=0, tongue_weight=0, truck_weight=8850, gross_rating=gross_rating)
    assert said["answer"].startswith(first) and said["results"]["verdict"]["value"] == verdict


def test_a_light_tongue_sways_and_says_so() -> None:
    light = [caution["hazard"] for caution in ask("trailer_check", **(TOLD | {"tongue_weight": 300}))["cautions"]]
    assert any("sways" in hazard for hazard in light)
    for enough in (TOLD, TOLD | {"tongue_weight": 600}):  # 12 %, and the tenth that owner's manuals ask for
        assert not any("sways" in caution["hazard"] for caution in ask("trailer_check", **enough)["cautions"])


def test_the_truck_weighs_what_stands_on_its_axles() -> None:
    """Derived: 4,600 + 3,000 lb, plow 850, occupants 400; no tongue."""
    assert ask("trailer_check")["inputs"]["truck_weight"] == {"value": 8850, "unit": "lb", "from": "derived", "rests_on": "example"}


def test_the_tightest_limit_is_named() -> None:
    said = ask("trailer_check", trailer_weight=9700, tongue_weight=1200)
    assert said["results"]["tightest_limit"]["value"] == "trailer_rating"
    assert said["results"]["tightest_margin"]["value"] == 300
    assert "300 pounds is left of the trailer rating" in said["answer"]
    assert "usual" not in said["answer"]  # 12.4 % is in its range
    out = ask("trailer_check", **(TOLD | {"tongue_weight": 901}))["answer"]
    assert "is usual" in out


@pytest.mark.parametrize(("limit", "rating"), [
    ("hitch_rating", 5999), ("tongue_rating", 719), ("tow_rating", 5999), ("gross_rating", 7719), ("combined_rating", 12_999),
    ("trailer_rating", 5999),
])
def test_the_limit_that_is_passed_is_named(limit: str, rating: float) -> None:
    said = ask("trailer_check", **(TOLD | {limit: rating}))
    assert (said["results"]["tightest_limit"]["value"], said["results"]["tightest_margin"]["value"]) == (limit, -1)
    assert f"the {limit.replace('_', ' ')} is passed by 1 pound." in said["answer"]


def test_a_tongue_without_a_trailer_asks_for_the_trailer() -> None:
    said = ask("trailer_check", trailer_weight=0, tongue_weight=1000)
    assert said["results"]["verdict"]["value"] == "watch"
    assert said["answer"].startswith("Write the trailer’s weight")


def test_the_thresholds_are_questions_for_the_state() -> None:
    law = next(c["text"] for c in ask("trailer_check")["cautions"] if "Ask your state" in c["hazard"])
    for said in ("10,001 pounds", "26,001 pounds", "?", "2026", "your state may differ"):
        assert said in law


@pytest.mark.parametrize("typed", ["fifth_wheel", "fifth wheel"])
def test_a_hitch_is_told_as_its_name_or_as_it_reads(typed: str) -> None:
    assert calculators.answer("trailer_check", {"hitch": typed})["inputs"]["hitch"]["value"] == "fifth_wheel"
    with pytest.raises(calculators.Refused, match="write one of ball, fifth wheel, none"):
        calculators.answer("trailer_check", {"hitch": "gooseneck"})


# An own truck on the scale, 160 in between the axles: what its trailer does to its rear axle.
OWN = TOLD | {"front_axle_weight": 4200, "rear_axle_weight": 2800, "wheelbase": 160, "rear_axle_rating": 6000, "plow_weight": 0,
              "cargo_weight": 0, "occupants_weight": 0, "ballast_weight": 0, "tongue_behind": 40}
AXLE = ("front_axle_weight", "rear_axle_weight", "wheelbase", "rear_axle_rating")


def test_the_rear_axle_is_looked_at_by_the_same_moments() -> None:
    """720 lb of tongue 40 in behind, 160 in between the axles: 2,800 + 720 x 200 / 160 = 3,700 lb."""
    said = results("trailer_check", **OWN)
    assert (said["rear_axle_load"], said["rear_margin"], said["verdict"]) == (pytest.approx(3700), pytest.approx(2300), "fits")
    axle = {name: told for name, told in OWN.items() if name in {field.name for field in calculators.form("axle_load")}}
    assert results("axle_load", **axle)["rear_axle_load"] == said["rear_axle_load"]


@pytest.mark.parametrize("truck", TRUCKS)
def test_both_calculators_see_the_same_rear_axle(truck: str) -> None:
    pin = {"hitch": "fifth_wheel", "tongue_weight": 2000, "trailer_weight": 9000}
    for told in ({}, {"tongue_weight": 1200, "trailer_weight": 9000}, pin):
        heavier = {name: load for name, load in told.items() if name != "trailer_weight"}
        assert results("trailer_check", truck, **told)["rear_axle_load"] == results("axle_load", truck, **heavier)["rear_axle_load"]


def test_a_rear_axle_over_its_rating_speaks() -> None:
    said = ask("trailer_check", **(OWN | {"rear_axle_rating": 3699}))
    assert said["results"]["verdict"]["value"] == "against"
    assert "the rear axle rating is passed by 1 pound" in said["answer"]
    tight = ask("trailer_check", **(OWN | {"rear_axle_rating": 3894}))  # 194 lb are 4.98 % of it
    assert tight["results"]["verdict"]["value"] == "watch" and "rear axle rating" in tight["answer"]
    assert results("trailer_check", **(OWN | {"rear_axle_rating": 3895}))["verdict"] == "fits"


@pytest.mark.parametrize("untold", ["rear_axle_weight", "wheelbase", "rear_axle_rating", "tongue_behind"])
def test_a_rear_axle_that_nobody_looked_at_is_at_best_watch(untold: str) -> None:
    said = ask("trailer_check", **(OWN | {untold: None}))
    assert said["results"]["rear_margin"]["value"] is None and said["results"]["rear_margin"]["why"]
    assert said["results"]["verdict"]["value"] == "watch"
    assert "rear axle was not looked at" in said["answer"]
    for also in ({"tongue_weight": 901}, {"trailer_rating": 6315}):
        assert "The rear axle was not looked at." in ask("trailer_check", **(OWN | also | {untold: None}))["answer"]
        assert "not looked at" not in ask("trailer_check", **(OWN | also))["answer"]


def test_what_lies_somewhere_untold_is_counted_on_the_rear_axle() -> None:
    """The truck weighs 7,600 lb loaded, 600 over its axles as weighed, and nobody says where: all behind, the safe side."""
    told = OWN | {"truck_weight": 7600, "occupants_weight": None}
    assert results("trailer_check", **told)["rear_axle_load"] == pytest.approx(4300)
    assert results("trailer_check", **(told | {"cargo_weight": 100, "cargo_ahead": None, "occupants_weight": 0}))["rear_axle_load"] \
        == pytest.approx(4300)
    assert results("trailer_check", **(told | {"truck_weight": 6900}))["rear_axle_load"] == pytest.approx(3700)  # never less than weighed
    placed = told | {"truck_weight": None, "cargo_weight": 160, "cargo_ahead": 10}
    assert results("trailer_check", **placed)["rear_axle_load"] == pytest.approx(3700 + 150)


@pytest.mark.parametrize("untold", ["truck_weight", "tongue_weight", "hitch", "hitch_rating", "tongue_rating", "tow_rating", "gross_rating",
                                    "combined_rating", "trailer_rating", "trailer_weight"])
def test_no_verdict_while_one_of_the_limits_is_untold(untold: str) -> None:
    said = ask("trailer_check", **(OWN | {"occupants_weight": None} | {untold: None}))
    assert said["results"]["verdict"]["value"] is None and said["results"]["verdict"]["why"]
    assert said["answer"].startswith("No verdict yet")


@pytest.mark.parametrize(("untold", "over"), [("trailer_weight", {"tongue_rating": 719}), ("tow_rating", {"hitch_rating": 5999}),
                                              ("gross_rating", {"rear_axle_rating": 3699}), ("hitch", {"trailer_rating": 5999})])
def test_a_known_margin_below_zero_speaks_whatever_else_is_untold(untold: str, over: dict[str, object]) -> None:
    said = ask("trailer_check", **(OWN | over | {untold: None}))
    assert said["results"]["verdict"]["value"] == "against"
    assert f"the {next(iter(over)).replace('_', ' ')} is passed by 1 pound" in said["answer"]


def test_a_fifth_wheel_never_takes_a_balls_rating() -> None:
    """The example's 1,400 lb are a ball's; a pin has a rating of its own, and until it is told there is none."""
    told = {"trailer_weight": 9000, "tongue_weight": 2000}
    ball, pin = (ask("trailer_check", **told, hitch=hitch) for hitch in ("ball", "fifth_wheel"))
    assert ball["results"]["tongue_margin"]["value"] == -600
    assert ball["results"]["verdict"]["value"] == "against"
    assert pin["results"]["tongue_margin"]["value"] is pin["results"]["verdict"]["value"] is None
    assert results("trailer_check", **told, hitch="fifth_wheel", tongue_rating=5000)["tongue_margin"] == 3000


RATED = {"format": "diesel-handover-truck", "version": 1, "name": "Rated", "facts": {
    "hitch": "ball", "hitch_rating": "18000 lb", "tongue_rating": "1800 lb", "tongue_behind": "50 in"}}


@pytest.mark.parametrize("other", ["fifth_wheel", "none"])
def test_what_a_truck_tells_of_its_hitch_says_nothing_of_another(other: str) -> None:
    """A form says another hitch than the truck’s: its ratings are untold again, and that is said; a rating given beside it counts."""
    said = ask("trailer_check", RATED, hitch=other)
    assert said["results"]["hitch_margin"]["value"] is said["results"]["tongue_margin"]["value"] is None
    assert "hitch_rating" in said["results"]["hitch_margin"]["tell"]
    assert any("another hitch" in caution["hazard"] and "the hitch’s rating" in caution["text"] for caution in said["cautions"])
    assert results("trailer_check", RATED, hitch=other, hitch_rating=20_000, trailer_weight=0, tongue_weight=0)["hitch_margin"] == 20_000


def test_what_a_truck_tells_of_its_own_hitch_counts() -> None:
    for given in ({}, {"hitch": "ball"}, {"hitch": "Ball"}):
        said = ask("trailer_check", RATED, trailer_weight=9000, tongue_weight=1000, **given)
        assert (said["results"]["hitch_margin"]["value"], said["results"]["tongue_margin"]["value"]) == (9000, 800)
        assert not any("another hitch" in caution["hazard"] for caution in said["cautions"])


def test_a_fifth_wheel_sits_where_ours_does_once_a_balls_place_is_another() -> None:
    """The truck’s ball hangs 50 in behind its axle; a fifth wheel sits about 2 in ahead of it until it is measured."""
    given = {"trailer_weight": 9000, "tongue_weight": 1600, "wheelbase": 160}
    assert results("trailer_check", RATED, hitch="fifth_wheel", **given)["rear_part_of_tongue"] == pytest.approx(1600 * 158 / 160)
    assert results("trailer_check", RATED, **given)["rear_part_of_tongue"] == pytest.approx(1600 * 210 / 160)


def test_with_no_hitch_there_is_no_trailer() -> None:
    said = ask("trailer_check", {"facts": {}}, hitch="none")
    assert said["results"]["verdict"]["value"] == "fits"
    assert said["answer"].startswith("No trailer is hitched")
    assert "choose its hitch" in str(faults("trailer_check", hitch="none", trailer_weight=5000))


def test_without_a_trailer_nothing_else_is_asked() -> None:
    untold = dict.fromkeys((*AXLE, "hitch_rating", "tongue_rating", "tow_rating", "combined_rating", "trailer_rating", "tongue_weight"))
    assert results("trailer_check", **(TOLD | untold | {"trailer_weight": 0}))["verdict"] == "fits"


def test_the_label_of_the_hitch_is_named() -> None:
    told = " ".join(caution["hazard"] + caution["text"] for caution in ask("trailer_check")["cautions"])
    assert "with and without weight distribution" in told and "fifth wheel" in told


@pytest.mark.parametrize(("fact", "settles"), [("tows", {"trailer_weight", "tongue_weight"}), ("plows", {"plow_weight"}),
                                               ("hauls", {"cargo_weight"})])
@pytest.mark.parametrize("told", ["no", False])
def test_who_never_does_it_carries_nothing_for_it(fact: str, settles: set[str], told: object) -> None:
    inputs = calculators.answer("trailer_check", {}, {"facts": {fact: told}})["inputs"]
    for name in settles:
        assert (inputs[name]["value"], inputs[name]["from"]) == (0, "truck")
    heavy = {"facts": {fact: told} | dict.fromkeys(settles, "500 lb")}
    assert {calculators.answer("trailer_check", {}, heavy)["inputs"][name]["value"] for name in settles} == {500}  # told itself, it counts
    may = calculators.answer("trailer_check", {}, {"facts": {fact: "yes"}})["inputs"]
    assert not settles & may.keys()


def test_with_no_trailer_its_rating_makes_no_commercial_vehicle() -> None:
    """49 CFR 390.5: 10,001 lb; a truck rated at 10,000 with nothing behind it is none, though its trailer is rated too."""
    alone = TOLD | {"trailer_weight": 0, "tongue_weight": 0}
    assert results("trailer_check", **alone)["commercial_vehicle"] is False
    assert results("trailer_check", **(alone | {"gross_rating": 10_001}))["commercial_vehicle"] is True
    assert results("trailer_check", **(alone | {"gross_rating": 9000, "truck_weight": 10_001}))["commercial_vehicle"] is True
    assert results("trailer_check", **TOLD)["commercial_vehicle"] is True


@pytest.mark.parametrize(("trailer", "asked"), [(0, False), (1, True)])
def test_without_a_trailer_no_license_class_is_asked(trailer: float, asked: bool) -> None:
    """49 CFR 383.5: 26,001 lb with a trailer over 10,000 lb, by its rating as well."""
    told = TOLD | {"gross_rating": 26_001, "trailer_rating": 11_000, "trailer_weight": trailer, "tongue_weight": 0}
    assert results("trailer_check", **told)["license_class_question"] is asked


@pytest.mark.parametrize(("trailer", "verdict"), [(9500, "fits"), (9501, "watch")])
def test_a_twentieth_left_is_enough(trailer: float, verdict: str) -> None:
    """500 of 10,000 lb are the 5 % (ours) that is just not tight."""
    told = TOLD | {"trailer_rating": 10_000, "hitch_rating": 20_000, "tow_rating": 20_000, "tongue_rating": 2000, "gross_rating": 12_000,
                   "combined_rating": 30_000, "trailer_weight": trailer, "tongue_weight": 1150}
    assert results("trailer_check", **told)["verdict"] == verdict
