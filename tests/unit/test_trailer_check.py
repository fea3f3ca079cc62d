"""The trailer: six margins by hand, tight ones, and no trailer at all."""

import pytest

import calculators
from tests.unit.ask import ask, results

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


def test_a_light_tongue_sways_and_says_so() -> None:
    light = [caution["hazard"] for caution in ask("trailer_check", **(TOLD | {"tongue_weight": 300}))["cautions"]]
    assert any("sways" in hazard for hazard in light)
    assert not any("sways" in caution["hazard"] for caution in ask("trailer_check", **TOLD)["cautions"])


def test_the_truck_weighs_what_stands_on_its_axles() -> None:
    """Derived: 4,600 + 3,000 lb, plow 850, occupants 400; no tongue."""
    assert ask("trailer_check")["inputs"]["truck_weight"] == {"value": 8850, "unit": "lb", "from": "derived"}


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
    with pytest.raises(calculators.Refused, match="write one of ball, fifth wheel"):
        calculators.answer("trailer_check", {"hitch": "gooseneck"})
