"""A truck's file: taken as far as it can be read, every other thing named, and the same again after saving."""

import json
from datetime import date
from typing import Any

import pytest

import calculators
from calculators import Fault, read_truck
from calculators.engine.truck import facts_of, is_example, truck_of
from tests.unit.ask import TRUCKS, ask

OLD: dict[str, Any] = {
    "format": "diesel-handover-truck", "version": 1, "name": "Mine",
    "facts": {"fuel_price": "3.90 USD/gal", "trucks": 2, "severe_use": True, "working_days_per_week": "5", "odometer": "42000 mi"},
    "done": {"engine_oil": {"date": "2026-09-01", "odometer": "41200 mi", "engine_hours": "1310 h"}},
    "interval": {"engine_oil": {"distance": "7500 mi", "engine_hours": "250 h", "time": "12 month"}},
}
GOOD: dict[str, Any] = {
    "format": "diesel-handover-truck", "version": 2, "id": "0f9c", "saved_at": "2026-11-30T05:12:00Z", "site_version": "7", "name": "Mine",
    "identity": {"unit": "12", "call_tow": "555 0100"},
    "facts": {"fuel_price": "3.90 USD/gal", "trucks": 2, "severe_use": True, "working_days_per_week": "5"},
    "interval": {"engine_oil": {"distance": "7500 mi", "engine_hours": "250 h", "time": "12 month"}},
    "book": [{"id": "7d1e", "date": "2026-09-01", "kind": "job", "job": "engine_oil", "odometer": "41200 mi", "engine_hours": "1310 h"},
             {"id": "a03b", "date": "2026-11-20", "kind": "fuel", "odometer": "42010 mi", "idle_hours": "520 h", "fuel": "24.1 gal"}],
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
    assert facts_of(truck_of("Mine", facts_of(GOOD))) == facts_of(GOOD)


@pytest.mark.parametrize("name", TRUCKS)
@pytest.mark.parametrize("calculator", calculators.NAMES)
def test_a_saved_example_that_was_changed_keeps_its_facts(name: str, calculator: str) -> None:
    truck, _ = read(calculators.example_truck(name) | {"name": "Changed"})
    answer = ask(calculator, truck)
    told = {key for key, value in answer["inputs"].items() if value["from"] in ("truck", "book")} & facts_of(truck or {}).keys()
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
                                  '{"a":' * 100_000, "\x00", "\ufeff\ufeff{}", "{'format': 1}"])
def test_what_is_no_json_is_told_by_the_files_name(text: str) -> None:
    truck, faults = read(text)
    assert truck is None
    assert [fault.field for fault in faults] == ["my-truck.json"]


def test_ten_megabytes_are_refused_at_once() -> None:
    truck, faults = read(json.dumps(changed(name="x" * 10_000_000)))
    assert truck is None
    assert "too long" in faults[0].do
    assert len(str(faults[0])) < 300


@pytest.mark.parametrize("version", [0, -1, "2", 1.5, True, None, [1], {}])
def test_what_is_no_version_is_told_and_the_rest_taken(version: Any) -> None:
    truck, faults = read(changed(version=version))
    assert truck == GOOD
    assert [fault.field for fault in faults] == ["version"]
    assert '"version": 2' in faults[0].do


def test_a_file_without_a_version_is_told_so() -> None:
    truck, faults = read({key: value for key, value in GOOD.items() if key != "version"})
    assert truck == GOOD
    assert [(fault.field, fault.given) for fault in faults] == [("version", "")]


def test_a_newer_guides_file_is_named_and_written_back_as_it_was() -> None:
    newer = changed(version=3, fleet={"yard": 4}, facts=GOOD["facts"] | {"wings": {"left": 1}},
                    identity=GOOD["identity"] | {"color": ["red"]}, interval=GOOD["interval"] | {"wings": {"time": "1 month"}},
                    book=[*GOOD["book"], {"id": "z", "date": "2026-11-21", "kind": "photo", "lens": "wide"}])
    truck, faults = read(newer)
    assert truck == newer
    assert {fault.field for fault in faults} == {"version", "wings", "interval.wings.time"}
    assert "newer guide" in faults[0].do


