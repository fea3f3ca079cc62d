"""Sheets in a real browser: printed on Letter and A4, and as pages on a desk and a phone."""

import contextlib
import io

import pypdfium2
import pytest
from playwright.sync_api import sync_playwright

import print as paper

pytestmark = pytest.mark.browser
SHEETS = paper.names()
OWN = [sheet for sheet in SHEETS if not paper.is_static(sheet)]


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_playwright() as play, contextlib.closing(play.chromium.launch(executable_path=chromium, args=["--no-sandbox"])) as running:
        yield running


@pytest.fixture
def opened(browser, site):
    """A function that opens a sheet from the folder; every console message fails the test."""
    with contextlib.closing(browser.new_context()) as context:
        said = []

        def open_sheet(sheet, **size):
            page = context.new_page()
            page.on("console", lambda message: said.append(message.text))
            page.on("pageerror", lambda error: said.append(str(error)))
            if size:
                page.set_viewport_size(size)
            page.goto((site / "sheets" / f"{sheet}.html").as_uri())
            return page

        yield open_sheet
        assert not said


@pytest.mark.parametrize("size", ["Letter", "A4"])
@pytest.mark.parametrize("sheet", SHEETS)
def test_prints_on_one_page(opened, sheet, size):
    page = opened(sheet)
    printed = page.pdf(format=size, landscape=sheet == "glovebox-card", print_background=True)
    pages = pypdfium2.PdfDocument(io.BytesIO(printed))
    text = "".join(pages[0].get_textpage().get_text_range().split())
    text += text[::-1]  # what is turned on the page is read from its end
    assert len(pages) == (2 if sheet == "handover-checklist" else 1)
    assert "Themaker’smanualwins" in text
    assert "PDFfortheexampletruck" not in text, "the desk around the sheet must not print"
    for number in page.locator("[data-live]").all_inner_texts():
        assert "".join(number.split()) in text, number


@pytest.mark.parametrize("sheet", SHEETS)
@pytest.mark.parametrize("width", [320, 390, 820, 1280])
def test_lies_within_the_screen(opened, sheet, width):
    page = opened(sheet, width=width, height=844)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_no_panel_runs_over(opened):
    """On the screen as on paper each panel of the card holds its words."""
    page = opened("glovebox-card", width=1280, height=1000)
    panels = page.locator(".panel").all()
    assert len(panels) == 8
    for panel in panels:
        inner = panel.evaluate("p => [p.scrollWidth - p.clientWidth, p.scrollHeight - p.clientHeight]")
        assert max(inner) <= 1, panel.inner_text()


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_way_back_and_the_pdf(opened, sheet, site):
    page = opened(sheet)
    for link in page.locator(".desk a").all():
        where = (site / "sheets" / link.get_attribute("href")).resolve()
        assert where.is_file(), where
    assert page.locator("[data-print]").is_visible()


@pytest.mark.parametrize("sheet", OWN)
def test_shows_the_saved_truck(opened, sheet):
    """What a reader saved stands on the sheet instead of the example, its name as text."""
    page = opened(sheet)
    day = {"value": "2027-02-03", "number": "Feb 3, 2027", "phrase": "Feb 3, 2027", "unit_short": ""}
    tank = {"value": 41, "unit": "gal", "number": "41", "unit_short": "gal", "phrase": "41 gallons", "from": "truck"}
    due = {"jobs": [{"job": {"value": "separator_drain"}, "due_date": day}], "drains_ahead": [{"due_date": day}]}
    saved = {
        "truck": {"format": "diesel-handover-truck", "version": 1, "name": "<b>Müller</b> 7", "facts": {}},
        "facts": {"fuel_tank_capacity": tank},
        "answers": {"service_due": {"results": due}},
        "computed_on": "2027-01-30",
    }
    page.evaluate("saved => localStorage.setItem('diesel-handover', JSON.stringify({site_version: '', ...saved}))", saved)
    page.reload()
    shown = page.locator("main").inner_text()
    assert "<b>Müller</b> 7" in shown and "Juniper" not in shown
    assert "Jan 30, 2027" in shown
    for key, told in (("service_due.jobs.separator_drain.due_date", "Feb 3, 2027"),
                      ("service_due.drains_ahead.0.due_date", "Feb 3, 2027"), ("fuel_tank_capacity", "41 gallons")):
        for place in page.locator(f'[data-live="{key}"]').all_inner_texts():
            assert place == told, key


def test_the_longest_saved_name_stays_on_the_card(opened):
    page = opened("glovebox-card", width=1280, height=1000)
    saved = {"site_version": "", "truck": {"name": "W" * 80, "facts": {}}, "facts": {}, "answers": {}, "computed_on": "2027-01-30"}
    page.evaluate("saved => localStorage.setItem('diesel-handover', JSON.stringify(saved))", saved)
    page.reload()
    cover = page.locator(".cover")
    assert "W" * 80 in cover.inner_text().replace("\n", "")
    assert cover.evaluate("p => Math.max(p.scrollWidth - p.clientWidth, p.scrollHeight - p.clientHeight)") <= 1


def test_a_pack_is_chosen_and_printed_in_one_go(opened):
    """What is ticked prints, each sheet on its own page; what is not, does not."""
    page = opened("pack", width=1280, height=1000)
    for box in page.locator(".choose input").all():
        box.set_checked(False)
    page.locator("#pick-emergency-water-light").check()
    page.locator("#pick-glovebox-card").check()
    printed = pypdfium2.PdfDocument(io.BytesIO(page.pdf(prefer_css_page_size=True, print_background=True)))
    texts = ["".join(each.get_textpage().get_text_range().split()) for each in printed]
    assert len(texts) == 2 and any("Engineoff" in text and "Water-in-fuellight" in text for text in texts)
    assert not any("Servicelog" in text for text in texts)
