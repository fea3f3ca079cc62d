"""The code on a sheet: only where the site has an address, and a camera reads it."""

import pypdfium2
import pytest

from print import links, pdf, sheet
from print.order import PAPERS
from tests.print.paper import PAGES, SHEETS, TODAY, letters, page, said, words_of

ADDRESS = "https://handover.example.org/guide"


@pytest.fixture
def addressed(monkeypatch):
    monkeypatch.setattr(links, "base_address", lambda: ADDRESS)


def printed(name, size="letter"):
    return pdf.write([pdf.lay_out(sheet.render(name, today=TODAY), size)])


@pytest.mark.parametrize("name", SHEETS)
def test_none_without_an_address(name):
    assert links.base_address() == "" and 'class="qr"' not in page(name, "juniper")


@pytest.mark.parametrize("size", PAPERS)
@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_with_a_code_keeps_to_its_page(addressed, name, size):
    source = sheet.render(name, today=TODAY)
    assert source.count('class="qr"') == source.count("<h1")  # where a long table goes on there is no head, so no code
    data = printed(name, size)
    assert len(pypdfium2.PdfDocument(data)) == PAGES.get(name, 1)
    for words in words_of(source):
        assert "".join(words.split()) in said(data), words
    assert min(letter.bottom for letter in letters(data)) > 12


@pytest.mark.parametrize("size", PAPERS)
def test_the_code_pushes_no_line_of_the_card_off_what_printers_reach(addressed, size):
    """Six millimeters at both rims; at the upper one the card's last line stands turned."""
    found = letters(printed("glovebox-card", size))
    height = pypdfium2.PdfDocument(printed("glovebox-card", size))[0].get_height()
    assert min(letter.bottom for letter in found) >= 17 and height - max(letter.top for letter in found) >= 17


@pytest.mark.audit
@pytest.mark.parametrize("name", SHEETS)
def test_a_camera_reads_the_sheets_own_page(addressed, name):
    zxingcpp = pytest.importorskip("zxingcpp", reason="`python3 -m tools.ready outside` gets what reads codes")
    heads = sheet.render(name, today=TODAY).count("<h1")
    for drawn in list(pypdfium2.PdfDocument(printed(name)))[:heads]:
        (code,) = zxingcpp.read_barcodes(drawn.render(scale=200 / 72).to_pil().convert("L"))
        assert code.text == f"{ADDRESS}/sheets/{name}.html"
