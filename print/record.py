"""A truck's book on paper: the lines of its record, in letters that paper can draw."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from calculators.engine.book_record import Line, Record, record
from calculators.engine.truck import upgraded
from print import letters

LACKING = "[…]"  # stands where letters are left out


def of(truck: Mapping[str, Any], today: str) -> Record:
    """What a truck's record shows on a day."""
    made = record(upgraded(truck)["book"], date.fromisoformat(today))
    return made._replace(lines=tuple(map(_drawn, made.lines)))


def _drawn(line: Line) -> Line:
    return line._replace(own=tuple(map(_shown, line.own)), by=_shown(line.by))


def _shown(text: str) -> str:
    """A text with a mark at its end where letters are lacking."""
    return f"{letters.fitting(text, len(text))} {LACKING}".strip() if letters.lacking(text) else letters.fitting(text, len(text))
