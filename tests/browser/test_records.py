"""Your records in a real Chromium: what the book says, its charts, what waits, its file. Several things a page, for each costs."""

import json
import re
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

import calculators
from calculators.engine.book_view import book_view
from calculators.engine.owner import owner
from calculators.engine.records_view import JOBS, records_view
from pieces.records import KINDS, figure
from tests.browser.conftest import first_visit, quiet_page

pytestmark = pytest.mark.browser
LIGHTEST_LETTERS = 12.9  # pixels, on a 390 px phone


def dated(name: str) -> dict[str, Any]:
    """An example truck as somebody's own, its book on real days."""
    truck = calculators.example_truck(name)
    book = [{**{field: told for field, told in raw.items() if field != "days_ago"},
             "date": str(date.today() - timedelta(days=int(raw["days_ago"])))} for raw in truck["book"]]
    return {**truck, "id": "heron", "name": "Blue Heron", "book": book}


def with_a_slip(truck: dict[str, Any]) -> dict[str, Any]:
    """Its last fill but two is ten times what it was."""
    fuel = [raw for raw in truck["book"] if raw["kind"] == "fuel"]
    return {**truck, "book": [{**raw, "fuel": "200 gal"} if raw is fuel[-3] else raw for raw in truck["book"]]}


def a_file(name: str, text: str) -> Any:
    return {"name": name, "mimeType": "text/plain", "buffer": text.encode()}


def save(page: Page, served: str, truck: dict[str, Any]) -> None:
    page.goto(f"{served}/my-truck.html")
    page.locator("[data-file]").set_input_files(a_file("my-truck.json", json.dumps(truck)))
    expect(page.locator("html.yours")).to_be_attached()
    page.goto(f"{served}/records.html")


def due(truck: dict[str, Any]) -> dict[str, Any]:
    today = date.today().isoformat()
    book = owner(truck, {}, today).book
    return records_view(calculators.with_words(calculators.answer("own_records", None, truck, today)), truck["name"], book.entries,
                        book_view(truck["book"], book.asked))


def drawn(page: Page, kind: str) -> str:
    part = page.locator(f'figure[data-record="{kind}"]')
    part.scroll_into_view_if_needed()
    expect(part).to_have_attribute("data-drawn", "yours")
    return part.locator("svg:visible").evaluate("svg => svg.outerHTML")


def told(svg: str) -> tuple[list[str], list[str], list[str]]:
    """What a picture says and draws, however its tags are written."""
    texts = [re.sub(r"<[^>]*>", "", text) for text in re.findall(r"<text.*?</text>", svg)]
    return texts, re.findall(r' d="([^"]*)"', svg), re.findall(r' transform="([^"]*)"', svg)


