"""English and Spanish stand side by side, level and whole, on the sheets that need both."""

import re

import pypdfium2
import pytest

import calculators
import print as paper
from pieces.wording import LANGUAGES
from print import pdf, wording
from print import said as said_in
from print import sheet as sheets
from print.order import PAPERS
from tests.print.paper import SHEETS, TODAY, said, words_of

BOTH = (*(sheet for sheet in SHEETS if sheet.startswith("emergency-")), "driver-sheet", "pre-trip-card", "daily-report",
        "filler-door-labels", "fuel-and-drain-slips")
ALIKE = ("Diesel Handover", "DEF", "DEF, gal", "VIN", "metal", "no")  # the same in both
# What a driver or a yard hand meets, beside those: the whole sheet in the language that is asked for.
ALONE = ("glovebox-card", "cold-morning-card", "monthly-walk-round", "service-log", "plow-on-off", "trailer-hook-up", "def-storage-label",
         "bad-fuel-claim", "yard-readings")


def phrases(part, place=""):
    """Every phrase of a words file with its place."""
    if isinstance(part, list):
        part = dict(enumerate(part))
    if isinstance(part, dict):
        if set(part) & set(LANGUAGES):
            yield place, part
        else:
            for name, each in part.items():
                yield from phrases(each, f"{place}.{name}")


def test_every_sheet_that_a_driver_or_a_yard_hand_meets_has_spanish():
    assert {sheet for sheet in SHEETS if "es" in paper.languages(sheet)} >= {*BOTH, *ALONE}


@pytest.mark.parametrize("sheet", [*BOTH, *ALONE, "_every"])
def test_every_phrase_has_both_languages(sheet):
    found = dict(phrases(wording.read(sheet)))
    assert len(found) > 10
    for place, phrase in found.items():
        assert set(phrase) == {"en", "es"} and phrase["en"] and phrase["es"], place
        assert phrase["en"] != phrase["es"] or phrase["en"] in ALIKE, f"{place} is not translated"
        assert phrase["en"].count("**") == phrase["es"].count("**"), f"{place}: bold in one language only"


@pytest.mark.parametrize("sheet", BOTH)
@pytest.mark.parametrize("first", LANGUAGES)
@pytest.mark.parametrize("size", PAPERS)
def test_either_may_come_first_on_one_page(sheet, first, size):
    source = paper.render(sheet, language=first, today=TODAY)
    assert f'<html lang="{first}">' in source
    assert re.search(r"<h1[^>]*>(.*?)</h1>", source)[1] == sheets.title(sheet, first)
    columns = re.findall(r'<div lang="(\w\w)">', source)
    assert not columns or columns[:2] == sorted(LANGUAGES, key=lambda each: each != first)
    data = pdf.write([pdf.lay_out(source, size)])
    assert len(pypdfium2.PdfDocument(data)) == 1
    text = said(data)
    for words in words_of(source):
        assert "".join(words.split()) in text, words


@pytest.mark.parametrize("sheet", BOTH)
def test_the_columns_are_level(sheet):
    """Each row holds one cell in each language."""
    for row in re.findall(r'<div class="pair">(.*?)</div>\s*</div>', paper.render(sheet, today=TODAY), re.S):
        assert re.findall(r'<(?:div|p)[^>]* lang="(\w\w)"', row) == ["en", "es"]


@pytest.mark.parametrize("sheet", ALONE)
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_sheet_in_one_language_has_no_word_of_the_other(sheet, language):
    """Numbers, days and jobs too: a yard hand who reads Spanish meets no English on the way."""
    told = " ".join(words_of(paper.render(sheet, calculators.example_truck("juniper"), language, TODAY)))
    other = {"en": r"\b(el|los|las|del|galones|millas|dic|ene)\b",
             "es": r"\b(the|and|of|gallons?|miles|hours|pounds|Jan|Dec|no record)\b"}[language]
    assert not re.findall(other, told), re.findall(other, told)


@pytest.mark.parametrize(("value", "shown"), [
    ({"value": "2026-12-10", "phrase": "Dec 10, 2026"}, "10 dic 2026"), ({"value": True, "phrase": "yes"}, "sí"),
    ({"value": 1.0, "number": "1", "unit": "gal", "phrase": "1 gallon"}, "1 galón"),
    ({"value": 41750.0, "number": "41,750", "unit": "mi", "phrase": "41,750 miles"}, "41,750 millas"),
    ({"value": 3.9, "number": "$3.90", "unit": "USD", "phrase": "$3.90"}, "$3.90"),
    ({"value": None, "phrase": "no reason that has words"}, ""), ({"value": "engine_oil", "phrase": "Engine oil and its filter"},
                                                                  "Aceite del motor y su filtro"),
])
def test_numbers_days_and_words_in_spanish(value, shown):
    assert said_in.phrase(value, "es") == shown and said_in.phrase(value, "en") == value["phrase"]


@pytest.mark.parametrize("sheet", [sheet for sheet in SHEETS if "es" not in paper.languages(sheet)])
def test_the_others_refuse_spanish_by_name(sheet):
    with pytest.raises(paper.NotInThatLanguage, match=sheet):
        paper.render(sheet, language="es", today=TODAY)
