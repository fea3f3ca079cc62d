"""An answer: one calculator, one owner, everything a page, a sheet or a terminal shows."""

import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache, partial
from types import ModuleType
from typing import Any, NamedTuple

from calculators.engine.assumed import VERDICT, Again, is_number, most_moving_first, turning
from calculators.engine.book import Learned
from calculators.engine.facts import ORIGINS, Fault, Gathered, Whose, gather, plan, shortened, that_count
from calculators.engine.figures import Figure, Missing, Untold, figure, keys
from calculators.engine.mistakes import meant
from calculators.engine.notices import notices, told_apart
from calculators.engine.owner import Owner, owner
from calculators.engine.plain import plain, source_of
from calculators.engine.rests import EXAMPLE, Rests, fields
from calculators.engine.rules import SIGNALS, Book, Caution, Rule, calculator, question, rules, run
from calculators.engine.show import SAID, words
from calculators.engine.steps import steps
from calculators.engine.trace import Names
from calculators.engine.truck import example_facts

LEVELS = (VERDICT, "stop_level")  # the results that a card shows as its edge


class Refused(ValueError):
    """What was told won't do: every fault at once, and what must be said before them."""

    def __init__(self, faults: list[Fault], first: str = "") -> None:
        super().__init__("\n".join(dict.fromkeys(filter(None, (first, *map(str, shortened(faults)))))))
        self.faults, self.first = faults, first


class Computed(NamedTuple):
    """What a calculator's rules made of what was told."""

    book: Book
    got: Gathered
    known: dict[str, Any]
    told: Owner
    learned: Mapping[str, Learned]


def compute(name: str, given: Mapping[str, Any], truck: Mapping[str, Any] | None, today: str, told: Owner | None = None) -> Computed:
    """Every value of calculator ``name``, without its presentation; Refused where it can't be given. ``told``: the truck, read already."""
    module = calculator(name)
    told = told or owner(truck, given, today)
    learned = told.learned(module, given)
    facts = that_count(told.facts_beside(given), {**learned, **given})
    faults = [Fault(key, told, f"no such input; {_near(key, module)}") for key, told in given.items() if key not in _takes(module)]
    by_book = {key: one.value for key, one in learned.items()}
    first = {"example": {**example_facts(), **by_book}} if told.whose is Whose.NOBODY else {"book": by_book}
    read = told.read_today(given)
    book = plan(module, (*given, *read, *facts, *(key for told_there in first.values() for key in told_there)))
    got = gather(book, {"given": given, **first, "truck": facts, "derived": {"today": today, **{day: on for day, (on, _) in read.items()}}},
                 told.whose, frozenset(learned), told.untold)
    got.settled |= {day: (meter,) for day, (_, meter) in read.items()}
    got.known |= {"book": told.entries_beside(given)} if "book" in book.needs else {}
    known = got.known | run(book, got.known)
    faults += got.faults + _broken(book, got, known)
    if faults:
        raise Refused(faults, known.get("stop_rule", ""))
    return Computed(book, got, known, told, learned)


def answer(name: str, given: Mapping[str, Any], truck: Mapping[str, Any] | None, today: str, *, metric: bool = False,
           working: bool = True, assumed: bool = True, told: Owner | None = None) -> dict[str, Any]:
    """The answer of calculator ``name`` as one JSON object; Refused where it can't be given.

    ``given``: inputs by name, as typed. ``truck``: a truck's file. ``today``: the day as 2026-11-25.
    ``metric`` changes the sentence's units only; every other value stays in its declared unit. Without ``working``
    there is no such key: it is most of an answer's time. Without ``assumed`` nothing is worked out again to see what moves it.
    ``told``: the truck, read already.
    """
    made = compute(name, given, truck, today, told)
    book, known, origin = made.book, made.known, made.got.origin
    own, rests = results(name), Rests(book, made.got)
    apart = told_apart(made.got, made.told, made.learned)
    differing = notices(book, made.got, made.told, given, apart, metric)

    def said(name: str, metric: bool = metric) -> str:
        if isinstance(known[name], Untold):
            return str(rests.of_result(name)["why"])
        return words(known[name], book.units.get(name, ""), exact=name in made.got.known, metric=metric, digits=SAID, advice=True).phrase

    return {
        "calculator": name,
        "question": question(name),
        "answer": _fill(known["answer"], said),
        **{f"answer_{mark}": told for mark, told in rests.marks(known["answer"], _behind("answer", known["answer"], rests)).items()},
        "own": made.told.whose is Whose.OWN,
        "headline": headline(name),
        "inputs": _inputs(made, own, rests, apart),
        "results": {n: _result(known[n], r, rests, partial(said, metric=False)) for n, r in own.items()},
        **(_assumptions(name, made, rests) if assumed else {"yours": [], "assumes": []}),
        **({"working": steps(book, made.got, known, rests)} if working else {}),
        "cautions": [*_cautions(known, said, rests), *(one._asdict() | {"about": "told"} for one in differing)],
        "sources": _sources(book, known, origin),
    }


