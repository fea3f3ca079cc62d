"""What a page keeps of a truck: its jobs by day, its book in words, and what of it travels in a link."""

import json
from datetime import date, timedelta
from typing import Any

import pytest

import calculators
from calculators.engine.book_view import book_view
from calculators.engine.due import SECTIONS, due, reading
from calculators.engine.link import travelling
from calculators.engine.view import look_of

TODAY = date(2026, 11, 30)


def call(**request: Any) -> Any:
    reply = json.loads(calculators.call(json.dumps({"today": TODAY.isoformat(), **request})))
    assert reply["ok"], reply
    return reply


def own(name: str = "Larch", facts: dict[str, Any] | None = None, book: list[dict[str, Any]] | None = None) -> dict[str, Any]:
    told = {"format": "diesel-handover-truck", "version": 2, "id": "a1", "name": name, "facts": facts or {}, "book": book or []}
    truck: dict[str, Any] = call(do="read_truck", text=json.dumps(told))["truck"]
    return truck


def example(name: str) -> dict[str, Any]:
    """An example truck as somebody's own: its book no longer moves with the day."""
    truck: dict[str, Any] = call(do="read_truck", text=json.dumps(calculators.example_truck(name)))["truck"]
    return truck


def service(truck: dict[str, Any], day: date) -> dict[str, Any]:
    return calculators.with_words(calculators.answer("service_due", truck=truck, today=day.isoformat(), working=False))


def words_on(listed: list[dict[str, Any]], day: date) -> dict[str, Any]:
    """What a page picks for a day."""
    return {name: told for name, told in [one for one in listed if one["from"] <= day.isoformat()][-1].items() if name != "from"}


GAUGES = ("def_level", "fuel_in_tank", "def_level_read_on", "fuel_in_tank_read_on")


def without_gauges(truck: dict[str, Any]) -> dict[str, Any]:
    """What it tells that stands for longer than a week."""
    return truck | {"facts": {name: fact for name, fact in truck["facts"].items() if name not in GAUGES}}


TRUCKS = {
    "juniper": without_gauges(example("juniper")),
    "tamarack": without_gauges(example("tamarack")),
    "gauges read today": example("juniper"),
    "new": own(facts={"distance_per_week": "300 mi"}, book=[
        {"id": "d", "kind": "delivery", "date": "2026-11-28", "new": True, "odometer": "14 mi", "engine_hours": "1 h"}]),
    "no papers": own(book=[{"id": "r", "kind": "reading", "date": "2026-11-29", "odometer": "87412 mi"}]),
    "nothing told": own(),
    "a job ahead of today": own(book=[{"id": "j", "kind": "job", "job": "engine_oil", "date": "2026-12-20", "odometer": "500 mi"},
                                      {"id": "r", "kind": "reading", "date": "2026-11-01", "odometer": "400 mi"}]),
}


@pytest.mark.parametrize("name", TRUCKS)
@pytest.mark.parametrize("days", [0, 1, 6, 7, 8, 29, 30, 31, 44, 45, 46, 100, 200, 301, 365])
def test_words_made_today_for_a_later_day_are_those_of_that_day(name: str, days: int) -> None:
    kept, day = call(do="all", truck=TRUCKS[name]), TODAY + timedelta(days=days)
    if day.isoformat() >= kept["until"]:
        # From then on its book tells something else, or its gauges were read more than a week ago.
        assert kept["until"] == {"a job ahead of today": "2026-12-20", "gauges read today": "2026-12-08"}[name]
        return
    then = service(TRUCKS[name], day)
    assert sorted((words_on(job["days"], day) for job in kept["jobs"]), key=lambda job: job["place"]) == due(then["results"], day)
    assert words_on(kept["reading"], day) == reading(then)
    changed = words_on(kept["answers"]["service_due"]["days"], day)
    assert changed.get("answer", kept["answers"]["service_due"]["answer"]) == then["answer"]
    assert changed.get("look", kept["answers"]["service_due"]["look"]) == look_of(then["results"])


