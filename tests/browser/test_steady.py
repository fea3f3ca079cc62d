"""What a reader looks at stays where it is and as it is: no form moves under an edit, no number is the example's for a frame."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

import calculators
from tests.browser.conftest import first_visit

pytestmark = pytest.mark.browser
SHIFTS = """() => {
    window.shifts = [];
    new PerformanceObserver(list => window.shifts.push(...list.getEntries().map(entry => entry.startTime))).observe({type: "layout-shift"});
}"""
PAINTED = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
# Where every visible field of a form stands on the screen, by name.
PLACES = """id => Object.fromEntries([...document.getElementById(id).elements]
    .filter(one => one.name && one.checkVisibility()).map(one => [one.name, one.getBoundingClientRect().top]))"""
EVERY_FRAME = """
    window.seen = {};
    const look = () => {
        for (const place of document.querySelectorAll("[data-live]"))
            if (getComputedStyle(place).visibility === "visible") (window.seen[place.dataset.live] ??= new Set()).add(place.textContent);
        requestAnimationFrame(look);
    };
    requestAnimationFrame(look);
"""


def homes(site: Path) -> dict[str, str]:
    """The page on which each calculator stands."""
    pages = [path for path in sorted(site.glob("*.html")) if path.stem != "specimen"]
    return {name: path.name for path in pages for name in re.findall(r'<section class="calc" data-calculator="(\w+)"', path.read_text())}


def edits(name: str) -> tuple[str, list[str]]:
    """A field of the form and values that it takes, each with another answer: to its bounds where those stand alone, or its choices."""
    for field in calculators.form(name):
        bounds = [bound for bound in (field.low, field.high) if isinstance(bound, int | float)]
        values = field.choices or [f"{value:g}" for value in (*bounds, sum(bounds) / 2)] if field.kind in ("number", "choice") else ()
        answers = {value: answer for value in values if not field.row and (answer := answered(name, {field.name: value}))}
        if len(set(answers.values())) > 1:
            return field.name, list(answers)
    raise AssertionError(f"{name} has no such field")


def answered(name: str, given: dict[str, str]) -> str:
    try:
        return str(calculators.answer(name, given)["results"])
    except calculators.Refused:
        return ""


@pytest.mark.parametrize("name", calculators.NAMES)
def test_no_field_moves_when_the_results_change(whole_browser: Browser, served: str, site: Path, name: str) -> None:
    field, values = edits(name)
    with first_visit(whole_browser) as context:
        page = context.new_page()
        for width in (390, 1280):
            page.set_viewport_size({"width": width, "height": 900})
            page.goto(f"{served}/{homes(site)[name]}")  # a page of its own: a turned one breaks its lines anew
            stays(page, name, field, values)


def stays(page: Page, name: str, field: str, values: list[str]) -> None:
    form = page.locator(f"form#{name}")
    asked = form.locator(f"[name='{field}']")
    asked.focus()
    expect(form).to_have_attribute("data-state", "ready")
    page.evaluate(SHIFTS)
    places = page.evaluate(PLACES, name)
    shown = set()
    for value in values:
        edit(page, name, field, value)
        shown.add(page.locator(f"[data-calculator={name}] .results").text_content())
        assert moved(places, page.evaluate(PLACES, name)) == {}, f"{field} = {value}"
    assert len(shown) > 1, "no other answer came"
    stood = page.evaluate("performance.now()")
    expect(page.locator(f"[data-calculator={name}] [data-working]")).not_to_have_attribute("aria-busy", "true")
    page.evaluate(PAINTED)
    assert page.evaluate("since => window.shifts.filter(one => one > since)", stood) == [], "what follows the answer moved something"
    if asked.evaluate("one => one.matches('input')"):
        edit(page, name, field, "twelve")
        expect(asked).to_have_attribute("aria-invalid", "true")
        assert moved({field: places[field]}, page.evaluate(PLACES, name)) == {}, "its error moved it"


def moved(before: dict[str, float], after: dict[str, float]) -> dict[str, float]:
    """The fields that stand elsewhere, by more than scrolling rounds to."""
    return {one: after[one] - top for one, top in before.items() if abs(after[one] - top) > 1}


def edit(page: Page, name: str, field: str, value: str) -> None:
    asked = page.locator(f"form#{name} [name='{field}']")
    if asked.evaluate("one => one.matches('select')"):
        asked.press("ArrowDown")  # to the next choice, as a reader's own key
    else:
        asked.press("ControlOrMeta+a")
        page.keyboard.insert_text(value)
    expect(page.locator(f"form#{name}")).to_have_attribute("data-state", "ready")
    page.evaluate(PAINTED)


@pytest.mark.parametrize("home", ["index.html", "fuel.html", "money.html", "idling.html", "load-and-tow.html"])
def test_every_number_is_the_trucks_from_the_first_frame_on(browser: Browser, served: str, home: str) -> None:
    with first_visit(browser) as context:
        page = context.new_page()
        page.goto(f"{served}/my-truck.html")
        truck = calculators.example_truck("tamarack")
        page.evaluate("""async truck => {
            await kept.keep(truck);
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
