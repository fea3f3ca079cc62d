"""From nothing to the first own number in six questions, the work order on home, Done's small sheet, and whom to call."""

import json
import re
from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

import calculators
from calculators.engine import due
from tests.browser.conftest import first_visit, quiet_page
from tests.browser.test_look import found_by_axe
from tools.ready import ROOT

pytestmark = pytest.mark.browser
PHONE = {"width": 390, "height": 844}
MOST_STOPS = 24  # of a keyboard, from the first question to the way out


@pytest.fixture
def phone(browser: Browser) -> Iterator[Page]:
    with first_visit(browser, viewport=PHONE, locale="en-US", timezone_id="UTC", reduced_motion="reduce") as context:
        with quiet_page(context) as page:
            yield page


def days_ago(page: Page, days: int) -> str:
    return (date.fromisoformat(page.evaluate("kept.today()")) - timedelta(days=days)).isoformat()


def saved(page: Page) -> dict[str, Any]:
    """The truck that this browser keeps."""
    truck: dict[str, Any] = page.evaluate("JSON.parse(localStorage.getItem(kept.KEY)).truck")
    return truck


def field(page: Page, name: str) -> Locator:
    return page.locator(f"form#truck [name='{name}']")


def so(page: Page, question: str) -> Locator:
    return page.locator(f"[data-ask={question}] .so p")


def keep(page: Page, served: str, book: list[dict[str, Any]], **facts: str) -> None:
    """A truck of one's own with this book, kept; readings and jobs say how many days ago they were."""
    page.goto(f"{served}/my-truck.html")
    entries = [{"id": f"entry{place}", "date": days_ago(page, entry["ago"]),
                **{name: told for name, told in entry.items() if name != "ago"}}
               for place, entry in enumerate(book)]
    truck = {"format": "diesel-handover-truck", "version": 2, "id": "a" * 32, "name": "Big Red", "identity": {}, "facts": facts,
             "interval": {}, "book": entries}
    page.evaluate("truck => kept.keep(truck).then(() => {})", truck)


def test_trips_that_leave_most_miles_out_are_asked_for_where_they_are_told(phone: Page, served: str) -> None:
    """Three trips of 12 minutes at 25 mph and one of 45 at 60 are 60 miles."""
    keep(phone, served, [], short_trips_per_week="3", long_trips_per_week="1", distance_per_week="230")
    phone.goto(f"{served}/my-truck.html")
    expect(so(phone, "trips")).to_contain_text("Your trips come to 60 miles a week, you told 230 miles. Tell the trips that are missing")
    field(phone, "short_trips_per_week").fill("20")
    expect(so(phone, "trips")).not_to_contain_text("missing")
    expect(so(phone, "trips")).to_contain_text("Your one long trip")


OVERDUE = [
    {"kind": "reading", "ago": 0, "odometer": "88080 mi", "engine_hours": "3214 h"},
    {"kind": "job", "job": "engine_oil", "ago": 200, "odometer": "79000 mi", "engine_hours": "2800 h"},
    {"kind": "job", "job": "separator_drain", "ago": 25},
    {"kind": "job", "job": "air_filter", "ago": 30, "odometer": "87000 mi"},
]


