"""A file of rules looked over when it is loaded: what it names is there, stands above, and is of that unit."""

from collections.abc import Iterator, Mapping
from types import FunctionType
from typing import TYPE_CHECKING, Any

from calculators.engine.figures import TABLES, figure, names_of_figures
from calculators.engine.mistakes import Mistake, in_braces, meant
from calculators.engine.units import UNITLESS, unit_of

if TYPE_CHECKING:
    from calculators.engine.rules import Each, Rule

type Rules = Mapping[str, "Rule"]

_BOOK = "book"  # the owner's entries are handed to any rule that takes them


def look_over(file: str, names: Mapping[str, Any], book: Rules, shared: Rules) -> None:
    """Mistake names the first thing that a file has wrong; ``names`` is all that it holds, ``shared`` the rules that any may need."""
    for wrong in _wrong(names, book, shared):
        raise Mistake(f"{file}.py: {wrong}")


def _wrong(names: Mapping[str, Any], book: Rules, shared: Rules) -> Iterator[str]:
    whole = "answer" in book  # a file whose rules run once a row takes what its list makes
    made = {**shared, **book}
    order = list(book)
    for place, rule in enumerate(book.values()):
        below = [need for need in rule.needs if need in order[place:]]
        yield from (f"{rule.name} needs {need}, which stands below it; move it up" for need in below)
        if rule.each:
            yield from _row(rule, rule.each, made)
        if whole:
            yield from (_unknown(rule, need, made) for need in rule.needs if not _is_there(need, made))
        yield from _units(rule, made)
    if whole:
        yield from _said(names, book)
        yield from _listed("HEADLINE", names, {name for name, rule in book.items() if rule.shown}, "result")
        yield from _listed("ASKS", names, {need for rule in book.values() for need in rule.needs}, "need of a rule")


def _is_there(need: str, made: Rules) -> bool:
    return need == _BOOK or need in made or need in TABLES or figure(need) is not None


def _unknown(rule: "Rule", need: str, made: Rules) -> str:
    hint = meant(need, (*made, *names_of_figures()), "add it to either")
    return f"{rule.name} needs {need}, which no rule makes and figures.toml does not hold; {hint}"


def _units(rule: "Rule", made: Rules) -> Iterator[str]:
    """Parameters of another unit than what they name; the rules of other files say their own."""
    for need, hint in rule.needs.items() if rule.home else ():
        if need == _BOOK or need in TABLES or not _is_there(need, made):
            continue
        comes = made[need].unit if need in made else getattr(figure(need), "unit", "")
        comes, taken = "" if comes in UNITLESS else comes, unit_of(hint)
        if taken != comes:
            yield f"{rule.name} takes {need} {_in(taken)}, but it comes {_in(comes)}; annotate it with the type of that in units.py"


def _in(unit: str) -> str:
    return f"in {unit}" if unit else "without a unit"


def _row(rule: "Rule", each: "Each", made: Rules) -> Iterator[str]:
    """What a list's rows take, of which their own file knows nothing."""
    if each.table not in TABLES:
        yield f"{rule.name} has a row for each {each.table}, which is no table; {meant(each.table, TABLES, 'add it to figures.toml')}"
    if each.governs not in made:
        yield f"{rule.name} shows the row of {each.governs}, which no rule makes; {meant(each.governs, made, 'add it')}"
    for row in each.book.values():
        yield from _units(row, {**made, **each.book})
    yield from _listed("HEADLINE", vars(each.row), {each.table, *each.book}, "cell of a row")


def _said(names: Mapping[str, Any], book: Rules) -> Iterator[str]:
    """Names in braces that stand for nothing: in its rules, in what they call in the same file, and in its lists of sentences."""
    known = {*book, *(need for rule in book.values() for need in rule.needs)}
    for where, text in _texts(names, book):
        yield from (f"{where} says {{{name}}}, which no rule here makes or needs; {meant(name, known, 'write one that is')}"
                    for name in in_braces(text) if name not in known)


def _texts(names: Mapping[str, Any], book: Rules) -> Iterator[tuple[str, str]]:
    for where, thing in names.items():
        if isinstance(thing, FunctionType) and (where in book or thing.__module__ == names.get("__name__")):
            yield from ((where, one) for one in thing.__code__.co_consts if isinstance(one, str) and one != thing.__doc__)
        elif isinstance(thing, dict) and where.isupper():
            yield from ((where, one) for one in thing.values() if isinstance(one, str))


def _listed(listed: str, names: Mapping[str, Any], known: set[str], what: str) -> Iterator[str]:
    yield from (f"{listed} names {name}, which is no {what}; {meant(name, known, 'take it out')}"
                for name in names.get(listed, ()) if name not in known)
