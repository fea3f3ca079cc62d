"""Service: miles, engine hours and the calendar, whichever comes first; sums by hand."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from tests.unit.ask import ask, job, results

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


def test_a_job_never_recorded_is_due_today_and_not_overdue() -> None:
    said = job("coolant")
    assert (said["governed_by"], said["due_date"], said["overdue"], said["recorded"]) == ("not_recorded", str(DAY), False, False)
    assert said["distance_left"] is None


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


def test_nothing_came_due_before_it_was_last_done() -> None:
    """9,000 mi over at 1 mi a day would be 24 years ago; the oil was changed 24 days ago."""
    told = OIL | {"odometer": 59_000}
    assert job("engine_oil", **(PLAIN | {"distance_per_week": 7}), **told, **MAKERS)["due_date"] == "2026-11-01"
    without_day = {key: value for key, value in told.items() if not key.endswith("date")}
    assert job("engine_oil", **(PLAIN | {"distance_per_week": 7}), **without_day, **MAKERS)["due_date"] == after(-9000)


@pytest.mark.parametrize("distance_per_week", [0, 0.001])
def test_an_overdue_job_of_a_truck_that_stands_still_comes_first(distance_per_week: float) -> None:
    told = {"done__engine_oil__odometer": 40_000, "odometer": 59_000, "idle_hours_per_week": 0, "distance_per_week": distance_per_week}
    said = job("engine_oil", **told)
    assert (said["overdue"], said["governed_by"], said["due_date"]) == (True, "distance", str(DAY))
    answer = ask("service_due", **told)
    assert answer["results"]["next_job"]["value"] == "engine_oil"
    assert "Engine oil" in answer["answer"].partition(".")[0]


def test_severe_use_halves_example_intervals_and_the_drain_stays() -> None:
    told = OIL | {"done__separator_drain__date": "2026-11-20"}
    severe, normal = (job("engine_oil", **(PLAIN | {"severe_use": use}), **told) for use in ("yes", "no"))
    assert severe["due_odometer"] == 40_000 + 7500 / 2
    assert normal["due_odometer"] == 40_000 + 7500
    assert job("separator_drain", **(PLAIN | {"severe_use": "yes"}), **told)["due_date"] == "2026-12-20"


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


def test_a_truck_that_stands_still_goes_by_the_calendar() -> None:
    said = job("engine_oil", **(PLAIN | {"distance_per_week": 0}), **OIL, **MAKERS)
    assert said["governed_by"] == "time"


def test_the_next_job_is_the_earliest_and_ties_go_by_the_list() -> None:
    said = results("service_due")
    rows = [(row["due_date"]["value"], place, row["job"]["value"]) for place, row in enumerate(said["jobs"])]
    assert said["next_job"] == min(rows)[2]
    assert said["next_due_date"] == min(rows)[0]
    assert said["jobs_recorded"] + said["jobs_not_recorded"] == len(said["jobs"]) == 17
    assert said["jobs_overdue"] == sum(row["overdue"]["value"] for row in said["jobs"])


def test_twelve_drains_ahead_a_month_apart() -> None:
    said = results("service_due", done__separator_drain__date="2026-10-31")["drains_ahead"]
    assert [row["due_date"]["value"] for row in said[:4]] == ["2026-11-30", "2026-12-30", "2027-01-30", "2027-02-28"]
    assert len(said) == 12


def test_the_sentence_says_what_to_do_first() -> None:
    assert ask("service_due", done__separator_drain__date="2026-10-01")["answer"].startswith("Do this first")
    assert "no record" in ask("service_due", "tamarack")["answer"]
    nothing = {"format": "diesel-handover-truck", "version": 1, "name": "x", "facts": {}}
    assert ask("service_due", nothing)["answer"].startswith("No job is on record")


# Miles, engine hours, months; all examples but the drain, which is common practice. 0: the job has none.
EXAMPLES = {
    "engine_oil": (7500, 250, 12), "fuel_filters": (15_000, 500, 24), "separator_drain": (0, 0, 1), "air_filter": (30_000, 1000, 24),
    "crankcase_filter": (60_000, 2000, 48), "exhaust_fluid_filter": (150_000, 4500, 60), "particulate_filter": (150_000, 4500, 0),
    "coolant": (100_000, 3000, 60), "transmission": (60_000, 2000, 48), "transfer_case": (60_000, 0, 48), "differential": (60_000, 0, 48),
    "chassis_grease": (7500, 250, 6), "battery_test": (0, 0, 6), "brake_check": (10_000, 0, 12), "tire_rotation": (7500, 0, 6),
    "cabin_filter": (15_000, 0, 12), "plow_hydraulics": (0, 0, 12),
}


@pytest.mark.parametrize(("which", "miles", "hours", "months"), [(which, *told) for which, told in EXAMPLES.items()])
def test_the_example_intervals(which: str, miles: float, hours: float, months: float) -> None:
    """Last done at 1,000 mi and 100 h on Jan 15; a truck that stands still goes by the calendar."""
    record = {f"done__{which}__odometer": 1000, f"done__{which}__engine_hours": 100, f"done__{which}__date": "2026-01-15"}
    still = {"severe_use": "no", "distance_per_week": 0, "idle_hours_per_week": 0, "average_speed": 40}
    said = job(which, today="2026-01-15", read_on="2026-01-15", odometer=1000, engine_hours=100, **still, **record)
    assert said["due_odometer"] == (1000 + miles if miles else None)
    assert said["due_engine_hours"] == (100 + hours if hours else None)
    assert said["due_date"] == (str(date(2026, 1, 15) + relativedelta(months=int(months))) if months else None)