def test_a_year_of_entries_is_said_drawn_mended_and_turned_back(page: Page, served: str) -> None:
    truck = with_a_slip(dated("juniper"))
    view = due(truck)
    page.goto(f"{served}/records.html")
    example = page.locator("[data-lines]").inner_text()
    save(page, served, truck)
    expect(page.locator("[data-lede]")).to_have_text(view["lede"])
    assert page.locator("[data-lines] li").all_inner_texts() == ["".join(one["parts"]) for one in view["says"]]
    assert page.locator("[data-lines] li").evaluate_all("all => all.map(one => one.className)") == [one["look"] for one in view["says"]]
    for kind in KINDS:  # as the build would draw it, its words and its table beside it
        made = str(figure(kind, view["charts"][kind]))
        assert told(drawn(page, kind)) == told(re.findall(r"<svg.*?</svg>", made)[0]), kind
        shown = page.locator(f'figure[data-record="{kind}"]')
        assert shown.locator("[data-chart-says]").inner_text() == "".join(view["charts"][kind]["says"])
        assert shown.locator("svg:visible").get_attribute("aria-label").endswith("".join(view["charts"][kind]["says"]))  # type: ignore[union-attr]
    summary = page.locator(f'figure[data-record="{JOBS}"] summary')
    summary.focus()
    page.keyboard.press("Enter")
    expect(page.locator(f'figure[data-record="{JOBS}"] tbody tr')).to_have_count(len(view["charts"][JOBS]["table"]))
    expect(page.locator(f'figure[data-record="{JOBS}"] td').first).to_be_visible()

    answered = calculators.answer("own_records", None, truck, date.today().isoformat())["results"]
    for name in ("tanks", "def_fills", "drains", "burns"):  # a fold tells this truck's number of rows, not the example's
        fold = page.locator(f'[data-calculator=own_records] details:has([data-result="{name}"]) > summary [data-many]')
        expect(fold).to_have_text(f"({len(answered[name])})")

    (waits,) = view["mend"]  # one tap from being mended
    expect(page.locator("[data-mend] li")).to_contain_text([waits["why"]])
    page.locator("[data-mend] [data-correct]").click()
    page.locator("form[data-entry] [name=fuel]").fill("20")
    page.locator("form[data-entry] [type=submit]").click()
    expect(page.locator("form[data-entry] [data-message]")).to_contain_text("It stands in the book")
    expect(page.locator("[data-mend]")).to_be_hidden()
    page.locator("[data-truck-bar] [data-show-example]").click()
    assert page.locator("[data-lines]").inner_text() == example
    expect(page.locator("figure[data-record=record_economy] svg:visible")).to_be_visible()
    page.locator("[data-truck-bar] [data-show-example]").click()
    expect(page.locator("[data-lede]")).to_contain_text("Blue Heron")
    assert "NaN" not in drawn(page, KINDS[0])


