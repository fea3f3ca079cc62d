"""Reads a printed line of the working back into a value, from its text alone, as a careful reader would with a pocket calculator."""

import math
import re
from collections.abc import Mapping
from datetime import date, datetime, timedelta
from itertools import pairwise, product
from typing import Any

from dateutil.relativedelta import relativedelta

from calculators.engine.figures import TABLES
from calculators.engine.show import COMPUTED, TOLD, spoken, words

_SIGNS = {"×": "*", "÷": "/", "−": "-", "≥": ">=", "≤": "<=", "^": "**"}
_CONVERTED = {  # what stands behind a number that is converted, by hand: exact factors of NIST SP 811
    "K": lambda fahrenheit: (fahrenheit + 459.67) * 5 / 9, "°R": lambda fahrenheit: fahrenheit + 459.67,
    "°F": lambda rankine: rankine - 459.67, "kJ/gal": lambda btu: btu * 1.05505585262, "mL": lambda gallons: gallons * 3785.411784,
    "mL/gal": lambda kilograms_per_cubic_meter: kilograms_per_cubic_meter * 3.785411784,
}


def _saturation_pressure(fahrenheit: float) -> float:
    """The table's own equation: over ice or over water, its last term the logarithm's."""
    kelvin = _CONVERTED["K"](fahrenheit)
    *terms, logarithm = TABLES["saturation"]["over_ice" if kelvin < 273.16 else "over_water"]
    return math.exp(sum(term * kelvin ** (power - 1) for power, term in enumerate(terms)) + logarithm * math.log(kelvin))


def _saturated_at(pressure: float) -> float:
    """By Newton’s steps."""
    found = 32.0
    for _ in range(200):
        here = _saturation_pressure(found)
        found -= (here - pressure) / (_saturation_pressure(found + 1e-4) - here) * 1e-4
    return found


def _between(at: float, points: list[float], values: list[float]) -> float:
    """By the weights of the two points that it lies between."""
    (low, there), (high, then) = next(pair for pair in pairwise(zip(points, values, strict=True)) if pair[0][0] <= at <= pair[1][0])
    return (there * (high - at) + then * (at - low)) / (high - low)


_FUNCTIONS = {"e": math.exp, "ln": math.log, "least": lambda *of: min(of), "greatest": lambda *of: max(of),
              "all": lambda *of: math.fsum(of), "up": math.ceil, "down": math.floor, "whole": round,
              "D": date.fromordinal, "S": _saturation_pressure, "T": _saturated_at,
              "yes": 1, "no": 0, "True": 1, "False": 0, "C": lambda unit, value: list(_CONVERTED.values())[unit](value)}
_DAY = re.compile(r"\b([A-Z][a-z]{2}) (\d{1,2}), (\d{4})\b")


class NotPrinted(Exception):
    """A line that holds no numbers to compute with."""


def worked(step: dict[str, Any]) -> Any:
    """What the printed numbers of a step come to."""
    return _evaluate(_bare(step["worked"], step["numbers"]))


def named(step: dict[str, Any], lists: Mapping[str, Any]) -> Any:
    """What a step's formula comes to with the unrounded numbers that it names, and the cells of tables and of the answer's ``lists``."""
    text = _cells(step["formula"], step["numbers"], TABLES | lists)
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


def _cells(text: str, numbers: list[dict[str, Any]], tables: Mapping[str, Any]) -> str:
    """The text with what stands in the tables' cells that it names: ``urea table: density``, ``jobs: due date where recorded``."""
    keys = {spoken(number["name"]): number["value"] for number in numbers if isinstance(number["value"], str)}

    def found(place: re.Match[str]) -> str:
        inside = tables[place[1]]
        for told in place[2].removeprefix(": ").split(": "):
            inside = _inside(inside, keys.get(told, told), place[3] or "")
        return ", ".join(map(_cell, inside)) if isinstance(inside, list) else _cell(inside)

    tables = {spoken(name): table for name, table in tables.items()}
    names = "|".join(sorted(map(re.escape, tables), key=len, reverse=True))
    return re.sub(rf"\b({names})((?:: [A-Za-z ’]+?)*)(?: where ([a-z ]+))?(?=\)| [×÷]|$)", found, text)


def _inside(table: Any, told: str, holds: str) -> Any:
    if isinstance(table, list):
        return [_inside(row, told, "") for row in table if not holds or _inside(row, holds, "")] if told else table
    return next((value for key, value in table.items() if told in (key, spoken(key), str(words(key)))), table)


def _cell(value: Any) -> str:
    if isinstance(value, list):
        return " → ".join(map(_cell, value))
    if value is None:
        return "—"
    return "yes" if value is True else "no" if value is False else repr(value) if isinstance(value, int | float) else _iso(value)


def _bare(text: str, numbers: list[dict[str, Any]], every: bool = False) -> str:
    """The text without units: each number as it is printed, and no thousands commas."""
    for number, digits in product(numbers, (*COMPUTED, TOLD)):
        said = words(number["value"], number.get("unit", ""), exact=True, digits=digits)
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
    text = re.sub(r"(D\(\d+\)|[^\s(,]+) \((\d+) times\)", lambda run: ", ".join([run[1]] * int(run[2])), text)
    if days := re.fullmatch(r"days from (D\(\d+\)) to (D\(\d+\))", text):
        return (_evaluate(days[2]) - _evaluate(days[1])).days
    if bounded := re.fullmatch(r"(.*), not before (.*)", text):
        return max(map(_evaluate, bounded.groups()))
    if told := re.fullmatch(r"how many of \((.*)\) are (yes|no)", text):
        return told[1].split(", ").count(told[2])
    if beside := re.fullmatch(r"the one of \((.*)\) beside the least of \((.*)\)", text):
        cells, values = (part.split(", ") for part in beside.groups())
        return _evaluate(min((_evaluate(value), cell) for cell, value in zip(cells, values, strict=True) if value != "—")[1])
    text = re.sub(r"\(([^()]*), [^,()]+\) without the last", r"\1", text).replace("—, ", "").replace(", —", "")
    if read := re.fullmatch(r"(.*) read straight between the points \((.*)\) as \((.*)\)", text):
        return _between(_evaluate(read[1]), *([float(part) for part in column.split(", ")] for column in read.groups()[1:]))
    if row := re.fullmatch(r"row that reaches (.*) in \((.*)\)", text):
        rows = [[float(part) for part in line.split(" → ")] for line in row[2].split(", ")]
        return next(value for end, value in rows if end >= _evaluate(row[1]))
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
    text = re.sub(r"temperature at which (.*) is the saturation pressure of water vapor", r"T(\1)", text)
    text = re.sub(r"saturation pressure of water vapor at (\([^)]*\)|[−\d.]+)", r"S(\1)", text).replace("sum of (", "all(")
    text = _conversions(text)
    text = text.replace("least of (", "least(").replace("greatest of (", "greatest(").replace("round up (", "up(").replace("e^(", "e(")
    text = text.replace("round down (", "down(").replace("round (", "whole(")
    text = re.sub(r"(?<![<>≥≤=!]) = ", " == ", text).replace("is not", "!=")
    for sign, python in _SIGNS.items():
        text = text.replace(sign, python)
    names = "ln|least|greatest|up|down|whole|all|yes|no|True|False"
    if not re.fullmatch(rf"(?:[\d.()+*/,<>=! -]|e[+-]?\d+|e(?=\()|{names}|[STC](?=\()|D(?=\(\d))+", text):
        raise NotPrinted(text)
    return eval(text, {"__builtins__": {}}, _FUNCTIONS)  # the pattern above let through nothing but arithmetic
