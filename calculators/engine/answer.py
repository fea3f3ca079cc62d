"""An answer: one calculator, one owner, everything a page, a sheet or a terminal shows."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from typing import Any

from calculators.engine.facts import Fault, Gathered, gather, inputs, plan
from calculators.engine.figures import KINDS, Missing, figure, keys
from calculators.engine.rules import SIGNALS, Caution, Each, Rule, calculator, needs, question, rules, run
from calculators.engine.show import spoken, words
from calculators.engine.truck import facts_of
from calculators.engine.units import UNITLESS
from calculators.engine.working import Working

_OWNERS = "Your own numbers"


class Refused(ValueError):
    """What was told won't do: every fault at once, and what must be said before them."""

    def __init__(self, faults: list[Fault], first: str = "") -> None:
        super().__init__("\n".join(dict.fromkeys(filter(None, (first, *map(str, faults))))))
        self.faults, self.first = faults, first


@dataclass(frozen=True)
class Computed:
    """What a calculator's rules made of what was told."""

    book: dict[str, Rule]
    got: Gathered
    known: dict[str, Any]


def compute(name: str, given: Mapping[str, Any], truck: Mapping[str, Any] | None, today: str) -> Computed:
    """Every value of calculator ``name``, without its presentation; Refused where it can't be given."""
    module = calculator(name)
    facts = facts_of(truck) if truck else {}
    takes = [key for need in inputs(plan(module, set())) for key in keys(need).values()]
    faults = [Fault(key, told, f"no such input; {_near(key, takes)}") for key, told in given.items() if key not in takes]
    book = plan(module, set(given) | set(facts))
    got = gather(book, {"given": given, "truck": facts, "derived": {"today": today}}, truck is None)
    known = got.known | run(book, got.known)
    faults += got.faults + _broken(book, known)
    if faults:
        raise Refused(faults, known.get("stop_rule", ""))
    return Computed(book, got, known)


def answer(name: str, given: Mapping[str, Any], truck: Mapping[str, Any] | None, today: str, *, metric: bool = False) -> dict[str, Any]:
    """The answer of calculator ``name`` as one JSON object; Refused where it can't be given.

    ``given``: inputs by name, as typed. ``truck``: a truck's file. ``today``: the day as 2026-11-25.
    ``metric`` changes the sentence's units only; every other value stays in its declared unit.
    """
    made = compute(name, given, truck, today)
    book, known, origin = made.book, made.known, made.got.origin
    units = {n: f.unit for n in needs(book) if (f := figure(n))} | {n: r.unit for n, r in book.items()}
    said = {n: words(v, units.get(n, ""), exact=n in made.got.known, metric=metric).phrase for n, v in known.items()}
    own = {n: r for n, r in rules(calculator(name)).items() if r.shown}
    return {
        "calculator": name,
        "question": question(name),
        "answer": _fill(known["answer"], said),
        "headline": headline(name),
        "inputs": _inputs(book, own, known, origin),
        "results": {n: _result(known[n], r) for n, r in own.items()},
        "working": [step for r in book.values() if r.shown for step in _steps(r, known, units, origin)],
        "cautions": _cautions(known, said),
        "sources": _sources(book, origin),
    }


def headline(name: str) -> list[str]:
    """The results that a card shows large, in order."""
    module = calculator(name)
    return list(getattr(module, "HEADLINE", [n for n, r in rules(module).items() if r.shown]))


def source_of(entry: Any, value: str) -> dict[str, Any]:
    """Where a figure comes from, as an answer lists it."""
    return {"value": value, "title": entry.title, "clause": entry.clause, "year": entry.year, "kind": entry.kind}


def cited(source: Mapping[str, Any]) -> str:
    """A source in one line: title, clause, year."""
    return ", ".join(str(source[part]) for part in ("title", "clause", "year") if source[part])


def plain(value: Any, unit: str) -> dict[str, Any]:
    """A value as JSON holds it: null with a why where it can't exist, no unit where it has none."""
    shown = None if isinstance(value, Missing) else value.isoformat() if isinstance(value, date) else value
    return ({"value": shown} | ({} if unit in UNITLESS else {"unit": unit})
            | ({"why": value.why} if isinstance(value, Missing) else {}))


def _cautions(known: dict[str, Any], said: dict[str, str]) -> list[dict[str, str]]:
    """The gravest first."""
    found = sorted((c for c in known.values() if isinstance(c, Caution)), key=lambda c: SIGNALS.index(c.signal))
    return [{"signal": c.signal, "hazard": _fill(c.hazard, said), "text": _fill(c.text, said)} for c in found]


