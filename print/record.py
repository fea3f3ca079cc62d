"""A truck's book on paper: the lines of its record, in letters that paper can draw."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from calculators.engine.book_record import Line, Record, record
from calculators.engine.truck import upgraded
from print import letters

BY = 24  # letters that the column of who did it takes; a longer one stands among the words
LACKING = "[…]"  # stands where letters are left out


def of(truck: Mapping[str, Any], today: str) -> Record:
    """What a truck's record shows on a day."""
    made = record(upgraded(truck)["book"], date.fromisoformat(today))
    return made._replace(lines=tuple(map(_drawn, made.lines)))


def nothing() -> Record:
    """Of a night's look at what goes by the day: a book's entries don't."""
    return Record((), 0, "", "")


def blocks(fingerprint: str) -> str:
    """A fingerprint as it is compared by eye: in blocks of eight."""
    return " ".join(fingerprint[at:at + 8] for at in range(0, len(fingerprint), 8))


def _drawn(line: Line) -> Line:
    by = _shown(line.by)
    own = tuple(_shown(text) for text in line.own)
    return line._replace(own=own, by=by) if len(by) <= BY else line._replace(own=(*own, by), by="")


def _shown(text: str) -> str:
    """A text with a mark at its end where letters are lacking."""
    return f"{letters.fitting(text, len(text))} {LACKING}".strip() if letters.lacking(text) else letters.fitting(text, len(text))
