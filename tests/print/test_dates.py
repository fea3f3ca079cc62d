"""Service dates as iCalendar, read back by the standard library for it."""

import json
from datetime import date, timedelta

import icalendar
import pytest

import calculators
from print.__main__ import main

TODAY = "2026-11-25"


def events(truck, today=TODAY):
    return {str(each["uid"]): each for each in icalendar.Calendar.from_ical(calculators.calendar(truck, today)).walk("VEVENT")}


@pytest.mark.parametrize("name", ["Juniper", "Möwe; 7, \\ back", "雪" * 80, "W" * 80, "أبو", "a\r\nEND:VCALENDAR\tb"])
def test_the_library_writes_it_no_other_way(name):
    """Read and written again by the library for it, every byte is the same: folding, escapes and all."""
    made = calculators.calendar(calculators.example_truck("juniper") | {"name": name}, TODAY)
    assert icalendar.Calendar.from_ical(made).to_ical().decode() == made
    assert max(len(line.encode()) for line in made.split("\r\n")) <= 75


def test_without_a_record_there_is_no_date(tmp_path, capsys):
    truck = calculators.example_truck("juniper") | {"book": []}
    assert calculators.calendar(truck, TODAY) == ""
    file = tmp_path / "truck.json"
    file.write_text(json.dumps(truck))
    assert main(["--calendar", "--truck", str(file), "--out", str(tmp_path / "out")]) == 2
    assert "no record of any job" in capsys.readouterr().err


def test_each_event_reminds_the_day_before():
    for each in events(calculators.example_truck("juniper")).values():
        (alarm,) = each.walk("VALARM")
        assert alarm.decoded("trigger") == timedelta(days=-1) and str(alarm["action"]) == "DISPLAY"


def test_the_page_gets_the_same():
    truck = calculators.example_truck("tamarack")
    reply = json.loads(calculators.call(json.dumps({"do": "all", "truck": truck, "today": TODAY})))
    assert reply["calendar"] == calculators.calendar(truck, TODAY)
    assert json.loads(calculators.call(json.dumps({"do": "all", "truck": None, "today": TODAY})))["calendar"] == ""


@pytest.mark.parametrize("name", calculators.example_trucks())
def test_each_job_with_a_record_on_its_day(name):
    truck = calculators.example_truck(name)
    jobs = calculators.answer("service_due", truck=truck, today=TODAY)["results"]["jobs"]
    due = sorted(max(row["due_date"]["value"], TODAY) for row in jobs if row["due_date"]["value"])
    made = events(truck).values()
    assert sorted(each.decoded("dtstart").isoformat() for each in made) == due and due
    assert all(type(each.decoded("dtstart")) is date for each in made)
    assert all(each.decoded("dtend") - each.decoded("dtstart") == timedelta(days=1) for each in made)
    assert all(truck["name"] in str(each["summary"]) for each in made)


def test_what_is_overdue_stands_on_the_day_it_is_read():
    """Nobody looks at a day that has passed, and no alarm goes off there."""
    done = {"engine_oil": {"date": "2024-01-31", "odometer": "12000"}}
    truck = calculators.example_truck("juniper") | {"book": [], "done": done}
    oil = next(each for uid, each in events(truck).items() if "engine-oil" in uid)
    assert oil.decoded("dtstart").isoformat() == TODAY


def test_a_second_import_updates():
    """After a drain the same event stands on another day."""
    truck = calculators.example_truck("juniper")
    before = events(truck)
    truck["book"].append({"id": "new", "date": "2026-11-24", "kind": "drain"})
    after = events(truck, "2026-11-26")
    assert before.keys() == after.keys()
    moved = [uid for uid in before if before[uid].decoded("dtstart") != after[uid].decoded("dtstart")]
    assert any("separator-drain" in uid for uid in moved)


def test_an_event_says_where_the_job_depends_on_what_nobody_told():
    """As the page says beside the same job; told, it says no more than the job."""
    truck = calculators.example_truck("juniper")
    truck["book"].append({"id": "case", "date": "2026-11-01", "kind": "job", "job": "transfer_case"})
    for facts, said in (({}, "Transfer case oil, if four-wheel drive"), ({"four_wheel_drive": "yes"}, "Transfer case oil")):
        made = events(truck | {"facts": truck["facts"] | facts})
        assert [str(each["summary"]) for uid, each in made.items() if "transfer-case" in uid] == [f"{truck['name']}: {said}"]


