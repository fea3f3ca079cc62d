"""What each column of a fleet's file holds: found by the words above it, shown, and kept in a file to reuse and to correct."""

import csv
import io
import re
import tomllib
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import calculators
from calculators.engine.spreadsheet import WARNED, Problem
from print.problems import as_csv
from print.spreadsheet import Sheet

WORDS = Path(__file__).with_name("headings.toml")
IDENTITY = ("unit", "vin", "plate", "driver", "location", "make", "model_year", "tire_size", "owner")
KEYS = ("name", "unit", "vin")  # a row without any of them is no truck
TEXTS = (*KEYS, *IDENTITY, "sheets")
METERS = {"idle_hours": "h"}  # a reading that only the truck's book holds
LOOKED_AT = 20  # lines among which the headings stand
ENOUGH = 3  # cells that a line of headings has, if there are titles above it
KNOWN, ALIKE, BELOW, MOST_BELOW, FEW = 3.0, 1.0, 0.5, 5, -5.0
IGNORED, ASKED = "(left out)", "?"  # how the kept file says that a column is of no use, and that it could hold more than one thing
IN_BRACKETS = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]*?)\s*[)\]]\s*")
REMARK = re.compile(r"\d|\w+\s+\w+\s+\w+")  # in brackets, and surely no unit
A_DAY = re.compile(r"(?:\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}|\d{1,2}[- ][a-z]{3,9}[- ]\d{2,4}|[a-z]{3,9} \d{1,2},? \d{4})(?:\D.*)?", re.I)


class Column(NamedTuple):
    """The fact that a column holds, of which kind, and the unit of its bare numbers."""

    field: str
    kind: str  # number, date, yes/no, choice or text
    unit: str
    heading: str
    guessed: bool = False  # by its words, and not by its own name
    assumed: bool = False  # the unit, for none is told


class Headings(NamedTuple):
    """Where they stand, what was found, what is of no use, and what is to be said of it."""

    row: int  # in the file
    at: int  # among the lines
    columns: dict[int, Column]
    ignored: list[str]
    asked: dict[str, tuple[str, str]]  # what each of those that are asked about could hold, and in which unit
    notes: list[str]
    problems: list[Problem]


class Meaning(NamedTuple):
    """What words above a column say."""

    field: str
    unit: str
    only_days: bool = False


# Finding the line ----------------------------------------------------------------------------------


def place(sheet: Sheet) -> int:
    """Where among a sheet's lines the likeliest line of headings stands, the first of equals."""
    return max(range(min(len(sheet.lines), LOOKED_AT)), key=lambda at: (_looks(sheet, at), -at), default=0)


def are_of_trucks(sheet: Sheet) -> bool:
    """Whether a sheet has a line of headings by which trucks can be told."""
    if not sheet.lines:
        return False
    cells = sheet.lines[place(sheet)][1]
    return any(_may_hold(cell) & set(KEYS) for cell in cells)


def _may_hold(heading: str) -> set[str]:
    exact = _exact(heading)
    return {exact.field} if exact else {each.field for each in _meanings(heading)}


def _looks(sheet: Sheet, at: int) -> float:
    cells = [cell.strip() for cell in sheet.lines[at][1]]
    filled = [cell for cell in cells if cell]
    below = [other for _, other in sheet.lines[at + 1:at + 1 + LOOKED_AT]]
    columns = sum(any(place < len(other) and other[place].strip() for other in below) for place, cell in enumerate(cells) if cell)
    return (KNOWN * sum(map(is_known, filled)) + ALIKE * (len(set(filled)) == len(filled)) + ALIKE * (not any(map(_is_number, filled)))
            + BELOW * min(MOST_BELOW, columns) + FEW * (len(filled) < ENOUGH))


def _is_number(cell: str) -> bool:
    return bool(re.fullmatch(r"[-\d.,/: ]+", cell))


def is_known(heading: str) -> bool:
    """Whether words above a column mean anything here."""
    return bool(_exact(heading) or _meanings(heading) or _plain(_without_brackets(heading)) in _table()["ask"])


# What each column holds ------------------------------------------------------------------------------


