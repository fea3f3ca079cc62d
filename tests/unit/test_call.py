"""The worker's door: every kind of request has its reply, and nothing that comes in gets an exception out."""

import json
from datetime import date
from typing import Any

import pytest

import calculators
from calculators.engine.answer import answer
from calculators.engine.figures import figure_of
from calculators.engine.form import in_field
from calculators.engine.reading import read
from tests.unit.ask import TRUCKS

TODAY = "2026-11-25"


def call(request: Any) -> Any:
    text = calculators.call(request if isinstance(request, str) else json.dumps(request))
    return json.loads(text, parse_constant=lambda constant: pytest.fail(f"{constant} is not JSON"))


def brief(value: Any) -> Any:
    """What a value is and shows, a list's cell by cell: all that a page needs of those it keeps."""
    if isinstance(value, list):
        return [{name: brief(cell) for name, cell in row.items()} for row in value]
    return value["value"], value.get("unit"), value["shown"], value.get("phrase", value["shown"]), value.get("rests_on")


def asked(name: str, given: dict[str, Any] | None = None, truck: Any = None, **more: Any) -> Any:
    return call({"do": "answer", "calculator": name, "given": given or {}, "truck": truck, "today": TODAY, **more})


def test_a_day_is_told_as_a_day_and_spoken_as_one() -> None:
    today, due = (asked("service_due")["answer"][part][name] for part, name in (("inputs", "today"), ("results", "next_due_date")))
    assert (today["value"], today["phrase"], today["text"]) == (TODAY, "Nov 25, 2026", TODAY)
    day = date.fromisoformat(due["value"])
    assert due["phrase"] == f"{day:%b} {day.day}, {day.year}"


@pytest.mark.parametrize("name", calculators.NAMES)
def test_without_its_working_an_answer_is_the_same(name: str) -> None:
    whole, bare = asked(name)["answer"], asked(name, working=False)["answer"]
    assert whole.pop("working") and bare == whole


@pytest.mark.parametrize("name", calculators.NAMES)
@pytest.mark.parametrize("truck", [None, *TRUCKS])
def test_answer_is_the_answer_with_words(name: str, truck: str | None) -> None:
    told = calculators.example_truck(truck) if truck else None
    reply = asked(name, truck=told)
    assert reply["ok"] is True
    answer = calculators.answer(name, {}, told, TODAY)
    plain = {result: value for result, value in reply["answer"]["results"].items()}
    for result, value in answer["results"].items():
        if isinstance(value, dict):
            assert {"number", "shown", "phrase", "label"} <= set(plain[result])
            assert plain[result]["value"] == value["value"]
        else:
            assert len(plain[result]) == len(value)
            for row, words in zip(value, plain[result], strict=True):
                assert all(words[cell]["value"] == row[cell]["value"] and words[cell]["label"] for cell in row)
    for value in reply["answer"]["inputs"].values():
        assert value["shown"] and value["number"] and value["phrase"]


@pytest.mark.parametrize("name", calculators.NAMES)
def test_metric_words_and_the_same_numbers(name: str) -> None:
    us, metric = asked(name)["answer"], asked(name, units="metric")["answer"]
    for part in ("results", "inputs"):
        for key, value in us[part].items():
            if isinstance(value, dict):
                assert metric[part][key]["value"] == value["value"]
                assert metric[part][key].get("unit") == value.get("unit")


def test_faults_name_the_field_what_was_given_and_what_would_do() -> None:
    reply = asked("idle_bill", {"trucks": "x", "fuel_price": "3,90"})
    assert reply["ok"] is False and reply["first"] == ""
    assert {fault["field"]: fault["given"] for fault in reply["faults"]} == {"trucks": "x", "fuel_price": "3,90"}
    assert all(fault["do"] for fault in reply["faults"])


