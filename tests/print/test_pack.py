"""A pack is one whole PDF: sheets written once and sheets of the truck, joined with all that a reader's software goes by."""

import io
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from multiprocessing import get_context

import pikepdf
import pypdfium2
import pytest

import calculators
from print import choice, sheet
from print.pack import Order, own, pack, whole
from tests.print.paper import PAGES, TODAY, said
from tests.print.test_paper import structure

WHOLE = choice.in_pack(choice.HANDOVER)
MIXED = ("emergency-water-light", "service-log", "bad-fuel-claim", "handover-checklist", "driver-sheet", "glovebox-card")
LARGEST = 400_000  # bytes
PARTS = {"monthly-walk-round": ["Monthly walk-round", "Drain record"], "service-log": ["Service log, 1", "Service log, 2"]}
ORDERS = pytest.mark.parametrize("sheets", [WHOLE, MIXED, MIXED[::-1]], ids=("whole", "mixed", "the other way round"))


@cache
def made(sheets, name="Juniper", paper="letter"):
    return pack(calculators.example_truck("juniper") | {"name": name}, Order(sheets, paper, "en", TODAY, "Handover pack"))


def opened(data):
    return pikepdf.open(io.BytesIO(data))


@ORDERS
def test_pages_stand_in_the_order_asked(sheets):
    texts = ["".join(page.get_textpage().get_text_range().split()) for page in pypdfium2.PdfDocument(made(sheets))]
    wanted = [name for name in sheets for _ in range(PAGES.get(name, 1))]
    assert len(texts) == len(wanted)
    for text, name in zip(texts, wanted, strict=True):
        title = sheet.title(name) if name != "glovebox-card" else "Stop now"
        assert "".join(title.split()) in text, name


@ORDERS
def test_bookmarks_name_each_sheet_and_lead_to_it(sheets):
    with opened(made(sheets)) as pdf, pdf.open_outline() as outline:
        pages = [page.obj.objgen for page in pdf.pages]
        assert [item.title for item in outline.root] == [part for name in sheets for part in PARTS.get(name, [sheet.title(name)])]
        assert [pages.index(item.destination[0].objgen) for item in outline.root] == list(range(len(pages)))


@ORDERS
def test_every_page_and_every_box_finds_its_tag(sheets):
    """From page to tag and back: what a screen reader walks."""
    with opened(made(sheets)) as pdf:
        tree = pdf.Root.StructTreeRoot
        numbers = {int(tree.ParentTree.Nums[at]): tree.ParentTree.Nums[at + 1] for at in range(0, len(tree.ParentTree.Nums), 2)}
        assert list(numbers) == sorted(numbers) and len(numbers) == len(tree.ParentTree.Nums) / 2
        parts = list(tree.K[0].K)
        assert [part.Pg.objgen for part in parts] == [page.obj.objgen for page in pdf.pages]
        for page, part in zip(pdf.pages, parts, strict=True):
            below = [element for _, element in structure(part)]
            assert len(below) > 20 and all(element.Pg.objgen == page.obj.objgen for element in below if "/Pg" in element)
            assert {element.objgen for element in numbers[int(page.obj.StructParents)]} <= {element.objgen for element in below}
            for field in page.obj.get("/Annots", ()):
                element = numbers[int(field.StructParent)]
                assert element.S == "/Form" and element.K[0].Obj.objgen == field.objgen


@ORDERS
def test_boxes_have_names_of_their_own_and_words(sheets):
    with opened(made(sheets)) as pdf:
        fields = list(pdf.Root.AcroForm.Fields)
        names = [str(field.T) for field in fields]
        assert len(set(names)) == len(names) > 40
        assert {name.split(".")[0] for name in names} <= set(sheets)
        assert len({(str(field.T).split(".")[0], str(field.TU)) for field in fields}) == len(fields)
        on_pages = {field.objgen for page in pdf.pages for field in page.obj.get("/Annots", ())}
        assert {field.objgen for field in fields} == on_pages
        for field in fields:
            assert len(str(field.TU)) > 2
            if field.FT == "/Btn":
                assert set(field.AP.N.keys()) >= {"/on"} and field.AS == "/Off"
            else:
                assert field.FT == "/Tx" and isinstance(field.AP.N, pikepdf.Stream)


@ORDERS
def test_title_language_fonts_drawings_and_size(sheets):
    data = made(sheets)
    assert len(data) < LARGEST
    with opened(data) as pdf:
        assert str(pdf.docinfo.Title) == "Handover pack, Juniper" and pdf.Root.Lang == "en"
        with pdf.open_metadata() as about:
            assert about["dc:title"] == "Handover pack, Juniper"
            assert about["{http://www.aiim.org/pdfua/ns/id/}part"] == "1"
        for _, figure in ((kind, part) for kind, part in structure(pdf.Root.StructTreeRoot) if kind == "/Figure"):
            assert len(str(figure.get("/Alt", ""))) > 20
        for page in pdf.pages:
            assert len(page.Resources.Font) > 1
            for face in page.Resources.Font.values():
                below = face.DescendantFonts[0] if "/DescendantFonts" in face else face
                assert str(below.BaseFont)[7] == "+"
                assert {"/FontFile2", "/FontFile3"} & set(below.FontDescriptor.keys())


def test_the_same_bytes_whichever_process_made_the_trucks_own():
    order = Order(MIXED, "a4", "en", TODAY)
    truck = calculators.example_truck("juniper")
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as other:
        assert whole(other.submit(own, truck, order, "Juniper").result(), order) == pack(truck, order)


def test_what_is_shared_and_what_is_not_may_stand_alone():
    for sheets in (("driver-sheet", "bad-fuel-claim"), ("service-log",), ("emergency-def-in-fuel",)):
        assert len(pypdfium2.PdfDocument(made(sheets))) == sum(PAGES.get(name, 1) for name in sheets)


@pytest.mark.parametrize(("name", "paper"), [
    ("W" * 80, "letter"), ("W" * 80, "a4"), ("雪かき 北海道", "letter"), ("شاحنة الثلج", "a4"), ("=CMD()|A1", "a4"),
    ("../../etc/passwd", "letter")])
def test_any_name_is_text_in_a_whole_pack(name, paper):
    data = made(WHOLE, name, paper)
    assert len(data) < LARGEST
    assert len(pypdfium2.PdfDocument(data)) == sum(PAGES.get(sheet, 1) for sheet in WHOLE)
    with opened(data) as pdf:
        assert str(pdf.docinfo.Title) == f"Handover pack, {name}"
    if name.isascii():
        assert "".join(name.split()) in said(data)
