"""A calculator's form: one field an input, made from the declarations."""

import re
from typing import Any, NamedTuple

from calculators.engine.figures import FIGURES, Figure, Missing, figure, keys
from calculators.engine.rules import calculator, rules
from calculators.engine.show import unit_label, words
from calculators.engine.units import METRIC, UNITLESS, digits

_FIRST = ("Your week", "Readings", "Fuel and fluids", "Last done", "The maker’s intervals")  # of a truck's groups; then the file's order
_LARGE = re.compile(r"^-?[1-9]\d{3,}(?=\.|$)")  # four digits and more


class Field(NamedTuple):
    """One input: what is asked, in which unit, within which bounds, and the example's value as text to type."""

    name: str
    question: str
    group: str
    unit: str
    kind: str  # number, date, yes/no or choice
    value: str  # "" where the example has none, or it follows from other facts
    low: Any
    high: Any
    choices: tuple[str, ...]
    optional: bool
    derived: bool
    whole: bool
    row: str  # the row of a list it belongs to, as engine_oil; else ""
    row_label: str
    choice_labels: tuple[str, ...]
    units: tuple[tuple[str, str], ...]  # what may stand behind the number, and how it reads
    source: Figure


def form(name: str) -> list[Field]:
    """What a calculator asks, in order of first use; only what it names in ``ASKS``, and in that order, where it names any."""
    module = calculator(name)
    wanted = getattr(module, "ASKS", None)
    asked: dict[str, Field] = {}
    for need in rules(module).needs:
        if (entry := figure(need)) and entry.question and (wanted is None or need in wanted):
            for field in fields(need, entry):
                asked.setdefault(field.name, field)  # a row's field, asked first, knows its row
    return [asked[name] for name in wanted or asked]


def truck_form() -> list[Field]:
    """Every fact of a truck, group by group, the commonest first."""
    found = [field for name, entry in FIGURES.items() if entry.question and not entry.passing for field in fields(name, entry)]
    return sorted(found, key=lambda field: _FIRST.index(field.group) if field.group in _FIRST else len(_FIRST))


def fields(need: str, entry: Figure) -> list[Field]:
    """The fields of one need: one, or one for each row."""
    return [Field(key, entry.question, entry.group, "" if entry.unit in UNITLESS else entry.unit, _kind(entry),
                  typed(entry.default(row), entry.unit), entry.low, entry.high, entry.choices, entry.optional,
                  entry.value is None and not entry.optional, entry.whole, row, str(words(row)),
                  tuple(str(words(choice)) for choice in entry.choices), unit_choices(entry.unit), entry)
            for row, key in keys(need).items()]


def typed(value: Any, unit: str = "") -> str:
    """A value as a reader would type it in ``unit``, the declared one; a price a gallon with its cents."""
    if value is None or isinstance(value, Missing | dict):
        return ""
    if isinstance(value, bool):
        return str(words(value))
    if unit.startswith("USD/") and value == round(value, 2):
        return f"{value:.2f}"
    return digits(value, unit) if isinstance(value, float | int) else str(value)


def in_field(text: str) -> str:
    """A number as its field shows it, its digits in threes: 88900 as 88,900."""
    return _LARGE.sub(lambda whole: f"{int(whole[0]):,}", text)


def unit_choices(unit: str) -> tuple[tuple[str, str], ...]:
    """The declared unit and, where there is one, its metric neighbor."""
    both = [u for u in (unit, METRIC.get(unit, "")) if u not in UNITLESS]
    return tuple((u, unit_label(u)) for u in both)


def _kind(entry: Figure) -> str:
    return "choice" if entry.choices else entry.unit if entry.unit in ("date", "yes/no") else "number"