@pytest.mark.skipif("wrong_fluid" not in calculators.NAMES, reason="not built yet")
def test_the_stop_rule_comes_with_the_mistake_alone() -> None:
    reply = asked("wrong_fluid", {"mistake": "gasoline_in_fuel", "amount": "3,5", "engine_ran": "perhaps"})
    assert reply["ok"] is False
    assert reply["first"].startswith("Stop. Don’t turn the key")
    assert {fault["field"] for fault in reply["faults"]} == {"amount", "engine_ran"}
    assert asked("wrong_fluid", {"mistake": "beer_in_fuel"})["first"] == ""


def test_a_page_in_two_languages_gets_both_where_they_differ() -> None:
    """It sends its pairs along; a hole takes what differs, or what has Spanish of its own."""
    pairs = {"Write a value from {} up to {}.": "Escriba un valor de {} a {}.", "from: {}": "de: {}", "Not told": "No indicado"}
    plain = asked("wrong_fluid", {"mistake": "def_in_fuel"})["answer"]
    told = asked("wrong_fluid", {"mistake": "def_in_fuel"}, spanish=pairs | {plain["answer"]: "Pare."})["answer"]
    assert told["answer"] == {"en": plain["answer"], "es": "Pare."}
    lines = [line for step in told["working"] for line in step["lines"]]
    assert {"en": "from: Not told", "es": "de: No indicado"} in lines and any(isinstance(line, str) for line in lines)
    refused = asked("wrong_fluid", {"mistake": "def_in_fuel", "amount": "-1"}, spanish=pairs)
    assert refused["faults"][0]["do"]["es"].startswith("Escriba un valor de 0.001 gal")


def test_an_empty_field_is_left_out_where_it_may_be() -> None:
    assert asked("service_due", {"done.coolant.date": "", "interval.coolant.time": ""})["ok"] is True
    reply = asked("idle_bill", {"fuel_price": ""})
    assert [fault["field"] for fault in reply["faults"]] == ["fuel_price"]


def test_all_answers_every_calculator_and_tells_the_facts() -> None:
    reply = call({"do": "all", "truck": calculators.example_truck("tamarack"), "today": TODAY})
    assert reply["ok"] is True
    assert set(reply["answers"]) == set(calculators.NAMES)
    assert reply["faults"] == {}
    for name in calculators.NAMES:
        made, alone = reply["answers"][name], asked(name, truck=calculators.example_truck("tamarack"))["answer"]
        assert made.keys() - {"days"} == alone.keys()  # what service dates say later
        assert {key: told for key, told in made.items() if key in alone.keys() - {"results"}} == {
            key: told for key, told in alone.items() if key != "results"}
        for result, value in alone["results"].items():
            assert brief(made["results"][result]) == brief(value)
    assert reply["facts"]["fuel_economy"]["phrase"] == "11 miles per gallon"


def test_what_was_told_is_said_as_it_was_told() -> None:
    """A result of 61,234 dollars is said as 61,230, of 14.25 miles as 14.2, of 3.899 dollars as 3.90; what somebody read or paid is not."""
    truck = {"name": "Own", "facts": {"fuel_economy": "14.25 mi/gal", "truck_price": "61234", "fuel_price": "3.899"}, "book": []}
    kept = call({"do": "all", "truck": truck, "today": TODAY})
    for told in (kept["facts"], kept["answers"]["diesel_or_gasoline"]["inputs"]):
        assert [told[name]["phrase"] for name in ("fuel_economy", "truck_price", "fuel_price")] == [
            "14.25 miles per gallon", "$61,234", "$3.899 a gallon"]


def test_jobs_alone_are_those_of_all_answers() -> None:
    truck = calculators.example_truck("tamarack")
    reply = call({"do": "jobs", "truck": truck, "today": TODAY})
    kept = call({"do": "all", "truck": truck, "today": TODAY})
    by_job = {job["job"]: job["days"][0] for job in kept["jobs"]}
    assert len(reply["jobs"]) == len(by_job) > 0
    for job in reply["jobs"]:
        told = by_job[job["job"]]
        assert {name: job[name] for name in ("name", "section", "when", "brought_by")} == {
            name: told[name] for name in ("name", "section", "when", "brought_by")}
    assert reply["reading"]["says"] == kept["reading"][0]["says"]


