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
    "gal": ("gal", "gallon", "gallons"), "qt": ("qt", "quart", "quarts"),
    "cup": ("cups", "cup", "cups"), "s": ("s", "second", "seconds"), "L": ("L", "liter", "liters"),
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
_WHOLE_DOLLARS_FROM, _TENS_OF_DOLLARS_FROM = 20, 1000  # below the first cents matter
_LARGE = {"trillion": 1e12, "billion": 1e9, "million": 1e6}  # dollars in words, with so many digits
_IN_WORDS, _LARGE_UNITS = 3, 1e7  # other units from here on: an odometer is told to the mile
_AS_GOOD_AS_NEVER, _MONTHS_BELOW = 20, 0.75  # years
# Significant digits a result deserves, else two; and the most decimals, from one up.
_ENOUGH = {"kg/L": 5, "mi/gal": 3, "gal": 3, "qt": 3, "h": 3, "USD/mi": 3, "USD/km": 3, "%": 3}
_DECIMALS = {"%": 1, "degF": 0, "degC": 0, "mi": 0, "km": 0, "lb": 0, "kg": 0}
_A_HAIR = 1e-9  # dollars
_SMALLEST = 0.0001  # below it as 1.2e−05
_SAME = 1e-12  # of a number: it has no more digits than are shown

_MINUS = "−"
_MILES = re.compile(r"\bmiles?\b", re.IGNORECASE)
_KEY = re.compile(r"[a-z0-9_]+")  # a key such as not_recorded; a sentence is left as it is
_WRITTEN = {"def": "DEF", "nox": "NOx"}


class Digits(NamedTuple):
    """How many digits of a number are shown: all, where it ``ends`` within so many, else ``most``."""

    most: int
    ends: int


TOLD = Digits(4, 7)  # what was told, here or in the data file
SAID = Digits(3, 4)  # the same in a sentence, where another unit may have left 12.42742
COMPUTED = (Digits(4, 5), Digits(5, 5), Digits(6, 6), Digits(7, 7))  # in a line of the working: the first that come to its result
_FOUR = TOLD.most
_NOTHING = 1e-6  # miles, pounds, degrees or percent: what floating point leaves of two equal numbers


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


def words(value: Any, unit: str = "", *, exact: bool = False, metric: bool = False, digits: Digits = TOLD,
          advice: bool = False) -> Words:
    """How ``value`` reads: with the digits a result deserves; ``exact`` as it was told, or with so many ``digits``.

    ``advice``: in a sentence that says what to do nobody measures out tenths of a gallon.
    """
    match value:
        case Missing():
            return Words("—", "", value.why)
        case bool():
            return _same("yes" if value else "no")
        case date():
            return _same(f"{value:%b} {value.day}, {value.year}")
        case float() | int():
            return _quantity(value, unit, digits if exact else None, metric, advice)
        case list() | tuple():
            return _same(", ".join(str(words(v)) for v in value) if all(isinstance(v, str) for v in value) else f"{len(value)} lines")
    text = str(value)
    return _same(LABELS.get(text) or (spoken(text) if _KEY.fullmatch(text) else text))


def as_shown(value: Any, digits: Digits) -> Any:
    """A number, or the numbers in a list, as ``words`` shows them with so many digits."""
    if isinstance(value, bool | str | date | Missing) or hasattr(value, "readings"):  # a book's entries are shown to nobody
        return value
    if isinstance(value, float | int):
        return _rounded(value, _significant(value, digits))
    if isinstance(value, dict):
        return {key: as_shown(one, digits) for key, one in value.items()}
    if isinstance(value, list | tuple):
        shown = [as_shown(one, digits) for one in value]
        return type(value)(*shown) if hasattr(value, "_fields") else type(value)(shown)
    return value


