"""Sheets as PDF: tagged, with boxes to tick, the same bytes for the same sheet and day."""

import io
import re
from collections.abc import Mapping, Sequence
from copy import copy
from functools import cache
from pathlib import Path
from typing import Any

import weasyprint
from markupsafe import escape
from weasyprint.document import Document, Page
from weasyprint.text.fonts import FontConfiguration
from weasyprint.urls import URLFetcher, URLFetcherResponse

from print import fields, tags
from print.join import Blank
from print.order import PLAIN, Wishes

tags.install()

HERE = Path(__file__).parent
STYLES = (HERE.parent / "docs/assets/tokens.css", HERE / "print.css")
NAMES = HERE / "names.css"
POINTS = 0.75  # of one CSS pixel
# WeasyPrint wants them both where it lays out and where it writes.
_OPTIONS: dict[str, Any] = {"pdf_variant": "pdf/ua-1", "pdf_forms": True, "pdf_tags": True}

# A token stands for one value on paper; left as it is, WeasyPrint would look it up and read it anew for each element.
_TOKEN = re.compile(r"(--[\w-]+):\s*([^;]+);")
_ASKED = re.compile(r"var\((--[\w-]+)\)")

_IMAGES: dict[str, Any] = {}  # the stylesheet's signs, read once


def lay_out(html: str, paper: str = "letter") -> Document:
    """One sheet's HTML as laid-out pages."""
    fonts, styles = _styles(paper)
    page = _Page(string=fields.as_boxes(html), base_url="file:///sheets/", url_fetcher=_nothing())
    made: Document = page.render(stylesheets=styles, font_config=fonts, cache=_IMAGES, **_OPTIONS)
    return made


def write(sheets: Sequence[Document], title: str = "", wishes: Wishes = PLAIN) -> bytes:
    """Laid-out sheets as one PDF, under the first one's title unless another is given."""
    whole = sheets[0].copy([page for sheet in sheets for page in sheet.pages])
    if title:
        whole.metadata = copy(whole.metadata)
        whole.metadata.title, whole.metadata.description = title, None
    target = io.BytesIO()
    whole.write_pdf(target, finisher=wishes.on, **_OPTIONS)
    return fields.complete(target.getvalue())


PLATE = (164, 21.6)  # points: the room for a truck's name on a sheet that is the same for all
LINES = (24, 32, 76)  # letters that fit it, ever smaller, the last of them in two lines


def plate(name: str) -> bytes:
    """A truck's name as a small page that can be put where a sheet has room for it; nothing for an empty one."""
    if not name:
        return b""
    fonts, styles = _styles("letter")
    size = sum(len(name) > most for most in LINES[:-1])
    shown = name if len(name) <= LINES[-1] else f"{name[: LINES[-1] - 1]}…"
    small = weasyprint.CSS(string=f"@page {{ size: {PLATE[0]}pt {PLATE[1]}pt; margin: 0 }}", font_config=fonts)
    words = escape(shown)
    page = _Page(string=f'<body class="sheet"><p class="plate-{size}"><span class="truck-name">{words}</span></p>', url_fetcher=_nothing())
    made: bytes = page.render(stylesheets=[*styles, small], font_config=fonts, cache=_IMAGES).write_pdf()
    return made


def blank(page: Page) -> Blank:
    """Where a truck's name goes on a laid-out page, in points from its lower left; nothing where it has no such blank."""
    found = next((place for name, place in page.anchors.items() if name.startswith(tags.BLANK)), None)
    return found and (found[0] * POINTS, (page.height - found[1]) * POINTS - PLATE[1])


@cache
def _styles(paper: str) -> tuple[FontConfiguration, list[weasyprint.CSS]]:
    """The faces and the stylesheets, read once; the browser's print dialog sets the paper, here we do."""
    fonts = FontConfiguration()
    tokens, style = (style.read_text("utf-8") for style in STYLES)
    values = dict(reversed(_TOKEN.findall(tokens)))  # of two the first: paper is light
    rules = _ASKED.sub(lambda asked: values.get(asked[1], asked[0]), style)
    size = f"@page {{ size: {paper} }} @page card {{ size: {paper} landscape }}"
    sheets = [weasyprint.CSS(string=each, base_url=STYLES[0].as_uri(), font_config=fonts) for each in (tokens, rules, size)]
    return fonts, [*sheets, weasyprint.CSS(NAMES, font_config=fonts)]


@cache
def _nothing() -> URLFetcher:
    """One for all sheets: each would read the machine's certificates, and none ever asks a network."""
    return _Nothing()


class _Page(weasyprint.HTML):
    """A sheet has no footnotes and no list markers; WeasyPrint's own rules would make six styles for them for each element."""

    def _ua_stylesheets(self, forms: bool = False) -> list[weasyprint.CSS]:
        return [_trimmed(style) for style in super()._ua_stylesheets(forms)]


@cache
def _trimmed(style: weasyprint.CSS) -> weasyprint.CSS:
    """A stylesheet without rules for a part of any element whatever."""
    trimmed = copy(style)
    trimmed.matcher = copy(style.matcher)
    trimmed.matcher.other_selectors = [rule for rule in style.matcher.other_selectors if rule[3] is None]
    return trimmed


class _Nothing(URLFetcher):
    """A sheet's own links are for browsers; whatever a name smuggles in, nothing is read or fetched."""

    def __init__(self) -> None:
        super().__init__(allowed_protocols={"data"})

    def fetch(self, url: str, headers: Mapping[str, str] | None = None) -> URLFetcherResponse:
        nothing = URLFetcherResponse(url, b"", {"Content-Type": "text/css"})
        told: URLFetcherResponse = super().fetch(url, headers) if url.startswith("data:") else nothing
        return told
