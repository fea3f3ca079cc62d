"""Runs in the browser's Python just before its memory is kept.

A restored Python has its memory and no files: what is not imported here can't be imported later,
and what has been used once is quick the second time.
"""

import ast
import gc
import importlib
import json
import pkgutil
import sys
from collections.abc import Iterator
from pathlib import Path

importlib.invalidate_caches()  # else the files written after Python's start stay unseen

# Python itself imports these late, when dates are parsed, numbers formatted or errors told.
for late in ("_strptime", "encodings.idna", "locale", "stringprep", "traceback", "unicodedata"):
    importlib.import_module(late)

import calculators  # noqa: E402


def modules() -> list[str]:
    """All of the package but its command line."""
    found = pkgutil.walk_packages(calculators.__path__, "calculators.")
    return [module.name for module in found if not module.name.endswith("__main__")]


def imports(module: str) -> Iterator[str]:
    """The names of all modules that a module imports anywhere, in a function too."""
    for node in ast.walk(ast.parse(Path(str(sys.modules[module].__file__)).read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module


def ask(**request: object) -> None:
    reply = json.loads(calculators.call(json.dumps({"today": "2024-01-01", **request})))
    if not reply["ok"]:
        raise SystemExit(f"while warming up, {request} was answered by {reply}")


for name in modules():
    importlib.import_module(name)
for name in sorted({needed for module in modules() for needed in imports(module)}):
    importlib.import_module(name)
for name in calculators.NAMES:
    ask(do="answer", calculator=name, given={}, truck=None)
for name in calculators.example_trucks():
    ask(do="all", truck=calculators.example_truck(name))
    ask(do="read_truck", text=json.dumps(calculators.example_truck(name)))
ask(do="convert", text="12", unit="gal", to="L")

del modules, imports, ask, late, name
sys.modules.pop("warm", None)
gc.collect()
gc.freeze()  # no later collection need look at what stays for good
