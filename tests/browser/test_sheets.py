"""Sheets in a real browser: printed on Letter and A4, and as pages on a desk and a phone."""

import io
import json
import re
from pathlib import Path

import icalendar
import pypdfium2
import pytest
from playwright.sync_api import expect

import calculators
import print as paper
from pieces import charts
from print.__main__ import main as command
from tests.browser.conftest import first_visit
from tests.print.paper import LONG, PAGES

pytestmark = pytest.mark.browser
SHEETS = paper.names()
TODAY = "2026-11-25"
FLEET = ["fleet-overview", "stock-list", "yard-readings"]
OWN = [sheet for sheet in SHEETS if not paper.is_static(sheet)]


@pytest.fixture
def opened(browser, site):
    """A function that opens a sheet from the folder; every console message fails the test."""
    with first_visit(browser) as context:
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
def test_prints_on_its_pages(opened, sheet, size):
    page = opened(sheet)
    printed = page.pdf(format=size, landscape=sheet == "glovebox-card", print_background=True)
    pages = pypdfium2.PdfDocument(io.BytesIO(printed))
    text = "".join("".join(each.get_textpage().get_text_range().split()) for each in pages)
    text += text[::-1]  # what is turned on the page is read from its end
    assert len(pages) == PAGES.get(sheet, 1) or (sheet == LONG and len(pages) == PAGES[sheet] - 1)  # its rows are a hair lower here
    assert "Themaker’smanualwins" in text
    assert "PDFfortheexampletruck" not in text, "the desk around the sheet must not print"
    for number in page.locator("[data-live]").filter(visible=True).all_inner_texts():
        assert "".join(number.split()) in text, number


@pytest.mark.parametrize("sheet", SHEETS)
def test_lies_within_the_screen(opened, sheet):
    page = opened(sheet)
    for width in (320, 390, 820, 1280):
        page.set_viewport_size({"width": width, "height": 844})
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
    day = {"value": "2027-02-03", "shown": "Feb 3, 2027", "rests_on": "yours"}
    tank = {"value": 41, "unit": "gal", "number": "41", "shown": "41 gal", "phrase": "41 gallons", "rests_on": "yours"}
    due = {"jobs": [{"job": {"value": "separator_drain"}, "due_date": day}], "drains_ahead": [{"due_date": day}]}
    saved = {
        "truck": {"format": "diesel-handover-truck", "version": 2, "id": "m", "name": "<b>Müller</b> 7", "facts": {}},
        "facts": {"fuel_tank_capacity": tank},
        "answers": {"service_due": {"results": due}},
    }
    save(page, saved)
    shown = page.locator("main").inner_text()
    assert "<b>Müller</b> 7" in shown and "Juniper" not in shown
    for key, told in (("service_due.jobs.separator_drain.due_date", "Feb 3, 2027"),
                      ("service_due.drains_ahead.0.due_date", "Feb 3, 2027"), ("fuel_tank_capacity", "41 gallons")):
        for place in page.locator(f'[data-live="{key}"]').all_inner_texts():
            assert place == told, key


def test_what_is_not_told_is_a_blank_as_on_paper(opened):
    truck = {"format": "diesel-handover-truck", "version": 1, "name": "Own", "facts": {"fuel_tank_capacity": "41 gal"}}
    page = opened("glovebox-card")
    save(page, saved_of(truck))
    assert page.locator('.sheet [data-live="fuel_tank_capacity"]').inner_text() == "41 gallons"
    assert page.locator('.sheet [data-live="regeneration.advised_drive_time"]').all_inner_texts() == ["40 minutes", "40 minutes"]
    for fact in ("def_tank_capacity", "oil_capacity"):
        blank = page.locator(f'.sheet [data-live="{fact}"]').first
        assert blank.evaluate("each => each.textContent") == ""
        assert f'data-live="{fact}"></span>' in paper.render("glovebox-card", truck, today=TODAY)
    assert all(page.locator('.sheet [data-live="service_due.jobs.engine_oil.due_date"]').all_inner_texts())


@pytest.mark.parametrize("sheet", FLEET)
def test_a_fleets_sheet_holds_no_example_once_a_truck_is_saved(opened, sheet, saved):
    page = opened(sheet)
    examples = page.locator("[data-example-only]")
    assert all(each.is_visible() for each in examples.all() if each.text_content()) and examples.count()
    save(page, {**saved, "truck": {**saved["truck"], "name": "Own"}})
    assert not any(each.is_visible() for each in examples.all())
    shown = page.locator("main").inner_text()
    assert "Own" in shown and not any(calculators.example_truck(name)["name"] in shown for name in calculators.example_trucks())
    if sheet != "stock-list":
        assert saved["facts"]["odometer"]["phrase"] in page.locator("tbody tr", has_text="Own").inner_text()


