"""Paper says what the command line says, to the last digit shown."""

import html
import json
import re
import subprocess
import sys

import pytest

import calculators
import print as paper
from tests.print.paper import OWN, STATIC, TODAY, TRUCKS, page, printed, said

KEYED = re.compile(r'<span class="number[^"]*" data-live="([^"]+)">([^<]*)</span>')


@pytest.fixture(scope="module", params=TRUCKS)
def told(request, tmp_path_factory):
    """What `python -m calculators … --json` answers for one example truck."""
    file = tmp_path_factory.mktemp("truck") / "my-truck.json"
    file.write_text(json.dumps(calculators.example_truck(request.param)), "utf-8")

    def answer(calculator):
        day = [f"today={TODAY}"] if calculator == "service_due" else []
        run = [sys.executable, "-m", "calculators", calculator, "--json", "--truck", str(file), *day]
        return json.loads(subprocess.run(run, capture_output=True, text=True, check=True).stdout)

    return request.param, {name: calculators.with_words(answer(name)) for name in calculators.NAMES}


def expected(key, answers):
    """The phrase that the JSON gives for a key."""
    calculator, _, path = key.partition(".")
    if not path:
        found = [answer["inputs"][key] for answer in answers.values() if key in answer["inputs"]]
        return found[0]["phrase"] if found else None
    if path == "answer":
        return answers[calculator]["answer"]
    value = answers[calculator]["results"]
    for step in path.split("."):
        if isinstance(value, list):
            value = value[int(step)] if step.isdigit() else next(row for row in value if row["job"]["value"] == step)
        else:
            value = value[step]
    return value["phrase"]


@pytest.mark.parametrize("sheet", OWN)
def test_every_number_is_the_command_lines(sheet, told):
    truck, answers = told
    keyed = [(key, html.unescape(shown)) for key, shown in KEYED.findall(page(sheet, truck))]
    assert len(keyed) > 6
    text = said(printed(sheet, truck))
    for key, shown in keyed:
        if (phrase := expected(key, answers)) is None:  # a fact that no calculator asks
            phrase = calculators.facts(calculators.example_truck(truck), TODAY)[key]["phrase"]
        assert shown == phrase, key
        assert "".join(shown.split()) in text, f"{key} is not on paper"


@pytest.mark.parametrize("sheet", STATIC)
def test_a_sheet_for_any_truck_holds_no_truck(sheet):
    assert not KEYED.findall(page(sheet, "juniper"))
    assert len({page(sheet, truck) for truck in TRUCKS}) == 1


@pytest.mark.parametrize("sheet", OWN)
def test_trucks_differ_on_paper(sheet):
    """Two trucks with different weeks and records get different sheets, not one with another name."""
    other = calculators.example_truck(TRUCKS[1])
    other["facts"] |= {"expected_low": "-25 degF", "heater_hours_per_day": "2 h", "hitch_rating": "12000 lb",
                       "tow_rating": "12000 lb", "tongue_rating": "1200 lb"}
    first, second = (dict(KEYED.findall(each)) for each in (page(sheet, TRUCKS[0]), paper.render(sheet, other, today=TODAY)))
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
    shown = dict(KEYED.findall(paper.render(sheet, truck, today=TODAY)))
    assert shown.keys() >= {f"{calculator}.{name}" for name in margins | {"answer"}} | also
    for name in margins:
        assert shown[f"{calculator}.{name}"].startswith("−") == (results[name]["value"] < 0), name


@pytest.mark.parametrize("sheet", ["glovebox-card", "handover-checklist", "service-log", "sellers-disclosure", "fleet-overview"])
def test_whose_the_intervals_are_is_said_where_due_dates_stand(sheet):
    assert "Intervalsnotenteredareexamples." in said(printed(sheet))


def test_what_an_own_truck_does_not_tell_is_a_blank():
    """An example's tank is nobody's; the example truck itself keeps its numbers."""
    own = {"format": "diesel-handover-truck", "version": 1, "name": "Own", "facts": {"fuel_tank_capacity": "41 gal"}}
    shown = dict(KEYED.findall(paper.render("glovebox-card", own, today=TODAY)))
    assert (shown["fuel_tank_capacity"], shown["def_tank_capacity"], shown["oil_capacity"]) == ("41 gallons", "", "")
    assert shown["today"] and shown["regeneration.advised_drive_time"]
    assert dict(KEYED.findall(page("glovebox-card", "juniper")))["oil_capacity"] == "13 quarts"


def test_the_service_log_says_which_job_is_late():
    truck = calculators.example_truck("juniper") | {"book": [], "done": {"engine_oil": {"date": "2025-01-10"}}}
    shown = dict(KEYED.findall(paper.render("service-log", truck, today=TODAY)))
    rows = calculators.answer("service_due", truck=truck, today=TODAY)["results"]["jobs"]
    late = {row["job"]["value"] for row in rows if row["overdue"]["value"]}
    assert late and {key.split(".")[2] for key, words in shown.items() if key.endswith(".overdue") and words == "yes"} == late
    assert "Late" in page("service-log", "juniper")


def test_the_drain_record_is_dated_a_year_ahead():
    """Monthly by common practice, so that twelve rows are a year: the last is eleven months after the first."""
    days = [shown for key, shown in KEYED.findall(page("monthly-walk-round", "juniper")) if "drains_ahead" in key]
    assert len(days) == 12 == len(set(days))
    assert days[0] == dict(KEYED.findall(page("glovebox-card", "juniper")))["service_due.jobs.separator_drain.due_date"]
