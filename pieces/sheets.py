"""The sheets to print, as a page shows them: a picture of each, what it is for, and where to open it."""

from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup

from pieces.markup import html, join

PAPER = (640, 829)  # a picture of an upright sheet, in pixels
LYING = (640, 495)


def sheets(told: Iterable[Mapping[str, Any]]) -> Markup:
    """A card for each sheet by its name, title and purpose; one that lies on its side has a picture that does."""
    return html('<ul class="sheets">{}</ul>', join(map(_card, told)))


def _card(sheet: Mapping[str, Any]) -> Markup:
    width, height = LYING if sheet["lies"] else PAPER
    return html('<li><a href="sheets/{name}.html" aria-hidden="true" tabindex="-1"><img src="sheets/{name}.png" alt="" width="{width}" '
                'height="{height}" loading="lazy"></a><h3>{title}</h3><p>{purpose}</p><p class="acts">'
                '<a class="btn solid" href="sheets/{name}.html">Open and print</a> '
                '<a class="btn" href="sheets/{name}.pdf">PDF, example truck</a></p></li>',
                name=sheet["name"], title=sheet["title"], purpose=sheet["purpose"], width=width, height=height)
