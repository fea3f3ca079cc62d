"""Changes each number of the data file by a tenth, one at a time, and sees whether a check notices.

    python -m tests.audit.numbers [part of a name] [--sourced] [--without-kept]

A number with a source must be noticed by a published value or a hand sum: our own kept answers don't count for it. An example's, and
what we chose or remember, may be noticed by those. --sourced tries only the first.

Each change is tried in a process forked from this one, which has all libraries loaded but not the calculators: it loads them
with the changed number and runs the fast checks until one fails. The kept answers of the calculators that use a number come
first because they are quickest; --without-kept leaves them out for all numbers. Then come the checks that have noticed most
changes of the same sort so far (a bound, a year, a row), the quick ones before the slow.
"""

import compileall
import contextlib
import importlib
import itertools
import json
import os
import re
import signal
import sys
import tempfile
import time
import tomllib
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from functools import cache, partial
from pathlib import Path
from typing import Any

DATA = Path(__file__).parents[2] / "calculators" / "figures.toml"
LIBRARIES = ("pytest", "json", "scipy.integrate", "scipy.constants", "numpy_financial",
             "dateutil.relativedelta", "pint", "CoolProp.HumidAirProp",
             "ast", "difflib", "csv", "subprocess", "textwrap")
CHECKS = tuple(f"tests.unit.test_{name}" for name in (
    "kept", "bounds", "choices", "facts", "figures", "contract", "sensitivity", "rests", "show", "channels", "learner", "records_view",
    "owner"))
WORKERS, PATIENCE = 2, 600  # processes at once, seconds for one change
A_NUMBER = re.compile(r"(-?\d+(?:\.\d+)?)((?: .+)?)")
SOURCED = ("standard", "handbook", "common practice")
SURVIVED, KEPT, CHECKED, REFUSED = range(10, 14)  # apart from what a process that breaks leaves by
BY_CHECK = 20  # and the place in `checks` of the one that noticed

Place = tuple[str | int, ...]