def read(sheet: Sheet, at: int, kept: Mapping[str, tuple[str, str]]) -> Headings:
    """The columns under the line of headings; what an earlier run kept, or its reader corrected, comes first."""
    row, cells = sheet.lines[at]
    named = {place: " ".join(cell.split()) for place, cell in enumerate(cells) if cell.strip()}
    beside = {_plain(heading) for heading in named.values()}
    found: dict[int, Column] = {}
    asked: dict[str, tuple[str, str]] = {}
    ignored, notes, problems = [], [], []
    for place, heading in named.items():
        settled = kept.get(heading, (ASKED,))[0] != ASKED
        column = _kept(heading, kept) if settled else _found(heading, _cells(sheet, at, place), beside)
        match column:
            case Column():
                found[place] = column
                notes += [f"{heading!r} names no unit: taken as {column.unit}"] if column.assumed else []
            case None:
                ignored.append(heading)
            case what_would_do:
                problems.append(Problem(row, heading, heading, what_would_do, sheet.name, WARNED))
                asked[heading] = kept[heading] if settled else (ASKED, "")
    twice = _twice(found)
    problems += [_told_twice(sheet.name, row, field, [found[place].heading for place in places]) for field, places in twice.items()]
    asked |= {found[place].heading: (field, found[place].unit) for field, places in twice.items() for place in places}
    columns = {place: column for place, column in found.items() if column.field not in twice}
    return Headings(row, at, columns, ignored, asked, notes, problems)


def _cells(sheet: Sheet, at: int, place: int) -> list[str]:
    return [cells[place].strip() for _, cells in sheet.lines[at + 1:] if place < len(cells) and cells[place].strip()]


def _found(heading: str, below: Sequence[str], beside: set[str]) -> Column | str | None:
    """A column; nothing where its words mean nothing here; or what to write above it where they could mean more than one thing."""
    if exact := _exact(heading):
        return exact
    if _plain(_without_brackets(heading)) == "hours":
        if any("idle" in other for other in beside):
            return "it could be engine hours or other hours: write “engine hours” above it, or correct it in the kept file of headings"
        return Column("engine_hours", "number", "h", heading, guessed=True)
    meanings = _meanings(heading)
    days = bool(below) and sum(map(_is_day, below)) * 2 > len(below)
    usable = [each for each in meanings if days or not each.only_days or _sibling(each.field, _in_brackets(heading))]
    if len({each.field for each in usable}) == 1:
        return _column(usable[0], heading)
    if meanings:
        return "it could be a day, miles or hours: write “date”, “miles” or “hours” behind it"
    if asked := _table()["ask"].get(_plain(_without_brackets(heading))):
        return f"it could mean more than one thing: write {asked}"
    return None


def _is_day(cell: str) -> bool:
    return bool(A_DAY.fullmatch(cell))


def _column(meaning: Meaning, heading: str) -> Column | str:
    fact = facts().get(meaning.field)
    if fact is None:
        return Column(meaning.field, "text", "", heading, guessed=True)
    bracket = _in_brackets(heading)
    if bracket and not meaning.unit and (sibling := _sibling(meaning.field, bracket)):
        return Column(*sibling, heading, guessed=True)
    if bracket and fact.unit and not meaning.unit and not REMARK.search(bracket):
        return f"({bracket}) is no unit it can be in: write {' or '.join(each for each, _ in fact.units)} in the brackets"
    return Column(meaning.field, fact.kind, meaning.unit or fact.unit, heading, guessed=True, assumed=bool(fact.unit and not meaning.unit))


def _sibling(field: str, unit: str) -> tuple[str, str, str] | None:
    """What else is told of the same job, in this unit: `Last oil change (mi)`, `Oil change interval (months)`."""
    job = field.rpartition(".")[0]
    others = (name for name in facts() if job and name != field and name.rpartition(".")[0] == job)
    return next(((name, facts()[name].kind, found) for name in others if (found := _unit(unit, facts()[name]))), None)


def _twice(found: Mapping[int, Column]) -> dict[str, list[int]]:
    places: dict[str, list[int]] = {}
    for place, column in found.items():
        places.setdefault(column.field, []).append(place)
    return {field: both for field, both in places.items() if len(both) > 1}


