"""A table as people's spreadsheets write it: UTF-8, UTF-16 or what the machine always wrote; commas, semicolons, tabs; days and numbers
of either habit. What can't be used is told by row and column.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from calculators.engine.reading import is_bare

_DELIMITER_TOLD = re.compile(r'"?sep=([,;\t|])"?[,;\t| ]*(?:\r\n|\r|\n|$)', re.I)  # a line that only spreadsheets read, and don't show
_NUMBER = re.compile(r"(-?[\d.,]+)(\s*[^\d\s].*)?")
_DECIMAL_COMMA = re.compile(r"-?(?:0|\d{1,3}(?:\.\d{3})+),\d+|-?\d+,(?:\d{1,2}|\d{4,})")
_THOUSANDS_DOT = re.compile(r"-?[1-9]\d{0,2}(?:\.\d{3})+")
_EITHER_COMMA = re.compile(r"-?[1-9]\d{0,2},\d{3}")
_DAY_FIRST = re.compile(r"(?:1[3-9]|2\d|3[01])/(?:0?[1-9]|1[0-2])/\d{2,4}\b")
_DAYS = ("%Y-%m-%d", "%d.%m.%Y", "%d.%m.%y", "%Y/%m/%d", "%b %d, %Y", "%d-%b-%Y", "%d-%b-%y")
_SLASH_DAYS = {False: ("%m/%d/%Y", "%m/%d/%y"), True: ("%d/%m/%Y", "%d/%m/%y")}  # by whether the day comes first
_TIME_OF_DAY = re.compile(r"[T ]+\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?\s*(?:[AP]M)?Z?$", re.I)
_DAY_0 = date(1899, 12, 30)
_RUNS = re.compile(r"'*(?:[=+@\t\r]|-(?![\d.]+$))")

Line = tuple[int, list[str]]  # its number as a spreadsheet counts, the heading being 1, and its cells


class Problem(NamedTuple):
    """A cell, a row or a column that can't be used."""

    row: int  # as a spreadsheet counts: the heading is row 1
    column: str
    value: str
    do: str

    def __str__(self) -> str:
        return f"row {self.row}, {self.column}: {' '.join(self.value.split())[:60]!r}: {self.do}"


class Habits(NamedTuple):
    """How a file writes what could be read two ways: one cell that shows it speaks for the whole file."""

    decimal_comma: bool
    day_first: bool


def text_of(data: bytes) -> str:
    """A spreadsheet writes UTF-8 with a mark, UTF-16, or what its machine always wrote."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def lines_of(text: str) -> tuple[list[Line], list[Problem]]:
    """Each line that holds anything, with its number in a spreadsheet, and a problem for each whose quotation marks don't fit."""
    told = _DELIMITER_TOLD.match(text)
    raw = io.StringIO(text[told.end():] if told else text, newline="").readlines()
    first = next((line for line in raw if line.strip()), "")
    table = csv.reader(raw, delimiter=told[1] if told else max(",;\t", key=first.count), strict=True)
    lines: list[Line] = []
    problems: list[Problem] = []
    number = 0
    while (start := table.line_num) < len(raw):
        number += 1
        try:
            cells = next(table)
        except csv.Error:
            problems.append(_unquoted(number, raw[start:table.line_num]))
            number += table.line_num - start - 1
            continue
        while cells and not cells[-1].strip():
            cells.pop()
        if cells:
            lines.append((number, cells))
    return lines, problems


def _unquoted(number: int, lost: Sequence[str]) -> Problem:
    rows = f"rows {number} to {number + len(lost) - 1} were" if len(lost) > 1 else "the row was"
    return Problem(number, "(whole row)", lost[0].strip()[:80],
                   f"close each quotation mark that starts a cell, and write one inside such a cell twice; {rows} left out")


def named_twice(row: int, fields: Sequence[str]) -> list[Problem]:
    """A problem for each field that two columns hold, so that no row under them can be trusted."""
    twice = sorted({field for field in fields if fields.count(field) > 1})
    return [Problem(row, field, field, "two columns have this name, so no row was read: leave only one of them") for field in twice]


def surplus(row: int, cells: Iterable[str]) -> list[Problem]:
    """A cell that no heading stands above: the row has most likely slipped, and none of its cells can be trusted."""
    told = list(filter(None, map(str.strip, cells)))
    do = "the row has more cells than there are headings: put quotation marks around a cell with a comma in it, or write the heading"
    return [Problem(row, "(after the last column)", ", ".join(told), do)] if told else []


def habits_of(numbers: Iterable[str], days: Iterable[str]) -> Habits:
    """How the file writes its numbers and days, from all cells that hold one."""
    told = filter(None, (_NUMBER.fullmatch(cell.strip()) for cell in numbers))
    return Habits(any(_DECIMAL_COMMA.fullmatch(number[1]) for number in told), any(_DAY_FIRST.match(cell.strip()) for cell in days))


def number_of(cell: str, unit: str, habits: Habits) -> str:
    """A cell's number as it is typed with a point for decimals, and the column's unit after a bare one."""
    told = _NUMBER.fullmatch(cell) if habits.decimal_comma else None
    said = _with_point(told[1]) + (told[2] or "") if told else cell
    return f"{said} {unit}" if unit and is_bare(said) else said


def _with_point(number: str) -> str:
    """A number of a file whose decimal mark is a comma; one that could be either so that it could still be."""
    if _DECIMAL_COMMA.fullmatch(number) or _EITHER_COMMA.fullmatch(number):
        return number.replace(".", "").replace(",", ".")
    if _THOUSANDS_DOT.fullmatch(number):
        return number.replace(".", "")
    return number


def what_would_do(cell: str, do: str, habits: Habits) -> str:
    """What would do instead of a cell; of a number that could be either, both."""
    told = _NUMBER.fullmatch(cell)
    if habits.decimal_comma and told and _EITHER_COMMA.fullmatch(told[1]):
        return f"elsewhere in this file a comma is the decimal mark: write {told[1].replace(',', '')}, or {told[1]}0 if that is meant"
    return do


def day_of(cell: str, habits: Habits) -> str:
    """A spreadsheet's day as ours; as it was told where it is none."""
    if re.fullmatch(r"[34567]\d{4}(?:[.,]\d+)?", cell):  # a day that a spreadsheet shows as the number it keeps, the hour its fraction
        return (_DAY_0 + timedelta(days=int(cell[:5]))).isoformat()
    day = _TIME_OF_DAY.sub("", cell)
    for form in (*_DAYS, *_SLASH_DAYS[habits.day_first]):
        try:
            return datetime.strptime(day, form).date().isoformat()
        except ValueError:
            continue
    return cell


def written(rows: Iterable[Iterable[object]]) -> str:
    """Rows as a table for a spreadsheet."""
    target = io.StringIO(newline="")
    csv.writer(target, lineterminator="\n").writerows(rows)
    return target.getvalue()


def harmless(cell: object) -> object:
    """A cell that would run in a spreadsheet, made plain text."""
    return f"'{cell}" if _RUNS.match(str(cell)) else cell


def as_typed(cell: str) -> str:
    """What was typed into a cell that ``harmless`` made plain."""
    return cell[1:] if cell[:1] == "'" and _RUNS.match(cell[1:]) else cell
