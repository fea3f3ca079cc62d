"""A light is on: from a lit lamp to three actions in two taps, in the reader's own language, from a folder too."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from macros.two_languages import words
from tests.browser.conftest import first_visit

pytestmark = pytest.mark.browser
PHONE = {"width": 390, "height": 844}


def phone(browser: Browser, locale: str = "en-US") -> Page:
    return first_visit(browser, viewport=PHONE, has_touch=True, locale=locale).new_page()


@pytest.mark.parametrize("way", ["served", "folder"])
def test_a_lit_lamp_is_two_taps_from_what_to_do(browser: Browser, served: str, folder: str, way: str) -> None:
    page = phone(browser)
    page.goto(f"{served if way == 'served' else folder}/fuel.html")
    page.locator("a.strip").tap()
    page.get_by_role("link", name="Water in the fuel").tap()
    entry = page.locator("details#water")
    expect(entry).to_have_attribute("open", "")
    steps = entry.locator("ol.first li:visible")
    expect(steps).to_have_count(3)
    box = steps.nth(2).bounding_box()
    assert box and 0 < box["y"] and box["y"] + box["height"] < PHONE["height"], "the three actions lie on one screen"


def test_every_sign_leads_to_an_entry_and_every_entry_is_reached(browser: Browser, served: str) -> None:
    page = phone(browser)
    page.goto(f"{served}/light.html")
    light = words("light")
    named = {name for part in (*light["lamps"], *light["signs"]) for name in part["entries"]} | {"wrong-fluid"}
    assert named == {entry["id"] for entry in light["entries"]}
    for place in page.locator(".signs a, .which a").evaluate_all("links => links.map(link => link.hash)"):
        assert page.locator(place).count() == 1, place


def test_the_six_that_stop_now_lie_whole_on_the_first_screen(browser: Browser, served: str) -> None:
    page = phone(browser)
    page.goto(f"{served}/light.html")
    stop = page.locator(".signs a.stop")
    foot = page.locator(".light .foot").bounding_box()
    boxes = [one.bounding_box() for one in stop.all()]
    assert len(boxes) == 6 and foot
    assert all(box and box["y"] + box["height"] <= foot["y"] for box in boxes)
    assert page.locator(".signs a").evaluate_all("tiles => tiles.every(tile => tile.getBoundingClientRect().height >= 48)")


@pytest.mark.parametrize(("locale", "english", "spanish"), [("en-US", True, False), ("es-MX", False, True), ("fr-CA", True, True)])
def test_one_language_at_first_by_the_device(browser: Browser, served: str, locale: str, english: bool, spanish: bool) -> None:
    page = phone(browser, locale)
    page.goto(f"{served}/light.html")
    assert page.locator(".signs [lang=en]").first.is_visible() == english
    assert page.locator(".signs [lang=es]").first.is_visible() == spanish


def test_the_chosen_language_is_remembered_on_both_pages(browser: Browser, served: str) -> None:
    page = phone(browser)
    page.goto(f"{served}/light.html")
    page.locator("label:has(#language-es)").tap()
    page.goto(f"{served}/wrong-fluid.html")
    expect(page.locator("#language-es")).to_be_checked()
    expect(page.locator("h1 [lang=en]")).to_be_hidden()


def test_the_one_file_has_the_same_signs_and_no_script(site: Path) -> None:
    text = (site / "emergency.html").read_text("utf-8")
    assert "<script" not in text
    assert text.count('href="#which-') == (site / "light.html").read_text("utf-8").count('href="#which-') > 0
    assert 'href="tel:911"' in text


def test_a_number_that_was_told_is_called_by_a_touch(browser: Browser, served: str) -> None:
    page = phone(browser)
    page.goto(f"{served}/light.html")
    expect(page.locator("[data-call=tow]")).to_have_attribute("href", "my-truck.html#who-to-call")
    truck = {"format": "diesel-handover-truck", "version": 2, "name": "Larch", "facts": {}, "identity": {"call_tow": "(555) 010-0177"}}
    page.evaluate("truck => kept.write(kept.KEY, { truck })", truck)
    page.reload()
    expect(page.locator("[data-call=tow]")).to_have_attribute("href", "tel:5550100177")
    expect(page.locator("[data-call=tow] [data-number]")).to_have_text("(555) 010-0177")
    expect(page.locator("[data-call=boss]")).to_have_attribute("href", "my-truck.html#who-to-call")
