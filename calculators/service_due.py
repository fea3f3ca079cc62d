"""What service is due next, and when?"""

from datetime import date
from typing import Any, NamedTuple

from calculators import one_job
from calculators.engine.figures import Missing
from calculators.engine.meters import Dated
from calculators.engine.named import (
    after_months,
    column,
    date_of,
    days_between,
    has_reading,
    how_many,
    missing,
    next_up,
    not_before,
    row_says,
)
from calculators.engine.rules import Caution, Each
from calculators.engine.units import Count, Days, Hours, Miles, Months

HEADLINE = ("next_job", "next_due_date", "jobs_overdue", "jobs_unknown", "readings_age")
EXAMPLE_BOOK = True  # the books of the example trucks, which elsewhere keep out


class Drain(NamedTuple):
    """One line of the year’s drain record."""

    due_date: date | Missing


def days_since_reading(today: date, read_on: date) -> Days:
    """Days since the odometer was read."""
    return days_between(read_on, today)


def days_since_hours_reading(today: date, engine_hours_read_on: date) -> Days:
    """Days since the engine hours were read."""
    return days_between(engine_hours_read_on, today)


def engine_hours_at_reading(engine_hours: Hours, engine_hours_read_on: date, read_on: date, engine_hours_per_week: Hours,
                            days_per_week: Days) -> Hours:
    """The engine hours on the day the odometer was read, at the week’s pace; never below none."""
    return max(0, _carried(engine_hours, engine_hours_read_on, read_on, engine_hours_per_week, days_per_week))


def _carried(hours: Hours, start: date, end: date, per_week: Hours, days_per_week: Days) -> Hours:
    return hours + days_between(start, end) * per_week / days_per_week


def odometer_now(odometer: Miles, days_since_reading: Days, distance_per_week: Miles, days_per_week: Days) -> Miles:
    """The last reading and what is usual since."""
    return odometer + days_since_reading * distance_per_week / days_per_week


def engine_hours_now(engine_hours: Hours, days_since_hours_reading: Days, engine_hours_per_week: Hours, days_per_week: Days) -> Hours:
    """The same for the engine hours."""
    return engine_hours + days_since_hours_reading * engine_hours_per_week / days_per_week


def readings_age(book: Dated, days_since_reading: Days) -> Days | Missing:
    """Days since the odometer was read."""
    return days_since_reading if has_reading(book, "odometer") or days_since_reading > 0 else Missing("no reading is written down yet")


def reading_wanted(readings_age: Days | Missing, odometer_now: Miles, odometer: Miles, usual_oil_interval: Miles,
                   reading_stale: Days) -> bool:
    """Whether the dates want a new reading first: after 45 days, or half an oil interval by estimate."""
    return False if missing(readings_age) else readings_age > reading_stale or (odometer_now - odometer) * 2 > usual_oil_interval


jobs = Each(one_job, "job", governs="next_job", where="fitted")


def next_job(jobs: list[dict[str, Any]]) -> str | Missing:
    """The job with the earliest date, an overdue one first; of equals, the first in the list."""
    return next_up(column(jobs, "job"), column(jobs, "due_date"), column(jobs, "overdue"))


def next_due_date(jobs: list[dict[str, Any]], next_job: str) -> date | Missing:
    """That job’s date; of an overdue one, the day since which."""
    return date_of(jobs, next_job, "due_date")


def _how_many(jobs: list[dict[str, Any]], cell: str, says: str) -> Count:
    return how_many(column(jobs, cell), says)


def jobs_overdue(jobs: list[dict[str, Any]]) -> Count:
    """How many jobs are overdue today."""
    return _how_many(jobs, "status", "overdue")


def jobs_unknown(jobs: list[dict[str, Any]]) -> Count:
    """How many jobs have no record to count from."""
    return _how_many(jobs, "status", "unknown")


def jobs_recorded(jobs: list[dict[str, Any]]) -> Count:
    """How many jobs have a record to count from."""
    return how_many(column(jobs, "recorded"), True)


