"""The command line, as a person and as a script use it: exit status, what stands on which stream, every fault at once."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import calculators
from calculators.__main__ import main
from calculators.engine import show
from calculators.engine.figures import FIGURES
from tests.unit.ask import TRUCKS, ask

ROOT = Path(calculators.__file__).parent.parent


class Said:
    """What one run of the command line said."""

    def __init__(self, status: int, out: str, err: str) -> None:
        self.status, self.out, self.err = status, out, err

    @property
    def faults(self) -> list[str]:
        return self.err.splitlines()

    @property
    def json(self) -> Any:
        return json.loads(self.out, parse_constant=lambda constant: pytest.fail(f"{constant} is not JSON"))


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Any:
    """Run the command line here and now."""
    def run(*words: str) -> Said:
        status = main(list(words))
        captured = capsys.readouterr()
        return Said(status, captured.out, captured.err)
    return run


def program(*words: str, **settings: Any) -> subprocess.CompletedProcess[str]:
    """Run the command line as its own process."""
    return subprocess.run([sys.executable, "-m", "calculators", *words], cwd=ROOT, text=True, capture_output=True, timeout=60, **settings)


@pytest.mark.parametrize("words", [(), ("--help",), ("-h",)])
def test_alone_it_lists_every_calculator_by_its_question(say: Any, words: tuple[str, ...]) -> None:
    said = say(*words)
    assert (said.status, said.err) == (0, "")
    lines = said.out.splitlines()
    for name in calculators.NAMES:
        assert any(line.startswith(f"{name} ") and line.endswith(calculators.question(name)) for line in lines)
    for truck in TRUCKS:
        assert truck in said.out


@pytest.mark.parametrize("name", calculators.NAMES)
def test_help_shows_every_input_with_question_unit_bounds_default_and_source(say: Any, name: str) -> None:
    said = say(name, "--help")
    assert (said.status, said.err) == (0, "")
    assert calculators.question(name) in said.out
    lines = said.out.splitlines()
    for field in calculators.form(name):
        at = next(i for i, line in enumerate(lines) if line.split(" ")[0] == field.name)
        assert field.question in lines[at]
        shown = lines[at + 1]
        assert field.unit in shown
        assert field.high is None or f"to {field.high}" in shown
        assert field.low is None or f"from {field.low}" in shown
        assert not field.value or field.value in shown
        assert field.derived or not field.value or field.source.kind in shown


@pytest.mark.parametrize("name", calculators.NAMES)
@pytest.mark.parametrize("truck", TRUCKS)
def test_json_is_the_answer_and_nothing_else(say: Any, name: str, truck: str) -> None:
    said = say(name, "--json", "--truck", truck)
    assert (said.status, said.err) == (0, "")
    today = [f"{key}={value}" for key, value in (("today", "2026-11-25"),) if key in said.json["inputs"]]
    assert say(name, "--json", "--truck", truck, *today).json["results"] == (
        calculators.answer(name, dict(word.split("=") for word in today), calculators.example_truck(truck))["results"])


@pytest.mark.parametrize("name", calculators.NAMES)
def test_metric_changes_the_readable_output_only(say: Any, name: str) -> None:
    assert say(name, "--json", "--units", "metric").json == say(name, "--json").json
    assert say(name, "--units=metric", "--json").json == say(name, "--json").json
    assert say(name, "--working", "--json").out == say(name, "--json").out
    metric, us = say(name, "--units", "metric", "--working"), say(name, "--working")
    assert metric.status == us.status == 0
    if any(value.get("unit") in ("mi", "gal", "mi/gal") for value in ask(name)["results"].values() if isinstance(value, dict)):
        assert metric.out != us.out


def test_in_metric_the_working_counts_as_the_rules_do_and_gives_both(say: Any) -> None:
    said = say("fluid_cost", "--units", "metric", "--working").out
    assert "How it is worked out, in US units as the rules count" in said
    assert re.search(r"= [\d,]+ mi \([\d,]+ km\)", said)
    assert "A km in the diesel" in said and "A mile in the diesel" not in said
    moves = said[said.index("What moves it most"):]
    assert "km/h" in moves and not re.search(r"\d (mph|mi|gal|°F)\b", moves)
    assert "How it is worked out\n" in say("fluid_cost", "--working").out


@pytest.mark.parametrize(("words", "fault"), [
    (("regeneration", "idle_hours_per_week=166"), "idle_hours_per_week: '166' won’t do; shorten the trips or the idling"),
    (("exhaust_fluid_quality", "refractive_index=1.38", "density=1.09"), "density: '1.09' won’t do; give one of the three: the density"),
])
def test_a_check_names_what_was_told_and_as_it_was_told(say: Any, words: tuple[str, ...], fault: str) -> None:
    assert [line.startswith(fault) for line in say(*words).faults] == [True]


@pytest.mark.parametrize(("words", "fault"), [
    (("service_due", "odometer=41.200"), "odometer: '41.200' won’t do; write 41200 mi or 41.2 mi, whichever you mean."),
    (("idle_bill", "fuel_price=3,5"), "fuel_price: '3,5' won’t do; write it as 3.5."),
    (("regeneration", "short_trips_per_week=3 a day"),
     "short_trips_per_week: '3 a day' won’t do; write it for a week: 3 a day comes to 21 a week, if no day is left out."),
    (("exhaust_fluid_use", "fuel_tank_capacity=1000 L"), "fuel_tank_capacity: '1000 L' won’t do; write a value from 19 L up to 567 L."),
])
def test_what_could_mean_two_things_or_is_outside_is_told_with_what_would_do(say: Any, words: tuple[str, ...], fault: str) -> None:
    said = say(*words)
    assert (said.status, said.out, said.faults) == (2, "", [fault])


def test_what_people_type_is_read(say: Any) -> None:
    said = say("service_due", "--json", "today=2026-11-25", "odometer=87,412 mi", "engine_hours=2 310").json["inputs"]
    assert (said["odometer"]["value"], said["engine_hours"]["value"]) == (87_412, 2310)


def test_the_command_line_leaves_nothing_out_of_a_truck(say: Any, tmp_path: Path) -> None:
    path = tmp_path / "t.json"
    path.write_text(json.dumps(calculators.example_truck("juniper") | {"facts": {"color": "red"}}), "utf-8")
    said = say("service_due", "--truck", str(path))
    assert said.faults == ["color: 'red' won’t do; a truck has no such fact; take it out of the file."]


@pytest.mark.parametrize("name", calculators.NAMES)
def test_the_working_opens_with_the_sentence_and_shows_every_result(say: Any, name: str) -> None:
    said = say(name, "--working")
    answer = calculators.with_words(calculators.answer(name))
    assert " ".join(said.out.split()).startswith(answer["answer"])
    for result in answer["results"].values():
        if isinstance(result, dict):
            line = next(line for line in said.out.splitlines() if line.strip().startswith(result["label"]))
            assert result["number"] in line
    for source in answer["sources"]:
        assert source["title"] in said.out
    assert max(map(len, said.out.splitlines())) < 220


@pytest.mark.parametrize("name", calculators.NAMES)
@pytest.mark.parametrize("truck", [(), *(("--truck", truck) for truck in TRUCKS)], ids=lambda words: "".join(words[1:]))
@pytest.mark.parametrize("units", ["us", "metric"])
def test_an_answer_is_short(say: Any, name: str, truck: tuple[str, ...], units: str) -> None:
    """The sentence, every caution, what a card shows large, the lists' next rows, and what it rests on."""
    said = say(name, *truck, "--units", units).out
    lines = said.splitlines()
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 100
    told = calculators.example_truck(truck[1]) if truck else None
    answer = calculators.with_words(calculators.answer(name, truck=told, units=units), units)
    flat = " ".join(said.split())
    assert flat.startswith(answer["answer"])
    for caution in answer["cautions"]:
        assert f"{caution['signal']}: {caution['hazard']} {caution['text']}" in flat
    for result in answer["headline"]:
        if isinstance(value := answer["results"][result], dict):
            line = next(line for line in lines if line.strip().startswith(value["label"]))
            assert value["number"] in line
    for result, value in answer["results"].items():
        assert not isinstance(value, list) or any(line.strip().startswith(show.label(result)) for line in lines)
    assert lines[-1].removesuffix(" …") in answer["rests"] and lines[-1].startswith("Rests on ")
    assert "How it is worked out" not in said and "Sources" not in said


