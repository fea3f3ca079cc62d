"""Paper says what the command line says, to the last digit shown."""

import json
import re
import subprocess
import sys

import pytest

import calculators
import print as paper
from print import pdf
from tests.print.paper import FLEET, OWN, STATIC, TODAY, TRUCKS, UNNUMBERED, numbers, page, printed, said

NUMBERED = [sheet for sheet in OWN if sheet not in UNNUMBERED]


def shown_on(source):
    """What a sheet shows, by key."""
    return {each.key: each.words for each in numbers(source)}


@pytest.fixture(scope="module", params=TRUCKS)
def told(request, tmp_path_factory):
    """What `python -m calculators … --json` answers for one example truck."""
    file = tmp_path_factory.mktemp("truck") / "my-truck.json"
    file.write_text(json.dumps(calculators.example_truck(request.param)), "utf-8")

    def answer(calculator):
        day = [f"today={TODAY}"] if calculators.goes_by_day(calculator) else []
        run = [sys.executable, "-m", "calculators", calculator, "--json", "--truck", str(file), *day]
        return json.loads(subprocess.run(run, capture_output=True, text=True, check=True).stdout)

    return request.param, {name: calculators.with_words(answer(name)) for name in calculators.NAMES}


def expected(key, answers):
    """The value of the JSON for a key, with its phrase; none for a fact that no calculator asks."""
    calculator, _, path = key.partition(".")
    if not path:
        return next((answer["inputs"][key] for answer in answers.values() if key in answer["inputs"]), None)
    if path == "answer":
        return {"value": answers[calculator]["answer"], "phrase": answers[calculator]["answer"]}
    value = answers[calculator]["results"]
    for step in path.split("."):
        if isinstance(value, list):
            value = value[int(step)] if step.isdigit() else next(row for row in value if row["job"]["value"] == step)
        else:
            value = value[step]
    return value


@pytest.mark.parametrize("sheet", NUMBERED)
def test_every_number_is_the_command_lines(sheet, told):
    truck, answers = told
    found = numbers(page(sheet, truck))
    assert len(found) > 5
    text = said(printed(sheet, truck))
    for each in found:
        value = expected(each.key, answers) or calculators.facts(calculators.example_truck(truck), TODAY)[each.key]
        assert each.words == each.meant(value["phrase"], value["value"]), each.key
        assert "".join(each.words.split()) in text, f"{each.key} is not on paper"


@pytest.mark.parametrize("sheet", UNNUMBERED)
def test_a_sheet_with_a_truck_s_name_alone_holds_no_number(sheet):
    """Not one in the two trucks' sheets, and they are the same but for who the truck is."""
    first, second = (page(sheet, truck) for truck in TRUCKS)
    assert not numbers(first) and not numbers(second)
    other = calculators.example_truck(TRUCKS[0]) | {"name": "Tamarack"}
    assert paper.render(sheet, other, today=TODAY) == paper.render(sheet, other, today="2027-01-01") != first


@pytest.mark.parametrize("sheet", FLEET)
def test_a_fleets_sheet_is_of_the_day_it_is_asked_for(sheet):
    assert {each.words for each in numbers(page(sheet, TRUCKS[0]))} == {"Nov 25, 2026"}


@pytest.mark.parametrize("sheet", STATIC)
def test_a_sheet_for_any_truck_holds_no_truck(sheet):
    assert not numbers(page(sheet, "juniper"))
    assert len({page(sheet, truck) for truck in TRUCKS}) == 1


@pytest.mark.parametrize("sheet", NUMBERED)
def test_trucks_differ_on_paper(sheet):
    """Two trucks with different weeks and records get different sheets, not one with another name."""
    other = calculators.example_truck(TRUCKS[1])
    other["facts"] |= {"expected_low": "-25 degF", "heater_hours_per_day": "2 h", "hitch_rating": "12000 lb",
                       "tow_rating": "12000 lb", "tongue_rating": "1200 lb"}
    first, second = (shown_on(each) for each in (page(sheet, TRUCKS[0]), paper.render(sheet, other, today=TODAY)))
    assert sum(first[key] != second[key] for key in first.keys() & second.keys()) >= 3  # one of them has no plow, so not its job


OVER = {"trailer_weight": "13000 lb", "tongue_weight": "2000 lb", "trailer_rating": "10000 lb", "cargo_weight": "2350 lb"}


@pytest.mark.parametrize(("sheet", "calculator", "also"), [("trailer-hook-up", "trailer_check", {"tongue_weight", "trailer_rating"}),
                                                           ("plow-on-off", "axle_load", {"rear_axle_rating"})])
def test_what_is_over_stands_on_the_sheet(sheet, calculator, also):
    """Each margin that the verdict rests on, and the verdict itself."""
    truck = calculators.example_truck("juniper")
    truck["facts"] |= OVER
    results = calculators.answer(calculator, truck=truck, today=TODAY)["results"]
    margins = {name for name, value in results.items() if name.endswith("_margin") and name not in ("least_margin", "tightest_margin")}
    assert results["verdict"]["value"] == "against" and min(results[name]["value"] for name in margins) < 0
    shown = shown_on(paper.render(sheet, truck, today=TODAY))
    assert shown.keys() >= {f"{calculator}.{name}" for name in margins | {"answer"}} | also
    for name in margins:
        assert shown[f"{calculator}.{name}"].startswith("−") == (results[name]["value"] < 0), name


