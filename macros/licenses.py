"""licenses.txt: every part that a built site is made of, whose it is, where its source is had, and the licenses' texts.

`macros.finish` writes it last, and refuses a site in which a file belongs to no part, or a part to no file.
"""

import json
import tomllib
from collections.abc import Iterator
from fnmatch import fnmatch
from importlib.metadata import version
from pathlib import Path
from typing import NamedTuple

import calculators
from macros import chart_script

ROOT = Path(__file__).parent.parent
TEXTS = Path(__file__).with_name("license_texts")
NAME = "licenses.txt"
RULE = "-" * 78
HEAD = """What Diesel Handover is made of
===============================

Each part: its version, its license, who holds the rights in it, where its source is had, and where in this folder it stands.
The licenses' texts follow below, each once.
"""


class Part(NamedTuple):
    """One thing by others, or by us, that the site carries."""

    name: str
    license: str
    copyright: str
    of: str  # where its version stands: pypi:NAME, npm:NAME, project, or the version itself
    source: str
    files: tuple[str, ...]

    def holds(self, path: str) -> bool:
        """Whether a file of the site is of it."""
        return any(fnmatch(path, pattern) for pattern in self.files)

    @property
    def version(self) -> str:
        """The version that is installed here, or that stands in the list."""
        kind, _, name = self.of.partition(":")
        if kind == "pypi":
            return version(name)
        if kind == "npm":
            return str(json.loads((ROOT / "node_modules" / name / "package.json").read_text("utf-8"))["version"])
        return calculators.__version__ if kind == "project" else self.of


def place(site: Path) -> list[str]:
    """Write the list; what is wrong with it, a line each."""
    parts = listed()
    (site / NAME).write_text(text(parts), "utf-8")
    return list(faults(parts, [path.relative_to(site).as_posix() for path in sorted(site.rglob("*")) if path.is_file()]))


def listed() -> list[Part]:
    """The parts, ours first."""
    told = tomllib.loads((TEXTS / "parts.toml").read_text("utf-8"))["part"]
    return [Part(**{**part, "files": tuple(part["files"])}) for part in told]


def faults(parts: list[Part], files: list[str]) -> Iterator[str]:
    """A file that nobody has a right in, and a part that isn't there."""
    for path in files:
        if not any(part.holds(path) for part in parts):
            yield f"{path}: {NAME} says of no part that it is made of this file: add it to macros/license_texts/parts.toml"
    for part in parts:
        for pattern in part.files:
            if not any(fnmatch(path, pattern) for path in files):
                yield f"{NAME}: {part.name} is said to stand in {pattern}, and no file does: take it out of macros/license_texts/parts.toml"


def text(parts: list[Part]) -> str:
    """The whole file."""
    licenses = dict.fromkeys(part.license for part in parts)
    return "\n".join((HEAD, *map(_row, parts), *(f"{RULE}\n{_name(license)}\n{RULE}\n\n{license_text(license)}\n" for license in licenses)))


def _row(part: Part) -> str:
    return (f"{part.name}, {part.version}\n  {_name(part.license)}. {part.copyright}\n  Source: {part.source}\n"
            f"  In: {', '.join(part.files)}\n")


def _name(license: str) -> str:
    return {"vega": "BSD-3-Clause and ISC"}.get(license) or ("OFL-1.1" if "/" in license else license)


def license_text(license: str) -> str:
    """A license by its name here, by its place in the project, or as the charts' script carries it."""
    if license == "vega":
        return chart_script.LICENSE.strip().removeprefix("/*!").removesuffix("*/").strip()
    path = ROOT / license if "/" in license else ROOT / "LICENSE" if license == "Apache-2.0" else TEXTS / f"{license}.txt"
    return path.read_text("utf-8").strip()
