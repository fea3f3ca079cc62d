"""Pages as their readers look at them, on a phone and on a desk: nothing cut, broken, crooked, half empty or in the way, nothing dead."""

from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import first_visit, quiet_page
from tests.browser.test_home import save_truck
from tests.browser.test_look import pages

pytestmark = pytest.mark.browser
DESKS = (1000, 1280, 1440)
WITH_A_MENU = 1280
ALL_STAYS = ("light.html", "emergency.html")  # pages on which nothing is lost without scripts
CELLS_SHORT_OF_THEIR_ROW = """() => [...document.querySelectorAll(".cells")].filter(box => box.checkVisibility()).flatMap(box => {
  const rows = new Map([...box.children].map(one => [Math.round(one.getBoundingClientRect().top), one]));
  const right = box.getBoundingClientRect().right;
  return [...rows.values()].filter(last => right - last.getBoundingClientRect().right > 3).map(last => last.textContent.slice(0, 40));
})"""
DEAD = """() => [...document.querySelectorAll("button, input, select, textarea, [role=button], .btn, .tick, label[for]")].filter(one =>
  one.checkVisibility({visibilityProperty: true, opacityProperty: true}) && !one.matches("a[href], [popovertarget]")
  && !one.closest(".languages, .md-overlay, [for=__drawer], [for^=__nav], .specimen")).map(one => one.outerHTML.slice(0, 80))"""


def boxes(page: Page, selector: str) -> list[dict[str, float]]:
    found: list[dict[str, float]] = page.locator(selector).evaluate_all("all => all.map(one => one.getBoundingClientRect().toJSON())")
    assert found, selector
    return found


@pytest.fixture(scope="module")
def read(browser: Browser) -> Any:
    """Open a page on a screen so wide, and close what was open before."""
    opened: list[Any] = []

    def at(address: str, width: int, height: int = 900, **options: Any) -> Page:
        while opened:
            opened.pop().close()
        opened.append(first_visit(browser, viewport={"width": width, "height": height}, reduced_motion="reduce", **options))
        page: Page = opened[0].new_page()
        page.goto(address)
        return page

    yield at
    while opened:
        opened.pop().close()


def test_a_phone_shows_all_of_what_stands_on_a_line(read: Any, served: str) -> None:
    for name in ("money", "records"):
        page = read(f"{served}/{name}.html", 390)
        assert all(0 <= box["left"] and box["right"] <= 390 for box in boxes(page, ".md-footer__link, .md-footer__link *")), name
    (advice,) = boxes(page, "[data-result=alarms] [data-field=look_at]")
    assert advice["right"] <= 390 and advice["width"] > 250
    page = read(f"{served}/index.html", 390)
    for job, when in zip(boxes(page, ".jobs > li:has(.when:not(:empty)) > b"), boxes(page, ".jobs .when:not(:empty)"), strict=True):
        assert when["top"] >= job["bottom"] - 1 and when["left"] == pytest.approx(job["left"], abs=1)
    for width in (390, 320):
        day = read(f"{served}/my-truck.html", width).locator("[name='oil.date']")
        day.fill("11/15/2025")
        assert day.evaluate("one => one.scrollWidth <= one.clientWidth"), width


@pytest.mark.parametrize("width", DESKS)
def test_whom_to_call_is_read_at_a_glance(read: Any, served: str, width: int) -> None:
    page = read(f"{served}/light.html", width)
    lines = page.locator(".call b").evaluate_all("""all => all.filter(one => one.checkVisibility()).map(one => {
        const text = document.createRange();
        text.selectNodeContents(one);
        const shown = [...one.querySelectorAll("span")].find(span => span.checkVisibility()) ?? one;
        return [new Set([...text.getClientRects()].map(box => Math.round(box.bottom))).size, getComputedStyle(shown).fontSize];
    })""")
    assert len(lines) == 4 and all(count == 1 for count, _ in lines) and len({size for _, size in lines}) == 1, lines


def test_the_menu_of_every_chapter_leads_to_lights_my_truck_and_sheets(read: Any, served: str) -> None:
    page = read(f"{served}/fuel.html", WITH_A_MENU)
    chapters = page.locator(".md-nav--primary .md-nav .md-nav__link[href$='.html']").evaluate_all("all => all.map(one => one.href)")
    assert len(chapters) > 7
    for address in chapters:
        page.goto(address)
        for place in ("light.html", "my-truck.html", "sheets.html"):
            link = page.locator(f".md-nav--primary > .md-nav__list > li > a[href$='{place}']")
            seen = link.evaluate("""one => { const {x, y, width, height} = one.getBoundingClientRect();
                return one.contains(document.elementFromPoint(x + 8, y + height / 2)); }""")
            assert seen, (address, place)