def test_days_are_counted_on_and_all_else_holds() -> None:
    kept, day = call(do="all", truck=TRUCKS["tamarack"]), TODAY + timedelta(days=40)
    then = service(TRUCKS["tamarack"], day)["results"]
    changed = words_on(kept["answers"]["service_due"]["days"], day)["results"]
    rows = changed.get("jobs", [{}] * len(then["jobs"]))
    for row, by, told in zip(kept["answers"]["service_due"]["results"]["jobs"], rows, then["jobs"], strict=True):
        mended = row | by
        for field in ("due_date", "status", "section", "overdue", "governed_by"):
            assert mended[field]["value"] == told[field]["value"], (row["job"]["value"], field)
        if told["days_left"]["value"] is not None:
            assert row["days_left"]["value"] + row["days_left"]["daily"] * 40 == told["days_left"]["value"]


@pytest.mark.parametrize("name", TRUCKS)
def test_jobs_stand_by_sections_and_within_them_by_day(name: str) -> None:
    jobs = due(service(TRUCKS[name], TODAY)["results"], TODAY)
    order = [(list(SECTIONS).index(job["section"]), job["day"] or "9999") for job in jobs]
    assert order == sorted(order) and [job["place"] for job in jobs] == list(range(len(jobs)))
    unknown = [job for job in jobs if job["section"] in ("do_now", "look", "ask")]
    assert all(not job["dated"] and job["when"] == "" for job in unknown)  # never a date


def row(**cells: Any) -> dict[str, dict[str, Any]]:
    empty = dict.fromkeys(("due_date", "odometer_when_due", "due_engine_hours", "section", "first_step", "clock_without_start", "only_if"))
    told = {**empty, "job": "engine_oil", "governed_by": "time", "by_usual_interval": False, **cells}
    return {name: {"value": value, "phrase": str(value)} for name, value in told.items()}


@pytest.mark.parametrize(("cells", "perhaps", "when", "slip", "said"), [  # weekdays from a wall calendar of 2026 and 2027
    ({"due_date": "2026-12-05", "section": "this_week"}, False, "Sat, Dec 5", ["by Saturday", "Dec 5"], "this week, by the calendar"),
    ({"due_date": "2026-12-05", "section": "this_week", "governed_by": "distance", "odometer_when_due": "88,150 miles"}, False,
     "about Sat, Dec 5", ["about Saturday", "Dec 5"], "this week, at 88,150 miles"),
    ({"due_date": "2026-12-05", "section": "this_week", "governed_by": "engine_hours", "due_engine_hours": "1,310 hours"}, True,
     "perhaps Sat, Dec 5", ["perhaps Saturday", "Dec 5"], "this week, at 1,310 engine hours"),
    ({"due_date": "2026-11-29", "section": "overdue"}, False, "since Nov 29", ["overdue since", "Nov 29"], "overdue, by the calendar"),
    ({"due_date": "2027-12-05", "section": "later"}, False, "Sun, Dec 5, 2027", ["by Sunday", "Dec 5, 2027"], "later, by the calendar"),
    ({"first_step": "do_now", "governed_by": "not_recorded"}, False, "", ["no record of it", "Do it now"], "do it now"),
    ({"first_step": "ask", "governed_by": "not_recorded", "only_if": "if it plows"}, False, "", ["no record of it", "Ask first"],
     "ask first, if it plows"),
    ({"section": "later", "governed_by": "distance", "odometer_when_due": "43,750 miles"}, False, "None", ["due", "at 43,750 miles"],
     "later, at 43,750 miles"),
    ({"due_date": "2026-12-28", "section": "this_month", "clock_without_start": "odometer"}, False, "Mon, Dec 28",
     ["by Monday", "Dec 28"], "this month, by the calendar, no odometer at the last one"),
])
def test_a_job_in_words(cells: dict[str, Any], perhaps: bool, when: str, slip: list[str], said: str) -> None:
    (job,) = due({"reading_wanted": {"value": perhaps}, "jobs": [row(**cells)]}, TODAY)
    assert (job["when"], job["due"], job["said"]) == (when, slip, said)


