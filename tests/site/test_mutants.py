"""`make mutants` itself: which changes it makes, which it takes, what a test notices, and when a run fails."""

import faulthandler
import tomllib
from pathlib import Path

import pytest

from tools import changes, mutants, trials

PYTHON = b'''"""Words with 1 < 2."""
from math import ceil
MOST = 20

def rule(load: float, most: int = 3) -> bool:
    if load < 0:
        return False
    return ceil(load) <= MOST and not most == 4
'''
SCRIPT = b'''// a < b
const MOST = 20;
const of = (a) => a < MOST && "1 < 2" !== `${a > 1}`;
if (!of(2)) return;
const is = a <= b || !c;
'''


def told(path: str, text: bytes) -> set[str]:
    return {change.told for change in changes.of_file(path, text)}


def test_changes_to_python() -> None:
    assert told("print/a.py", PYTHON) == {
        "MOST = [[20 -> 22]]",
        "def rule(load: float, most: int = [[3 -> 4]]) -> bool:",
        "if [[load < 0 -> False]]:", "if load [[< -> <=]] 0:", "if load < [[0 -> 1]]:", "return [[False -> True]]",
        "return ceil(load) [[<= -> <]] MOST and not most == 4", "return ceil(load) <= MOST [[and -> or]] not most == 4",
        "return [[ceil -> floor]](load) <= MOST and not most == 4", "return ceil(load) <= MOST and [[not -> ]]most == 4",
        "return ceil(load) <= MOST and not most [[== -> !=]] 4", "return ceil(load) <= MOST and not most == [[4 -> 5]]",
    }


def test_changes_to_a_script() -> None:
    assert told("docs/assets/a.js", SCRIPT) == {
        "const MOST = [[20 -> 22]];",  # the line with backquotes stays as it is
        "if ([[!of(2) -> false]]) return;", "if ([[! -> ]]of(2)) return;", "if (!of([[2 -> 3]])) return;",
        "const is = a [[<= -> <]] b || !c;", "const is = a <= b [[|| -> &&]] !c;", "const is = a <= b || [[! -> ]]c;",
    }


@pytest.mark.parametrize(("path", "text"), [("print/a.py", PYTHON), ("docs/assets/a.js", SCRIPT)])
def test_a_change_is_made_where_it_is_told(path: str, text: bytes) -> None:
    for change in changes.of_file(path, text):
        before, _, rest = change.told.partition("[[")
        middle, _, after = rest.partition("]]")
        old, _, new = middle.partition(" -> ")
        line = change.made(text).decode().splitlines()[text[:change.start].count(b"\n")]
        assert line.strip() == f"{before}{new}{after}".strip()
        assert (before + old + after).replace(" ", "") in text.decode().replace(" ", "")


@pytest.fixture(scope="module")
def every() -> list[changes.Change]:
    return [change for path in ("calculators/axle_load.py", "calculators/engine/show.py", "print/day.py", "docs/assets/shared.js")
            for change in changes.of_file(path, (mutants.ROOT / path).read_bytes())]


def test_the_same_ones_are_drawn_from_every_room(every: list[changes.Change]) -> None:
    some = mutants.drawn(every, 30)
    assert some == mutants.drawn(list(reversed(every)), 30)
    assert {change.room for change in some} == {"calculators", "print", "scripts"}
    moved = [change._replace(line=change.line + 1, start=change.start + 9) for change in every]
    assert [change.name for change in mutants.drawn(moved, 30)] == [change.name for change in some]
    assert len(mutants.drawn(changes.of_rooms(mutants.ROOT / "nowhere") + every, mutants.COUNT)) >= 300


def test_the_harmless_have_a_reason_and_still_stand(every: list[changes.Change]) -> None:
    name, entry = every[0].name, "[[harmless]]\nchange = '''{}'''\nwhy = '''{}'''\n"
    assert mutants.harmless(entry.format(name, "it rounds"), every) == {name: "it rounds"}
    for wrong in (entry.format(name, " "), entry.format(name.replace(".py", ".pie"), "it rounds")):
        with pytest.raises(SystemExit, match=r"harmless\.toml: "):
            mutants.harmless(wrong, every)


def test_what_is_called_harmless_could_be_made() -> None:
    text = mutants.HARMLESS.read_text("utf-8")
    paths = {str(path.relative_to(mutants.ROOT)) for files in changes.ROOMS.values() for path in mutants.ROOT.glob(files)}
    named = {entry["change"].partition(": ")[0] for entry in tomllib.loads(text).get("harmless", [])}
    assert named <= paths
    mutants.harmless(text, [change for path in named for change in changes.of_file(path, (mutants.ROOT / path).read_bytes())])


def test_a_run_fails_under_its_share_or_by_a_harmless_one_that_is_noticed(every: list[changes.Change]) -> None:
    def run(killed: int) -> list[tuple[changes.Change, trials.Outcome]]:
        return [(change, trials.Outcome(number < killed, "tests/a.py::test", 1, 1)) for number, change in enumerate(every[:20])]

    assert mutants.verdict(run(17), {}) == []  # 85 % of twenty
    assert len(mutants.verdict(run(16), {})) == 1
    assert mutants.verdict(run(17), {every[19].name: "why"}) == []
    assert "noticed now" in mutants.verdict(run(17), {every[0].name: "why"})[0]
    assert mutants.table(run(17)).splitlines()[-1].split() == ["all", "20", "17", "3", "85.0"]


def test_what_a_test_notices_and_what_none_does(tmp_path: Path) -> None:
    faulthandler.cancel_dump_traceback_later()  # pytest's watch over long tests is a thread, and a fork beside one stands still
    root = tmp_path / "project"
    for place, text in {
        "calculators/a.py": "MOST = 5\n\ndef rule(a):\n    return a < MOST\n\ndef other(a):\n    return a != a\n",
        "tests/unit/test_a.py": "from calculators import a\n\ndef test_a():\n    assert a.rule(4) and not a.rule(5)\n    a.other(2)\n\n"
                                "def test_b():\n    assert a.rule(5)\n",
        "pyproject.toml": "[tool.pytest.ini_options]\naddopts = '--import-mode=importlib'\npythonpath = ['.']\n",
    }.items():
        (root / place).parent.mkdir(parents=True, exist_ok=True)
        (root / place).write_text(text)
    folder = tmp_path / "copy"
    trials.copy(root, folder)
    [file] = trials.files(root, "calculators")
    seen = {test: trials.Seen(*what) for test, what in trials.watched(folder, file).items()}
    test = "tests/unit/test_a.py::test_a"
    assert list(seen) == [test]  # what fails anyway can notice nothing
    assert {4, 7} == set(seen[test].lines["calculators/a.py"])
    found = {change.told: trials.outcome(root, folder, change, seen).by for change in changes.of_rooms(root)}
    assert found == {"MOST = [[5 -> 6]]": test, "return a [[< -> <=]] MOST": test, "return a [[!= -> ==]] a": ""}
    assert (folder / "calculators/a.py").read_text() == (root / "calculators/a.py").read_text()