@pytest.mark.parametrize("width", [1280, 1440])
def test_text_leaves_no_third_of_its_column_empty(read: Any, served: str, width: int) -> None:
    page = read(f"{served}/fuel.html", width)
    (wide, *_), texts = boxes(page, "article > h2"), boxes(page, "article > p")
    assert max(text["width"] for text in texts) > wide["width"] * 0.8


@pytest.mark.parametrize("width", [390, 1280])
def test_the_cells_of_a_form_fill_their_rows(read: Any, served: str, width: int) -> None:
    for name in ("load-and-tow", "oil-and-service", "records"):
        assert read(f"{served}/{name}.html", width).evaluate(CELLS_SHORT_OF_THEIR_ROW) == []


@pytest.mark.parametrize("width", [390, 1280])
def test_sticky_heads_and_back_to_top_lie_on_nothing(read: Any, served: str, width: int) -> None:
    page = read(f"{served}/light.html", width)
    for way in (0, 30, 60, -200):
        page.evaluate("by => scrollTo({top: document.getElementById('soon').parentElement.offsetTop + by, behavior: 'instant'})", way)
        page.wait_for_timeout(50)
        heads = sorted(boxes(page, ".md-header, .lvlhead"), key=lambda box: box["top"])
        seen = [box for box in heads if box["bottom"] > 0]
        assert all(one["bottom"] <= other["top"] + 1 for one, other in pairwise(seen)), (way, seen)
    page = read(f"{served}/money.html", width)
    page.mouse.wheel(0, 5000)
    page.wait_for_timeout(200)
    page.mouse.wheel(0, -300)
    expect(page.locator(".md-top")).to_have_css("opacity", "1")
    (top,), (head,) = boxes(page, ".md-top"), boxes(page, ".md-header")
    assert head["top"] <= top["top"] and top["bottom"] <= head["bottom"]


def test_a_row_of_the_job_table_stands_level_and_whose_a_number_is_stands_small(read: Any, served: str) -> None:
    page = read(f"{served}/my-truck.html", 1280)
    save_truck(page, served, "Alder")
    page.goto(f"{served}/oil-and-service.html")
    rows = page.locator("[data-jobs=table] tbody tr:has(.when)").evaluate_all("""all => all.map(row => [...row.cells].map(cell => {
        const text = document.createRange();
        text.selectNodeContents(cell);
        const {top, height} = text.getBoundingClientRect();
        return height && top + height / 2;
    }).filter(Boolean))""")
    assert len(rows) > 10 and all(max(row) - min(row) < 4 for row in rows)
    sizes = page.locator("[data-calculator=service_due] .rests:not(:empty)").evaluate_all(
        "all => all.map(one => parseFloat(getComputedStyle(one).fontSize))")
    assert len(sizes) > 4 and max(sizes) < 16


def test_the_count_of_a_fold_is_that_of_its_rows_and_a_list_comes_back(read: Any, served: str) -> None:
    page = read(f"{served}/records.html", 1280)
    counts = page.evaluate("""() => {
        const card = document.querySelector("[data-calculator=own_records]");
        const table = card.querySelector("[data-result=def_fills]");
        const one = {value: 1, shown: "1", look: ""};
        const cells = Object.fromEntries([...table.tBodies[0].rows[0].cells].map(cell => [cell.dataset.field, one]));
        const answer = (rows) => ({results: {def_fills: rows}, inputs: {}, look: "plain", sign: "", answer: "", cautions: [], sources: []});
        return [3, 0, 2].map(count => {
            cards.fillCard(card, answer(Array(count).fill(cells)));
            return [table.closest("details").querySelector("[data-many]").textContent, table.tBodies[0].rows.length];
        });
    }""")
    assert counts == [["(3)", 3], ["(0)", 0], ["(2)", 2]]


@pytest.mark.parametrize("width", [390, 1280])
def test_without_scripts_nothing_is_dead_and_a_line_says_what_works(read: Any, served: str, width: int) -> None:
    page = read(f"{served}/index.html", width, java_script_enabled=False)
    for name in pages():
        page.goto(f"{served}/{name}")
        assert page.evaluate(DEAD) == [], name
        told = page.locator("noscript p")
        assert told.count() == (name not in ALL_STAYS)
        if told.count():
            expect(told).to_be_visible()
            expect(told).to_contain_text("Scripts are off. You can read and print everything here")


def test_home_leads_to_all_that_an_owner_comes_back_for(browser: Browser, served: str) -> None:
    with first_visit(browser, viewport={"width": 1280, "height": 900}) as context, quiet_page(context) as page:
        page.goto(f"{served}/index.html")
        for name in ("my-truck", "month", "records", "sheets"):
            expect(page.locator(f"nav[aria-label='All pages'] a[href='{name}.html']")).to_be_visible()
