"""What moves the answer: each input a little down and up by itself, the rest as it is."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from calculators.engine.answer import Computed, Refused, compute, headline
from calculators.engine.assumed import is_number, sides
from calculators.engine.figures import Figure, keys
from calculators.engine.rules import Book

_NOISE = 1e-9  # of the result: less is what floating point adds


class Moved(NamedTuple):
    """One input tried low and high, and what the main result became."""

    input: str
    low: float
    high: float
    unit: str
    result_at_low: float
    result_at_high: float

    @property
    def span(self) -> float:
        """How far the result moved between the two."""
        return abs(self.result_at_high - self.result_at_low)


def sensitivity(name: str, given: Mapping[str, Any], truck: Mapping[str, Any] | None, today: str) -> tuple[str, list[Moved]]:
    """The first result of the headline that anything moves, and what moves it, most first. Refused where there is no answer."""
    made = compute(name, given, truck, today)
    for main in (n for n in headline(name) if is_number(made.known[n])):
        if moved := _moved(made, main, name, given, truck, today):
            return main, moved
    return "", []


def _moved(made: Computed, main: str, name: str, given: Mapping[str, Any], truck: Mapping[str, Any] | None, today: str) -> list[Moved]:
    moved: list[Moved] = []
    feeding = _feeding(made.book, main)
    for need, entry in made.book.inputs.items():
        for row, key in keys(need).items() if need in feeding else ():
            value = made.known[need][row] if row else made.known[need]
            if made.got.origin.get(key) and is_number(value) and not entry.choices:
                moved.append(_try(made, main, name, given, truck, today, key, entry, value))
    noise = _NOISE * abs(made.known[main])
    return sorted((m for m in moved if m.span > noise), key=lambda m: -m.span)


def _feeding(book: Book, main: str) -> set[str]:
    """All that the main result follows from: only that can move it."""
    found = {main}
    for rule in reversed(book.values()):
        found |= set(rule.needs) if rule.name in found else set()
    return found


def _try(made: Computed, main: str, name: str, given: Mapping[str, Any], truck: Mapping[str, Any] | None, today: str, key: str,
         entry: Figure, value: float) -> Moved:
    """The input a little down and up; where a side has no answer, as far as what was told, so that the other side still counts."""
    found = []
    for side in sides(entry, value):
        try:
            result = compute(name, {**given, key: side}, truck, today).known[main]
        except Refused:
            result = None
        found.append((side, result) if is_number(result) else (value, made.known[main]))
    (low, at_low), (high, at_high) = found
    return Moved(key, low, high, entry.unit, at_low, at_high)