@pytest.mark.parametrize("truck", [None, "tamarack"])
def test_all_works_each_answer_out_once(monkeypatch: pytest.MonkeyPatch, truck: str | None) -> None:
    worked: list[str] = []

    def answering(name: str, *told: Any, **named: Any) -> Any:
        worked.append(name)
        return answer(name, *told, **named)

    monkeypatch.setattr("calculators.engine.call._answer", answering)
    reply = call({"do": "all", "truck": truck and calculators.example_truck(truck), "today": TODAY})
    assert worked == list(calculators.NAMES)
    assert bool(reply["calendar"]) == (truck is not None)


def test_the_facts_and_dates_in_all_are_those_asked_for_by_themselves() -> None:
    truck = calculators.example_truck("tamarack")
    reply = call({"do": "all", "truck": truck, "today": TODAY})
    assert reply["facts"] == calculators.facts(truck, TODAY)
    assert reply["calendar"] == calculators.calendar(truck, TODAY)


def test_all_gives_what_can_be_given() -> None:
    truck = {"format": "diesel-handover-truck", "version": 1, "name": "x", "facts": {"heater_price": "a lot"}}
    reply = call({"do": "all", "truck": truck, "today": TODAY})
    assert reply["ok"] is True
    assert "service_due" in reply["answers"]
    assert [fault["field"] for fault in reply["faults"]["idle_bill"]] == ["heater_price"]
    assert reply["facts"]["heater_price"]["from"] == "example"


@pytest.mark.parametrize(("text", "unit", "to", "shown"), [
    ("12", "gal", "L", "45.4249"), ("0", "degF", "degC", "-17.7778"), ("15", "mi/gal", "L/100km", "15.681"),
    ("9", "delta_degF", "delta_degC", "5"),
    ("45.42 L", "gal", "L", "45.42"), ("3.9", "USD/gal", "USD/L", "1.03027"), ("1.03027", "USD/L", "USD/gal", "3.90"),
    ("100", "mi", "mi", "100"),
])
def test_convert(text: str, unit: str, to: str, shown: str) -> None:
    assert call({"do": "convert", "text": text, "unit": unit, "to": to}) == {"ok": True, "text": shown}


@pytest.mark.parametrize(("name", "text", "unit", "to", "shown"), [  # 20.125 gal are 76.1814 L; 20,125 mi are 32,388.05 km
    ("fuel_tank_capacity", "20,125", "gal", "L", "76.1814"), ("odometer", "20,125", "mi", "km", "32,388"),
    ("done.engine_oil.odometer", "20,125", "mi", "km", "32,388"), ("odometer", "66.312", "km", "mi", None),
    ("odometer", "5 km", "mi", "km", "5"), ("outside_temperature", "-40", "degC", "degF", "-40"),
    ("nobody", "20,125", "mi", "km", "32,388"),
])
def test_convert_what_a_field_holds(name: str, text: str, unit: str, to: str, shown: str | None) -> None:
    reply = call({"do": "convert", "input": name, "text": text, "unit": unit, "to": to})
    assert reply == {"ok": True, "text": shown} if shown else reply["ok"] is False


def test_convert_shows_what_reads_as_itself() -> None:
    """12.345 km among miles up to a million could be 12,345."""
    reply = call({"do": "convert", "input": "odometer", "text": "7.6708274", "unit": "mi", "to": "km"})
    assert reply == {"ok": True, "text": "12.3450"}


@pytest.mark.parametrize(("text", "unit", "to"), [
    ("twelve", "gal", "L"), ("", "gal", "L"), ("1,5", "gal", "L"), ("12", "gal", "lb"), ("12", "parsec", "L"), ("12", "gal", ""),
    ("1e308", "mi", "in"), ("1e308", "mi", "m"), ("0", "mi/gal", "L/100km"), ("12", "", "gal"), ("nan", "gal", "L"),
])
def test_convert_refuses(text: str, unit: str, to: str) -> None:
    reply = call({"do": "convert", "text": text, "unit": unit, "to": to})
    assert reply["ok"] is False
    assert len(reply["faults"]) == 1 and reply["faults"][0]["do"]


