"""A fleet on a few pages and as a table: what presses most comes first, and nothing is lost on the way over pages."""

import csv
import io
import re

import pypdfium2
import pytest

import calculators
from print import overview, pdf, sheet
from print.order import PAPERS
from tests.print.paper import said, words_of

TODAY = "2026-11-25"


def made(name, **more):
    return overview.Line(
        name, name, dict.fromkeys(overview.IDENTITY, "") | {"unit": "7", "location": "North"}, more.get("overdue", []),
        more.get("next"), more.get("unknown", 0),
        more.get("alarms", []), 41200.0, 1310.0, "2026-11-01", more.get("stale", False), more.get("idling"), "")


def job(day):
    return overview.Job("Engine oil", day, day)


def alarm(what, noticed):
    return overview.Alarm(what, "2026-10-01", noticed, 12.34, "Look first at the air filter.")


LINES = [
    made("next late", next=job("2027-03-01")), made("stale", next=job("2026-11-26"), stale=True),
    made("two overdue", overdue=[job("2026-11-01")]), made("next soon", next=job("2026-12-01")),
    made("alarm", alarms=[alarm("fuel use up", "2026-11-02")], next=job("2026-11-26")),
    made("overdue longest", overdue=[job("2026-09-01"), job("2026-11-20")], alarms=[alarm("x", "2026-11-09")]), made("nothing known"),
]


def test_what_presses_most_comes_first():
    groups = overview.grouped(LINES)
    assert [(group.name, [each.label for each in group.lines]) for group in groups] == [
        ("overdue", ["overdue longest", "two overdue"]), ("alarms", ["alarm"]), ("stale", ["stale"]),
        ("rest", ["next soon", "next late", "nothing known"])]


def test_a_job_that_a_truck_may_not_have_says_so():
    truck = {"format": "diesel-handover-truck", "version": 1, "name": "T", "facts": {},
             "done": {"transfer_case": {"date": "2020-01-01"}, "differential": {"date": "2020-02-01"}}}
    due = sheet.day_of(truck, TODAY).answer("service_due")
    assert [job.words for job in overview.line("T", truck, due, TODAY).overdue] == [
        "Transfer case oil, if four-wheel drive", "Differential oil"]


def test_totals_count_trucks_and_jobs_and_add_what_is_known():
    found = overview.totals([*LINES, made("a", idling=100.5), made("b", idling=200.25)])
    assert found == (9, 2, 3, 2, 1, "$301")
    assert overview.totals(LINES).idling == ""


def test_the_table_has_a_line_for_each_in_the_same_order():
    lines = list(csv.DictReader(io.StringIO(overview.table(LINES).removeprefix("\ufeff"))))
    assert [line["truck"] for line in lines] == [each.label for group in overview.grouped(LINES) for each in group.lines]
    first = lines[0]
    assert (first["jobs_overdue"], first["overdue"], first["overdue_since"], first["location"]) == ("2", "Engine oil, Engine oil",
                                                                                                    "2026-09-01", "North")
    assert lines[4]["next_due"] == "2026-12-01" and lines[4]["overdue_since"] == ""


def test_a_line_says_what_the_answer_says():
    truck = calculators.example_truck("juniper")
    due = calculators.with_words(calculators.answer("service_due", truck=truck, today=TODAY))
    line = overview.line("Juniper", truck, due, TODAY)
    late = [row["job"]["phrase"] for row in due["results"]["jobs"] if row["overdue"]["value"]]
    assert sorted(each.words for each in line.overdue) == sorted(late)
    assert (line.odometer, line.engine_hours) == (due["inputs"]["odometer"]["value"], due["inputs"]["engine_hours"]["value"])
    dated = [row["due_date"]["value"] for row in due["results"]["jobs"] if row["due_date"]["value"]]
    assert dated and line.next.day == min(day for day in dated if day >= TODAY)
    unknown = [row for row in due["results"]["jobs"] if row["status"]["value"] == "unknown"]
    assert line.unknown == len(unknown) and line.unknown + len(dated) <= len(due["results"]["jobs"])


