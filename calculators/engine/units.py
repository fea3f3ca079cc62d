"""Units at the edge: what a reader types becomes a number in the unit a rule declares, and back."""

import re
from collections.abc import Mapping
from functools import lru_cache
from math import isfinite
from typing import Annotated, Any

Count = float
Hours = Annotated[float, "h"]
Minutes = Annotated[float, "min"]
Days = Annotated[float, "day"]
Months = Annotated[float, "month"]
Years = Annotated[float, "yr"]
Miles = Annotated[float, "mi"]
MilesPerHour = Annotated[float, "mi/h"]
MilesPerGallon = Annotated[float, "mi/gal"]
Inches = Annotated[float, "in"]
Gallons = Annotated[float, "gal"]
GallonsPerHour = Annotated[float, "gal/h"]
Quarts = Annotated[float, "qt"]
Milliliters = Annotated[float, "mL"]
Pounds = Annotated[float, "lb"]
Dollars = Annotated[float, "USD"]
DollarsPerGallon = Annotated[float, "USD/gal"]
DollarsPerQuart = Annotated[float, "USD/qt"]
DollarsPerMile = Annotated[float, "USD/mi"]
DollarsPerKilowattHour = Annotated[float, "USD/kWh"]
Watts = Annotated[float, "W"]
Grams = Annotated[float, "g"]
GramsPerMile = Annotated[float, "g/mi"]
GramsPerHour = Annotated[float, "g/h"]
GramsPerKilowattHour = Annotated[float, "g/kWh"]
KilogramsPerLiter = Annotated[float, "kg/L"]
Fahrenheit = Annotated[float, "degF"]
FahrenheitRise = Annotated[float, "delta_degF"]
Celsius = Annotated[float, "degC"]
Kelvins = Annotated[float, "K"]
Percent = Annotated[float, "%"]
PercentPerYear = Annotated[float, "%/yr"]
PerSecond = Annotated[float, "1/s"]
KilogramsPerHour = Annotated[float, "kg/h"]
KilojoulesPerMole = Annotated[float, "kJ/mol"]
HeatCapacity = Annotated[float, "kJ/(kg.K)"]
GasConstant = Annotated[float, "kJ/(mol.K)"]
BtuPerGallon = Annotated[float, "Btu/gal"]
KilojoulesPerGallon = Annotated[float, "kJ/gal"]
Pascals = Annotated[float, "Pa"]
KilogramsPerCubicMeter = Annotated[float, "kg/m3"]
MillilitersPerGallon = Annotated[float, "mL/gal"]
Rankines = Annotated[float, "degR"]

UNITLESS = {"", "count", "date", "yes/no", "word"}  # what a value is, where it has no unit
METRIC = {
    "mi": "km", "mi/h": "km/h", "mi/gal": "L/100km", "in": "cm", "lb": "kg", "gal": "L", "qt": "L", "gal/h": "L/h",
    "degF": "degC", "delta_degF": "delta_degC", "USD/gal": "USD/L", "USD/qt": "USD/L", "USD/mi": "USD/km", "g/mi": "g/km",
}
_NUMBER = re.compile(r"(\$?)\s*([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?)\s*(.*)")
_SIZE: dict[str, tuple[str, float]] = {}
_POINTS: dict[str, tuple[float, float]] = {}
_SPELLED: dict[str, str] = {}


def load(table: Mapping[str, Any]) -> None:
    """Take the units' sizes, the temperature scales and the other spellings from the data file."""
    _SIZE.update({unit: (kind, size) for kind, sizes in table["size"].items() for unit, size in sizes.items()})
    _POINTS.update({unit: (step, zero) for unit, (step, zero) in table["temperature"].items()})
    _SPELLED.update({other: unit for unit, others in table["spelled"].items() for other in others})


@lru_cache(maxsize=250)  # an edit changes one of a form's many fields
def quantity(text: str, unit: str) -> float:
    """The number that ``text`` means in ``unit``; ValueError says what to type instead."""
    text = text.strip().replace("\u2212", "-")
    if "," in text:
        grouped = re.search(r"[0-9]{1,3}(,[0-9]{3})+\b", text)
        raise ValueError(f"write it without the comma, as {text.replace(',', '' if grouped else '.')}")
    found = _NUMBER.fullmatch(text)
    if not found or not isfinite(number := float(found[2])):
        raise ValueError(f"write a number{f' in {symbol(unit)}' if unit not in UNITLESS else ', as 12'}")
    typed = _typed_unit(found[1], found[3], unit)
    if unit.startswith("delta_") and typed in ("degF", "degC"):  # "5 degC warmer" is a difference
        typed = f"delta_{typed}"
    return convert(number, typed, unit)


def convert(value: float, unit: str, to: str) -> float:
    """``value`` of ``unit`` as a number of ``to``; ValueError where they measure different things or it has no end."""
    if isfinite(made := _converted(value, unit, to)):
        return made
    raise ValueError("write a smaller number")


def _converted(value: float, unit: str, to: str) -> float:
    if unit == to:
        return value
    if unit in _POINTS and to in _POINTS:
        (step, zero), (to_step, to_zero) = _POINTS[unit], _POINTS[to]
        return (value + zero) * step / to_step - to_zero
    try:
        (kinds, size), (to_kinds, to_size) = _measure(unit), _measure(to)
    except KeyError:
        kinds, to_kinds = (unit,), (to,)
    if kinds == to_kinds:
        return value * (size / to_size)
    if len(kinds) == 2 and kinds == to_kinds[::-1] and value > 0:  # fuel per distance for distance per fuel
        return 1 / (value * size * to_size)
    raise ValueError(f"write it in {symbol(to)}" if to not in UNITLESS else "write a bare number")


def symbol(unit: str) -> str:
    """A unit as a reader writes it: °F, $/gal."""
    return unit.removeprefix("delta_").replace("deg", "°").replace("USD", "$")


def written(number: float, unit: str) -> str:
    """A number with its unit as a reader may type it: 15 mi, $0.5/gal."""
    digits = format(number, ".10g")
    if unit.startswith("USD"):
        return f"${digits}{unit.removeprefix('USD')}"
    return digits if unit in UNITLESS else f"{digits} {symbol(unit)}"


def _of_symbol(typed: str) -> str:
    return typed.replace("°", "deg").replace("$", "USD")


def _typed_unit(dollar: str, typed: str, declared: str) -> str:
    if dollar:
        if not declared.startswith("USD"):
            raise ValueError(f"write a number in {symbol(declared)}" if declared not in UNITLESS else "write a bare number")
        typed = f"${typed}" if typed else declared
    return _SPELLED.get(typed) or _of_symbol(typed) or declared


def _measure(unit: str) -> tuple[tuple[str, ...], float]:
    """The kinds and the size of a unit made of others: mi/gal is (length, volume)."""
    parts = [_SIZE[part] for part in unit.split("/")]
    size = parts[0][1]
    for _, per in parts[1:]:
        size /= per
    return tuple(kind for kind, _ in parts), size
