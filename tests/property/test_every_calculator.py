"""Whatever a reader types: inside the bounds a finite or explained answer, outside a fault that names the field."""

import json
import math
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import calculators
from calculators import Field, Refused
from calculators.engine.assumed import is_number
from calculators.engine.entries import READ_ON
from calculators.engine.facts import plan
from calculators.engine.figures import figure
from calculators.engine.rules import rules
from calculators.engine.units import METRIC, convert, digits
from tests.property.inputs import bounds, depends, number, numbers, told
from tests.unit.ask import TRUCKS, module

DAY = "2026-11-25"
EVERY = pytest.mark.parametrize("name", calculators.NAMES)


def answer(name: str, typed: dict[str, str], truck: Any = None) -> dict[str, Any]:
    return calculators.answer(name, typed, truck, DAY)


def values(inside: Any) -> Iterator[dict[str, Any]]:
    if isinstance(inside, dict):
        if "value" in inside:
            yield inside
        for part in inside.values():
            yield from values(part)
    elif isinstance(inside, list):
        for part in inside:
            yield from values(part)


@EVERY
@given(data=st.data())
def test_inside_the_bounds_every_value_is_finite_or_explained(name: str, data: st.DataObject) -> None:
    typed = data.draw(told(name))
    try:
        said = answer(name, typed, data.draw(st.sampled_from([None, *map(calculators.example_truck, TRUCKS)])))
    except Refused as refused:
        explained(name, typed, refused)
        return
    json.dumps(said, allow_nan=False)
    for value in values(said):
        assert not isinstance(value["value"], float) or math.isfinite(value["value"])
        assert value["value"] is not None or value["why"]
    assert said["answer"].endswith(".") and "None" not in said["answer"] and "nan" not in said["answer"]
    for units in ("us", "metric"):
        json.dumps(calculators.with_words(said, units), allow_nan=False)


def explained(name: str, typed: dict[str, str], refused: Refused) -> None:
    """Values inside their own bounds are only refused for how they stand to others, by the name of a field."""
    book = plan(module(name), set(typed))
    checks = {rule.words for rule in book.values() if rule.unit == "check"}
    fields = {field.name: field for field in calculators.form(name)}
    assert refused.faults
    for fault in refused.faults:
        assert fault.field in fields or fault.field in book or figure(fault.field), fault
        assert fault.do in checks or "follows from" in fault.do or depends(fields[fault.field]), fault


@EVERY
@given(data=st.data())
def test_outside_the_bounds_the_field_is_named(name: str, data: st.DataObject) -> None:
    field = data.draw(st.sampled_from(numbers(name)) if numbers(name) else st.nothing())
    low, high = bounds(field)
    least = 1e-9 * max(1, abs(low), abs(high))  # nearer is what floating point leaves of a conversion
    far = st.one_of(st.floats(high + least, 1e308), st.floats(-1e308, low - least), st.sampled_from([1e308, -1e308]))
    with pytest.raises(Refused) as refused:
        answer(name, {field.name: digits(data.draw(far), field.unit, 17)})
    assert [fault.field for fault in refused.value.faults] == [field.name]
    assert "write a " in str(refused.value)


@EVERY
@given(data=st.data())
@settings(max_examples=15)
def test_nonsense_in_any_field_is_named(name: str, data: st.DataObject) -> None:
    field = data.draw(st.sampled_from(calculators.form(name)))
    text = data.draw(st.text(max_size=12).filter(lambda t: not any(c.isascii() and c.isdigit() for c in t)
                                                 and t.strip().lower() not in ("yes", "no", "true", "false", *field.choices)))
    with pytest.raises(Refused) as refused:
        answer(name, {field.name: text})
    assert [fault.field for fault in refused.value.faults] == [field.name]
    assert len(str(refused.value).splitlines()) - bool(refused.value.first) == 1


def metric(field: Field, value: float) -> str:
    """The same amount as somebody with a metric tape would type it."""
    to = METRIC.get(field.unit, field.unit)
    amount, unit = (convert(value, field.unit, to), to) if to != field.unit and value else (value, field.unit)
    return f"{digits(amount, unit, 17)} {unit}"


