"""The rows under a fleet's headings as trucks; what can't be used is told by the cell and the heading as they stand."""

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

import calculators
from calculators.engine.entries import READ_ON
from calculators.engine.spreadsheet import (
    REFUSED,
    WARNED,
    WHOLE_ROW,
    Habits,
    Problem,
    day_of,
    habits_of,
    number_of,
    surplus,
    tidy,
    what_would_do,
    yes_or_no,
)
from print.headings import IDENTITY, KEYS, METERS, Column, Headings
from print.roster import Stands, twice, who
from print.spreadsheet import Sheet

FORMAT = {"format": "diesel-handover-truck", "version": 1}
READINGS_DAY = tuple(reversed(READ_ON.values()))  # the columns that tell the day of what the book holds of a reading
SUMS = re.compile(r"(?:(?:grand |sub[- ]?|fleet )?totals?|sums?|(?:fleet )?averages?|avg|mean|median)\b[\s:.=\d]*", re.I)
ONLY_A_NAME = 4  # columns from which on a row that holds nothing but a name is asked about


class Row(NamedTuple):
    """A truck, where it stands, and which sheets its row asks for."""

    number: int
    truck: dict[str, Any]
    sheets: str = ""
    headings: Mapping[str, str] = {}  # what stands above each field

    @property
    def identity(self) -> Mapping[str, str]:
        """Who it is beside its name."""
        told: Mapping[str, str] = self.truck.get("identity", {})
        return told


def read(sheet: Sheet, found: Headings) -> tuple[list[Row], list[Stands], list[Problem]]:
    """Every usable row, every truck that any row names, and every problem."""
    habits = habits_of(*(_cells(sheet, found, kind) for kind in ("number", "date")))
    rows, named, problems = [], [], []
    for number, told in sheet.lines[found.at + 1:]:
        if _are_headings(told, found):
            continue
        at = _At(number, sheet.name, {column.field: (column.heading, told[place].strip() if place < len(told) else "", column.kind)
                                      for place, column in found.columns.items()})
        values = {column.field: _value(column, at.cell(column.field), habits) for column in found.columns.values()}
        if wrong := _no_truck(at, told, values):
            problems += wrong
            continue
        named.append(Stands(number, who(values.get("name", ""), values), *at.keys(), sheet.name))
        if slipped := [] if sheet.name else surplus(number, told[len(sheet.lines[found.at][1]):]):
            problems += slipped
            continue
        row, wrong = _row(at, values, found, habits)
        problems += wrong
        rows += [row] if row else []
    again = twice(named)
    refused = {problem.row for problem in again}
    return [row for row in rows if row.number not in refused], named, problems + again


def _cells(sheet: Sheet, found: Headings, kind: str) -> Iterable[str]:
    places = [place for place, column in found.columns.items() if column.kind == kind]
    return (told[place] for _, told in sheet.lines[found.at + 1:] for place in places if place < len(told))


def _are_headings(told: Sequence[str], found: Headings) -> bool:
    """A printed table repeats them on each page."""
    return all(place < len(told) and " ".join(told[place].split()) == column.heading for place, column in found.columns.items())


def _row(at: "_At", values: Mapping[str, str], found: Headings, habits: Habits) -> tuple[Row | None, list[Problem]]:
    truck = _truck(values, found.columns.values())
    whole, faults = calculators.read_truck(json.dumps(truck))
    if faults or whole is None:
        return None, list(dict.fromkeys(_refused(at, fault, habits) for fault in faults))  # a day may be that of several facts
    headings = {column.field: column.heading for column in found.columns.values()}
    return Row(at.row, whole, values.get("sheets", ""), headings), _warnings(at, values, whole, len(found.columns))


class _At(NamedTuple):
    """A row's place, and each field's heading, cell and kind as they stand."""

    row: int
    sheet: str
    stands: Mapping[str, tuple[str, str, str]]

    def cell(self, field: str) -> str:
        return self.stands[field][1] if field in self.stands else ""

    def heading(self, field: str) -> str:
        return self.stands[field][0] if field in self.stands else field

    def kind(self, field: str) -> str:
        return self.stands[field][2] if field in self.stands else "text"

    def keys(self) -> tuple[dict[str, str], dict[str, str]]:
        """The headings and the cells by which a truck is known."""
        return ({field: self.heading(field) for field in KEYS}, {field: self.cell(field) for field in KEYS})

    def problem(self, field: str, do: str, outcome: str = REFUSED, given: str = "") -> Problem:
        return Problem(self.row, self.heading(field), self.cell(field) or given, do, self.sheet, outcome)


