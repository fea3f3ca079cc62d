"""A fleet's book, one table for all trucks: each truck's entries, and the rows that are no truck's."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from calculators.engine.book_table import Divided, divided, plain
from calculators.engine.entries import merge
from calculators.engine.spreadsheet import WARNED, Lines, Problem
from print.roster import Who
from print.spreadsheet import Unreadable


class Book(NamedTuple):
    """A table of entries, divided by trucks but not read; each truck's rows are read when its turn comes."""

    table: Divided
    rows: Mapping[str, Lines]  # by the truck's id
    problems: list[Problem]

    def added_to(self, truck: Mapping[str, Any], own: str, sheet: str) -> tuple[dict[str, Any], list[Problem]]:
        """A truck with its rows of the table in its book, and what can't be used of them."""
        entries, problems = self.table.entries(self.rows.get(own, ()), str(truck["name"]))
        return dict(truck) | {"book": merge(truck["book"], entries)}, [problem._replace(sheet=sheet) for problem in problems]


def read(text: str, sheet: str, trucks: Mapping[str, Who]) -> Book:
    """A table whose rows name the trucks of a fleet, known by id; a truck goes by its VIN, its unit, else its name."""
    table = divided(text, of_many=True)
    if not table.rows and table.problems:
        raise Unreadable(f"{table.problems[0].column}: {table.problems[0].do}")
    ids = _ids(trucks)
    rows: dict[str, Lines] = {}
    for told, lines in table.rows.items():
        if told in ids and ids[told] in rows:
            rows[ids[told]].extend(lines)
        elif told in ids:
            rows[ids[told]] = lines
    strange = [(told, lines) for told, lines in table.rows.items() if told not in ids]
    wrong = [*table.problems, *(_nobodys(told, lines) for told, lines in strange)]
    return Book(table, rows, [problem._replace(sheet=sheet) for problem in wrong])


def _ids(trucks: Mapping[str, Who]) -> dict[str, str]:
    """A truck's id by all that it may be called; the surest wins, and a name that two trucks bear is nobody's."""
    found: dict[str, str] = {}
    for called in ("vin", "unit", "name"):
        told = [(plain(getattr(who, called)), own) for own, who in trucks.items() if getattr(who, called)]
        for name, own in told:
            if name not in found and sum(name == other for other, _ in told) == 1:
                found[name] = own
    return found


def _nobodys(told: str, lines: Lines) -> Problem:
    count = f"{len(lines)} {'row' if len(lines) == 1 else 'rows'} left out"
    do = f"{count}: no one truck of the fleet goes by it; write its VIN, its unit or its name"
    return Problem(next(iter(lines))[0], "truck", told, do, outcome=WARNED)