def unmarked(name: str, truck: Mapping[str, Any], today: str, told: Owner) -> dict[str, Any]:
    """The sentence and the results alone, without what they rest on: the words of later days, which are many, need no more."""
    made = compute(name, {}, truck, today, told)
    known, units = made.known, made.book.units

    def said(name: str) -> str:
        return words(known[name], units.get(name, ""), exact=name in made.got.known, digits=SAID, advice=True).phrase

    def shown(value: Any, rule: Rule) -> Any:
        if not isinstance(value, list):
            return plain(value, rule.unit)
        return [{n: plain(_cell(row[n], said), rule.columns[n]) for n in _columns(rule) if n in row} for row in map(fields, value)]

    return {"calculator": name, "answer": _fill(known["answer"], said), "inputs": {}, "yours": [], "assumes": [], "cautions": [],
            "results": {n: shown(known[n], r) for n, r in results(name).items()}, "sources": []}


@cache
def results(name: str) -> dict[str, Rule]:
    """The rules of its own that make a result."""
    return {n: r for n, r in rules(calculator(name)).items() if r.shown}


def headline(name: str) -> list[str]:
    """The results that a card shows large, in order."""
    return list(getattr(calculator(name), "HEADLINE", results(name)))


def _assumptions(name: str, made: Computed, rests: Rests) -> dict[str, Any]:
    """The example's inputs behind the sentence, what a card shows and the verdict; and the first that would turn the verdict."""
    book, got, known = made[:3]
    lists = [n for n in results(name) if isinstance(known[n], list)]
    shown = [n for n in (*headline(name), *lists, *LEVELS) if n in known]
    behind = _behind("answer", known["answer"], rests) | rests.names(*shown)
    again = Again(book, known, lambda moved: not _broken(book, got, moved))
    mains = {n: rests.names(n) for n in headline(name) if is_number(known[n])}
    assumes = most_moving_first(rests.examples(behind), mains, again)
    rules_it = rests.examples(rests.names(VERDICT)) if isinstance(known.get(VERDICT), str) else []
    return {"yours": rests.owners(behind), "assumes": assumes, **turning((key for key in assumes if key in rules_it), again)}


def _behind(rule: str, text: str, rests: Rests) -> Names:
    """What a rule that says something rests on, and what the values in its text do."""
    return rests.names(rule) | rests.of_text(text)


def _cautions(known: dict[str, Any], said: Callable[[str], str], rests: Rests) -> list[dict[str, Any]]:
    """The gravest first."""
    found = sorted(((n, c) for n, c in known.items() if isinstance(c, Caution)), key=lambda one: SIGNALS.index(one[1].signal))
    return [{"signal": c.signal, "hazard": _fill(c.hazard, said), "text": _fill(c.text, said),
             **rests.marks(c, _behind(n, c.hazard + c.text, rests))} for n, c in found]


def _broken(book: Book, got: Gathered, known: dict[str, Any]) -> list[Fault]:
    """Checks that don't hold, and derived values out of their bounds; not those that follow from what such a check names."""
    faults: list[Fault] = []
    doubted: set[str] = set()
    for rule in (rule for name, rule in book.bounded.items() if rule.unit == "check" and known.get(name) is False):
        field = _told_first(rule, got)
        faults.append(Fault(field, got.told.get(field, words(known[field], book.units.get(field, ""), exact=True)), rule.words))
        doubted |= rule.needs.keys()
    for name, rule in book.items() if doubted else ():
        doubted |= {name} if doubted & rule.needs.keys() else set()
    for name, rule in book.bounded.items():
        if name in known and name not in doubted and (entry := figure(name)):
            try:
                entry.within(known[name], known)
            except ValueError as wrong:
                faults.append(Fault(name, words(known[name], rule.unit), f"it follows from {', '.join(rule.needs)}; {wrong}"))
    return faults


