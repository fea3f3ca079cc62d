"""A value and its unit as a reader sees them, for page, paper and terminal. Pure; no HTML."""

import re
from datetime import date
from functools import cache, lru_cache
from math import floor, log10
from typing import Any, NamedTuple

from calculators.engine.figures import LABELS, RESULTS, Missing
from calculators.engine.units import METRIC, UNITLESS, convert

# How a unit reads: short beside a number; one and many in a sentence. Money stands before its number.
_READS = {
    "mi": ("mi", "mile", "miles"), "km": ("km", "km", "km"), "in": ("in", "inch", "inches"), "cm": ("cm", "cm", "cm"),
    "h": ("h", "hour", "hours"), "min": ("min", "minute", "minutes"), "day": ("days", "day", "days"),
    "week": ("weeks", "week", "weeks"), "month": ("months", "month", "months"), "yr": ("yr", "year", "years"),
    "mi/h": ("mph", "mph", "mph"), "km/h": ("km/h", "km/h", "km/h"),
    "mi/gal": ("mpg", "mile per gallon", "miles per gallon"), "L/100km": ("L/100 km", "L/100 km", "L/100 km"),
    "gal": ("gal", "gallon", "gallons"), "qt": ("qt", "quart", "quarts"), "L": ("L", "liter", "liters"),
    "gal/h": ("gal/h", "gallon an hour", "gallons an hour"), "L/h": ("L/h", "liter an hour", "liters an hour"),
    "lb": ("lb", "pound", "pounds"), "kg": ("kg", "kg", "kg"), "g": ("g", "gram", "grams"),
    "g/mi": ("g/mi", "gram a mile", "grams a mile"), "g/h": ("g/h", "gram an hour", "grams an hour"),
    "degF": ("°F", "°F", "°F"), "degC": ("°C", "°C", "°C"), "delta_degF": ("°F", "°F", "°F"), "delta_degC": ("°C", "°C", "°C"),
    "USD/gal": ("/gal", "a gallon", "a gallon"), "USD/L": ("/L", "a liter", "a liter"), "USD/qt": ("/qt", "a quart", "a quart"),
    "USD/mi": ("/mi", "a mile", "a mile"), "USD/km": ("/km", "a km", "a km"), "USD/kWh": ("/kWh", "a kWh", "a kWh"),
    "USD": ("", "", ""), "%/yr": ("%/yr", "% a year", "% a year"), "": ("", "", ""),
}
_HEARD = {"degF": "degrees Fahrenheit", "degC": "degrees Celsius", "delta_degF": "degrees Fahrenheit", "delta_degC": "degrees Celsius",
          "%": "percent", "%/yr": "percent a year", "mi/h": "miles an hour", "km/h": "kilometers an hour", "km": "kilometers",
          "kg": "kilograms", "cm": "centimeters", "L/100km": "liters for 100 kilometers"}
_WHOLE_DOLLARS_FROM = 20  # below it cents matter
# Significant digits a result deserves, else two; and the most decimals, from one up.
_ENOUGH = {"kg/L": 5, "mi/gal": 3, "gal": 3, "qt": 3, "h": 3, "USD/mi": 3, "USD/km": 3, "%": 3}
_DECIMALS = {"%": 1, "degF": 0, "degC": 0, "mi": 0, "km": 0, "lb": 0, "kg": 0}
_A_HAIR = 1e-9  # dollars
_SMALLEST = 0.0001  # below it as 1.2e−05
_NOTHING = 1e-6  # miles, pounds, degrees or percent: what floating point leaves of two equal numbers
_MINUS = "−"
_MILES = re.compile(r"\bmiles?\b", re.IGNORECASE)
_LONG = re.compile(r"[\d,]+\.\d+")
_AS_TOLD = 4  # digits that an owner may have told
_ENOUGH_TO_SAY = 3  # digits of what another unit left
_KEY = re.compile(r"[a-z0-9_]+")  # a key such as not_recorded; a sentence is left as it is
_WRITTEN = {"def": "DEF", "nox": "NOx"}


class Words(NamedTuple):
    """A value as it reads: ``number`` and ``unit`` apart, and both in a sentence."""

    number: str
    unit: str
    phrase: str

    def __str__(self) -> str:
        return f"{self.number}{gap(self.unit)}{self.unit}"


def gap(unit: str) -> str:
    """What stands between a number and its unit: 35 min, but $3.90/gal, 9.1% and 32°F."""
    return " " if unit and unit[0] not in "/%°" else ""


