"""The words of a sheet: one TOML file, a phrase with its languages side by side."""

import tomllib
from functools import cache
from pathlib import Path

from pieces.wording import LANGUAGES, in_language, lacking

SHEETS = Path(__file__).parent / "sheets"


@cache
def read(sheet):
    """A sheet's file as it is, all languages."""
    return tomllib.loads((SHEETS / f"{sheet}.toml").read_text("utf-8"))


def words(sheet, language):
    """A sheet's words in one language; a phrase that lacks it is told by its place in the file."""
    return in_language(language, read(sheet), sheet)


def languages(sheet):
    """The languages in which a sheet is whole."""
    return tuple(language for language in LANGUAGES if not any(lacking(language, read(sheet))))
