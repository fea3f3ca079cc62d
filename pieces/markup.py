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


def ident(*names: str) -> str:
    """Names as an id: what is no letter, digit or underscore becomes a dash."""
    return re.sub(r"[^\w-]+", "-", "-".join(names))


