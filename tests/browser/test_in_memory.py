"""The rules' own tests, run by the Python that a page restores: CPython's word for it is not enough."""

import re
import subprocess
from pathlib import Path

import pytest

from macros.runtime.build import node
from tools.ready import ROOT

# These ask the rules and read no files, as a page does.
ASKING = ["tests/unit/test_call.py", "tests/unit/test_show.py", "tests/unit/test_units.py"]
# Compiled packages, other processes and what stands on them can't be had in there.
NOT_THERE = re.compile(
    r"^\s*(?:import|from) (?:numpy|numpy_financial|scipy|psychrolib|hypothesis|subprocess|tools|tests\.unit import keep)",
    re.MULTILINE,
)


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
    able = [path.relative_to(ROOT).as_posix() for room in ("unit", "reference") for path in (ROOT / "tests" / room).glob("test_*.py")
            if not NOT_THERE.search(path.read_text("utf-8"))]  # fmt: skip
    assert passed(run("with", *sorted(able))) > 2000
