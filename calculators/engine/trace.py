"""What a value rests on: one more pass over the rules, with values that note who looks at them.

Values come from ``rules.run``, names from here, never the other way. An identity can't be noticed, so rules never ask
``is``, ``type()`` or ``id()``; a test forbids it, and another compares both passes.
"""

import math
import operator
from collections.abc import Callable, Iterator, Mapping
from typing import Any, get_args

from calculators.engine.figures import TABLES, Missing, asked_about, keys
from calculators.engine.rules import Book, Each, Guess, Rule, followed, rules

Names = frozenset[str]
_WEAK = "~"
_NONE: Names = frozenset()
_REFLECTED = ("add", "sub", "mul", "truediv", "floordiv", "mod", "divmod", "pow")
_COMPARED = ("lt", "le", "eq", "ne", "gt", "ge")
_ALONE: dict[str, Callable[..., Any]] = {
    "neg": operator.neg, "pos": operator.pos, "abs": abs, "round": round, "trunc": math.trunc, "floor": math.floor, "ceil": math.ceil,
    "float": float, "int": int, "index": operator.index, "bool": bool, "hash": hash, "str": str, "repr": repr, "format": format, "len": len,
}


class Seen:
    """A value and the inputs it rests on; whatever looks at it notes them and gets the plain result."""

    __slots__ = ("_names", "_notes", "_plain")

    def __init__(self, plain: Any, names: Names, notes: list[set[str]]) -> None:
        self._plain, self._names, self._notes = plain, names, notes

    @property  # type: ignore[misc]  # isinstance asks for it: that there is no value is a look too
    def __class__(self) -> Any:
        return type(_look(self))

    def __getattr__(self, name: str) -> Any:
        return getattr(_look(self), name)

    def __getitem__(self, key: Any) -> Any:
        return self._part(self._plain[_look(key)])

    def __iter__(self) -> Iterator[Any]:
        whole = _look(self)
        return iter([self._part(one) for one in whole]) if isinstance(whole, list) else iter(whole)

    def __contains__(self, key: Any) -> bool:
        return _look(key) in _look(self)

    def _part(self, part: Any) -> Any:
        """A part rests on what the whole does; nobody looked at it yet."""
        return Seen(plain_of(part), self._names | names_of(part), self._notes)


def _looking(does: Callable[..., Any], turned: bool = False) -> Callable[..., Any]:
    def method(*operands: Any) -> Any:
        return does(*map(_look, reversed(operands) if turned else operands))
    return method


for _name in (*_REFLECTED, *_COMPARED):
    _does = divmod if _name == "divmod" else getattr(operator, _name)
    setattr(Seen, f"__{_name}__", _looking(_does))
    if _name in _REFLECTED:
        setattr(Seen, f"__r{_name}__", _looking(_does, turned=True))
for _name, _does in _ALONE.items():
    setattr(Seen, f"__{_name}__", _looking(_does))


def trace(book: Book, known: Mapping[str, Any], carried: Mapping[str, Names]) -> dict[str, Any]:
    """Every value of ``known`` and of the rules, as Seen where it rests on any input.

    ``carried``: what an input rests on, by the name it is told under.
    """
    notes: list[set[str]] = []
    return _traced(book, {need: _carrying(need, value, carried, notes) for need, value in known.items()}, notes)


def names_of(value: Any) -> Names:
    """The inputs a value of the trace rests on."""
    return value._names if type(value) is Seen else _NONE


def plain_of(value: Any) -> Any:
    """A value of the trace by itself; the cells of a list stay as they are."""
    return value._plain if type(value) is Seen else value


def _look(value: Any) -> Any:
    if type(value) is Seen:
        if value._notes:  # else nobody traces any more: it was kept, as the key of something remembered
            value._notes[-1].update(value._names)
        return value._plain
    return value


def _carrying(need: str, value: Any, carried: Mapping[str, Names], notes: list[set[str]]) -> Any:
    if isinstance(value, dict) and need not in TABLES:
        return {row: _carrying(key, value[row], carried, notes) for row, key in keys(need).items()}
    names = carried.get(asked_about(need).replace("__", "."))  # whether it was told rests on whose it is
    return Seen(value, names, notes) if names else value


def weakly(name: str) -> str:
    """An input from which a measurement only starts: an answer assumes it, and is still the owner's who measured."""
    return name if name.startswith(_WEAK) else _WEAK + name


def strongly(name: str) -> str:
    """The input itself, however weakly it counts."""
    return name.removeprefix(_WEAK)


def _traced(book: Book, known: Mapping[str, Any], notes: list[set[str]]) -> dict[str, Any]:
    seen = dict(known)
    for name, rule in book.items():
        if rule.needs.keys() <= seen.keys():
            seen[name] = _value(rule, {need: seen[need] for need in rule.needs}, notes)
    return seen


def _value(rule: Rule, told: dict[str, Any], notes: list[set[str]]) -> Any:
    """A rule's value as ``Rule.__call__`` makes it, and what was looked at on the way."""
    absent = [told[need] for need, hint in rule.needs.items()
              if isinstance(plain_of(told[need]), Missing) and Missing not in get_args(hint)]
    if absent:
        return _seen(plain_of(absent[0]), _NONE.union(*map(names_of, absent)), notes)
    notes.append(set())
    try:
        value = _look(_made(rule, told, notes))
    finally:
        noted = frozenset(notes.pop())
    noted = frozenset(map(weakly, noted)) if rule.makes(Guess) else noted
    out_of_range = isinstance(value, float) and not math.isfinite(value)
    return _seen(Missing("the numbers run out of range") if out_of_range else value, noted, notes)


def _made(rule: Rule, told: dict[str, Any], notes: list[set[str]]) -> Any:
    """What its function makes; what is made by other rules is traced through them."""
    if rule.each:
        rows = [_row(rule.each, key, told, notes) for key in TABLES[rule.each.table]]
        return [row for row in rows if not rule.each.where or plain_of(row[rule.each.where])]
    if rule.of:
        return _traced(followed(rule.of.module, rule.of.result), told, notes)[rule.of.result]
    return rule.run(**told)


def _row(each: Each, key: str, told: dict[str, Any], notes: list[set[str]]) -> dict[str, Any]:
    book = rules(each.row)
    made = _traced(book, each.pick(key, told), notes)
    return {each.table: key} | {name: made[name] for name in book if name in made}


def _seen(value: Any, names: Names, notes: list[set[str]]) -> Any:
    return Seen(value, names, notes) if names else value