def test_read_truck() -> None:
    good = calculators.example_truck("juniper")
    reply = call({"do": "read_truck", "text": json.dumps(good)})
    assert reply["ok"] is True and reply["faults"] == []
    assert reply["truck"]["name"] == "Juniper"
    reply = call({"do": "read_truck", "text": json.dumps(good)[:50]})
    assert reply["ok"] is False and reply["truck"] is None
    reply = call({"do": "read_truck", "text": json.dumps(good | {"color": "red"})})
    assert (reply["ok"], reply["truck"]["color"], reply["faults"]) == (True, "red", [])
    reply = call({"do": "read_truck", "text": json.dumps(good | {"facts": {"color": "red"}})})
    assert [fault["field"] for fault in reply["faults"]] == ["color"]


OAK = {"format": "diesel-handover-truck", "version": 2, "id": "0f", "name": "Oak", "facts": {"fuel_price": "3.9 USD/gal"},
       "book": [{"id": "a", "date": "2026-11-01", "kind": "job", "job": "engine_oil", "odometer": "41000 mi", "engine_hours": "1300.5 h"}]}


def test_what_a_trucks_fields_show() -> None:
    told = call({"do": "read_truck", "text": json.dumps(OAK), "today": TODAY})["told"]
    assert told == {
        "fuel_price": "3.9 USD/gal", "odometer": "41000 mi", "engine_hours": "1300.5 h", "read_on": "2026-11-01",
        "engine_hours_read_on": "2026-11-01", "done.engine_oil.date": "2026-11-01", "done.engine_oil.odometer": "41000 mi",
        "done.engine_oil.engine_hours": "1300.5 h"}


def test_one_entry_more() -> None:
    entry = {"date": "2026-11-20", "kind": "fuel", "odometer": "42010 mi"}
    reply = call({"do": "add_entry", "truck": OAK, "entry": entry})
    assert reply["ok"] and [raw["id"] for raw in reply["truck"]["book"]] == ["a", reply["id"]]
    assert (reply["row"]["id"], reply["row"]["what"], reply["row"]["when"]) == (reply["id"], "Fuel filled", "Nov 20, 2026")
    assert call({"do": "add_entry", "truck": reply["truck"], "entry": entry})["truck"] == reply["truck"]
    reply = call({"do": "add_entry", "truck": OAK, "entry": {"date": "soon", "kind": "fuel", "odometer": "far"}})
    assert (reply["ok"], [fault["field"] for fault in reply["faults"]]) == (False, ["odometer", "date"])


def test_what_does_not_go_with_the_book_is_asked_about_with_the_day_it_contradicts() -> None:
    def asked(**told: str) -> list[tuple[str, str]]:
        reply = call({"do": "add_entry", "truck": OAK, "entry": {"kind": "reading"} | told, "today": "2026-11-20"})
        assert reply["ok"] and len(reply["truck"]["book"]) == 2, "it is never refused"
        return [(one["field"], one["do"]) for one in reply["asked"]]

    (field, does), = asked(date="2026-11-20", odometer="14100 mi")
    assert field == "odometer" and does.startswith("Lower than 41,000 on Nov 1, 2026. Typing error, or a new meter?")
    (field, does), = asked(date="2026-10-20", odometer="41100 mi")
    assert field == "odometer" and does.startswith("With it, 41,000 on Nov 1, 2026 would no longer count. Typing error?")
    (field, does), = asked(date="2026-11-20", odometer="410000 mi")
    assert field == "odometer" and does.startswith("With it, 41,000 on Nov 1, 2026 would no longer count. Typing error?")
    (field, does), = asked(kind="job", job="engine_oil", date="2026-11-01", odometer="41000 mi")
    assert does == "These are of one kind, day and odometer: is it one, told twice? If it is right, press the button again."
    (field, does), = asked(kind="delivery", new="yes", date="2026-11-20", odometer="14 mi")
    assert (field, does.split(".")[0]) == ("date", "Entries before this day would no longer count for your miles a week")
    (field, does), = asked(date="2026-11-21", odometer="41100 mi")
    assert field == "date" and does.startswith("It is dated after today")
    assert asked(date="2026-11-20", odometer="41100 mi", engine_hours="1310 h") == []


