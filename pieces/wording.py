"""Words in two languages: a phrase with its languages side by side, and how its text becomes HTML."""

import re
from collections.abc import Callable, Iterator
from typing import Any

from markupsafe import Markup, escape

from calculators import show

LANGUAGES = ("en", "es")

type Part = Any  # of a file of words: a phrase, a text, a number, a list of parts or a table of them, as its author nests them


def in_language(language: str, part: Part, place: str) -> Part:
    """A part of a file of words in one language; a phrase that lacks it is told by its ``place``."""
    if isinstance(part, list):
        return [in_language(language, each, place) for each in part]
    if not isinstance(part, dict):
        return part
    if _is_phrase(part):
        return part[language]
    return {name: in_language(language, each, f"{place}.{name}") for name, each in part.items()}


def lacking(language: str, part: Part) -> Iterator[dict[str, str]]:
    """Every phrase of a part that has no words in a language."""
    if isinstance(part, list):
        part = dict(enumerate(part))
    if isinstance(part, dict):
        if _is_phrase(part):
            yield from () if language in part else (part,)
        else:
            for each in part.values():
                yield from lacking(language, each)


def _is_phrase(part: dict[str, Part]) -> bool:
    return bool(part) and set(part) <= set(LANGUAGES)


def say(text: str, live: Callable[[str], object]) -> Markup:
    """A phrase as HTML: **bold** and {the.key.of.a.number} mean something, all else is text."""
    bold = re.sub(r"\*\*(.+?)\*\*", r"<b>\1</b>", str(escape(text)))
    return Markup(re.sub(r"\{([a-z0-9_.]+)\}", lambda key: str(live(key[1])), bold))


# Units as Spanish says them in the United States: one and many. Money keeps its dollar sign.
_SPANISH = {
    "gal": ("galón", "galones"), "qt": ("cuarto", "cuartos"), "cup": ("taza", "tazas"), "mi": ("milla", "millas"),
    "mi/h": ("milla por hora", "millas por hora"), "s": ("segundo", "segundos"),
    "h": ("hora", "horas"), "min": ("minuto", "minutos"), "day": ("día", "días"), "month": ("mes", "meses"), "yr": ("año", "años"),
    "lb": ("libra", "libras"), "in": ("pulgada", "pulgadas"), "degF": ("°F", "°F"), "%": ("%", "%"), "": ("", ""), "count": ("", ""),
    "USD": ("", ""),
}  # fmt: skip
AND = {"en": "to", "es": "a"}


def number(shown: str, unit: str, language: str) -> str:
    """A number that stands already as digits, with its unit in a language other than English."""
    if language != "es" or unit not in _SPANISH:
        raise LookupError(f"no words in {language!r} for the unit {unit!r}")
    one, many = _SPANISH[unit]
    unit = one if shown == "1" else many
    return f"{shown}{show.gap(unit)}{unit}"