# The book in words -------------------------------------------------------------------------------------------------------------

BOOK = [
    {"id": "a", "date": "2026-09-01", "kind": "job", "job": "engine_oil", "odometer": "41200 mi", "engine_hours": "1310 h"},
    {"id": "b", "date": "2026-11-20", "kind": "fuel", "odometer": "42010 mi", "idle_hours": "520 h", "fuel": "24.1 gal", "full": True},
    {"id": "c", "date": "2026-11-20", "kind": "fuel", "fuel": "23 gal", "replaces": "b", "written": "2026-11-21T00:00:00Z"},
    {"id": "d", "kind": "deleted", "replaces": "a", "written": "2026-11-22T00:00:00Z"},
    {"id": "e", "date": "2026-11-25", "kind": "note", "note": "It rattles.", "estimated": True},
    {"id": "f", "date": "2026-11-26", "kind": "of a newer guide", "wings": 2},
]


def test_the_book_is_listed_newest_first_with_what_was_struck() -> None:
    rows = {row["id"]: row for row in book_view(BOOK)}
    assert list(rows) == ["f", "e", "b", "c", "a"]  # a deletion itself is no line
    assert rows["a"]["what"] == "Engine oil and its filter" and rows["a"]["lines"] == ["41,200 miles, 1,310 engine hours"]
    assert rows["b"]["lines"] == ["42,010 miles, 520 idle hours", "Filled to the top? yes"]
    assert {own: row["struck_by"] for own, row in rows.items() if "struck_by" in row} == {"a": "d", "b": "c"}
    assert rows["e"]["lines"] == ["It rattles."] and rows["e"]["estimated"]
    assert rows["f"]["what"] == "of a newer guide"


def test_put_back_is_an_entry_that_replaces_what_struck_it() -> None:
    (struck,) = (row for row in book_view(BOOK) if row["id"] == "a")
    again = {**BOOK[0], "id": "g", "replaces": struck["struck_by"], "written": "2026-11-23T00:00:00Z"}
    rows = {row["id"]: row for row in book_view([*BOOK, again])}
    assert "struck_by" not in rows["g"] and rows["a"]["struck_by"] == "g"


def correction(own: str, of: str, hour: int, **told: Any) -> dict[str, Any]:
    return {**BOOK[1], "id": own, "replaces": of, "written": f"2026-11-23T{hour:02}:00:00Z", **told}


@pytest.mark.parametrize("back", ["b", "early", "late", "more"])
def test_put_back_counts_whichever_correction_it_was(back: str) -> None:
    """On two phones: one corrected at 8 and again at 11, the other at 9, and took that back at 10. The later of 8 and 9 goes on."""
    book = [BOOK[1], correction("early", "b", 8), correction("late", "b", 9), correction("gone", "late", 10, kind="deleted"),
            correction("more", "early", 11)]
    rows = {row["id"]: row for row in book_view(book)}
    assert {row["struck_by"] for row in rows.values()} == {"gone"}, "nothing counts, and the deletion is the last word"
    again = correction("again", rows[back]["struck_by"], 12, note=back)
    after = book_view([*book, again])
    assert [(row["id"], row["lines"][-1]) for row in after if "struck_by" not in row] == [("again", back)]
    assert {row["struck_by"] for row in after if row["id"] != "again"} == {"again"}


def test_what_the_owner_is_asked_about_stands_with_its_entries() -> None:
    truck = own(book=[{"id": name, "date": "2026-11-20", "kind": "reading", "odometer": "5 mi"} for name in ("a", "b")])
    rows = call(do="all", truck=truck)["entries"]
    assert len(rows) == 2 and all("told twice" in row["asked"][0] for row in rows)