def test_a_doubt_names_the_reading_of_this_meter_that_counts_and_that_it_contradicts() -> None:
    def asked(*book: tuple[str, float], **told: str) -> str:
        entries = [{"id": f"r{place}", "date": day, "kind": "reading", "odometer": miles} for place, (day, miles) in enumerate(book)]
        reply = call({"do": "add_entry", "truck": OAK | {"book": entries}, "entry": {"kind": "reading"} | told, "today": "2026-11-25"})
        (one,) = reply["asked"]
        return str(one["do"])

    steady = [("2026-10-01", 40_000), ("2026-11-01", 41_000), ("2026-11-10", 41_200)]
    assert asked(*steady, date="2026-10-20", odometer="41300 mi").startswith("Higher than 41,000 on Nov 1, 2026. Typing error? If")
    assert asked(*steady, date="2026-11-20", odometer="40900 mi").startswith("Lower than 41,200 on Nov 10, 2026."), "the last"
    slip = ("2026-11-12", 412_000)  # left out already, so it is not what a good reading is held against
    assert asked(*steady, slip, date="2026-11-20", odometer="41100 mi").startswith("Lower than 41,200 on Nov 10, 2026.")
    too_fast = "More miles than a truck can drive since "
    assert asked(*steady, date="2026-11-20", odometer="412000 mi").startswith(f"{too_fast}41,200 on Nov 10, 2026.")
    assert asked(*steady, date=None, days_ago=5, odometer="40900 mi").startswith("Lower than 41,200 on Nov 10, 2026."), "counted back"
    new = ({"odometer": 81_000}, {"odometer": 5, "meter_new": "odometer"}, {"odometer": 655})
    book = [{"id": f"n{place}", "date": f"2026-{9 + place}-15", "kind": "reading", **told} for place, told in enumerate(new)]
    reply = call({"do": "add_entry", "truck": OAK | {"book": book}, "entry": {"kind": "reading", "date": "2026-11-20", "odometer": 70_500},
                  "today": "2026-11-25"})
    assert [one["do"].split(",")[0] for one in reply["asked"]] == [f"{too_fast}655 on Nov 15"], "not the old meter"


def test_entries_in_words_the_newest_first() -> None:
    book = [*OAK["book"], {"id": "b", "date": "2026-11-20", "kind": "fuel", "odometer": "40000 mi", "full": False},
            {"id": "c", "kind": "deleted", "replaces": "a"}, {"id": "d", "date": "2026-12-01", "kind": "note", "note": "x"},
            {"id": "e", "days_ago": 1, "kind": "light", "light": 5, "odometer": "y"}]
    reply = call({"do": "list_entries", "truck": OAK | {"book": book}, "today": TODAY})
    assert [entry["id"] for entry in reply["entries"]] == ["d", "b", "e"]
    assert reply["entries"][1] | {"fields": []} == {
        "id": "b", "date": "2026-11-20", "phrase": "Nov 20, 2026", "kind": "fuel", "label": "Fuel", "fields": [], "replaces": None}
    assert [(field["name"], field["phrase"]) for field in reply["entries"][1]["fields"]] == [("odometer", "40,000 miles"), ("full", "no")]
    assert reply["entries"][2]["date"] == "2026-11-24"
    assert [one["ids"] for one in reply["asked"]] == [["d"]]
    assert [fault["field"] for fault in reply["faults"]] == ["book.undated.light.odometer"]


