"""What is said where a truck's book and what was told don't agree."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from calculators.engine.book import Learned
from calculators.engine.entries import READ_ON
from calculators.engine.facts import Gathered, Whose, gather, of_another
from calculators.engine.figures import FIGURES, Missing, figure_of
from calculators.engine.levels import LEVEL_READ_ON, Level
from calculators.engine.meters import Dated
from calculators.engine.owner import PACES, Owner, follows_from
from calculators.engine.rules import Book, Caution, calculator, followed, rules, run
from calculators.engine.show import words


def told_apart(got: Gathered, told: Owner, learned: Mapping[str, Learned]) -> dict[str, float]:
    """What was told of inputs for which the book's value stands, where the two lie more than a fifth apart."""
    values = {key: _told(key, told.facts) for key, one in learned.items()
              if got.origin.get(key) == "book" and key not in LEVEL_READ_ON and _is_number(one.value)}
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


def notices(book: Book, got: Gathered, told: Owner, given: Mapping[str, Any], apart: Mapping[str, float],
            metric: bool) -> Iterator[Caution]:
    """That what was told differs from what the book measures; that what is given contradicts it. ``book``: the calculator's rules."""
    measured = [_beside(key, value, told.book.learned[key].value, "you told", metric) for key, value in apart.items()]
    if measured:
        yield Caution("NOTICE", "Your readings say something else than you told.", f"{' '.join(measured)} This goes by your readings.")
    contradicted = [_beside(key, value, told.book.learned[key].value, "you gave", metric)
                    for key, value in _contradicting(got, told, given)]
    if contradicted:
        yield Caution("NOTICE", "This is not what the truck’s book says.", f"{' '.join(contradicted)} This goes by what you gave.")
    if "distance_per_week" not in apart and told.whose is Whose.OWN and _goes_by_trips(book):
        yield from _trips(got, told, metric)
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
    asked = FIGURES[LEVEL_READ_ON[gauge]].question.removeprefix("Day you read ")
    if level.is_old(today):
        since = "the tank was filled since" if level.filled else "that is too long ago to count as today’s"
        yield f"You read {asked} on {words(level.day).phrase}: {since}."
    elif level.is_stale(today):
        yield f"You read {asked} on {words(level.day).phrase}: this goes by that."
    elif level.day is None:
        yield f"Nobody told which day you read {asked}: it is taken as read today."


def _goes_by_trips(book: Book) -> bool:
    """Whether the week's miles are those of its trips, or a rule of its own takes them: a speed that they show is none of it."""
    own = (rule for name, rule in book.items() if name not in rules(calculator("week")))
    return "distance_per_week" in book or any("short_trips_per_week" in rule.needs for rule in own)


def _trips(got: Gathered, told: Owner, metric: bool) -> Iterator[Caution]:
    """That a week's trips don't come to the miles that were told, or that the odometer shows over any time."""
    trips = followed(calculator("week"), "trip_distance_per_week")
    if not got.known.keys() >= {*trips.needs} or (miles := _miles_a_week(told)) is None:
        return
    by_trips, (driven, who) = run(trips, got.known)["trip_distance_per_week"], miles
    if min(by_trips, driven) * 100 >= FIGURES["trips_apart"].value * max(by_trips, driven):
        return
    own = any(got.origin[need] in got.owners for need in ("short_trips_per_week", "long_trips_per_week"))
    come, drives = (words(each, "mi", metric=metric).phrase for each in (by_trips, driven))
    yield Caution("NOTICE", "The trips and the miles don’t go together.",
                  f"{'Your' if own else 'The example’s'} trips come to {come} a week, {who} {drives}. "
                  + ("Tell your own trips: until then this goes by the example’s." if not own
                     else "Tell the trips that are missing: this goes by the trips." if by_trips < driven
                     else "Look at the trips again: this goes by them."))


def _miles_a_week(told: Owner) -> tuple[float, str] | None:
    """What a week drives, whatever its trips, and who says so: the book's pace, what was told, or readings too far apart for a pace."""
    if "distance_per_week" in told.book.learned:
        return float(told.book.learned["distance_per_week"].value), "your odometer says"
    if (value := _told("distance_per_week", told.facts)) is not None and "distance_per_week" in told.facts:
        return value, "you told"
    over = _over_the_book(told.book.entries)
    return (over, "your odometer says") if over is not None else None


def _over_the_book(entries: Dated) -> float | None:
    """Miles a week from the first entry to the last reading, however far apart: an estimate will do to tell half from whole."""
    readings = entries.readings("odometer")
    told = [(entry.date, entry.told["odometer"]) for entry in entries if entry.date and "odometer" in entry.told]
    if not told or readings.new_meter or not readings.kept:
        return None
    (start, first), last = min(told), readings.kept[-1]
    days, miles = (last.date - start).days, last.value - first
    can_be = 0 <= miles * FIGURES["days_per_week"].value <= days * FIGURES["distance_per_week"].high
    return miles * FIGURES["days_per_week"].value / days if can_be and days >= FIGURES["pace_days_apart"].value else None


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
        back = key in READ_ON or key.startswith("done.")
        if (back and value < one.value) or (not back and not isinstance(value, date) and _is_number(value) and _apart(value, one.value)):
            yield key, value
