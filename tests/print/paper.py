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
PAGES = {"monthly-walk-round": 2, "service-log": 2, "trucks-record": 5}  # all others are one page
LONG = "trucks-record"  # takes as many pages as its book
NEWEST = 30  # entries of a record under another name: a page more is of the same rows
UNNUMBERED = ("pre-trip-card", "daily-report", "fuel-and-drain-slips")  # of one truck by its name alone
VERSIONS = tuple((sheet, language) for sheet in SHEETS for language in paper.languages(sheet))
WHO = {"unit": "Unit 4711b", "vin": "1M8GDM9AXKP042788", "plate": "EX 4217-AB", "driver": "Maximiliana Fernandez-Montgomery",
       "location": "North yard, bay 4, by the gate", "model_year": "2021", "tire_size": "LT275/70R18 E"}
TRUCKS = calculators.example_trucks()
JOBS = [row["job"]["value"] for row in calculators.answer("service_due", None, None, TODAY, working=False)["results"]["jobs"]]
# A truck that fills every line: all that it can be known by, every job overdue, and over all its ratings.
LATE = {
    "format": "diesel-handover-truck", "version": 2, "id": "late", "name": "Old Heron of the north yard, the one with the long bed",
    "identity": WHO | {"make": "Mill Road’s own", "owner": "Rivers and Sons Roads Inc."}, "interval": {},
    "facts": {"fuel_price": "3.95 USD/gal", "distance_per_week": "410 mi", "idle_hours_per_week": "9 h", "plows": "yes", "tows": "yes",
              "front_axle_weight": "4400 lb", "rear_axle_weight": "3100 lb", "wheelbase": "159 in", "plow_weight": "1400 lb",
              "plow_ahead": "46 in", "cargo_weight": "4500 lb", "cargo_ahead": "10 in", "occupants_weight": "400 lb",
              "occupants_ahead": "70 in", "tongue_weight": "900 lb", "tongue_behind": "50 in", "ballast_weight": "0 lb",
              "ballast_behind": "20 in", "front_axle_rating": "5600 lb", "rear_axle_rating": "7000 lb", "gross_rating": "11500 lb",
              "front_tire_rating": "3195 lb", "rear_tire_rating": "3195 lb", "rear_tires": "2", "hitch": "ball",
              "trailer_weight": "9000 lb", "hitch_rating": "10000 lb", "tongue_rating": "1000 lb", "tow_rating": "12000 lb",
              "combined_rating": "23000 lb", "trailer_rating": "10000 lb"},
    "book": [{"id": job, "date": "2023-11-20", "kind": "job", "job": job, "odometer": "58000 mi", "engine_hours": "2000 h"} for job in JOBS]
    + [{"id": "read", "date": "2026-05-14", "kind": "reading", "odometer": "98765 mi", "engine_hours": "3890 h"}],
}


@cache
def page(sheet, truck, name=None, language="en"):
    """A sheet's HTML for an example truck; by another name if one is given, and then with all that it can be known by.

    A fleet's sheet shows them all.
    """
    if sheet in FLEET:
        return paper.render(sheet, None, language, TODAY)
    facts = calculators.example_truck(truck)
    if name:
        facts |= {"name": name, "identity": WHO}
        facts["book"] = sorted(facts["book"], key=lambda entry: entry["days_ago"])[:NEWEST if sheet == LONG else None]
    return paper.render(sheet, facts, language, TODAY)


def pages_of(sheet, name=None):
    """How many pages a sheet takes."""
    return 3 if sheet == LONG and name else PAGES.get(sheet, 1)


@cache
def printed(sheet, truck="juniper", name=None, size="letter", language="en"):
    """The same as PDF."""
    return pdf.write([pdf.lay_out(page(sheet, truck, name, language), size)])


class Letter(NamedTuple):
    """One letter on a page: where it stands (points, from the lower left) and how tall its face is set."""

    text: str
    left: float
    bottom: float
    right: float
    top: float
    size: float


