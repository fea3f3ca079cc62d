"""A table as people's spreadsheets write it: UTF-8, UTF-16 or what the machine always wrote; commas, semicolons, tabs; days and numbers
of either habit. What can't be used is told by row and column.
"""

import csv
import io
import re
from array import array
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import batched, islice
from typing import NamedTuple

from calculators.engine.reading import is_bare

DELIMITERS = ",;\t|"
_DELIMITER_TOLD = re.compile(r'"?sep=([,;\t|])"?[,;\t| ]*(?:\r\n|\r|\n|$)', re.I)  # a line that only spreadsheets read, and don't show
_LINE = re.compile(r"[^\r\n]*(?:\r\n?|\n)|[^\r\n]+")
_LOOKED_AT = 20  # lines by which a table shows its delimiter
# What people write where nothing is known.
_NOTHING = {"", "n/a", "na", "#n/a", "none", "nil", "null", "-", "--", "—", "–", "?", "tbd", "unknown", "pending"}
_YES, _NO = {"y", "x", "✓", "✔", "☑", "1"}, {"n", "0"}

_NUMBER = re.compile(r"\$?\s*(-?[\d.,]+)(\s*[^\d\s].*)?")
_SPACED = re.compile(r"(?<=\d)[\s'’](?=\d{3}(?!\d))")  # 87 412 and 87'412
_DECIMAL_COMMA = re.compile(r"-?(?:0|\d{1,3}(?:\.\d{3})+),\d+|-?\d+,(?:\d{1,2}|\d{4,})")
_THOUSANDS_DOT = re.compile(r"-?[1-9]\d{0,2}(?:\.\d{3})+")
_EITHER_COMMA = re.compile(r"-?[1-9]\d{0,2},\d{3}")

_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})")
_BY_DOTS = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4}|\d{2})")
_EITHER_ORDER = re.compile(r"(\d{1,2})[/-](\d{1,2})[/-](\d{4}|\d{2})")
_MONTH_BEFORE = re.compile(r"(?:[a-z]+, )?([a-z]{3,10})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4}|\d{2})", re.I)
_MONTH_BETWEEN = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[- ]([a-z]{3,10})\.?[- ,]+(\d{4}|\d{2})", re.I)
_UNMARKED = re.compile(r"(20\d\d)(\d\d)(\d\d)")
_KEPT_AS_NUMBER = re.compile(r"([34567]\d{4})(?:[.,]\d+)?")  # a day that a spreadsheet shows as the number it keeps, the hour its fraction
_TIME_OF_DAY = re.compile(r"[T ]+\d{1,2}:\d{2}(?::\d{2}(?:\.\d+)?)?\s*(?:[AP]M)?Z?$", re.I)
_DAY_0 = date(1899, 12, 30)
_MONTHS = {name: number for number, names in enumerate(
    ("jan ene", "feb", "mar", "apr abr", "may", "jun", "jul", "aug ago", "sep set", "oct", "nov", "dec dic"), 1) for name in names.split()}
_OF_THIS_CENTURY = 69  # the last of two digits that are; from the next on the year is of the last one
_RUNS = re.compile(r"'*(?:[=+@\t\r]|-(?![\d.]+$))")
_MOST = 60  # letters of a cell that are told again

WARNED, REFUSED = "warned", "left out"
WHOLE_ROW = "(whole row)"

Line = tuple[int, list[str]]  # its number as a spreadsheet counts, the heading being 1, and its cells


class Problem(NamedTuple):
    """A cell, a row or a heading that can't be used, as it stands in the file, and what would do."""

    row: int  # as a spreadsheet counts: the heading is row 1
    column: str
    value: str
    do: str
    sheet: str = ""  # of a workbook
    outcome: str = REFUSED

    def __str__(self) -> str:
        sheet = f"sheet {self.sheet!r}, " if self.sheet else ""
        return f"{sheet}row {self.row}, {self.column}: {' '.join(self.value.split())[:_MOST]!r}: {self.do}"


class Habits(NamedTuple):
    """How a file writes what could be read two ways: the cells that show it speak for the whole file."""

    decimal_comma: bool
    day_first: bool
    month_first: bool = False


# Lines -----------------------------------------------------------------------------------------------------------------------------


