"""What a page asks about a truck's file and its book: opened, united, one entry more, as a table, each as plain JSON."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from calculators.engine.book import METERS, Entry, counted_back, current, read_entries, read_entry
from calculators.engine.book import opened as book_on
from calculators.engine.book_table import new_to, read_table, write_table
from calculators.engine.book_view import book_view
from calculators.engine.entries import Asked, Raw, content_id, merge
from calculators.engine.estimate import estimate
from calculators.engine.facts import Fault
from calculators.engine.figures import ENTRY, calendar_day
from calculators.engine.meters import Dated, Reading
from calculators.engine.owner import fields_of, owner
from calculators.engine.show import words
from calculators.engine.truck import upgraded
from calculators.engine.truck_file import read_truck
from calculators.engine.truck_union import NotOneTruck, united

# Said of an entry before it is added, where it does not go with the others.
AGAIN = "If it is right, press the button again."
TOO_FAST = {"odometer": "More miles than a truck can drive since {}.", "engine_hours": "More hours than have passed since {}.",
            "idle_hours": "More hours than have passed since {}."}
BEFORE_IT = "Entries before this day would no longer count for your miles a week."
NEW_METER = "Typing error, or a new meter? A new one is told under Your records."

type Reply = tuple[dict[str, Any], list[Fault]]


def opened(request: Mapping[str, Any]) -> Reply:
    """A file's truck; with the day of its opening as its owner's own, and what its fields show."""
    today = request.get("today")
    truck, faults = read_truck(request["text"], calendar_day(today) if today else None)
    told = fields_of(truck, today or date.today().isoformat()) if truck else {}
    return {"truck": truck, "told": told}, faults


def joined(request: Mapping[str, Any]) -> Reply:
    """Copies of one truck as one."""
    try:
        return {"truck": united(*request["trucks"])}, []
    except NotOneTruck as wrong:
        return {"truck": None}, [Fault("id", "", str(wrong))]


def added(request: Mapping[str, Any]) -> Reply:
    """The truck with one entry more, if that can be read; an entry without an id gets one of its content.

    What its owner must be asked about it, as of ``today``, is told with it: it stands in the book all the same. So is its row in a list.
    """
    truck = dict(upgraded(request["truck"]))
    raw: Raw = dict(request["entry"])
    raw.setdefault("id", content_id(str(truck["name"]), raw))
    entry, faults = read_entry(raw)
    if faults:
        return {"truck": None, "id": None}, [fault._replace(field=fault.field.rpartition(".")[2]) for fault in faults]
    made = {**truck, "book": merge(truck["book"], [raw])}
    asked = _odd(read_entries(truck["book"])[0], entry, date.fromisoformat(request["today"])) if "today" in request else []
    return {"truck": made, "id": entry.id, "asked": asked, "row": next(iter(book_view([raw])), None)}, []  # no row of a deletion


def _odd(before: list[Entry], entry: Entry, today: date) -> list[dict[str, str]]:
    """What an entry's owner is asked about before it is added, by field: also where it would push an older reading out."""
    book = book_on(before, today)
    new = [one for one in book_on([*before, entry], today).asked if one not in book.asked]
    day = counted_back(entry, today).date if "days_ago" in entry.told else entry.date
    doubts = {(one.field or "date", _doubt(one, entry, day, book.entries)): None for one in new}
    return [{"field": field, "do": f"{doubt} {AGAIN}"} for field, doubt in doubts]


def _doubt(one: Asked, entry: Entry, day: date | None, entries: Dated) -> str:
    """What is wrong with it, in words that name the reading which it contradicts."""
    if one.field not in METERS and entry.kind == "delivery" and entry.id not in one.ids:
        return BEFORE_IT
    if one.field not in METERS:
        return one.why[:1].upper() + one.why[1:] + ("" if one.why.endswith("?") else ".")
    kept = entries.readings(one.field).kept
    if entry.id not in one.ids:
        lost = next((reading for reading in kept if reading.id in one.ids), None)
        return f"With it, {_reading(lost)} would no longer count. Typing error?" if lost else "Another reading would no longer count."
    higher = [reading for reading in kept if day and reading.date <= day and reading.value > entry.told[one.field]]
    lower = [reading for reading in kept if day and reading.date > day and reading.value < entry.told[one.field]]
    if higher:
        return f"Lower than {_reading(higher[-1])}. {NEW_METER}"
    if lower:
        return f"Higher than {_reading(lower[0])}. Typing error?"
    before = [reading for reading in kept if day and reading.date <= day]
    if before:
        return f"{TOO_FAST[one.field].format(_reading(before[-1]))} Typing error?"
    return "It does not go with the readings around it. Typing error?"


def _reading(reading: Reading) -> str:
    return f"{words(reading.value, '', exact=True).phrase} on {words(reading.date).phrase}"


def listed(request: Mapping[str, Any]) -> Reply:
    """The entries that count, the newest first, in words; and what the owner must be asked."""
    truck = upgraded(request["truck"])
    entries, faults = read_entries(truck["book"])
    asked = owner(truck, {}, request["today"]).book.asked
    newest_first = [_listed(entry, request["today"]) for entry in reversed(current(entries))]
    return {"entries": newest_first, "asked": [{"ids": list(one.ids), "why": one.why} for one in asked]}, faults


def _listed(entry: Entry, today: str) -> dict[str, Any]:
    day = counted_back(entry, date.fromisoformat(today)).date if "days_ago" in entry.told else entry.date
    fields = [{"name": name, "question": ENTRY[name].question, "value": value, "phrase": words(value, ENTRY[name].unit, exact=True).phrase}
              for name, value in entry.told.items() if name not in ("days_ago", "written", "replaces", "conflicts_with")]
    return {"id": entry.id, "date": day and day.isoformat(), "phrase": words(day).phrase if day else "", "kind": entry.kind,
            "label": words(entry.kind).phrase, "fields": fields, "replaces": entry.get("replaces")}


def as_table(request: Mapping[str, Any]) -> Reply:
    """The whole book as a table."""
    return {"text": write_table(upgraded(request["truck"])["book"])}, []


def from_table(request: Mapping[str, Any]) -> Reply:
    """The truck with a table's rows in its book; how many were new, how many were other trucks', and what could not be used."""
    truck = dict(upgraded(request["truck"]))
    table = read_table(request["text"], truck)
    rows = new_to(truck["book"], table.entries)
    problems = [problem._asdict() for problem in table.problems]
    return {"truck": {**truck, "book": merge(truck["book"], rows)}, "added": len(rows), "others": table.others, "problems": problems}, []


def estimated(request: Mapping[str, Any]) -> Reply:
    """What the meters should show on a day."""
    return {"meters": estimate(request["truck"], date.fromisoformat(request["today"]), date.fromisoformat(request["day"]))}, []


REPLIES: dict[str, Callable[[Mapping[str, Any]], Reply]] = {
    "read_truck": opened, "join_trucks": joined, "add_entry": added, "list_entries": listed, "write_table": as_table,
    "read_table": from_table, "estimate": estimated,
}
