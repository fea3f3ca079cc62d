"""This month's check in a real Chromium, served and from a folder: what is told goes into the truck's book in one press."""

import json
from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser.conftest import first_visit

pytestmark = pytest.mark.browser
BEFORE = date.today() - timedelta(days=31)
CHECK = {"odometer": "50000 mi", "engine_hours": "1500 h", "jar": "clear", "oil_mark": "full"}
OIL = {"odometer": "47000 mi", "engine_hours": "1400 h"}
TRUCK: dict[str, Any] = {
    "format": "diesel-handover-truck", "version": 2, "id": "m1", "name": "Alder", "facts": {"distance_per_week": "250 mi"}, "book": [
        {"id": "oil", "kind": "job", "job": "engine_oil", "date": str(BEFORE - timedelta(days=60)), **OIL},
        {"id": "then", "kind": "check", "date": str(BEFORE), **CHECK}]}  # fmt: skip


def open_check(page: Page, address: str, truck: dict[str, Any] | None) -> Locator:
    """The page with its form, for a truck that is saved here."""
    page.goto(f"{address}/my-truck.html")
    if truck:
        page.evaluate("truck => kept.keep(truck).then(() => {})", truck)
    page.goto(f"{address}/month.html")
    return page.locator("form#month")


def book(page: Page) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = page.evaluate("JSON.parse(localStorage.getItem(kept.KEY)).truck.book")
    return found


def press(form: Locator) -> None:
    form.get_by_role("button", name="Put it in the book").click()


def choose(form: Locator, group: str, label: str) -> None:
    form.get_by_role("group", name=group).get_by_role("radio", name=label).check()


@pytest.fixture(params=["served", "folder"])
def address(request: pytest.FixtureRequest) -> str:
    return str(request.getfixturevalue(request.param))


def test_what_is_told_stands_in_the_book_after_one_press(page: Page, address: str) -> None:
    form = open_check(page, address, TRUCK)
    expect(form.locator("[data-was=odometer]")).to_have_text("was 50,000 mi")
    form.get_by_label("Odometer").fill("51,400")
    form.get_by_label("Engine hours").fill("1540")
    form.get_by_label("DEF added").fill("2.5")
    form.get_by_role("group", name="Burns finished").get_by_role("button", name="One more burn").dblclick()
    choose(form, "What is in the jar", "Water")
    form.get_by_label("How much water").fill("30")
    choose(form, "Oil on the dipstick", "Below ADD")
    choose(form, "Tires", "All right")
    expect(form.locator("[data-told]")).to_have_text("7 of 9 told")
    press(form)
    result = page.locator("[data-month-result]")
    expect(result.locator("[data-head]")).to_be_focused()
    expect(result.locator("[data-head]")).to_contain_text("to know since")
    rows = result.locator("[data-since] li").all_inner_texts()
    assert any("30 mL, was" in row for row in rows) and not any("undefined" in row for row in rows), rows
    then = [[cell.inner_text() for cell in row.locator("td").all()] for row in result.locator("[data-then] tbody tr").all()]
    assert then == [["Odometer", "50,000", "51,400"], ["Engine hours", "1,500", "1,540"]]
    (*_, entry) = book(page)
    assert len(book(page)) == len(TRUCK["book"]) + 1
    assert {name: told for name, told in entry.items() if name not in ("id", "written")} == {
        "kind": "check", "date": str(date.today()), "odometer": "51,400 mi", "engine_hours": "1540 h", "def": "2.5 gal", "water": "30 mL",
        "jar": "water", "oil_mark": "below_add", "tires": "good", "burns_finished": 2}  # fmt: skip
    page.goto(f"{address}/records.html")
    first = page.locator("[data-entries] li").first
    expect(first).to_contain_text("51,400")
    page.goto(f"{address}/oil-and-service.html")
    expect(page.locator("[data-calculator=service_due] form [name=odometer]")).to_have_value("51,400")


