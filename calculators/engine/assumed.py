"""What an answer takes from the example: which of it moves the answer most, and which would turn its verdict."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from typing import Any

from calculators.engine.figures import FIGURES, IS_ASSUMED, IS_TOLD, OF_ENGINES, Figure, Missing, figure, keys, per_row
from calculators.engine.rules import Book

VERDICT = "verdict"
_NOISE = 1e-9  # of the result: less is what floating point adds
_HALF, _DOUBLE = 0.5, 2.0  # how far an example's value likely is from another truck's, where nobody wrote better ends
_WORST_FIRST = ("against", "watch", "fits")


class Again:
    """The rules once more with one input moved: only those that it reaches on the way to one value.

    ``holds`` says whether values may stand beside each other.
    """

    def __init__(self, book: Book, known: Mapping[str, Any], holds: Callable[[dict[str, Any]], bool]) -> None:
        self.book, self.known, self.holds = book, known, holds

    def value(self, target: str, key: str, moved: Any) -> Any:
        """What ``target`` would be; nothing where such a value would be refused."""
        need, row = told_as(key)
        known = {**self.known, need: {**self.known[need], row: moved} if row else moved}
        known |= {f"{key}{asked}": told for asked, told in ((IS_TOLD, True), (IS_ASSUMED, False)) if f"{key}{asked}" in known}
        if not _in_bounds((need, *self.book.binds[need]), known):
            return None
        for rule in self.book.between(need, target):
            known[rule.name] = rule.value(known, self.book.strict[rule.name])
        return known[target] if self.holds(known) else None


def most_moving_first(assumed: Sequence[str], mains: Mapping[str, Collection[str]], again: Again) -> list[str]:
    """Those inputs, the ones first that move the first of ``mains`` which any of them moves; then the others as they stand.

    ``mains``: results, each with what it rests on.
    """
    for main, names in mains.items():
        spans = {key: _span(main, key, again) if key in names else 0.0 for key in assumed}
        if any(span > _NOISE * abs(again.known[main]) for span in spans.values()):
            return sorted(assumed, key=lambda key: -_without_noise(spans[key]))
    return list(assumed)


def turning(assumed: Iterable[str], again: Again) -> dict[str, Any]:
    """The first of those inputs that turns the verdict between its likely ends: at which of them, and into what, the worse first.

    What an owner can tell comes before what only an engine's maker knows.
    """
    now = again.known.get(VERDICT)
    for key in sorted(assumed, key=lambda key: _entry(told_as(key)[0]).group == OF_ENGINES):
        found = [(verdict, end) for end in likely(key, again.known) if (verdict := again.value(VERDICT, key, end)) not in (None, now)]
        told = [(verdict, end) for verdict, end in found if not isinstance(verdict, Missing)]
        if told:
            verdict, end = min(told, key=lambda one: _WORST_FIRST.index(one[0]))
            return {"turns": {"input": key, "at": end, "verdict": verdict}}
    return {}


def likely(key: str, known: Mapping[str, Any]) -> list[Any]:
    """The ends between which an example's value likely lies for another truck."""
    need, row = told_as(key)
    entry, value = _entry(need), known[need][row] if row else known[need]
    if entry.choices:
        return [choice for choice in map(entry.read, entry.choices) if choice != value]
    if isinstance(value, bool):
        return [not value]
    if not is_number(value):
        return []
    shares = (0 if entry.maybe_none else _HALF, _DOUBLE)
    return list(entry.likely or entry.spread or (_kept(value * share, entry, known) for share in shares))


def sides(entry: Figure, value: float) -> tuple[float, float]:
    """A tenth down and up; ten degrees for a temperature; one for what is counted whole; never over a bound."""
    share, degrees = FIGURES["sensitivity_share"].value, FIGURES["sensitivity_degrees"].value
    step = degrees if entry.unit == "degF" else 1 if entry.whole else abs(value) * share / 100
    return _kept(value - step, entry, {}), _kept(value + step, entry, {})


def is_number(value: Any) -> bool:
    """Whether it is a number and no yes or no."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def told_as(key: str) -> tuple[str, str]:
    """The need and the row that an input's name stands for: done_date of engine_oil for done.engine_oil.date."""
    head, *rest = key.split(".")
    need = f"{head}_{rest[-1]}" if rest else head
    return (need, rest[0]) if rest and per_row(need) else (key.replace(".", "__"), "")


def _kept(value: float, entry: Figure, known: Mapping[str, Any]) -> float:
    """The value, or the bound that it passes; a whole one where only such will do."""
    low, high = (known.get(bound) if isinstance(bound, str) else bound for bound in (entry.low, entry.high))
    value = round(value) if entry.whole else value
    value = max(value, low) if isinstance(low, int | float) else value
    return min(value, high) if isinstance(high, int | float) else value


def _span(main: str, key: str, again: Again) -> float:
    """How far the result moves between a little less and a little more of an input; a record is no guess, so it is not moved."""
    need, row = told_as(key)
    value = again.known[need][row] if row else again.known[need]
    if not is_number(value) or _entry(need).choices or _entry(need).record:
        return 0
    found = [again.value(main, key, side) for side in sides(_entry(need), value)]
    low, high = (one if is_number(one) else again.known[main] for one in found)
    return abs(float(high) - float(low))


def _without_noise(span: float) -> float:
    """So that what moves a result alike stays in its order."""
    return float(f"{span:.9g}")


def _in_bounds(needs: Iterable[str], known: Mapping[str, Any]) -> bool:
    """Whether those inputs are within their bounds."""
    try:
        for need in needs:
            for row in keys(need):
                _entry(need).within(known[need][row] if row else known[need], known)
    except ValueError:
        return False
    return True


def _entry(need: str) -> Figure:
    entry = figure(need)
    if entry is None:
        raise KeyError(need)
    return entry