def test_copies_of_a_truck_join_and_two_trucks_do_not() -> None:
    reply = call({"do": "join_trucks", "trucks": [OAK, OAK | {"book": []}]})
    assert (reply["ok"], reply["truck"]["book"]) == (True, OAK["book"])
    reply = call({"do": "join_trucks", "trucks": [OAK, OAK | {"id": "1f"}]})
    assert (reply["ok"], reply["truck"], [fault["field"] for fault in reply["faults"]]) == (False, None, ["id"])


def test_a_book_as_a_table_and_back() -> None:
    text = call({"do": "write_table", "truck": OAK})["text"]
    reply = call({"do": "read_table", "truck": OAK, "text": text})
    assert (reply["ok"], reply["truck"], reply["added"], reply["problems"]) == (True, OAK, 0, [])
    text = "truck,date,kind\nOak,2026-11-21,note\nElm,2026-11-21,note\n,2026-99-01,note\n"
    reply = call({"do": "read_table", "truck": OAK, "text": text})
    assert (reply["added"], reply["others"], len(reply["truck"]["book"])) == (1, 1, 2)
    assert [(problem["row"], problem["column"]) for problem in reply["problems"]] == [(4, "date")]


@pytest.mark.parametrize("name", calculators.NAMES)
def test_sensitivity_is_worded(name: str) -> None:
    reply = call({"do": "sensitivity", "calculator": name, "given": {}, "truck": None, "today": TODAY})
    assert reply["ok"] is True


HOSTILE: list[Any] = [
    "", "null", "[]", "3", '"x"', "{", "{}", '{"do": "nothing"}', '{"do": null}', '{"do": ["answer"]}', '{"do": {"a": 1}}', "[" * 200_000,
    '{"do":"answer","given":' + "[" * 100_000, "NaN", "\ud800", "\x00", '{"do": "answer"}', '{"do": "answer", "calculator": null}',
    '{"do": "answer", "calculator": "../../etc/passwd"}', '{"do": "answer", "calculator": ["idle_bill"]}',
    '{"do": "answer", "calculator": "week"}', '{"do": "answer", "calculator": "__main__"}', '{"do": "all"}',
    '{"do": "all", "truck": [1]}', '{"do": "all", "truck": "juniper"}', '{"do": "all", "truck": {"facts": [1]}}',
    '{"do": "all", "truck": {"facts": {"trucks": {"a": 1}}, "done": 3}}', '{"do": "all", "truck": {"done": {"engine_oil": [1]}}}',
    '{"do": "all", "truck": null, "today": "tomorrow"}', '{"do": "all", "truck": null, "today": 20261125}',
    '{"do": "convert"}', '{"do": "convert", "text": 12, "unit": "gal", "to": "L"}', '{"do": "convert", "text": "1", "unit": [], "to": {}}',
    '{"do": "convert", "text": "1", "unit": null, "to": null}', '{"do": "read_truck"}', '{"do": "read_truck", "text": 3}',
    '{"do": "read_truck", "text": null}', '{"do": "read_truck", "text": {"format": 1}}', '{"do": "sensitivity"}',
    '{"do": "sensitivity", "calculator": "nobody"}', "x" * 3_000_000, json.dumps({"do": "read_truck", "text": "[" * 100_000}),
    json.dumps({"do": "read_truck", "text": "9" * 500_000}), '{"do":"answer","calculator":"idle_bill","given":{"trucks":1e999}}',
    '{"do":"answer","calculator":"idle_bill","given":{"trucks":' + "9" * 5000 + "}}",
]


@pytest.mark.parametrize("text", HOSTILE, ids=lambda text: repr(text[:60]))
def test_nothing_hostile_gets_an_exception_out(text: str) -> None:
    reply = call(text)
    assert set(reply) >= {"ok"}
    if not reply["ok"]:
        assert reply.get("faults"), "it says nothing"
        assert len(json.dumps(reply)) < 5_000


