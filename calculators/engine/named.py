"""Functions a rule may call by name; ``working.PRINTED`` says how each reads on the sheet."""

from calendar import monthrange
from datetime import date, timedelta
from math import expm1, isfinite, log1p
from typing import TypeIs

from calculators.engine.figures import Missing
from calculators.engine.units import (
    BtuPerGallon,
    Days,
    Fahrenheit,
    Gallons,
    Kelvins,
    KilogramsPerCubicMeter,
    KilojoulesPerGallon,
    Milliliters,
    MillilitersPerGallon,
    Months,
    Percent,
    Rankines,
    convert,
)

_TOO_FAR = Missing("further off than a calendar goes")


def missing(value: object) -> TypeIs[Missing]:
    """Whether a value can't exist or was not told."""
    return isinstance(value, Missing)


def kelvin(temperature: Fahrenheit) -> Kelvins:
    """Absolute temperature in K of a temperature in degF."""
    return convert(temperature, "degF", "K")


def power(base: float, exponent: float) -> float:
    """``base`` to the power ``exponent``."""
    return float(base**exponent)


def present_worth(rate: Percent, times: float) -> float:
    """What 1 paid at the end of each of ``times`` periods is worth now, at ``rate`` % a period; exact for tiny rates too."""
    return -expm1(-times * log1p(rate / 100)) / (rate / 100)


def worth_today(rate: Percent, times: float) -> float:
    """What 1 paid once, ``times`` periods from now, is worth at ``rate`` % a period."""
    return power(1 + rate / 100, -times)


def rankine(temperature: Fahrenheit) -> Rankines:
    """Absolute temperature in degR of a temperature in degF."""
    return convert(temperature, "degF", "degR")


def fahrenheit(temperature: Rankines) -> Fahrenheit:
    """Temperature in degF of an absolute one in degR."""
    return convert(temperature, "degR", "degF")


def milliliters(volume: Gallons) -> Milliliters:
    """A volume in gal as mL."""
    return convert(volume, "gal", "mL")


def water_per_gallon(density: KilogramsPerCubicMeter) -> MillilitersPerGallon:
    """Water in kg/m3 of air as mL in a gallon of it; a gram of water is a milliliter."""
    return convert(density, "kg/m3", "g/gal")


def kilojoules(energy: BtuPerGallon) -> KilojoulesPerGallon:
    """Energy in kJ/gal of an energy in Btu/gal."""
    return convert(energy, "Btu/gal", "kJ/gal")


def days_between(start: date, end: date) -> Days:
    """Days from one day to another; negative if it has passed."""
    return (end - start).days


def after_days(start: date, days: Days) -> date | Missing:
    """The day that many days later, part days dropped."""
    try:
        return start + timedelta(days=int(days // 1)) if isfinite(days) else _TOO_FAR
    except OverflowError:
        return _TOO_FAR


def runs_out(start: date, days: Days) -> date | Missing:
    """The day that many days from ``start``; what ran out before any calendar had run out at the start."""
    day = after_days(start, days)
    return start if missing(day) and days < 0 else day


def not_before(day: date | Missing, first: date) -> date | Missing:
    """The day, or the first that it can be."""
    return day if missing(day) else max(day, first)


def after_months(start: date, months: Months) -> date | Missing:
    """The same day that many calendar months later, cut to the month's last; part months as days of 30.44."""
    years, month = divmod(start.month - 1 + int(months), 12)
    if start.year + years > date.max.year:
        return _TOO_FAR
    last = monthrange(start.year + years, month + 1)[1]
    return after_days(date(start.year + years, month + 1, min(start.day, last)), convert(months % 1, "month", "day"))


def earliest(**dates: date | Missing) -> date | Missing:
    """The earliest of those that exist."""
    return min((d for d in dates.values() if not missing(d)), default=Missing("nothing is known to bring it due"))


def first_due(**dates: date | Missing) -> str | Missing:
    """Which of those comes first; of equals, the first named."""
    found = {name: d for name, d in dates.items() if not missing(d)}
    return min(found, key=found.__getitem__) if found else Missing("nothing is known to bring it due")