@pytest.mark.parametrize("sheet", ["glovebox-card", "handover-checklist", "service-log", "sellers-disclosure", "fleet-overview"])
def test_whose_the_intervals_are_is_said_where_due_dates_stand(sheet):
    assert "Intervalsnotenteredaretheusualones" in said(printed(sheet))


def test_what_an_own_truck_does_not_tell_is_a_blank():
    """An example's tank is nobody's; the example truck itself keeps its numbers."""
    own = {"format": "diesel-handover-truck", "version": 1, "name": "Own", "facts": {"fuel_tank_capacity": "41 gal"}}
    shown = shown_on(paper.render("glovebox-card", own, today=TODAY))
    assert (shown["fuel_tank_capacity"], shown["def_tank_capacity"], shown["oil_capacity"]) == ("41 gallons", "", "")
    assert shown["today"] and shown["service_due.jobs.engine_oil.due_date"]
    assert shown["regeneration.advised_drive_time"] == "40 minutes"  # never less, for whatever truck: the trade’s
    assert shown_on(page("glovebox-card", "juniper"))["oil_capacity"] == "13 quarts"


LATE = {"format": "diesel-handover-truck", "version": 2, "name": "Own", "facts": {}, "interval": {}, "book": [
    {"id": "a", "kind": "reading", "date": "2026-11-01", "odometer": "41200 mi", "engine_hours": "1310 h"},
    {"id": "b", "kind": "job", "job": "engine_oil", "date": "2025-01-10"},
    {"id": "c", "kind": "job", "job": "fuel_filters", "date": "2026-11-10", "odometer": "41300 mi"}]}


@pytest.mark.parametrize("sheet", ["glovebox-card", "handover-checklist", "owners-summary", "sellers-disclosure"])
def test_a_number_of_a_job_that_is_late_says_since_when(sheet):
    """A past day beside "due" would pass for a plan."""
    text = said(pdf.write([pdf.lay_out(paper.render(sheet, LATE, today=TODAY), "letter")]))
    found = re.findall(r"(since)?([A-Z][a-z]{2}\d{1,2},\d{4})(since)?", text)  # on the card, upside down, the word comes behind
    assert {day for before, day, behind in found if before or behind} == {"Jul10,2025"}


def test_what_is_late_by_one_clock_is_not_said_to_be_due_by_another():
    """Overdue by the calendar on the card: no "or at 48,700 miles" behind it, as of a job that is ahead."""
    for day, is_late in (("2025-06-10", True), ("2026-11-10", False)):
        job = {"id": "d", "kind": "job", "job": "engine_oil", "odometer": "41000 mi", "date": day}
        truck = LATE | {"book": [LATE["book"][0], job]}
        row = calculators.with_words(calculators.answer("service_due", truck=truck, today=TODAY))["results"]["jobs"][0]
        assert (row["job"]["value"], row["status"]["value"] == "overdue") == ("engine_oil", is_late)
        text = said(pdf.write([pdf.lay_out(paper.render("glovebox-card", truck, today=TODAY), "letter")]))
        assert ("".join(row["odometer_when_due"]["phrase"].split()) in text) is not is_late


@pytest.mark.parametrize("sheet", ["service-log", "shop-order"])
def test_jobs_say_whether_they_are_late_ahead_or_have_no_record(sheet):
    """In the page and on paper: since when, or when next, or what to do first; and nothing of the other two."""
    rows = calculators.with_words(calculators.answer("service_due", truck=LATE, today=TODAY))["results"]["jobs"]
    stands = {row["job"]["value"]: row for row in rows}
    assert (stands["engine_oil"]["status"]["value"], stands["coolant"]["status"]["value"]) == ("overdue", "unknown")
    assert stands["fuel_filters"]["status"]["value"] in ("ahead", "due")
    source = paper.render(sheet, LATE, today=TODAY)
    shown = {key.removeprefix("service_due.jobs."): words for key, words in shown_on(source).items() if key.startswith("service_due.jobs.")}
    asked = {job: {key.split(".")[1] for key in shown if key.split(".")[0] == job} for job in ("engine_oil", "fuel_filters", "coolant")}
    assert asked == {"engine_oil": {"due_date"}, "coolant": {"first_step"},
                     "fuel_filters": {"due_date", "odometer_when_due", "due_engine_hours"}}
    text = said(pdf.write([pdf.lay_out(source, "letter")]))
    late = "".join(stands["engine_oil"]["due_date"]["phrase"].split())
    assert f"Engineoilanditsfilteroverduesince{late}" in text and text.count("overduesince") == 1
    assert f"Coolantnorecord:{''.join(stands['coolant']['first_step']['phrase'].split())}" in text
    assert text.count("norecord:") == sum(key.endswith(".first_step") for key in shown)


def test_the_drain_record_is_dated_a_year_ahead():
    """Monthly by common practice, so that twelve rows are a year: the last is eleven months after the first."""
    days = [each.words for each in numbers(page("monthly-walk-round", "juniper")) if "drains_ahead" in each.key]
    assert len(days) == 12 == len(set(days))
    assert days[0] == shown_on(page("glovebox-card", "juniper"))["service_due.jobs.separator_drain.due_date"]