def _broken(book: dict[str, Rule], known: dict[str, Any]) -> list[Fault]:
    """Checks that don't hold, and derived values out of their bounds."""
    faults = []
    for name, rule in book.items():
        first = next(iter(rule.needs), name)
        if rule.unit == "check" and known.get(name) is False:
            faults.append(Fault(first, words(known[first]), rule.words))
        elif name in known and (entry := figure(name)):
            try:
                entry.within(known[name], known)
            except ValueError as wrong:
                faults.append(Fault(name, words(known[name], rule.unit), f"it follows from {', '.join(rule.needs)}; {wrong}"))
    return faults


def _inputs(book: dict[str, Rule], own: Mapping[str, Rule], known: dict[str, Any], origin: dict[str, str]) -> dict[str, Any]:
    found = {}
    for need, entry in inputs(book).items():
        for row, key in keys(need).items() if need not in own else ():
            value = known[need][row] if row else known[need]
            if not isinstance(value, Missing):
                found[key] = plain(value, entry.unit) | {"from": origin.get(key, "derived")}
    return found


def _sources(book: dict[str, Rule], origin: dict[str, str]) -> list[dict[str, Any]]:
    """Of every figure whose own value was used; what the owner told has no source but the owner."""
    found = []
    for need in needs(book):
        entry = figure(need)
        if entry and ("example" in {origin.get(key, "example") for key in keys(need).values()}) and entry.value is not None:
            found.append(source_of(entry, need.replace("__", ".")))
    return found


def _steps(rule: Rule, known: dict[str, Any], units: dict[str, str], origin: dict[str, str]) -> list[dict[str, Any]]:
    """A rule's line; for a list made of rows, the lines of the row that governs."""
    each: Each | None = rule.each
    if each is None or isinstance(key := known[each.governs], Missing):
        return [_step(rule, known, units, origin)]
    row = each.pick(key, {n: known[n] for n in rule.needs})
    row |= run(rules(each.row), row)
    here = {n: origin[told] for n in rule.needs if (told := keys(n).get(key, n)) in origin} | {each.table: "derived"}
    return [_step(r, row, units | rule.columns, here) | {"what": f"{words(key)}: {r.words}"} for r in rules(each.row).values()]


def _step(rule: Rule, known: dict[str, Any], units: dict[str, str], origin: dict[str, str]) -> dict[str, Any]:
    value, line, used = known[rule.name], {"formula": ""}, list(rule.needs)
    if rule.formula is not None and not isinstance(value, Missing | list):
        named = Working(rule, known, spoken)
        worked = Working(rule, known, lambda n: str(words(known[n], units.get(n, ""), exact=True)))
        used = list(dict.fromkeys(named.used))
        line = {"formula": named.text, "worked": worked.text}
        if named.because:
            numbers = worked.because != named.because and any(sign.isdigit() for sign in worked.because)
            line["because"] = named.because + (f" ({worked.because})" if numbers else "")
    figures = {n: f for n in used if (f := figure(n)) and not isinstance(known[n], Missing)}
    sources = [source_of(f, n) for n, f in figures.items() if origin.get(n.replace("__", "."), "example") == "example"]
    told = [_OWNERS] if any(origin.get(n.replace("__", ".")) in ("given", "truck") for n in figures) else []
    return {
        "what": rule.words, "name": rule.name, **line,
        "numbers": [{"name": n} | plain(known[n], units.get(n, "")) for n in used
                    if not isinstance(known[n], Missing | list | dict | tuple)],
        "result": plain(len(value) if isinstance(value, list) else value, rule.unit),
        "source": "; ".join(dict.fromkeys([*told, *(cited(s) for s in sources)])),
        "kinds": [kind for kind in KINDS if kind in {s["kind"] for s in sources}],
    }


def _result(value: Any, rule: Rule) -> Any:
    if not isinstance(value, list):
        return plain(value, rule.unit)
    if not rule.columns:  # a list of words
        return [{"value": plain(word, "")} for word in value]
    rows = [row if isinstance(row, dict) else vars(row) for row in value]
    columns = rule.columns if rule.each is None else getattr(rule.each.row, "HEADLINE", rule.columns)
    return [{n: plain(row[n], rule.columns[n]) for n in columns} for row in rows]


def _fill(text: str, said: dict[str, str]) -> str:
    return re.sub(r"\{(\w+)\}", lambda name: said[name[1]], text)


def _near(key: str, takes: list[str]) -> str:
    close = get_close_matches(key, takes, 1)
    return f"did you mean {close[0]}" if close else f"it takes {', '.join(takes[:8])} …"


