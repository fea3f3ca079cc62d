"""What a screen reader and an archive go by: PDF/UA by a validator, and what no validator looks at.

The validator (page-validation) knows 104 rules of ISO 14289-1; invisible text and meaning it does not see, so language,
order, names of fields and the stamped name are looked at here.
"""

import io
import re
from functools import cache

import page as validator
import pikepdf
import pypdfium2
import pytest
import weasyprint.pdf.tags
from PIL import ImageChops

import calculators
import print as paper
from pieces.wording import LANGUAGES
from print import choice, pdf, tags
from print.order import PAPERS, Order
from print.pack import pack
from tests.print.paper import SHEETS, TODAY, VERSIONS, WHO, printed, said, visible
from tests.print.paper import page as html
from tests.print.test_paper import structure

SHARED = tuple(name for name in choice.in_pack("handover") if paper.is_static(name))
MIXED = ("service-log", "emergency-def-in-fuel", "handover-checklist", "driver-sheet", "pre-trip-card", "bad-fuel-claim")
SPANISH = re.compile(r"\b(el|la|los|las|de|del|con|sin|para|una|esta|motor|llave|aceite)\b", re.I)


def failures(data, tmp_path):
    """What a validator finds against PDF/UA-1."""
    file = tmp_path / "sheet.pdf"
    file.write_bytes(data)
    return [str(each)[:300] for each in validator.validate_pdf(str(file), profile="ua1").failures]


@cache
def made(sheets, language="en", name="Juniper", label=""):
    truck = calculators.example_truck("juniper") | {"name": name, "identity": WHO}
    return pack(truck, Order(sheets, "letter", language, TODAY, "Handover pack"), label)


def opened(data):
    return pikepdf.open(io.BytesIO(data))


@pytest.mark.parametrize("size", PAPERS)
@pytest.mark.parametrize(("name", "language"), VERSIONS)
def test_every_sheet_passes_the_validator(name, language, size, tmp_path):
    assert not failures(printed(name, language=language, size=size), tmp_path)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("sheets", [choice.in_pack("handover"), MIXED, SHARED], ids=("handover", "mixed", "shared"))
def test_a_joined_pack_passes_too(sheets, language, tmp_path):
    assert not failures(made(sheets, language), tmp_path)


def test_without_what_we_complete_the_validator_refuses(tmp_path, monkeypatch):
    """So a newer WeasyPrint that no longer goes through the function we wrap is noticed."""
    monkeypatch.setattr(weasyprint.pdf.tags, "_build_box_tree", tags._build)
    data = pdf.write([pdf.lay_out(html("trailer-hook-up", "juniper"))])
    assert failures(data, tmp_path)
    with opened(data) as file:
        assert not [element for _, element in structure(file.Root.StructTreeRoot) if "/Lang" in element]


# Language of a stretch ----------------------------------------------------------------------------------


def texts(data):
    """Every stretch of text and the language that its nearest tag names, in the order of the tags."""
    with opened(data) as file:
        whole = str(file.Root.Lang)
        marked = [words_by_mark(page) for page in file.pages]
        pages = {page.obj.objgen: at for at, page in enumerate(file.pages)}
        return list(below(file.Root.StructTreeRoot.K[0], whole, pages, marked))


def below(element, language, pages, marked):
    language = str(element.get("/Lang", language))
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary):
            if "/S" in kid and kid.S != "/Figure":  # whose own words are read instead of its letters
                yield from below(kid, language, pages, marked)
        elif words := marked[pages[element.Pg.objgen]].get(int(kid), ""):
            yield language, words


def words_by_mark(page):
    """The text of each marked stretch of a page, as its fonts' own tables say it."""
    fonts = {str(name): _codes(font) for name, font in page.Resources.Font.items()}
    found, mark, codes = {}, None, {}
    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "BDC":
                mark = int(operands[1].MCID) if isinstance(operands[1], pikepdf.Dictionary) and "/MCID" in operands[1] else mark
            case "EMC":
                mark = None
            case "Tf":
                codes = fonts[str(operands[0])]
            case "TJ" | "Tj" if mark is not None:
                parts = operands[0] if str(operator) == "TJ" else [operands[0]]
                raw = b"".join(bytes(part) for part in parts if isinstance(part, pikepdf.String))
                found[mark] = found.get(mark, "") + "".join(codes.get(raw[at:at + 2], "") for at in range(0, len(raw), 2))
    return found


def _codes(font):
    """What two bytes mean in a font, by its ToUnicode table."""
    if "/ToUnicode" not in font:
        return {}
    table = font.ToUnicode.read_bytes().decode("latin-1")
    pairs = re.findall(r"<([0-9a-fA-F]{4})>\s*<([0-9a-fA-F]+)>", table)
    return {bytes.fromhex(code): bytes.fromhex(text).decode("utf-16-be") for code, text in pairs}


