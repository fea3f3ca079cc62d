"""The pages' scripts by others' rules: ESLint's recommended ones, TypeScript's strict ones; their pure functions in Node.

Types that the scripts share stand in page.d.ts and worker.d.ts; the build leaves out the comments that name them.
"""

import json
import re
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


CONFIGS = {"pages": "tsconfig.json", "workers": "tsconfig.worker.json"}
NOT_YET = {
    "book.js", "charts.js", "done.js", "forms.js", "iframe-worker-shim.js", "light.js", "month.js", "my-truck.js", "offline.js",
    "records.js", "runtime.js", "six-questions.js", "work-order.js", "worker.js", "service-worker.js",
}  # only ever fewer


def tsc(config: Path, folder: Path) -> list[str]:
    """What TypeScript finds, a line each."""
    program = SCRIPTS / "node_modules" / "typescript" / "bin" / "tsc"
    assert program.exists(), "there is no TypeScript yet: run `make test`, which gets it"
    done = run([str(VENV / "bin" / "node"), str(program), "-p", str(config), "--pretty", "false"], folder)
    found = [line for line in done.stdout.splitlines() if re.match(r"\S.*error TS\d+:|error TS", line)]
    assert bool(found) == (done.returncode != 0), done.stdout + done.stderr
    return found


def file_of(line: str) -> str:
    return Path(line.split("(")[0]).name


def test_types_fit() -> None:
    found = [line for config in CONFIGS.values() for line in tsc(SCRIPTS / config, ROOT)]
    assert [line for line in found if file_of(line) not in NOT_YET] == []
    assert NOT_YET == {file_of(line) for line in found}


@pytest.mark.parametrize(("config", "script", "code"), [
    ("pages", "const a = (b) => b;\n", "TS7006"), ("pages", "document.querySelector('p').id = '';\n", "TS2531"),
    ("pages", "kept.here.saved.truck;\n", "TS18047"), ("pages", "words.the('p').checked = true;\n", "TS2339"),
    ("workers", "self.document.title = '';\n", "TS2339")])
def test_types_would_speak(tmp_path: Path, config: str, script: str, code: str) -> None:
    name = {"pages": "wrong.js", "workers": "worker.js"}[config]
    (tmp_path / name).write_text(script)
    of_pages = [str(ROOT / "docs/assets" / one) for one in ("shared.js", "kept.js", "words.js")] if config == "pages" else []
    types = str(SCRIPTS / {"pages": "page.d.ts", "workers": "worker.d.ts"}[config])
    (tmp_path / "tsconfig.json").write_text(json.dumps({"extends": str(SCRIPTS / CONFIGS[config]), "include": [types, *of_pages, name]}))
    assert any(name in line and code in line for line in tsc(tmp_path / "tsconfig.json", tmp_path))


def test_functions_that_need_no_page() -> None:
    found = sorted(Path(__file__).parent.glob("*.test.cjs"))
    assert found
    done = run([str(VENV / "bin" / "node"), "--test", "--test-reporter=tap", *map(str, found)], ROOT)
    assert done.returncode == 0, done.stdout
    assert "# pass " in done.stdout and "# pass 0" not in done.stdout