def test_what_changes_later_says_whose_it_is_as_what_stands_today_does() -> None:
    """The page writes that beside the value: without it the whole page could not be filled."""
    days = [day.get("results", {}) for truck in TRUCKS.values() for day in call(do="all", truck=truck)["answers"]["service_due"]["days"]]
    later = [value for results in days for value in results.values() if not isinstance(value, list)]
    later += [cell for results in days for row in results.get("jobs", []) for cell in row.values()]
    assert later and all(bool(value["rests_on"]) == bool(value["whose"]) for value in later)


# What travels ------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["juniper", "tamarack"])
def test_a_truck_from_a_link_has_the_same_dates(name: str) -> None:
    truck = TRUCKS[name]
    there = call(do="read_truck", text=json.dumps(travelling(truck, TODAY)))["truck"]
    assert due(service(there, TODAY)["results"], TODAY) == due(service(truck, TODAY)["results"], TODAY)


@pytest.mark.parametrize("name", ["juniper", "tamarack"])
@pytest.mark.parametrize("calculator", ["idle_bill", "fluid_cost", "regeneration", "exhaust_fluid_use"])
def test_a_truck_from_a_link_has_the_same_answers(name: str, calculator: str) -> None:
    """What its records measured travels with it, also over two links; the book itself stays at home."""
    truck = TRUCKS[name]
    once = travelling(truck, TODAY)
    twice = travelling(call(do="read_truck", text=json.dumps(once))["truck"], TODAY)
    wanted = calculators.answer(calculator, truck=truck, today=TODAY.isoformat())["results"]
    for there in (once, twice):
        assert calculators.answer(calculator, truck=there, today=TODAY.isoformat())["results"] == wanted
        assert len(there["book"]) < len(truck["book"]) or len(truck["book"]) < 60


@pytest.mark.parametrize("learned", [7, ["x"], {"idle_fuel_rate": 3}, {"idle_fuel_rate": {"value": "3 gal/h"}},
                                     {"idle_fuel_rate": {"value": -1}}, {"idle_fuel_rate": {}}, {"truck_price": {"value": 3}}])
def test_what_a_link_says_of_records_is_taken_only_as_far_as_it_could_be_told(learned: Any) -> None:
    plain = own()
    assert (calculators.answer("idle_bill", truck=plain | {"learned": learned}, today=TODAY.isoformat())
            == calculators.answer("idle_bill", truck=plain, today=TODAY.isoformat()))


@pytest.mark.parametrize("name", ["juniper", "tamarack"])
def test_nothing_that_was_written_in_words_travels(name: str) -> None:
    words = {"note": "A secret.", "by": "A secret.", "part": "A secret.", "cost": "98765 USD", "station": "A secret."}
    truck = TRUCKS[name] | {"identity": {"vin": "A secret.", "call_boss": "A secret."}, "aside": ["A secret."], "stranger": "A secret.",
                            "book": [entry | words for entry in TRUCKS[name]["book"]]}
    text = json.dumps(travelling(truck, TODAY))
    assert "secret" not in text and "98765" not in text
    assert len(text) < 20_000


def test_meters_are_estimated_by_their_readings_and_then_by_the_week() -> None:
    truck = own(facts={"distance_per_week": "700 mi"}, book=[
        {"id": "a", "kind": "reading", "date": "2026-11-10", "odometer": "1000 mi"},
        {"id": "b", "kind": "reading", "date": "2026-11-20", "odometer": "1500 mi"}])

    def on(day: str) -> Any:
        return call(do="estimate", truck=truck, day=day)["meters"]

    assert on("2026-11-12") == {"odometer": "1100 mi"}  # a fifth of the way from one reading to the next
    assert on("2026-11-30") == {"odometer": "2500 mi"}  # ten days at a hundred miles after the last


def test_without_a_reading_nothing_is_estimated() -> None:
    assert call(do="estimate", truck=own(), day="2026-11-30")["meters"] == {}
