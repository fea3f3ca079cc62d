"""The working of an answer: a step for each rule, with its formula, its numbers, its result and where they come from."""

from collections.abc import Callable, Collection, Iterator, Mapping
from functools import partial
from typing import Any

from calculators.engine.facts import Gathered
from calculators.engine.figures import KINDS, Missing, figure, keys, per_row
from calculators.engine.plain import cited, plain, source_of
from calculators.engine.rests import Rests
from calculators.engine.rules import Book, Each, Inner, Rule, rules, run
from calculators.engine.show import COMPUTED, TOLD, Digits, as_shown, words
from calculators.engine.trace import Names
from calculators.engine.working import line_of

_TOLD = {"given": "Your own numbers", "truck": "Your own numbers", "book": "Your own records"}
_EXAMPLES = "The example truck’s numbers"
_ABOVE, _TODAY, _NOT_TOLD, _OURS = "The steps above", "Today’s date", "Not told", "Our own rule"
_THIS_ROW = "this row"  # the origin of the key that a list's row stands for: it has no source


def steps(book: Book, got: Gathered, known: Mapping[str, Any], rests: Rests) -> list[dict[str, Any]]:
    """The working of all rules that make a result, in the order in which they run."""
    sheet = _Sheet(known, book.units, got.origin, rests, {name: rests.names(name) for name in book})
    sheet.tellers = {origin: said if origin in got.owners else _EXAMPLES for origin, said in _TOLD.items()}
    sheet.inner = {rule.name: tuple(rule.needs) for rule in book.values() if rule.makes(Inner)}
    return [step for rule in book.values() if rule.shown for step in _steps(rule, sheet)]


class _Once(dict[str, Any]):
    """What ``say`` says of each name, asked once however many steps show it."""

    def __init__(self, say: Callable[[str], Any]) -> None:
        super().__init__()
        self.say = say

    def __missing__(self, name: str) -> Any:
        self[name] = said = self.say(name)
        return said


class _Sheet:
    """What the steps of one answer share."""

    tellers: Mapping[str, str] = _TOLD  # who told what is from there
    inner: Mapping[str, tuple[str, ...]] = {}  # what rules hand to each other, by what it is made of

    def __init__(self, known: Mapping[str, Any], units: Mapping[str, str], origin: Mapping[str, str], rests: Rests,
                 made: Mapping[str, Names]) -> None:
        self.known, self.units, self.origin, self.rests, self.made = known, units, origin, rests, made
        self.said = {digits: _Once(partial(self._say, digits)) for digits in COMPUTED}
        self.source = _Once(self._source)
        self.number = _Once(lambda need: {"name": need} | _plain(known[need], units.get(need, "")))

    def _say(self, digits: Digits, need: str) -> str:
        return str(words(self.known[need], self.units.get(need, ""), exact=True, digits=self.digits(need, digits)))

    def digits(self, need: str, computed: Digits) -> Digits:
        """How many digits of a value a line shows, if it shows so many of what a step computes."""
        return computed if need in self.made else computed._replace(ends=TOLD.ends)

    def shown(self, rule: Rule, computed: Digits) -> dict[str, Any]:
        """What a rule needs, as a line shows it."""
        return {need: as_shown(self.known[need], self.digits(need, computed)) for need in rule.needs}

    def shows(self, need: str) -> bool:
        """Whether a step shows it among its numbers: no table, but a list that a step above makes, by its length."""
        value = self.known[need]
        return need in self.made if isinstance(value, list) else not isinstance(value, Missing | dict | tuple | Inner)

    def seen_through(self, used: Collection[str]) -> tuple[str, ...]:
        """What a line uses; of what no reader is shown, what that is made of."""
        parts = (self.seen_through(self.inner[need]) if need in self.inner else (need,) for need in used)
        return tuple(dict.fromkeys(need for part in parts for need in part))

    def sources(self, used: Collection[str]) -> str:
        """Where those values come from, in a line; what uses none is a rule of ours."""
        origins = {need: self.origin.get(need.replace("__", ".")) for need in used if not isinstance(self.known[need], Missing)}
        told = [said for origin, said in self.tellers.items() if origin in origins.values()]
        cites = [cited(source) for need in used if (source := self.source[need])]
        today = [_TODAY] if origins.get("today") == "derived" else []
        above = [_ABOVE] if any(need in self.made for need in used) else []
        return "; ".join(dict.fromkeys([*told, *cites, *today, *above])) or (_NOT_TOLD if used and not origins else _OURS)

    def _source(self, need: str) -> dict[str, Any] | None:
        """Where a figure's own value comes from, if that was used: not where a step above made the value, and nobody told one."""
        entry, value, key = figure(need), self.known[need], need.replace("__", ".")
        if entry is None or isinstance(value, Missing) or (need in self.made and key not in self.origin):
            return None
        rows = keys(need) if per_row(need) and isinstance(value, dict) else {}
        used = [told for row, told in rows.items() if not isinstance(value[row], Missing)] if rows else [key]
        stands = (entry.stands_by(self.origin.get(told, "example")) for told in used)
        return next((source_of(one, need) for one in stands if one), None)


def _steps(rule: Rule, sheet: _Sheet) -> Iterator[dict[str, Any]]:
    """A rule's step; for a list made of rows, the steps of the row that governs."""
    each: Each | None = rule.each
    if each is None or isinstance(key := sheet.known[each.governs], Missing):
        yield _step(rule, sheet)
        return
    listed = (row[each.table] for row in sheet.known[rule.name])
    names = dict(zip(listed, sheet.rests.cells(rule.name), strict=True))[key]
    row = each.pick(key, {need: sheet.known[need] for need in rule.needs})
    row |= run(rules(each.row), row)
    origin = {need: sheet.origin[told] for need in rule.needs if (told := keys(need).get(key, need)) in sheet.origin}
    inside = _Sheet(row, {**sheet.units, **rule.columns}, origin | {each.table: _THIS_ROW}, sheet.rests, {**sheet.made, **names})
    inside.tellers = sheet.tellers
    for one in rules(each.row).values():
        yield _step(one, inside) | {"what": f"{words(key)}: {one.words}"}


def _step(rule: Rule, sheet: _Sheet) -> dict[str, Any]:
    value, printed, used = sheet.known[rule.name], {"formula": ""}, sheet.seen_through(rule.needs)
    if rule.formula is not None and not isinstance(value, Missing | list):
        line = line_of(rule, sheet.known)
        enough = next((digits for digits in COMPUTED if line.comes_to(rule, sheet.shown(rule, digits), value)), COMPUTED[-1])
        printed, used = line.printed(rule, sheet.known, sheet.said[enough], partial(sheet.digits, computed=enough)), line.used
    kinds = {source["kind"] for need in used if (source := sheet.source[need])}
    return {
        "what": rule.words, "name": rule.name, **printed,
        "numbers": [sheet.number[need] for need in used if sheet.shows(need)],
        "result": _plain(value, rule.unit) | sheet.rests.marks(value, sheet.made[rule.name], rule.name),
        "source": sheet.sources(used),
        "kinds": [kind for kind in KINDS if kind in kinds],
    }


def _plain(value: Any, unit: str) -> dict[str, Any]:
    return plain(len(value) if isinstance(value, list) else value, unit)