def jobs_to_look_at(jobs: list[dict[str, Any]]) -> Count:
    """How many of those without a record can be looked at or tested."""
    return _how_many(jobs, "first_step", "look")


def jobs_to_ask_about(jobs: list[dict[str, Any]]) -> Count:
    """How many of them must be asked about, or compared with the manual."""
    return _how_many(jobs, "first_step", "ask")


def next_is_overdue(jobs: list[dict[str, Any]], next_job: str) -> bool | Missing:
    """Whether that first job is overdue."""
    return row_says(jobs, next_job, "overdue")


def next_is_carried_on(jobs: list[dict[str, Any]], next_job: str) -> bool | Missing:
    """Whether its day is carried on from a reading, and no more than likely."""
    return row_says(jobs, next_job, "carried_on")


def drains_ahead(jobs: list[dict[str, Any]], interval__separator_drain__time: Months | Missing, separator_drain_interval: Months,
                 drains_ahead_count: Count, today: date) -> list[Drain]:
    """A year of separator drains: the next one, today if it is overdue, then one interval after another."""
    first = not_before(next(row["due_date"] for row in jobs if row["job"] == "separator_drain"), today)
    months = separator_drain_interval if missing(interval__separator_drain__time) else interval__separator_drain__time
    return [Drain(first if missing(first) else after_months(first, months * line)) for line in range(int(drains_ahead_count))]


def under_the_truck() -> Caution:
    """Said with every answer: work under the truck."""
    return Caution("WARNING", "A truck that rolls or falls off a jack crushes whoever is under it.",
                   "Level ground, wheels chocked, parking brake set. Never lie under a truck held by a jack alone.")


def draining() -> Caution:
    """Said with every answer: draining fuel and oil."""
    return Caution("CAUTION", "Fuel burns, and hot oil and coolant scald.",
                   "Drain only with the engine off and cool. Catch the fuel, away from hot parts and flames. "
                   "On skin or in eyes: rinse with water.")


def high_pressure_fuel() -> Caution:
    """Said with every answer: fuel under pressure."""
    return Caution("WARNING", "High-pressure fuel goes through skin and can cost a hand or a life.",
                   "Never loosen a high-pressure line and never feel for a leak. After shut-off wait as long as the maker’s manual says. "
                   "A small painless hole in the skin is an emergency: go to a hospital at once.")


def answer(next_job: str | Missing, next_is_overdue: bool | Missing, next_is_carried_on: bool | Missing, jobs_overdue: Count,
           jobs_recorded: Count, jobs_unknown: Count, reading_wanted: bool) -> str:
    """The sentence that says what to do."""
    return (_without_a_record() if jobs_recorded == 0
            else _read_first(reading_wanted)
            + _next(next_job, next_is_overdue, jobs_overdue, reading_wanted and not missing(next_is_carried_on) and next_is_carried_on)
            + _unknown(jobs_unknown))


def _without_a_record() -> str:
    return ("No job is on record. Do three now: drain the water separator, change the engine oil, and change both fuel filters. "
            "Look at or test {jobs_to_look_at} others, and ask about {jobs_to_ask_about} or compare them with the manual.")


def _read_first(wanted: bool) -> str:
    return "Read the odometer and the hours first: the last reading is of {read_on}. " if wanted else ""


def _next(job: str | Missing, overdue: bool | Missing, how_many: Count, perhaps: bool) -> str:
    if missing(job):
        return "No job has a date while the truck stands: go by the miles and hours beside each."
    if not missing(overdue) and overdue:
        since = "perhaps since" if perhaps else "since"
        return (f"Overdue {since} {{next_due_date}}: {{next_job}}. Do it first." if how_many == 1
                else f"{{jobs_overdue}} jobs are overdue. Do this one first, overdue {since} {{next_due_date}}: {{next_job}}.")
    return f"Next: {{next_job}}, due {'perhaps' if perhaps else 'by'} {{next_due_date}}."


def _unknown(how_many: Count) -> str:
    return ("" if how_many == 0 else " One more job has no record: see what to do about it first." if how_many == 1
            else " {jobs_unknown} more jobs have no record: see what to do about each first.")
