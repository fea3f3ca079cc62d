"""What the tests of paper share: sheets made once, and what a PDF says about itself."""

import html
import re
from functools import cache
from typing import NamedTuple

import pypdfium2
from pypdfium2 import raw

import calculators
import print as paper
from print import choice, pdf

TODAY = "2026-11-25"
SHEETS = paper.names()
STATIC = tuple(sheet for sheet in SHEETS if paper.is_static(sheet))
FLEET = choice.of_a_fleet()
OWN = tuple(sheet for sheet in SHEETS if sheet not in (*STATIC, *FLEET))
PAGES = {"handover-checklist": 2}  # a copy for each side; all others are one page
TRUCKS = calculators.example_trucks()


@cache
def page(sheet, truck, name=None):
    """A sheet's HTML for an example truck, by another name if one is given."""
    facts = calculators.example_truck(truck)
    return paper.render(sheet, facts | {"name": name} if name else facts, today=TODAY)


@cache
def printed(sheet, truck="juniper", name=None, size="letter"):
    """The same as PDF."""
    return pdf.write([pdf.lay_out(page(sheet, truck, name), size)])


class Letter(NamedTuple):
    """One letter on a page: where it stands (points, from the lower left) and how tall its face is set."""

    text: str
    left: float
    bottom: float
    right: float
    top: float
    size: float


def letters(data):
    """Every visible letter of a PDF's first page."""
    text = pypdfium2.PdfDocument(data)[0].get_textpage()
    found = []
    for at in range(text.count_chars()):
        sign = chr(raw.FPDFText_GetUnicode(text, at))
        if sign.strip():
            turn = raw.FS_MATRIX()
            raw.FPDFText_GetMatrix(text, at, turn)
            size = raw.FPDFText_GetFontSize(text, at) * (turn.c**2 + turn.d**2) ** 0.5
            found.append(Letter(sign, *text.get_charbox(at), size))
    return found


def said(data):
    """A PDF's text without any spaces: lines break where they like."""
    pages = pypdfium2.PdfDocument(data)
    return "".join("".join(each.get_textpage().get_text_range().split()) for each in pages).replace("\ufffe", "-")


def words_of(source):
    """What a sheet's HTML says on paper, block by block."""
    body = re.search(r"<main.*</main>", source, re.S)[0]
    body = re.sub(r"<title>.*?</title>", "", body, flags=re.S)
    parts = "main article figure figcaption i p li ul div section header footer h1 h2 b dl dt dd label td th tr table svg text br span"
    blocks = re.split(rf"</?(?:{parts.replace(' ', '|')})\b[^>]*>", body)
    return [text for block in blocks if (text := " ".join(html.unescape(re.sub(r"<[^>]+>", "", block)).split()))]
