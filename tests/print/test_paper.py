"""Each sheet is one page, tagged, readable, and nothing on it is lost or cut."""

import io
import re
from collections import Counter

import pikepdf
import pypdfium2
import pytest
import weasyprint

import calculators
import print as paper
from print import pdf
from tests.print.paper import (
    LATE,
    LONG,
    OWN,
    PAGES,
    SHEETS,
    TODAY,
    TRUCKS,
    VERSIONS,
    letters,
    page,
    pages_of,
    printed,
    said,
    visible,
    words_of,
)

LONGEST = "W" * 80  # read_truck cuts names at 80
HOSTILE = "<script>alert(1)</script> & \"Ü\" 'ñ' {{ 7*7 }} {fuel_price} **b** ../../ =1+1"
SPOKEN = "The Johnson brothers’ old plow truck with the dented door that Müller Ltd. sold us"
NAMES = (None, LONGEST, HOSTILE, SPOKEN)
TICKS = {"glovebox-card": 0, "monthly-walk-round": 20 + 36, "handover-checklist": 20 + 2, "used-truck-inspection": 23,
         "daily-report": 2 * 13 + 3}
MARGIN = 39  # points, left and right, in print.css
SIZES = {"letter": (612, 792), "a4": (595.276, 841.890)}

cases = pytest.mark.parametrize("name", NAMES, ids=("own", "longest", "hostile", "spoken"))
sheets = pytest.mark.parametrize("sheet", SHEETS)
versions = pytest.mark.parametrize(("sheet", "language"), VERSIONS)
named = pytest.mark.parametrize(("sheet", "language", "name"), [
    *((sheet, language, name) for sheet, language in VERSIONS if sheet in OWN for name in NAMES),
    *((sheet, language, None) for sheet, language in VERSIONS if sheet not in OWN)])
sizes = pytest.mark.parametrize("size", SIZES)


@sizes
@named
def test_one_page_of_the_size_asked_for(sheet, language, size, name):
    pages = pypdfium2.PdfDocument(printed(sheet, name=name, size=size, language=language))
    assert len(pages) == pages_of(sheet, name)
    assert sorted(pages[0].get_size()) == pytest.approx(sorted(SIZES[size]), abs=0.1)


@sizes
@named
def test_every_word_is_on_the_page(sheet, language, size, name):
    """What runs off a page is silently dropped, so each piece of the HTML must be found in the PDF."""
    text = said(printed(sheet, name=name, size=size, language=language))
    for words in words_of(page(sheet, "juniper", name, language)):
        assert "".join(words.split()) in text, words


@sizes
@named
def test_nothing_is_cut_by_the_rim(sheet, language, size, name):
    """Printers leave a rim of about a sixth of an inch blank."""
    data = printed(sheet, name=name, size=size, language=language)
    width, height = pypdfium2.PdfDocument(data)[0].get_size()
    for letter in (letter for number in range(pages_of(sheet, name)) for letter in letters(data, number)):
        assert 12 <= letter.left and letter.right <= width - 12, letter
        assert 12 <= letter.bottom and letter.top <= height - 12, letter


@sizes
@cases
@pytest.mark.parametrize("language", paper.languages("glovebox-card"))
def test_no_letter_crosses_a_fold(language, size, name):
    data = printed("glovebox-card", name=name, size=size, language=language)
    width, height = pypdfium2.PdfDocument(data)[0].get_size()
    for letter in letters(data):
        for fold in (width / 4, width / 2, width * 3 / 4):
            assert letter.right < fold - 4 or letter.left > fold + 4, letter
        assert letter.top < height / 2 - 10 or letter.bottom > height / 2 + 10, letter


@sizes
@named
def test_no_letter_stands_on_another(sheet, language, size, name):
    """No letter covers a third of another, but for neighbors: kerning and ligatures bring those together."""
    data = printed(sheet, name=name, size=size, language=language)
    for number in range(pages_of(sheet, name)):
        no_letter_stands_on_another(letters(data, number))


@sizes
@pytest.mark.parametrize(("sheet", "language"), [each for each in VERSIONS if each[0] in OWN and each[0] != "glovebox-card"])
def test_a_truck_that_fills_every_line_stays_in_its_column(sheet, language, size):
    """On A4 the row of who it is stood out, Spanish heads ran into each other, and the foot's two ends met."""
    data = pdf.write([pdf.lay_out(paper.render(sheet, LATE, language, TODAY), size)])
    pages = pypdfium2.PdfDocument(data)
    assert len(pages) == (2 if sheet == LONG else PAGES.get(sheet, 1))
    for number, each in enumerate(pages):
        found = letters(data, number)
        no_letter_stands_on_another(found)
        assert min(letter.left for letter in found) >= MARGIN - 1, min(found, key=lambda letter: letter.left)
        assert max(letter.right for letter in found) <= each.get_width() - MARGIN + 1, max(found, key=lambda letter: letter.right)


