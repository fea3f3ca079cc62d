"""What can't be used of a fleet's file, as a table: each cell and heading as it stands there, and what would do."""

from collections.abc import Iterable

from calculators.engine.spreadsheet import Problem, harmless, written


def table(problems: Iterable[Problem]) -> str:
    """All of them for a spreadsheet."""
    return as_csv(Problem._fields, problems)


def as_csv(heads: Iterable[str], lines: Iterable[Iterable[object]]) -> str:
    """A table for a spreadsheet, with the mark by which it knows the letters' code; no cell of it runs."""
    return "\ufeff" + written((heads, *(map(harmless, line) for line in lines)))
