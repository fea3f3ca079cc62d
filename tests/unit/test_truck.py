"""A truck's file: taken as far as it can be read, every other thing named, and the same again after saving."""

import json
from typing import Any

import pytest

import calculators
from calculators import Fault, read_truck
from calculators.engine.truck import facts_of, truck_of
from tests.unit.ask import TRUCKS, ask

GOOD: dict[str, Any] = {
    "format": "diesel-handover-truck", "version": 1, "name": "Mine",
    "facts": {"fuel_price": "3.90 USD/gal", "trucks": 2, "severe_use": True, "working_days_per_week": "5"},
    "done": {"engine_oil": {"date": "2026-09-01", "odometer": "41200 mi", "engine_hours": "1310 h"}},
    "interval": {"engine_oil": {"distance": "7500 mi", "engine_hours": "250 h", "time": "12 month"}},
}


def read(told: Any) -> tuple[dict[str, Any] | None, list[Fault]]:
    return read_truck(told if isinstance(told, str) else json.dumps(told))


def changed(**parts: Any) -> dict[str, Any]:
    return GOOD | parts


def test_a_good_file_is_taken_whole() -> None:
    truck, faults = read(GOOD)
    assert (truck, faults) == (GOOD, [])


@pytest.mark.parametrize("name", TRUCKS)
def test_there_and_back(name: str) -> None:
    example = calculators.example_truck(name)
    truck, faults = read(example)
    assert faults == []
    assert facts_of(truck or {}) == facts_of(example)
    assert read(truck) == (truck, [])
    assert truck_of("Mine", facts_of(GOOD)) == GOOD


@pytest.mark.parametrize("name", TRUCKS)
@pytest.mark.parametrize("calculator", calculators.NAMES)
def test_a_saved_example_that_was_changed_keeps_its_facts(name: str, calculator: str) -> None:
    truck, _ = read(calculators.example_truck(name) | {"name": "Changed"})
    answer = ask(calculator, truck)
    told = {key for key, value in answer["inputs"].items() if value["from"] == "truck"}
    assert told == {key for key in facts_of(calculators.example_truck(name)) if key in answer["inputs"]}


@pytest.mark.parametrize("length", [0, 1, 10, 60, 120, -1])
def test_a_file_that_was_cut_off_says_so(length: int) -> None:
    truck, faults = read(json.dumps(GOOD)[:length])
    assert truck is None
    assert [(fault.field, "cut off" in fault.do) for fault in faults] == [("my-truck.json", True)]


@pytest.mark.parametrize("text", ["null", "[]", "3", '"truck"', "true", "{}", '{"format": "another"}', '{"format": 1}', '{"format": null}',
                                  '{"format": ["diesel-handover-truck"]}'])
def test_what_is_no_trucks_file_is_told_by_its_format(text: str) -> None:
    truck, faults = read(text)
    assert truck is None
    assert [fault.field for fault in faults] == ["format"]


@pytest.mark.parametrize("text", ["NaN", '{"format": "diesel-handover-truck", "version": 1, "facts": {"trucks": NaN}}',
                                  '{"format": "diesel-handover-truck", "version": 1, "facts": {"trucks": -Infinity}}', "[" * 100_000,
                                  '{"a":' * 100_000, "\x00", "\ufeff{}", "{'format': 1}"])
def test_what_is_no_json_is_told_by_the_files_name(text: str) -> None:
    truck, faults = read(text)
    assert truck is None
    assert [fault.field for fault in faults] == ["my-truck.json"]


def test_ten_megabytes_are_refused_at_once() -> None:
    truck, faults = read(json.dumps(changed(name="x" * 10_000_000)))
    assert truck is None
    assert "too long" in faults[0].do
    assert len(str(faults[0])) < 300


@pytest.mark.parametrize("version", [2, 99, 0, -1, "1", 1.5, True, None, [1], {}])
def test_another_version_is_told_and_the_rest_taken(version: Any) -> None:
    truck, faults = read(changed(version=version))
    assert truck == GOOD
    assert [fault.field for fault in faults] == ["version"]
    assert "version 1" in faults[0].do


def test_a_file_without_a_version_is_told_so() -> None:
    truck, faults = read({key: value for key, value in GOOD.items() if key != "version"})
    assert truck == GOOD
    assert [fault.field for fault in faults] == ["version"]


def test_a_strangers_fields_are_named_and_left_out() -> None:
    told = changed(facts=GOOD["facts"] | {"favorite_color": "blue", "today": "2020-01-01"}, owner="me", cars=[1, 2],
                   done=GOOD["done"] | {"time_belt": {"date": "2026-01-01"}, "coolant": {"mood": "good", "date": "2025-01-01"}})
    truck, faults = read(told)
    assert {fault.field for fault in faults} == {
        "favorite_color", "today", "owner", "cars", "done.time_belt.date", "done.coolant.mood"}
    assert truck == changed(done=GOOD["done"] | {"coolant": {"date": "2025-01-01"}})


@pytest.mark.parametrize("key", ["__proto__", "constructor", "prototype", "toString", "hasOwnProperty", "__class__", "__init__", "get", ""])
def test_names_that_mean_something_to_a_machine_are_strangers_too(key: str) -> None:
    text = json.dumps(changed(facts=GOOD["facts"] | {key: {"polluted": True}}, done=GOOD["done"] | {key: {key: 1}}) | {key or " ": 3})
    truck, faults = read(text)
    assert truck == GOOD
    assert len(faults) == 3