def test_a_file_may_begin_with_a_byte_order_mark() -> None:
    assert read("\ufeff" + json.dumps(GOOD)) == (GOOD, [])


def test_a_strangers_fields_are_kept_and_its_facts_named() -> None:
    told = changed(facts=GOOD["facts"] | {"favorite_color": "blue", "today": "2020-01-01"}, cars=[1, 2])
    truck, faults = read(told)
    assert truck == told
    assert {fault.field for fault in faults} == {"favorite_color", "today"}
    assert all("nothing here uses it" in fault.do for fault in faults)
    assert ask("service_due", truck)["inputs"]["today"]["from"] == "derived"


@pytest.mark.parametrize("key", ["constructor", "prototype", "toString", "hasOwnProperty", "__class__", "__init__", "get", ""])
def test_names_that_mean_something_to_a_machine_are_only_names(key: str) -> None:
    told = changed(facts=GOOD["facts"] | {key: {"polluted": True}}, interval=GOOD["interval"] | {key: {key: 1}}) | {key or " ": 3}
    truck, faults = read(told)
    assert truck == told
    assert len(faults) == 2
    assert ask("idle_bill", truck)["answer"]


def test_what_a_script_could_take_for_its_own_machinery_is_left_out() -> None:
    truck, faults = read(json.dumps(GOOD).replace('"fuel_price"', '"__proto__": {"a": 1}, "fuel_price"'))
    assert truck == GOOD and [fault.field for fault in faults] == ["__proto__"]


@pytest.mark.parametrize("part", ["identity", "facts", "done", "interval"])
@pytest.mark.parametrize("shape", [[1], "text", 3, True, [[]], 0, ""])
def test_a_part_of_the_wrong_shape_is_named_and_the_rest_kept(part: str, shape: Any) -> None:
    truck, faults = read(changed(**{part: shape}))
    assert truck == changed(**({} if part == "done" else {part: {}}))
    assert [fault.field for fault in faults] == [part]


@pytest.mark.parametrize("row", [[1], "text", 3, True, None])
def test_a_record_of_the_wrong_shape_is_named(row: Any) -> None:
    truck, faults = read(changed(done={"engine_oil": row}, interval={"coolant": row}))
    assert truck == changed(interval={})
    assert [fault.field for fault in faults] == ["interval.coolant", "done.engine_oil"]


@pytest.mark.parametrize("book", [{"id": "a"}, "text", 3, None, True])
def test_a_book_of_the_wrong_shape_is_named(book: Any) -> None:
    truck, faults = read(changed(book=book))
    assert truck == changed(book=[]) and [fault.field for fault in faults] == ["book"]
    truck, faults = read(changed(book=[book, *GOOD["book"]]))
    of_the_entry = ["book.undated.None.kind", "book.undated.None.date"]
    assert truck is not None and [fault.field for fault in faults] == (of_the_entry if isinstance(book, dict) else ["book"])
    assert [raw for raw in truck["book"] if raw != book] == GOOD["book"]


def test_an_entry_that_will_not_do_is_named_and_stays_in_the_book() -> None:
    told = changed(book=[GOOD["book"][0] | {"odometer": "far"}, GOOD["book"][1]])
    truck, faults = read(told)
    assert truck == told and [fault.field for fault in faults] == ["book.2026-09-01.job.odometer"]
    assert ask("service_due", truck)["inputs"]["done.engine_oil.engine_hours"]["value"] == 1310


def test_who_the_truck_is_stands_each_in_a_line() -> None:
    truck, faults = read(changed(identity={"unit": 12, "vin": " 1X\n2 ", "driver": None, "plate": ["A"], "owner": "\ud800Zoë\x00"}))
    assert truck is not None and truck["identity"] == {"unit": "12", "vin": "1X 2", "owner": "Zoë"}
    assert [fault.field for fault in faults] == ["identity.plate"]


