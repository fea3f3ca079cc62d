"""Packs for a fleet: a CSV as people have them, a truck a row, a PDF a truck; what can't be used is told by row and column."""

import gc
import hashlib
import json
import re
from collections import Counter
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import calculators
from calculators.engine.spreadsheet import (
    Problem,
    day_of,
    habits_of,
    harmless,
    lines_of,
    named_twice,
    number_of,
    surplus,
    text_of,
    what_would_do,
    written,
)
from print.files import file_name, remove_left_over, write
from print.pack import Written, own, shared, whole

FORMAT = {"format": "diesel-handover-truck", "version": 1}
HEADING = re.compile(r"([\w.]+)\s*(?:\(\s*(.*?)\s*\))?")
MADE = ".packs.json"
KEPT_EVERY = 50  # packs: a killed run makes fewer than these again, and the list of ten thousand isn't written ten thousand times


class NoCluster(RuntimeError):
    """The cluster that was asked for can't be had."""


class Row(NamedTuple):
    """A truck and where it stands."""

    number: int
    truck: dict


class Column(NamedTuple):
    """The fact that a column holds, of which kind, and the unit of its bare numbers."""

    field: str
    kind: str
    unit: str


def read(data):
    """Every usable row of a CSV's bytes, and every problem."""
    lines, problems = lines_of(text_of(data))
    at, headings = lines[0] if lines else (1, [])
    columns, unknown = _columns(at, headings)
    wrong = _unusable(at, headings, [column.field for column in columns.values()])
    if wrong:
        return [], wrong + unknown + problems
    rows, wrong = _rows(lines[1:], columns, len(headings))
    problems += wrong
    if not rows and not problems:
        problems.append(Problem(at + 1, "name", "", "write at least one truck under the headings"))
    return rows, unknown + problems


def _rows(lines, columns, width):
    habits = _habits(lines, columns)
    rows, problems = [], []
    for number, cells in lines:
        truck, wrong = _truck(number, cells, columns, habits)
        wrong = surplus(number, cells[width:]) or wrong
        problems += wrong
        if not wrong:
            rows.append(Row(number, truck))
    return rows, problems


def _columns(row, headings):
    """What each column holds, and a problem for each that no truck has."""
    named = {place: heading.strip() for place, heading in enumerate(headings) if heading.strip()}
    found = {place: _column(heading) for place, heading in named.items()}
    unknown = [Problem(row, heading, heading, "a truck has no fact of this name, so the column was left out: "
                       "take it out, or name it like a heading that `--example-fleet` prints")
               for place, heading in named.items() if not found[place]]
    return {place: column for place, column in found.items() if column}, unknown


def _column(heading):
    """`Fuel_price (USD/gal)` is a fact and its unit, in small letters or capitals."""
    told = HEADING.fullmatch(heading)
    if told and told[1].casefold() == "name":
        return Column("name", "name", "")
    fact = _facts().get(told[1].casefold()) if told else None
    if not fact:
        return None
    unit = told[2] or ""
    return Column(fact.name, fact.kind, next((each for each, _ in fact.units if each.casefold() == unit.casefold()), unit))


@lru_cache(maxsize=1)
def _facts():
    """Every fact that a truck's file may tell, by its name in small letters."""
    forms = (calculators.truck_form(), *map(calculators.form, calculators.NAMES))
    return {fact.name.casefold(): fact for form in forms for fact in form if fact.name != "today"}


def _unusable(row, headings, fields):
    """What is wrong with the headings so that no row under them can be trusted."""
    if "name" not in fields:
        told = ",".join(headings)
        return [Problem(row, "name", told, "write a first line of headings, one of them `name`; `--example-fleet` prints one")]
    return named_twice(row, fields)


def _habits(lines, columns):
    def told(kind):
        places = [place for place, column in columns.items() if column.kind == kind]
        return [cells[place] for _, cells in lines for place in places if place < len(cells)]

    return habits_of(told("number"), told("date"))


def _truck(number, cells, columns, habits):
    truck = {**FORMAT, "facts": {}, "done": {}, "interval": {}}
    told = {}
    for place, column in columns.items():
        value = cells[place].strip() if place < len(cells) else ""
        told[column.field] = value
        if column.field == "name":
            truck["name"] = value
        elif value:
            _tell(truck, column.field, _value(column, value, habits))
    whole, faults = calculators.read_truck(json.dumps(truck))
    return whole, [_problem(number, fault, told.get(fault.field, str(fault.given)), habits) for fault in faults]


def _problem(number, fault, value, habits):
    return Problem(number, fault.field, value, what_would_do(value, fault.do, habits))


def _tell(truck, field, value):
    part, *path = field.split(".")
    if path:
        truck[part].setdefault(path[0], {})[path[1]] = value
    else:
        truck["facts"][field] = value


def _value(column, value, habits):
    """A cell as a truck's file has it: a spreadsheet's day as ours, a number with a point, the column's unit after a bare number."""
    if column.kind == "date":
        return day_of(value, habits)
    return number_of(value, column.unit, habits) if column.kind == "number" else value


def example():
    """A CSV to start from: the example trucks, a column for each fact they tell."""
    trucks = [calculators.example_truck(name) for name in calculators.example_trucks()]
    units = {field.name: field.unit for field in calculators.truck_form()}
    flat = [{"name": truck["name"], **truck["facts"], **_flat(truck, "done"), **_flat(truck, "interval")} for truck in trucks]
    fields = list(dict.fromkeys(field for each in flat for field in each))
    headings = [f"{field} ({units[field]})" if units.get(field) else field for field in fields]
    return written([headings, *([_bare(each.get(field, ""), units.get(field)) for field in fields] for each in flat)])


