"""Lines to type in: filled from the truck, drawn as they stand, and each can be typed over."""

import io

import pikepdf
import pypdfium2
import pytest

import calculators
from print import fields, pdf
from print.order import PAPERS, Wishes
from print.order import wishes as wishes_of
from print.pack import Order, pack
from tests.print.paper import TODAY, WHO, page

NAME = "handover-checklist"


def made(identity=WHO, sheets=(NAME,)):
    truck = calculators.example_truck("juniper") | {"identity": identity}
    return pack(truck, Order(sheets, "letter", "en", TODAY, "x"))


def typed(data):
    with pikepdf.open(io.BytesIO(data)) as file:
        return {str(field.T): (str(field.V), str(field.TU), field.AP.N.read_bytes().decode("cp1252")) for field in file.Root.AcroForm.Fields
                if field.FT == "/Tx"}


def test_what_is_known_is_filled_in_and_drawn():
    found = typed(made())
    assert len(found) == page(NAME, "juniper").count('type="text"') > 15
    assert found[f"{NAME}.vin"][0] == WHO["vin"] and f"({WHO['vin']}) Tj" in found[f"{NAME}.vin"][2]
    assert found[f"{NAME}.odometer"][0].endswith(" miles")
    blank = [name for name, (value, _, drawn) in found.items() if not value and "Tj" not in drawn]
    assert {f"{NAME}.keys", f"{NAME}.side-1-1", f"{NAME}.notes-1"} <= set(blank)


@pytest.mark.parametrize("paper", PAPERS)
def test_what_is_filled_in_fits_its_line(paper):
    """With the longest that is likely: a viewer cuts what runs over."""
    truck = calculators.example_truck("juniper") | {"identity": WHO, "book": [
        {"id": "a", "kind": "delivery", "date": "2026-09-28", "odometer": "888888 mi", "engine_hours": "28888 h"}]}
    with pikepdf.open(io.BytesIO(pack(truck, Order((NAME,), paper, "en", TODAY, "x")))) as file:
        face = file.Root.AcroForm.DR.Font.HF
        filled = [field for field in file.Root.AcroForm.Fields if field.FT == "/Tx" and str(field.V)]
        assert {str(field.T).split(".")[1] for field in filled} == {"unit", "vin", "plate", "model_year", "tire_size", "in_service",
                                                                    "odometer", "engine_hours"}
        for field in filled:
            wide = sum(int(face.Widths[code - int(face.FirstChar)]) for code in str(field.V).encode("cp1252")) * fields.SIZE / 1000
            assert fields.INDENT + wide <= abs(float(field.Rect[2]) - float(field.Rect[0])), (str(field.T), str(field.V))


def test_each_line_has_words_that_can_be_read_alone():
    words = [said for _, said, _ in typed(made()).values()]
    assert all(len(said) > 1 for said in words) and "Handed over by (dealer, seller): Date" in words


@pytest.mark.parametrize("sheets", [(NAME,), ("glovebox-card", NAME, "driver-sheet")])
def test_a_second_library_shows_them(sheets):
    """As a viewer would: forms drawn, the value seen in its cell, nothing of it without the forms."""
    data, empty = made(sheets=sheets), made(identity={}, sheets=sheets)
    number = sheets.index(NAME)
    pictures = []
    for each in (data, empty):
        document = pypdfium2.PdfDocument(each)
        document.init_forms()
        pictures.append(document[number].render(scale=2, may_draw_forms=True).to_pil().convert("L"))
    with pikepdf.open(io.BytesIO(data)) as file:
        box = next(field.Rect for field in file.Root.AcroForm.Fields if str(field.T) == f"{NAME}.vin")
    left, right = sorted((float(box[0]), float(box[2])))
    low, high = sorted((float(box[1]), float(box[3])))
    area = [round(2 * side) for side in (left, 792 - high, right, 792 - low)]
    dark = [sum(shade < 128 for shade in picture.crop(area).get_flattened_data()) for picture in pictures]
    assert dark[0] > 200 and dark[1] < 20


def test_a_viewer_may_type_in_any_line():
    """Its own code is the face's: each letter of it has a width, and no face but ours is needed."""
    with pikepdf.open(io.BytesIO(made())) as file:
        form = file.Root.AcroForm
        assert form.NeedAppearances is False or not bool(form.NeedAppearances)
        face = form.DR.Font.HF
        assert face.Encoding == "/WinAnsiEncoding" and "/FontFile2" in face.FontDescriptor
        for letter in "AÉñ’$½":
            assert int(face.Widths[letter.encode("cp1252")[0] - int(face.FirstChar)]) > 0
        assert all(str(field.DA).startswith("/HF ") for field in form.Fields if field.FT == "/Tx")


@pytest.mark.parametrize(("value", "shown"), [("EX (42) \\7", "EX (42) \\7"), ("Снег 7", ""), ("<b>&quot;", '<b>&quot;'), ("É ñ ½",
                                                                                                                           "É ñ ½")])
def test_values_are_text(value, shown):
    found = typed(made({"plate": value}))[f"{NAME}.plate"]
    assert found[0] == shown


def test_a_page_without_lines_is_left_as_it_is():
    data = pdf.write([pdf.lay_out(page("driver-sheet", "juniper"))])
    assert fields.complete(data) is data


@pytest.mark.parametrize(("name", "wishes"), [
    (NAME, {"/NumCopies": 2}), ("glovebox-card", {"/Duplex": "/Simplex"}), ("filler-door-labels", {"/Duplex": "/Simplex"}), ("service-log",
                                                                                                                             {}),
])
def test_how_a_file_asks_to_be_printed(name, wishes):
    """Never scaled: a fold, a label and a code come out right at their true size alone."""
    with pikepdf.open(io.BytesIO(pack(calculators.example_truck("juniper"), Order((name,), "letter", "en", TODAY)))) as file:
        told = {key: value if isinstance(value, int) else str(value) for key, value in file.Root.ViewerPreferences.items()}
        assert told == {"/DisplayDocTitle": True, "/PrintScaling": "/None", **wishes}


def test_a_pack_with_a_fold_asks_for_one_side():
    assert wishes_of(("service-log", "glovebox-card")) == Wishes(True, 1)
    assert wishes_of((NAME, "service-log")) == Wishes(False, 1)
