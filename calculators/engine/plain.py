"""Values and their sources as JSON holds them."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from calculators.engine.figures import Figure, Missing
from calculators.engine.units import UNITLESS


def plain(value: Any, unit: str) -> dict[str, Any]:
    """A value as JSON holds it: null with a why where it can't exist, no unit where it has none."""
    missing = isinstance(value, Missing)
    told: dict[str, Any] = {"value": None if missing else value.isoformat() if isinstance(value, date) else value}
    if unit not in UNITLESS:
        told["unit"] = unit
    if missing:
        told["why"] = value.why
    return told


def source_of(entry: Figure, value: str) -> dict[str, Any]:
    """Where a figure comes from, as an answer lists it."""
    return {"value": value, "title": entry.title, "clause": entry.clause, "year": entry.year, "kind": entry.kind}


def cited(source: Mapping[str, Any]) -> str:
    """A source in one line: title, clause, year."""
    return ", ".join(str(source[part]) for part in ("title", "clause", "year") if source[part])
