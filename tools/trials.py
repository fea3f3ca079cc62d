"""Tries a change of `python -m tools.mutants` in a copy of the project, with the tests that can see it.

Each try is a process forked from one that has the libraries loaded and none of our code. First every test runs once, to see which lines it
passes through; a change is tried with the tests that pass through its lines, the quickest files first, until one fails.
"""

import compileall
import contextlib
import gc
import hashlib
import importlib
import json
import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

from tools.changes import ROOMS, Change

FOLDERS = {  # of tests/, for each room
    "calculators": ("unit", "reference", "property", "stories"), "pieces": ("unit", "site", "print"), "print": ("print", "unit"),
    "macros": ("site", "unit"), "scripts": ("scripts", "browser"),
}
# Our own kept answers and pictures don't count; what copies, builds or prints everything again would take hours.
LEFT_OUT = {
    "test_kept.py", "test_picture.py", "test_look.py", "test_sheets.py",
    "test_adding.py", "test_same.py", "test_same_bytes.py", "test_large.py", "test_setup.py",
    "test_release.py", "test_runtime_build.py", "test_readme.py",
}
LIBRARIES = (
    "pytest", "hypothesis", "json", "pint", "lxml.html", "jinja2", "dateutil.relativedelta", "numpy_financial", "markupsafe", "csv",
    "playwright.sync_api", "weasyprint", "pypdfium2", "markdown", "mkdocs.utils",
)
LINKED, NOT_COPIED = (".venv", "node_modules"), (".git", ".build", ".hypothesis")
BUDGET = 30  # seconds of tests, as they took when nothing was changed, that a change is tried with
PATIENCE = 20_000  # milliseconds that a browser's test waits for what does not come
DONE, BROKEN = 20, 21  # how a process of its own ends


class Seen(NamedTuple):
    """What a test did as everything stood."""

    seconds: float
    lines: dict[str, list[int]]


class Outcome(NamedTuple):
    """What became of a change, and the test that noticed it."""

    killed: bool
    by: str
    seconds: float
    tests: int


def files(root: Path, room: str) -> list[str]:
    """The test files that count for a room."""
    return [str(file.relative_to(root)) for folder in FOLDERS[room] for file in sorted((root / "tests" / folder).glob("test_*.py"))
            if file.name not in LEFT_OUT]


def digest(root: Path, *patterns: str) -> str:
    """A hash of the files of the project that patterns name."""
    paths = sorted({path for pattern in patterns for path in root.glob(pattern) if path.is_file() and "__pycache__" not in path.parts})
    return hashlib.sha256(b"".join(hashlib.sha256(path.read_bytes()).digest() for path in paths)).hexdigest()[:16]


def copy(root: Path, folder: Path) -> None:
    """The project's files, with its installed packages; the built site's as links, which are broken where one is changed."""
    folder.mkdir(parents=True)
    for path in root.iterdir():
        if path.name in LINKED:
            (folder / path.name).symlink_to(path.resolve())
        elif path.is_dir() and path.name not in NOT_COPIED:
            _copy_tree(path, folder / path.name, os.link if path.name == "site" else shutil.copy2)
        elif path.is_file() and path.name != ".git":
            shutil.copy2(path, folder / path.name)
    for room in ROOMS.keys() & {path.name for path in root.iterdir()}:
        compileall.compile_dir(folder / room, quiet=1)


def _copy_tree(path: Path, target: Path, take: Callable[..., object]) -> None:
    shutil.copytree(path, target, copy_function=take, symlinks=True, ignore=shutil.ignore_patterns(*LINKED, *NOT_COPIED))


@contextlib.contextmanager
def changed(root: Path, folder: Path, change: Change) -> Iterator[None]:
    """The copy with the change, in the built site too where it is a script, and whole again afterwards."""
    text = (root / change.path).read_bytes()
    places = [Path(change.path)]
    if change.room == "scripts":
        places += [path.relative_to(root) for path in (root / "site").rglob("*.js") if text.strip() in path.read_bytes()]
        assert len(places) > 1, f"site/ holds no {change.path} as it stands: run `make site` first"
    for place in places:
        (folder / place).unlink()
        (folder / place).write_bytes((root / place).read_bytes().replace(text.strip(), change.made(text).strip()))
    try:
        yield
    finally:
        for place in places:
            (folder / place).unlink()
            shutil.copy2(root / place, folder / place)


