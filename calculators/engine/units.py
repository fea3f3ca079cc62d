"""Units: the types that rules declare, their sizes and names, conversion, and a number with its unit as a reader may type it."""

import re
from collections.abc import Callable, Mapping
from math import ceil, floor, inf, isfinite, log10
from typing import Annotated, Any, get_args

from calculators.engine.numerals import unsure

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

DECLARED = {alias.__metadata__[0] for alias in list(globals().values()) if hasattr(alias, "__metadata__")}  # the units of all those types
UNITLESS = {"", "count", "date", "yes/no", "word"}  # what a value is, where it has no unit
METRIC = {
    "mi": "km", "mi/h": "km/h", "mi/gal": "L/100km", "in": "cm", "lb": "kg", "gal": "L", "qt": "L", "gal/h": "L/h",
    "degF": "degC", "delta_degF": "delta_degC", "USD/gal": "USD/L", "USD/qt": "USD/L", "USD/mi": "USD/km", "g/mi": "g/km",
}
PERIODS = {"day": "day", "week": "week", "month": "month", "yr": "year"}  # in which a thing may be counted, and how each reads
_SIZE: dict[str, tuple[str, float]] = {}
_POINTS: dict[str, tuple[float, float]] = {}
_SPELLED: dict[str, str] = {}
_NAMES: dict[str, str] = {}  # every unit by each way to write it, in small letters
_DEGREE = re.compile(r"^(?:deg(?:ree)?s?|°)\.? ?(?=[a-z])")
_A_HAIR = 1e-11  # of a bound, or of one unit: less is what floating point leaves of a conversion
_TOLD = 3  # digits of a bound in another unit, and of a sum


def load(table: Mapping[str, Any]) -> None:
    """Take the units' sizes, the temperature scales and the other spellings from the data file."""
    _SIZE.update({unit: (kind, size) for kind, sizes in table["size"].items() for unit, size in sizes.items()})
    _POINTS.update({unit: (step, zero) for unit, (step, zero) in table["temperature"].items()})
    _SPELLED.update({other: unit for unit, others in table["spelled"].items() for other in others})
    named = {name: unit for unit in (*_SIZE, *_POINTS) for name in (unit, symbol(unit))}
    _NAMES.update({name.casefold(): unit for name, unit in (named | _SPELLED).items()})


def unit_of(hint: Any) -> str:
    """The unit in an annotation: ``Gallons`` or ``Gallons | Missing``."""
    return next((m for h in (hint, *get_args(hint)) for m in getattr(h, "__metadata__", ())), "")


def sizes() -> tuple[str, ...]:
    """The units of the data file that others are made of."""
    return tuple(_SIZE)


def spelled(name: str) -> str:
    """The unit of a name, in capitals or not, of one or many: GAL, qts, lbs.; "" where there is none."""
    name = name.strip().casefold().rstrip(".")
    alone = name[:-1] if len(name) > 2 and name[-1] == "s" else name
    return next((_NAMES[one] for one in (name, name.replace(" ", ""), alone, _DEGREE.sub("", name)) if one in _NAMES), "")


def kind(unit: str) -> str:
    """What a unit of the table measures, as length; "" where it isn't one."""
    return _SIZE[unit][0] if unit in _SIZE else ""


def is_temperature(unit: str) -> bool:
    """Whether a unit counts degrees, or a difference of them."""
    return unit in _POINTS or unit.startswith("delta_")


def has_decimals(unit: str) -> bool:
    """Whether numbers in this unit are commonly written with three decimals, as a price a gallon and gallons at a pump are."""
    return "/" in unit or unit in ("gal", "qt", "L")


def in_periods(value: float, period: str, per: str) -> float:
    """What ``value`` a ``period`` comes to a ``per``, to three digits."""
    return float(format(value * _SIZE[per][1] / _SIZE[period][1], f".{_TOLD}g"))


def finite(number: float) -> float:
    """A number that no text stands for; ValueError where it has no end."""
    try:
        found = float(number)
    except OverflowError:
        found = inf
    if not isfinite(found):
        raise ValueError("write a smaller number")
    return found


def held(value: float, low: float | None, high: float | None) -> float | None:
    """A value between its bounds; the bound that it missed by a hair; None where it lies outside."""
    if low is not None and value < low:
        return low if low - value <= _A_HAIR * max(1, abs(low)) else None
    if high is not None and value > high:
        return high if value - high <= _A_HAIR * max(1, abs(high)) else None
    return value


def bounds_in(unit: str, declared: str, low: float | None, high: float | None) -> tuple[str, str]:
    """The bounds as a reader may type them in ``unit``, rounded inward; "" for one that is not there."""
    if unit == declared:
        return _maybe_written(low, unit), _maybe_written(high, unit)
    try:
        ends = [None if bound is None else convert(bound, declared, unit) for bound in (low, high)]
    except ValueError:  # no fuel at all is no distance per fuel
        return bounds_in(declared, declared, low, high)
    if _upside_down(unit, declared):
        ends.reverse()
    return _maybe_written(_rounded(ends[0], ceil), unit), _maybe_written(_rounded(ends[1], floor), unit)


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
        if (per := value * size * to_size) == 0:
            raise ValueError("write a larger number")
        return 1 / per
    raise ValueError(f"write it in {symbol(to)}" if to not in UNITLESS else "write a bare number")


def symbol(unit: str) -> str:
    """A unit as a reader writes it: °F, $/gal."""
    return unit.removeprefix("delta_").replace("deg", "°").replace("USD", "$")


def written(number: float, unit: str) -> str:
    """A number with its unit as a reader may type it: 15 mi, $0.5/gal."""
    said = digits(number, unit, 10)
    if unit.startswith("USD"):
        return f"{said[:number < 0]}${said[number < 0:]}{unit.removeprefix('USD')}"
    return said if unit in UNITLESS else f"{said} {symbol(unit)}"


def digits(number: float, unit: str = "", most: int = 12) -> str:
    """A number so that it reads as itself again: 41.205 miles as 41.2050, which nobody takes for 41,205."""
    said = format(number, f".{most}g")
    return f"{said}0" if unsure(said.removeprefix("-")) and not has_decimals(unit) else said


def _maybe_written(bound: float | None, unit: str) -> str:
    return "" if bound is None else written(bound, unit)


def _upside_down(unit: str, other: str) -> bool:
    """Whether more of one is less of the other, as liters in 100 km and miles on a gallon."""
    return "/" in unit and unit not in _POINTS and _measure(unit)[0] != _measure(other)[0]


def _rounded(bound: float | None, inward: Callable[[float], int]) -> float | None:
    if not bound or not isfinite(bound):
        return bound
    step = 10.0 ** (floor(log10(abs(bound))) + 1 - _TOLD)
    return inward(round(bound / step, 6)) * step


def _measure(unit: str) -> tuple[tuple[str, ...], float]:
    """The kinds and the size of a unit made of others: mi/gal is (length, volume)."""
    parts = [_SIZE[part] for part in unit.split("/")]
    size = parts[0][1]
    for _, per in parts[1:]:
        size /= per
    return tuple(kind for kind, _ in parts), size