def test_a_list_shows_what_comes_next(say: Any) -> None:
    """Without its working: three of six weeks' days, and how many more there are."""
    lines = say("diesel_or_gasoline").out.splitlines()
    at = next(i for i, line in enumerate(lines) if line.startswith("  Cash flow"))
    assert lines[at] == "  Cash flow (4 more with --working)"
    assert [line.split()[0] for line in lines[at + 1:at + 5]] == ["Year", "0", "1", "2"]


def own(tmp_path: Path, **facts: object) -> str:
    path = tmp_path / "mine.json"
    path.write_text(json.dumps({"format": "diesel-handover-truck", "version": 1, "name": "Mine", "facts": facts}), "utf-8")
    return str(path)


def test_it_says_whose_each_number_is(say: Any, tmp_path: Path) -> None:
    truck = own(tmp_path, fuel_price=4, idle_fuel_rate=0.5, working_weeks_per_year=50, working_days_per_week=6, idle_hours_per_week=6,
                severe_use="no", warmth_share_of_idle=50, outside_temperature=30)
    lines = say("idle_bill", "--truck", truck).out.splitlines()
    assert lines[-1] == "Rests on 8 numbers of yours and 1 of the example’s: heater price."
    found = {line.strip().split("  ")[0]: line for line in lines}
    assert found["A heater pays back in"].endswith("[partly yours]")
    assert not found["Cost per year"].endswith("]")
    assert say("idle_bill", "--truck", own(tmp_path)).out.count("[example]") == 6
    assert "[example]" not in say("idle_bill").out and "[example]" not in say("idle_bill", "--truck", "tamarack").out
    assert say("idle_bill", "fuel_price=4").out.splitlines()[-1].startswith("Rests on 1 number of yours and 8 of the example’s: ")


