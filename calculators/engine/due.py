"""Service jobs as a page and a sheet list them: by sections, in order, in words; and the reading they go by. Data alone."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from calculators.engine.figures import FIGURES, in_days
from calculators.engine.view import day_of

SECTIONS = {
    "overdue": "Overdue", "this_week": "This week", "this_month": "This month", "later": "Later",
    "do_now": "No record: do it now", "look": "No record: look or test first", "ask": "No record: ask, or compare with the manual",
}  # by urgency, and how each is headed
USUAL = "Where the maker’s intervals are not entered, these go by the usual ones: the manual wins."
_FIRST_STEPS = {"do_now": "Do it now", "look": "Look first", "ask": "Ask first"}
_FAR = 300  # days from today beyond which a day names its year

type Value = Mapping[str, Any]
type Row = Mapping[str, Value]


def due(results: Value, today: date) -> list[dict[str, Any]]:
    """Every job in words for one day, those first that come first; ``results`` as ``service_due`` tells them, in words."""
    perhaps = bool(results["reading_wanted"]["value"])
    found = [_job(row, today, perhaps) for row in results["jobs"]]
    order = list(SECTIONS)
    found.sort(key=lambda job: (order.index(job["section"]), job["day"] or "9999"))
    return [job | {"place": place} for place, job in enumerate(found)]


def reading(answered: Value) -> dict[str, Any]:
    """What is said of the last reading, and whether a new one is asked for first."""
    wanted = bool(answered["results"]["reading_wanted"]["value"])
    read_on = answered["inputs"].get("read_on", {}).get("phrase", "")
    if answered["results"]["readings_age"]["value"] is None:
        return {"wanted": True, "says": "First: write down the odometer and the hours. The dates go by them."}
    return {"wanted": wanted, "says": f"First: read the odometer and the hours. The last reading is of {read_on}." if wanted
            else f"By the reading of {read_on}."}


def named(row: Row) -> str:
    """A job’s name, and on what it depends where that is not told: so where nothing else stands beside it."""
    return ", ".join(filter(None, (row["job"]["phrase"], _condition(row))))


def _condition(row: Row) -> str:
    return str(row["only_if"]["phrase"]) if row["only_if"]["value"] else ""


def turning_days(results: Value, today: date) -> set[date]:
    """The days after today on which some job gets nearer, falls due, is late, or names another year."""
    soon = [int(FIGURES[name].value) for name in ("due_soon", "days_per_week")]
    days = [day for row in results["jobs"] if (day := day_of(row["due_date"]["value"]))]
    apart = [*(-ahead for ahead in (_FAR, *soon)), 1, _FAR + 1]
    return {turned for day in days for each in apart if (turned := in_days(day, each)) > today}


def _job(row: Row, today: date, perhaps: bool) -> dict[str, Any]:
    section = str(row["first_step"]["value"] or row["section"]["value"])
    day = day_of(row["due_date"]["value"])
    about = "" if row["governed_by"]["value"] == "time" else "perhaps " if perhaps else "about "
    brought_by = _brought_by(row)
    told = _FIRST_STEPS.get(section, SECTIONS[section]).lower()
    return {
        "job": row["job"]["value"], "name": row["job"]["phrase"], "section": section, "head": SECTIONS[section],
        "day": day.isoformat() if day else "", "dated": bool(day), "when": _when(row, section, day, today, about),
        "due": _slip(section, day, today, about, brought_by), "brought_by": brought_by,
        "said": ", ".join(filter(None, (told, brought_by))), "usual": bool(row["by_usual_interval"]["value"]),
        "rests_on": row["due_date"].get("rests_on", ""),
    }


def _when(row: Row, section: str, day: date | None, today: date, about: str) -> str:
    """Beside a job: when it falls due, or since when it is."""
    if section in _FIRST_STEPS:
        return ""
    if day is None:
        return str(row["due_date"]["phrase"])
    return f"since {_day(day, today)}" if section == "overdue" else f"{about}{day:%a}, {_day(day, today)}"


def _slip(section: str, day: date | None, today: date, about: str, brought_by: str) -> list[str]:
    """The two lines of a date slip."""
    if section in _FIRST_STEPS:
        return ["no record of it", _FIRST_STEPS[section]]
    if day is None:
        return ["due", brought_by]
    return ["overdue since" if section == "overdue" else f"{about or 'by '}{day:%A}", _day(day, today)]


def _day(day: date, today: date) -> str:
    far = abs((day - today).days) > _FAR
    return f"{day:%b} {day.day}" + (f", {day.year}" if far else "")


def _brought_by(row: Row) -> str:
    """What makes it due, on what it depends, and which clock its record does not start."""
    by = {"distance": f"at {row['odometer_when_due']['phrase']}", "time": "by the calendar",
          "engine_hours": f"at {row['due_engine_hours']['phrase'].replace('hours', 'engine hours')}"}
    no_start = row["clock_without_start"]
    told = [by.get(row["governed_by"]["value"], ""), _condition(row),
            f"no {no_start['phrase']} at the last one" if no_start["value"] else ""]
    return ", ".join(filter(None, told))
