"""What a page says to those who hear it, and what wakes a calculator."""

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import first_visit

# Every change of a part that a screen reader reads out by itself.
LISTEN = """() => {
    window.said = [];
    const live = '[role=status], [role=alert], [aria-live]:not([aria-live=off]), output';
    new MutationObserver((changes) => {
        for (const { target } of changes) {
            const line = (target.nodeType === 1 ? target : target.parentElement)?.closest(live);
            if (line?.textContent.trim()) window.said.push(line.textContent.trim());
        }
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
}"""
QUIET = 2500  # milliseconds in which a second message would have come


def told(page: Page) -> list[str]:
    page.wait_for_function("() => window.said.length > 0")
    page.wait_for_timeout(QUIET)
    return list(page.evaluate("window.said"))


@pytest.mark.browser
@pytest.mark.parametrize(("typed", "said"), [("4.25", "Idling costs"), ("3,5x", "The answer above is the last that worked.")])
def test_one_edit_is_one_message(page: Page, served: str, typed: str, said: str) -> None:
    page.goto(f"{served}/idling.html")
    price = page.locator("form#idle_bill [name=fuel_price]")
    price.fill("4")
    expect(page.locator("form#idle_bill")).to_have_attribute("data-state", "ready")
    page.wait_for_timeout(QUIET)
    page.evaluate(LISTEN)
    price.fill("")
    price.press_sequentially(typed, delay=150)
    heard = told(page)
    assert len(heard) == 1 and said in heard[0], heard


@pytest.mark.browser
def test_a_field_is_described_with_its_unit_in_full_words(page: Page, served: str) -> None:
    page.goto(f"{served}/idling.html")
    expect(page.locator("form#idle_bill [name=fuel_price]")).to_have_accessible_description("dollars a gallon")
    expect(page.locator("form#idle_bill [name=idle_fuel_rate]")).to_have_accessible_description("gallons an hour")


@pytest.mark.browser
def test_a_thumb_that_swipes_over_a_form_loads_nothing_and_a_tap_does(browser: Browser, served: str) -> None:
    with first_visit(browser, viewport={"width": 390, "height": 844}, has_touch=True) as context:
        page = context.new_page()
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{served}/idling.html")
        field = page.locator("form#idle_bill [name=fuel_price]")
        field.scroll_into_view_if_needed()
        asked.clear()
        box = field.bounding_box()
        assert box
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        touch = context.new_cdp_session(page)
        touch.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]})
        for step in range(1, 9):
            touch.send("Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": y - 30 * step}]})
        touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        page.wait_for_timeout(700)
        assert [url for url in asked if "/runtime/" in url] == []
        field.tap()
        expect(page.locator("form#idle_bill")).to_have_attribute("data-state", "ready")
        assert [url for url in asked if "/runtime/" in url]
