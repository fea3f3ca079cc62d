"""The words of a sheet: one TOML file, a phrase with its languages side by side."""

import re
import tomllib
from functools import cache
from pathlib import Path

from markupsafe import Markup, escape

from calculators import show

LANGUAGES = ("en", "es")
SHEETS = Path(__file__).parent / "sheets"


@cache
def read(sheet):
    """A sheet's file as it is, all languages."""
    return tomllib.loads((SHEETS / f"{sheet}.toml").read_text("utf-8"))


def words(sheet, language):
    """A sheet's words in one language; a phrase that lacks it is told by its place in the file."""
    return _in(language, read(sheet), sheet)


def languages(sheet):
    """The languages in which a sheet is whole."""
    return tuple(language for language in LANGUAGES if not any(_lacking(language, read(sheet))))


def _in(language, part, place):
    if isinstance(part, list):
        return [_in(language, each, place) for each in part]
    if not isinstance(part, dict):
        return part
    if _is_phrase(part):
        return part[language]
    return {name: _in(language, each, f"{place}.{name}") for name, each in part.items()}


def _lacking(language, part):
    if isinstance(part, list):
        part = dict(enumerate(part))
    if isinstance(part, dict):
        if _is_phrase(part):
            yield from () if language in part else (part,)
        else:
            for each in part.values():
                yield from _lacking(language, each)


def _is_phrase(part):
    return bool(part) and set(part) <= set(LANGUAGES)


def say(text, live):
    """A phrase as HTML: **bold** and {the.key.of.a.number} mean something, all else is text."""
    bold = re.sub(r"\*\*(.+?)\*\*", r"<b>\1</b>", str(escape(text)))
    return Markup(re.sub(r"\{([a-z0-9_.]+)\}", lambda key: str(live(key[1])), bold))


# Units as Spanish says them in the United States: one and many. Money keeps its dollar sign.
_SPANISH = {
    "gal": ("galón", "galones"), "qt": ("cuarto", "cuartos"), "mi": ("milla", "millas"), "mi/h": ("milla por hora", "millas por hora"),
    "h": ("hora", "horas"), "min": ("minuto", "minutos"), "day": ("día", "días"), "month": ("mes", "meses"), "yr": ("año", "años"),
    "lb": ("libra", "libras"), "in": ("pulgada", "pulgadas"), "degF": ("°F", "°F"), "%": ("%", "%"), "": ("", ""), "USD": ("", ""),
}  # fmt: skip
AND = {"en": "to", "es": "a"}


def number(shown, unit, language):
    """A number that stands already as digits, with its unit in a language other than English."""
    if language != "es" or unit not in _SPANISH:
        raise LookupError(f"no words in {language!r} for the unit {unit!r}")
    one, many = _SPANISH[unit]
    unit = one if shown == "1" else many
    return f"{shown}{show.gap(unit)}{unit}"
