"""Draws what a reader could type, from the declarations alone."""

from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

import calculators
from calculators import Field
from calculators.engine.figures import FIGURES
from calculators.engine.form import typed

TODAY = date(2026, 11, 25)


def number(low: float, high: float, *, inset: float = 0.0) -> st.SearchStrategy[float]:
    """A number from low to high, the ends favored; ``inset`` keeps off the ends by that share of the range."""
    low, high = low + inset * (high - low), high - inset * (high - low)
    rounded = st.floats(low, high).map(lambda v: round(v, 1)).filter(lambda v: low <= v <= high)
    return st.one_of(st.sampled_from([low, high]), st.floats(low, high), rounded)


def bounds(field: Field) -> tuple[float, float]:
    """A field's numeric bounds; one that is another fact's value stands by that fact's example."""
    def of(bound: Any, otherwise: float) -> float:
        if isinstance(bound, str):
            example = FIGURES[bound].value
            return float(example) if isinstance(example, int | float) else otherwise
        return otherwise if bound is None else float(bound)
    return of(field.low, 0), of(field.high, 1e6)


def value(field: Field) -> st.SearchStrategy[Any]:
    """What a field takes inside its bounds."""
    if field.kind == "date":
        return st.one_of(st.sampled_from([TODAY, date(2024, 2, 29), date(1999, 12, 31)]),
                         st.integers(0, 9000).map(lambda days: TODAY - timedelta(days=days)))
    if field.kind == "yes/no":
        return st.sampled_from(["yes", "no"])
    if field.kind == "choice":
        return st.sampled_from(field.choices)
    low, high = bounds(field)
    return st.integers(int(low), int(high)) if field.whole else number(low, high)


def depends(field: Field) -> bool:
    """Whether a field's bounds are other facts' values."""
    return isinstance(field.low, str) or isinstance(field.high, str)


@st.composite
def told(draw: st.DrawFn, name: str, most: int = 8) -> dict[str, str]:
    """Some of a calculator's inputs, each inside its own bounds."""
    fields = calculators.form(name)
    chosen = draw(st.lists(st.sampled_from(fields), max_size=most, unique_by=lambda field: field.name))
    return {field.name: typed(draw(value(field)), field.unit) for field in chosen}


def numbers(name: str) -> list[Field]:
    """A calculator's inputs that are numbers within numeric bounds."""
    return [field for field in calculators.form(name) if field.kind == "number" and not depends(field)]
