"""Every answer has the shape that callers outside this project rely on; contract.toml holds its names and units."""

import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import calculators
from tests.unit.ask import DAY, TRUCKS, ask

CONTRACT: dict[str, Any] = tomllib.loads(Path(__file__).with_name("contract.toml").read_text("utf-8"))
UNITS, WORKING_UNITS = CONTRACT.pop("units"), CONTRACT.pop("working_units")
FURTHER_UNITS = {"kJ/(mol.K)", "Pa", "kg/m3", "mL/gal"}  # of results on the way, which the contract does not name
FOUND_OR_NOT = {"alarms", "left_out"}  # lists that are empty where all is well; tests/unit/test_own_records.py fills them
KINDS = {"standard", "handbook", "common practice", "from memory", "example", "ours"}
SIGNALS = {"DANGER", "WARNING", "CAUTION", "NOTICE"}


def values(inside: Any) -> Iterator[dict[str, Any]]:
    """Every object with a value in an answer, however deep."""
    if isinstance(inside, dict):
        if "value" in inside:
            yield inside
        for part in inside.values():
            yield from values(part)
    elif isinstance(inside, list):
        for part in inside:
            yield from values(part)


@pytest.fixture(params=[(name, truck) for name in calculators.NAMES for truck in (None, *TRUCKS)], ids=str)
def answered(request: pytest.FixtureRequest) -> dict[str, Any]:
    return ask(*request.param)


def test_the_first_four_are_there() -> None:
    assert {"idle_bill", "service_due", "regeneration", "fluid_cost"} <= set(calculators.NAMES)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_contract_inputs_are_asked(name: str) -> None:
    asked = {field.name for field in calculators.form(name)}
    assert set(CONTRACT.get(name, {}).get("inputs", [])) <= asked


def test_contract_results_are_given_in_their_units(answered: dict[str, Any]) -> None:
    for result, unit in CONTRACT.get(answered["calculator"], {}).get("results", {}).items():
        assert answered["results"][result].get("unit", "") == unit, result


def test_contract_lists_have_their_cells(answered: dict[str, Any]) -> None:
    for name, cells in CONTRACT.get(answered["calculator"], {}).get("lists", {}).items():
        rows = answered["results"][name]
        assert rows or name in FOUND_OR_NOT
        for row in rows:
            assert cells == {cell: row[cell].get("unit", "") for cell in cells}


def test_it_is_strict_json(answered: dict[str, Any]) -> None:
    text = json.dumps(answered, allow_nan=False)
    assert json.loads(text) == answered


def test_it_names_itself_and_opens_with_a_sentence(answered: dict[str, Any]) -> None:
    assert answered["calculator"] in calculators.NAMES
    assert answered["answer"][0].isupper()
    assert answered["answer"].endswith(".")
    assert "{" not in answered["answer"]


def test_every_unit_is_one_that_callers_know(answered: dict[str, Any]) -> None:
    shown = {value.get("unit", "") for part in ("inputs", "results") for value in values(answered[part])} - {""}
    worked = {value.get("unit", "") for value in values(answered["working"])} - {""}
    assert shown - {*UNITS, *WORKING_UNITS} <= FURTHER_UNITS
    assert worked - {*UNITS, *WORKING_UNITS} <= FURTHER_UNITS


def test_what_cannot_exist_says_why(answered: dict[str, Any]) -> None:
    for value in values({part: answered[part] for part in ("inputs", "results", "working")}):
        assert ("why" in value) == (value["value"] is None)
        assert value.get("why", "why").strip()


def test_every_input_says_where_it_is_from(answered: dict[str, Any]) -> None:
    assert {value["from"] for value in answered["inputs"].values()} <= {"given", "book", "truck", "derived", "example"}
    assert answered["inputs"], "it asks nothing"


def test_a_verdict_is_one_of_three_words(answered: dict[str, Any]) -> None:
    verdict = answered["results"].get("verdict", {"value": "fits"})["value"]
    assert verdict in ("fits", "watch", "against")


def test_cautions_have_a_signal_word_and_what_to_do_gravest_first(answered: dict[str, Any]) -> None:
    order = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    signals = [caution["signal"] for caution in answered["cautions"]]
    assert set(signals) <= SIGNALS
    assert signals == sorted(signals, key=order.index)
    for caution in answered["cautions"]:
        assert caution["text"].endswith((".", "!")) and "{" not in caution["text"] + caution["hazard"]
        assert caution["hazard"].endswith((".", "!"))