class Watch:
    """A pytest plugin: which lines of the rooms each test passes through, in Python and in the pages' scripts, and which tests fail."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.rooms = str(folder) + "/", tuple(f"{folder}/{room}/" for room in ROOMS)
        self.lines = set[tuple[str, int]]()
        self.found: dict[str, Seen] = {}
        self.failed: set[str] = set()
        self.sessions: list[Any] = []

    def __enter__(self) -> None:
        events, tool = sys.monitoring.events, 4
        sys.monitoring.use_tool_id(tool, "watch")
        sys.monitoring.set_events(tool, events.LINE)
        sys.monitoring.register_callback(tool, events.LINE, self._line)
        self._watch_pages()

    def __exit__(self, *_: object) -> None:
        sys.monitoring.free_tool_id(4)

    def _line(self, code: Any, line: int) -> Any:
        if code.co_filename.startswith(self.rooms):
            self.lines.add((code.co_filename.removeprefix(self.folder), line))
        return sys.monitoring.DISABLE

    def _watch_pages(self) -> None:
        from playwright.sync_api import BrowserContext, Page

        new = BrowserContext.new_page

        def opened(context: BrowserContext) -> Page:
            page = new(context)
            with contextlib.suppress(Exception):  # another engine's
                session = context.new_cdp_session(page)
                session.send("Profiler.enable")
                session.send("Profiler.startPreciseCoverage", {"callCount": True, "detailed": True})
                self.sessions.append(session)
            return page

        def closer(closes: Callable[..., None]) -> Callable[..., None]:
            def close(this: Any, **options: Any) -> None:
                self._take()
                closes(this, **options)
            return close

        # Playwright has no hook for every page of every test, so its methods are taken in; each keeps what it takes and gives.
        BrowserContext.new_page = opened  # type: ignore[method-assign,assignment]  # see above
        BrowserContext.close = closer(BrowserContext.close)  # type: ignore[method-assign]  # see above
        Page.close = closer(Page.close)  # type: ignore[method-assign]  # see above

    def _take(self) -> None:
        for session in list(self.sessions):
            try:
                scripts = session.send("Profiler.takePreciseCoverage")["result"]
            except Exception:  # its page is gone
                self.sessions.remove(session)
                continue
            for script in scripts:
                path = Path(self.folder) / "docs/assets" / script["url"].rpartition("/")[2].partition("?")[0]
                if "/assets/" in script["url"] and path.exists():
                    self.lines |= {(f"docs/assets/{path.name}", line) for line in _run_lines(path.read_text("utf-8"), script["functions"])}

    def pytest_runtest_protocol(self, item: Any) -> None:
        """Called by pytest before a test."""
        self.lines = set()
        sys.monitoring.restart_events()
        self.clock = time.perf_counter if "playwright" in item.fixturenames else time.process_time  # a browser takes another's time
        self.began = self.clock()

    def pytest_runtest_makereport(self, item: Any, call: Any) -> None:
        """Called by pytest after each part of a test."""
        if call.when == "call":
            self._take()
        if call.excinfo and call.excinfo.type.__name__ != "Skipped":
            self.failed.add(item.nodeid)
        by_file: dict[str, list[int]] = {}
        for path, line in sorted(self.lines):
            by_file.setdefault(path, []).append(line)
        self.found[item.nodeid] = Seen(self.clock() - self.began, by_file)


def _run_lines(text: str, functions: list[dict[str, Any]]) -> set[int]:
    """The lines of a script with anything that ran."""
    ran = bytearray(len(text) + 1)
    ranges = [one for function in functions for one in function["ranges"]]
    for one in sorted(ranges, key=lambda one: one["startOffset"] - one["endOffset"]):
        start, end = one["startOffset"], min(one["endOffset"], len(text))
        ran[start:end] = bytes([one["count"] > 0]) * max(0, end - start)
    lines, at = set(), 0
    for number, line in enumerate(text.split("\n"), 1):
        if any(ran[at + place] for place, sign in enumerate(line) if not sign.isspace()):
            lines.add(number)
        at += len(line) + 1
    return lines


class Chosen:
    """A pytest plugin: only these tests, in this order, and a browser's wait less; the first that fails is told."""

    def __init__(self, tests: list[str]) -> None:
        self.place = {test: place for place, test in enumerate(tests)}
        self.by = ""

    def pytest_collection_modifyitems(self, items: list[Any]) -> None:
        """Called by pytest."""
        items[:] = sorted((item for item in items if item.nodeid in self.place), key=lambda item: self.place[item.nodeid])
        if "playwright.sync_api" in sys.modules:
            sys.modules["playwright.sync_api"].expect.set_options(timeout=PATIENCE)

    def pytest_runtest_logreport(self, report: Any) -> None:
        """Called by pytest."""
        if report.failed:
            self.by = self.by or report.nodeid


