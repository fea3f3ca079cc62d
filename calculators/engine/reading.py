"""What a reader types becomes a number in the unit that is asked: 13 qts, 5'6", 1 h 30 min, $3.90/gallon, 87,412.

What could mean two things is the one between the bounds; where both are, it is refused with both written out.
"""

import re
from functools import lru_cache
from itertools import pairwise
from math import inf, isfinite
from typing import NamedTuple

from calculators.engine.numerals import Number, number, tidy, unsure
from calculators.engine.units import (
    PERIODS,
    UNITLESS,
    convert,
    digits,
    has_decimals,
    held,
    in_periods,
    is_temperature,
    kind,
    spelled,
    symbol,
    written,
)

_MONEY_FIRST = re.compile(r"([+-]? ?)(?:us ?\$|usd(?![a-z/])|\$) ?([+-]?.*)", re.I)
_EACH = re.compile(r" ?(?:/|\b(?:per|an?|each|every)\b) ?", re.I)
_NEXT_PART = re.compile(r"([^0-9]+?)(?: and)?[ ,-]*([0-9].*)", re.I)
_ANOTHER = re.compile(r"(?:-|to |or |\.\.) ?[0-9]")
_SMALLER = {"ft": "in", "h": "min"}  # what a bare number counts after one of these: 5'6, 1 h 30
_PLAIN = re.compile(r"-?([0-9]+(?:\.[0-9]+)?)(?: (\S+))?")
_DEGREES = ("°", "deg", "degree", "degrees")
_MINUTES_OR_METERS = {"h": "min", "min": "min", "in": "m"}  # an m, where it can't be a month or a mile


class Asked(NamedTuple):
    """What a field asks: its unit, its bounds, and the period that its name says, as week in trips_per_week."""

    unit: str
    low: float = -inf
    high: float = inf
    per: str = ""

    @property
    def number(self) -> str:
        """A number as an error asks for it."""
        return f" in {symbol(self.unit)}" if self.unit not in UNITLESS else ""


def read(text: str, asked: Asked) -> float:
    """The number that ``text`` means in the unit asked; ValueError says what to type instead."""
    return _read(text, asked)[0]


def unit_typed(text: str, asked: Asked) -> str:
    """The unit in which ``text`` was typed; the one asked where it can't be read."""
    try:
        return _read(text, asked)[1]
    except ValueError:
        return asked.unit


def is_bare(text: str) -> bool:
    """Whether it is a number without a unit."""
    try:
        money, found = _said(text)
    except ValueError:  # with a decimal comma
        return False
    return found is not None and not found.rest and not money


def settled(text: str, asked: Asked) -> str:
    """What is told as a file keeps it: 87,412 as 87412 mi, which means the same where another guide knows other bounds."""
    value, typed = _read(text, asked)
    plain = _PLAIN.fullmatch(text)
    if plain and (plain[2] or asked.unit) == typed and not unsure(plain[1]):
        return text
    number = digits(float(format(convert(value, asked.unit, typed), ".12g")), typed)
    return number if typed in UNITLESS else f"{number} {typed}"


@lru_cache(maxsize=250)  # an edit changes one of a form's many fields
def _read(text: str, asked: Asked) -> tuple[float, str]:
    money, found = _said(text)
    if found is None or not all(map(isfinite, found.readings)):
        raise ValueError(f"write a number{asked.number or ', as 12'}")
    if not money and (parts := _parts(found, asked.unit)):
        return sum(convert(value, unit, asked.unit) for value, unit in parts), parts[-1][1]
    if _ANOTHER.match(found.rest):
        raise ValueError(f"write one number{asked.number}, not two")
    typed = _of_period(_unit(money, found.rest, asked.unit), found.value, asked)
    return _meant(found, typed, asked), typed


def _said(text: str) -> tuple[str, Number | None]:
    """Whether money stands first, and the number that is there with its sign."""
    said = tidy(text)
    money = _MONEY_FIRST.fullmatch(said)
    said = money[1].strip() + money[2] if money else said
    found = number(said[1:].lstrip() if said[:1] in ("+", "-") else said)
    return "USD" if money else "", found.times(-1 if said[0] == "-" else 1) if found else None


def _meant(found: Number, typed: str, asked: Asked) -> float:
    """Of two readings the one between the bounds; where both are, a comma stands between thousands, and nothing else is sure."""
    if found.mark == ":" and typed not in ("h", "min"):
        raise ValueError(f"write a number{asked.number or ', as 12'}")
    first = convert(found.value, typed, asked.unit)
    if not found.mark or (found.mark == "." and has_decimals(typed)) or (found.mark == ":" and (found.rest or typed == "h")):
        return first
    second = convert(found.other, typed, asked.unit)
    fits, other_fits = (held(value, asked.low, asked.high) is not None for value in (first, second))
    if fits and other_fits and found.mark != ",":
        both = sorted(found.readings, key=abs, reverse=True)
        raise ValueError(f"write {' or '.join(written(one, typed) for one in both)}, whichever you mean")
    return second if other_fits and not fits else first


def _parts(found: Number, declared: str) -> list[tuple[float, str]]:
    """The parts of what is told in two units: 5'6", 1 h 30 min; none where it is told in one."""
    parts: list[tuple[float, str]] = []
    sign = -1 if found.value < 0 else 1
    last: Number | None = found
    while last and (more := _NEXT_PART.fullmatch(last.rest)) and kind(unit := _named(more[1], declared)):
        parts.append((last.value, unit))
        last = number(more[2])
        last = last.times(sign) if last else None
    if not parts or last is None or found.mark or last.mark:
        return []
    parts.append((last.value, _named(last.rest, declared) if last.rest else _SMALLER.get(parts[-1][1], "")))
    return parts if all(_is_part(*part, of) for (_, of), part in pairwise(parts)) else []


def _is_part(value: float, unit: str, of: str) -> bool:
    return kind(unit) == kind(of) and abs(convert(value, unit, of)) < 1


def _of_period(typed: str, value: float, asked: Asked) -> str:
    """The unit without the period that is asked; ValueError offers the sum where another one was typed."""
    unit, slash, period = typed.rpartition("/")
    if not (asked.per and slash and period in PERIODS):
        return typed
    unit = unit or asked.unit
    if period == asked.per:
        return unit
    came_to = written(in_periods(convert(value, unit, asked.unit), period, asked.per), asked.unit)
    told, per, shorter = PERIODS[period], PERIODS[asked.per], PERIODS[min((period, asked.per), key=list(PERIODS).index)]
    raise ValueError(f"write it for a {per}: {written(value, unit)} a {told} comes to {came_to} a {per}, if no {shorter} is left out")


def _unit(money: str, name: str, declared: str) -> str:
    """The unit that is typed, however it is spelled; the declared one where none is."""
    if (not name and not money) or (name.casefold() in _DEGREES and is_temperature(declared)):
        return declared
    typed = _named(name, declared) or "/".join(_named(part, declared) or (part and "?") for part in _EACH.split(name))
    if money:
        typed = money + typed if typed[:1] in ("", "/") else f"{money} {typed}"
    if typed == "%" and declared.startswith("%"):
        return declared
    if declared.startswith("USD/") and kind(typed) == "money":
        return typed + declared.removeprefix("USD")
    return f"delta_{typed}" if declared.startswith("delta_") and typed in ("degF", "degC") else typed  # "5 degC warmer" is a difference


def _named(name: str, declared: str) -> str:
    return _MINUTES_OR_METERS.get(declared, "") if name.strip().casefold() == "m" else spelled(name)
