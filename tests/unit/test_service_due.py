"""Service: miles, engine hours and the calendar, whichever comes first; sums by hand."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from calculators import with_words
from calculators.engine.calendar import calendar
from calculators.engine.due import due
from calculators.engine.figures import TABLES
from tests.unit.ask import ask, faults, job, results

DAY = date(2026, 11, 25)
PLAIN = {"severe_use": "no", "distance_per_week": 700, "average_speed": 50, "idle_hours_per_week": 0}
OIL = {"done__engine_oil__date": "2026-11-01", "done__engine_oil__odometer": 40_000, "done__engine_oil__engine_hours": 1300,
       "odometer": 41_000, "engine_hours": 1310}
MAKERS = {"interval__engine_oil__distance": 10_000, "interval__engine_oil__engine_hours": 400, "interval__engine_oil__time": 12}


def after(days: int) -> str:
    return str(DAY + timedelta(days=days))


def test_miles_come_first() -> None:
    """9,000 mi left at 100 a day: 90 days."""
    said = job("engine_oil", **PLAIN, **OIL, **MAKERS)
    assert (said["governed_by"], said["due_date"], said["distance_left"], said["days_left"]) == ("distance", after(90), 9000, 90)
    assert (said["due_odometer"], said["due_engine_hours"], said["overdue"], said["recorded"]) == (50_000, 1700, False, True)


def test_engine_hours_come_first() -> None:
    """700 mi at 50 mi/h and 42 h idling are 56 h a week, 8 a day; 390 h left last 48 whole days."""
    said = job("engine_oil", **(PLAIN | {"idle_hours_per_week": 42}), **OIL, **MAKERS)
    assert (said["governed_by"], said["due_date"], said["engine_hours_left"]) == ("engine_hours", after(48), 390)


def test_the_calendar_comes_first() -> None:
    said = job("engine_oil", **PLAIN, **OIL, **(MAKERS | {"interval__engine_oil__time": 1}))
    assert (said["governed_by"], said["due_date"]) == ("time", "2026-12-01")


def test_of_equals_the_first_named_governs() -> None:
    """Miles and calendar on the same day: 2,000 mi at 100 a day are 20 days, to Dec 15; a month from Nov 15."""
    told = OIL | {"done__engine_oil__date": "2026-11-15"}
    said = job("engine_oil", **PLAIN, **told, interval__engine_oil__distance=3000, interval__engine_oil__time=1)
    assert (said["governed_by"], said["due_date"]) == ("distance", "2026-12-15")


def test_a_job_never_recorded_is_unknown_and_has_no_date() -> None:
    said = job("coolant")
    assert (said["governed_by"], said["status"], said["first_step"], said["recorded"]) == ("not_recorded", "unknown", "ask", False)
    assert {said[part] for part in ("due_date", "due_odometer", "days_left", "overdue", "section", "distance_left")} == {None}


def test_a_job_recorded_in_part_goes_by_what_has_a_start() -> None:
    said = job("coolant", done__coolant__date="2026-01-31")
    assert (said["governed_by"], said["due_odometer"]) == ("time", None)


def test_overdue_is_past_not_today() -> None:
    today = job("separator_drain", done__separator_drain__date="2026-10-25")
    assert (today["due_date"], today["days_left"], today["overdue"]) == (str(DAY), 0, False)
    assert job("separator_drain", done__separator_drain__date="2026-10-24")["overdue"] is True
    exact = job("engine_oil", **PLAIN, **(OIL | {"odometer": 50_000}), **MAKERS)
    assert (exact["distance_left"], exact["overdue"]) == (0, False)
    assert job("engine_oil", **PLAIN, **(OIL | {"odometer": 50_000.5}), **MAKERS)["overdue"] is True


@pytest.mark.parametrize(("meter", "shows", "clock"), [("odometer", 50_000, "distance"), ("engine_hours", 1700, "engine_hours")])
def test_a_truck_that_stands_at_its_limit_is_due_and_not_only_by_the_calendar(meter: str, shows: float, clock: str) -> None:
    """10,000 miles after 40,000 or 400 hours after 1,300, and no more of either in a week; the year would end 11 months later."""
    still = PLAIN | {"distance_per_week": 0, "engine_hours_per_week": 0}
    read = OIL | {"odometer": 40_000, "engine_hours": 1300, meter: shows}
    said = job("engine_oil", **still, **read, **MAKERS)
    assert (said["governed_by"], said["due_date"], said["status"], said["section"]) == (clock, str(DAY), "due", "this_week")
    assert job("engine_oil", **still, **(read | {meter: shows - 0.5}), **MAKERS)["governed_by"] == "time"


def test_an_overdue_job_is_overdue_since_the_line_between_readings_passed_its_limit() -> None:
    """19,000 miles in the 24 days from Nov 1; the 10,000th on the 12.6th of them. Without a day there is one reading, and its day."""
    told = OIL | {"odometer": 59_000}
    said = job("engine_oil", **(PLAIN | {"distance_per_week": 7}), **told, **MAKERS)
    assert (said["due_date"], said["days_left"], said["status"], said["section"]) == ("2026-11-13", -12, "overdue", "overdue")
    without_day = {key: value for key, value in told.items() if not key.endswith("date")}
    assert job("engine_oil", **(PLAIN | {"distance_per_week": 7}), **without_day, **MAKERS)["due_date"] == str(DAY)


def book(*entries: dict[str, object], **facts: object) -> dict[str, object]:
    """A truck with a week of 700 miles at 50 and no idling, and a book."""
    week = {"short_trips_per_week": 0, "long_trip_time": 60, "long_trips_per_week": 14, "long_trip_speed": 50, "idle_hours_per_week": 0}
    return {"format": "diesel-handover-truck", "version": 2, "id": "1", "name": "Oak", "identity": {}, "interval": {},
            "facts": {**week, "plow_weight": 0, "trailer_weight": 0, **facts},
            "book": [{"id": str(n), **one} for n, one in enumerate(entries)]}


DONE = {"date": "2026-08-01", "kind": "job", "job": "engine_oil", "odometer": 40_000}


def test_a_later_reading_does_not_move_since_when() -> None:
    """7,500 miles from 40,000; the line from 47,000 on Oct 1 to 48,000 on Oct 21 passes 47,500 on Oct 11."""
    readings = [{"date": "2026-10-01", "kind": "reading", "odometer": 47_000}, {"date": "2026-10-21", "kind": "fuel", "odometer": 48_000}]
    for more in ([], [{"date": "2026-11-20", "kind": "reading", "odometer": 50_000}]):
        said = job("engine_oil", book(DONE, *readings, *more))
        assert (said["due_date"], said["overdue"], said["governed_by"]) == ("2026-10-11", True, "distance")


@pytest.mark.parametrize("today", ["2026-11-25", "2027-01-25"])
def test_no_date_moves_because_a_day_passed(today: str) -> None:
    """700 miles since Oct 1 make 89.1 a week: 6,800 miles left are 534 days; the calendar's year from Aug 1 comes first."""
    truck = book(DONE, {"date": "2026-09-25", "kind": "reading", "odometer": 40_700})
    assert job("engine_oil", truck, today)["due_date"] == "2027-08-01"
    rows = ask("service_due", truck, today)["results"]["jobs"]
    assert [row["due_date"]["value"] for row in rows] == [None if row["job"]["value"] != "engine_oil" else "2027-08-01" for row in rows]