def test_an_empty_book_is_filled_by_hand_undone_and_by_a_spreadsheet(page: Page, served: str, tmp_path: Path) -> None:
    save(page, served, {**dated("juniper"), "book": []})
    expect(page.locator("[data-lines] li.lacks")).to_have_count(3)
    expect(page.locator("figure[data-record]:visible")).to_have_count(0)
    page.locator("[data-write=fuel]").click()
    for name, value in {"odometer": "41000", "engine_hours": "1300", "fuel": "20"}.items():
        page.locator(f"form[data-entry] [name={name}]").fill(value)
    page.evaluate("""() => new MutationObserver((_, watcher) => {
        window.early = [kept.here.saved.truck.book.length, document.querySelector("[data-entries] b").textContent];
        watcher.disconnect();
    }).observe(document.querySelector("[data-entries]"), {childList: true})""")
    page.locator("form[data-entry] [type=submit]").click()
    expect(page.locator("form[data-entry] [data-message]")).to_contain_text("It stands in the book")
    assert page.evaluate("window.early") == [0, "Fuel filled: 20 gallons"]  # seen before anything was worked out
    expect(page.locator("[data-entries] b")).to_have_text("Fuel filled: 20 gallons")
    page.locator("[data-write=fuel]").click()
    for name, value in {"odometer": "4100", "fuel": "20"}.items():  # a digit too few
        page.locator(f"form[data-entry] [name={name}]").fill(value)
    page.locator("form[data-entry] [type=submit]").click()  # asked about before it is added
    expect(page.locator("#entry-odometer-e")).to_contain_text("Lower than 41,000 on")
    expect(page.locator("form[data-entry] [data-message]")).to_contain_text("Nothing was added yet")
    expect(page.locator("[data-entries] > li")).to_have_count(1)
    assert page.evaluate("kept.here.saved.truck.book.length") == 1
    page.locator("form[data-entry] [type=submit]").click()  # told again just so, it is meant
    expect(page.locator("form[data-entry] [data-message]")).to_contain_text("It stands in the book")
    expect(page.locator("[data-entries] > li")).to_have_count(2)
    page.locator("[data-entries] li", has_text="4,100 miles").locator("[data-undo-entry]").click()
    expect(page.locator("[data-entries] li.struck")).to_have_count(1)
    expect(page.locator("form[data-entry] [data-message]")).to_contain_text("Taken back")
    page.locator("[data-entries] [data-undo-entry]").click()
    expect(page.locator("[data-entries] li.struck")).to_have_count(2)
    page.locator("[data-entries] li", has_text="41,000 miles").locator("[data-put-back]").click()
    expect(page.locator("[data-entries] [data-undo-entry]")).to_have_count(1)

    days = [(date.today() - timedelta(days=7 * ago), ago) for ago in range(1, 11)]
    rows = "".join(f"{day},fuel,{41_000 - 300 * ago},{1300 - 12 * ago},22.1,yes\n" for day, ago in days)
    table = f"date,kind,odometer (mi),engine_hours (h),fuel (gal),full\n{rows}2026-01-05,fuel,38000,1200,lots,yes\n"
    page.locator("[data-read-file]").set_input_files(a_file("entries.csv", table))
    expect(page.locator("[data-file-message]")).to_contain_text("10 entries are new. Row 12, fuel (gal), “lots”:")
    assert "by 10 tanks" in page.locator("[data-lines]").inner_text()
    assert len(told(drawn(page, "record_economy"))[2]) > 10
    page.locator("[data-read-file]").set_input_files(a_file("entries.csv", table))
    expect(page.locator("[data-file-message]")).to_contain_text("Nothing in it is new.")
    expect(page.locator("[data-entries] > li")).to_have_count(8)
    page.locator("[data-all-entries]").click()
    expect(page.locator("[data-entries] > li")).to_have_count(13)  # what was put back stands beside what was taken back
    with page.expect_download() as got:
        page.locator("[data-table-book]").click()
    text = Path(got.value.path()).read_text("utf-8")
    assert got.value.suggested_filename == "entries.csv" and len(text.splitlines()) > 11 and "22.1" in text
    page.locator("[data-read-file]").set_input_files(a_file("my-truck.json", json.dumps({**dated("tamarack"), "id": "other"})))
    expect(page.locator("[data-file-message]")).to_contain_text("another truck")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_on_a_phone_words_stay_inside_the_pictures_apart_and_large_enough(browser: Browser, served: str, scheme: Any) -> None:
    with first_visit(browser, viewport={"width": 390, "height": 844}, color_scheme=scheme) as context, quiet_page(context) as page:
        save(page, served, dated("tamarack"))
        blue = {"light": "rgb(16, 60, 148)", "dark": "rgb(168, 199, 255)"}[scheme]  # look: `yours` in tokens.css
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        for kind in KINDS:
            drawn(page, kind)
            svg = page.locator(f'figure[data-record="{kind}"] svg:visible')
            frame = svg.bounding_box()
            assert frame and 14 * frame["width"] / 350 >= LIGHTEST_LETTERS
            assert blue in svg.locator("path, line").evaluate_all("all => all.map(e => getComputedStyle(e).stroke)")
            boxes = svg.locator("text").evaluate_all(
                "all => all.map(e => { const b = e.getBoundingClientRect(); return [e.textContent, b.left, b.top, b.right, b.bottom]; })")
            frame = svg.bounding_box()
            assert frame
            for place, (text, left, top, right, bottom) in enumerate(boxes):
                assert frame["x"] - 1 <= left and right <= frame["x"] + frame["width"] + 1, (kind, text)
                assert frame["y"] - 3 <= top and bottom <= frame["y"] + frame["height"] + 5, (kind, text)
                for other, a, b, c, d in boxes[place + 1 :]:
                    assert min(right, c) - max(left, a) <= 0 or min(bottom, d) - max(top, b) <= 6, (kind, text, other)
        small = page.locator(".records :is(button, summary):visible, .book :is(button, summary):visible").evaluate_all(
            "all => all.filter(one => one.getBoundingClientRect().height < 47.5).map(one => one.textContent)")
        assert small == []