def test_sources_have_kind_and_title_and_standards_their_clause_and_year(answered: dict[str, Any]) -> None:
    for source in answered["sources"]:
        assert set(source) == {"value", "title", "clause", "year", "kind"}
        assert source["kind"] in KINDS and source["title"] and source["value"]
        if source["kind"] in ("standard", "handbook"):
            assert source["year"], source
        if source["kind"] == "standard":
            assert source["clause"], source
    named = [source["value"] for source in answered["sources"]]
    assert len(named) == len(set(named))


def test_what_came_from_the_example_or_a_constant_has_a_source(answered: dict[str, Any]) -> None:
    sourced = {source["value"] for source in answered["sources"]}
    for name, value in answered["inputs"].items():
        if value["from"] == "example" and "." not in name:
            assert name in sourced, name
        if value["from"] == "given":
            assert name not in sourced


def test_every_working_step_is_complete(answered: dict[str, Any]) -> None:
    for step in answered["working"]:
        assert step["what"].endswith((".", ")", "?")), step["name"]
        assert {"what", "name", "formula", "numbers", "result", "source"} <= set(step)
        assert bool(step["formula"]) == bool(step.get("worked"))


def test_every_result_is_worked_out(answered: dict[str, Any]) -> None:
    worked = {step["name"]: step["result"].get("value") for step in answered["working"]}
    for name, result in answered["results"].items():
        if not isinstance(result, list):
            assert worked[name] == result["value"], name


def test_every_number_of_a_step_is_an_input_a_constant_or_an_earlier_step(answered: dict[str, Any]) -> None:
    known: dict[str, Any] = {name: value["value"] for name, value in answered["inputs"].items()}
    for step in answered["working"]:
        for number in step["numbers"]:
            if number["name"] in known and "." not in number["name"]:
                assert number["value"] == known[number["name"]], (step["name"], number["name"])
        known[step["name"]] = step["result"]["value"]


@pytest.mark.parametrize("name", calculators.NAMES)
def test_the_same_question_has_the_same_answer(name: str) -> None:
    assert ask(name) == ask(name)
    assert ask(name)["results"] == ask(name, "juniper")["results"]


@pytest.mark.parametrize("name", calculators.NAMES)
def test_the_two_example_trucks_get_different_answers(name: str) -> None:
    juniper, tamarack = ask(name, "juniper"), ask(name, "tamarack")
    if any(value["value"] != tamarack["inputs"][name]["value"] for name, value in juniper["inputs"].items()):
        assert juniper["results"] != tamarack["results"]


@pytest.mark.parametrize("name", calculators.NAMES)
def test_a_calculator_is_named_after_its_question(name: str) -> None:
    assert calculators.question(name).endswith("?")
    assert ask(name, today=DAY)["question"] == calculators.question(name)


def test_what_values_rest_on_is_one_of_three_words(answered: dict[str, Any]) -> None:
    for value in values(answered["results"]):
        assert value.get("rests_on", "yours") in ("yours", "partly", "example")
        assert "tell" not in value or (value["value"] is None and value["tell"])
    assert answered.get("answer_rests_on", "yours") in ("yours", "partly", "example")
    for value in answered["inputs"].values():
        assert "rests_on" not in value or value["from"] == "derived"
        assert ("kind" in value) == (value["from"] == "example")


def test_assumed_is_only_what_is_an_example(answered: dict[str, Any]) -> None:
    assert set(answered["assumes"]) <= set(answered["inputs"])
    assert len(set(answered["assumes"])) == len(answered["assumes"])
    for name in answered["assumes"]:
        assert answered["inputs"][name]["from"] in ("book", "truck") or answered["inputs"][name]["kind"] == "example"


def test_what_turns_the_verdict_is_assumed_and_does(answered: dict[str, Any]) -> None:
    if "turns" not in answered:
        return
    turns = answered["turns"]
    assert set(turns) == {"input", "at", "verdict"} and turns["input"] in answered["assumes"]
    assert turns["verdict"] in ("fits", "watch", "against")
    assert turns["verdict"] != answered["results"]["verdict"]["value"]
