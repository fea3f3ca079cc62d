"""A value as HTML: on a line, large, and unrounded for scripts."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from markupsafe import Markup

from calculators import show
from pieces.markup import html

type Value = Mapping[str, Any]


def plain(value: Any) -> str:
    """A value as data-value holds it: as JSON writes it, without quotes; nothing where there is none."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return "" if value is None else str(value)


def shown(value: Value) -> Markup:
    """A value on a line: 35 min, $3.90/gal; a dash where there is none."""
    return html("{}{}{}", value["number"], show.gap(value["unit_short"]), value["unit_short"])


def large(value: Value) -> Markup:
    """A value standing large, its unit small; the reason where there is none."""
    if value["value"] is None:
        return html("{}", value["phrase"])
    small = html("{}<small>{}</small>", show.gap(value["unit_short"]), value["unit_short"]) if value["unit_short"] else Markup()
    return html("{}{}", value["number"], small)


def data(value: Value) -> Markup:
    """The attributes by which a script reads a value unrounded."""
    return html(' data-value="{}" data-unit="{}"', plain(value["value"]), value.get("unit", ""))


def look(value: Value) -> Markup:
    """A class for what is no number: a day, words, or why there is nothing."""
    told = value["value"]
    kind = "why" if told is None else "when" if day_of(told) else "words" if isinstance(told, str | bool) else ""
    return html(' class="{}"', kind) if kind else Markup()


def day_of(value: Any) -> date | None:
    """The day that a value tells, if it is one."""
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        return None


def sentence_case(words: str) -> str:
    """Words of a name, the first with a capital."""
    words = words.replace("_", " ")
    return words[:1].upper() + words[1:]
