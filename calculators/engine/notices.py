"""What is said where a truck's book and what was told don't agree."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from calculators.engine.book import Learned
from calculators.engine.facts import Gathered, Whose, gather, of_another
from calculators.engine.figures import FIGURES, Missing, figure_of
from calculators.engine.levels import READ_ON, Level
from calculators.engine.owner import PACES, Owner, follows_from
from calculators.engine.rules import Caution, calculator, followed, run
from calculators.engine.show import words

_METERS = ("odometer", "engine_hours")


def told_apart(got: Gathered, told: Owner, learned: Mapping[str, Learned]) -> dict[str, float]:
    """What was told of inputs for which the book's value stands, where the two lie more than a fifth apart."""
    values = {key: _told(key, told.facts) for key, one in learned.items()
              if got.origin.get(key) == "book" and key not in READ_ON and _is_number(one.value)}
    return {key: value for key, value in values.items() if value is not None and _apart(value, learned[key].value)}


def _told(key: str, facts: Mapping[str, Any]) -> float | None:
    """A number as the truck's facts tell it, or as it follows from them alone: not where an example's value has a part in it."""
    entry = figure_of(key)
    try:
        if entry and key in facts:
            return float(entry.read(facts[key]))
    except ValueError:
        return None
    if key not in PACES or not follows_from(key) & facts.keys():
        return None
    book = followed(calculator("week"), key)
    moved = {need: other.high for need in book.needs if need not in facts and (other := figure_of(need)) and other.question}
    ends = (run(book, gather(book, {"truck": told}, Whose.OWN).known) for told in (facts, {**facts, **moved}))
    value, another = (known.get(key, Missing("")) for known in ends)
    return float(value) if _is_number(value) and value == another else None


def _apart(told: float, measured: float) -> bool:
    return bool(abs(told - measured) * 100 > FIGURES["told_apart"].value * abs(measured))


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def notices(got: Gathered, told: Owner, given: Mapping[str, Any], apart: Mapping[str, float], metric: bool) -> Iterator[Caution]:
    """That what was told differs from what the book measures; that what is given contradicts it."""
    measured = [_beside(key, value, told.book.learned[key].value, "you told", metric) for key, value in apart.items()]
    if measured:
        yield Caution("NOTICE", "Your readings say something else than you told.", f"{' '.join(measured)} This goes by your readings.")
    contradicted = [_beside(key, value, told.book.learned[key].value, "you gave", metric)
                    for key, value in _contradicting(got, told, given)]
    if contradicted:
        yield Caution("NOTICE", "This is not what the truck’s book says.", f"{' '.join(contradicted)} This goes by what you gave.")
    left_out = [figure_of(key) for key in of_another(told.facts, given) if key in got.origin]
    if left_out:
        yield Caution("NOTICE", "This is another hitch than the truck’s.",
                      f"What was told for that one does not count here: {', '.join(entry.tell for entry in left_out if entry)}.")
    doubtful = [said for gauge, level in told.levels.items() if gauge in got.known and gauge not in given
                for said in _doubtful(gauge, level, told.today)]
    if doubtful:
        yield Caution("NOTICE", "Read the gauge again.", " ".join(doubtful))


def _doubtful(gauge: str, level: Level, today: date) -> Iterator[str]:
    """A level that does not count as today's, or of which nobody knows the day."""
    asked = FIGURES[READ_ON[gauge]].question.removeprefix("Day you read ")
    if level.is_old(today):
        since = "the tank was filled since" if level.filled else "that is too long ago to count as today’s"
        yield f"You read {asked} on {words(level.day).phrase}: {since}."
    elif level.is_stale(today):
        yield f"You read {asked} on {words(level.day).phrase}: this goes by that."
    elif level.day is None:
        yield f"Nobody told which day you read {asked}: it is taken as read today."


def _beside(key: str, value: Any, measured: Any, said: str, metric: bool) -> str:
    entry = figure_of(key)
    unit, asked = (entry.unit, entry.question) if entry else ("", key)
    one, other = (words(each, unit, metric=metric).phrase for each in (value, measured))
    return f"{asked}: {said} {one}, your book says {other}."


def _contradicting(got: Gathered, told: Owner, given: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """What was given that can't stand beside the book: a meter that went back, a job done earlier, a pace far from it."""
    for key in given:
        one, value = told.book.learned.get(key), got.given.get(key)
        if one is None or value is None or told.whose is Whose.NOBODY:
            continue
        back = key in _METERS or key.startswith("done.")
        if (back and value < one.value) or (not back and not isinstance(value, date) and _is_number(value) and _apart(value, one.value)):
            yield key, value