def test_a_date_that_moved_is_told_with_the_one_before(page: Page, served: str) -> None:
    form = open_check(page, served, TRUCK)
    form.get_by_label("Odometer").fill("54000")
    press(form)
    moved = page.locator("[data-since] li", has_text="Engine oil").first
    expect(moved).to_contain_text(", was ")
    days = moved.locator("[data-now]").inner_text().split(", was ")
    assert days[0] != days[1] and all(str(day)[-4:].isdigit() for day in days)


def test_bad_input_is_named_and_nothing_is_lost(page: Page, address: str) -> None:
    form = open_check(page, address, TRUCK)
    odometer, hours = form.get_by_label("Odometer"), form.get_by_label("Engine hours")
    odometer.fill("a lot")
    hours.fill("1540")
    choose(form, "What is in the jar", "Clear")
    press(form)
    expect(odometer).to_have_attribute("aria-invalid", "true")
    expect(odometer).to_be_focused()
    expect(form.locator("#month-odometer-e")).not_to_be_empty()
    expect(form.locator("[data-message]")).to_contain_text("Nothing was put in the book yet")
    assert (odometer.input_value(), hours.input_value()) == ("a lot", "1540")
    assert len(book(page)) == len(TRUCK["book"])
    odometer.fill("51400")
    press(form)
    expect(page.locator("[data-month-result]")).to_be_visible()
    expect(form.locator("#month-odometer-e")).to_be_empty()
    assert [entry["odometer"] for entry in book(page)][len(TRUCK["book"]):] == ["51400 mi"]


def test_a_check_is_taken_back_and_what_was_typed_stands(page: Page, served: str) -> None:
    form = open_check(page, served, TRUCK)
    form.get_by_label("Odometer").fill("51400")
    press(form)
    page.get_by_role("button", name="Undo this check").click()
    expect(form).to_be_visible()
    expect(form.get_by_label("Odometer")).to_have_value("51400")
    expect(form.locator("[data-was=odometer]")).to_have_text("was 50,000 mi")
    (made,) = (entry for entry in book(page) if entry.get("odometer") == "51400 mi")
    (undone,) = (entry for entry in book(page) if entry["kind"] == "deleted")
    assert undone["replaces"] == made["id"]
    page.goto(f"{served}/records.html")
    expect(page.locator("[data-entries] li.struck")).to_have_count(1)


def test_nothing_told_and_no_truck_are_said(page: Page, served: str) -> None:
    form = open_check(page, served, None)
    press(form)
    expect(form.locator("[data-message]")).to_contain_text("No truck is saved")
    form = open_check(page, served, TRUCK)
    press(form)
    expect(form.locator("[data-message]")).to_contain_text("Tell at least one thing")
    assert len(book(page)) == len(TRUCK["book"])


def test_the_first_check_is_the_baseline_and_pressed_twice_is_one(page: Page, served: str) -> None:
    form = open_check(page, served, {**TRUCK, "book": []})
    expect(form.locator("[data-was=jar]")).to_be_empty()
    choose(form, "What is in the jar", "Metal")
    form.get_by_role("button", name="Put it in the book").dblclick()
    result = page.locator("[data-month-result]")
    expect(result.locator("[data-head]")).to_have_text("This is the baseline")
    expect(result.locator("[data-since] li").first).to_have_class("stop")
    assert len(book(page)) == 1


@pytest.fixture
def storing_nothing(browser: Browser) -> Iterator[Page]:
    with first_visit(browser) as context:
        context.add_init_script("Object.defineProperty(window, 'localStorage', {get() { throw new Error('refused'); }});")
        yield context.new_page()


def test_where_nothing_is_stored_it_is_said(storing_nothing: Page, served: str) -> None:
    page = storing_nothing
    page.goto(f"{served}/month.html")
    page.evaluate("truck => kept.keep(truck).then(() => {})", json.loads(json.dumps(TRUCK)))
    page.locator("form#month").get_by_label("Odometer").fill("51400")
    press(page.locator("form#month"))
    expect(page.locator("[data-month-result] [data-stored]")).to_contain_text("stores nothing")
