"""What an answer says it rests on is true: other values of what it does not rest on change nothing of it."""

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import calculators
from calculators import Field, Refused
from calculators.engine.entries import METERS
from tests.property.inputs import told, value
from tests.unit.ask import DAY, TRUCKS

EVERY = pytest.mark.parametrize("name", calculators.NAMES)
OWN: dict[str, Any] = {"format": "diesel-handover-truck", "version": 1, "name": "Mine", "facts": {}}
FIELDS = {field.name: field for field in (*calculators.truck_form(), *(f for name in calculators.NAMES for f in calculators.form(name)))}
KINDS_OF_TRUCK = st.sampled_from([None, OWN, *map(calculators.example_truck, TRUCKS)])


def answer(name: str, typed: dict[str, str], truck: Any) -> dict[str, Any] | None:
    try:
        return calculators.answer(name, typed, truck, DAY, working=False)
    except Refused:
        return None


def cells(said: dict[str, Any]) -> Iterator[tuple[Any, dict[str, Any]]]:
    """Every value of an answer that may be marked, by where it stands."""
    for name, result in said["results"].items():
        if isinstance(result, list):
            yield from (((name, at, field), cell) for at, row in enumerate(result) for field, cell in row.items())
        else:
            yield name, result
    yield "answer", {"value": said["answer"], "rests_on": said.get("answer_rests_on")}
    yield from (((caution["hazard"],), {"value": caution["text"], "rests_on": caution.get("rests_on")}) for caution in said["cautions"])


def example_inputs(said: dict[str, Any]) -> list[Field]:
    """What an answer took from the example truck; its record only goes whole."""
    return [FIELDS[name] for name, entry in said["inputs"].items() if entry.get("kind") == "example" and "." not in name]


def same(before: dict[str, Any], after: dict[str, Any], words: tuple[str | None, ...]) -> None:
    """Nothing changed that is marked by one of those words."""
    then = dict(cells(after))
    for where, cell in cells(before):
        asks = any("tell" in value and value["why"] in str(cell["value"]) for _, value in cells(before))  # what to tell may become less
        if cell["value"] is not None and cell.get("rests_on") in words and not asks:
            assert where in then and then[where]["value"] == cell["value"], (where, cell, then.get(where))


@EVERY
@given(data=st.data(), truck=KINDS_OF_TRUCK)
def test_what_is_yours_or_the_trades_no_other_example_changes(name: str, data: st.DataObject, truck: Any) -> None:
    typed = data.draw(told(name))
    before = answer(name, typed, truck)
    if before is None or not (fields := example_inputs(before)):
        return
    moved = data.draw(st.lists(st.sampled_from(fields), min_size=1, max_size=3, unique_by=lambda field: field.name))
    after = answer(name, typed | {field.name: str(data.draw(value(field))) for field in moved}, truck)
    if after is not None:
        same(before, after, ("yours", None) if truck in (None, OWN) else ("yours",))


@EVERY
@given(data=st.data())
def test_what_is_the_examples_nothing_told_changes(name: str, data: st.DataObject) -> None:
    typed = data.draw(told(name))
    before = answer(name, typed, OWN)
    if before is None or not typed:
        return
    changed = data.draw(st.sampled_from(sorted(typed)))
    after = answer(name, typed | {changed: str(data.draw(value(FIELDS[changed])))}, OWN)
    if after is not None:
        same(before, after, ("example", None))


@EVERY
@given(data=st.data(), truck=KINDS_OF_TRUCK)
def test_what_is_not_assumed_changes_neither_sentence_nor_what_is_shown(name: str, data: st.DataObject, truck: Any) -> None:
    typed = data.draw(told(name))
    before = answer(name, typed, truck)
    if before is None:
        return
    unread = before["results"].get("readings_age", {"value": 0})["value"] is None  # then a meter that is typed is the first reading
    fields = [field for field in example_inputs(before) if field.name not in before["assumes"] and not (unread and field.name in METERS)]
    if not fields:
        return
    field = data.draw(st.sampled_from(fields))
    after = answer(name, typed | {field.name: str(data.draw(value(field)))}, truck)
    if after is not None:
        lists = [n for n, result in before["results"].items() if isinstance(result, list)]
        shown = [n for n in (*before["headline"], *lists, "verdict", "stop_level") if n in before["results"]]
        assert after["answer"] == before["answer"]
        assert [values(after["results"][n]) for n in shown] == [values(before["results"][n]) for n in shown]


def values(result: Any) -> Any:
    return [{n: cell["value"] for n, cell in row.items()} for row in result] if isinstance(result, list) else result["value"]


@EVERY
@given(data=st.data(), truck=KINDS_OF_TRUCK)
@settings(max_examples=15)
def test_what_turns_the_verdict_turns_it(name: str, data: st.DataObject, truck: Any) -> None:
    typed = data.draw(told(name))
    before = answer(name, typed, truck)
    if before is None or "turns" not in before:
        return
    turns = before["turns"]
    at = {True: "yes", False: "no"}.get(turns["at"]) if isinstance(turns["at"], bool) else repr(turns["at"]).strip("'")
    after = answer(name, typed | {turns["input"]: str(at)}, truck)
    assert after is not None
    assert after["results"]["verdict"]["value"] == turns["verdict"] != before["results"]["verdict"]["value"]


@EVERY
def test_a_truck_that_tells_nothing_shows_no_number_but_marked_ones_and_the_trades(name: str) -> None:
    """Each of the example's inputs moved: what is not marked stays."""
    before = answer(name, {}, OWN)
    assert before is not None
    assert {cell.get("rests_on") for _, cell in cells(before)} <= {"example", None}
    for field in example_inputs(before):
        for moved in (field.low, field.high, *field.choices):
            after = answer(name, {field.name: str(moved)}, OWN)
            if after is not None:
                same(before, after, (None,))


@EVERY
@given(data=st.data())
def test_telling_all_that_would_do_gives_a_value(name: str, data: st.DataObject) -> None:
    typed = data.draw(told(name))
    before = answer(name, typed, OWN)
    wanting = {result: value["tell"] for result, value in (before or {"results": {}})["results"].items()
               if isinstance(value, dict) and any("." not in key for key in value.get("tell", []))}
    if before is None or not wanting:
        return
    result = data.draw(st.sampled_from(sorted(wanting)))
    told_now = {key: str(data.draw(value(FIELDS[key]))) for key in wanting[result]}
    after = answer(name, typed | told_now, OWN)
    if after is not None:
        assert "tell" not in after["results"][result], (told_now, after["results"][result])
