"""A value as HTML: on a line, large, and unrounded for scripts."""

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from pieces.markup import html

type Value = Mapping[str, Any]


def plain(value: Any) -> str:
    """A value as data-value holds it: as JSON writes it, without quotes; nothing where there is none."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return "" if value is None else str(value)


def large(value: Value) -> Markup:
    """A value standing large, its unit small; the reason where there is none."""
    if value["value"] is None or not isinstance(value["shown"], str):
        return html("{}", value["phrase"])
    gap, unit = _apart(value["shown"].removeprefix(value["number"]))
    return html("{}{}{}", value["number"], gap, html("<small>{}</small>", unit) if unit else "")


def _apart(unit: str) -> tuple[str, str]:
    """What stands between a number and its unit, and the unit."""
    short = unit.lstrip()
    return unit.removesuffix(short), short


def data(value: Value) -> Markup:
    """The attributes by which a script reads a value unrounded."""
    return html(' data-value="{}" data-unit="{}"', plain(value["value"]), value.get("unit", ""))


def look(value: Value) -> Markup:
    """A class for what is no number."""
    return html(' class="{}"', value["look"]) if value["look"] else Markup()