def _told_first(rule: Rule, got: Gathered) -> str:
    """Of what a check compares, what the owner just told; else what the truck tells; else the first."""
    return min(rule.needs, key=lambda need: (*ORIGINS, None).index(got.origin.get(need)))


def _inputs(made: Computed, own: Mapping[str, Rule], rests: Rests, apart: Mapping[str, float]) -> dict[str, Any]:
    """Every input that was used, and where it is from; what the book tells, with its entries and with what was told otherwise."""
    found: dict[str, Any] = {}
    for need, entry in made.book.inputs.items():
        for row, key in keys(need).items():
            if need in own and key not in made.got.origin:
                continue  # a result of this calculator, and nobody told it
            value = made.known[need][row] if row else made.known[need]
            if not isinstance(value, Missing):
                origin = made.got.origin.get(key, "derived")
                found[key] = plain(value, entry.unit) | _whence(need, entry, origin, rests)
                if origin == "book":
                    found[key] |= _by_the_book(made.learned[key]) | ({"told": apart[key]} if key in apart else {})
    return found


def _by_the_book(one: Learned) -> dict[str, Any]:
    """The entries behind a value, and between which ends it lies where that is known."""
    return {"entries": list(one.ids)} | ({} if one.low is None else {"low": one.low, "high": one.high})


def _whence(need: str, entry: Figure, origin: str, rests: Rests) -> dict[str, Any]:
    """Where an input's value is from; of one that follows from others, what it rests on; of the data file's, of which kind it is."""
    return {"from": origin} | ({"kind": entry.kind} if origin == EXAMPLE else rests.of_result(need) if need in rests.book else {})


def _sources(book: Book, known: Mapping[str, Any], origin: Mapping[str, str]) -> list[dict[str, Any]]:
    """Of every figure whose own value was used; what the owner told has no source but the owner, what nobody told has none."""
    found = []
    for need in book.needs:
        if isinstance(known.get(need), Untold):
            continue
        entry = figure(need)
        stands = [s for key in keys(need).values() if entry and (s := entry.stands_by(origin.get(key, "example")))]
        if stands and stands[0].value is not None:
            found.append(source_of(stands[0], need.replace("__", ".")))
    return found


def _result(value: Any, rule: Rule, rests: Rests, said: Callable[[str], str]) -> Any:
    if not isinstance(value, list):
        return plain(value, rule.unit) | rests.of_result(rule.name)
    return [{n: plain(_cell(row[n], said), rule.columns[n]) | rests.marks(row[n], names[n] | _named_in(row[n], rests))
             for n in _columns(rule) if n in row}
            for row, names in zip(map(fields, value), rests.cells(rule.name), strict=True)]


def _columns(rule: Rule) -> Iterable[str]:
    """The cells of a list's rows that are shown."""
    columns: Iterable[str] = rule.columns if rule.each is None else getattr(rule.each.row, "HEADLINE", rule.columns)
    return columns


def _cell(cell: Any, said: Callable[[str], str]) -> Any:
    return _fill(cell, said) if isinstance(cell, str) else cell


def _named_in(cell: Any, rests: Rests) -> Names:
    return rests.of_text(cell) if isinstance(cell, str) else frozenset()


def _fill(text: str, said: Callable[[str], str]) -> str:
    return re.sub(r"\{(\w+)\}", lambda name: said(name[1]), text) if "{" in text else text


@cache
def _takes(module: ModuleType) -> tuple[str, ...]:
    """Every input that a calculator takes, by the name it is told under."""
    return tuple(key for need in plan(module, ()).inputs for key in keys(need).values())


def _near(key: str, module: ModuleType) -> str:
    takes = _takes(module)
    return meant(key, takes, f"it takes {', '.join(takes[:8])} …")