def _pytest(folder: Path, file: str, plugin: Any) -> int:
    import pytest

    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"  # but for Hypothesis's, without which it draws other examples
    words = ["-q", "-p", "no:cacheprovider", "-p", "_hypothesis_pytestplugin", f"--rootdir={folder}", f"-c{folder}/pyproject.toml"]
    return int(pytest.main([*words, *["-x"] * isinstance(plugin, Chosen), file], plugins=[plugin]))


def _apart(folder: Path, work: Callable[[], Any], limit: float) -> tuple[int, Any]:
    """What comes of work in a process of its own, with the copy as its project: how it ended, and what it returned."""
    told, write = os.pipe()
    child = os.fork()
    if not child:
        os.close(told)
        with contextlib.suppress(OSError):
            os.setsid()
        resource.setrlimit(resource.RLIMIT_CPU, (int(limit) + 1, int(limit) + 5))
        signal.alarm(int(limit) * 100)  # a page that never ends takes no time of ours; beside other work all takes long
        try:
            for name in [name for name in sys.modules if name.split(".")[0] in ("tests", "tools", *ROOMS)]:
                if name not in (__name__, "tools", "tools.changes"):
                    del sys.modules[name]
            sys.modules.pop("tools", None)
            sys.path[:] = [str(folder), *(place for place in sys.path if place and not (Path(place) / "tools/trials.py").exists())]
            sys.dont_write_bytecode = True
            os.chdir(folder)
            with open(os.devnull, "w") as nowhere:
                os.dup2(nowhere.fileno(), 1)
                os.dup2(nowhere.fileno(), 2)
            result = json.dumps(work()).encode()
            with open(write, "wb") as pipe:
                pipe.write(result)
            os._exit(DONE)
        except BaseException:
            os._exit(BROKEN)
    os.close(write)
    with open(told, "rb") as pipe:
        result = pipe.read()
    _, status = os.waitpid(child, 0)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(child, signal.SIGKILL)  # a browser's helpers
    return os.waitstatus_to_exitcode(status), json.loads(result) if result else None


def warm() -> None:
    """Load what every try needs and no change touches."""
    for library in LIBRARIES:
        importlib.import_module(library)
    gc.collect()
    gc.freeze()  # what stands already is looked through by no try


def watched(folder: Path, file: str) -> dict[str, Any]:
    """What the tests of a file pass through as everything stands; those that fail can notice nothing."""
    def work() -> dict[str, Any]:
        with (watch := Watch(folder)):
            _pytest(folder, file, watch)
        return {test: seen for test, seen in watch.found.items() if test not in watch.failed}

    _, found = _apart(folder, work, 900)
    return found or {}


def choice(root: Path, change: Change, seen: dict[str, Seen]) -> list[str]:
    """The tests to try a change with, file by file: its own first, then the quickest."""
    def apart(test: str) -> tuple[bool, bool, int]:  # of its own file and through its lines; then who passes through the least else
        return not _bears_its_name(test, change), not _passes(seen[test], change), sum(map(len, seen[test].lines.values()))

    seconds: dict[str, float] = {}
    for test in (chosen := within_budget(sorted(_that_may_see(root, change, seen), key=apart), seen)):
        file = test.partition("::")[0]
        seconds[file] = seconds.get(file, 0) + seen[test].seconds

    def quickest(test: str) -> tuple[bool, float, str]:
        file = test.partition("::")[0]
        return not _bears_its_name(test, change), seconds[file], file

    return _in_node(root, change, seen) + sorted(chosen, key=quickest)