@pytest.mark.parametrize(("days", "status", "section"), [
    (-1, "overdue", "overdue"), (0, "due", "this_week"), (7, "due", "this_week"), (8, "due", "this_month"), (30, "due", "this_month"),
    (31, "ahead", "later"),
])
def test_status_and_section_by_the_days_left(days: int, status: str, section: str) -> None:
    done = DAY + timedelta(days=days) - relativedelta(months=2)
    said = job("battery_test", interval__battery_test__time=2, done__battery_test__date=str(done))
    assert (said["days_left"], said["status"], said["section"]) == (days, status, section)


def test_each_clock_without_a_start_is_named() -> None:
    assert job("coolant", done__coolant__date="2026-01-31")["clock_without_start"] == "odometer"
    assert job("coolant", done__coolant__date="2026-01-31", done__coolant__odometer=40_000)["clock_without_start"] == "engine_hours"
    undated = {"done__coolant__odometer": 40_000, "done__coolant__engine_hours": 1_200}
    assert job("coolant", **undated)["clock_without_start"] == "date"  # its 5 years may be over all the same
    assert job("battery_test", done__battery_test__date="2026-11-01")["clock_without_start"] is None
    assert job("coolant")["clock_without_start"] is None


def test_a_job_by_miles_of_a_truck_that_stands_is_ahead_without_a_date() -> None:
    told = {"done__particulate_filter__odometer": 40_000, "distance_per_week": 0, "idle_hours_per_week": 0, "severe_use": "no"}
    rows = ask("service_due", **told)["results"]["jobs"]
    row = next(row for row in rows if row["job"]["value"] == "particulate_filter")
    assert (row["status"]["value"], row["due_date"]["value"], row["due_odometer"]["value"]) == ("ahead", None, 190_000)
    assert "no date while it stands" in row["due_date"]["why"] and row["governed_by"]["value"] == "distance"


