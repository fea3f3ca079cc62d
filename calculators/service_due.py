"""What service is due next, and when?"""

from datetime import date
from typing import Any, NamedTuple

from calculators import one_job
from calculators.engine.figures import Missing
from calculators.engine.named import (
    after_months,
    column,
    column_where,
    days_between,
    earliest_of,
    how_many,
    missing,
    row_says,
    whose_is_earliest,
)
from calculators.engine.rules import Caution, Each
from calculators.engine.units import Count, Days, Months

HEADLINE = ("next_recorded_job", "next_recorded_due_date", "jobs_overdue", "jobs_not_recorded")
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


jobs = Each(one_job, "job", governs="next_recorded_job")


def next_job(jobs: list[dict[str, Any]]) -> str | Missing:
    """The job with the earliest due date; of equals, the first in the list. A job without a record is due today."""
    return whose_is_earliest(column(jobs, "job"), column(jobs, "due_date"))


def next_due_date(jobs: list[dict[str, Any]]) -> date | Missing:
    """That job’s due date."""
    return earliest_of(column(jobs, "due_date"))


def jobs_overdue(jobs: list[dict[str, Any]]) -> Count:
    """How many jobs are overdue today."""
    return how_many(column(jobs, "overdue"), True)


def jobs_not_recorded(jobs: list[dict[str, Any]]) -> Count:
    """How many jobs have no record: treat them as due, then start the record."""
    return how_many(column(jobs, "recorded"), False)


def jobs_recorded(jobs: list[dict[str, Any]]) -> Count:
    """How many jobs have a record to count from."""
    return how_many(column(jobs, "recorded"), True)


def next_is_overdue(jobs: list[dict[str, Any]], next_job: str) -> bool | Missing:
    """Whether that first job is overdue."""
    return row_says(jobs, next_job, "overdue")


def next_recorded_job(jobs: list[dict[str, Any]]) -> str | Missing:
    """The first due of the jobs that have a record."""
    return whose_is_earliest(column_where(jobs, "job", "recorded"), column_where(jobs, "due_date", "recorded"))


def next_recorded_due_date(jobs: list[dict[str, Any]]) -> date | Missing:
    """That job’s due date."""
    return earliest_of(column_where(jobs, "due_date", "recorded"))


def drains_ahead(jobs: list[dict[str, Any]], interval__separator_drain__time: Months | Missing, separator_drain_interval: Months,
                 drains_ahead_count: Count) -> list[Drain]:
    """A year of separator drains: the next one, then one interval after another."""
    first = next(row["due_date"] for row in jobs if row["job"] == "separator_drain")
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


def answer(next_job: str | Missing, next_is_overdue: bool, jobs_recorded: Count, jobs_not_recorded: Count) -> str:
    """The sentence that says what to do."""
    return ("Nothing is known to come due: enter when each job was last done." if missing(next_job)
            else "No job is on record: treat every one as due now, have it done, and start the record." if jobs_recorded == 0
            else "Do this first, it was due {next_due_date}: {next_job}." if next_is_overdue
            else "Next on record: {next_recorded_job}, due {next_recorded_due_date}. One more job has no record, "
                 "so treat it as due now and start a record." if jobs_not_recorded == 1
            else "Next on record: {next_recorded_job}, due {next_recorded_due_date}. {jobs_not_recorded} more jobs have no record, "
                 "so treat them as due now and start a record." if jobs_not_recorded > 0
            else "Next: {next_job}, due {next_due_date}.")
