"""A name in letters that our faces lack is a blank to write in, never a row of boxes; all other names print."""

import io
import re

import pikepdf
import pypdfium2
import pytest

import calculators
import print as paper
from print import letters, pdf
from print.__main__ import main
from print.order import PAPERS
from tests.print.paper import OWN, TODAY, said
from tests.print.paper import letters as on_page

OURS = ("Müller 7", "Łódź Żuk", "Đường Nguyễn", "Снегоход", "Ελλάς", "O’Brien & Söhne — № 3")
OTHERS = ("東京 7", "تراكتور", "รถ", "Truck 東")


def laid(sheet, name, size="letter"):
    return pdf.write([pdf.lay_out(paper.render(sheet, calculators.example_truck("juniper") | {"name": name}, today=TODAY), size)])


@pytest.mark.parametrize("name", OURS)
def test_names_of_many_languages_print_in_our_own_faces(name):
    data = laid("glovebox-card", name)
    assert "".join(name.split()) in said(data)
    faces = {str(font.BaseFont) for page in pikepdf.open(io.BytesIO(data)).pages for font in page.Resources.Font.values()}
    assert faces and all("+Handover-" in face for face in faces)


@pytest.mark.parametrize("name", OTHERS)
@pytest.mark.parametrize("sheet", OWN)
def test_other_names_are_a_blank_to_write_in(sheet, name):
    data = laid(sheet, name)
    faces = {str(font.BaseFont) for page in pikepdf.open(io.BytesIO(data)).pages for font in page.Resources.Font.values()}
    assert faces and all("+Handover-" in face for face in faces), "a machine's own face differs from the next one's"
    assert not set(name) - set("Truck 7") & set(said(data))
    html = paper.render(sheet, calculators.example_truck("juniper") | {"name": name}, today=TODAY)
    assert re.search(r'class="truck-name to-write"[^>]*></span>', html)


@pytest.mark.parametrize("size", PAPERS)
def test_there_is_room_on_the_card_to_write_a_name(size):
    """A white field on the black cover, as tall as the largest name."""
    data = laid("glovebox-card", "東京 7", size)
    page = pypdfium2.PdfDocument(data)[0]
    drawn = page.render(scale=1).to_pil().convert("L")
    cover = next(letter for letter in on_page(data) if letter.text == "d" and letter.left < 60)  # "diesel work truck" under the name
    row = [drawn.getpixel((round(cover.left) + 20, round(page.get_height() - cover.top) - up)) for up in range(4, 34)]
    assert sum(shade > 250 for shade in row) >= 26


@pytest.mark.parametrize(("name", "shown"), [("  Снегоход \u200f12 🚚 ", "Снегоход 12"), ("Zoe\u0301", "Zoé"), ("東京", "")])
def test_signs_without_a_sound_are_left_out(name, shown):
    assert letters.drawn(name) == shown


def test_who_prints_is_told(tmp_path, capsys):
    rows = tmp_path / "fleet.csv"
    rows.write_text("name\nJuniper\n東京 7\n", "utf-8")
    assert main(["--fleet", str(rows), "--out", str(tmp_path / "packs"), "--sheets", "cold-morning-card"]) == 0
    told = capsys.readouterr()
    assert "2 packs" in told.out
    assert "row 3, name: '東京 7': '東京' can’t be printed" in told.err and "Juniper" not in told.err