BOTH = [name for name in SHEETS if 'lang="es"' in html(name, "juniper")]


def test_some_sheets_have_both_languages_beside_each_other():
    assert len(BOTH) >= 10 and {"driver-sheet", "pre-trip-card", "daily-report", "filler-door-labels"} <= set(BOTH)


@pytest.mark.parametrize("name", BOTH)
@pytest.mark.parametrize("first", LANGUAGES)
def test_each_stretch_names_its_language(name, first):
    """Whatever stands under a Spanish element in the page is Spanish by its tag in the PDF, and nothing else is."""
    source = paper.render(name, language=first, today=TODAY)
    data = pdf.write([pdf.lay_out(source)])
    wanted = {"en": set(), "es": set()}
    for language, text in stretches(source, first):
        wanted[language] |= set(words(text))
    told = {"en": set(), "es": set()}
    for language, text in texts(data):
        told[language] |= set(words(text))
    assert len(told["es"]) > 10 and len(told["en"]) > 10
    only = {language: wanted[language] - wanted[other] for language, other in (("en", "es"), ("es", "en"))}
    assert not only["es"] & told["en"] and not only["en"] & told["es"]


def words(text):
    return [word.casefold() for word in re.findall(r"[^\W\d_]{3,}", text)]


def stretches(source, language):
    """The texts of a page with the language of the element they stand in."""
    body = re.sub(r"<svg.*?</svg>", "", re.search(r"<main.*</main>", source, re.S)[0], flags=re.S)
    inside = [language]
    for tag, text in re.findall(r"(<[^>]+>)([^<]*)", body):
        if tag.startswith("</"):
            inside.pop()
        elif not re.match(r"<(?:br|input|img|meta|link)\b", tag):
            own = re.search(r'\blang="(\w\w)"', tag)
            inside.append(own[1] if own else inside[-1])
        if text.strip():
            yield inside[-1], text


@pytest.mark.parametrize("name", [name for name, language in VERSIONS if language == "es" and name not in BOTH])
def test_a_sheet_in_spanish_says_so_in_a_pack_of_either_language(name):
    data = made(("glovebox-card", name, "owners-summary"), "es")
    told = [language for language, text in texts(data) if len(SPANISH.findall(text)) > 2]
    assert told and set(told) == {"es"}


# Order ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "language"), VERSIONS)
def test_the_tags_are_in_the_order_of_the_page(name, language):
    """What is read aloud comes as it stands in the sheet's own text."""
    spoken = "".join("".join(text.split()) for _, text in texts(printed(name, language=language)))
    at = 0
    for _, text in stretches(visible(html(name, "juniper", language=language)), language):
        plain = "".join(_plain(text).split())
        if "class" in text or not plain:
            continue
        found = spoken.find(plain, at)
        if found >= 0:
            at = found
        assert found >= 0, (plain, spoken[at:at + 60])


def _plain(text):
    import html as entities

    return entities.unescape(text)


# Fields -----------------------------------------------------------------------------------------------------


def test_every_field_has_a_name_and_words_of_its_own():
    with opened(made(choice.in_pack("all"))) as file:
        fields = list(file.Root.AcroForm.Fields)
        names = [str(field.T) for field in fields]
        assert len(names) == len(set(names)) and len({str(field.FT) for field in fields}) == 2
        for field in fields:
            assert len(str(field.TU)) > 2 and not re.search("[\u241f<>{}]", str(field.T) + str(field.TU))


# The name on the sheets that are the same for all ------------------------------------------------------------


@pytest.mark.parametrize("label", ["12 Juniper", "The Johnson brothers’ old plow truck with the dented door that Müller Ltd. sold us",
                                   "Снегоход 12"])
def test_the_truck_s_name_is_on_every_page_of_a_pack_and_is_seen(label):
    """As text under a tag, and in the picture: what is drawn outside the page or white would pass any validator."""
    sheets = choice.in_pack("handover")
    data, without = made(sheets, name="Juniper", label=label), made(sheets, name="Juniper", label="東")
    pages, bare = pypdfium2.PdfDocument(data), pypdfium2.PdfDocument(without)
    start = "".join(label.split())[:20]
    seen = 0
    for number, page in enumerate(pages):
        words = "".join(page.get_textpage().get_text_range().split())
        if start in words:
            seen += 1
            now, before = (each.render(scale=1).to_pil().convert("L") for each in (page, bare[number]))
            ink, paper_there = now.point(lambda shade: 255 * (shade < 128)), before.point(lambda shade: 255 * (shade >= 128))
            assert ImageChops.darker(ink, paper_there).histogram()[255] > 60, number
    assert seen == len(SHARED)


def test_a_name_that_no_face_draws_leaves_the_blank(tmp_path):
    data = made(("driver-sheet",), label="東京 7")
    assert not failures(data, tmp_path) and "7" not in said(data)[:40]