@pytest.mark.parametrize("part", ["facts", "done", "interval"])
@pytest.mark.parametrize("shape", [[1], "text", 3, True, [[]], 0, ""])
def test_a_part_of_the_wrong_shape_is_named_and_the_rest_kept(part: str, shape: Any) -> None:
    truck, faults = read(changed(**{part: shape}))
    assert truck == changed(**{part: {}})
    assert [fault.field for fault in faults] == [part]


@pytest.mark.parametrize("row", [[1], "text", 3, True, None])
def test_a_record_of_the_wrong_shape_is_named(row: Any) -> None:
    truck, faults = read(changed(done={"engine_oil": row}))
    assert truck == changed(done={})
    assert [fault.field for fault in faults] == ["done.engine_oil"]


@pytest.mark.parametrize(("fact", "do"), [
    ([1], "one value"), ({"value": 3}, "one value"), ("twelve", "number"), ("3,90", "3.90"), (99, "up to $15/gal"), (-1, "from $0.5/gal"),
    (1e308, "up to $15/gal"), ("5 psi", "in $/gal"), ("", "number"), (True, "number"), ("\u0663", "number"),
])
def test_a_fact_that_will_not_do_is_named_and_the_others_kept(fact: Any, do: str) -> None:
    truck, faults = read(changed(facts=GOOD["facts"] | {"fuel_price": fact}))
    assert truck == changed(facts={key: value for key, value in GOOD["facts"].items() if key != "fuel_price"})
    assert [fault.field for fault in faults] == ["fuel_price"]
    assert do in faults[0].do


def test_a_day_that_does_not_exist_is_named() -> None:
    truck, faults = read(changed(done={"engine_oil": {"date": "2026-02-30", "odometer": "41000 mi"}}))
    assert truck == changed(done={"engine_oil": {"odometer": "41000 mi"}})
    assert [fault.field for fault in faults] == ["done.engine_oil.date"]


def test_a_huge_whole_number_is_a_fault_like_any_other() -> None:
    text = json.dumps(GOOD).replace('"trucks": 2', '"trucks": ' + "9" * 4000)
    truck, faults = read(text)
    assert truck is None or "trucks" not in truck["facts"]
    assert [fault.field for fault in faults] in (["trucks"], ["my-truck.json"])


@pytest.mark.parametrize(("name", "kept"), [("  My   old\n truck ", "My old truck"), ("x" * 200, "x" * 80), (None, "My truck")])
def test_a_name_is_one_short_line(name: Any, kept: str) -> None:
    truck, faults = read(changed(name=name))
    assert truck is not None and truck["name"] == kept
    assert faults == []


@pytest.mark.parametrize("name", ["", "  ", 3, ["a"], {"a": 1}])
def test_a_name_that_is_none_is_told(name: Any) -> None:
    truck, faults = read(changed(name=name))
    assert truck is not None and truck["name"] == "My truck"
    assert [fault.field for fault in faults] == ["name"]


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "\u202eevil", "a'b\"c", "../../etc/passwd", "\u0000", "Zoë's №7"])
def test_any_name_in_letters_is_kept_as_it_is(name: str) -> None:
    truck, _ = read(changed(name=name))
    assert truck is not None and truck["name"] == name


def test_every_fault_is_one_short_line() -> None:
    _, faults = read(changed(facts={"fuel_price": "x" * 5000, "y" * 5000: 1, "trucks": [0] * 5000}))
    assert len(faults) == 3
    for fault in faults:
        assert "\n" not in str(fault)


def test_a_number_for_a_number_is_fine() -> None:
    truck, faults = read(changed(facts={"fuel_price": 4, "severe_use": "yes", "working_days_per_week": 5.0}))
    assert faults == []
    assert truck is not None
    assert ask("idle_bill", truck)["inputs"]["fuel_price"] == {"value": 4.0, "unit": "USD/gal", "from": "truck"}


@pytest.mark.parametrize(("told", "kept"), [
    ("87,412", "87412 mi"), ("41,200 km", "41200 km"), ("87 412", "87412 mi"), ("41.2050 mi", "41.2050 mi"),
    (41.205, 41.205), ("41200", "41200"), ("41200 mi", "41200 mi"), ("5 Miles", "5 mi"), ("½ km", "0.5 km")])
def test_a_number_is_kept_so_that_it_can_mean_no_other(told: Any, kept: Any) -> None:
    """Another guide may know other bounds."""
    truck, faults = read(changed(facts={"odometer": told}))
    assert (truck["facts"]["odometer"], faults) == (kept, [])


def test_a_number_that_could_be_two_is_a_fault_with_both() -> None:
    _, faults = read(changed(facts={"odometer": "41.200 mi", "fuel_tank_capacity": "20,125", "fuel_price": "$3,899"}))
    assert faults == [Fault("odometer", "41.200 mi", "write 41200 mi or 41.2 mi, whichever you mean")]


@pytest.mark.parametrize("spelled", ["Fifth Wheel", "fifth_wheel", "fifth wheel"])
def test_a_choice_is_kept_by_its_key(spelled: str) -> None:
    """A page's field knows no other spelling, and would be left empty without a word."""
    truck, faults = read(changed(facts=GOOD["facts"] | {"hitch": spelled}))
    assert (truck["facts"]["hitch"], faults) == ("fifth_wheel", [])