@pytest.mark.parametrize(("letters", "faults"), [(200, 0), (201, 1)])
def test_a_line_about_who_it_is_has_200_letters_and_more_is_said(letters: int, faults: int) -> None:
    truck, found = read(changed(identity={"owner": "w" * letters}))
    assert truck is not None and truck["identity"]["owner"] == "w" * 200
    assert [fault.field for fault in found] == ["identity.owner"] * faults


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
    truck, faults = read(OLD | {"done": {"engine_oil": {"date": "2026-02-30", "odometer": "41000 mi"}}})
    (oil,) = (raw for raw in entries(truck) if raw["kind"] == "job")
    assert oil == {"kind": "job", "job": "engine_oil", "odometer": "41000 mi"}
    assert [fault.field for fault in faults] == ["done.engine_oil.date"]


def test_a_huge_whole_number_is_a_fault_like_any_other() -> None:
    text = json.dumps(GOOD).replace('"trucks": 2', '"trucks": ' + "9" * 4000)
    truck, faults = read(text)
    assert truck is None or "trucks" not in truck["facts"]
    assert [fault.field for fault in faults] in (["trucks"], ["my-truck.json"])


@pytest.mark.parametrize(("name", "kept"), [("  My   old\n truck ", "My old truck"), ("x" * 200, "x" * 80), (None, "My truck"),
                                            ("Oa\ud800k\x00", "Oak"), ("\udfff7", "7")])
def test_a_name_is_one_short_line(name: Any, kept: str) -> None:
    truck, faults = read(changed(name=name))
    assert truck is not None and truck["name"] == kept
    assert faults == []


@pytest.mark.parametrize("name", ["", "  ", "\x00", "\ud800 ", 3, ["a"], {"a": 1}])
def test_a_name_that_is_none_is_told(name: Any) -> None:
    truck, faults = read(changed(name=name))
    assert truck is not None and truck["name"] == "My truck"
    assert [fault.field for fault in faults] == ["name"]


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "\u202eevil", "a'b\"c", "../../etc/passwd", "Zoë's №7"])
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
    truck, faults = read(OLD | {"facts": {"odometer": told}, "done": {}})
    assert (entries(truck), faults) == ([{"kind": "reading", "odometer": kept}], [])


def test_a_number_that_could_be_two_is_a_fault_with_both() -> None:
    _, faults = read(changed(facts={"odometer": "41.200 mi", "fuel_tank_capacity": "20,125", "fuel_price": "$3,899"}))
    assert faults == [Fault("odometer", "41.200 mi", "write 41200 mi or 41.2 mi, whichever you mean")]


@pytest.mark.parametrize("spelled", ["Fifth Wheel", "fifth_wheel", "fifth wheel"])
def test_a_choice_is_kept_by_its_key(spelled: str) -> None:
    """A page's field knows no other spelling, and would be left empty without a word."""
    truck, faults = read(changed(facts=GOOD["facts"] | {"hitch": spelled}))
    assert (truck["facts"]["hitch"], faults) == ("fifth_wheel", [])


# Version 1 ---------------------------------------------------------------------------------------------------------------------


def entries(truck: dict[str, Any] | None) -> list[dict[str, Any]]:
    assert truck is not None
    return [{key: value for key, value in raw.items() if key != "id"} for raw in truck["book"]]


def test_a_file_of_version_1_becomes_a_book_with_nothing_lost() -> None:
    truck, faults = read(OLD)
    assert faults == [] and truck is not None and truck["version"] == 2
    assert facts_of(truck) == {
        "fuel_price": "3.90 USD/gal", "trucks": 2, "severe_use": True, "working_days_per_week": "5",
        "interval.engine_oil.distance": "7500 mi",
        "interval.engine_oil.engine_hours": "250 h", "interval.engine_oil.time": "12 month"}
    assert entries(truck) == [
        {"kind": "reading", "odometer": "42000 mi"},
        {"kind": "job", "job": "engine_oil", "date": "2026-09-01", "odometer": "41200 mi", "engine_hours": "1310 h"}]
    assert read(truck) == (truck, []) == read(json.dumps(truck))