def test_it_says_what_would_turn_its_verdict(say: Any, tmp_path: Path) -> None:
    told = {name: FIGURES[name].value for name in ("heater_power", "heater_hours_per_day", "cold_days_per_year", "electricity_price",
                                                   "idle_fuel_rate", "fuel_price")}
    said = " ".join(say("block_heater", "--truck", own(tmp_path, **told)).out.split())
    assert "This leans on an example: warm up idle time, 15 minutes. At 7.5 minutes it says: Watch it." in said
    assert "leans" not in say("block_heater").out


def test_a_list_without_a_value_is_said_in_a_word_with_its_reason(say: Any, tmp_path: Path) -> None:
    for words in ((), ("--working",)):
        said = say("service_due", "--truck", own(tmp_path), *words).out
        assert "Drains ahead" in said and "none (no record yet)" in said and "—, —" not in said


def test_results_stand_under_each_other(say: Any) -> None:
    """Every number ends in the same column."""
    labels = [value["label"] for value in calculators.with_words(calculators.answer("idle_bill"))["results"].values()]
    lines = say("idle_bill", "--working").out.splitlines()
    ends = {found.end(1) for label in labels for line in lines if (found := re.match(rf"  {re.escape(label)} {{2,}}(\S+)", line))}
    assert len(labels) > 5
    assert len(ends) == 1