GIVEN: list[Any] = [
    [], "x", 3, None, {"trucks": None}, {"trucks": []}, {"trucks": {"a": {}}}, {"trucks": True}, {"trucks": 1e308},
    {"trucks": "1" * 10_000},
    {"__proto__": {"x": 1}}, {"": ""}, {"done.engine_oil": "x"}, {"done..date": "x"}, {"done.engine_oil.date.x": "x"},
    {"interval.engine_oil.distance": {"x": 1}}, {"today": "9999-12-31"}, {"today": "0001-01-01"}, {"a" * 10_000: "b" * 10_000},
    {"fuel_price": "\u202e3.90"}, {"fuel_price": "3.90\n4"}, {"fuel_price": "<b>3</b>"},
]


@pytest.mark.parametrize("name", calculators.NAMES)
@pytest.mark.parametrize("given", GIVEN, ids=lambda given: repr(given)[:60])
def test_whatever_is_given_gets_a_reply(name: str, given: Any) -> None:
    reply = call({"do": "answer", "calculator": name, "given": given, "truck": None, "today": TODAY})
    assert reply["ok"] or reply["faults"]
    assert len(json.dumps(reply)) < 400_000


@pytest.mark.parametrize("name", calculators.NAMES)
@pytest.mark.parametrize("today", ["0001-01-01", "9999-12-31", "2024-02-29", "2025-02-29", "", "x", None])
def test_whatever_day_it_is(name: str, today: Any) -> None:
    reply = call({"do": "answer", "calculator": name, "given": {}, "truck": None, "today": today})
    if today in ("2025-02-29", "x") and "today" in {field.name for field in calculators.form(name)}:
        assert reply["ok"] is False
    else:
        assert reply["ok"] or reply["faults"]


def test_it_stays_the_same_after_all_that() -> None:
    """No request leaves anything behind."""
    before = asked("service_due")
    for text in HOSTILE:
        calculators.call(text)
    assert asked("service_due") == before
    assert {}.__class__ is dict


def test_nothing_is_read_from_files_once_warm(monkeypatch: pytest.MonkeyPatch) -> None:
    """The browser's worker has no files after its snapshot."""
    calculators.warm()

    def refuse(*told: object, **named: object) -> None:
        raise AssertionError(f"read {told}")

    monkeypatch.setattr("pathlib.Path.read_text", refuse)
    monkeypatch.setattr("builtins.open", refuse)
    for name in calculators.NAMES:
        assert asked(name)["ok"] is True


def test_a_number_in_a_field_has_its_commas_and_reads_back_as_itself() -> None:
    for number, text in (("88900", "88,900"), ("-4000", "-4,000"), ("1234567.25", "1,234,567.25"), ("41.2050", "41.2050"), ("950", "950")):
        assert in_field(number) == text
    seen = 0
    for name in calculators.NAMES:
        for key, value in calculators.with_words(calculators.answer(name, today=TODAY))["inputs"].items():
            if isinstance(value["value"], float | int) and not isinstance(value["value"], bool) and abs(value["value"]) >= 1000:
                seen += 1
                assert "," in value["text"] and read(value["text"], figure_of(key).asked) == pytest.approx(value["value"], rel=0.01)
    assert seen


def test_what_the_book_taught_stands_in_its_field_as_far_as_it_is_sure() -> None:
    """700 miles and 41 hours in 24 days are 204.17 miles and 11.96 hours a week; a reading stays as it was read."""
    readings = [("2026-11-01", "40000.4 mi", "1000.5 h"), ("2026-11-25", "40700.4 mi", "1041.5 h")]
    truck = {"format": "diesel-handover-truck", "version": 2, "id": "a1", "name": "Larch", "facts": {}, "book": [
        {"id": f"r{day}", "kind": "reading", "date": day, "odometer": miles, "engine_hours": hours} for day, miles, hours in readings]}
    inputs = calculators.with_words(calculators.answer("service_due", None, truck, "2026-11-25"))["inputs"]
    assert [inputs[name]["text"] for name in ("distance_per_week", "engine_hours_per_week", "odometer", "engine_hours")] == [
        "204", "12", "40,700.4", "1,041.5"]
