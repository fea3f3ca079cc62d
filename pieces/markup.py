"""Markup and its escaping: the few helpers that every piece is written with."""

import re
from collections.abc import Iterable

from markupsafe import Markup


class Both(dict[str, str]):
    """A text in English and Spanish: as markup one beside the other."""

    def __html__(self) -> Markup:
        return html('<span lang="en">{en}</span> <span lang="es">{es}</span>', **self)

    def __str__(self) -> str:
        return " · ".join(self.values())


def html(template: str, *parts: object, **named: object) -> Markup:
    """``template`` with everything filled in escaped, unless it is markup already."""
    return Markup(template).format(*parts, **named)


def join(parts: Iterable[Markup]) -> Markup:
    """Markup end to end."""
    return Markup("").join(parts)


def icon(name: str) -> Markup:
    """One of the sprite's signs."""
    return html('<svg class="i" aria-hidden="true"><use href="#i-{}"/></svg>', name)


def measured(of: str, name: str, unit: str, spoken: str) -> Markup:
    """A field of a form for a number, its unit, spoken in full, and the place of its error; ``of`` sets its ids apart."""
    return html(
        '<span class="in"><input id="{0}-{1}" name="{1}" type="text" inputmode="decimal" aria-describedby="{0}-{1}-u {0}-{1}-e">'
        '<span class="u" aria-hidden="true">{2}</span><span class="heard" id="{0}-{1}-u">{3}</span></span>'
        '<span class="err" id="{0}-{1}-e"></span>', of, name, unit, spoken)


def ident(*names: str) -> str:
    """Names as an id: what is no letter, digit or underscore becomes a dash."""
    return re.sub(r"[^\w-]+", "-", "-".join(names))


