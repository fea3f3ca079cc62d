"""What a reader looks at stays where it is and as it is: no form moves under an edit, no number is the example's for a frame."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

import calculators

pytestmark = pytest.mark.browser
SLOW = 60_000  # milliseconds a start may take on a busy machine
SHIFTS = """() => {
    window.shifts = [];
    new PerformanceObserver(list => {
        for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shifts.push(entry.value);
    }).observe({type: "layout-shift"});
}"""
PAINTED = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
# Where every visible field of a form stands on the screen, by name.
PLACES = """id => Object.fromEntries([...document.getElementById(id).elements]
    .filter(one => one.name && one.checkVisibility()).map(one => [one.name, Math.round(one.getBoundingClientRect().top)]))"""
EVERY_FRAME = """
    window.seen = {};
    const look = () => {
        for (const place of document.querySelectorAll("[data-live]"))
            if (getComputedStyle(place).visibility === "visible") (window.seen[place.dataset.live] ??= new Set()).add(place.textContent);
        requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
"""


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium)
        yield opened
        opened.close()


def homes(site: Path) -> dict[str, str]:
    """The page on which each calculator stands."""
    pages = [path for path in sorted(site.glob("*.html")) if path.stem != "specimen"]
    return {name: path.name for path in pages for name in re.findall(r'<section class="calc" data-calculator="(\w+)"', path.read_text())}


def field_of(name: str) -> Any:
    """A number that the form asks outright, with bounds to go to."""
    return next(field for field in calculators.form(name)
                if field.kind == "number" and not field.row and isinstance(field.low, int | float) and isinstance(field.high, int | float))


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", calculators.NAMES)
def test_no_field_moves_when_the_results_change(browser: Browser, served: str, site: Path, name: str, width: int) -> None:
    field = field_of(name)
    with browser.new_context(viewport={"width": width, "height": 900}) as context:
        page = context.new_page()
        page.goto(f"{served}/{homes(site)[name]}")
        form = page.locator(f"form#{name}")
        asked = form.locator(f"[name='{field.name}']")
        asked.focus()
        expect(form).to_have_attribute("data-state", "ready", timeout=SLOW)
        page.evaluate(SHIFTS)
        page.wait_for_timeout(600)  # what follows later than that is put down to no input any more
        places = page.evaluate(PLACES, name)
        answers = set()
        for value in (field.low, field.high, (field.low + field.high) / 2, field.value or field.low):
            edit(page, name, field.name, value)
            answers.add(page.locator(f"[data-calculator={name}] [data-answer]").text_content())
            assert page.evaluate(PLACES, name) == places, f"{field.name} = {value}"
        assert len(answers) > 1, "no other answer came"
        edit(page, name, field.name, "twelve")
        expect(asked).to_have_attribute("aria-invalid", "true")
        after = page.evaluate(PLACES, name)
        upto = list(places)[: list(places).index(field.name) + 1]
        assert {one: after[one] for one in upto} == {one: places[one] for one in upto}, "its error moved it"
        assert page.evaluate("window.shifts") == []


def edit(page: Page, name: str, field: str, value: object) -> None:
    asked = page.locator(f"form#{name} [name='{field}']")
    asked.press("ControlOrMeta+a")
    page.keyboard.insert_text(f"{value:g}" if isinstance(value, float) else str(value))
    expect(page.locator(f"form#{name}")).to_have_attribute("data-state", "ready", timeout=SLOW)
    page.evaluate(PAINTED)


@pytest.mark.parametrize("home", ["index.html", "fuel.html", "money.html", "oil-and-service.html", "load-and-tow.html"])
def test_every_number_is_the_trucks_from_the_first_frame_on(browser: Browser, served: str, home: str) -> None:
    with browser.new_context() as context:
        page = context.new_page()
        page.goto(f"{served}/my-truck.html")
        truck = calculators.example_truck("tamarack")
        page.evaluate("""async truck => {
            const today = handover.today();
            const reply = await dieselRuntime.call({do: "all", truck, today});
            handover.keep({truck, answers: reply.answers, facts: reply.facts, pictures: {}, site_version: handover.version(), computed_on: today});
        }""", truck)
        page.goto(f"{served}/{home}")
        example = page.evaluate("""() => {
            handover.show("example");
            return Object.fromEntries([...document.querySelectorAll("[data-live]")].map(one => [one.dataset.live, one.textContent]));
        }""")
        context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
        page.add_init_script(EVERY_FRAME)
        page.reload()
        page.wait_for_timeout(500)
        seen = page.evaluate("Object.fromEntries(Object.entries(window.seen).map(([key, texts]) => [key, [...texts]]))")
        assert {key: texts for key, texts in seen.items() if len(texts) != 1} == {}
        assert any(texts != [example[key]] for key, texts in seen.items()), "the truck's numbers are not the example's"