def _told_twice(sheet: str, row: int, field: str, headings: Sequence[str]) -> Problem:
    named = " and ".join(map(repr, headings))
    return Problem(row, headings[0], " / ".join(headings), f"{named} both hold {field}, so neither was read: leave one of them out, "
                   "or correct one in the kept file of headings", sheet, WARNED)


# Words and their meaning ----------------------------------------------------------------------------


class Fact(NamedTuple):
    """What a column may hold of a truck."""

    kind: str
    unit: str
    units: tuple[tuple[str, str], ...]
    source: Any


@cache
def facts() -> dict[str, Fact]:
    """Every fact that a truck's file may tell, by its name."""
    forms = (calculators.truck_form(), *map(calculators.form, calculators.NAMES))
    told = {fact.name: Fact(fact.kind, fact.unit, fact.units, fact.source) for form in forms for fact in form if fact.name != "today"}
    meters = {name: told["engine_hours"] for name in METERS if name not in told}
    return told | meters


@cache
def _by_small_letters() -> dict[str, str]:
    return {name.casefold(): name for name in (*facts(), *TEXTS)}


def _exact(heading: str) -> Column | None:
    """`Fuel_price (USD/gal)` is a fact's own name and its unit, in small letters or capitals."""
    bare, bracket = _without_brackets(heading), _in_brackets(heading)
    name = bare.casefold()
    field = _by_small_letters().get(name if name in _by_small_letters() or _meanings(bare) else name.replace(" ", "_"))
    if not field or _plain(bare) in _table()["ask"]:
        return None
    if field in TEXTS:
        return Column(field, "text", "", heading) if not bracket else None
    fact = facts()[field]
    if bracket and not (unit := _unit(bracket, fact)):
        return None
    return Column(field, fact.kind, unit if bracket else "", heading)


def _unit(text: str, fact: Fact) -> str:
    """What stands in brackets as a unit of this fact; nothing where it is none."""
    if not fact.unit:
        return ""
    shown = {words.casefold(): unit for unit, words in fact.units} | {unit.casefold(): unit for unit, _ in fact.units}
    if unit := shown.get(text.casefold()):
        return unit
    for unit, others in _table()["says_unit"].items():
        if text.casefold() in others and _is_read(unit, fact):
            return str(unit)
    return text if _is_read(text, fact) else text.casefold() if _is_read(text.casefold(), fact) else ""


def _is_read(unit: str, fact: Fact) -> bool:
    try:
        fact.source.read(f"1 {unit}")
    except ValueError:
        return False
    return True


def _without_brackets(heading: str) -> str:
    told = IN_BRACKETS.fullmatch(heading)
    return (told[1] if told else heading).strip()


def _in_brackets(heading: str) -> str:
    told = IN_BRACKETS.fullmatch(heading)
    return told[2] if told else ""


def _plain(words: str) -> str:
    """Small letters and single spaces, no marks."""
    text = unicodedata.normalize("NFKC", words).replace("#", " no ").replace("№", " no ").casefold().replace("’", "").replace("'", "")
    return " ".join(re.sub(r"[^\w/$%]|_", " ", text).split())


def _meanings(heading: str) -> list[Meaning]:
    """What the words mean: all of them first, then without what stands in brackets, and without a unit at their end."""
    bare, bracket = _without_brackets(heading), _in_brackets(heading)
    for words, told in ((heading, ""), (bare, bracket)):
        if meanings := _lookup(_plain(words)):
            return [each._replace(unit=_unit_of(each, told, words)) for each in meanings]
    for words, told in _unit_at_end(bare):
        meanings = [each._replace(unit=unit) for each in _lookup(_plain(words)) if (unit := _unit_of(each, told, words))]
        if meanings:
            return meanings
    return []


def _unit_at_end(heading: str) -> Iterable[tuple[str, str]]:
    """`Fuel price, $/gal` and `Odometer km`."""
    words = re.split(r"[\s,–—-]+", heading)
    return [(" ".join(words[:-1]), words[-1])] if len(words) > 1 else []


def _unit_of(meaning: Meaning, told: str, words: str) -> str:
    fact = facts().get(meaning.field)
    if fact is None or not fact.unit:
        return ""
    if told:
        return _unit(told, fact)
    said = set(_plain(words).split())
    return next((unit for unit, others in _table()["says_unit"].items() if said & set(others) and _is_read(unit, fact)), "")


