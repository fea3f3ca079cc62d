"""Service dates as iCalendar (RFC 5545, 2009), for command line and page alike: imported again, an event moves.

All-day events with a reminder are all that is needed, and the browser's Python lacks what the library for it
imports; so these few lines are the only writer, and the library reads them back in the tests.
"""

import hashlib
from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Any

from calculators.engine.due import named

_ROOM = 74  # octets of a line: 75 at most (RFC 5545, 3.1), one of them the space before what goes on


def calendar(trucks: Mapping[str, Iterable[Mapping[str, Any]]], today: str, ids: Mapping[str, str]) -> str:
    """Every job that has a date, by its truck's name, as an all-day event; empty where none has."""
    events = [line for name, jobs in trucks.items() for job in jobs if job["due_date"]["value"]
              for line in _event(name, job, today, ids.get(name, name))]
    if not events:
        return ""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Diesel Handover//EN", *events, "END:VCALENDAR"]
    return "".join(f"{_folded(line)}\r\n" for line in lines)


def _event(name: str, job: Mapping[str, Any], today: str, truck: str) -> list[str]:
    since, made = date.fromisoformat(job["due_date"]["value"]), date.fromisoformat(today)
    due = max(since, made)  # nobody looks at what is past
    year = "" if since.year == made.year else f", {since.year}"
    late = f"OVERDUE since {since:%b} {since.day}{year}: " if job["overdue"]["value"] else ""
    title = _text(f"{late}{name}: {named(job)}")
    end = [f"DTEND;VALUE=DATE:{_compact(due + timedelta(days=1))}"] if due < date.max else []  # one day either way
    return [
        "BEGIN:VEVENT", f"SUMMARY:{title}", f"DTSTART;VALUE=DATE:{_compact(due)}", *end,
        f"DTSTAMP:{today.replace('-', '')}T000000Z", f"UID:{_stable(truck, job['job']['value'])}", f"DESCRIPTION:{_text(_whichever(job))}",
        "TRANSP:TRANSPARENT", "BEGIN:VALARM", "ACTION:DISPLAY", f"DESCRIPTION:{title}", "TRIGGER:-P1D", "END:VALARM", "END:VEVENT",
    ]  # fmt: skip


def _whichever(job: Mapping[str, Any]) -> str:
    told = [job[part]["phrase"] for part in ("odometer_when_due", "due_engine_hours") if job[part]["value"] is not None]
    if job["overdue"]["value"]:
        return f"It was due {job['due_date']['phrase']}. The maker’s manual wins."
    return f"{'Or at ' + ' or '.join(told) + ', whichever comes first. ' if told else ''}The maker’s manual wins."


def _compact(day: date) -> str:
    """Four digits for the year, also before the year 1000."""
    return day.isoformat().replace("-", "")


def _stable(truck: str, job: str) -> str:
    """The same for the same truck's id or name, in whatever case or spacing, so that a second import updates."""
    plain = " ".join(truck.split()).casefold()
    return f"{hashlib.sha256(plain.encode(errors="replace")).hexdigest()[:16]}-{job.replace('_', '-')}@diesel-handover"


def _text(words: str) -> str:
    """RFC 5545, 3.3.11; a name's line breaks and other control characters become spaces."""
    plain = "".join(letter if letter.isprintable() else " " for letter in words)
    return plain.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")


def _folded(line: str) -> str:
    """RFC 5545, 3.1: a long line goes on in the next after a space, and no letter is split."""
    parts, room = [""], _ROOM
    for letter in line:
        size = len(letter.encode())
        if size > room:
            parts.append("")
            room = _ROOM
        parts[-1] += letter
        room -= size
    return "\r\n ".join(parts)
