"""Functions a rule may call by name; ``working.PRINTED`` says how each reads on the sheet."""

from calendar import monthrange
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp, expm1, fsum, isfinite, log, log1p
from typing import Any, NamedTuple, TypeIs

from calculators.engine.figures import Missing
from calculators.engine.meters import Dated, passed
from calculators.engine.rules import Inner
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
    Pascals,
    Percent,
    Pounds,
    Rankines,
    convert,
)

_NO_DIGITS = 1e-300  # numbers below it lose their digits, and near 5e-324 a hundredth of them is nothing
_TOO_FAR = Missing("further off than a calendar goes")


class Limit(NamedTuple):
    """One limit of a truck, and what is left of it."""

    limit: str
    margin: Pounds | Missing
    share_left: Percent | Missing


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
    share = rate / 100
    return -expm1(-times * log1p(share)) / share if share > _NO_DIGITS else times


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


def column(rows: Sequence[Any], name: str) -> list[Any]:
    """The cells of one column, a row after another."""
    return [row[name] if isinstance(row, Mapping) else getattr(row, name) for row in rows]


def all_but_last(values: Sequence[Any]) -> Sequence[Any]:
    """A column without its last cell."""
    return values[:-1]


def column_where(rows: Sequence[Any], name: str, holds: str) -> list[Any]:
    """The same, of the rows whose cell ``holds`` says yes."""
    return [cell for cell, held in zip(column(rows, name), column(rows, holds), strict=True) if held]


def row_says(rows: Sequence[Mapping[str, Any]], key: str, name: str) -> bool:
    """Whether the row that begins with ``key`` says yes there."""
    return any(row[name] for row in rows if next(iter(row.values())) == key)


def total(values: Sequence[float]) -> float:
    """All of them together."""
    return fsum(values)


def how_many(values: Sequence[object], told: object) -> float:
    """How many of them are so."""
    return float(sum(value == told for value in values))


@dataclass(frozen=True)
class Lacks(Inner):
    """What is not there yet, in words: 3 more full tanks."""

    why: str


def lacks(count: float, started: bool, what: str, more: str = "", first: str = "") -> Lacks:
    """So many more of what makes a value, and one to start with where none is there yet: one more of them, unless ``first`` names it."""
    needed = count + (not started and not first)
    begin = f"{first} and " if first and not started else ""
    return Lacks(f"{begin}{needed:.0f} more {what}{'' if needed == 1 else 's'}{more}")


def lacking(what: Lacks) -> Missing:
    """That there is no value yet, and what would make one."""
    return Missing(what.why)


def least(values: Sequence[float]) -> float:
    """The least of a column."""
    return min(values)


def greatest(values: Sequence[float]) -> float:
    """The greatest of a column."""
    return max(values)


def first(values: Sequence[str]) -> str:
    """Where a column begins."""
    return values[0]


def next_up(names: Sequence[str], dates: Sequence[date | Missing], overdue: Sequence[bool | Missing]) -> str | Missing:
    """The name beside the earliest date, those overdue before all others; of equals, the first."""
    rows = [(not (not missing(late) and late), day, place, name)
            for place, (name, day, late) in enumerate(zip(names, dates, overdue, strict=True)) if not missing(day)]
    return min(rows)[-1] if rows else Missing("no job has a date")


def date_of(rows: Sequence[Mapping[str, Any]], key: str, name: str) -> date | Missing:
    """The date in the row that begins with ``key``."""
    found: date | Missing = next(row[name] for row in rows if next(iter(row.values())) == key)
    return found


def since(book: Dated, meter: str, done_on: date | Missing, done: float, read_on: date, shown: float, limit: float) -> date | Missing:
    """The day on which the straight line between readings passed a limit; with one reading alone, its day."""
    first = [] if missing(done_on) else [(done_on, done)]
    between = [(one.date, one.value) for one in book.readings(meter).kept if one.date < read_on and (not first or one.date > first[0][0])]
    found = [one for one in (passed(sorted([*first, *between, (read_on, shown)]), limit),) if one]
    return after_days(*found[0]) if found else read_on


def has_reading(book: Dated, meter: str) -> bool:
    """Whether the book holds a reading of that meter."""
    return bool(book.readings(meter).kept)


def earliest_of(dates: Sequence[date | Missing]) -> date | Missing:
    """The earliest of a column."""
    return earliest(**{str(row): day for row, day in enumerate(dates)})


def whose_is_earliest(names: Sequence[str], dates: Sequence[date | Missing]) -> str | Missing:
    """The name beside the earliest; of equals, the first."""
    return first_due(**dict(zip(names, dates, strict=True)))


def least_known(values: Sequence[float | Missing]) -> float | Missing:
    """The least of those in a column that are known."""
    return min((value for value in values if not missing(value)), default=values[0])


def least_of_all(values: Sequence[float | Missing]) -> float | Missing:
    """The least of a column, or why one of it is not known."""
    return next(filter(missing, values), least_known(values))


def limit_of(name: str, margin: Pounds | Missing, rating: Pounds | Missing) -> Limit:
    """A limit by its name, with what is left of it, and that as a share of its rating."""
    return Limit(name, margin, rating if missing(rating) else margin if missing(margin) else margin / rating * 100)


def beside_least[T](cells: Sequence[T | Missing], values: Sequence[float | Missing]) -> T | Missing:
    """The cell beside the least that is known; of equals, the first."""
    known = [(value, row) for row, value in enumerate(values) if not missing(value)]
    return cells[min(known)[1]] if known else next(filter(missing, values))


def total_known(**values: float | Missing) -> float:
    """Those of them that are known, together."""
    return total([value for value in values.values() if not missing(value)])


def between(at: float, points: Sequence[float], values: Sequence[float]) -> float | Missing:
    """Straight between the points and on along the last two, as far as the table’s last value."""
    if not points[0] <= at <= points[-1]:
        return Missing("outside what the published table covers")
    upper = next(i for i in range(1, len(points)) if at <= points[i])
    low, high = points[upper - 1], points[upper]
    return values[upper - 1] + (at - low) / (high - low) * (values[upper] - values[upper - 1])


def row_reaching(value: float, rows: Sequence[Sequence[float]]) -> float:
    """What the first row says whose end reaches ``value``."""
    return next(told for end, told in rows if value <= end)


def saturation_pressure(temperature: Fahrenheit, saturation: Mapping[str, Sequence[float]]) -> Pascals:
    """Pa over ice below freezing and over water above; ASHRAE’s equations."""
    t = kelvin(temperature)
    c = saturation["over_ice" if t < saturation["triple_point"][0] else "over_water"]
    return exp(c[0] / t + c[1] + c[2] * t + c[3] * t**2 + c[4] * t**3 + c[5] * t**4 + c[6] * log(t))


def saturated_at(pressure: Pascals, warmest: Fahrenheit, saturation: Mapping[str, Sequence[float]]) -> Fahrenheit:
    """By halving between the coldest the equations cover and the air itself: saturation pressure grows throughout."""
    low, high = saturation["coldest"][0], warmest
    while low < (middle := (low + high) / 2) < high:  # until no number lies between
        low, high = (middle, high) if saturation_pressure(middle, saturation) < pressure else (low, middle)
    return high