@pytest.mark.parametrize(("facts", "plow", "fluid"), [
    ({"plows": "no"}, None, None), ({"plows": "yes"}, "unknown", None), ({"plow_weight": 0}, None, None),
    ({"plow_weight": 700}, "unknown", None), ({"plows": "no", "plow_weight": 700}, None, None), ({}, "unknown", "if_it_plows"),
])
def test_a_job_the_truck_can_not_have_is_not_there(facts: dict[str, object], plow: str | None, fluid: str | None) -> None:
    truck = book()
    truck["facts"] = facts
    rows = {row["job"]["value"]: row for row in ask("service_due", truck)["results"]["jobs"]}
    assert ("plow_hydraulics" in rows) == (plow is not None)
    assert plow is None or (rows["plow_hydraulics"]["status"]["value"], rows["plow_hydraulics"]["only_if"]["value"]) == (plow, fluid)
    assert rows["transfer_case"]["only_if"]["value"] == "if_four_wheel_drive"
    truck["facts"] = {**facts, "four_wheel_drive": "no"}
    assert "transfer_case" not in {row["job"]["value"] for row in ask("service_due", truck)["results"]["jobs"]}


@pytest.mark.parametrize(("facts", "severe"), [
    ({}, False), ({"plow_weight": 700}, True), ({"plows": "yes"}, True), ({"trailer_weight": 5000}, True), ({"tows": "yes"}, True),
    ({"tows": "no", "trailer_weight": 5000}, False), ({"power_take_off": "yes"}, True), ({"idle_hours_per_week": 6}, False),
    ({"idle_hours_per_week": 6.1}, True), ({"short_trips_per_week": 15, "short_trip_time": 19}, True),
    ({"short_trips_per_week": 14, "short_trip_time": 19}, False), ({"short_trips_per_week": 15, "short_trip_time": 20}, False),
    ({"plow_weight": 700, "severe_use": "no"}, False),
])
def test_severe_use_follows_from_what_it_does_unless_it_is_told(facts: dict[str, object], severe: bool) -> None:
    """14 hours are driven: 6 idling are 30 %."""
    assert ask("service_due", book(**facts))["inputs"]["severe_use"]["value"] is severe


SEVERE = ("engine_oil", "fuel_filters", "air_filter", "crankcase_filter", "transmission", "transfer_case", "differential", "chassis_grease")


@pytest.mark.parametrize("which", TABLES["job"])
def test_severe_use_halves_usual_miles_and_months_and_leaves_four_fifths_of_the_hours_of_some_jobs(which: str) -> None:
    done = {f"done__{which}__odometer": 1000, f"done__{which}__engine_hours": 100, f"done__{which}__date": "2026-11-01"}
    severe, normal = (job(which, **(PLAIN | {"severe_use": use}), **done) for use in ("yes", "no"))
    for part, start, share in (("due_odometer", 1000, 0.5), ("due_engine_hours", 100, 0.8)):
        if normal[part] is not None:
            assert severe[part] - start == pytest.approx((normal[part] - start) * (share if which in SEVERE else 1))
    if which not in SEVERE:
        assert severe["due_date"] == normal["due_date"]


def test_severe_use_never_shortens_the_makers_own() -> None:
    said = job("engine_oil", **(PLAIN | {"severe_use": "yes"}), **OIL, **MAKERS)
    assert (said["due_odometer"], said["due_engine_hours"]) == (50_000, 1700)
    own_time = job("battery_test", severe_use="yes", done__battery_test__date="2026-11-01", interval__battery_test__time=10)
    assert own_time["due_date"] == "2027-09-01"


def test_readings_taken_earlier_are_carried_forward() -> None:
    """Read ten days ago at 100 miles a day: 1,000 miles less are left today; the date stays."""
    old = job("engine_oil", **PLAIN, **OIL, **MAKERS, read_on="2026-11-15", engine_hours_read_on="2026-11-15")
    new = job("engine_oil", **PLAIN, **OIL, **MAKERS)
    assert new["distance_left"] - old["distance_left"] == pytest.approx(1000)
    assert date.fromisoformat(new["due_date"]) - date.fromisoformat(old["due_date"]) == timedelta(days=10)
    assert new["engine_hours_left"] - old["engine_hours_left"] == pytest.approx(20)


