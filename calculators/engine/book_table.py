"""A book as one flat table, in and out: an entry a row, the unit in the heading, with the manners of a fleet's file."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from calculators.engine.entries import Entry, Raw, content_id, read_entries, read_entry
from calculators.engine.figures import ENTRY, ENTRY_KINDS, Figure
from calculators.engine.form import typed
from calculators.engine.numerals import unsure
from calculators.engine.spreadsheet import (
    Habits,
    Line,
    Lines,
    Problem,
    as_typed,
    day_of,
    delimiter_of,
    each_line,
    habits_of,
    harmless,
    named_twice,
    number_of,
    surplus,
    what_would_do,
    written,
)
from calculators.engine.units import UNITLESS, has_decimals

COLUMNS = (
    "date", "kind", "odometer", "engine_hours", "idle_hours", "fuel", "full", "missed", "hard", "price", "station", "def", "new", "job",
    "cost", "by", "part", "receipt", "jar", "water", "burn", "burns_finished", "burns_broken_off", "oil_mark", "oil_level", "oil_added",
    "tires", "meter_new", "estimated", "fuel_in_oil", "light", "note", "id", "written", "replaces",
    "def_level", "fuel_in_tank",
)
TRUCK = "truck"
_PLAIN = ("date", "kind", "id", TRUCK)  # columns that no field of an entry stands in
_HEADING = re.compile(r"(\w+)\s*(?:\(\s*(.*?)\s*\))?")
_PLAIN_NUMBER = re.compile(r"(?:0|[1-9][0-9]{0,8})(?:\.[0-9]{1,6})?")
_TEXT = ("text", "word")


class Column(NamedTuple):
    """What a column holds, how its heading stands there, and the unit of its bare numbers."""

    field: str
    heading: str
    unit: str

    @property
    def entry(self) -> Figure | None:
        """The field of an entry, if it is one."""
        return None if self.field in _PLAIN else ENTRY[self.field]

    @property
    def holds_numbers(self) -> bool:
        """Whether its cells are numbers."""
        return self.entry is not None and self.entry.unit not in (*_TEXT, "yes/no")


class Table(NamedTuple):
    """The good rows of a table as entries, what could not be used, and how many rows are other trucks'."""

    entries: list[Raw]
    problems: list[Problem]
    others: int


class Divided(NamedTuple):
    """A table's rows by the truck that they name, not read yet, and how its columns are written; no rows where its headings won't do."""

    columns: Mapping[int, Column]
    width: int
    habits: Habits
    rows: Mapping[str, Lines]  # by what stands under `truck`, in small letters; "" where nothing does
    problems: list[Problem]

    def entries(self, rows: Iterable[Line], owner: str) -> tuple[list[Raw], list[Problem]]:
        """The good ones of some rows, and what is wrong with the others; ``owner`` is the name of their truck."""
        found: list[Raw] = []
        problems: list[Problem] = []
        for number, cells in rows:
            full = {place: as_typed(cell.strip()) for place, cell in enumerate(cells) if cell.strip()}
            told = {column.field: full[place] for place, column in self.columns.items() if place in full and column.field != TRUCK}
            raw = _entry(told, self.columns.values(), self.habits, owner)
            wrong = surplus(number, cells[self.width:]) or _wrong(number, raw, told, self.columns.values(), self.habits)
            problems += wrong
            found += [] if wrong else [raw]
        return found, problems


def divided(text: str, *, of_many: bool = False) -> Divided:
    """A table by trucks; where it is ``of_many``, every row must name its own."""
    problems: list[Problem] = []
    lines = each_line(text, problems)
    at, headings, *_ = next(lines, (1, [], 0, 0))
    columns = {place: column for place, heading in enumerate(headings) if (column := _column(heading.strip()))}
    fields = [column.field for column in columns.values()]
    wrong = [Problem(at, name, ",".join(headings), f"write a first line of headings, one of them `{name}`")
             for name in ("date", "kind", *([TRUCK] if of_many else [])) if name not in fields] + named_twice(at, fields)
    rows = _by_truck(text, lines, next((place for place, column in columns.items() if column.field == TRUCK), None))
    unknown = [_unknown(at, heading) for place, heading in enumerate(headings) if heading.strip() and place not in columns]
    return Divided(columns, len(headings), _habits(rows.values(), columns), {} if wrong else rows, wrong + problems + unknown)


def _by_truck(text: str, lines: Iterable[tuple[int, list[str], int, int]], where: int | None) -> dict[str, Lines]:
    rows: dict[str, Lines] = {}
    delimiter = delimiter_of(text)
    for number, cells, start, end in lines:
        told = plain(as_typed(cells[where])) if where is not None and where < len(cells) else ""
        if told not in rows:
            rows[told] = Lines(text, delimiter)
        rows[told].add(number, start, end)
    return rows


def plain(told: str) -> str:
    """A truck's name, unit or VIN as it is compared: in whatever case or spacing it is written."""
    return " ".join(told.casefold().split())


def read_table(text: str, truck: Mapping[str, Any]) -> Table:
    """Every usable row of a table that is this truck's, or says no truck."""
    table = divided(text)
    own = sorted(line for told, rows in table.rows.items() if not told or _is(truck, told) for line in rows)
    found, problems = table.entries(own, str(truck.get("name", "")))
    return Table(found, table.problems + problems, sum(map(len, table.rows.values())) - len(own))


