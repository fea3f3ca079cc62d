"""The browser's Python, built once for what it is made from and kept in .build/runtime/KEY/.

`python -m macros.runtime.build` builds it if need be and prints the folder. What is in it:

- served: worker.js, pyodide.js, pyodide.asm.js, pyodide.asm.wasm and snapshot.bin.gz, the memory
  of a Python that has imported and used `calculators` already;
- opened from a folder: engine.js, the same parts as one classic script, since pages in a folder
  may not read files;
- where a snapshot can't be restored: python_stdlib.zip, pyodide-lock.json and the wheel that it
  locks, for the ordinary start.
"""

import base64
import gzip
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import zlib
from collections.abc import Mapping
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PYODIDE = ROOT / "node_modules" / "pyodide"
KEPT = ROOT / ".build" / "runtime"
WORKER = ROOT / "docs" / "assets" / "worker.js"
FROM_PYODIDE = ("pyodide.js", "pyodide.asm.js", "pyodide.asm.wasm", "python_stdlib.zip")
MADE_FROM = (
    ROOT / "calculators", ROOT / "macros" / "runtime", WORKER,
    ROOT / "pyproject.toml", ROOT / "README.md", ROOT / "LICENSE",  # the wheel holds these
    PYODIDE / "package.json", PYODIDE / "pyodide-lock.json", *(PYODIDE / name for name in FROM_PYODIDE),
)  # fmt: skip
# The bytes must follow from the files alone, so every clock in the build stands at the same time.
CLOCK = 1704067200


class CannotBuild(Exception):
    """What is missing, and what to do about it."""


def runtime() -> Path:
    """The folder with the built runtime; built now unless the same one is there already."""
    folder = KEPT / key()
    if not folder.exists():
        KEPT.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=KEPT) as scratch:
            build(Path(scratch) / "made", Path(scratch))
            _put(Path(scratch) / "made", folder)
        _forget_old()
    return folder