@pytest.mark.parametrize(("read_on", "stale"), [("2026-11-20", False), ("2026-06-01", True), ("", False)])
def test_an_old_reading_is_asked_for_again(read_on, stale):
    """By the day that the calculators ask for one; without any reading nothing is old."""
    truck = {"format": "diesel-handover-truck", "version": 2, "name": "Own", "facts": {}, "book": [
        {"id": "r", "kind": "reading", "date": read_on, "odometer": "41200 mi", "engine_hours": "1310 h"}] if read_on else []}
    due = calculators.with_words(calculators.answer("service_due", truck=truck, today=TODAY))
    assert overview.line("Own", truck, due, TODAY).stale == stale


def shelf(*told):
    """Lines of trucks without a record, each with these facts."""
    trucks = [{"format": "diesel-handover-truck", "version": 2, "name": "T", "facts": facts, "book": []} for facts in told]
    return [overview.line("T", truck, sheet.numbers_of(truck, TODAY).answer("service_due"), TODAY, stock=True) for truck in trucks]


def test_the_shelf_takes_nothing_from_the_example():
    """13 quarts and 12 of two trucks that told them make 25; of the third nobody knows, so it is counted apart."""
    lines = shelf({"oil_capacity": "13 qt"}, {"oil_capacity": "12 qt"}, {})
    assert overview.needs(lines, "engine_oil") == (3, "25 qt", 1)
    assert overview.needs(lines[2:], "engine_oil") == (1, "", 1)
    assert overview.needs(lines, "fuel_filters") == (3, "3", 0)


def test_def_for_three_months_is_of_those_that_told_enough():
    """52 weeks of 346.15 miles are 18,000; at 15 miles a gallon 1,200 gallons, 3 % of them 36 of DEF a year: 90 of 365 days are 9."""
    told = {"distance_per_year": "18000 mi", "fuel_economy": "15 mi/gal", "def_share_of_fuel": "3 %"}
    assert overview.exhaust_fluid(shelf(told, {})) == (2, "9 gal", 1)
    assert overview.exhaust_fluid(shelf({})) == (1, "", 1)


def test_a_place_is_shown_in_letters_that_paper_has():
    line = made("T0")._replace(identity=dict.fromkeys(overview.IDENTITY, "") | {"location": "Yard \U0001f69a 3"})
    (group,) = overview.shown([line])
    assert group.lines[0].identity["location"] == "Yard 3" and overview.by_place([line])[0].name == "Yard 3"


def test_yards_whose_names_no_face_has_stay_apart():
    """Two of them and a truck that nobody placed are three lists, each with room to write where it stands."""
    lines = [made(name)._replace(identity=dict.fromkeys(overview.IDENTITY, "") | {"location": place})
             for name, place in (("T1", "東京 yard"), ("T2", "大阪 yard"), ("T3", ""), ("T4", "North"), ("T10", "大阪 yard"))]
    yards = overview.by_place(lines)
    assert [(yard.place, yard.name, [each.label for each in yard.lines]) for yard in yards] == [
        ("North", "North", ["T4"]), ("大阪 yard", "", ["T2", "T10"]), ("東京 yard", "", ["T1"]), ("", "", ["T3"])]
    told = words_of(sheet.render("yard-readings", today=TODAY, fleet=lines))
    assert [words for words in told if re.fullmatch(r"North|Where|T\d+", words)] == [
        "North", "T4", "Where", "T2", "T10", "Where", "T1", "Where", "T3"]


@pytest.mark.parametrize(("count", "size"), [*((44, size) for size in PAPERS), (600, "letter")])
def test_many_trucks_over_many_pages(count, size):
    """Each truck once, the head of the table and the page's number on every page."""
    lines = [LINES[at % len(LINES)]._replace(label=f"Truck No{at:03}x") for at in range(count)]
    data = pdf.write([pdf.lay_out(sheet.render("fleet-overview", today=TODAY, fleet=lines), size)])
    pages = ["".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(data)]
    assert len(pages) >= count / 40
    text = said(data)
    assert all(text.count(f"TruckNo{at:03}x") == 1 for at in range(count))
    for number, page in enumerate(pages, 1):
        assert f"Fleetoverview,{number}/{len(pages)}" in page and "Readon" in page


def test_alarms_are_a_table_the_newest_first():
    rows = list(csv.reader(io.StringIO(overview.alarms(LINES).lstrip("\ufeff"))))
    look = "Look first at the air filter."
    assert rows == [list(overview.ALARMS), ["overdue longest", "7", "", "North", "x", "2026-10-01", "2026-11-09", "12.3", look],
                    ["alarm", "7", "", "North", "fuel use up", "2026-10-01", "2026-11-02", "12.3", look]]
