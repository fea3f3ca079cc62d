"""The guide's own words: each chapter's bones, no number typed by hand, plain language, and what a light asks for."""

import re
import subprocess
import sys
from calendar import month_name

import pytest
import textstat

from tools.ready import ROOT

DOCS = ROOT / "docs"
CHAPTERS = ("fuel", "exhaust", "def", "idling", "oil-and-service", "money")
PAGES = (*CHAPTERS, "index", "light", "reference")
HIGHEST_GRADE = 8.0

UNITS = (
    "mi mile miles km foot feet ft inch inches gal gallon gallons quart quarts qt cup cups pint mL liter liters mph mpg rpm "
    "second seconds minute minutes min hour hours h day days week weeks month months yr lb pound pounds g grams kg psi bar volt volts amp "
    "amps watt watts W kWh percent degrees dollars dollar cents g/mi ppm"
).split()
SPELLED = "two three four five six seven eight nine ten fifteen twenty thirty forty fifty hundred thousand half dozen".split()

# Digits that are names, not numbers of the trade: laws, standards, publications, dates and a phone number.
NAMED = [
    r"(?:40 CFR |; )261\.4\(b\)\(13\)", r"\b\d+ (?:CFR|USC) \d+(?:\.\d+-\d+)?", r"section \d+(?:\.\d+|\(a\)\(\d\))",
    r"ISO 22241", r"ANSI Z535\.4", r"Fact #\d+", r"letter IACD-2026-05", r"0851 1816-SDTDC", r"Trauma 20, 2006, page 503",
    rf"\b(?:{'|'.join(month_name[1:])}) \d{{1,2}}, \d{{4}}", r"\b(?:19|20)\d\d\b", r"\b911\b",
]


def source(page: str) -> str:
    """A page's Markdown without its front matter."""
    return (DOCS / f"{page}.md").read_text("utf-8").split("---\n", 2)[2]


def without_macros(text: str, in_place: str = "") -> str:
    """The author's own words: macros, comments, tags and link addresses gone."""
    text = re.sub(r"\{#.*?#\}|\{%.*?%\}", "", text, flags=re.DOTALL)
    text = re.sub(r"\{\{(?:[^{}]|\{[^{}]*\})*\}\}", in_place, text)
    text = re.sub(r"<[^>]*>", " ", text)
    return re.sub(r"\]\([^)]*\)", "]", text)


def said(page: str) -> str:
    """What a page says, the words handed to the light page's own macro too."""
    text = source(page)
    handed = [word for call in re.findall(r"\{\{ tri\((.*)\) \}\}", text) for word in re.findall(r'"([^"]*)"', call)]
    return without_macros(text) + "\n" + "\n".join(re.sub(r"<[^>]*>", "", word) for word in handed)


def typed_numbers(text: str) -> list[str]:
    """Numbers an author typed: any digit that is not a name or a list's own, and spelled-out numbers with a unit."""
    text = re.sub(r"^\s*\d+\. ", "", text, flags=re.MULTILINE)
    for named in NAMED:
        text = re.sub(named, "", text)
    spelled = rf"\b(?:{'|'.join(SPELLED)})(?: an?)?[ -](?:{'|'.join(UNITS)})\b"
    return re.findall(r"[^\n]{0,30}\d[^\n]{0,20}", text) + re.findall(spelled, text, re.IGNORECASE)


def sentences(page: str) -> list[str]:
    """Running prose and list items, each ended like a sentence; headings, tables and labels left out."""
    text = without_macros(source(page), "a number")
    blocks = re.split(r"\n\s*\n|\n(?=\s*(?:- |\d+\. ))", text)
    kept = []
    for block in blocks:
        words = re.sub(r"^(?:- |\d+\. )", "", " ".join(block.split())).replace("**", "")
        if words and not words.startswith(("#", "|")) and len(words.split()) > 2:
            kept.append(words if words[-1] in ".?!" else f"{words}.")
    return kept


@pytest.mark.parametrize("chapter", CHAPTERS)
def test_a_chapter_has_its_bones_in_order(chapter: str) -> None:
    text = source(chapter).strip()
    marks = [r"\A# [^\n]+\n+\{% call do_this\(", r"^## Why ", r"^## How ", r"\{\{ calculator\(", r"^## Common mistakes$",
             r"\{\{ sources\(\) \}\}\Z"]
    found = [(mark, re.search(mark, text, re.MULTILINE)) for mark in marks]
    missing = [mark for mark, at in found if not at]
    assert missing in ([], [r"\{\{ calculator\("]), missing
    places = [at.start() for _, at in found if at]
    assert places == sorted(places)