def text_of(data: bytes) -> str:
    """A spreadsheet writes UTF-8 with a mark, UTF-16, or what its machine always wrote."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


class Lines:
    """Some lines of a long table, each cut out of its text again when its turn comes: a fleet's book has more than a memory holds."""

    def __init__(self, text: str, delimiter: str) -> None:
        self._text, self._delimiter, self._places = text, delimiter, array("Q")

    def add(self, number: int, start: int, end: int) -> None:
        """One line more: its number in a spreadsheet, and where it stands in the text."""
        self._places.extend((number, start, end))

    def extend(self, others: "Lines") -> None:
        """All of some others of the same text."""
        self._places.extend(others._places)

    def __len__(self) -> int:
        return len(self._places) // 3

    def __iter__(self) -> Iterator[Line]:
        places = list(batched(self._places, 3, strict=True))
        rows = csv.reader((self._text[start:end] for _, start, end in places), delimiter=self._delimiter, strict=True)
        yield from ((number, without_end(cells)) for (number, _, _), cells in zip(places, rows, strict=True))


def lines_of(text: str) -> tuple[list[Line], list[Problem]]:
    """Each line that holds anything, with its number in a spreadsheet, and a problem for each whose quotation marks don't fit."""
    problems: list[Problem] = []
    return [(number, cells) for number, cells, _, _ in each_line(text, problems)], problems


def each_line(text: str, problems: list[Problem]) -> Iterator[tuple[int, list[str], int, int]]:
    """The same one after another, each with where it stands in the text; the problems are added to those."""
    taken: list[re.Match[str]] = []  # the lines of text of the row in hand
    number = 0

    def raw() -> Iterator[str]:
        for found in _lines_of_text(text):
            taken.append(found)
            yield found[0]

    table = csv.reader(raw(), delimiter=delimiter_of(text), strict=True)
    while True:
        taken.clear()
        try:
            cells = without_end(next(table))
        except StopIteration:
            return
        except csv.Error:
            problems.append(_unquoted(number + 1, [found[0] for found in taken]))
            number += len(taken)
            continue
        number += 1
        if cells:
            yield number, cells, taken[0].start(), taken[-1].end()


def _lines_of_text(text: str) -> Iterator[re.Match[str]]:
    told = _DELIMITER_TOLD.match(text)
    return _LINE.finditer(text, told.end() if told else 0)


def delimiter_of(text: str) -> str:
    """What stands between the cells: as the text says itself, else as its first lines show."""
    told = _DELIMITER_TOLD.match(text)
    return told[1] if told else _delimiter(found[0] for found in _lines_of_text(text))


def _delimiter(raw: Iterable[str]) -> str:
    """The one that the most lines show, at least half of them: a title above the headings may hold a comma of its own."""
    filled = list(islice((line for line in raw if line.strip()), _LOOKED_AT))
    shown = {each: (sum(each in line for line in filled), sum(line.count(each) for line in filled)) for each in DELIMITERS}
    best = max(DELIMITERS, key=lambda each: shown[each])
    return best if 2 * shown[best][0] >= len(filled) else DELIMITERS[0]


def without_end(cells: list[str]) -> list[str]:
    """A line without the empty cells at its end."""
    while cells and not cells[-1].strip():
        cells.pop()
    return cells