def test_from_nothing_to_the_first_own_number_with_a_result_after_each_answer(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    expect(phone.locator("[data-six]")).to_have_text("0 of 6 told")
    expect(phone.locator(".so:visible")).to_have_count(0)

    field(phone, "name").fill("Big Red")
    phone.get_by_label("Plows").check()
    expect(so(phone, "work")).to_contain_text("Big Red, plow hydraulic fluid among them")
    field(phone, "odometer").fill("88,080")
    field(phone, "engine_hours").fill("3,214")
    expect(so(phone, "meters")).to_contain_text("In the book for")
    phone.get_by_role("radio", name="Used").check()
    field(phone, "delivery.date").fill("5/2024")
    expect(so(phone, "delivery")).to_contain_text("have no record yet")
    field(phone, "oil.date").fill(days_ago(phone, 60))
    field(phone, "oil.odometer").fill("86,350")
    expect(so(phone, "oil")).to_contain_text("Next: oil about")
    line = so(phone, "oil").inner_text()
    field(phone, "short_trips_per_week").fill("18")
    field(phone, "long_trips_per_week").fill("2")
    expect(phone.locator("[data-six]")).to_have_text("5 of 6 told")  # how long they take stands there as an example
    field(phone, "short_trip_time").fill("15")
    field(phone, "long_trip_time").fill("50")
    expect(so(phone, "trips")).to_contain_text("2 long trips")
    field(phone, "idle_hours_per_week").fill("6")
    expect(so(phone, "idling")).to_contain_text("Idling costs")
    expect(phone.locator("[data-six]")).to_have_text("6 of 6 told")
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    phone.get_by_role("button", name="Enough for now").click()
    phone.wait_for_url("**/index.html*")
    expect(phone.get_by_role("heading", level=1)).to_have_text("Big Red")
    truck = saved(phone)
    kinds = {entry["kind"]: entry for entry in truck["book"]}
    assert {name: kinds["reading"][name] for name in ("odometer", "engine_hours")} == {"odometer": "88,080 mi", "engine_hours": "3,214 h"}
    assert kinds["reading"]["date"] == phone.evaluate("kept.today()")
    assert (kinds["delivery"]["new"], kinds["delivery"]["date"], kinds["delivery"]["estimated"]) == ("no", "2024-05-01", True)
    assert (kinds["job"]["job"], kinds["job"]["odometer"], kinds["job"].get("estimated")) == ("engine_oil", "86,350 mi", None)
    assert truck["facts"]["plows"] == "yes" and truck["facts"]["tows"] == "no"
    # What was said under the question stands in the work order, as the calculators work it out.
    today = phone.evaluate("kept.today()")
    answered = calculators.with_words(calculators.answer("service_due", truck=truck, today=today))
    jobs = due.due(answered["results"], date.fromisoformat(today))
    when = next(job["when"] for job in jobs if job["job"] == "engine_oil")
    assert when in line
    expect(phone.locator("[data-job=engine_oil] .falls")).to_have_text(when)


def test_every_line_is_the_calculators_own(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    facts = {"short_trips_per_week": "30", "long_trips_per_week": "0", "idle_hours_per_week": "20"}
    for name, told in facts.items():
        field(phone, name).fill(told)
    told = facts | {"idle_hours_per_week": "20 h"}
    truck = {"format": "diesel-handover-truck", "version": 2, "name": "My truck", "facts": told, "book": []}
    for question, name in (("trips", "regeneration"), ("idling", "idle_bill")):
        answer = calculators.answer(name, truck=truck, today=phone.evaluate("kept.today()"))["answer"]
        expect(so(phone, question).locator("span").first).to_have_text(answer)
        expect(so(phone, question).locator(".rests")).to_have_text("partly yours")


def test_nothing_told_the_way_out_leads_home_and_keeps_nothing(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    phone.get_by_role("button", name="Look around first").click()
    phone.wait_for_url("**/index.html*")
    assert phone.evaluate("localStorage.getItem(kept.KEY)") is None


def test_enough_after_one_answer(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    field(phone, "odometer").fill("64,210")
    phone.get_by_role("button", name="Enough for now").click()
    phone.wait_for_url("**/index.html*")
    expect(phone.locator("[data-now=odometer_now]")).to_have_text("64,210 mi")
    expect(phone.locator("[data-now=engine_hours_now]")).to_have_text("not told yet")
    heads = phone.locator("[data-order] .part > h2").all_inner_texts()
    assert [head.split("\n")[0] for head in heads] == ["No record: do it now", "No record yet"]


def test_what_cannot_be_read_stays_and_the_page_stays(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    field(phone, "oil.date").fill("last summer")
    field(phone, "oil.odometer").fill("86350")
    phone.get_by_role("button", name="Enough for now").click()
    expect(field(phone, "oil.date")).to_have_attribute("aria-invalid", "true")
    expect(phone.locator("#truck-oil-date-e")).to_contain_text("6/14/2026")
    assert phone.url.endswith("my-truck.html") and saved(phone)["book"] == []
    phone.reload()
    expect(field(phone, "oil.date")).to_have_value("last summer")
    expect(field(phone, "oil.odometer")).to_have_value("86,350")


@pytest.mark.parametrize(("typed", "day", "about"), [
    ("6/14/2026", "2026-06-14", False), ("2026-06-14", "2026-06-14", False), ("Jun 14, 2026", "2026-06-14", False),
    ("june 14 2026", "2026-06-14", False), ("6/2026", "2026-06-01", True), ("Jun 2026", "2026-06-01", True),
    ("2026-06", "2026-06-01", True)])
def test_a_day_is_read_as_people_write_it_and_a_month_is_a_guess(phone: Page, served: str, typed: str, day: str, about: bool) -> None:
    phone.clock.set_fixed_time("2026-11-30T12:00:00Z")
    phone.goto(f"{served}/my-truck.html")
    field(phone, "oil.date").fill(typed)
    (made,) = phone.evaluate("sixQuestions.entries().made")
    assert (made["head"]["date"], made["head"].get("estimated", False)) == (day, about)


@pytest.mark.parametrize("typed", ["2/30/2026", "13/2026", "14/6/2026", "yesterday", "12/24/2026"])
def test_a_day_that_is_none_or_still_to_come_makes_no_entry(phone: Page, served: str, typed: str) -> None:
    phone.clock.set_fixed_time("2026-11-30T12:00:00Z")
    phone.goto(f"{served}/my-truck.html")
    field(phone, "oil.date").fill(typed)
    told = phone.evaluate("sixQuestions.entries()")
    assert told["made"] == [] and [fault["field"] for fault in told["faults"]] == ["oil.date"]


def test_saved_again_nothing_is_written_twice_and_a_later_change_is_another_entry(phone: Page, served: str) -> None:
    keep(phone, served, OVERDUE)
    phone.reload()
    before = saved(phone)["book"]
    expect(field(phone, "oil.odometer")).to_have_value("79,000")
    field(phone, "fuel_price").evaluate("one => one.closest('details').open = true")
    field(phone, "fuel_price").fill("4.10")
    phone.get_by_role("button", name="Save my truck").click()
    expect(phone.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    assert saved(phone)["book"] == before
    field(phone, "oil.odometer").fill("79100")  # the same day: corrected
    phone.get_by_role("button", name="Save my truck").click()
    expect(phone.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    made = [entry for entry in saved(phone)["book"] if entry not in before]
    assert [(entry["odometer"], entry["engine_hours"], entry["replaces"]) for entry in made] == [("79100 mi", "2800 h", "entry1")]
    field(phone, "oil.date").fill(days_ago(phone, 3))
    field(phone, "oil.odometer").fill("88000")
    field(phone, "oil.engine_hours").fill("3210")
    phone.get_by_role("button", name="Save my truck").click()
    expect(phone.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    (later,) = [entry for entry in saved(phone)["book"] if entry not in before and entry not in made]
    assert "replaces" not in later and later["odometer"] == "88000 mi"


def test_a_number_stands_in_every_field_with_its_commas_and_untouched_it_is_what_was_told(phone: Page, served: str) -> None:
    told = {"gross_rating": "14000 lb", "fuel_price": "4.10 USD/gal", "distance_per_year": "12500.5 mi"}
    keep(phone, served, OVERDUE, **told)
    phone.reload()
    shown = {"odometer": "88,080", "engine_hours": "3,214", "oil.odometer": "79,000", "oil.engine_hours": "2,800",
             "gross_rating": "14,000", "fuel_price": "4.10", "distance_per_year": "12,500.5"}
    assert {name: field(phone, name).input_value() for name in shown} == shown
    before = saved(phone)
    phone.get_by_role("button", name="Save my truck").click()
    expect(phone.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    assert {part: saved(phone)[part] for part in ("facts", "book")} == {"facts": told, "book": before["book"]}
    for page in ("my-truck", "oil-and-service", "fit", "exhaust", "load-and-tow"):
        phone.goto(f"{served}/{page}.html")
        texts = phone.locator("form input").evaluate_all("all => all.flatMap(one => [one.value, one.placeholder])")
        assert any("," in text for text in texts) and not [text for text in texts if re.match(r"\d{4,}(\.|\b(?!-))", text)], page


def test_what_it_never_does_is_not_asked_and_one_tick_brings_it_back(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    phone.locator("form#truck details").evaluate_all("folds => folds.forEach(fold => fold.open = true)")
    expect(field(phone, "plow_weight")).to_be_visible()
    phone.get_by_label("None of these").check()
    expect(field(phone, "plow_weight")).to_be_hidden()
    expect(field(phone, "trailer_weight")).to_be_hidden()
    expect(phone.locator("[data-left-out]")).to_contain_text("a plow, a trailer, a load")
    phone.get_by_label("Plows").check()
    expect(phone.get_by_label("None of these")).not_to_be_checked()
    expect(field(phone, "plow_weight")).to_be_visible()
    expect(field(phone, "trailer_weight")).to_be_hidden()


def test_sharpen_asks_three_strongest_first_and_what_is_told_there_counts(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    field(phone, "odometer").fill("88080")
    field(phone, "engine_hours").fill("3214")
    field(phone, "oil.date").fill(days_ago(phone, 60))
    field(phone, "oil.odometer").fill("86350")
    cards = phone.locator(".sharp > li")
    expect(cards).to_have_count(3)
    expect(cards.first.get_by_role("heading")).to_have_text("What did the hour meter show at the last oil change?")
    before = so(phone, "oil").inner_text()
    asked = cards.locator("[data-copies]").evaluate_all("all => all.map(one => one.dataset.copies)")
    technical = phone.locator("[data-assumptions] [name]").evaluate_all("all => all.map(one => one.name)")
    assert len(set(asked)) == 3 and technical and not set(asked) & set(technical)
    cards.first.locator("input").fill("3100")
    expect(field(phone, "oil.engine_hours")).to_have_value("3100")
    expect(so(phone, "oil")).not_to_have_text(before)
    expect(so(phone, "oil")).not_to_contain_text("no engine hours at the last one")
    field(phone, "name").focus()
    field(phone, "name").press("End")
    field(phone, "name").type("x")
    expect(cards.locator("[data-copies='oil.engine_hours']")).to_have_count(0)


def test_a_keyboard_comes_from_the_first_question_to_the_way_out_in_few_stops(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    field(phone, "name").focus()
    stops = 1
    while not phone.evaluate("document.activeElement.matches('[data-enough]')"):
        phone.keyboard.press("Tab")
        stops += 1
        assert stops < MOST_STOPS
        covered = phone.evaluate("""() => {
            const one = document.activeElement;
            const box = (one.closest("label") ?? one).getBoundingClientRect();
            const foot = document.querySelector(".bar-foot");
            return !foot.contains(one) && box.bottom > foot.getBoundingClientRect().top + 1;
        }""")
        assert not covered
    assert stops > 15  # it passed the questions, not around them


def test_home_lists_what_is_due_by_urgency_and_done_is_two_taps(phone: Page, served: str) -> None:
    keep(phone, served, OVERDUE, plows="no")
    phone.goto(f"{served}/index.html")
    heads = [head.split("\n")[0] for head in phone.locator("[data-order] .part > h2").all_inner_texts()]
    assert heads == ["Overdue", "This week", "No record: do it now", "Later"]
    first = phone.locator("[data-order] .part.over li").first
    expect(first).to_contain_text("Engine oil and its filter")
    expect(first.locator(".falls")).to_have_text(re.compile(r"^\d+ days, about [\d,]+ (miles|hours) over$"))
    box = first.locator(".tick").bounding_box()
    assert box and box["y"] + box["height"] < PHONE["height"] and box["width"] >= 80 and box["height"] >= 80
    expect(phone.locator(".doors").first).to_be_hidden()
    expect(phone.locator(".strip")).to_be_visible()
    assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]

    before = saved(phone)["book"]
    first.locator(".tick").click()
    sheet = phone.get_by_role("dialog")
    expect(sheet.get_by_role("heading")).to_have_text("Engine oil and its filter")
    expect(sheet.locator("[name=odometer]")).not_to_have_value("")
    expect(sheet.locator("[data-about=odometer]")).to_be_visible()
    add = sheet.get_by_role("button", name="Add to the book")
    box = add.bounding_box()
    assert box and box["y"] + box["height"] <= PHONE["height"]
    add.click()
    expect(first.get_by_role("button", name="Undo")).to_be_focused()
    expect(first).to_contain_text("Next about")
    expect(phone.locator(".part.over > h2 small")).to_have_text("0 jobs")
    (made,) = [entry for entry in saved(phone)["book"] if entry not in before]
    assert (made["kind"], made["job"], made["date"], made["estimated"]) == ("job", "engine_oil", phone.evaluate("kept.today()"), True)
    assert made["odometer"] == "88080 mi" and made["engine_hours"] == "3214 h"

    first.get_by_role("button", name="Undo").click()
    expect(first.locator(".falls")).to_contain_text("miles over")
    entries = phone.evaluate("kept.here.saved.entries.filter(one => !one.struck_by).map(one => one.id)")
    assert sorted(entries) == sorted(entry["id"] for entry in before)


def begin_done(page: Page) -> None:
    page.locator("[data-job=engine_oil] .tick").click()


def begin_check(page: Page) -> None:
    page.locator("form#month [name=odometer]").fill("88,100")


def begin_entry(page: Page) -> None:
    page.locator("[data-write=fuel]").click()
    page.locator("form[data-entry] [name=odometer]").fill("88,100")


@pytest.mark.parametrize(("home", "begin", "button"), [
    ("index", begin_done, "Add to the book"), ("month", begin_check, "Put it in the book"), ("records", begin_entry, "Add to the book")])
def test_what_was_begun_for_one_truck_is_not_written_into_anothers_book(
        phone: Page, served: str, home: str, begin: Callable[[Page], None], button: str) -> None:
    keep(phone, served, OVERDUE)
    phone.goto(f"{served}/{home}.html")
    begin(phone)
    other = phone.context.new_page()
    other.goto(f"{served}/my-truck.html")
    other.evaluate("truck => kept.keep(truck).then(() => {})", {**saved(phone), "id": "b" * 32, "name": "Willow", "book": OVERDUE[:0]})
    phone.wait_for_function("kept.here.saved.truck.name === 'Willow'")
    phone.get_by_role("button", name=button).click()
    expect(phone.get_by_text("It was begun for another truck than Willow, which is shown now.").first).to_be_visible()
    assert (saved(phone)["name"], saved(phone)["book"]) == ("Willow", [])


def test_a_meter_that_was_read_is_no_guess_and_a_day_can_be_chosen(phone: Page, served: str) -> None:
    keep(phone, served, OVERDUE)
    phone.goto(f"{served}/index.html")
    before = saved(phone)["book"]
    phone.locator("[data-job=separator_drain] .tick").click()
    sheet = phone.get_by_role("dialog")
    sheet.get_by_label("Yesterday").check()
    sheet.locator("[name=odometer]").fill("88,050")
    expect(sheet.locator("[data-about=odometer]")).to_be_hidden()
    sheet.locator("[name=engine_hours]").fill("")
    sheet.get_by_label("Water", exact=True).check()
    sheet.get_by_label("Note, if you like").fill("a spoonful")
    sheet.get_by_role("button", name="Add to the book").click()
    expect(phone.locator("[data-job=separator_drain]").get_by_role("button", name="Undo")).to_be_visible()
    (made,) = [entry for entry in saved(phone)["book"] if entry not in before]
    assert {name: made.get(name) for name in ("kind", "date", "odometer", "jar", "note", "estimated", "engine_hours")} == {
        "kind": "drain", "date": days_ago(phone, 1), "odometer": "88,050 mi", "jar": "water", "note": "a spoonful", "estimated": None,
        "engine_hours": None}


def test_closed_the_sheet_writes_nothing_and_a_wrong_number_stays_in_it(phone: Page, served: str) -> None:
    keep(phone, served, OVERDUE)
    phone.goto(f"{served}/index.html")
    before = saved(phone)["book"]
    tick = phone.locator("[data-job=engine_oil] .tick")
    tick.click()
    sheet = phone.get_by_role("dialog", name="Engine oil and its filter")
    sheet.locator("[name=odometer]").fill("a lot")
    sheet.get_by_role("button", name="Add to the book").click()
    expect(sheet.locator("#done-odometer-e")).not_to_be_empty()
    expect(sheet.locator("[name=odometer]")).to_have_value("a lot")
    phone.keyboard.press("Escape")
    expect(sheet).to_be_hidden()
    expect(tick).to_be_focused()
    assert saved(phone)["book"] == before

    tick.click()
    sheet.locator("[name=odometer]").fill("8,805")
    sheet.get_by_role("button", name="Add to the book").click()
    expect(sheet.locator("#done-odometer-e")).to_contain_text("Typing error, or a new meter?")
    assert saved(phone)["book"] == before, "it is asked about first"
    sheet.get_by_role("button", name="Add to the book").click()
    expect(sheet).to_be_hidden()
    assert len(saved(phone)["book"]) > len(before), "who says it again means it"


@pytest.mark.parametrize("dated", [True, False])
def test_what_says_perhaps_is_named_only_where_it_stands(phone: Page, served: str, dated: bool) -> None:
    """Without a record no job has a date, so none says perhaps."""
    old = {"kind": "reading", "ago": 80, "odometer": "86430 mi", "engine_hours": "3100 h"}
    keep(phone, served, [old, *([{"kind": "job", "job": "engine_oil", "ago": 90, "odometer": "86000 mi"}] if dated else [])])
    phone.goto(f"{served}/index.html")
    first = phone.locator("[data-first]")
    expect(first.get_by_role("heading")).to_contain_text("First: read the odometer")
    assert ("perhaps" in first.inner_text()) is dated


def test_an_old_reading_is_the_first_job(phone: Page, served: str) -> None:
    keep(phone, served, [{"kind": "reading", "ago": 80, "odometer": "86430 mi", "engine_hours": "3100 h"},
                         {"kind": "job", "job": "engine_oil", "ago": 90, "odometer": "86000 mi", "engine_hours": "3080 h"}])
    phone.goto(f"{served}/index.html")
    first = phone.locator("[data-first]")
    expect(first.get_by_role("heading")).to_contain_text("First: read the odometer")
    assert phone.locator("[data-order] :is([data-first], .part)").first.evaluate("one => one.matches('[data-first]')")
    expect(phone.locator("[data-order] .band")).to_contain_text("Odometer, perhaps")
    expect(phone.locator("[data-job=engine_oil] .falls")).to_contain_text("perhaps")
    phone.get_by_label("What does it show today?").fill("87,900")
    phone.get_by_role("button", name="Write it down").click()
    expect(first).to_be_hidden()
    expect(phone.locator("[data-now=odometer_now]")).to_have_text("87,900 mi")
    expect(phone.locator("[data-job=engine_oil] .falls")).to_contain_text("about")
    reading = saved(phone)["book"][-1]
    assert (reading["kind"], reading["odometer"], reading["date"]) == ("reading", "87,900 mi", phone.evaluate("kept.today()"))


def test_done_stands_in_the_job_table_and_on_a_chapters_tag_too(phone: Page, served: str) -> None:
    keep(phone, served, OVERDUE)
    for home, button in (("oil-and-service.html", "[data-jobs=table] [data-job=engine_oil] .tick"), ("fuel.html", ".dothis a[data-did]")):
        phone.goto(f"{served}/{home}")
        before = saved(phone)["book"]
        phone.locator(button).first.click()
        phone.get_by_role("dialog").get_by_role("button", name="Add to the book").click()
        line = phone.locator("[data-did-line]")
        expect(line).to_contain_text("in the book for")
        assert len(saved(phone)["book"]) == len(before) + 1
        line.get_by_role("button", name="Undo").click()
        expect(line).to_be_hidden()
        entries = phone.evaluate("kept.here.saved.entries.filter(one => !one.struck_by).length")
        assert entries == len(OVERDUE)
        assert phone.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


def test_from_a_folder_done_opens_the_book(phone: Page, served: str, site: Path) -> None:
    phone.goto(f"{site.as_uri()}/my-truck.html")
    field(phone, "odometer").fill("64210")
    phone.get_by_role("button", name="Enough for now").click()
    phone.wait_for_url("**/index.html*")
    phone.locator("[data-job=separator_drain] .tick").click()
    phone.wait_for_url("**/records.html*")
    expect(phone.locator("form#entry [name=job]")).to_have_value("separator_drain")


def test_whom_to_call_is_kept_here_called_by_a_touch_and_never_in_a_link(phone: Page, served: str) -> None:
    phone.goto(f"{served}/my-truck.html")
    phone.get_by_label("Who tows it").fill("(555) 010-0177")
    phone.get_by_role("button", name="Save my truck").click()
    expect(phone.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    assert saved(phone)["identity"] == {"call_tow": "(555) 010-0177"}
    assert "010" not in json.dumps(phone.evaluate("shared.fromLink(shared.linkOf({ truck: kept.here.saved.truck, given: {}, at: '' }))"))
    phone.goto(f"{served}/light.html")
    expect(phone.locator("[data-call=tow]")).to_have_attribute("href", "tel:5550100177")
    phone.goto(f"{served}/my-truck.html")
    expect(phone.get_by_label("Who tows it")).to_have_value("(555) 010-0177")
    phone.get_by_label("Who tows it").fill("")
    phone.get_by_role("button", name="Save my truck").click()
    expect(phone.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    phone.goto(f"{served}/light.html")
    expect(phone.locator("[data-call=tow]")).to_have_attribute("href", "my-truck.html#who-to-call")


@pytest.mark.parametrize("state", ["questions", "order", "stale", "sheet", "done", "table"])
def test_axe_finds_nothing_and_nothing_scrolls_sideways(phone: Page, served: str, state: str) -> None:
    if state == "questions":
        phone.goto(f"{served}/my-truck.html")
        for name, told in {"odometer": "88080", "short_trips_per_week": "18", "idle_hours_per_week": "6"}.items():
            field(phone, name).fill(told)
        expect(phone.locator(".sharp > li")).to_have_count(3)
    else:
        old = [{"kind": "reading", "ago": 80, "odometer": "86430 mi"}, *OVERDUE[1:3]]
        keep(phone, served, old if state == "stale" else OVERDUE, plows="yes")
        phone.goto(f"{served}/{'oil-and-service' if state == 'table' else 'index'}.html")
        phone.locator("[data-order] details").evaluate_all("folds => folds.forEach(fold => fold.open = true)")
    if state in ("sheet", "done"):
        phone.locator("[data-job=engine_oil] .tick").click()
        expect(phone.get_by_role("dialog").locator("[name=odometer]")).not_to_have_value("")
    if state == "done":
        phone.get_by_role("button", name="Add to the book").click()
        expect(phone.locator("[data-undo-did]")).to_be_visible()
    for width in (390, 320):
        phone.set_viewport_size({"width": width, "height": 844})
        assert phone.evaluate("document.documentElement.scrollWidth") <= width
    assert not found_by_axe(phone, (ROOT / "node_modules/axe-core/axe.min.js").read_text())