def _lookup(plain: str) -> list[Meaning]:
    known = _synonyms()
    if plain in known or plain in _table()["ask"]:
        return known.get(plain, [])
    return _loose().get(_content(plain), []) if _content(plain) else []


def _content(plain: str) -> frozenset[str]:
    """The words that carry the meaning, in whatever order."""
    return frozenset(plain.split()) - _fillers()


@cache
def _fillers() -> frozenset[str]:
    return frozenset(_table()["fillers"])


@cache
def _synonyms() -> dict[str, list[Meaning]]:
    """Every heading that is known word for word, and what it may mean; of two facts under the same words, both."""
    table = _table()
    known: dict[str, list[Meaning]] = {}

    def add(words: str, meaning: Meaning) -> None:
        meanings = known.setdefault(_plain(words), [])
        if meaning not in meanings:
            meanings.append(meaning)

    for field, said in table["facts"].items():
        for words in said:
            add(words, Meaning(field, ""))
    for job, names in table["jobs"].items():
        for part, told in (("done", table["told_of_job"]), ("interval", table["told_of_interval"])):
            for what, forms in told.items():
                for form in forms:
                    for name in names:
                        add(form.format(job=name), Meaning(f"{part}.{job}.{what}", ""))
        for form in table["a_day_if_days"]["words"]:
            for name in names:
                if _plain(form.format(job=name)) not in known:
                    add(form.format(job=name), Meaning(f"done.{job}.date", "", only_days=True))
    return {words: [each for each in meanings if each.field in facts() or each.field in TEXTS] for words, meanings in known.items()}


@cache
def _loose() -> dict[frozenset[str], list[Meaning]]:
    """The same by the words that carry the meaning; where those alone could mean two facts, nothing."""
    found: dict[frozenset[str], list[Meaning]] = {}
    for words, meanings in _synonyms().items():
        if content := _content(words):
            found.setdefault(content, []).extend(each for each in meanings if each not in found.get(content, []))
    return {content: meanings for content, meanings in found.items() if len({each.field for each in meanings}) == 1}


@cache
def _table() -> dict[str, Any]:
    return tomllib.loads(WORDS.read_text("utf-8"))


# The kept file -----------------------------------------------------------------------------------


def _kept(heading: str, kept: Mapping[str, tuple[str, str]]) -> Column | str | None:
    field, unit = kept[heading]
    if not field or field == IGNORED:
        return None
    name = _by_small_letters().get(field.casefold())
    if not name:
        return f"the kept file of headings says {field!r}, which no truck has: correct it there, or take its line out"
    fact = facts().get(name)
    if fact is None:
        return Column(name, "text", "", heading)
    if unit and not _unit(unit, fact):
        return f"the kept file of headings says {unit!r}, which is no unit it can be in: write {' or '.join(u for u, _ in fact.units)}"
    return Column(name, fact.kind, _unit(unit, fact) if unit else "", heading)


def kept(data: bytes) -> dict[str, tuple[str, str]]:
    """What an earlier run kept of headings; a file that is none means nothing."""
    text = data.decode("utf-8-sig", errors="replace")
    first = text.split("\n", 1)[0]
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=max(",;\t", key=first.count))
    try:
        return {line[0].removeprefix("'"): (line[1].strip(), line[2].strip() if len(line) > 2 else "") for line in lines if len(line) > 1}
    except csv.Error:
        return {}


def to_keep(found: Headings, before: Mapping[str, tuple[str, str]]) -> str:
    """The same file with what was found now: a line a heading, its fact and unit to correct."""
    now = {column.heading: (column.field, column.unit) for column in found.columns.values()}
    now |= {heading: (IGNORED, "") for heading in found.ignored} | found.asked
    lines = {heading: told for heading, told in before.items() if heading != "heading"} | now
    return as_csv(("heading", "holds", "unit"), [(heading, *told) for heading, told in lines.items()])


def said(found: Headings, before: Mapping[str, tuple[str, str]]) -> str:
    """What was made of headings that are no fact's own name and new since the kept file."""
    guessed = [f"{column.heading!r} is {column.field}{f' ({column.unit})' if column.unit else ''}"
               for column in found.columns.values() if column.guessed and column.heading not in before]
    return ", ".join(guessed)
