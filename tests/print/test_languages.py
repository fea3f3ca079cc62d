"""English and Spanish stand side by side, level and whole, on the sheets that need both."""

import re

import pypdfium2
import pytest

import print as paper
from pieces.wording import LANGUAGES
from print import pdf, wording
from tests.print.paper import SHEETS, TODAY, said, words_of

BOTH = (*(sheet for sheet in SHEETS if sheet.startswith("emergency-")), "driver-sheet")


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


def test_the_seven_cards_and_the_driver_sheet_have_both():
    assert len(BOTH) == 8
    assert {sheet for sheet in SHEETS if "es" in paper.languages(sheet)} == set(BOTH)


@pytest.mark.parametrize("sheet", [*BOTH, "_every"])
def test_every_phrase_has_both_languages(sheet):
    found = dict(phrases(wording.read(sheet)))
    assert len(found) > 10
    for place, phrase in found.items():
        assert set(phrase) == {"en", "es"} and phrase["en"] and phrase["es"], place
        assert phrase["en"] != phrase["es"] or place in (".guide",), f"{place} is not translated"
        assert phrase["en"].count("**") == phrase["es"].count("**"), f"{place}: bold in one language only"


@pytest.mark.parametrize("sheet", BOTH)
@pytest.mark.parametrize("first", LANGUAGES)
@pytest.mark.parametrize("size", pdf.PAPERS)
def test_either_may_come_first_on_one_page(sheet, first, size):
    source = paper.render(sheet, language=first, today=TODAY)
    assert f'<html lang="{first}">' in source
    assert re.findall(r'<div lang="(\w\w)">', source)[:2] == sorted(LANGUAGES, key=lambda each: each != first)
    data = pdf.write([pdf.lay_out(source, size)])
    assert len(pypdfium2.PdfDocument(data)) == 1
    text = said(data)
    for words in words_of(source):
        assert "".join(words.split()) in text, words


@pytest.mark.parametrize("sheet", BOTH)
def test_the_columns_are_level(sheet):
    """Each row holds one cell in each language."""
    for row in re.findall(r'<div class="pair">(.*?)</div>\s*</div>', paper.render(sheet, today=TODAY), re.S):
        assert re.findall(r'<div lang="(\w\w)">', row) == ["en", "es"]


@pytest.mark.parametrize("sheet", [sheet for sheet in SHEETS if sheet not in BOTH])
def test_the_others_refuse_spanish_by_name(sheet):
    with pytest.raises(paper.NotInThatLanguage, match=sheet):
        paper.render(sheet, language="es", today=TODAY)
