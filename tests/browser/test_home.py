"""Home greets the truck that is saved, and shows nothing of the other state before it does; a glossary word opens under a finger."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

import calculators
from tests.browser.conftest import first_visit

pytestmark = pytest.mark.browser
DAY = "2026-11-25"


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    with first_visit(browser, viewport={"width": 390, "height": 844}, has_touch=True) as context:
        yield context.new_page()


def save_truck(page: Page, served: str, name: str) -> None:
    """A truck as My truck stores it, with the answers that home shows."""
    truck = calculators.example_truck("juniper") | {"name": name}
    truck["book"] = [*truck["book"], {"id": "late", "kind": "job", "job": "coolant", "date": "2015-06-01", "odometer": "10 mi"}]
    page.goto(f"{served}/my-truck.html")
    page.evaluate("truck => kept.keep(truck).then(() => {})", truck)


def test_home_greets_the_saved_truck_with_its_next_jobs(phone: Page, served: str) -> None:
    save_truck(phone, served, "Alder")
    phone.goto(f"{served}/index.html")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Alder")
    expect(phone.get_by_role("region", name="Alder")).to_contain_text("Work order for")
    expect(phone.get_by_role("link", name="Change truck")).to_be_visible()
    expect(phone.get_by_role("link", name="Enter my truck")).to_be_hidden()
    first = phone.locator("[data-order] .due-jobs li").first
    expect(first.get_by_role("link", name="Done")).to_be_visible()
    for seen in (phone.get_by_role("link", name="Light on?"), first):
        box = seen.bounding_box()
        assert box
        assert box["y"] + box["height"] < 844


def test_home_without_a_truck_asks_for_one(phone: Page, served: str) -> None:
    phone.goto(f"{served}/index.html")
    assert phone.get_by_role("heading", level=1).inner_text() == "You have the keys. Here is the rest of the handover."
    expect(phone.get_by_role("link", name="Enter my truck")).to_be_visible()
    expect(phone.get_by_role("link", name="Change truck")).to_be_hidden()
    expect(phone.get_by_role("link", name="Light on?")).to_be_hidden()  # the first of the three doors leads there


def test_no_word_of_the_example_flashes_before_the_greeting(phone: Page, served: str) -> None:
    """Looked at by each frame from the first: with a truck saved, what asks for one is never on the screen."""
    save_truck(phone, served, "Alder")
    phone.add_init_script("""
        window.seen = [];
        const look = () => {
            const asks = document.querySelector(".front.until-told");
            if (asks?.checkVisibility()) seen.push(asks.textContent);
            if (document.readyState !== "complete") requestAnimationFrame(look);
        };
        requestAnimationFrame(look);
    """)
    phone.goto(f"{served}/index.html")
    assert phone.evaluate("seen") == []


def test_a_glossary_word_opens_its_meaning_by_touch_and_by_key(phone: Page, served: str) -> None:
    phone.goto(f"{served}/exhaust.html")
    word = phone.get_by_role("button", name="soot", exact=True)
    meaning = phone.locator("#word-soot")
    expect(meaning).to_be_hidden()
    word.tap()
    expect(meaning).to_be_visible()
    expect(meaning).to_contain_text("Black carbon")
    meaning.get_by_role("button", name="Close").tap()
    expect(meaning).to_be_hidden()
    word.press("Enter")
    expect(meaning).to_be_visible()
    assert word.evaluate("word => word.parentElement.title").startswith("Black carbon")
