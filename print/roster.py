"""Which truck is which, whatever the order of the rows: a key that stays, a name for its files, and what stands twice."""

import hashlib
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import calculators
from calculators.engine.spreadsheet import Problem
from print.files import file_name

SAID = {"vin": "VIN", "unit": "unit", "name": "name"}


class Who(NamedTuple):
    """By what a truck is known; what is not told is empty."""

    vin: str
    unit: str
    name: str

    def keys(self) -> Iterator[str]:
        """Every way to find it again, the surest first; a name only where there is no unit."""
        if self.vin:
            yield f"vin:{self.vin}"
        if self.unit:
            yield f"unit:{self.unit}"
        elif self.name:
            yield f"name:{self.name}"


class Stands(NamedTuple):
    """A truck that a file names, in which row, under which headings, whether or not the row can be used."""

    row: int
    who: Who
    headings: Mapping[str, str]
    cells: Mapping[str, str]
    sheet: str = ""


def who(name: str, identity: Mapping[str, str]) -> Who:
    """The same for the same truck, in whatever case or spacing it is written."""
    return Who(calculators.vin.tidy(identity.get("vin", "")), _plain(identity.get("unit", "")), _plain(name))


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def made_id(key: str) -> str:
    """A truck's id from its key: the same in every folder and on every machine."""
    return hashlib.sha256(key.encode()).hexdigest()[:32]


def twice(trucks: Iterable[Stands]) -> list[Problem]:
    """Each row whose VIN, unit, or name without a unit stands in another row too."""
    by_key: dict[str, list[Stands]] = defaultdict(list)
    for each in trucks:
        for key in each.who.keys():
            by_key[key].append(each)
    problems: dict[int, Problem] = {}
    for key, those in by_key.items():
        for each in those if len(those) > 1 else ():
            problems.setdefault(each.row, _told_twice(key, each, those))
    return list(problems.values())


def _told_twice(key: str, one: Stands, all_of_them: Sequence[Stands]) -> Problem:
    field = key.partition(":")[0]
    rows = " and ".join(str(each.row) for each in all_of_them)
    return Problem(one.row, one.headings.get(field, field), one.cells.get(field, ""),
                   f"rows {rows} have the same {SAID[field]}, so none of them was used: correct it, or take out the row that is not meant",
                   one.sheet)


def same(one: Who, other: Who) -> bool:
    """Whether two are one truck: by VIN where both have one, else by unit, else by name."""
    if one.vin and other.vin:
        return one.vin == other.vin
    if one.unit and other.unit:
        return one.unit == other.unit
    return one.name == other.name and not one.unit and not other.unit


def label(name: str, unit: str) -> str:
    """A truck's name in a list: behind its unit, unless the name says it already."""
    words = _plain(name).split()
    return name if not unit or _plain(unit) in (_plain(name), *words) else f"{unit} {name}"


def file_names(trucks: Mapping[str, str], taken: Mapping[str, str]) -> dict[str, str]:
    """A name for each truck's files, by its id: the one it had, else one that no other truck has, whatever case a file system minds.

    ``trucks`` are labels by id, ``taken`` what each id's files were called until now.
    """
    bases = {each: file_name(name) for each, name in trucks.items()}
    found = {each: taken[each] for each in bases if each in taken and _is_of(taken[each], bases[each])}
    used = {name.casefold() for name in (*found.values(), *(name for each, name in taken.items() if each not in bases))}
    counts: Counter[str] = Counter()
    for each in sorted(bases.keys() - found.keys(), key=lambda each: (bases[each].casefold(), each)):
        base = bases[each]
        name = base
        while name.casefold() in used:
            counts[base.casefold()] += 1
            name = f"{base}-{counts[base.casefold()] + 1}"
        found[each] = name
        used.add(name.casefold())
    return found


def _is_of(name: str, base: str) -> bool:
    """Whether a file's name is a truck's own, with or without a number behind it."""
    rest = name[len(base):]
    return name.startswith(base) and (not rest or (rest[0] == "-" and rest[1:].isdigit()))