def words(value: Any, unit: str = "", *, exact: bool = False, metric: bool = False) -> Words:
    """How ``value`` reads; ``exact`` as told or as the working needs it, else with the digits a result deserves."""
    match value:
        case Missing():
            return Words("—", "", value.why)
        case bool():
            return _same("yes" if value else "no")
        case date():
            return _same(f"{value:%b} {value.day}, {value.year}")
        case float() | int():
            return _quantity(value, unit, exact, metric)
        case list() | tuple():
            return _same(", ".join(str(words(v)) for v in value) if all(isinstance(v, str) for v in value) else f"{len(value)} lines")
    text = str(value)
    return _same(LABELS.get(text) or (spoken(text) if _KEY.fullmatch(text) else text))


def in_a_sentence(said: Words) -> Words:
    """The same words; of a number that another unit left long, as 12.42742 miles, three digits or its whole part."""
    found = _LONG.search(said.number)
    if not found or sum(sign.isdigit() for sign in found[0].lstrip("0.")) <= _AS_TOLD:
        return said
    number = said.number.replace(found[0], _number(float(found[0].replace(",", "")), _ENOUGH_TO_SAY))
    return Words(number, said.unit, said.phrase.replace(said.number, number))


@cache
def spoken(name: str) -> str:
    """A name as words: ``interval__engine_oil__distance`` is interval engine oil distance."""
    return " ".join(_WRITTEN.get(word, word) for word in name.replace(".", " ").replace("_", " ").split())


@cache
def label(name: str, metric: bool = False) -> str:
    """A name at the head of a column or beside a number: Fuel per year, DEF cost per year; in metric its miles are km."""
    said = RESULTS.get(name) or spoken(name)
    if metric:
        said = _MILES.sub("km", said)
    return said[:1].upper() + said[1:]


def unit_label(unit: str) -> str:
    """A unit beside a field."""
    dollars = "$" if unit.startswith("USD") else ""
    return "" if unit in UNITLESS else dollars + _READS.get(unit, (unit,))[0]


def unit_words(unit: str) -> str:
    """A unit in full words, for who hears a field: dollars a gallon, degrees Fahrenheit."""
    if unit in UNITLESS:
        return ""
    dollars = ("dollars",) if unit.startswith("USD") else ()
    return _HEARD.get(unit) or " ".join((*dollars, *filter(None, (_READS.get(unit, (unit,))[-1],))))


def _same(text: str) -> Words:
    return Words(text, "", text)


@lru_cache(maxsize=2000)  # most of an answer's numbers stood in the one before
def _quantity(value: float, unit: str, exact: bool, metric: bool) -> Words:
    if metric and unit in METRIC:
        value, unit = convert(value, unit, METRIC[unit]), METRIC[unit]
    unit = "" if unit in UNITLESS else unit
    if unit in _DECIMALS and abs(value) < _NOTHING:
        value = 0
    number = _dollars(value, unit, exact) if unit.startswith("USD") else _number(value, *((7,) if exact else _digits(value, unit)))
    short, one, many = _READS.get(unit, (unit, unit, unit))
    spoken_unit = one if number in ("1", f"{_MINUS}1") else many
    return Words(number, short, f"{number}{gap(spoken_unit)}{spoken_unit}")


def _digits(value: float, unit: str) -> tuple[int, int]:
    """Significant digits a result deserves, and the most decimals from one up."""
    return (_ENOUGH.get(unit, 2), _DECIMALS.get(unit, 9)) if abs(value) >= 1 else (2, 9)


def _number(value: float, significant: int, decimals: int = 9) -> str:
    """Never fewer digits than the whole part has; no trailing zeros."""
    size = floor(log10(abs(value))) + 1 if value else 1
    places = min(max(significant - size, 0), decimals)
    text = f"{value:,.{places}f}" if abs(value) >= _SMALLEST or not value else f"{value:.{significant}g}"
    text = text.rstrip("0").rstrip(".") if "." in text and "e" not in text else text
    return ("0" if text in ("-0", "") else text).replace("-", _MINUS)


def _dollars(value: float, unit: str, exact: bool) -> str:
    """Cents below a hundred dollars; a tenth of a cent for what a mile costs."""
    places = 0 if abs(value) >= _WHOLE_DOLLARS_FROM else 3 if unit in ("USD/mi", "USD/km") else 2
    rounded = round(abs(value), places)
    text = f"{rounded:,.{places}f}"
    if exact and abs(rounded - abs(value)) > _A_HAIR:
        text = _number(abs(value), 7)
    elif unit == "USD" and (exact or not value):  # a price of a gallon keeps its cents
        text = text.removesuffix(".00")
    return f"{_MINUS if value < 0 and rounded else ''}${text}"
