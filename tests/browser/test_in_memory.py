"""The rules' own tests, run by the Python that a page restores: CPython's word for it is not enough."""

import ast
import re
import subprocess
from pathlib import Path

import pytest

from macros.runtime.build import node
from tools.ready import ROOT

# These ask the rules and read no files, as a page does.
ASKING = ["tests/unit/test_call.py", "tests/unit/test_show.py", "tests/unit/test_units.py"]
# Not to be had in there: other processes, paper, and packages that stand on compiled ones.
NOT_THERE = {"hypothesis", "numpy_financial", "pieces", "print", "psychrolib", "subprocess", "tools", "tests.unit.keep"}
PACKAGES = ROOT / ".venv" / "lib" / "python3.13" / "site-packages"


def able(path: Path) -> bool:
    """Whether a file of tests imports only what a Python in a page can have."""
    tree = ast.walk(ast.parse(path.read_text("utf-8")))
    names = {name for node in tree for name in imported(node)}
    return not any(name in NOT_THERE or name.split(".")[0] in NOT_THERE or compiled(name.split(".")[0]) for name in names)


def imported(node: ast.AST) -> list[str]:
    if isinstance(node, ast.ImportFrom):
        return [node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)]
    return [alias.name for alias in node.names] if isinstance(node, ast.Import) else []


def compiled(package: str) -> bool:
    # markupsafe has a plain twin of its compiled part
    return package != "markupsafe" and any((PACKAGES / package).rglob("*.so"))


def run(files: str, *told: str) -> str:
    done = subprocess.run([node(), Path(__file__).with_name("in_memory.mjs"), ROOT, files, *told],
                          cwd=ROOT, capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0, (done.stdout + done.stderr)[-6000:]
    return done.stdout


def passed(output: str) -> int:
    return int(re.search(r"(\d+) passed", output)[1])


def test_the_rules_answer_in_a_restored_memory_without_any_file(site: Path) -> None:
    assert passed(run("without", *ASKING)) > 400


@pytest.mark.audit
def test_all_tests_of_the_rules_pass_in_a_restored_memory(site: Path) -> None:
    files = [path for room in ("unit", "reference") for path in sorted((ROOT / "tests" / room).glob("test_*.py")) if able(path)]
    # That one looks for the figures in docs/, beside the package: there is no guide beside an installed one.
    elsewhere = "--deselect=tests/unit/test_figures.py::test_a_figure_is_used"
    assert passed(run("with", "-m", "not audit", elsewhere, *(path.relative_to(ROOT).as_posix() for path in files))) > 2000