def test_idling_counts_as_miles_only_without_an_hour_interval() -> None:
    """Tires have none: since 30,000 mi and 1,000 h there were 310 h, 220 of them driving 11,000 mi at 50; 90 h idle x 25 mi."""
    told = {"done__tire_rotation__odometer": 30_000, "done__tire_rotation__engine_hours": 1000, "odometer": 41_000, "engine_hours": 1310,
            "interval__tire_rotation__distance": 20_000}
    said = job("tire_rotation", **PLAIN, **told)
    assert said["distance_left"] == pytest.approx(20_000 - 11_000 - 90 * 25)
    with_hours = job("tire_rotation", **PLAIN, **told, interval__tire_rotation__engine_hours=1000)
    assert with_hours["distance_left"] == pytest.approx(9000)


def test_weekly_idling_brings_it_nearer_only_without_an_hour_interval() -> None:
    """700 mi and 28 h of idling as 700 more miles: 200 a day instead of 100."""
    told = {"done__tire_rotation__odometer": 40_000, "odometer": 41_000, "interval__tire_rotation__distance": 5000}
    assert job("tire_rotation", **(PLAIN | {"idle_hours_per_week": 28}), **told)["due_date"] == after(20)
    assert job("tire_rotation", **PLAIN, **told)["due_date"] == after(40)


@pytest.mark.parametrize(("idle", "hours_now", "shown"), [
    (0, 1020, 45_000),  # 20 h since, all driven
    (28, 1020, 43_000),  # 4,000 mi of wear left at 1,400 a week are 20 days, of 100 miles each
    (28, 1060, 42_500),  # 40 h stood as 1,000 mi: 3,000 are left, 15 days
    (28, 1260, 40_000),  # 240 h stood as 6,000 mi: past its limit, and no sooner than when it was done
])
def test_the_odometer_beside_a_day_is_what_it_shows_on_that_day(idle: float, hours_now: float, shown: float) -> None:
    """Done at 40,000 mi and 1,000 h for 5,000 mi, now 41,000: an hour of idling counts as 25 mi, which no odometer shows."""
    told = {"done__tire_rotation__odometer": 40_000, "done__tire_rotation__engine_hours": 1000, "odometer": 41_000,
            "engine_hours": hours_now, "interval__tire_rotation__distance": 5000}
    said = job("tire_rotation", **(PLAIN | {"idle_hours_per_week": idle}), **told)
    assert (said["odometer_when_due"], said["due_odometer"]) == (pytest.approx(shown), 45_000)


@pytest.mark.parametrize("idle", [0, 6, 40])
def test_two_jobs_at_one_odometer_are_due_on_one_day(idle: float) -> None:
    """A new truck at 300 miles a week: by the miles each job's day is the one on which the odometer shows what stands beside it."""
    new = {"date": str(DAY), "kind": "delivery", "new": True, "odometer": 14, "engine_hours": 2}
    truck = book(new, distance_per_week=300, idle_hours_per_week=idle, severe_use="no")
    rows = [{part: cell["value"] for part, cell in row.items()} for row in ask("service_due", truck)["results"]["jobs"]]
    by_miles = [row for row in rows if row["governed_by"] == "distance"]
    assert {"tire_rotation", "differential"} <= {row["job"] for row in by_miles}
    for row in by_miles:
        assert 0 <= row["odometer_when_due"] - (14 + row["days_left"] * 300 / 7) < 300 / 7
    assert all((row["odometer_when_due"] is None) is (row["due_odometer"] is None) for row in rows)


def test_a_calendar_names_the_odometer_of_its_day() -> None:
    """300 miles and 6 h as 150 more a week: of the tires' 7,500 miles the odometer shows 5,000 (the odometer starts at 14)."""
    new = {"date": str(DAY), "kind": "delivery", "new": True, "odometer": 14, "engine_hours": 2}
    truck = book(new, distance_per_week=300, idle_hours_per_week=6, severe_use="no")
    rows = with_words(ask("service_due", truck))["results"]["jobs"]
    (tires,) = [row for row in rows if row["job"]["value"] == "tire_rotation"]
    assert "Or at 5\\,014 miles" in calendar({"Oak": [tires]}, str(DAY), {})
    (said,) = [one for one in due(with_words(ask("service_due", truck))["results"], DAY) if one["job"] == "tire_rotation"]
    assert said["brought_by"] == "at 5,014 miles"