@pytest.mark.parametrize("name", [name for name in calculators.NAMES if any(field.unit in METRIC for field in numbers(name))])
@given(data=st.data())
def test_metric_and_us_give_the_same_answer(name: str, data: st.DataObject) -> None:
    fields = [field for field in numbers(name) if field.unit in METRIC]
    chosen = data.draw(st.lists(st.sampled_from(fields), min_size=1, max_size=4, unique_by=lambda field: field.name))
    typed = {field.name: data.draw(number(*bounds(field), inset=0.001)) for field in chosen}
    try:
        us = answer(name, {field.name: digits(typed[field.name], field.unit, 17) for field in chosen})
    except Refused as refused:
        with pytest.raises(Refused) as other:
            answer(name, {field.name: metric(field, typed[field.name]) for field in chosen})
        assert {fault.field for fault in other.value.faults} == {fault.field for fault in refused.faults}
        return
    other_way = answer(name, {field.name: metric(field, typed[field.name]) for field in chosen})
    for one, other in zip(values(us["results"]), values(other_way["results"]), strict=True):
        if is_number(one["value"]) and is_number(other["value"]) and one["value"] != other["value"]:  # a hair may pass a limit: other marks
            assert other["value"] == pytest.approx(one["value"], rel=1e-6, abs=1e-6)
        else:
            assert other == one


def with_their_meters(typed: dict[str, str]) -> dict[str, str]:
    """Without the days of meters that nobody typed: in a file such a day is no reading, and one day stands for both meters."""
    meter_of = {day: meter for meter, day in READ_ON.items()}
    kept = {key: text for key, text in typed.items() if meter_of.get(key, key) in typed}
    return kept | ({"engine_hours_read_on": kept["read_on"]} if "read_on" in kept and "engine_hours" in kept else {})


@pytest.mark.parametrize("typed", [{"engine_hours": "0"}, {"odometer": "0"},
                                   {"engine_hours": "12", "odometer": "8", "idle_hours_per_week": "3"}])
def test_a_meter_typed_on_the_form_is_the_reading_that_a_file_holds(typed: dict[str, str]) -> None:
    truck = {"format": "diesel-handover-truck", "version": 1, "name": "x", "facts": {}}
    assert answer("service_due", {}, truck | {"facts": typed})["results"] == answer("service_due", typed, truck)["results"]


@EVERY
@given(data=st.data())
@settings(max_examples=15)
def test_a_truck_says_what_the_same_values_given_say(name: str, data: st.DataObject) -> None:
    typed = with_their_meters({key: text for key, text in data.draw(told(name, most=4)).items() if "." not in key and key != "today"})
    truck = {"format": "diesel-handover-truck", "version": 1, "name": "x", "facts": {}}
    try:
        given_ = answer(name, typed, truck)
    except Refused:
        return
    assert answer(name, {}, truck | {"facts": typed})["results"] == given_["results"]


@EVERY
@given(data=st.data())
@settings(max_examples=15)
def test_the_order_of_what_is_told_does_not_matter(name: str, data: st.DataObject) -> None:
    typed = data.draw(told(name, most=5))
    turned = dict(reversed(typed.items()))
    try:
        assert answer(name, typed)["results"] == answer(name, turned)["results"]
    except Refused as refused:
        with pytest.raises(Refused) as other:
            answer(name, turned)
        assert {fault.field for fault in other.value.faults} == {fault.field for fault in refused.faults}


@EVERY
@given(data=st.data())
@settings(max_examples=4)
def test_what_moves_the_answer_moves_it(name: str, data: st.DataObject) -> None:
    typed = data.draw(told(name, most=3))
    try:
        moved = calculators.sensitivity(name, typed, None, DAY)
    except Refused:
        return
    if not moved["rows"]:
        return
    spans = [abs(row["result_at_high"]["value"] - row["result_at_low"]["value"]) for row in moved["rows"]]
    assert spans == sorted(spans, reverse=True)
    assert min(spans) > 0
    assert moved["result"] in rules(module(name))
    asked = {field.name: field for field in [*calculators.truck_form(), *calculators.form(name)]}
    for row in moved["rows"]:
        field = asked[row["input"]["value"]]
        low, high = bounds(field)
        assert row["low"]["value"] <= row["high"]["value"]
        if not depends(field):
            assert low <= row["low"]["value"] and row["high"]["value"] <= high
