"""Stories of service: a truck with 14 miles, a used one without papers, and one whose oil its idling eats.

Of each story two numbers are moved, to see that the answer moves the right way. Days beside an assertion are counted by hand.
"""

from collections import Counter
from typing import Any

from tests.stories.told import heard, plain

WEEK = {"short_trip_time": "12 min", "short_trips_per_week": 20, "short_trip_speed": "25 mph", "long_trip_time": "45 min",
        "long_trips_per_week": 2, "long_trip_speed": "60 mph", "idle_hours_per_week": "6 h"}  # 190 mi and 11.5 h


def owned(name: str, *book: dict[str, object], **facts: object) -> dict[str, Any]:
    """A truck's file with a book."""
    entries = [{"id": f"{name}-{place}", **entry} for place, entry in enumerate(book)]
    return {"format": "diesel-handover-truck", "version": 2, "id": name, "saved_at": "2026-11-25T08:00:00Z", "name": name,
            "facts": {key: str(told) for key, told in (WEEK | facts).items()}, "interval": {}, "book": entries}


def jobs(told: dict[str, Any], **given: object) -> dict[str, dict[str, Any]]:
    """Every job as each face tells it, by its key."""
    return {row["job"]: row for row in plain(heard("service_due", told, **given))["jobs"]}


def answer(told: dict[str, Any]) -> str:
    return str(heard("service_due", told)["answer"])


# 7: new, 14 miles ------------------------------------------------------------------------------------------------------------

NEW = owned("New", {"kind": "delivery", "date": "2026-11-20", "new": True, "odometer": "14 mi", "engine_hours": "1 h"}, plows="yes",
            four_wheel_drive="yes")


def test_a_new_trucks_clocks_start_at_its_delivery_and_nothing_is_due_today() -> None:
    found = jobs(NEW)
    assert len(found) == 17
    assert {row["status"] for row in found.values()} <= {"ahead", "due"}
    assert all(row["due_date"] > "2026-11-25" for row in found.values())
    assert found["separator_drain"]["due_date"] == "2026-12-20"  # a month from the delivery
    assert (found["engine_oil"]["due_odometer"], found["engine_oil"]["due_engine_hours"]) == (14 + 7500 / 2, 1 + 250 * 0.8)
    said = answer(NEW)
    assert said.startswith("Next: Drain the water separator, due by Dec 20, 2026.")
    assert not any(word in said for word in ("today", "now", "Overdue", "no record"))


def test_who_works_it_harder_or_easier_has_its_first_oil_sooner_or_later() -> None:
    """200 h at 11.5 a week are 121 days, at 25.5 there are 54; in normal use without a plow 250 h at 7.5 a week come after the miles."""
    hours = [jobs(NEW | {"facts": NEW["facts"] | {"idle_hours_per_week": f"{idle} h"}})["engine_oil"] for idle in (6, 20)]
    assert [row["due_date"] for row in hours] == ["2027-03-21", "2027-01-13"]
    assert jobs(NEW, severe_use="no")["engine_oil"]["due_date"] > "2027-04"


# 8: used, 87,412 miles, no papers ----------------------------------------------------------------------------------------------

USED = owned("Used", {"kind": "delivery", "date": "2026-11-20", "odometer": "87412 mi", "engine_hours": "3100 h"})
NO_PLOW = USED | {"facts": USED["facts"] | {"plows": "no"}}


def test_a_used_truck_without_papers_has_three_jobs_now_and_no_date() -> None:
    found = jobs(USED)
    assert Counter(row["first_step"] for row in found.values()) == {"do_now": 3, "look": 8, "ask": 6}
    assert {key for key, row in found.items() if row["first_step"] == "do_now"} == {"separator_drain", "engine_oil", "fuel_filters"}
    assert {found[key]["first_step"] for key in ("coolant", "transmission", "differential", "particulate_filter")} == {"ask"}
    assert {row["due_date"] for row in found.values()} == {None}
    said = answer(USED)
    assert "Do three now" in said and "8 others" in said and "ask about 6" in said
    assert not any(word in said for word in ("overdue", "late", "due "))


def test_a_truck_that_does_not_plow_has_seven_to_look_at() -> None:
    found = jobs(NO_PLOW)
    assert "plow_hydraulics" not in found
    assert Counter(row["first_step"] for row in found.values())["look"] == 7
    assert "7 others" in answer(NO_PLOW)


def test_a_record_takes_a_job_off_the_list_and_an_old_one_is_overdue_since_its_day() -> None:
    """Oil at 80,000 mi on June 1 is due 3,750 miles on; by the straight line from there to 87,412 on Nov 20 that was on Aug 27."""
    oil = {"kind": "job", "job": "engine_oil", "date": "2026-11-21", "odometer": "87420 mi", "engine_hours": "3101 h"}
    fresh = owned("Used", *USED["book"], oil)
    assert Counter(row["first_step"] for row in jobs(fresh).values())["do_now"] == 2
    assert jobs(fresh)["engine_oil"]["status"] == "ahead"
    old = owned("Used", *USED["book"], oil | {"date": "2026-06-01", "odometer": "80000 mi", "engine_hours": "2900 h"})
    row = jobs(old)["engine_oil"]
    assert (row["status"], row["overdue"]) == ("overdue", True)
    assert "2026-08-20" <= row["due_date"] <= "2026-09-01"
    assert answer(old).startswith("Overdue since Aug ")


# A bucket truck whose hours outrun its miles -------------------------------------------------------------------------------------

BUCKET = owned("Bucket", {"kind": "job", "job": "engine_oil", "date": "2026-11-01", "odometer": "50000 mi", "engine_hours": "4000 h"},
               {"kind": "reading", "date": "2026-11-22", "odometer": "50570 mi", "engine_hours": "4106 h"}, idle_hours_per_week="30 h",
               power_take_off="yes")


def test_hours_rule_a_bucket_trucks_oil_on_the_calendar_as_in_its_cost() -> None:
    """106 h in three weeks are 35.5 a week: of 200 h, 94 are left and last 18 days from Nov 22. A year of 50 such weeks: 8.9 changes."""
    row = jobs(BUCKET)["engine_oil"]
    assert (row["governed_by"], row["due_engine_hours"]) == ("engine_hours", 4200)
    assert "2026-12-09" <= row["due_date"] <= "2026-12-11"
    cost = plain(heard("fluid_cost", BUCKET))
    assert abs(cost["oil_changes_per_year"] - 106 / 21 * 7 * 50 / 200) < 0.01


def test_its_own_interval_is_neither_cut_by_the_calendar_nor_by_the_cost() -> None:
    own = BUCKET | {"interval": {"engine_oil": {"engine_hours": "300 h", "distance": "10000 mi", "time": "12 month"}}}
    assert jobs(own)["engine_oil"]["due_engine_hours"] == 4300
    assert abs(plain(heard("fluid_cost", own))["oil_changes_per_year"] - 106 / 21 * 7 * 50 / 300) < 0.01