def _unquoted(number: int, lost: Sequence[str]) -> Problem:
    rows = f"rows {number} to {number + len(lost) - 1} were" if len(lost) > 1 else "the row was"
    return Problem(number, WHOLE_ROW, lost[0].strip()[:80],
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


# Cells -----------------------------------------------------------------------------------------------------------------------------


def habits_of(numbers: Iterable[str], days: Iterable[str]) -> Habits:
    """How the file writes its numbers and days, from all cells that hold one."""
    told = (found for cell in numbers if "," in cell and (found := _NUMBER.fullmatch(tidy(cell))))
    orders = (found for cell in set(days) if (found := _EITHER_ORDER.fullmatch(_TIME_OF_DAY.sub("", tidy(cell)))))
    can_be = {(bool(_of_order(day, True)), bool(_of_order(day, False))) for day in orders}  # day first, month first
    return Habits(any(_DECIMAL_COMMA.fullmatch(number[1]) for number in told), (True, False) in can_be, (False, True) in can_be)


def tidy(cell: str) -> str:
    """A cell without the marks that only a format puts there; nothing where it says that nothing is known."""
    text = " ".join(cell.split()).replace("\u2212", "-")
    return "" if text.casefold() in _NOTHING else _SPACED.sub("", text)


def yes_or_no(cell: str) -> str:
    """A cell that people tick or leave as yes or no."""
    text = tidy(cell)
    return "yes" if text.casefold() in _YES else "no" if text.casefold() in _NO else text


def number_of(cell: str, unit: str, habits: Habits) -> str:
    """A cell's number as it is typed with a point for decimals, and the column's unit after a bare one."""
    text = tidy(cell)
    told = _NUMBER.fullmatch(text) if habits.decimal_comma else None
    said = _with_point(told[1]) + (told[2] or "") if told else text
    return f"{said} {unit}" if unit and is_bare(said) else said


def _with_point(number: str) -> str:
    """A number of a file whose decimal mark is a comma; one that could be either so that it could still be."""
    if _DECIMAL_COMMA.fullmatch(number) or _EITHER_COMMA.fullmatch(number):
        return number.replace(".", "").replace(",", ".")
    if _THOUSANDS_DOT.fullmatch(number):
        return number.replace(".", "")
    return number


def what_would_do(cell: str, do: str, habits: Habits) -> str:
    """What would do instead of a cell; of one that this file's own habits leave unclear, both readings."""
    text = tidy(cell)
    number, day = _NUMBER.fullmatch(text), _EITHER_ORDER.fullmatch(_TIME_OF_DAY.sub("", text))
    if habits.decimal_comma and number and _EITHER_COMMA.fullmatch(number[1]):
        return f"elsewhere in this file a comma is the decimal mark: write {number[1].replace(',', '')}, or {number[1]}0 if that is meant"
    if day and _is_unclear(day, habits):
        both = " or ".join(str(_of_order(day, order)) for order in (False, True))
        return f"this file writes some days day first and some month first: write {both}"
    return do


def day_of(cell: str, habits: Habits) -> str:
    """A spreadsheet's day as ours; as it was told where it is none, or could be either of two."""
    text = tidy(cell)
    if found := _KEPT_AS_NUMBER.fullmatch(text):
        return (_DAY_0 + timedelta(days=int(found[1]))).isoformat()
    day = _found_day(_TIME_OF_DAY.sub("", text), habits)
    return day.isoformat() if day else text


def _found_day(text: str, habits: Habits) -> date | None:
    if found := _YEAR_FIRST.fullmatch(text) or _UNMARKED.fullmatch(text):
        return _date(found[1], found[2], found[3])
    if found := _BY_DOTS.fullmatch(text):
        return _date(found[3], found[2], found[1])
    if found := _MONTH_BEFORE.fullmatch(text):
        return _date(found[3], found[1], found[2])
    if found := _MONTH_BETWEEN.fullmatch(text):
        return _date(found[3], found[2], found[1])
    if found := _EITHER_ORDER.fullmatch(text):
        return _either(found, habits)
    return None


def _either(found: re.Match[str], habits: Habits) -> date | None:
    """7/13/2026 and 13/7/2026 tell themselves apart; 5/7/2026 goes by what else the file shows, and month first where it shows nothing."""
    day_first, month_first = _of_order(found, True), _of_order(found, False)
    if _is_unclear(found, habits):
        return None
    return (day_first or month_first) if habits.day_first else (month_first or day_first)


def _is_unclear(found: re.Match[str], habits: Habits) -> bool:
    both = _of_order(found, True), _of_order(found, False)
    return habits.day_first and habits.month_first and all(both) and both[0] != both[1]


def _of_order(found: re.Match[str], day_first: bool) -> date | None:
    month, day = (found[2], found[1]) if day_first else (found[1], found[2])
    return _date(found[3], month, day)


def _date(year: str, month: str, day: str) -> date | None:
    number = _MONTHS.get(month[:3].casefold(), 0) if month.isalpha() else int(month)
    whole = int(year) if len(year) == 4 else int(year) + (2000 if int(year) <= _OF_THIS_CENTURY else 1900)
    try:
        return date(whole, number, int(day))
    except ValueError:
        return None


# Writing ---------------------------------------------------------------------------------------------------------------------------


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