@pytest.mark.parametrize(("words", "fields"), [
    (("trucks=2.5",), ["trucks"]), (("trucks=-1",), ["trucks"]), (("fuel_price=3,90", "trucks=x", "heater_price=1e308"),
                                                                 ["fuel_price", "trucks", "heater_price"]),
    (("nonsense=1",), ["nonsense"]), (("trucks",), ["trucks"]), (("--frob",), ["--frob"]), (("=3",), ["=3"]), (("",), [""]),
    (("trucks=",), ["trucks"]), (("trucks=1", "trucks=2"), ["trucks"]), (("--units", "imperial"), ["--units"]), (("--units",), ["--units"]),
    (("--truck", "nowhere.json"), ["--truck"]), (("--truck",), ["--truck"]), (("--truck", "/"), ["--truck"]),
    (("--units=x", "--truck=y", "z=1", "trucks=0", "-v"), ["--units", "--truck", "z", "trucks", "-v"]),
    (("idle_hours_per_day=1 parsec",), ["idle_hours_per_day"]), (("idle_hours_per_day=nan", "days_per_year=\u0663"),
                                                                 ["idle_hours_per_day", "days_per_year"]),
])
def test_every_fault_is_one_line_and_all_come_at_once(say: Any, words: tuple[str, ...], fields: list[str]) -> None:
    said = say("idle_bill", *words)
    assert (said.status, said.out) == (2, "")
    assert sorted(line.split(":")[0] for line in said.faults) == sorted(fields)
    for line in said.faults:
        assert "won’t do; " in line and line.endswith(".")
        assert "Traceback" not in line


@pytest.mark.parametrize("flag", ["--json", "--units=metric"])
def test_faults_are_the_same_for_scripts(say: Any, flag: str) -> None:
    said = say("idle_bill", "fuel_price=0", flag)
    assert (said.status, said.out, len(said.faults)) == (2, "", 1)
    assert "'0'" in said.faults[0]
    assert "from $0.5/gal up to $15/gal" in said.faults[0]


@pytest.mark.parametrize("name", ["idle", "", "IDLE_BILL", "week", "one_job", "engine", "../x", "idle_bill.py", "--json", "answer"])
def test_an_unknown_calculator_is_told_which_there_are(say: Any, name: str) -> None:
    said = say(name)
    assert (said.status, said.out, len(said.faults)) == (2, "", 1)
    for known in calculators.NAMES:
        assert known in said.err


def test_a_value_may_hold_an_equals_sign_and_stays_one_fault(say: Any) -> None:
    said = say("idle_bill", "fuel_price=3=4")
    assert [line.split(":")[0] for line in said.faults] == ["fuel_price"]


def test_a_fault_is_one_line_even_where_the_value_is_not(say: Any) -> None:
    said = say("idle_bill", "fuel_price=3\n4\r5", "x\ny=1")
    assert said.status == 2
    assert len(said.faults) == 2
    assert max(map(len, said.faults)) < 400


def test_given_over_truck_over_example(say: Any, tmp_path: Path) -> None:
    path = tmp_path / "mein Wägen.json"
    path.write_text(json.dumps(calculators.example_truck("tamarack") | {"name": "x", "facts": {"fuel_price": 5, "trucks": 4}}), "utf-8")
    inputs = say("idle_bill", "--json", "--truck", str(path), "trucks=7").json["inputs"]
    assert (inputs["trucks"]["value"], inputs["fuel_price"]["value"], inputs["heater_price"]["from"]) == (7, 5, "example")


@pytest.mark.parametrize("text", ["", "{", "[1]", '{"format": "x"}', "\ufffd", "null"])
def test_a_file_that_is_no_truck_is_one_fault(say: Any, tmp_path: Path, text: str) -> None:
    path = tmp_path / "t.json"
    path.write_text(text, "utf-8")
    said = say("idle_bill", "--truck", str(path))
    assert (said.status, said.out, len(said.faults)) == (2, "", 1)


def test_a_file_of_bytes_is_one_fault(say: Any, tmp_path: Path) -> None:
    path = tmp_path / "t.json"
    path.write_bytes(b"\xff\xfe\x00\x01")
    said = say("idle_bill", "--truck", str(path))
    assert (said.status, said.out, len(said.faults)) == (2, "", 1)


def test_what_is_wrong_in_a_truck_is_told_by_its_fields(say: Any, tmp_path: Path) -> None:
    path = tmp_path / "t.json"
    told = {"version": 3, "facts": {"fuel_price": "x", "color": "red"}}
    path.write_text(json.dumps(calculators.example_truck("juniper") | told), "utf-8")
    said = say("service_due", "--truck", str(path))
    assert (said.status, said.out) == (2, "")
    assert sorted(line.split(":")[0] for line in said.faults) == ["color", "fuel_price", "version"]