@cache
def letters(data, number=0):
    """Every visible letter of a PDF's page, the first unless another is meant."""
    text = pypdfium2.PdfDocument(data)[number].get_textpage()
    found = []
    for at in range(text.count_chars()):
        sign = chr(raw.FPDFText_GetUnicode(text, at))
        if sign.strip():
            turn = raw.FS_MATRIX()
            raw.FPDFText_GetMatrix(text, at, turn)
            size = raw.FPDFText_GetFontSize(text, at) * (turn.c**2 + turn.d**2) ** 0.5
            found.append(Letter(sign, *text.get_charbox(at), size))
    return tuple(found)


@cache
def said(data):
    """A PDF's text without any spaces: lines break where they like."""
    pages = pypdfium2.PdfDocument(data)
    return "".join("".join(each.get_textpage().get_text_range().split()) for each in pages).replace("\ufffe", "-")


# What is said of a job goes by its state; the rest stands in the page for the script to show.
KEPT_BACK = {"overdue": "ahead|unknown", "unknown": "known|ahead|late"}
WEIGHS_NOTHING = re.compile(r'(data-value="0"></span><span class="number"[^>]*>)[^<]*')
NEXT = re.compile(r'<span class="state"[^>]* data-value="(\w*)"></span>.*?</(?:th|td|dd)>', re.S)


def visible(source):
    """A sheet's HTML without what its style keeps back."""
    return WEIGHS_NOTHING.sub(r"\1", _with_zeros(source))


def _with_zeros(source):
    source = IF_PLOW["no-plow" if NO_PLOW.search(source) is None else "plow"].sub("", HAS_IT.sub("", source))
    source = (WHICH if 'data-rests="partly"' in source else PARTLY_KEY).sub("", source)
    source = re.sub(r"<(\w+)[^>]* data-yours-only hidden>.*?</\1>", "", source, flags=re.S)
    return NEXT.sub(lambda told: _without(KEPT_BACK.get(told[1], "late|unknown"), told[0]), source)


def _without(which, told):
    return re.sub(rf'<span class="if-(?:{which})">(?:[^<]|<span[^>]*>[^<]*</span>)*</span>', "", told)


HAS_IT = re.compile(r'<span class="if-only">, <span class="number none"[^>]*>[^<]*</span></span>')
NO_PLOW = re.compile(r'<span class="state"[^>]* data-value="0"></span>\s*<div class="halves">')
IF_PLOW = {which: re.compile(rf'<(label|span|svg) class="(?:\w+ )?if-{which}".*?</\1>', re.S) for which in ("plow", "no-plow")}
WHICH = re.compile(r'<span class="which">[^<]*</span>')
PARTLY_KEY = re.compile(r'<span class="partly-key">[^<]*</span>')
LIVE = re.compile(r'<span class="number[^"]*" data-live="([^"]+)"( data-short)?( data-rests="partly")?>([^<]*)</span>')


class Shown(NamedTuple):
    """A number on a sheet: by which key, its words, and whether a dash says that there is none."""

    key: str
    words: str
    short: bool
    marked: bool  # as partly the example's

    def meant(self, phrase, value):
        """What stands there for a value and its phrase."""
        return "—" if self.short and value is None and phrase else phrase


def numbers(source):
    """Every number that a sheet shows and its page fills in again."""
    return [Shown(key, html.unescape(words), bool(short), bool(marked)) for key, short, marked, words in LIVE.findall(_with_zeros(source))]


def words_of(source):
    """What a sheet's HTML says on paper, block by block."""
    body = re.search(r"<main.*</main>", visible(source), re.S)[0]
    body = re.sub(r"<title>.*?</title>", "", body, flags=re.S)
    body = re.sub(r'<dl class="cells id">(?:(?!</dl>|truck-name"[^>]*>[^<]).)*</dl>', "", body, flags=re.S)  # nothing told: it is not shown
    parts = "main article figure figcaption i p li ul div section header footer h1 h2 b dl dt dd label td th tr table svg text br span"
    blocks = re.split(rf"</?(?:{parts.replace(' ', '|')})\b[^>]*>", body)
    return [text for block in blocks if (text := " ".join(html.unescape(re.sub(r"<[^>]+>", "", block)).split()))]