def key() -> str:
    """A hash of everything that the runtime's bytes depend on."""
    digest = hashlib.sha256(" ".join((_node_version(), zlib.ZLIB_RUNTIME_VERSION, *_tools())).encode())
    for path in _inputs():
        digest.update(f"\0{path.relative_to(ROOT).as_posix()}\0".encode() + hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()[:16]


def build(folder: Path, scratch: Path) -> None:
    """Everything a reader's browser may need, into ``folder``."""
    folder.mkdir()
    for name in FROM_PYODIDE:
        shutil.copyfile(PYODIDE / name, folder / name)
    _without_source_map(folder / "pyodide.js")
    (folder / "worker.js").write_text(f"self.bareLock = {json.dumps(_bare_lock())};\n{WORKER.read_text('utf-8')}", "utf-8")
    snapshot = _snapshot(scratch / "snapshot.bin")
    (folder / "snapshot.bin.gz").write_bytes(_packed(snapshot))
    _write_engine(folder, len(snapshot))
    _lock(_wheel(folder), scratch)
    (folder / "parts.json").write_text(json.dumps(_parts(folder, len(snapshot))) + "\n", "utf-8")


def node() -> str:
    """The Node of the virtual environment, else the one on the path."""
    found = shutil.which("node", path=f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}")
    if not found:
        raise CannotBuild("there is no Node for the browser runtime: run `make ready`, which gets it")
    return found


@cache
def _node_version() -> str:
    return subprocess.run([node(), "-p", "process.version"], check=True, capture_output=True, text=True).stdout.strip()


def _tools() -> list[str]:
    return [f"{name} {version(name)}" for name in ("flit_core", "pyodide-build", "pyodide-lock")]


def _inputs() -> list[Path]:
    missing = [path.relative_to(ROOT).as_posix() for path in MADE_FROM if not path.exists()]
    if missing:
        raise CannotBuild(f"the browser runtime needs {', '.join(missing)}: run `make ready`")
    return sorted(path for top in MADE_FROM for path in ([top] if top.is_file() else top.rglob("*"))
                  if path.is_file() and "__pycache__" not in path.parts)


def _snapshot(out: Path) -> bytes:
    # A bare environment: nothing of this machine may end up in the memory that is kept.
    _run("The snapshot of the browser's Python", {"TZ": "UTC"},
         node(), Path(__file__).with_name("snapshot.mjs"), PYODIDE, ROOT / "calculators", out)
    return out.read_bytes()


def _write_engine(folder: Path, snapshot_size: int) -> None:
    scripts = b"\n;\n".join((folder / name).read_bytes() for name in ("pyodide.asm.js", "pyodide.js", "worker.js"))
    engine = {
        "size": snapshot_size,
        "scripts": _text(_packed(scripts)),
        "wasm": _text(_packed((folder / "pyodide.asm.wasm").read_bytes())),
        "snapshot": _text((folder / "snapshot.bin.gz").read_bytes()),
    }
    (folder / "engine.js").write_text(f"self.dieselEngine={json.dumps(engine)};\n", "utf-8")


def _wheel(folder: Path) -> Path:
    _run("The wheel of calculators", os.environ, sys.executable, "-m", "flit_core.wheel", "--outdir", folder, ROOT)
    return next(folder.glob("*.whl"))


def _bare_lock() -> dict[str, Any]:
    """Pyodide's lock without its packages: none of them is shipped, so none may be found in it."""
    whole = json.loads((PYODIDE / "pyodide-lock.json").read_text("utf-8"))
    return {"info": whole["info"], "packages": {}}


def _lock(wheel: Path, scratch: Path) -> None:
    """The bare lock and our wheel."""
    bare = scratch / "bare-lock.json"
    bare.write_text(json.dumps(_bare_lock()), "utf-8")
    _run("The lock of the wheel", os.environ, sys.executable, "-m", "pyodide_cli", "lockfile", "add-wheels",
         "--input", bare, "--output", wheel.with_name("pyodide-lock.json"), "--base-path", wheel.parent, wheel)


def _run(what: str, environment: Mapping[str, str], *command: str | Path) -> None:
    done = subprocess.run(command, env={**environment, "SOURCE_DATE_EPOCH": str(CLOCK)}, capture_output=True, text=True)
    if done.returncode:
        raise CannotBuild(f"{what} failed:\n{done.stdout}{done.stderr}".rstrip())


def _parts(folder: Path, snapshot_size: int) -> dict[str, int | str]:
    """What a page must know before it has loaded anything: the bytes to come, for the progress bar."""
    return {
        "key": key(),
        "wasm": (folder / "pyodide.asm.wasm").stat().st_size,
        "snapshot": (folder / "snapshot.bin.gz").stat().st_size,
        "memory": snapshot_size,
    }


def _without_source_map(script: Path) -> None:
    """The map is not shipped; a browser's developer tools would ask for it and report it missing."""
    lines = script.read_text("utf-8").splitlines(keepends=True)
    script.write_text("".join(line for line in lines if not line.startswith("//# sourceMappingURL")), "utf-8")


def _packed(data: bytes) -> bytes:
    return gzip.compress(data, 9, mtime=0)


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def _put(made: Path, folder: Path) -> None:
    """Into place in one step, so that a killed build leaves no half a runtime behind."""
    try:
        made.rename(folder)
    except OSError:
        if not folder.exists():  # else another build of the same runtime was quicker
            raise


def _forget_old() -> None:
    """Keep a few, for going back and forth between two states of the work."""
    for old in sorted(KEPT.glob("[0-9a-f]*"), key=lambda folder: folder.stat().st_mtime)[:-4]:
        shutil.rmtree(old, ignore_errors=True)


if __name__ == "__main__":
    try:
        print(runtime())
    except CannotBuild as wrong:
        sys.exit(str(wrong))
