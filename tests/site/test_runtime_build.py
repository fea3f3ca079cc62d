"""The browser's Python as it is built: the same bytes everywhere, and only when something changed."""

import base64
import gzip
import hashlib
import json
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from macros.runtime import build
from tools.ready import ROOT


def digests(folder: Path) -> dict[str, str]:
    return {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in folder.iterdir()}


def built_in(folder: Path, environment: dict[str, str]) -> Path:
    done = subprocess.run([folder / ".venv" / "bin" / "python", "-m", "macros.runtime.build"], cwd=folder,
                          env=environment, capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 0, done.stderr
    return Path(done.stdout.strip())


@pytest.mark.slow
def test_another_machine_builds_the_same_bytes(copy: Path, environment: dict[str, str], tmp_path: Path) -> None:
    elsewhere = environment | {
        "HOME": str(tmp_path), "TZ": "Asia/Kathmandu", "LANG": "de_DE.UTF-8", "LC_ALL": "C", "PYTHONHASHSEED": "7",
        "SOURCE_DATE_EPOCH": "1000000000",
    }  # fmt: skip
    theirs = built_in(copy, elsewhere)
    assert theirs.is_relative_to(copy)
    assert digests(theirs) == digests(build.runtime())


@pytest.mark.slow
def test_it_is_built_again_only_when_something_changed(copy: Path, environment: dict[str, str]) -> None:
    kept = build.runtime()
    target = copy / ".build" / "runtime" / kept.name
    target.mkdir(parents=True)
    (target / "mark").write_text("not built again")
    assert built_in(copy, environment) == target
    assert (target / "mark").exists()
    with (copy / "calculators" / "figures.toml").open("a", encoding="utf-8") as figures:
        figures.write("# one more line\n")
    assert built_in(copy, environment) != target


def test_an_import_that_would_fail_in_the_page_ends_the_build_by_name(copy: Path, environment: dict[str, str]) -> None:
    (copy / "calculators" / "lazy.py").write_text('"""Imports late."""\n\n\ndef late():\n    import no_such_module\n')
    done = subprocess.run([copy / ".venv" / "bin" / "python", "-m", "macros.runtime.build"], cwd=copy,
                          env=environment, capture_output=True, text=True)  # fmt: skip
    assert done.returncode == 1
    assert "no_such_module" in done.stderr
    assert not list((copy / ".build" / "runtime").glob("[0-9a-f]*"))


def test_the_lock_holds_our_wheel_and_its_hash(site: Path) -> None:
    runtime = site / "runtime"
    packages = json.loads((runtime / "pyodide-lock.json").read_text("utf-8"))["packages"]
    (ours,) = packages.values()
    wheel = runtime / ours["file_name"]
    assert hashlib.sha256(wheel.read_bytes()).hexdigest() == ours["sha256"]
    assert ours["imports"] == ["calculators"]
    names = zipfile.ZipFile(wheel).namelist()
    assert {path.relative_to(ROOT).as_posix() for path in (ROOT / "calculators").rglob("*.py")} <= set(names)
    assert not any("__pycache__" in name for name in names)


def test_the_folder_of_a_stick_holds_the_same_memory_as_the_served_site(site: Path) -> None:
    text = (site / "runtime" / "engine.js").read_text("utf-8")
    engine = json.loads(text.removeprefix("self.dieselEngine=").removesuffix(";\n"))
    assert base64.b64decode(engine["snapshot"]) == (site / "runtime" / "snapshot.bin.gz").read_bytes()


def test_nothing_of_this_machine_is_left_in_the_memory(site: Path) -> None:
    memory = gzip.decompress((site / "runtime" / "snapshot.bin.gz").read_bytes())
    for trace in (ROOT, Path(sys.prefix)):
        assert f"{trace}/".encode() not in memory
