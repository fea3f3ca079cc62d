"""What only the owner of a truck can tell is never the example's: a value is missing and says what would do."""

from typing import Any

import pytest

import calculators
from calculators.engine.figures import FIGURES
from tests.unit.ask import DAY, TRUCKS, ask

TOLD_ONLY = {name for name, entry in FIGURES.items() if entry.told_only}
MEASURED = {"density", "refractive_index", "urea_reading"}  # one of them is told, where DEF was tested
AXLES = {"front_axle_weight": 4600, "rear_axle_weight": 3000, "wheelbase": 160, "plow_weight": 850, "plow_ahead": 45, "cargo_weight": 0,
         "occupants_weight": 400, "occupants_ahead": 60, "tongue_weight": 0, "front_axle_rating": 6000, "rear_axle_rating": 7000,
         "gross_rating": 11_000, "front_tire_rating": 3500, "rear_tire_rating": 3500, "rear_tires": 2}


def truck(**facts: object) -> dict[str, Any]:
    return {"format": "diesel-handover-truck", "version": 1, "name": "Mine", "facts": facts}


def test_weights_ratings_distances_hitch_and_tests_are_told_only() -> None:
    weights = {name for name, entry in FIGURES.items() if entry.question and entry.unit in ("lb", "in") and entry.value is not None}
    assert TOLD_ONLY >= weights - {"ballast_weight"} | {"rear_tires", "hitch"} | MEASURED
    assert "ballast_weight" not in TOLD_ONLY
    assert all(FIGURES[name].tell for name in TOLD_ONLY)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_an_own_truck_takes_none_of_them_from_the_example(name: str) -> None:
    assert not TOLD_ONLY & ask(name, truck())["inputs"].keys()
    assert not TOLD_ONLY & {source["value"] for source in ask(name, truck())["sources"]}


@pytest.mark.parametrize("name", calculators.NAMES)
@pytest.mark.parametrize("whose", [None, *TRUCKS])
def test_an_example_truck_has_all_but_a_test_of_its_def(name: str, whose: str | None) -> None:
    asked = {field.name for field in calculators.form(name)} & TOLD_ONLY
    assert asked - MEASURED <= ask(name, whose)["inputs"].keys()
    tells = [value["tell"] for value in ask(name, whose)["results"].values() if isinstance(value, dict) and "tell" in value]
    assert {key for tell in tells for key in tell if "." not in key} <= MEASURED


def test_a_null_says_all_that_would_do() -> None:
    """The front axle: what is on it, where it lies, and its rating; where a load of nothing lies is not asked once it is told."""
    margin = ask("axle_load", truck())["results"]["front_margin"]
    assert margin["value"] is None
    assert margin["tell"] == ["front_axle_weight", "wheelbase", "plow_weight", "plow_ahead", "cargo_weight", "cargo_ahead",
                              "occupants_weight", "occupants_ahead", "tongue_weight", "tongue_behind", "front_axle_rating"]
    assert margin["why"] == "tell the empty weight on the front axle, the distance between the axles and 9 more"
    told = {name: value for name, value in AXLES.items() if name not in ("wheelbase", "front_axle_rating")}
    margin = ask("axle_load", truck(**told))["results"]["front_margin"]
    assert (margin["tell"], margin["why"]) == (["wheelbase", "front_axle_rating"],
                                               "tell the distance between the axles and the front axle’s rating")
    told = {name: value for name, value in AXLES.items() if name != "wheelbase"}
    assert ask("axle_load", truck(**told))["results"]["front_margin"]["why"] == "tell the distance between the axles"


def test_a_verdict_is_null_until_all_it_needs_is_told() -> None:
    """The checked sum: 5,839 lb on a front axle that may carry 6,000 leaves 161, under a twentieth of it."""
    for untold in AXLES:
        answer = ask("axle_load", truck(**{name: value for name, value in AXLES.items() if name != untold}))
        assert answer["results"]["verdict"]["value"] is None, untold
        assert untold in answer["results"]["verdict"]["tell"]
        assert answer["answer"].startswith("No verdict yet: tell ")
    told = ask("axle_load", truck(**AXLES))
    assert told["results"]["verdict"] == {"value": "watch", "rests_on": "yours"}
    assert told["answer_rests_on"] == "yours" and told["assumes"] == []


def test_one_known_margin_below_zero_is_against_whatever_else_is_untold() -> None:
    told = {"front_axle_weight": 5000, "rear_axle_weight": 4000, "plow_weight": 900, "cargo_weight": 1500, "occupants_weight": 400,
            "tongue_weight": 0, "gross_rating": 11_000}
    answer = ask("axle_load", truck(**told))
    assert answer["results"]["verdict"] == {"value": "against", "rests_on": "yours"}
    assert answer["results"]["front_margin"]["value"] is None
    assert "800 pounds" in answer["answer"]


def test_duty_watches_what_was_not_looked_at() -> None:
    answer = ask("duty_fit", truck())
    assert answer["results"]["verdict"]["value"] == "watch"
    assert answer["results"]["weight_verdict"]["value"] is None and "axle" in answer["results"]["weight_verdict"]["why"]


@pytest.mark.parametrize(("fact", "told"), [("plows", "plow_weight"), ("hauls", "cargo_weight"), ("tows", "tongue_weight")])
def test_who_never_does_it_needs_no_weight_for_it(fact: str, told: str) -> None:
    rest = {name: value for name, value in AXLES.items() if name not in (told, told.replace("weight", "ahead"))}
    assert ask("axle_load", truck(**rest))["results"]["verdict"]["value"] is None
    answer = ask("axle_load", truck(**rest, **{fact: False}))
    assert answer["results"]["verdict"]["rests_on"] == "yours"
    assert answer["inputs"][told]["value"] == 0


def test_nobodys_ballast_is_none_and_ours() -> None:
    answer = ask("axle_load", truck(**AXLES))
    assert (answer["inputs"]["ballast_weight"]["value"], answer["inputs"]["ballast_weight"]["kind"]) == (0, "ours")


def test_a_field_left_empty_is_untold_and_no_fault() -> None:
    reply = calculators.call('{"do": "answer", "calculator": "axle_load", "given": {"plow_weight": ""}, "today": "2026-11-25"}')
    assert '"ok": true' in reply and "tell the weight of the plow" in reply


def test_the_facts_of_an_own_truck_say_what_to_tell() -> None:
    facts = calculators.facts(truck(wheelbase=150), DAY)
    assert (facts["plow_weight"]["value"], facts["plow_weight"]["tell"]) == (None, ["plow_weight"])
    assert facts["plow_weight"]["phrase"] == "tell the weight of the plow"
    assert facts["wheelbase"]["value"] == 150
    assert calculators.facts(None, DAY)["plow_weight"]["value"] == 850
    assert calculators.facts(calculators.example_truck("juniper"), DAY)["plow_weight"]["value"] == 850