def test_what_is_typed_on_the_checklist_is_the_trucks_or_the_readers(opened, saved):
    """Its lines hold what the saved truck tells, never the example's; what was typed over one stays when another truck comes."""
    page = opened("handover-checklist", width=1280, height=1000)
    odometer, hours, plate = (page.get_by_role("textbox", name=name, exact=True) for name in ("Odometer", "Engine hours", "Plate"))
    example = odometer.input_value()
    save(page, {**saved, "truck": {**saved["truck"], "identity": {"plate": "OWN 7"}}})
    told = [saved["facts"][name]["phrase"] for name in ("odometer", "engine_hours")]
    assert [each.input_value() for each in (odometer, hours, plate)] == [*told, "OWN 7"]
    hours.fill("2,222")
    page.evaluate("handover.show('example')")
    assert [each.input_value() for each in (odometer, hours, plate)] == [example, "2,222", ""]
    save(page, saved_of({"format": "diesel-handover-truck", "version": 2, "id": "n", "name": "New", "facts": {}, "book": []}))
    assert odometer.input_value() == ""


def test_the_longest_saved_name_stays_on_the_card(opened):
    page = opened("glovebox-card", width=1280, height=1000)
    save(page, {"truck": {"id": "w", "name": "W" * 80, "facts": {}}, "facts": {}, "answers": {}})
    cover = page.locator(".cover")
    assert "W" * 80 in cover.inner_text().replace("\n", "")
    assert cover.evaluate("p => Math.max(p.scrollWidth - p.clientWidth, p.scrollHeight - p.clientHeight)") <= 1


@pytest.fixture(scope="module")
def saved():
    """A truck of many loads as My truck saves it: every answer with its words, and the calendar."""
    truck = calculators.example_truck("tamarack")
    truck["facts"] |= {"plow_weight": "900 lb", "cargo_weight": "1100 lb", "cargo_ahead": "-20 in", "tongue_weight": "1200 lb",
                       "ballast_weight": "600 lb", "ballast_behind": "50 in"}
    return saved_of(truck)


def saved_of(truck):
    """As the page makes it of a truck's file: a copy of an example is its owner's from then on."""
    read = ask({"do": "read_truck", "text": json.dumps(truck), "today": TODAY})
    return {**read, **ask({"do": "all", "truck": read["truck"], "today": TODAY})}


def ask(request):
    return json.loads(calculators.call(json.dumps(request)))


def save(page, saved):
    """As the page itself keeps it: of this version of the site, worked out today and good until later."""
    page.evaluate("""saved => localStorage.setItem(kept.KEY, JSON.stringify(
        {...saved, site_version: kept.version(), computed_on: kept.today(), until: "9999-12-31"}))""", saved)
    page.reload()


def choose(page, *sheets):
    for box in page.locator(".choose input").all():
        box.set_checked(False)
    for sheet in sheets:
        page.locator(f"#pick-{sheet}").check()


def visible(page):
    return [each.get_attribute("id") for each in page.locator(".in-pack").all() if each.is_visible()]


def printed(page, size="Letter"):
    """What the browser's print dialog would make: a page's text each, and its width and height."""
    pages = pypdfium2.PdfDocument(io.BytesIO(page.pdf(format=size, print_background=True)))
    return [("".join(each.get_textpage().get_text_range().split()), each.get_size()) for each in pages]


@pytest.mark.parametrize("size", ["Letter", "A4"])
def test_a_pack_is_chosen_and_printed_in_one_go(opened, size):
    """What is ticked prints, each sheet on its own page; what is not, does not."""
    page = opened("pack", width=1280, height=1000)
    choose(page, "emergency-water-light", "glovebox-card")
    assert visible(page) == ["sheet-glovebox-card", "sheet-emergency-water-light"]
    texts = [text for text, _ in printed(page, size)]
    assert len(texts) == 2 and any("Engineoff" in text and "Water-in-fuellight" in text for text in texts)
    assert not any("Servicelog" in text for text in texts)


def test_one_click_chooses_for_an_owner_or_a_handover(opened):
    page = opened("pack", width=1280, height=1000)
    for called, chosen in paper.sheet.picks().items():
        page.get_by_role("button", name=called, exact=True).click()
        assert [box.get_attribute("id") for box in page.locator(".choose input:checked").all()] == [f"pick-{name}" for name in chosen]
        assert visible(page) == [f"sheet-{name}" for name in chosen]
    assert "handover-checklist" in paper.sheet.picks()["For a handover"]