def no_letter_stands_on_another(found):
    seen, before = {}, None
    for letter in found:
        column, row = letter.left // 20, letter.bottom // 20
        for other in (each for x in (-1, 0, 1) for y in (-1, 0, 1) for each in seen.get((column + x, row + y), ())):
            assert one_glyph(other, before) or shared(letter, other) < 1 / 3, (letter, other)
        seen.setdefault((column, row), []).append(letter)
        before = letter


def one_glyph(other, before):
    """Whether ``other`` is the letter just before, or in one ligature with it: the three of "ffi" share a box."""
    return other is before or (before and other[1:] == before[1:])


def shared(one, other):
    """How much of the smaller letter's box lies in the larger one's."""
    width = min(one.right, other.right) - max(one.left, other.left)
    height = min(one.top, other.top) - max(one.bottom, other.bottom)
    areas = [(each.right - each.left) * (each.top - each.bottom) for each in (one, other)]
    return max(width, 0) * max(height, 0) / max(min(areas), 0.01)


@versions
@sizes
def test_type_is_large_enough(sheet, language, size):
    """11 points for what is read; only heads of boxes, the foot's version and day and the fold hint may be smaller, never under 8.5."""
    found = Counter(round(letter.size, 1) for letter in letters(printed(sheet, size=size, language=language)))
    assert min(found) >= 8.5
    small = sum(count for points, count in found.items() if points < 10.9)
    assert small < max(0.13 * found.total(), 130), found  # a label holds few letters beside its head and foot


@sheets
@sizes
def test_who_wins_is_read_as_well_as_the_rest(sheet, size):
    found = letters(printed(sheet, name=LONGEST if sheet in OWN else None, size=size))
    signs = "".join(letter.text for letter in found)
    wins = "Themaker’smanualwins."
    at = signs.find(wins) if wins in signs else signs.find(wins[::-1])  # on the card it stands upside down
    assert at >= 0
    assert min(letter.size for letter in found[at : at + len(wins)]) >= 10.9


@sizes
@pytest.mark.parametrize("sheet", OWN)
def test_the_longest_name_is_read_too(sheet, size):
    found = [letter for letter in letters(printed(sheet, name=LONGEST, size=size)) if letter.text == "W" and letter.size >= 10.9]
    assert len(found) >= 80


@sheets
def test_the_upper_half_of_the_card_is_turned(sheet):
    """Folded back on the long line, the upper row stands upright; a walk-round has nothing turned."""
    data = printed(sheet)
    text = pypdfium2.PdfDocument(data)[0].get_textpage()
    turned = [pypdfium2.raw.FPDFText_GetCharAngle(text, at) for at in range(text.count_chars())]
    half = pypdfium2.PdfDocument(data)[0].get_height() / 2
    for at, angle in enumerate(turned):
        box = text.get_charbox(at)
        if chr(pypdfium2.raw.FPDFText_GetUnicode(text, at)).strip():
            upside_down = sheet == "glovebox-card" and box[1] > half
            assert angle == pytest.approx(3.14159 if upside_down else 0, abs=0.01), box


@sheets
@pytest.mark.parametrize("truck", TRUCKS)
def test_tags_title_language_fonts(sheet, truck):
    with pikepdf.open(io.BytesIO(printed(sheet, truck))) as pdf:
        root = pdf.Root
        assert root.MarkInfo.Marked
        assert root.Lang == "en"
        assert root.ViewerPreferences.DisplayDocTitle
        assert str(pdf.docinfo.Title).endswith(calculators.example_truck(truck)["name"]) == (sheet in OWN)
        with pdf.open_metadata() as about:
            assert about["{http://www.aiim.org/pdfua/ns/id/}part"] == "1"
        kinds = Counter(kind for kind, _ in structure(root.StructTreeRoot))
        assert kinds["/H1"] == page(sheet, truck).count("<h1") and kinds["/H2"] == page(sheet, truck).count("<h2")
        assert all("/StructParents" in each for each in pdf.pages)
        for figure in (part for kind, part in structure(root.StructTreeRoot) if kind == "/Figure"):
            assert len(str(figure.get("/Alt", ""))) > 20, "a drawing without words"
        for face in pdf.pages[0].Resources.Font.values():
            below = face.DescendantFonts[0] if "/DescendantFonts" in face else face
            assert re.match(r"/[A-Z]{6}\+", str(below.BaseFont)), "a font is not a subset"
            assert "/FontFile2" in below.FontDescriptor or "/FontFile3" in below.FontDescriptor


