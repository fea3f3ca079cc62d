"""The pages' scripts by others' rules, ESLint's recommended ones; their pure functions in Node.

What TypeScript finds in them by their JSDoc types is looked at with `npx --prefix tests/scripts tsc -p tests/scripts` (pages) and
`npx --prefix tests/scripts tsc -p tests/scripts/tsconfig.worker.json` (workers): strict, and not yet without a finding.
"""

import subprocess
from pathlib import Path

import pytest

from tools.ready import ROOT, SCRIPTS, VENV

ASSETS = sorted((ROOT / "docs" / "assets").glob("*.js"))


@pytest.fixture(scope="module")
def eslint() -> list[str]:
    """How to run it on a file, wherever that stands."""
    program = SCRIPTS / "node_modules" / "eslint" / "bin" / "eslint.js"
    assert program.exists(), "there is no ESLint yet: run `make test`, which gets it"
    rules = ("--config", str(SCRIPTS / "eslint.config.mjs"), "--no-warn-ignored", "--max-warnings=0")
    return [str(VENV / "bin" / "node"), str(program), *rules]


def run(words: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(words, cwd=folder, capture_output=True, text=True, timeout=120)


def test_eslint_has_nothing_to_say(eslint: list[str]) -> None:
    done = run([*eslint, *map(str, ASSETS)], ROOT)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(("name", "script", "rule"), [
    ("a.js", "const a = 1;\nfetch(b);\n", "no-undef"), ("a.js", "let a = 1;\n", "no-unused-vars"),
    ("a.js", "try { fetch(''); } catch {}\n", "no-empty"),
    ("worker.js", "window.name = '';\n", "no-undef"), ("service-worker.js", "document.title = '';\n", "no-undef")])
def test_eslint_would_speak(eslint: list[str], tmp_path: Path, name: str, script: str, rule: str) -> None:
    (tmp_path / name).write_text(script)
    assert f" {rule}\n" in run([*eslint, name], tmp_path).stdout.replace("\r", "")


def test_functions_that_need_no_page() -> None:
    found = sorted(Path(__file__).parent.glob("*.test.cjs"))
    assert found
    done = run([str(VENV / "bin" / "node"), "--test", "--test-reporter=tap", *map(str, found)], ROOT)
    assert done.returncode == 0, done.stdout
    assert "# pass " in done.stdout and "# pass 0" not in done.stdout