@pytest.mark.parametrize("size", ["Letter", "A4"])
def test_the_whole_pack_for_the_saved_truck(opened, saved, size):
    """Every sheet keeps to its page, the truck's own bear its name, and none is the example's."""
    page = opened("pack", width=1280, height=1000)
    drawn = {name: str(charts.svg(charts.chart_of(name), saved["answers"][name])) for name in ("regeneration", "axle_load")}
    save(page, saved | {"pictures": {name: re.sub(r' role="img" aria-label="[^"]*"', "", text) for name, text in drawn.items()}})
    choose(page, *SHEETS)
    expect(page.locator("figure.chart:not([data-drawn])")).to_have_count(0)
    pages = [text + text[::-1] for text, _ in printed(page, size)]
    record = [text for text in pages if "DateMilesHoursWhatByReceipt" in text or "49CFR396.3(b)" in text]
    others = [text for text in pages if text not in record]
    assert len(others) == sum(PAGES.get(sheet, 1) for sheet in SHEETS if sheet != LONG)
    assert sum("Tamarack" in text for text in others) == sum(PAGES.get(sheet, 1) for sheet in OWN if sheet != LONG)
    assert not any("Juniper" in text for text in pages)
    assert sum("Tamarack" in text for text in record) >= len(record) - 1 > PAGES[LONG]  # all that its rows stand on
    assert saved["paper"]["fingerprint"].replace(" ", "") in "".join(record)
    for entry in saved["truck"]["book"]:
        assert f"{float(entry['odometer'].split()[0]):,.0f}" in "".join(record)


def test_the_charts_in_a_pack_are_the_saved_trucks(opened, saved):
    """The same words stand in the pictures as the build would draw for this truck."""
    page = opened("pack", width=1280, height=1000)
    example = [chart.text_content() for chart in page.locator(".told figure svg").all()]
    save(page, saved)
    choose(page, "owners-summary")
    expect(page.locator("figure.chart:not([data-drawn])")).to_have_count(0)
    for place, name in enumerate(("regeneration", "axle_load")):
        chart = page.locator(f'.told figure[data-of="{name}"] svg')
        drawn = str(charts.svg(charts.chart_of(name), saved["answers"][name]))
        assert [one.text_content() for one in chart.locator("text").all()] == re.findall(r"<text[^>]*>(.*?)</text>", drawn)
        assert chart.text_content() != example[place]
        assert saved["answers"][name]["answer"] in page.locator(".told").nth(place).inner_text()
    assert "tongue 1,200 lb" in page.locator('.told figure[data-of="axle_load"] svg').text_content()


@pytest.mark.parametrize("where", ["pack", "../my-truck"])
def test_the_calendar_in_the_page_is_the_command_lines(opened, saved, where, tmp_path, monkeypatch):
    page = opened(where, width=1280, height=1000)
    assert not page.locator("[data-calendar]").is_visible(), "without a saved truck there are no dates"
    save(page, saved)
    with page.expect_download() as waiting:
        page.locator("[data-calendar]").click()
    assert waiting.value.suggested_filename == "service-dates.ics"
    made = Path(waiting.value.path()).read_bytes()
    file = tmp_path / "my-truck.json"
    file.write_text(json.dumps(saved["truck"]))
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")  # noon of that day
    assert command(["--calendar", "--truck", str(file), "--out", str(tmp_path)]) == 0
    assert made == (tmp_path / "tamarack.ics").read_bytes()
    recorded = [row for row in saved["answers"]["service_due"]["results"]["jobs"] if row["recorded"]["value"]]
    events = icalendar.Calendar.from_ical(made).walk("VEVENT")
    assert [each.decoded("dtstart").isoformat() for each in events] == [row["due_date"]["value"] for row in recorded]


@pytest.mark.parametrize("sheet", ["monthly-walk-round", "pack"])
def test_boxes_on_a_page_are_for_the_pen(opened, sheet):
    """They are too small for a finger; a PDF's can be ticked. Only the choice of sheets is to click."""
    page = opened(sheet, width=390, height=844)
    assert page.locator("main input:not(:disabled)").count() == 0
    assert page.locator("main input[type=checkbox]").count() > 50
    for box in page.locator(".choose label").all():
        assert box.bounding_box()["height"] >= 44


def test_the_pack_shows_on_a_phone(opened):
    page = opened("pack", width=390, height=844)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    for sheet in page.locator(".sheet").all():
        if sheet.is_visible():
            assert sheet.bounding_box()["width"] > 300
