"""A number in the language of its sheet: the calculators tell it in English, a sheet in Spanish says it in Spanish."""

from datetime import date

from pieces.wording import number
from print import wording

MONTHS = "ene feb mar abr may jun jul ago sep oct nov dic".split()


def phrase(value, language):
    """A value's words; what can't be said in that language is a blank to write in, and never English among Spanish."""
    if language == "en" or value["phrase"] == "":
        return value["phrase"]
    told = value["value"]
    if _day(told):
        return day(told, language)
    if isinstance(told, bool):
        return "sí" if told else "no"
    if told is None or isinstance(told, str):
        return wording.read("_spoken").get(value["phrase"], "")
    return number(value["number"], value.get("unit", ""), language)


def day(told, language):
    """A day in words."""
    found = _day(told)
    return f"{found.day} {MONTHS[found.month - 1]} {found.year}" if language == "es" else f"{found:%b} {found.day}, {found.year}"


def _day(told):
    try:
        return date.fromisoformat(told)
    except (TypeError, ValueError):
        return None
