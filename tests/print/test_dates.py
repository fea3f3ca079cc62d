"""Service dates as iCalendar, read back by the standard library for it."""

from datetime import date, timedelta

import icalendar
import pytest

import calculators
from print import dates
from print.__main__ import main

TODAY = "2026-11-25"


def events(truck, today=TODAY):
    return {str(each["uid"]): each for each in icalendar.Calendar.from_ical(dates.calendar(truck, today)).walk("VEVENT")}


@pytest.mark.parametrize("name", calculators.example_trucks())
def test_each_job_with_a_record_on_its_day(name):
    truck = calculators.example_truck(name)
    jobs = calculators.answer("service_due", truck=truck, today=TODAY)["results"]["jobs"]
    due = sorted(row["due_date"]["value"] for row in jobs if row["recorded"]["value"])
    made = events(truck).values()
    assert sorted(each.decoded("dtstart").isoformat() for each in made) == due and due
    assert all(type(each.decoded("dtstart")) is date for each in made)
    assert all(each.decoded("dtend") - each.decoded("dtstart") == timedelta(days=1) for each in made)
    assert all(truck["name"] in str(each["summary"]) for each in made)


def test_a_second_import_updates():
    """After a drain the same event stands on another day."""
    truck = calculators.example_truck("juniper")
    before = events(truck)
    truck["done"]["separator_drain"]["date"] = "2026-11-24"
    after = events(truck, "2026-11-26")
    assert before.keys() == after.keys()
    moved = [uid for uid in before if before[uid].decoded("dtstart") != after[uid].decoded("dtstart")]
    assert any("separator-drain" in uid for uid in moved)


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
