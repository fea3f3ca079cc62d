"""Packs for a fleet: a CSV as people have them, a truck a row, a PDF a truck; what can't be used is told by row and column."""

import csv
import gc
import hashlib
import io
import json
import re
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

import calculators
from print.files import file_name, remove_left_over, write
from print.pack import Written, own, shared, whole

FORMAT = {"format": "diesel-handover-truck", "version": 1}
HEADING = re.compile(r"^\s*([\w.]+)\s*(?:\(\s*(.*?)\s*\))?\s*$")
DAYS = ("%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y", "%d.%m.%Y", "%Y/%m/%d", "%Y-%m-%d %H:%M:%S", "%Y-%m-%dT%H:%M:%S", "%b %d, %Y", "%d-%b-%Y")
SPREADSHEET_DAY_0 = date(1899, 12, 30)
MADE = ".packs.json"


class NoCluster(RuntimeError):
    """The cluster that was asked for can't be had."""


class Problem(NamedTuple):
    """One cell that can't be used."""

    row: int  # as a spreadsheet counts: the heading is row 1
    column: str
    value: str
    do: str

    def __str__(self):
        return f"row {self.row}, {self.column}: {' '.join(self.value.split())[:60]!r}: {self.do}"


class Row(NamedTuple):
    """A truck and where it stands."""

    number: int
    truck: dict


def read(data):
    """Every usable row of a CSV's bytes, and every problem."""
    lines = _cells(_text(data))
    heading = next(lines, None)
    columns = _columns(heading[1]) if heading else {}
    if "name" not in [field for field, _ in columns.values()]:
        told = ",".join(heading[1]) if heading else ""
        return [], [Problem(1, "name", told, "write a first line of headings, one of them `name`; `--example-fleet` prints one")]
    rows, problems = [], []
    for number, cells in lines:
        truck, wrong = _truck(number, cells, columns)
        problems += wrong
        if not wrong:
            rows.append(Row(number, truck))
    if not rows and not problems:
        problems.append(Problem(2, "name", "", "write at least one truck under the headings"))
    return rows, problems


def _text(data):
    """A spreadsheet writes UTF-8 with a mark, UTF-16, or what its machine always wrote."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", errors="replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")


def _cells(text):
    """Each line that holds anything, with its number in a spreadsheet."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = max(",;\t", key=first.count)
    for number, cells in enumerate(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter), 1):
        if any(cell.strip() for cell in cells):
            yield number, cells


def _columns(cells):
    """What each column holds: `fuel_price (USD/gal)` is a field and its unit."""
    found = {}
    for place, cell in enumerate(cells):
        if cell.strip():
            named = HEADING.match(cell)
            found[place] = (named[1], named[2] or "") if named else (cell.strip(), "")
    return found


def _truck(number, cells, columns):
    truck = {**FORMAT, "facts": {}, "done": {}, "interval": {}}
    told = {}
    for place, (field, unit) in columns.items():
        value = cells[place].strip() if place < len(cells) else ""
        told[field] = value
        if field == "name":
            truck["name"] = value
        elif value:
            _tell(truck, field, _value(field, value, unit))
    whole, faults = calculators.read_truck(json.dumps(truck))
    return whole, [Problem(number, fault.field, told.get(fault.field, str(fault.given)), fault.do) for fault in faults]


def _tell(truck, field, value):
    part, *path = field.split(".")
    if part in ("done", "interval") and len(path) == 2:
        truck[part].setdefault(path[0], {})[path[1]] = value
    else:
        truck["facts"][field] = value


def _value(field, value, unit):
    """A cell as a truck's file has it: a spreadsheet's day as ours, a decimal comma as a point, the column's unit after a bare number."""
    if field.endswith(".date") or field.endswith("_on"):
        return _day(value)
    if re.fullmatch(r"-?\d+,\d{1,2}", value):
        value = value.replace(",", ".")
    elif re.fullmatch(r"-?\d{1,3}(,\d{3})+(\.\d+)?", value):
        value = value.replace(",", "")
    return f"{value} {unit}" if unit and re.fullmatch(r"-?[\d.]+", value) else value


def _day(value):
    if re.fullmatch(r"[34567]\d{4}", value):  # a day that a spreadsheet shows as the number it keeps
        return (SPREADSHEET_DAY_0 + timedelta(days=int(value))).isoformat()
    for form in DAYS:
        try:
            return datetime.strptime(value, form).date().isoformat()
        except ValueError:
            continue
    return value


def example():
    """A CSV to start from: the example trucks, a column for each fact they tell."""
    trucks = [calculators.example_truck(name) for name in calculators.example_trucks()]
    units = {field.name: field.unit for field in calculators.truck_form()}
    flat = [{"name": truck["name"], **truck["facts"], **_flat(truck, "done"), **_flat(truck, "interval")} for truck in trucks]
    fields = list(dict.fromkeys(field for each in flat for field in each))
    target = io.StringIO(newline="")
    table = csv.writer(target, lineterminator="\n")
    table.writerow(f"{field} ({units[field]})" if units.get(field) else field for field in fields)
    for each in flat:
        table.writerow(_bare(each.get(field, ""), units.get(field)) for field in fields)
    return target.getvalue()


def _flat(truck, part):
    return {f"{part}.{job}.{what}": value for job, told in truck.get(part, {}).items() for what, value in told.items()}


def _bare(value, unit):
    return value.removesuffix(f" {unit}") if unit else value


def targets(rows):
    """A file for each truck, no two alike even where a file system ignores case."""
    taken, found = set(), []
    for row in rows:
        base = file_name(row.truck["name"])
        name, count = base, 2
        while name.casefold() in taken:
            name, count = f"{base}-{count}", count + 1
        taken.add(name.casefold())
        found.append(f"{name}.pdf")
    return found


def build(rows, out, order, cluster=""):
    """Write every pack that has changed; yields a problem list for each row as it is done."""
    out = Path(out)
    remove_left_over(out)
    known = _known(out)
    keys = {name: _key(row.truck, order) for row, name in zip(rows, targets(rows), strict=True)}
    todo = [(row, name) for row, name in zip(rows, keys, strict=True) if known.get(name) != keys[name] or not (out / name).exists()]
    for _ in range(len(rows) - len(todo)):
        yield []
    for (_, name), (made, wrong) in zip(todo, _at_once([row for row, _ in todo], order, cluster), strict=True):
        if not wrong:
            write(out / name, whole(made, order))
            known[name] = keys[name]
        yield wrong
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
    """Which packs an earlier run has made, and from what; a list that can't be read only means making them again."""
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
    for place in (root / "print", root / "calculators", root / "docs/assets/tokens.css"):
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
        return Written(b"", {}), [Problem(row.number, fault.field, str(fault.given), fault.do) for fault in refused.faults]
    finally:
        gc.enable()
        _settle()


@lru_cache(maxsize=1)
def _settle():
    """What a process has loaded for its first truck serves all: nothing need look through it after each."""
    gc.collect()
    gc.freeze()


def problems_csv(problems):
    """What can't be used, for a spreadsheet; a cell that would run there is made plain text."""
    target = io.StringIO(newline="")
    table = csv.writer(target, lineterminator="\n")
    table.writerow(Problem._fields)
    for each in problems:
        table.writerow(f"'{cell}" if re.match(r"[=+@\t\r]|-(?![\d.]+$)", str(cell)) else cell for cell in each)
    return "\ufeff" + target.getvalue()