def numbers(inside: Any, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every number of the data file but zero, with the place where it stands; also one written as text: "20 min"."""
    if isinstance(inside, dict | list):
        for key, part in inside.items() if isinstance(inside, dict) else enumerate(inside):
            yield from numbers(part, (*place, key))
    elif isinstance(inside, int | float) and not isinstance(inside, bool) and inside:
        yield place, tenth_more(inside)
    elif isinstance(inside, str) and place[0] != "labels" and place[-1] not in ("words", "title", "clause", "question") \
            and (found := A_NUMBER.fullmatch(inside)) and float(found[1]):
        yield place, f"{tenth_more(float(found[1])):g}{found[2]}"


def tenth_more(value: float) -> float:
    more = value * 1.1
    return round(more) if isinstance(value, int) and abs(more - round(more)) < 1e-9 else more


def counted(data: Mapping[str, Any], place: Place, value: Any) -> Any:
    """The changed value; of whole things that are counted one more, as eight tanks and a bit are eight tanks."""
    entry = data.get(str(place[0]), {})
    was = entry.get("value")
    return was + 1 if place[-1] == "value" and entry.get("unit") == "count" and isinstance(was, int) and was < 10 else value


def is_sourced(data: Mapping[str, Any], place: Place) -> bool:
    """Whether a publication or the trade stands behind a number, and not we, an example or somebody's memory."""
    if not place or place[0] in ("truck", "entry"):
        return False
    entry = data[place[0]] if place[0] != "table" else data["table"][place[1]]
    return place[0] == "units" or entry.get("kind") in SOURCED


def changed(data: Mapping[str, Any], place: Place, value: Any) -> dict[str, Any]:
    """The data with one number changed."""
    copy = deepcopy(dict(data))
    inside: Any = copy
    for key in place[:-1]:
        inside = inside[key]
    inside[place[-1]] = value
    return copy


def load_with(data: Mapping[str, Any]) -> None:
    """Load the calculators as if the data file held ``data``."""
    sys.dont_write_bytecode = True  # nor is the data file kept in another form, or read from it
    loads = tomllib.loads
    text = DATA.read_text("utf-8")
    tomllib.loads = lambda told, **named: deepcopy(dict(data)) if told == text else loads(told, **named)
    importlib.import_module("calculators")


def users(data: Mapping[str, Any]) -> dict[str, list[str]]:
    """By figure or table: the calculators that use it, those with the fewest needs first."""
    read, write = os.pipe()
    if os.fork() == 0:
        load_with(data)
        calculators = importlib.import_module("calculators")
        facts = importlib.import_module("calculators.engine.facts")
        rules = importlib.import_module("calculators.engine.rules")
        asked: dict[str, list[str]] = {}
        for name in calculators.NAMES:
            for need in facts.plan(rules.calculator(name), ()).needs:
                head, *rest = need.split("__")
                asked.setdefault(f"{head}_{rest[-1]}" if rest else need, []).append(name)
        os.write(write, json.dumps(asked).encode())
        os._exit(0)
    os.close(write)
    with os.fdopen(read) as told:
        found: dict[str, list[str]] = json.load(told)
    os.wait()
    return found


def cases(function: Callable[..., None]) -> Iterator[dict[str, Any]]:
    """A test's arguments, from its parametrize marks; nothing where it also asks for fixtures."""
    sets = []
    for mark in getattr(function, "pytestmark", []):
        if mark.name == "parametrize":
            names = mark.args[0].split(",") if isinstance(mark.args[0], str) else mark.args[0]
            sets.append([dict(zip((name.strip() for name in names), getattr(row, "values", row) if len(names) > 1 else [row], strict=True))
                         for row in mark.args[1]])
    asked = set(function.__code__.co_varnames[: function.__code__.co_argcount])
    for chosen in itertools.product(*sets):
        told = {name: value for one in chosen for name, value in one.items()}
        if asked == set(told):
            yield told


def fails(module: str, wanted: Callable[[dict[str, Any]], bool] = lambda told: True) -> bool:
    """Whether any test of a module fails with the calculators as they are loaded now."""
    try:
        tests = vars(importlib.import_module(module))
    except BaseException:  # it computes what it tries from the numbers
        return True
    for name, function in tests.items():
        if name.startswith("test_") and callable(function) and hasattr(function, "__code__"):
            for told in cases(function):
                if wanted(told):
                    try:
                        function(**told)
                    except BaseException:
                        return True
    return False


def references() -> list[str]:
    return sorted(f"tests.reference.{path.stem}" for path in DATA.parents[1].glob("tests/reference/test_*.py"))


def named_after_calculators() -> list[str]:
    found = DATA.parents[1].glob("tests/unit/test_*.py")
    return sorted(f"tests.unit.{path.stem}" for path in found if (DATA.parent / f"{path.stem[5:]}.py").exists())


def checks() -> list[str]:
    """The modules that may notice a change, in a fixed order."""
    return ["tests.unit.test_units", *named_after_calculators(), *references(), *CHECKS]


@cache
def _text(module: str) -> str:
    return (DATA.parents[1] / f"{module.replace('.', '/')}.py").read_text("utf-8")


class Order:
    """Which check is asked first: by what noticed changes of the same sort, by whom it names, by how long it takes."""

    def __init__(self, used_by: Mapping[str, list[str]]) -> None:
        self.used_by = used_by
        self.hits: dict[str, Counter[str]] = defaultdict(Counter)
        self.seconds: dict[str, float] = {}

    @staticmethod
    def sort_of(place: Place) -> str:
        return place[-1] if isinstance(place[-1], str) and place[0] != "table" else str(place[:2])

    def took(self, place: Place, module: str) -> None:
        self.hits[self.sort_of(place)][module] += 1

    def of(self, place: Place) -> list[str]:
        name, hits = name_of(place), self.hits[self.sort_of(place)]
        users = self.used_by.get(name, [])

        def rank(module: str) -> tuple[int, int, float]:
            named = 0 if name in _text(module) else 1 if any(user in _text(module) for user in users) else 2
            return named if not hits[module] else 0, -hits[module], self.seconds.get(module, 0)

        return sorted((each for each in checks() if each != "tests.unit.test_units"), key=rank)


def name_of(place: Place) -> str:
    return str(place[1] if place[0] == "table" else place[0])


def timed(report: Path) -> int:
    """What the numbers as they are let fail, which should be nothing; how long each check takes is written down."""
    seconds = {}
    for module in checks():
        start = time.process_time()
        if fails(module):
            return CHECKED
        seconds[module] = time.process_time() - start
    report.write_text(json.dumps(seconds))
    return SURVIVED


def noticed(data: Mapping[str, Any], place: Place, value: Any, order: Order, kept: bool) -> int:
    """What notices one change; runs in its own process."""
    try:
        load_with(changed(data, place, value))
    except BaseException:
        return REFUSED
    first = order.used_by.get(name_of(place), [])
    if kept and first and fails("tests.unit.test_kept", lambda told: told.get("name") in first):
        return KEPT
    if kept and place[0] == "truck" and fails("tests.unit.test_kept", lambda told: told.get("truck") == place[1]):
        return KEPT
    if place[0] == "units":
        return CHECKED if fails("tests.unit.test_units") else SURVIVED
    if place[-1] == "year":
        return CHECKED if fails("tests.unit.test_figures") else SURVIVED
    for module in order.of(place):
        if (kept or module != "tests.unit.test_kept") and fails(module):
            return KEPT if module == "tests.unit.test_kept" else BY_CHECK + checks().index(module)
    return SURVIVED


def try_all(part: str = "", kept: bool = True, sourced: bool = False, say: Callable[[str], None] = lambda line: None) -> dict[Place, int]:
    """What noticed each change, by the place of the number; SURVIVED where nothing did. ``say`` gets a line for each survivor."""
    if "calculators" in sys.modules:  # a fork would keep them, with the numbers as they are
        raise SystemExit("the calculators are loaded already: run this in a process of its own")
    data = tomllib.loads(DATA.read_text("utf-8"))
    for library in LIBRARIES:
        importlib.import_module(library)
    for folder in ("calculators", "tests"):  # a child would compile them anew, which is most of its time
        compileall.compile_dir(DATA.parents[1] / folder, quiet=1)
    order = Order(users(data))
    waiting = [(place, counted(data, place, value)) for place, value in numbers(data)
               if part in ".".join(map(str, place)) and (is_sourced(data, place) or not sourced)]
    order.seconds = as_they_are(data)
    running: dict[int, Place] = {}
    found: dict[Place, int] = {}
    while waiting or running:
        while waiting and len(running) < WORKERS:
            place, value = waiting.pop()
            if (child := os.fork()) == 0:
                leave_by(partial(noticed, data, place, value, order, kept and not is_sourced(data, place)))
            running[child] = place
        child, status = os.wait()
        if child in running:
            place = running.pop(child)
            how = os.waitstatus_to_exitcode(status)
            if how >= BY_CHECK:
                order.took(place, checks()[how - BY_CHECK])
            found[place] = CHECKED if how >= BY_CHECK else how if how in (KEPT, CHECKED, REFUSED) else SURVIVED
            if found[place] == SURVIVED:
                say(f"nothing notices {'.'.join(map(str, place))} ({len(found)} tried{', out of time' if how < 0 else ''})")
    return found


def as_they_are(data: Mapping[str, Any]) -> dict[str, float]:
    """How long each check takes with the numbers as they are, in seconds of the processor."""
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "seconds.json"
        if (child := os.fork()) == 0:
            load_with(data)
            leave_by(partial(timed, report))
        if os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) != SURVIVED:
            raise SystemExit("a check fails with the numbers as they are: mend that first, or renew the kept answers")
        found: dict[str, float] = json.loads(report.read_text())
        return found


def leave_by(work: Callable[[], int]) -> None:
    """End this forked process by what its work finds, in silence and in time."""
    signal.alarm(PATIENCE)
    with open(os.devnull, "w") as nowhere, contextlib.redirect_stdout(nowhere), contextlib.redirect_stderr(nowhere):
        os._exit(work())


def told(found: Mapping[Place, int], seconds: float) -> str:
    """The whole run in a few lines."""
    survivors = sorted(".".join(map(str, place)) for place, how in found.items() if how == SURVIVED)
    kept, checked, refused = (sum(one == how for one in found.values()) for how in (KEPT, CHECKED, REFUSED))
    return (f"{len(found)} numbers changed by a tenth in {seconds:.0f} s: {kept} noticed by a kept answer, {checked} by another check, "
            f"{refused} by loading, {len(survivors)} by nothing" + "".join(f"\n  {name}" for name in survivors))


def main(words: list[str]) -> int:
    start = time.monotonic()
    parts = [word for word in words if not word.startswith("--")]
    found = try_all(parts[0] if parts else "", "--without-kept" not in words, "--sourced" in words, lambda line: print(line, flush=True))
    print(told(found, time.monotonic() - start))
    return 1 if SURVIVED in found.values() else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