def test_a_table_of_entries_beside_the_trucks(say: Any, tmp_path: Path) -> None:
    """Its good rows count; the others and their fault are told, and the status says so."""
    truck, table = tmp_path / "t.json", tmp_path / "entries.csv"
    truck.write_text(json.dumps({"format": "diesel-handover-truck", "version": 2, "id": "1", "name": "Oak", "book": []}), "utf-8-sig")
    table.write_bytes("date;kind;odometer (mi);truck\n20.11.2026;reading;42010;Oak\n21.11.2026;reading;43000;Elm\n".encode("utf-16"))
    asked = ("service_due", "--json", "--truck", str(truck), "today=2026-11-25", "--book", str(table))
    said = say(*asked)
    assert (said.status, said.json["inputs"]["odometer"]["value"], said.json["inputs"]["odometer"]["from"]) == (0, 42010, "book")
    assert "1 rows are other trucks’" in said.err
    table.write_text("date,kind,odometer (mi)\n2026-11-20,reading,42010\n2026-11-21,reading,x\n", "utf-8")
    said = say(*asked)
    assert (said.status, said.json["inputs"]["odometer"]["value"]) == (3, 42010)
    assert "row 3, odometer (mi): 'x': write a number" in said.err
    assert say(*asked[:-1], str(tmp_path / "none.csv")).status == 2


def test_as_its_own_process_it_says_the_same(say: Any) -> None:
    done = program("fluid_cost", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    assert json.loads(done.stdout) == say("fluid_cost", "--json").json
    done = program("fluid_cost", "fuel_price=x")
    assert (done.returncode, done.stdout, len(done.stderr.splitlines())) == (2, "", 1)


def test_a_reader_that_stops_early_is_no_fault() -> None:
    """As `| head -1` does: no traceback, no complaint from Python at its end."""
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "w") as closed:
        done = subprocess.run([sys.executable, "-m", "calculators", "service_due"], cwd=ROOT, text=True,
                              stdout=closed, stderr=subprocess.PIPE)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif("not os.path.exists('/dev/full')", reason="no such device here")
@pytest.mark.parametrize("words", [("idle_bill",), ("idle_bill", "--json"), ()])
def test_a_full_disk_is_told_in_a_line(words: tuple[str, ...]) -> None:
    with open("/dev/full", "w") as full:
        done = subprocess.run([sys.executable, "-m", "calculators", *words], cwd=ROOT, text=True, stdout=full, stderr=subprocess.PIPE)
    assert (done.returncode, done.stderr) == (1, "The answer could not be written: No space left on device.\n")
    with open("/dev/full", "w") as full:
        done = subprocess.run([sys.executable, "-m", "calculators", "idle_bill", "x"], cwd=ROOT, text=True, stdout=full, stderr=full)
    assert done.returncode in (1, 2)


@pytest.mark.parametrize("words", ["idle_bill", "idle_bill --json"])
def test_a_closed_stdout_is_told_in_a_line(words: str) -> None:
    done = subprocess.run(["sh", "-c", f"'{sys.executable}' -m calculators {words} >&-"], cwd=ROOT, text=True, stderr=subprocess.PIPE)
    assert (done.returncode, done.stderr) == (1, "The answer could not be written: there is nowhere to write it to.\n")


def test_it_prints_the_same_whatever_the_machines_language() -> None:
    outs = {program("regeneration", env={**os.environ, "LC_ALL": language, "PYTHONUTF8": "1"}).stdout for language in ("C", "de_DE.UTF-8")}
    assert len(outs) == 1


def test_it_prints_on_a_terminal_without_unicode() -> None:
    done = program("regeneration", env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"})
    assert done.returncode == 0, done.stderr[-300:]
    assert "Traceback" not in done.stderr


def test_only_the_named_calculator_is_imported() -> None:
    code = ("import sys; from calculators.__main__ import main; main(['idle_bill', '--json']); "
            "print(sorted(m for m in sys.modules if m.startswith('calculators.') and 'engine' not in m), file=sys.stderr)")
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert done.stderr.strip() == (
        "['calculators.__main__', 'calculators.idle_bill', 'calculators.oil', 'calculators.one_job', 'calculators.week']")
