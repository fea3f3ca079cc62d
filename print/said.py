"""A number in the language of its sheet: the calculators tell it in English, a sheet in Spanish says it in Spanish."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from pieces.wording import number
from print import wording

MONTHS = "ene feb mar abr may jun jul ago sep oct nov dic".split()


def phrase(value: Mapping[str, Any], language: str) -> str:
    """A value's words; what can't be said in that language is a blank to write in, and never English among Spanish."""
    if language == "en" or value["phrase"] == "":
        return str(value["phrase"])
    told = value["value"]
    if found := _day(told):
        return _in_words(found, language)
    if isinstance(told, bool):
        return "sí" if told else "no"
    if told is None or isinstance(told, str):
        return str(wording.read("_spoken").get(value["phrase"], ""))
    return number(value["number"], value.get("unit", ""), language)


def day(told: str, language: str) -> str:
    """A day in words."""
    return _in_words(date.fromisoformat(told), language)


def _in_words(found: date, language: str) -> str:
    return f"{found.day} {MONTHS[found.month - 1]} {found.year}" if language == "es" else f"{found:%b} {found.day}, {found.year}"


def _day(told: Any) -> date | None:
    try:
        return date.fromisoformat(told)
    except (TypeError, ValueError):
        return None
