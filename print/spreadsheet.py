"""A fleet's file as people have it, CSV or workbook: each sheet as lines of text, a cell as it stands there."""

import io
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any, NamedTuple

import python_calamine
from python_calamine import CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

from calculators.engine.spreadsheet import Line, Problem, lines_of, text_of, without_end

SURE_DIGITS = 15  # of a number that a spreadsheet keeps
WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")
NO_TABLE = {b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture", b"GIF8": "a picture"}


class Unreadable(ValueError):
    """What was given is no table that can be read."""


class Sheet(NamedTuple):
    """One sheet of a file: every line that holds anything, by its number there, and the lines that can't be read."""

    name: str
    lines: list[Line]
    problems: list[Problem]
    hidden: bool = False


def read(data: bytes) -> list[Sheet]:
    """The sheets of a workbook, or the only one of a CSV; Unreadable says why there are none."""
    if data[:4] in WORKBOOKS:
        return _workbook(data)
    for mark, kind in NO_TABLE.items():
        if data.startswith(mark):
            raise Unreadable(f"this is {kind}: give the table itself, as .xlsx or .csv")
    return [Sheet("", *lines_of(text_of(data)))]


def _workbook(data: bytes) -> list[Sheet]:
    try:
        with CalamineWorkbook.from_filelike(io.BytesIO(data)) as book:
            return [Sheet(each.name, list(_filled(book, each.name)), [], each.visible != SheetVisibleEnum.Visible)
                    for each in book.sheets_metadata if each.typ == SheetTypeEnum.WorkSheet]
    except python_calamine.PasswordError:
        raise Unreadable("the workbook is locked with a password: save it without one") from None
    except (python_calamine.CalamineError, OSError, ValueError):
        raise Unreadable("this is no whole workbook: save it again as .xlsx, or as .csv") from None


def _filled(book: CalamineWorkbook, name: str) -> Iterator[Line]:
    # skip_empty_area would count the rows from the first filled one
    for number, cells in enumerate(book.get_sheet_by_name(name).to_python(skip_empty_area=False), 1):
        if filled := without_end([_as_text(cell) for cell in cells]):
            yield number, filled


def _as_text(cell: Any) -> str:
    """A cell as a spreadsheet shows it without any format: a day as 2026-11-30, a span of time in hours."""
    match cell:
        case bool():
            return "yes" if cell else "no"
        case float():
            return format(cell, f".{SURE_DIGITS}g") if abs(cell) < 10**SURE_DIGITS else f"{cell:.0f}"
        case datetime():
            return cell.date().isoformat() if cell.time() == time() else cell.isoformat(" ", "minutes")
        case date() | time():
            return cell.isoformat()
        case timedelta():
            return f"{cell / timedelta(hours=1):.6g} h"
    return str(cell).strip()