def test_a_truck_that_stands_still_goes_by_the_calendar() -> None:
    said = job("engine_oil", **(PLAIN | {"distance_per_week": 0}), **OIL, **MAKERS)
    assert said["governed_by"] == "time"


def test_the_next_job_is_the_earliest_and_ties_go_by_the_list() -> None:
    said = results("service_due")
    rows = [(row["due_date"]["value"], place, row["job"]["value"]) for place, row in enumerate(said["jobs"])]
    dated = [row for row in rows if row[0]]
    assert (said["next_due_date"], said["next_job"]) == (min(dated)[0], min(dated)[2])
    assert said["jobs_recorded"] + said["jobs_unknown"] == len(said["jobs"]) == 17
    assert said["jobs_overdue"] == sum(row["status"]["value"] == "overdue" for row in said["jobs"])


def test_engine_hours_carried_back_are_never_below_none() -> None:
    """2 hours today, and five days ago, at 11.5 a week, 8 fewer: none."""
    said = results("service_due", engine_hours=2, odometer=20, read_on="2026-11-20")
    assert said["engine_hours_at_reading"] == 0


def test_a_reading_on_the_form_is_a_reading_of_an_own_truck() -> None:
    said = results("service_due", book(), odometer=5000)
    assert (said["readings_age"], said["reading_wanted"]) == (0, False)
    assert results("service_due", book())["readings_age"] is None


def test_twelve_drains_ahead_a_month_apart() -> None:
    said = results("service_due", done__separator_drain__date="2026-10-31")["drains_ahead"]
    assert [row["due_date"]["value"] for row in said[:4]] == ["2026-11-30", "2026-12-30", "2027-01-30", "2027-02-28"]
    assert len(said) == 12


def test_drains_ahead_begin_today_where_one_is_overdue_and_have_no_date_without_a_record() -> None:
    late = results("service_due", done__separator_drain__date="2026-08-31")["drains_ahead"]
    assert [row["due_date"]["value"] for row in late[:2]] == ["2026-11-25", "2026-12-25"]
    assert {row["due_date"]["value"] for row in results("service_due", book())["drains_ahead"]} == {None}


@pytest.mark.parametrize(("truck", "words"), [
    (book({"date": "2026-11-20", "kind": "delivery", "new": True, "odometer": 14, "engine_hours": 1}),
     "Next: Drain the water separator, due by Dec 20, 2026."),
    (book({"date": "2026-11-20", "kind": "delivery", "odometer": 87_412}),
     "No job is on record. Do three now: drain the water separator, change the engine oil, and change both fuel filters. "
     "Look at or test 7 others, and ask about 6 or compare them with the manual."),
    (book({**DONE, "date": "2026-11-01"}, {"date": "2026-11-20", "kind": "drain", "odometer": 41_000}),
     "Next: Drain the water separator, due by Dec 20, 2026. 14 more jobs have no record: see what to do about each first."),
    (book({**DONE, "date": "2026-11-01"}, {"date": "2026-08-03", "kind": "drain", "odometer": 40_000}),
     "Overdue since Sep 3, 2026: Drain the water separator. Do it first. 14 more"),
    (book({**DONE, "date": "2025-08-01"}, {"date": "2026-08-03", "kind": "drain", "odometer": 40_700},
          {"date": "2026-11-20", "kind": "reading", "odometer": 41_000}),
     "2 jobs are overdue. Do this one first, overdue since Aug 1, 2026: Engine oil and its filter."),
    (book({**DONE, "date": "2026-10-01"}),
     "Read the odometer and the hours first: the last reading is of Oct 1, 2026. "
      "Next: Engine oil and its filter, due perhaps Dec 15, 2026."),
    (book({**DONE, "date": "2026-06-01"}),  # likely passed since, by the week’s pace; nobody has read it
     "Read the odometer and the hours first: the last reading is of Jun 1, 2026. Overdue perhaps since Aug 15, 2026: Engine oil"),
    (book({**DONE, "date": "2026-06-01"}, {"date": "2026-08-30", "kind": "reading", "odometer": 49_000}),  # it was read: 100 a day
     "Read the odometer and the hours first: the last reading is of Aug 30, 2026. Overdue since Aug 15, 2026: Engine oil"),
    (book({**DONE, "date": "2026-09-20"}, {"date": "2026-09-20", "kind": "drain"}),  # the calendar knows no perhaps
     "Read the odometer and the hours first: the last reading is of Sep 20, 2026. Overdue since Oct 20, 2026: Drain"),
])
def test_the_sentence_for_new_unpapered_well_kept_overdue_and_stale(truck: dict[str, object], words: str) -> None:
    assert ask("service_due", truck)["answer"].startswith(words)


