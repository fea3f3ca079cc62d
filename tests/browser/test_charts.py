"""Charts in a real Chromium: the build's picture until the first edit, then the same specs; a saved truck's own at once."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, Route, expect

import calculators
from pieces import charts
from tests.browser.conftest import first_visit
from tools.ready import ROOT

pytestmark = pytest.mark.browser
BUNDLE = "assets/vega/charts.js"
PAGES = {"regeneration": "exhaust", "service_due": "oil-and-service", "fluid_cost": "money", "diesel_or_gasoline": "money",
         "axle_load": "load-and-tow", "protection_worth": "money"}  # fmt: skip
EDITS = {
    "regeneration": {"long_trips_per_week": "0"},
    "service_due": {"odometer": "46000"},
    "fluid_cost": {"fuel_price": "6.5"},
    "diesel_or_gasoline": {"ownership_time": "9"},
    "axle_load": {"cargo_weight": "1800"},
    "protection_worth": {"failure_chance": "3"},
}
LIGHTEST_LETTERS = 12.9  # pixels, on a 390 px phone


@pytest.fixture
def asked(page: Page) -> list[str]:
    found: list[str] = []
    page.on("request", lambda request: found.append(request.url))
    return found


def figure(page: Page, name: str) -> Locator:
    return page.locator(f'figure.chart[data-of="{name}"]')


def edit(page: Page, name: str, given: dict[str, str]) -> None:
    for field, told in given.items():
        page.locator(f'#{name} [name="{field}"]').fill(told)
    expect(page.locator(f"#{name}")).to_have_attribute("data-state", "ready")
    expect(page.locator(f'figure.chart[data-of="{name}"][data-drawn="typed"]')).to_be_attached()


def answer(name: str, truck: Any = None, given: dict[str, str] | None = None, today: str = "") -> dict[str, Any]:
    return calculators.with_words(calculators.answer(name, given or {}, truck, today or today_of_page()))


def today_of_page() -> str:
    from datetime import date

    return date.today().isoformat()


def told(svg: str) -> tuple[list[str], list[str], list[str]]:
    """What a picture says and draws, however its tags are written."""
    texts = [re.sub(r"<[^>]*>", "", text).replace("&nbsp;", "\u00a0") for text in re.findall(r"<text.*?</text>", svg)]
    return texts, re.findall(r' d="([^"]*)"', svg), re.findall(r' transform="([^"]*)"', svg)


def same_picture(shown: Locator, name: str, answered: dict[str, Any]) -> None:
    due = str(charts.svg(charts.chart_of(name), answered))
    got = shown.locator("svg").evaluate("svg => svg.outerHTML")
    assert told(got) == told(due)
    label = re.search(r'aria-label="([^"]*)"', due)
    assert label
    assert shown.locator("svg").get_attribute("aria-label") == label[1].replace("&#39;", "'").replace("&#34;", '"').replace("&amp;", "&")


def truck_of(name: str) -> dict[str, Any]:
    truck = calculators.example_truck(name)
    return {**truck, "name": "Blue Heron", "facts": {**truck["facts"], "fuel_price": "4.11 USD/gal"}}


def save(page: Page, served: str, truck: dict[str, Any]) -> dict[str, Any]:
    page.goto(f"{served}/my-truck.html")
    file = {"name": "my-truck.json", "mimeType": "application/json", "buffer": json.dumps(truck).encode()}
    page.locator("[data-file]").set_input_files(file)
    expect(page.locator("html.yours")).to_be_attached()
    return page.evaluate("JSON.parse(localStorage.getItem(kept.KEY))")


@pytest.mark.parametrize("name", PAGES)
def test_reading_a_chapter_asks_for_no_chart_bundle(page: Page, asked: list[str], served: str, name: str) -> None:
    page.goto(f"{served}/{PAGES[name]}.html")
    figure(page, name).scroll_into_view_if_needed()
    page.wait_for_timeout(300)
    expect(figure(page, name).locator("svg")).to_be_visible()
    assert not [url for url in asked if "vega" in url]


def test_with_scripts_off_the_chart_and_its_table_are_there(browser: Browser, served: str) -> None:
    with first_visit(browser, java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(f"{served}/exhaust.html")
        expect(figure(page, "regeneration").locator("svg")).to_be_visible()
        figure(page, "regeneration").locator("summary").click()
        expect(figure(page, "regeneration").locator("td").first).to_be_visible()


@pytest.mark.parametrize("name", PAGES)
def test_an_edit_draws_what_the_build_would_draw(page: Page, asked: list[str], served: str, name: str) -> None:
    page.goto(f"{served}/{PAGES[name]}.html")
    edit(page, name, EDITS[name])
    same_picture(figure(page, name), name, answer(name, None, EDITS[name]))
    assert len([url for url in asked if url.endswith(BUNDLE)]) == 1


def test_each_edit_is_drawn_and_undone(page: Page, served: str) -> None:
    page.goto(f"{served}/exhaust.html")
    first = figure(page, "regeneration").locator("svg").evaluate("svg => svg.outerHTML")
    edit(page, "regeneration", {"long_trips_per_week": "0"})
    for trips in ("5", "1", "12"):
        page.locator('#regeneration [name="long_trips_per_week"]').fill(trips)
    due = str(charts.svg("filter_load", answer("regeneration", None, {"long_trips_per_week": "12"})))
    path = max(re.findall(r' d="(M46,94[^"]*)"', due), key=len)
    expect(figure(page, "regeneration").locator(f'path[d="{path}"]')).to_be_attached()
    page.locator("#regeneration [data-back]").click()
    path = max(re.findall(r' d="(M46,94[^"]*)"', first), key=len)
    expect(figure(page, "regeneration").locator(f'path[d="{path}"]')).to_be_attached()


def test_from_a_folder_an_edit_draws_too(page: Page, site: Path) -> None:
    page.goto(f"{site.as_uri()}/load-and-tow.html")
    edit(page, "axle_load", EDITS["axle_load"])
    same_picture(figure(page, "axle_load"), "axle_load", answer("axle_load", None, EDITS["axle_load"]))
    cells = figure(page, "axle_load").locator("td[data-from]")
    assert "1,800" not in cells.all_text_contents()[0]
    loaded = answer("axle_load", None, EDITS["axle_load"])["results"]["rear_axle_load"]
    expect(figure(page, "axle_load").locator('[data-from="results.rear_axle_load"]')).to_have_text(f"{loaded['number']} lb")


def test_a_saved_trucks_charts_need_no_bundle_and_turn_back_to_the_example(page: Page, asked: list[str], served: str) -> None:
    truck = truck_of("tamarack")
    saved = save(page, served, truck)
    assert set(saved["pictures"]) == set(PAGES)
    assert len(json.dumps(saved["pictures"])) < 40_000
    asked.clear()
    for name, where in PAGES.items():
        page.goto(f"{served}/{where}.html")
        shown = figure(page, name)
        expect(shown).to_have_attribute("data-drawn", "yours")
        same_picture(shown, name, answer(name, truck))
        blue = page.evaluate("getComputedStyle(document.querySelector('.live.yours') ?? document.querySelector('[data-truck-name]')).color")
        used = "all => all.flatMap(e => [getComputedStyle(e).fill, getComputedStyle(e).stroke])"
        assert blue in shown.locator("svg *").evaluate_all(used)
        example = re.search(rf'<figure class="chart"[^>]* data-of="{name}".*?</svg>', page.request.get(page.url).text(), re.DOTALL)
        assert example
        page.locator("[data-truck-bar] [data-show-example]").click()
        assert told(shown.locator("svg").evaluate("svg => svg.outerHTML")) == told(example[0])
        expect(shown.locator("svg")).to_be_visible()
        page.locator("[data-truck-bar] [data-show-example]").click()
        expect(shown).to_have_attribute("data-drawn", "yours")
    assert not [url for url in asked if "vega" in url]


def test_the_examples_picture_is_never_seen_for_a_saved_truck(page: Page, served: str) -> None:
    """Saved without pictures, as by an older version: hidden until its own is drawn."""
    truck = truck_of("tamarack")
    saved = save(page, served, truck)
    del saved["pictures"]
    page.evaluate("saved => localStorage.setItem(kept.KEY, saved)", json.dumps(saved))
    held: list[Route] = []
    page.route(f"**/{BUNDLE}", lambda route: held.append(route))
    page.goto(f"{served}/exhaust.html")
    shown = figure(page, "regeneration")
    with page.expect_request(f"**/{BUNDLE}"):
        shown.scroll_into_view_if_needed()
    page.wait_for_timeout(500)
    assert shown.locator("svg").evaluate("svg => getComputedStyle(svg).visibility") == "hidden"
    held[0].continue_()
    expect(shown).to_have_attribute("data-drawn", "yours")
    expect(shown.locator("svg")).to_be_visible()
    same_picture(shown, "regeneration", answer("regeneration", truck))


HOSTILE = (
    '<svg viewBox="0 0 360 10" onload="window.bad=1"><text x="3">words</text></svg>',
    '<svg viewBox="0 0 360 10"><script>window.bad=1</script></svg>',
    '<svg viewBox="0 0 360 10"><style>*{color:red}</style></svg>',
    '<svg viewBox="0 0 360 10"><foreignObject><img src=x onerror="window.bad=1"></foreignObject></svg>',
    '<svg viewBox="0 0 360 10"><a href="https://example.org"><text>a</text></a></svg>',
    '<svg viewBox="0 0 360 10"><text style="color:red">a</text></svg>',
    '<svg viewBox="0 0 360 10"><text x="3" x="<script>">a</text></svg>',
    '<img src=x onerror="window.bad=1">',
    "no picture",
    7,
)  # "" is kept where a number in the picture is not told: then there is none


@pytest.mark.parametrize("hostile", HOSTILE)
def test_a_stored_picture_can_bring_nothing_but_lines_and_words(page: Page, served: str, hostile: Any) -> None:
    truck = truck_of("tamarack")
    saved = {"truck": truck, "facts": {}, "answers": {"regeneration": answer("regeneration", truck)}, "pictures": {"regeneration": hostile}}
    page.goto(f"{served}/light.html")
    page.evaluate("""saved => localStorage.setItem(kept.KEY, JSON.stringify(
        {...saved, site_version: kept.version(), computed_on: kept.today(), until: "9999-12-31"}))""", saved)
    page.goto(f"{served}/exhaust.html")
    figure(page, "regeneration").scroll_into_view_if_needed()
    expect(figure(page, "regeneration")).to_have_attribute("data-drawn", "yours")
    same_picture(figure(page, "regeneration"), "regeneration", saved["answers"]["regeneration"])
    assert page.evaluate("window.bad") is None


def test_without_an_answer_a_card_leaves_no_room_for_a_chart_and_says_once_what_lacks(page: Page, served: str) -> None:
    """A truck whose weights nobody told: no picture, no table of dashes, and six results that say the same in a dash each."""
    page.goto(f"{served}/load-and-tow.html")
    card = page.locator("[data-calculator=axle_load]")
    table, form, results = card.locator("table[data-result=limits]"), card.locator("form"), card.locator(".results dd[data-result]")

    def seen() -> tuple[bool, bool, bool]:
        width, of = (part.evaluate("one => one.offsetWidth") for part in (form, card))
        return table.is_visible(), card.locator(".cols > figure.chart").is_visible(), width > 0.9 * of

    assert seen() == (True, True, False)
    page.evaluate("kept.keep({...kept.blank(), name: 'Wren', facts: {plows: 'no'}}).then(() => handover.show('yours'))")
    expect(card.locator("[data-answer]")).to_contain_text("No verdict yet: tell the empty weight on the front axle")
    assert seen() == (False, False, True)
    assert results.all_inner_texts() == ["—"] * results.count() and results.count() > 3
    page.evaluate("handover.show('example')")
    assert seen() == (True, True, False) and "—" not in results.all_inner_texts()


def test_without_the_bundle_the_table_speaks(browser: Browser, served: str) -> None:
    with first_visit(browser) as context:  # the console names the refused file
        page = context.new_page()
        page.route(f"**/{BUNDLE}", lambda route: route.abort())
        page.goto(f"{served}/exhaust.html")
        page.locator('#regeneration [name="long_trips_per_week"]').fill("0")
        expect(figure(page, "regeneration").locator("[data-chart-message]")).to_contain_text("could not be loaded")
        assert figure(page, "regeneration").locator("svg").evaluate("svg => getComputedStyle(svg).visibility") == "hidden"
        expect(figure(page, "regeneration").locator("td").first).to_be_visible()
        page.unroute(f"**/{BUNDLE}")
        edit(page, "regeneration", {"long_trips_per_week": "1"})
        expect(figure(page, "regeneration").locator("svg")).to_be_visible()
        expect(figure(page, "regeneration").locator("[data-chart-message]")).to_have_count(0)


def test_what_moves_the_answer_follows_an_edit_only_while_its_fold_is_open(page: Page, served: str) -> None:
    page.goto(f"{served}/load-and-tow.html")
    fold = page.locator('[data-moves="axle_load"]')
    edit(page, "axle_load", {"plow_weight": "1000"})
    page.wait_for_timeout(1000)
    expect(fold).to_have_attribute("data-stale", "")
    fold.locator("> summary").click()
    expect(fold).not_to_have_attribute("data-stale", "")
    moved = calculators.sensitivity("axle_load", {"plow_weight": "1000"}, None, today_of_page())
    due = str(charts.sensitivity(answer("axle_load", None, {"plow_weight": "1000"}), moved))
    assert told(fold.locator("svg").evaluate("svg => svg.outerHTML")) == told(re.search(r"<svg.*?</svg>", due)[0])  # type: ignore[index]
    rows = [[re.sub("<[^>]*>", "", cell) for cell in re.findall(r"<td.*?</td>", row)] for row in re.findall(r"<tr>(<td .*?)</tr>", due)]
    assert [row.locator("td").all_text_contents() for row in fold.locator("tbody tr").all()] == rows
    edit(page, "axle_load", {"plow_weight": "1200"})
    expect(fold).not_to_have_attribute("data-stale", "")
    low = calculators.sensitivity("axle_load", {"plow_weight": "1200"}, None, today_of_page())["rows"][0]["result_at_low"]["number"]
    expect(fold.locator("tbody tr").first.locator('[data-move="result_at_low"]')).to_contain_text(low)


def test_what_moves_a_saved_trucks_answer_is_asked_for_that_truck(page: Page, served: str) -> None:
    truck = truck_of("tamarack")
    save(page, served, truck)
    page.goto(f"{served}/money.html")
    fold = page.locator('[data-moves="fluid_cost"]')
    fold.locator("> summary").click()
    expect(fold).not_to_have_attribute("data-stale", "")
    row = calculators.sensitivity("fluid_cost", {}, truck, today_of_page())["rows"][0]
    expect(fold.locator("tbody tr").first.locator('[data-move="result_at_high"]')).to_have_text(row["result_at_high"]["number"])


@pytest.mark.parametrize("width", [390, 1280])
@pytest.mark.parametrize("name", PAGES)
def test_words_stay_inside_the_picture_large_enough_and_apart(browser: Browser, served: str, name: str, width: int) -> None:
    with first_visit(browser, viewport={"width": width, "height": 844}) as context:
        page = context.new_page()
        page.goto(f"{served}/{PAGES[name]}.html")
        svg = figure(page, name).locator("svg")
        frame = svg.bounding_box()
        assert frame
        assert 14 * frame["width"] / 360 >= LIGHTEST_LETTERS
        boxes = svg.locator("text").evaluate_all(
            "all => all.map(e => { const b = e.getBoundingClientRect(); return [e.textContent, b.left, b.top, b.right, b.bottom]; })")
        assert boxes
        for text, left, top, right, bottom in boxes:
            assert left >= frame["x"] - 1, text
            assert right <= frame["x"] + frame["width"] + 1, text
            assert top >= frame["y"] - 3, text
            assert bottom <= frame["y"] + frame["height"] + 5, text
        for place, (text, left, top, right, bottom) in enumerate(boxes):
            for other, a, b, c, d in boxes[place + 1 :]:
                assert min(right, c) - max(left, a) <= 0 or min(bottom, d) - max(top, b) <= 6, (text, other)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_saved_trucks_lines_are_its_blue_in_light_and_dark(browser: Browser, served: str, scheme: Any) -> None:
    with first_visit(browser, color_scheme=scheme) as context:
        page = context.new_page()
        save(page, served, truck_of("tamarack"))
        page.goto(f"{served}/exhaust.html")
        expect(figure(page, "regeneration")).to_have_attribute("data-drawn", "yours")
        strokes = figure(page, "regeneration").locator("svg path").evaluate_all("all => all.map(e => getComputedStyle(e).stroke)")
        blue = {"light": "rgb(16, 60, 148)", "dark": "rgb(168, 199, 255)"}  # look: `yours` in tokens.css
        assert blue[scheme] in strokes
        assert page.locator("#regeneration input").first.evaluate("input => getComputedStyle(input).color") == blue[scheme]


def test_the_bundle_leaves_one_name_behind() -> None:
    script = (ROOT / "docs/assets/charts.js").read_text("utf-8")
    assert script.count("self.dieselCharts = ") == 1
    assert "eval(" not in script
    assert "innerHTML" not in script