def _flat(truck, part):
    return {f"{part}.{job}.{what}": value for job, told in truck.get(part, {}).items() for what, value in told.items()}


def _bare(value, unit):
    return value.removesuffix(f" {unit}") if unit else value


def targets(rows):
    """A file for each truck, no two alike even where a file system ignores case."""
    return [f"{name}.pdf" for name in _apart([file_name(row.truck["name"]) for row in rows], "-")]


def _apart(names, mark):
    """Names of which no two are alike in small letters: a second one bears a number that makes no other's name of it."""
    taken, counts, found = {name.casefold() for name in names}, Counter(), []
    for name in names:
        base = name.casefold()
        counts[base] += 1
        while counts[base] > 1 and f"{base}{mark}{counts[base]}" in taken:
            counts[base] += 1
        found.append(f"{name}{mark}{counts[base]}" if counts[base] > 1 else name)
        taken.add(found[-1].casefold())
    return found


def service_dates(rows, today):
    """One calendar of every row's service dates, the rows without a record of any job, and the problems."""
    jobs, bare, problems = {}, [], []
    for row, name in zip(rows, _apart([" ".join(row.truck["name"].split()) for row in rows], " "), strict=True):
        try:
            jobs[name] = calculators.service_jobs(row.truck, today)
        except calculators.Refused as refused:
            problems += _refused(row, refused)
            continue
        if not any(job["recorded"]["value"] for job in jobs[name]):
            bare.append(row)
    return calculators.fleet_calendar(jobs, today), bare, problems


def build(rows, out, order, cluster=""):
    """Write every pack that has changed; yields a problem list for each row as it is done."""
    out = Path(out)
    remove_left_over(out)
    known = _known(out)
    keys = {name: _key(row.truck, order) for row, name in zip(rows, targets(rows), strict=True)}
    todo = [(row, name) for row, name in zip(rows, keys, strict=True) if not _stands(out / name, known.get(name), keys[name])]
    for _ in range(len(rows) - len(todo)):
        yield []
    try:
        for count, ((_, name), (made, wrong)) in enumerate(zip(todo, _at_once([row for row, _ in todo], order, cluster), strict=True), 1):
            if not wrong:
                known[name] = _put(out / name, whole(made, order), keys[name])
            if count % KEPT_EVERY == 0:
                _keep(out, known)
            yield wrong
    finally:  # also when broken off: what stands there need not be made again
        _keep(out, known)


def _put(target, data, key):
    """Write a pack; what is remembered of it."""
    write(target, data)
    return {"from": key, "sha256": hashlib.sha256(data).hexdigest()}


def _stands(target, remembered, key):
    """Whether a pack is there as it was written, and from the same."""
    if not isinstance(remembered, dict) or remembered.get("from") != key:
        return False
    try:
        return remembered.get("sha256") == hashlib.sha256(target.read_bytes()).hexdigest()
    except OSError:
        return False


def _keep(out, known):
    if known:
        write(out / MADE, json.dumps(known, indent=1, sort_keys=True))


def _at_once(rows, order, cluster):
    """Each row's own sheets and its problems, in order, from as many processes as help."""
    from joblib import Parallel, delayed, parallel_config

    with _processes(cluster, len(rows)) as how, parallel_config(**how):
        made = Parallel(return_as="generator")(delayed(_make)(row, order) for row in rows)
        shared(order)  # while the others make what is each truck's own
        yield from made


@contextmanager
def _processes(cluster, most):
    """What joblib should work with: processes here, or a Dask cluster if its address is told."""
    from joblib import cpu_count

    if not cluster:
        yield {"n_jobs": max(1, min(cpu_count(), most))}
        return
    try:
        from dask.distributed import Client

        client = Client(cluster, timeout=10)
    except ImportError:
        raise NoCluster("--cluster needs Dask, which a plain install leaves out: pip install dask distributed") from None
    except OSError as wrong:
        raise NoCluster(f"no cluster answers at {cluster}: {wrong}") from None
    with client:
        yield {"backend": "dask"}


def _known(out):
    """Which packs an earlier run has made, from what, and what was written; a list that can't be read only means making them again."""
    try:
        known = json.loads((out / MADE).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return known if isinstance(known, dict) else {}


def _key(truck, order):
    """What a pack is made from: the truck, the order, and this program's own words and figures."""
    return hashlib.sha256(json.dumps([truck, order, _program()], sort_keys=True).encode()).hexdigest()


@lru_cache(maxsize=1)
def _program():
    root = Path(__file__).parent.parent
    digest = hashlib.sha256()
    for place in (root / "print", root / "pieces", root / "calculators", root / "docs/assets/tokens.css"):
        for path in sorted(place.rglob("*")) if place.is_dir() else [place]:
            if path.is_file() and "__pycache__" not in path.parts:
                digest.update(path.read_bytes())
    return digest.hexdigest()


def _make(row, order):
    """One truck's own sheets as PDF; its problems where a calculator refuses what is told."""
    gc.disable()  # all that a sheet is made of lives until it is written: looking for garbage meanwhile is a tenth of the time
    try:
        return own(row.truck, order), []
    except calculators.Refused as refused:
        return Written(b"", {}), _refused(row, refused)
    finally:
        gc.enable()
        _settle()


def _refused(row, refused):
    return [Problem(row.number, fault.field, str(fault.given), fault.do) for fault in refused.faults]


@lru_cache(maxsize=1)
def _settle():
    """What a process has loaded for its first truck serves all: nothing need look through it after each."""
    gc.collect()
    gc.freeze()


def problems_csv(problems):
    """What can't be used, for a spreadsheet; a cell that would run there is made plain text."""
    return "\ufeff" + written([Problem._fields, *(map(harmless, each) for each in problems)])