@pytest.mark.parametrize("chapter", CHAPTERS)
def test_do_this_has_up_to_three_steps_that_start_with_what_to_do(chapter: str) -> None:
    box = re.search(r"\{% call do_this\(.*?\) %\}\n(.*?)\n\{% endcall %\}", source(chapter), re.DOTALL)
    assert box
    steps = box[1].splitlines()
    assert 1 <= len(steps) <= 3
    assert all(re.match(rf"{number}\. [A-Z]", step) for number, step in enumerate(steps, 1))


@pytest.mark.parametrize("page", PAGES)
def test_every_page_ends_with_its_sources(page: str) -> None:
    assert source(page).strip().endswith("{{ sources() }}")


@pytest.mark.parametrize("page", PAGES)
def test_no_number_of_the_trade_is_typed_by_hand(page: str) -> None:
    assert typed_numbers(said(page)) == []


@pytest.mark.parametrize("slip", ["Drive 40 minutes.", "It costs $900.", "Wait ten minutes.", "12 °F", "half a gallon", "5%", "Take 20."])
def test_a_typed_number_would_be_found(slip: str) -> None:
    assert typed_numbers(without_macros(slip))


@pytest.mark.parametrize("name", ["40 CFR 279", "1. Park level.", "Call 911.", "true in 2024", "{{ live('fuel_price') }} a gallon"])
def test_a_name_is_not_taken_for_a_typed_number(name: str) -> None:
    assert not typed_numbers(without_macros(name))


@pytest.mark.parametrize("page", PAGES)
def test_a_page_reads_at_eighth_grade_or_below(page: str) -> None:
    lines = sentences(page)
    if page == "light":
        lines = [f"{line.rstrip('.')}." for line in said(page).splitlines() if len(line.split()) > 2]
    text = " ".join(lines)
    assert textstat.flesch_kincaid_grade(text) <= HIGHEST_GRADE


@pytest.mark.parametrize("chapter", CHAPTERS)
def test_a_chapter_is_long_enough_to_help_and_short_enough_to_read(chapter: str) -> None:
    assert 500 <= len(" ".join(sentences(chapter)).split()) <= 1300


def test_words_for_injuries_stand_where_the_hurt_is() -> None:
    bites = {
        "fuel": ("High-pressure fuel goes through skin", "catch fire", "jack"),
        "exhaust": ("closed space kills", "set the ground on fire", "burn skin"),
        "def": ("eyes",),
        "idling": ("closed space kills", "Starting fluid"),
        "oil-and-service": ("jack", "Hot oil", "sprays"),
    }
    for chapter, hazards in bites.items():
        cautions = " ".join(re.findall(r'\{% call caution\("\w+", "(.*?)"\) %\}', source(chapter)))
        assert all(hazard in cautions for hazard in hazards), chapter


def entries() -> dict[str, tuple[str, str]]:
    """The light page's entries: id -> (level, all their words)."""
    found = re.findall(r'\{\{ tri\("(\w+)", "([\w-]+)", (.*)\) \}\}', source("light"))
    assert len({ident for _, ident, _ in found}) == len(found)
    return {ident: (level, words) for level, ident, words in found}


def test_a_light_is_on_covers_the_lights_and_groups_them_by_urgency() -> None:
    levels = [level for level, _ in entries().values()]
    assert len(levels) >= 35
    assert levels == sorted(levels, key=["stop", "soon", "on"].index)


@pytest.mark.parametrize(("entry", "level", "says"), [
    ("oil-pressure", "stop", "towed"),
    ("too-hot", "stop", "Don’t open a cap"),
    ("water", "stop", "Drain the separator"),
    ("wrong-fluid", "stop", "Don’t turn the key"),
    ("engine-flashing", "stop", "Engine off"),
    ("burning", "stop", "911"),
    ("exhaust-in-cab", "stop", "911"),
    ("races", "stop", "No hands near the intake"),
    ("gelled", "stop", "No alcohol"),
    ("filter-almost-full", "soon", "drive_to_finish_a_burn"),
    ("filter-full", "soon", "Unhitch"),
    ("power-cut", "soon", "straight to a shop"),
    ("oil-too-high", "soon", "Don’t tow"),
    ("charging", "soon", "Stop now"),
    ("def-low", "on", "small, marked DEF"),
    ("burn-running", "on", "Keep driving"),
])
def test_a_light_asks_for_the_right_thing(entry: str, level: str, says: str) -> None:
    found_level, words = entries()[entry]
    assert found_level == level
    assert says in words


def test_no_name_of_a_maker_or_a_program_stands_anywhere() -> None:
    check = ROOT.parent / "shared" / "tools" / "names_check.py"
    if not check.exists():
        pytest.skip("the list of names lives beside the project's own repository")
    found = subprocess.run([sys.executable, str(check)], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (found.returncode, found.stdout) == (0, "")
