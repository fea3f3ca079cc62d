"""The words of a sheet: one TOML file, a phrase with its languages side by side."""

import re
import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import calculators
from calculators.engine.mistakes import Mistake
from pieces.wording import LANGUAGES, Part, in_language, lacking, number

type Table = dict[str, Part]

SHEETS = Path(__file__).parent / "sheets"
LIGHTS = Path(__file__).parent.parent / "docs/includes/light.toml"
TRUCKS = ("named", "blank", "fleet")  # whose a sheet is: the truck's that it names, any that is written in, all of a fleet's


@cache
def read(sheet: str) -> Table:
    """A sheet's file, all languages; an action that A light is on asks for stands in its words, by entry and row.

    Mistake names what a sheet's file lacks.
    """
    told = tomllib.loads((SHEETS / f"{sheet}.toml").read_text("utf-8"))
    if not sheet.startswith("_"):
        _look_over(sheet, told)
    return {name: _with_lights(each) for name, each in told.items()}


def _look_over(sheet: str, told: Table) -> None:
    if lacks := [key for key in ("title", "purpose", "truck") if key not in told]:
        raise Mistake(f"print/sheets/{sheet}.toml has no {' and no '.join(lacks)}; "
                      f"write title.en, purpose.en, and truck = {' or '.join(map(repr, TRUCKS))}")
    if told["truck"] not in TRUCKS:
        raise Mistake(f"print/sheets/{sheet}.toml has truck = {told['truck']!r}; write {' or '.join(map(repr, TRUCKS))}")


def _with_lights(part: Part) -> Part:
    if isinstance(part, list):
        return [_with_lights(each) for each in part]
    if not isinstance(part, dict):
        return part
    if set(part) == {"light", "row"}:
        return next(entry for entry in _lights() if entry["id"] == part["light"])["first"][part["row"] - 1]
    return {name: _with_lights(each) for name, each in part.items()}


@cache
def _lights() -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = tomllib.loads(LIGHTS.read_text("utf-8"))["entries"]
    return entries


@cache
def words(sheet: str, language: str) -> Table:
    """A sheet's words in one language; a phrase that lacks it is told by its place in the file."""
    told: Table = _with_constants(in_language(language, read(sheet), sheet), language)
    return told


def _with_constants(part: Part, language: str) -> Part:
    """Numbers that are the same for every truck stand in the words already, in their language."""
    if isinstance(part, str):
        return re.sub(r"\{(\w+)\}", lambda key: _constant(key[1], language) or key[0], part)
    if isinstance(part, list):
        return [_with_constants(each, language) for each in part]
    return {name: _with_constants(each, language) for name, each in part.items()} if isinstance(part, dict) else part


def _constant(key: str, language: str) -> str:
    figure = calculators.figure(key)
    if figure is None or figure.question or figure.value is None:
        return ""
    said = calculators.show.words(figure.value, figure.unit, exact=True)
    return said.phrase if language == "en" else number(said.number, figure.unit, language)


@cache
def languages(sheet: str) -> tuple[str, ...]:
    """The languages in which a sheet is whole."""
    return tuple(language for language in LANGUAGES if not any(lacking(language, read(sheet))))
