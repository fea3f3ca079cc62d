"""The pages' scripts by others' rules: ESLint's recommended ones, TypeScript's strict ones; their pure functions in Node.

Types that the scripts share stand in page.d.ts and worker.d.ts; the build leaves out the comments that name them.
"""

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from macros import finish
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


CONFIGS = {"pages": "tsconfig.json", "worker": "tsconfig.worker.json", "service-worker": "tsconfig.service-worker.json"}


def tsc(config: Path, folder: Path, *more: str) -> list[str]:
    """What TypeScript finds or, with ``--listFilesOnly``, looks at, a line each."""
    program = SCRIPTS / "node_modules" / "typescript" / "bin" / "tsc"
    assert program.exists(), "there is no TypeScript yet: run `make test`, which gets it"
    done = run([str(VENV / "bin" / "node"), str(program), "-p", str(config), "--pretty", "false", *more], folder)
    found = [line for line in done.stdout.splitlines() if not line.startswith(" ")]
    assert not done.stderr and bool(found) == (done.returncode != 0 or bool(more)), done.stdout + done.stderr
    return found


@pytest.mark.parametrize("config", CONFIGS)
def test_types_fit(config: str) -> None:
    assert tsc(SCRIPTS / CONFIGS[config], ROOT) == []


def test_types_are_looked_at_in_every_script() -> None:
    looked_at = [line for config in CONFIGS.values() for line in tsc(SCRIPTS / config, ROOT, "--listFilesOnly")]
    assert sorted(path for path in looked_at if Path(path).parent == ROOT / "docs" / "assets") == [str(path) for path in ASSETS]
    silenced = [path.name for path in ASSETS if re.search(r"@ts-(nocheck|ignore|expect-error)", path.read_text("utf-8"))]
    assert silenced == []


@pytest.mark.parametrize(("config", "script", "code"), [
    ("pages", "const a = (b) => b;\n", "TS7006"), ("pages", "document.querySelector('p').id = '';\n", "TS2531"),
    ("pages", "kept.here.saved.truck;\n", "TS18047"), ("pages", "words.the('p').checked = true;\n", "TS2339"),
    ("pages", "words.the('input').value = 1;\n", "TS2322"), ("pages", "shared.own(kept.shown().truck, 'nmae')?.length;\n", "TS2339"),
    ("worker", "self.document.title = '';\n", "TS2339"), ("service-worker", "guide.latest;\n", "TS2339")])
def test_types_would_speak(tmp_path: Path, config: str, script: str, code: str) -> None:
    (tmp_path / "wrong.js").write_text(script)
    types = SCRIPTS / {"pages": "page.d.ts"}.get(config, f"{config}.d.ts")
    shared = [ROOT / "docs/assets" / name for name in ("shared.js", "kept.js", "words.js", "runtime.js")] if config == "pages" else []
    include = [*map(str, [types, *shared]), "wrong.js"]
    (tmp_path / "tsconfig.json").write_text(json.dumps({"extends": str(SCRIPTS / CONFIGS[config]), "include": include}))
    assert [re.search(r"TS\d+", line)[0] for line in tsc(tmp_path / "tsconfig.json", tmp_path) if "wrong.js" in line] == [code]


def test_no_line_is_too_long() -> None:
    styles = sorted((ROOT / "docs" / "assets").glob("*.css"))
    texts = [*ASSETS, *styles, *(path for path in SCRIPTS.iterdir() if path.suffix in (".ts", ".cjs", ".mjs"))]
    assert styles
    long = [f"{path.name}:{at}" for path in texts for at, line in enumerate(path.read_text("utf-8").splitlines(), 1) if len(line) > 140]
    assert long == []


WORDS = """
const { readFileSync } = require("node:fs");
const { tokenize } = require("espree");
for (const path of process.argv.slice(1)) {
  console.log(JSON.stringify(tokenize(readFileSync(path, "utf-8"), { ecmaVersion: 2024 }).map(({ value }) => value)));
}
"""


def test_the_build_leaves_out_nothing_but_comments(tmp_path: Path) -> None:
    (tmp_path / "assets").mkdir()
    light = [Path(shutil.copy(path, tmp_path / "assets")) for path in ASSETS]
    finish.lighten(tmp_path)
    done = run([str(VENV / "bin" / "node"), "-e", WORDS, *map(str, [*ASSETS, *light])], SCRIPTS)
    told = done.stdout.splitlines()
    assert len(told) == 2 * len(ASSETS), done.stderr
    for path, before, after in zip(ASSETS, told[: len(ASSETS)], told[len(ASSETS) :], strict=True):
        assert json.loads(before) == json.loads(after), path.name
    assert not any("@type" in path.read_text("utf-8") or "@param" in path.read_text("utf-8") for path in light)


def test_functions_that_need_no_page() -> None:
    found = sorted(Path(__file__).parent.glob("*.test.cjs"))
    assert found
    done = run([str(VENV / "bin" / "node"), "--test", "--test-reporter=tap", *map(str, found)], ROOT)
    assert done.returncode == 0, done.stdout
    assert "# pass " in done.stdout and "# pass 0" not in done.stdout
