"""Reads a printed line of the working back into a value, from its text alone, as a careful reader would with a pocket calculator."""

import math
import re
from datetime import date, datetime, timedelta
from typing import Any

from dateutil.relativedelta import relativedelta

from calculators.engine.show import spoken, words

_SIGNS = {"×": "*", "÷": "/", "−": "-", "≥": ">=", "≤": "<=", "^": "**"}
_CONVERTED = {  # what stands behind a number that is converted, by hand: exact factors of NIST SP 811
    "K": lambda fahrenheit: (fahrenheit + 459.67) * 5 / 9, "°R": lambda fahrenheit: fahrenheit + 459.67,
    "°F": lambda rankine: rankine - 459.67, "kJ/gal": lambda btu: btu * 1.05505585262, "mL": lambda gallons: gallons * 3785.411784,
    "mL/gal": lambda kilograms_per_cubic_meter: kilograms_per_cubic_meter * 3.785411784,
}
_FUNCTIONS = {"e": math.exp, "ln": math.log, "least": min, "greatest": max, "up": math.ceil, "D": date.fromordinal,
              "yes": 1, "no": 0, "True": 1, "False": 0, "C": lambda unit, value: list(_CONVERTED.values())[unit](value)}
_DAY = re.compile(r"\b([A-Z][a-z]{2}) (\d{1,2}), (\d{4})\b")


class NotPrinted(Exception):
    """A line that holds no numbers to compute with."""


def worked(step: dict[str, Any]) -> Any:
    """What the printed numbers of a step come to."""
    return _evaluate(_bare(step["worked"], step["numbers"]))


def named(step: dict[str, Any]) -> Any:
    """What a step's formula comes to with the unrounded numbers that it names."""
    text = step["formula"]
    for number in sorted(step["numbers"], key=lambda n: -len(n["name"])):
        value = number["value"]
        said = f"({value!r})" if isinstance(value, int | float) else _iso(value)
        text = re.sub(rf"(?<![\w.]){re.escape(spoken(number['name']))}(?![\w.])", said.replace("\\", ""), text)
    return _evaluate(text)


def because(step: dict[str, Any]) -> list[bool]:
    """Whether each printed comparison of numbers in a step's "because" holds as printed."""
    inside = re.search(r" \((.*)\)$", step["because"])
    if not inside:
        return []
    parts = _bare(inside[1], step["numbers"], every=True).split(" and ")
    return [bool(_evaluate(part)) for part in parts if re.search(r"[<>≥≤]|is not [\d(−]| = [\d(−]", part)]


def _bare(text: str, numbers: list[dict[str, Any]], every: bool = False) -> str:
    """The text without units: each number as it is printed, and no thousands commas."""
    for number in numbers:
        said = words(number["value"], number.get("unit", ""), exact=True)
        if said.unit and isinstance(number["value"], int | float):
            text = text.replace(str(said), said.number)
    if every:
        text = re.sub(r"(?<=\d) ?(?:[a-z]+(?:/[a-z]+)?|%|°F|mph|mpg)(?=$| [<>≥≤=])", "", text)
    text = _DAY.sub(lambda found: _iso(datetime.strptime(found[0], "%b %d, %Y").date().isoformat()), text)
    return re.sub(r"\$|(?<=\d),(?=\d{3})", "", text)


def _conversions(text: str) -> str:
    """``(… in K)`` as a call, wherever its bracket opens."""
    for number, unit in enumerate(_CONVERTED):
        while (end := text.find(f" in {unit})")) >= 0:
            start, depth = end, 1
            while depth:
                start -= 1
                depth += {")": 1, "(": -1}.get(text[start], 0)
            text = f"{text[:start]}C({number}, {text[start + 1:end]}){text[end + len(unit) + 5:]}"
    return text


def _iso(value: Any) -> str:
    try:
        return f"D({date.fromisoformat(str(value)).toordinal()})"
    except ValueError:
        return str(value)


def _evaluate(text: str) -> Any:
    if days := re.fullmatch(r"days from (D\(\d+\)) to (D\(\d+\))", text):
        return (_evaluate(days[2]) - _evaluate(days[1])).days
    if bounded := re.fullmatch(r"(.*), not before (.*)", text):
        return max(map(_evaluate, bounded.groups()))
    if first := re.fullmatch(r"D\((\d+)\)", text):
        return date.fromordinal(int(first[1]))
    if later := re.fullmatch(r"\((.*)\) days after (D\(\d+\))", text):
        return _evaluate(later[2]) + timedelta(days=math.floor(_evaluate(later[1])))
    if later := re.fullmatch(r"\(?([\d.]+)\)?(?: months?)? after (D\(\d+\))", text):
        months = float(later[1])
        whole = _evaluate(later[2]) + relativedelta(months=int(months))
        return whole + timedelta(days=math.floor(months % 1 * 730.5 / 24))
    if text.startswith("earliest of ("):
        return min(date.fromordinal(int(day)) for day in re.findall(r"D\((\d+)\)", text))
    text = _conversions(text)
    text = text.replace("least of (", "least(").replace("greatest of (", "greatest(").replace("round up (", "up(").replace("e^(", "e(")
    text = re.sub(r"(?<![<>≥≤=!]) = ", " == ", text).replace("is not", "!=")
    for sign, python in _SIGNS.items():
        text = text.replace(sign, python)
    if not re.fullmatch(r"(?:[\d.()+*/,<>=! -]|e[+-]?\d+|e(?=\()|ln|least|greatest|up|C(?=\()|yes|no|True|False|D(?=\(\d))+", text):
        raise NotPrinted(text)
    return eval(text, {"__builtins__": {}}, _FUNCTIONS)  # the pattern above let through nothing but arithmetic