def _no_truck(at: _At, told: Sequence[str], values: Mapping[str, str]) -> list[Problem]:
    """A row of sums, or one that says of no truck what it tells."""
    named = next((field for field in KEYS if values.get(field)), "")
    first = next((cell.strip() for cell in told if cell.strip()), "")
    if not values.get("vin") and any(SUMS.fullmatch(each) for each in (first, *(at.cell(field) for field in KEYS))):
        said = next(each for each in (first, *(at.cell(field) for field in KEYS)) if SUMS.fullmatch(each))
        return [Problem(at.row, WHOLE_ROW, said, f"{said!r} is no truck: the row was left out", at.sheet)]
    if named:
        return []
    field = next((field for field in KEYS if field in at.stands), "name")
    return [at.problem(field, "write what the truck is called, its unit number or its VIN; the row was left out", given=first)]


def _value(column: Column, cell: str, habits: Habits) -> str:
    """What a cell says, as a truck's file has it; as it stands where that can't be told, so that it is refused."""
    match column.kind:
        case "text":
            return " ".join(cell.split()) if tidy(cell) else ""
        case "date":
            return day_of(cell, habits)
        case "yes/no":
            return yes_or_no(cell)
        case "number":
            return number_of(cell, column.unit, habits)
    return tidy(cell)


def _truck(values: Mapping[str, str], columns: Iterable[Column]) -> dict[str, Any]:
    identity = {field: values[field] for field in IDENTITY if values.get(field)}
    if "vin" in identity:
        identity["vin"] = calculators.vin.tidy(identity["vin"]) or identity["vin"]
    truck: dict[str, Any] = {**FORMAT, "name": _name(values, identity), "identity": identity, "facts": {}, "done": {}, "interval": {},
                             "book": _meters(values)}
    for column in columns:
        if column.field not in (*KEYS, *IDENTITY, *METERS, "sheets") and (value := values[column.field]):
            _tell(truck, column.field, value)
    return truck


def _meters(values: Mapping[str, str]) -> list[dict[str, str]]:
    """What only the book holds of a reading, as an entry of it."""
    told = {name: values[name] for name in METERS if values.get(name)}
    day = next((values[name] for name in READINGS_DAY if values.get(name)), "")
    return [{"kind": "reading", **told, **({"date": day} if day else {})}] if told else []


def _name(values: Mapping[str, str], identity: Mapping[str, str]) -> str:
    if values.get("name"):
        return values["name"]
    return f"Unit {identity['unit']}" if "unit" in identity else f"VIN {identity['vin'][-8:]}"


def _tell(truck: dict[str, Any], field: str, value: str) -> None:
    part, *path = field.split(".")
    if path:
        truck[part].setdefault(path[0], {})[path[1]] = value
    else:
        truck["facts"][field] = value


def _refused(at: _At, fault: calculators.Fault, habits: Habits) -> Problem:
    field = _of_column(at, fault.field)
    told = at.kind(field) in ("number", "date")
    return at.problem(field, what_would_do(at.cell(field), fault.do, habits) if told else fault.do, given=str(fault.given))


def _of_column(at: _At, field: str) -> str:
    """What stands in the book as a reading comes from columns too."""
    if not field.startswith("book."):
        return field
    part = field.rpartition(".")[2]
    return next((day for day in READINGS_DAY if at.cell(day)), field) if part == "date" else part


def _warnings(at: _At, values: Mapping[str, str], truck: Mapping[str, Any], columns: int) -> list[Problem]:
    warnings = []
    if values.get("vin") and (fault := calculators.vin.fault(values["vin"])):
        warnings.append(at.problem("vin", fault, WARNED))
    if columns >= ONLY_A_NAME and sum(map(bool, values.values())) == 1 and not values.get("vin"):
        field = next(field for field in KEYS if values.get(field))
        warnings.append(at.problem(field, "nothing but this stands in the row: if it is no truck, take the row out", WARNED))
    return warnings