def test_a_new_trucks_clocks_all_start_at_its_delivery() -> None:
    delivery = {"date": "2026-11-20", "kind": "delivery", "new": True, "odometer": 14, "engine_hours": 1}
    said = results("service_due", book(delivery, plows="yes"))
    assert (said["jobs_unknown"], said["jobs_overdue"], len(said["jobs"])) == (0, 0, 17)
    assert {row["due_odometer"]["value"] for row in said["jobs"] if row["job"]["value"] == "coolant"} == {100_014}


def test_the_first_steps_are_three_eight_and_six() -> None:
    truck = book()
    truck["facts"] = {}
    steps = [row["first_step"]["value"] for row in ask("service_due", truck)["results"]["jobs"]]
    assert [steps.count(step) for step in ("do_now", "look", "ask")] == [3, 8, 6]


def test_the_readings_age_and_what_they_make_of_today() -> None:
    """300 miles in 21 days are 100 a week."""
    readings = [{"date": f"2026-{day}", "kind": "reading", "odometer": miles} for day, miles in (("10-20", 40_000), ("11-10", 40_300))]
    said = results("service_due", book(*readings), today="2026-11-24")
    assert (said["readings_age"], said["odometer_now"], said["reading_wanted"]) == (14, pytest.approx(40_500), False)
    assert results("service_due", book(*readings), today="2026-12-26")["reading_wanted"] is True
    assert results("service_due", book())["readings_age"] is None


def test_half_an_oil_interval_by_estimate_wants_a_reading_too() -> None:
    """3,750 miles at 2,000 a week are 13.1 days."""
    readings = [{"date": f"2026-{day}", "kind": "reading", "odometer": miles} for day, miles in (("10-20", 40_000), ("11-10", 46_000))]
    assert [results("service_due", book(*readings), today=f"2026-11-{day}")["reading_wanted"] for day in (23, 24)] == [False, True]


def test_driving_and_idling_fit_a_week_by_a_told_distance_too() -> None:
    assert "168 hours" in " ".join(faults("service_due", distance_per_week=5000, average_speed=30, idle_hours_per_week=6).values())


# Miles, engine hours, months; all examples but the drain, which is common practice. 0: the job has none.
EXAMPLES = {
    "engine_oil": (7500, 250, 12), "fuel_filters": (15_000, 500, 24), "separator_drain": (0, 0, 1), "air_filter": (30_000, 1000, 24),
    "crankcase_filter": (60_000, 2000, 48), "exhaust_fluid_filter": (150_000, 4500, 60), "particulate_filter": (150_000, 4500, 0),
    "coolant": (100_000, 3000, 60), "transmission": (60_000, 2000, 48), "transfer_case": (60_000, 0, 48), "differential": (60_000, 0, 48),
    "chassis_grease": (7500, 250, 6), "battery_test": (0, 0, 6), "brake_check": (10_000, 0, 12), "tire_rotation": (7500, 0, 6),
    "cabin_filter": (15_000, 0, 12), "plow_hydraulics": (0, 0, 12),
}


@pytest.mark.parametrize(("which", "miles", "hours", "months"), [(which, *told) for which, told in EXAMPLES.items()])
def test_the_usual_intervals(which: str, miles: float, hours: float, months: float) -> None:
    """Last done at 1,000 mi and 100 h on Jan 15; a truck that stands still goes by the calendar."""
    record = {f"done__{which}__odometer": 1000, f"done__{which}__engine_hours": 100, f"done__{which}__date": "2026-01-15"}
    still = {"severe_use": "no", "distance_per_week": 0, "idle_hours_per_week": 0, "average_speed": 40}
    said = job(which, today="2026-01-15", read_on="2026-01-15", odometer=1000, engine_hours=100, **still, **record)
    assert said["due_odometer"] == (1000 + miles if miles else None)
    assert said["due_engine_hours"] == (100 + hours if hours else None)
    assert said["due_date"] == (str(date(2026, 1, 15) + relativedelta(months=int(months))) if months else None)