def test_two_trucks_never_share_an_event():
    truck = calculators.example_truck("juniper")
    assert not events(truck).keys() & events(truck | {"name": "Other"}).keys()


def test_names_are_text():
    truck = calculators.example_truck("juniper") | {"name": "A;B, \\n END:VEVENT"}
    assert {str(each["summary"]).split(": ")[0] for each in events(truck).values()} <= {truck["name"], "A;B, \\n END"}
    assert len(events(truck)) == len(events(calculators.example_truck("juniper")))


def test_on_the_command_line(tmp_path, capsys):
    assert main(["--calendar", "--out", str(tmp_path)]) == 0
    (made,) = tmp_path.iterdir()
    assert made.name == "juniper.ics" and capsys.readouterr().out.strip() == str(made)
    assert icalendar.Calendar.from_ical(made.read_bytes()).walk("VEVENT")


def fleet(tmp_path, *names, heading="name,done.engine_oil.date", cell=",2026-09-01"):
    """The exit status and the events of a fleet whose trucks all had their oil changed on a day."""
    tmp_path.mkdir(exist_ok=True)
    (tmp_path / "fleet.csv").write_text("\n".join([heading, *(f"{name}{cell}" for name in names)]))
    status = main(["--fleet", str(tmp_path / "fleet.csv"), "--calendar", "--out", str(tmp_path / "out")])
    made = tmp_path / "out/_service-dates.ics"
    return status, icalendar.Calendar.from_ical(made.read_bytes()).walk("VEVENT") if made.exists() else []


def test_a_fleet_has_one_calendar_with_each_truck_s_own_events(tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795651200")  # 2026-11-26
    status, made = fleet(tmp_path, "Oak", "Elm")
    alone = {}
    for name in ("Oak", "Elm"):
        truck = {"format": "diesel-handover-truck", "version": 1, "name": name, "facts": {}, "done": {"engine_oil": {"date": "2026-09-01"}}}
        alone |= {each["summary"]: each for each in events(truck | {"interval": {}}, "2026-11-26").values()}
    assert status == 0 and len(alone) == len(made) == len({str(each["uid"]) for each in made}) == 2
    for each in made:
        own = alone[each["summary"]]
        assert {name: value for name, value in each.property_items() if name != "UID"} == {
            name: value for name, value in own.property_items() if name != "UID"}


def test_trucks_of_one_name_are_told_apart_by_their_unit(tmp_path):
    """Imported, none overwrites another's, and the same file in another order has the same events."""
    heading, cell = "name,unit,done.engine_oil.date", ""
    rows = ["Oak,1,2026-09-01", "Oak,2,2026-09-01", "Oak 2,,2026-09-01"]
    _, made = fleet(tmp_path, *rows, heading=heading, cell=cell)
    assert [str(each["summary"]).split(":")[0] for each in made] == ["1 Oak", "2 Oak", "Oak 2"]
    _, again = fleet(tmp_path / "again", *rows[::-1], heading=heading, cell=cell)
    assert {str(each["uid"]): each["summary"] for each in made} == {str(each["uid"]): each["summary"] for each in again}
    assert len({str(each["uid"]) for each in made}) == 3


def test_a_fleet_s_bad_rows_and_trucks_without_a_record_are_told(tmp_path, capsys):
    """A last engine oil that is later than the day asked for counts for nothing until then."""
    status, made = fleet(tmp_path, "Oak,2026-09-01", "Elm,2026-99-01", "Ash,", "Yew,2999-01-01", cell="")
    heard = capsys.readouterr().err
    assert status == 2 and [str(each["summary"]).split(":")[0] for each in made] == ["Oak"]
    assert "no record of any job yet, so no date in the calendar: Ash, Yew" in heard
    assert "row 3, done.engine_oil.date" in heard
    assert (tmp_path / "out/problems.csv").read_text("utf-8-sig").count("\n") == 2


def test_a_fleet_without_any_record_has_no_calendar(tmp_path, capsys):
    assert fleet(tmp_path, "Oak,", cell="") == (2, [])
    assert "no record of any job" in capsys.readouterr().err