@pytest.mark.parametrize(("told", "day"), [
    ({}, None), ({"saved_at": "2026-11-20T23:00:00-05:00"}, "2026-11-21"), ({"saved_at": 1795651200000}, "2026-11-26"),
    ({"computed_on": "2026-11-19"}, "2026-11-19"), ({"computed_on": "2026-11-19", "saved_at": "2026-11-20T01:00:00Z"}, "2026-11-20"),
    ({"facts": {"odometer": 42000, "read_on": "2026-10-01"}, "saved_at": "2026-11-20T01:00:00Z"}, "2026-10-01"),
    ({"saved_at": "soon"}, None),
])
def test_an_old_reading_has_its_own_day_else_that_of_its_saving(told: dict[str, Any], day: str | None) -> None:
    truck, _ = read(OLD | told)
    assert [raw.get("date") for raw in entries(truck) if raw["kind"] == "reading"] == [day]


def test_old_readings_of_two_days_are_two_entries() -> None:
    facts = {"odometer": 42000, "engine_hours": "1400 h", "read_on": "2026-11-01"}
    truck, _ = read(OLD | {"facts": facts, "done": {}})
    assert entries(truck) == [{"kind": "reading", "date": "2026-11-01", "odometer": 42000, "engine_hours": "1400 h"}]
    truck, _ = read(OLD | {"facts": facts | {"engine_hours_read_on": "2026-09-01"}, "done": {}})
    assert entries(truck) == [{"kind": "reading", "date": "2026-09-01", "engine_hours": "1400 h"},
                              {"kind": "reading", "date": "2026-11-01", "odometer": 42000}]


def test_ids_made_from_content_carry_the_trucks_name() -> None:
    oak, oak_again, elm = (read(OLD | told)[0] for told in ({"name": "Oak"}, {"name": " Oak ", "saved_at": 5}, {"name": "Elm"}))
    assert oak is not None and elm is not None and oak_again is not None
    assert oak["id"] == oak_again["id"] != elm["id"]
    assert not {raw["id"] for raw in oak["book"]} & {raw["id"] for raw in elm["book"]}
    assert oak["book"][1]["id"] == oak_again["book"][1]["id"]  # the record; the reading now has another day


def test_old_parts_in_a_file_of_version_2_join_its_book() -> None:
    truck, faults = read(changed(facts=GOOD["facts"] | {"odometer": 42_500}, done={"coolant": {"date": "2026-03-01"}}))
    assert faults == [] and facts_of(truck or {}) == facts_of(GOOD)
    assert [raw["kind"] for raw in entries(truck)] == ["job", "job", "fuel", "reading"]  # it was saved on Nov 30
    assert ask("service_due", truck, today="2026-12-01")["inputs"]["odometer"]["value"] == 42_500


def test_an_undated_reading_is_todays_and_its_date_alone_moves() -> None:
    for today in ("2026-11-25", "2027-01-25"):
        inputs = ask("service_due", OLD, today=today)["inputs"]
        assert (inputs["odometer"]["value"], inputs["read_on"]["value"], inputs["distance_per_week"]["from"]) == (42_000, today, "derived")


def test_its_first_opening_on_a_page_gives_it_that_day() -> None:
    truck, _ = read_truck(json.dumps(OLD), date(2026, 11, 26))
    assert truck is not None and read_truck(json.dumps(truck), date(2026, 12, 24))[0] == truck
    for today in ("2026-11-26", "2027-01-25"):
        inputs = ask("service_due", truck, today=today)["inputs"]
        assert (inputs["odometer"]["value"], inputs["read_on"]["value"], inputs["distance_per_week"]["from"]) == (
            42_000, "2026-11-26", "derived")  # the day was assumed: it makes no pace
    assert len(truck["book"]) == 3  # what was entered stays as it was


def test_an_example_is_known_by_a_book_that_moves_and_not_by_its_name() -> None:
    example = calculators.example_truck("juniper")
    assert is_example(example)
    assert not is_example({**example, "name": "Mine"})
    assert not is_example({**example, "book": [{"id": "a", "kind": "fuel", "date": "2026-11-01", "fuel": "20 gal"}]})
    for book in ([], ["days_ago"], None, {"days_ago": 3}):
        assert not is_example({**example, "book": book})


def test_an_example_opened_as_ones_own_stops_moving() -> None:
    truck, _ = read_truck(json.dumps(calculators.example_truck("juniper")), date(2026, 11, 26))
    assert truck is not None and not any("days_ago" in raw for raw in truck["book"]) and truck["book"][-1]["date"] == "2026-11-26"
