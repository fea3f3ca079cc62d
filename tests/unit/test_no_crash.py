"""What once broke with a traceback, each with the request that did it."""

import json
from pathlib import Path
from typing import Any

import pytest

import calculators
from calculators.__main__ import main
from tests.unit.ask import faults
from tests.unit.test_service_due import DONE, book

OLD = {"date": "2026-08-03", "kind": "drain", "odometer": 40_000}


def call(**request: Any) -> dict[str, Any]:
    reply: dict[str, Any] = json.loads(calculators.call(json.dumps(request)))
    return reply


def test_a_thirst_too_small_for_a_machine() -> None:
    assert faults("fluid_cost", fuel_economy="1e-320 L/100km") == {"fuel_economy": "write a larger number"}


@pytest.mark.parametrize("name", calculators.NAMES)
def test_null_for_a_required_input_is_a_fault_of_that_field(name: str) -> None:
    for field in calculators.form(name):
        reply = call(do="answer", calculator=name, given={field.name: None}, today="2026-11-25")
        assert reply["ok"] or {fault["field"] for fault in reply["faults"]} == {field.name}, field.name


@pytest.mark.parametrize("today", ["9999-12-31", "0001-01-01", "2026-11-25"])
def test_the_ends_of_the_calendar(today: str) -> None:
    truck = book(DONE, OLD)
    assert call(do="all", truck=truck, today=today)["ok"]
    assert isinstance(calculators.calendar(truck, today), str)


def test_a_due_job_without_a_date_is_not_in_the_calendar() -> None:
    """Ash is checked by miles and hours alone; the truck stands."""
    still = {"long_trips_per_week": 0, "distance_per_week": 0}
    truck = book({"date": "2026-11-01", "kind": "job", "job": "particulate_filter", "odometer": 40_000}, **still)
    assert calculators.calendar(truck, "2026-11-25") == ""
    assert call(do="all", truck=truck, today="2026-11-25")["answers"]["service_due"]


def test_overdue_is_said_in_the_calendar_on_the_day_it_is_made() -> None:
    made = calculators.calendar(book(OLD), "2026-11-25").replace("\r\n ", "")
    assert "SUMMARY:OVERDUE since Sep 3: Oak: Drain the water separator" in made
    assert "DTSTART;VALUE=DATE:20261125" in made and "It was due Sep 3\\, 2026." in made


def test_a_name_of_half_letters() -> None:
    truck = book(OLD)
    truck["name"] = "\ud800a\x00"
    assert "OVERDUE" in calculators.calendar(truck, "2026-11-25")
    assert calculators.read_truck(json.dumps(truck))[0]["name"] == "a"  # type: ignore[index]


def test_nine_thousand_faults_are_ten_and_a_count(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = json.dumps({**book(), "facts": {f"wing{number}": 1 for number in range(9000)}})
    (tmp_path / "t.json").write_text(text, "utf-8")
    assert main(["idle_bill", "--truck", str(tmp_path / "t.json")]) == 2
    told = capsys.readouterr().err.splitlines()
    assert len(told) == 11 and "8,990 more" in told[-1]
    assert len(call(do="read_truck", text=text)["faults"]) == 11