def structure(part):
    """Every element under a part of the structure tree, in reading order."""
    below = part.get("/K", [])
    for child in below if isinstance(below, pikepdf.Array) else [below]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield str(child.S), child
            yield from structure(child)


@sheets
def test_boxes_to_tick(sheet):
    """Each box is a field with a name of its own and words that can be read alone."""
    with pikepdf.open(io.BytesIO(printed(sheet))) as pdf:
        fields = list(pdf.Root.AcroForm.Fields) if "/AcroForm" in pdf.Root else []
        fields = [field for field in fields if field.FT == "/Btn"]
        names = [str(field.T) for field in fields]
        assert len(names) == len(set(names)) == visible(page(sheet, "juniper")).count('type="checkbox"')
        assert all(name.startswith(f"{sheet}.") for name in names)
        assert len({str(field.TU) for field in fields}) == len(fields)
        assert all(len(str(field.TU)) > 8 for field in fields)
        if sheet in TICKS:
            assert len(fields) == TICKS[sheet]


@pytest.mark.parametrize("sheet", OWN)
def test_names_are_text_and_nothing_else(sheet):
    source = page(sheet, "juniper", HOSTILE)
    assert "<script>alert" not in source and "49" not in re.findall(r'truck-name"[^>]*>(.*?)</span>', source)[0]
    assert "".join(HOSTILE.split()) in said(printed(sheet, name=HOSTILE))


def test_what_cannot_exist_says_why():
    """In deep cold the model's exhaust never gets hot enough: the card says so and stays whole."""
    cold = calculators.example_truck("juniper")
    cold["facts"] = cold.get("facts", {}) | {"outside_temperature": "-60 degF"}
    data = paper.pdf.write([paper.pdf.lay_out(source := paper.render("glovebox-card", cold, today=TODAY))])
    why = calculators.with_words(calculators.answer("regeneration", truck=cold, today=TODAY))["results"]["advised_drive_time"]
    assert why["value"] is None
    assert said(data).count("".join(why["phrase"].split())) == 2
    for words in words_of(source):
        assert "".join(words.split()) in said(data), words


@sheets
def test_black_and_white_only(sheet):
    """A copier knows no other color; what is between black and white is the edge of a stroke."""
    drawn = pypdfium2.PdfDocument(printed(sheet))[0].render(scale=2, may_draw_forms=True).to_pil().convert("RGB")
    pixels = drawn.getcolors(maxcolors=1 << 24)
    assert all(max(color) - min(color) <= 3 for _, color in pixels)
    between = sum(count for count, color in pixels if 40 < color[0] < 215)
    assert between / (drawn.width * drawn.height) < 0.08


@sheets
def test_styles_left_out_for_speed_draw_nothing(sheet, monkeypatch):
    """A footnote or a list marker on a sheet would need the styles that we leave out."""
    ours = printed(sheet)
    monkeypatch.setattr(pdf, "_Page", weasyprint.HTML)
    assert pdf.write([pdf.lay_out(page(sheet, "juniper"))]) == ours


def test_the_styles_left_out_for_speed_are_left_out(monkeypatch):
    """So a newer WeasyPrint that comes by its own styles in another way than the one we take in is noticed."""
    trimmed, left_out = pdf._trimmed, []

    def counted(style):
        ours = trimmed(style)
        left_out.append(len(style.matcher.other_selectors) - len(ours.matcher.other_selectors))
        return ours

    monkeypatch.setattr(pdf, "_trimmed", counted)
    pdf.lay_out("<p>Words</p>")
    assert sum(left_out) > 0


@sheets
def test_no_style_or_handler_in_the_page(sheet):
    source = page(sheet, "juniper")
    assert not re.search(r"<[^>]+\s(style|on\w+)=", source)
    assert "<style" not in source and "<script>" not in source


def test_words_a_sheet_may_not_lack():
    card, walk = said(printed("glovebox-card")), said(printed("monthly-walk-round"))
    for words in ("Themaker’smanualwins.", "Donotturnthekey.", "markedDEF", "Call911"):
        assert words in card, words
    for words in ("Themaker’smanualwins.", "wheelschocked", "START:", "END:", "WARNING", "underatruckonajack"):
        assert words in walk, words
    assert card.index("Waterinfuel") < card.index("Stopsoon"), "a water light is stop now"