def comes_to(value: Any, meant: Any) -> bool:
    """Whether ``value`` shows the same as ``meant``, give or take one in the last of four digits."""
    if isinstance(value, bool) or isinstance(meant, bool) or not (isinstance(value, float | int) and isinstance(meant, float | int)):
        return bool(value == meant)
    return abs(value - meant) <= 10.0 ** (_size(meant) - _FOUR)


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
def _quantity(value: float, unit: str, exact: Digits | None, metric: bool, advice: bool) -> Words:
    if metric and unit in METRIC:
        value, unit = convert(value, unit, METRIC[unit]), METRIC[unit]
    unit = "" if unit in UNITLESS else unit
    if unit in _DECIMALS and abs(value) < _NOTHING:
        value = 0
    if exact is None:
        if unit == "yr" and value > _AS_GOOD_AS_NEVER:
            return _same("never")
        value, unit = _as_known(value, unit, advice)
    enough = _digits(value, unit) if exact is None else (_significant(value, exact),)
    number = (_dollars(value, unit, exact) if unit.startswith("USD")
              else (exact is None and _in_words(value, _LARGE_UNITS)) or _number(value, *enough))
    short, one, many = _READS.get(unit, (unit, unit, unit))
    alone = number in ("1", f"{_MINUS}1")
    spoken_unit = one if alone else many
    return Words(number, one if alone and short == many else short, f"{number}{gap(spoken_unit)}{spoken_unit}")


def _as_known(value: float, unit: str, advice: bool) -> tuple[float, str]:
    """A computed value no finer than anybody knows it: years in halves, else months; gallons in halves, miles in tens and hundreds."""
    if unit == "yr" and value:
        return (max(1, round(value * 12)), "month") if 0 < value < _MONTHS_BELOW else (_half(value), unit)
    if unit == "gal" and advice and 1 <= abs(value) < 100:
        return _half(value), unit
    if unit in ("mi", "km") and advice and abs(value) >= 100:
        return round(value, -1 if abs(value) < 1000 else -2), unit
    return value, unit


def _half(value: float) -> float:
    return round(value * 2) / 2


def _digits(value: float, unit: str) -> tuple[int, int]:
    """Significant digits a result deserves, and the most decimals from one up."""
    return (_ENOUGH.get(unit, 2), _DECIMALS.get(unit, 9)) if abs(value) >= 1 else (2, 9)


def _number(value: float, significant: int, decimals: int = 9) -> str:
    """Never fewer digits than the whole part has, but in words where that is long; no trailing zeros."""
    places = min(max(significant - _size(value), 0), decimals)
    text = f"{value:,.{places}f}" if abs(value) >= _SMALLEST or not value else f"{value:.{significant}g}"
    text = text.rstrip("0").rstrip(".") if "." in text and "e" not in text else text
    return ("0" if text in ("-0", "") else text).replace("-", _MINUS)


def _size(value: float) -> int:
    """How many digits its whole part has."""
    return floor(log10(abs(value))) + 1 if value else 1


def _significant(value: float, digits: Digits) -> int:
    return digits.ends if abs(float(format(value, f".{digits.ends}g")) - value) <= _SAME * abs(value) else digits.most


def _rounded(value: float, significant: int) -> float:
    if abs(value) < _SMALLEST:
        return float(format(value, f".{significant}g"))
    return round(value, max(significant - _size(value), 0))


def _dollars(value: float, unit: str, exact: Digits | None) -> str:
    """Cents below twenty dollars, tens over a thousand where nobody told it; a tenth of a cent for what a mile costs."""
    size = abs(value)
    if exact is None and unit == "USD" and size >= _TENS_OF_DOLLARS_FROM:
        text = _in_words(size, _LARGE["million"]) or f"{round(size, -1):,.0f}"
        return f"{_MINUS if value < 0 else ''}${text}"
    places = 0 if size >= _WHOLE_DOLLARS_FROM else 3 if unit in ("USD/mi", "USD/km") else 2
    rounded = round(size, places)
    text = f"{rounded:,.{places}f}"
    if exact is not None and abs(rounded - size) > _A_HAIR:
        text = _number(size, _significant(value, exact))
    elif unit == "USD" and (exact is not None or not value):  # a price of a gallon keeps its cents
        text = text.removesuffix(".00")
    return f"{_MINUS if value < 0 and rounded else ''}${text}"


def _in_words(value: float, least: float) -> str:
    """12.3 million, from the least on; "" below."""
    name = next((name for name, size in _LARGE.items() if abs(value) >= size and abs(value) >= least), "")
    return f"{_number(value / _LARGE[name], _IN_WORDS)} {name}" if name else ""
