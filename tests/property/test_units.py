"""Any text becomes a number or an error that says what to type, and a quantity means the same in every unit."""

import json
import math
from datetime import date
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given
from hypothesis import strategies as st

import calculators
from calculators.engine import units
from calculators.engine.named import after_months
from calculators.engine.reading import Asked, read
from calculators.engine.show import words
from calculators.engine.units import convert, digits


def quantity(text: str, unit: str) -> float:
    return read(text, Asked(unit))


UNITS = sorted(units._SIZE)
DECLARED = ["gal", "mi", "USD/gal", "degF", "delta_degF", "count", "%", "mi/gal", "g/mi", "date"]
JSON = st.recursive(st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
                    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4), max_leaves=12)


@given(st.text(max_size=30), st.sampled_from(DECLARED))
def test_any_text_is_a_finite_number_or_says_what_to_type(text: str, unit: str) -> None:
    try:
        assert math.isfinite(quantity(text, unit))
    except ValueError as refused:
        assert str(refused).startswith("write ")


@given(st.from_regex(r"[$+\-]?[0-9.,_eE]{0,12} ?[a-zA-Z/°%$]{0,8}", fullmatch=True), st.sampled_from(DECLARED))
def test_almost_numbers_too(text: str, unit: str) -> None:
    try:
        assert math.isfinite(quantity(text, unit))
    except ValueError as refused:
        assert str(refused).startswith("write ")


@given(st.floats(-1e12, 1e12), st.sampled_from(UNITS), st.sampled_from(UNITS))
def test_there_and_back(value: float, unit: str, to: str) -> None:
    if units._SIZE[unit][0] != units._SIZE[to][0]:
        with pytest.raises(ValueError, match="write it in"):
            convert(value, unit, to)
        return
    assert convert(convert(value, unit, to), to, unit) == pytest.approx(value, rel=1e-12)
    if unit != "m":  # which could be a mile or a month
        assert quantity(f"{digits(value, unit, 17)} {unit}", to) == pytest.approx(convert(value, unit, to), rel=1e-12)


@given(st.floats(-459.67, 1e6), st.sampled_from(["degC", "K", "degR"]))
def test_temperatures_there_and_back(value: float, to: str) -> None:
    assert convert(convert(value, "degF", to), to, "degF") == pytest.approx(value, abs=1e-8, rel=1e-12)


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_a_difference_is_the_difference_of_two_temperatures(one: float, other: float) -> None:
    apart = convert(one, "degF", "degC") - convert(other, "degF", "degC")
    assert convert(one - other, "delta_degF", "delta_degC") == pytest.approx(apart, abs=1e-6)


@given(st.dates(date(1, 1, 1), date(9800, 12, 31)), st.integers(0, 1440))
def test_months_are_those_of_dateutil(start: date, months: int) -> None:
    assert after_months(start, months) == start + relativedelta(months=months)


@given(st.one_of(st.floats(-1e9, 1e9), st.integers(-10**9, 10**9)), st.sampled_from(["", *UNITS, "USD/gal", "USD/mi", "mi/gal", "degF"]),
       st.booleans(), st.booleans())
def test_any_value_reads(value: float, unit: str, exact: bool, metric: bool) -> None:
    said = words(value, unit, exact=exact, metric=metric)
    assert said.number and said.phrase.startswith(said.number)
    if not exact and not metric and not unit.startswith("USD"):
        number, _, many = said.number.replace("\u2212", "-").replace(",", "").partition(" ")
        if unit == "yr" and value > 0:  # in halves, and months
            assert (said.number, value > 20) == ("never", True) or value <= 20
            return
        shown = float(number) * {"": 1, "million": 1e6, "billion": 1e9, "trillion": 1e12}[many]
        if shown == 0 and unit in ("mi", "lb", "%", "degF", "km", "kg", "degC"):  # what floating point leaves of two equal numbers
            assert abs(value) < 1e-6
        else:
            assert shown == pytest.approx(value, rel=0.06, abs=0.5 if abs(value) >= 1 else 0)


@given(JSON)
def test_any_json_gets_a_reply(request: Any) -> None:
    reply = json.loads(calculators.call(json.dumps(request)), parse_constant=lambda constant: pytest.fail(constant))
    assert reply["ok"] is False and reply["faults"]


@given(st.text())
def test_any_text_gets_a_reply(text: str) -> None:
    reply = json.loads(calculators.call(text))
    assert reply["ok"] is False and reply["faults"]


NAMES = st.sampled_from(["fuel_price", "trucks", "severe_use", "read_on", "hitch", "nobody"]) | st.text(max_size=8)


@given(facts=st.dictionaries(NAMES, JSON, max_size=4), done=JSON, interval=JSON, name=JSON, version=JSON)
def test_any_truck_is_read_as_far_as_it_goes(facts: dict[str, Any], done: Any, interval: Any, name: Any, version: Any) -> None:
    text = json.dumps({"format": "diesel-handover-truck", "version": version, "name": name, "facts": facts, "done": done,
                       "interval": interval})
    truck, faults = calculators.read_truck(text)
    assert all(fault.do for fault in faults)
    if truck is None:  # a constant that is no JSON, as NaN
        assert faults
        return
    again, _ = calculators.read_truck(json.dumps(truck))
    assert again == truck
    for name in ("idle_bill", "service_due"):
        reply = json.loads(calculators.call(json.dumps({"do": "answer", "calculator": name, "truck": truck, "today": "2026-11-25"})))
        assert reply["ok"] or reply["faults"]
