"""Service dates as a calendar file: imported again, an event moves instead of standing there twice."""

import hashlib
import re
from datetime import UTC, date, datetime, timedelta

from icalendar import Alarm, Calendar, Event

import calculators
from print.sheet import EXAMPLE, numbers_of


def calendar(truck, today):
    """Every job that has a record, an all-day event each, as iCalendar bytes."""
    name = (truck or calculators.example_truck(EXAMPLE))["name"]
    made = Calendar()
    made.add("prodid", f"-//Diesel Handover//{calculators.__version__}//EN")
    made.add("version", "2.0")
    for row in numbers_of(truck, today).answer("service_due")["results"]["jobs"]:
        if row["recorded"]["value"] is True:
            made.add_component(_event(name, row, today))
    return made.to_ical()


def _event(name, row, today):
    due = date.fromisoformat(row["due_date"]["value"])
    event = Event()
    event.add("uid", f"{_stable(name)}-{row['job']['value'].replace('_', '-')}@diesel-handover")
    event.add("dtstamp", datetime.fromisoformat(today).replace(tzinfo=UTC))
    event.add("dtstart", due)
    event.add("dtend", due + timedelta(days=1))
    event.add("summary", f"{name}: {row['job']['phrase']}")
    event.add("description", _whichever(row))
    event.add("transp", "TRANSPARENT")
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", f"{name}: {row['job']['phrase']}")
    alarm.add("trigger", timedelta(days=-1))
    event.add_component(alarm)
    return event


def _whichever(row):
    told = [row[part]["phrase"] for part in ("due_odometer", "due_engine_hours") if row[part]["value"] is not None]
    return f"{'Or at ' + ' or '.join(told) + ', whichever comes first. ' if told else ''}The maker’s manual wins."


def _stable(name):
    """The same for the same truck's name in whatever case or spacing."""
    plain = re.sub(r"\s+", " ", name).strip().casefold()
    return hashlib.sha256(plain.encode()).hexdigest()[:16]
