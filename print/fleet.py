"""A fleet's file read, and an example of one: which sheet of it, which headings, which rows are trucks."""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

import calculators
from calculators.engine.spreadsheet import Problem, written
from print import headings, rows, spreadsheet
from print.headings import KEYS, Headings
from print.roster import Stands
from print.rows import Row
from print.spreadsheet import Sheet, Unreadable


class Read(NamedTuple):
    """What a file holds: trucks that can be used, all that it names, what is wrong with it, what is to be said, the headings to keep."""

    rows: list[Row]
    named: list[Stands]
    problems: list[Problem]
    notes: list[str]
    headings: str


def read(data: bytes, tab: str = "", kept: bytes = b"") -> Read:
    """Every usable row of a file's bytes, and every problem; ``kept`` is what an earlier run kept of its headings."""
    sheet = _sheet(spreadsheet.read(data), tab)
    before = headings.kept(kept)
    if not sheet.lines:
        return _nothing(sheet, Problem(1, "name", "", _LACKS_HEADINGS, sheet.name))
    found = headings.read(sheet, headings.place(sheet), before)
    if not {column.field for column in found.columns.values()} & set(KEYS):
        told = ", ".join(cell for cell in sheet.lines[found.at][1] if cell.strip())
        return _nothing(sheet, Problem(found.row, "name", told, _LACKS_HEADINGS, sheet.name), *found.problems)
    good, named, wrong = rows.read(sheet, found)
    problems = sheet.problems + found.problems + wrong
    if not named and not problems:
        problems = [Problem(found.row + 1, "name", "", "write at least one truck under the headings", sheet.name)]
    return Read(good, named, problems, _notes(sheet, found, before), headings.to_keep(found, before))


_LACKS_HEADINGS = "write headings above the columns, one of them “name”, “unit” or “VIN”; `--example-fleet` prints some"


def _nothing(sheet: Sheet, *problems: Problem) -> Read:
    return Read([], [], [*sheet.problems, *problems], [], "")


def _notes(sheet: Sheet, found: Headings, before: Mapping[str, Any]) -> list[str]:
    notes = [f"sheet {sheet.name!r} was read"] if sheet.name else []
    if guessed := headings.said(found, before):
        notes.append(f"taken by their words: {guessed}")
    notes += found.notes
    if found.ignored:
        notes.append(f"columns left out, a truck has no such fact: {', '.join(map(repr, found.ignored))}")
    return notes


def _sheet(sheets: Sequence[Sheet], tab: str) -> Sheet:
    """The sheet that was named, else the one that holds headings of trucks."""
    listed = ", ".join(repr(each.name) for each in sheets)
    if tab:
        named = [each for each in sheets if each.name.casefold() == tab.casefold()]
        if not named:
            raise Unreadable(f"there is no sheet {tab!r} in it: {f'name one of {listed}' if listed else 'it has none'}")
        return named[0]
    shown = [each for each in sheets if not each.hidden]
    if len(shown) == 1:
        return shown[0]
    fit = [each for each in shown if headings.are_of_trucks(each)]
    if len(fit) == 1:
        return fit[0]
    told = ", ".join(repr(each.name) for each in fit or shown)
    raise Unreadable(f"{'several of its sheets have' if fit else 'no sheet of it has'} headings of trucks: name one with --tab ({told})")


# The example ---------------------------------------------------------------------------------------


def example(today: str | None = None) -> str:
    """A CSV to start from: the example trucks, a column for each fact they tell, their last readings and their last jobs."""
    trucks = [calculators.example_truck(name) for name in calculators.example_trucks()]
    units = {field.name: field.unit for field in calculators.truck_form()}
    flat = [{"name": truck["name"], **calculators.fields_of(truck, today)} for truck in trucks]
    fields = list(dict.fromkeys(field for each in flat for field in each))
    lines = [[_bare(each.get(field, ""), units.get(field, "")) for field in fields] for each in flat]
    return written([[f"{field} ({units[field]})" if units.get(field) else field for field in fields], *lines])


def _bare(value: str, unit: str) -> str:
    return value.removesuffix(f" {unit}") if unit else value