def _unknown(row: int, heading: str) -> Problem:
    do = f"an entry has no such field, so the column was left out: take it out, or name it one of {', '.join(COLUMNS)}"
    return Problem(row, heading, heading, do)


def _column(heading: str) -> Column | None:
    told = _HEADING.fullmatch(heading)
    field = told[1].casefold() if told else ""
    if not told or field not in (*COLUMNS, *_PLAIN):
        return None
    declared = ENTRY[field].unit if field in ENTRY else ""
    return Column(field, heading, told[2] or ("" if declared in UNITLESS else declared))


def _habits(rows: Iterable[Lines], columns: Mapping[int, Column]) -> Habits:
    lines = list(rows)
    numbers = [place for place, column in columns.items() if column.holds_numbers]
    days = [place for place, column in columns.items() if column.field == "date"]
    return habits_of(_cells(lines, numbers), _cells(lines, days))


def _cells(rows: Iterable[Lines], places: Sequence[int]) -> Iterator[str]:
    return (cells[place] for lines in rows for _, cells in lines for place in places if place < len(cells))


def _is(truck: Mapping[str, Any], told: str) -> bool:
    """Whether a row's truck is this one: by its VIN, its unit, else its name."""
    identity = truck.get("identity")
    named = identity if isinstance(identity, dict) else {}
    return told in {plain(str(name or "")) for name in (named.get("vin"), named.get("unit"), truck.get("name"))}


def _entry(told: Mapping[str, str], columns: Iterable[Column], habits: Habits, owner: str) -> Raw:
    """A row as an entry; without an id one is made from what the row says, so that reading it twice adds nothing."""
    raw: Raw = {}
    for column in columns:
        cell = told.get(column.field)
        if cell is not None:
            raw[column.field] = (day_of(cell, habits) if column.field == "date" else _number(column, cell, habits)
                                 if column.holds_numbers else cell.replace(" ", "_").casefold() if _is_key(column) else cell)
    return raw if "id" in raw else {**raw, "id": content_id(owner, raw)}


def _number(column: Column, cell: str, habits: Habits) -> str:
    """As a file keeps it, so that a row written another way is the same entry; as it stands where it won't do."""
    plain = _PLAIN_NUMBER.fullmatch(cell) and not (habits.decimal_comma or unsure(cell))
    if plain and column.unit and column.unit == ENTRY[column.field].unit:  # as most cells of a long table are, and most of its time was
        return f"{cell} {column.unit}"
    told = number_of(cell, column.unit, habits)
    try:
        return str(ENTRY[column.field].kept(told))
    except ValueError:
        return told


def _is_key(column: Column) -> bool:
    return column.field in ("kind", "job") or (column.entry is not None and bool(column.entry.choices))


def _wrong(number: int, raw: Raw, told: Mapping[str, str], columns: Iterable[Column], habits: Habits) -> list[Problem]:
    headings = {column.field: column.heading for column in columns}
    found = {fault.field.rpartition(".")[2]: fault.do for fault in read_entry(raw)[1]}
    if raw.get("kind") not in ENTRY_KINDS:
        found["kind"] = f"write one of {', '.join(ENTRY_KINDS)}"
    rows = ((field, told.get(field, ""), do) for field, do in found.items())
    return [Problem(number, headings.get(field, field), cell, what_would_do(cell, do, habits)) for field, cell, do in rows]


def new_to(book: Iterable[Raw], rows: Sequence[Raw]) -> list[Raw]:
    """The rows that a book does not hold yet: one that says what the entry of its id says is that entry, however it is written."""
    known = {entry.id: entry for entry in read_entries(book)[0]}
    read, _ = read_entries(rows)
    return [raw for raw, entry in zip(rows, read, strict=True) if not _same(known.get(entry.id), entry)]


def _same(one: Entry | None, other: Entry) -> bool:
    """Whether an entry says all that a row says; what a table has no column for, a row can't say."""
    return one is not None and (one.date, one.kind) == (other.date, other.kind) and all(
        one.told.get(field) == other.told.get(field) for field in COLUMNS if field not in _PLAIN)


def write_table(book: Iterable[Raw]) -> str:
    """The same the other way round, in declared units."""
    units = {name: ENTRY[name].unit for name in COLUMNS if name in ENTRY and ENTRY[name].unit not in (*UNITLESS, *_TEXT)}
    headings = [f"{name} ({units[name]})" if name in units else name for name in COLUMNS]
    return written([headings, *(_row(entry) for entry in read_entries(book)[0])])


def _row(entry: Entry) -> list[object]:
    plain = {"date": entry.date.isoformat() if entry.date else "", "kind": entry.kind, "id": entry.id}
    return [harmless(plain[name] if name in plain else _cell(entry.told.get(name), name)) for name in COLUMNS]


def _cell(value: Any, name: str) -> str:
    """All digits, and no 1e-07, which a spreadsheet's habits don't cover; nor 41.205 miles, which could be 41,205."""
    if not isinstance(value, float):
        return typed(value)
    digits = format(Decimal(repr(value)), "f").removesuffix(".0")
    return f"{digits}0" if unsure(digits.removeprefix("-")) and not has_decimals(ENTRY[name].unit) else digits