def _that_may_see(root: Path, change: Change, seen: dict[str, Seen]) -> list[str]:
    """Those through its lines; else through its file; else of files that name it, as workers run where nothing looks on.

    A page that is left takes along what ran in it: of a script all tests that bear its name may see it.
    """
    through = [test for test, what in seen.items() if _passes(what, change) or (change.room == "scripts" and _bears_its_name(test, change))]
    through = through or [test for test, what in seen.items() if change.path in what.lines]
    return through or [test for test in seen if Path(change.path).stem in (root / test.partition("::")[0]).read_text("utf-8")]


def _passes(what: Seen, change: Change) -> bool:
    first, last = change.statement
    return any(first <= line <= last for line in what.lines.get(change.path, ()))


def _bears_its_name(test: str, change: Change) -> bool:
    return f"/test_{Path(change.path).stem.replace('-', '_')}.py" in test


def _in_node(root: Path, change: Change, seen: dict[str, Seen]) -> list[str]:
    """What runs scripts without a page, where it names that one."""
    if not any(f"/{Path(change.path).name}" in file.read_text("utf-8") for file in (root / "tests/scripts").glob("*.cjs")):
        return []
    return [test for test in seen if test.endswith("::test_functions_that_need_no_page")]


def tried(folder: Path, tests: list[str], seconds: float) -> tuple[bool, str]:
    """Whether any of the tests fails in the copy as it stands, and which."""
    by_file: dict[str, list[str]] = {}
    for test in tests:
        by_file.setdefault(test.partition("::")[0], []).append(test)

    def work() -> str:
        for file, chosen in by_file.items():
            code = _pytest(folder, file, plugin := Chosen(chosen))
            if code not in (0, 5):
                return plugin.by or f"{file} does not load"
        return ""

    ended, by = _apart(folder, work, 30 + 4 * seconds)
    return (bool(by), by) if ended == DONE else (True, "it takes too long" if ended < 0 else "it breaks the run")


def within_budget(tests: Iterable[str], seen: dict[str, Seen]) -> list[str]:
    """The tests that the time allows, in their order."""
    chosen, spent = [], 0.0
    for test in tests:
        if spent + seen[test].seconds <= BUDGET:
            chosen.append(test)
            spent += seen[test].seconds
    return chosen


def outcome(root: Path, folder: Path, change: Change, seen: dict[str, Seen]) -> Outcome:
    """What becomes of a change. What makes the pages has a second trial: a build with it, which fails or leaves pages to look at."""
    began, tests = time.monotonic(), choice(root, change, seen)
    killed, by = _first_that_fails(root, folder, change, tests, seen)
    if not killed and change.room == "macros":
        of_pages = (test for test in seen if test.startswith("tests/site/"))
        tests = within_budget(sorted(of_pages, key=lambda test: seen[test].seconds), seen)
        with changed(root, folder, change):
            done = subprocess.run([sys.executable, "-m", "tools.build"], cwd=folder, capture_output=True, check=False)
            killed, by = (True, "the build fails") if done.returncode else tried(folder, tests, BUDGET)
        shutil.rmtree(folder / "site")
        _copy_tree(root / "site", folder / "site", os.link)
    return Outcome(killed, by, time.monotonic() - began, len(tests))


def _first_that_fails(root: Path, folder: Path, change: Change, tests: list[str], seen: dict[str, Seen]) -> tuple[bool, str]:
    """Whether any does, and which. A test may fail for want of time: it counts if it then holds without the change."""
    left = tests
    while left:
        with changed(root, folder, change):
            killed, by = tried(folder, left, sum(seen[test].seconds for test in left))
        if not killed or by not in left or not tried(folder, [by], seen[by].seconds)[0]:
            return killed, by
        left = left[left.index(by) + 1:]
    return False, ""
