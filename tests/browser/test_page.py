"""Forms, My truck and live numbers in a real Chromium, served and from a folder, against the command line's JSON."""

import base64
import contextlib
import io
import json
import re
import shutil
import statistics
import subprocess
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

import calculators
from calculators import __main__ as command
from calculators.engine import due
from macros import two_languages
from tests.browser.conftest import first_visit, uncovered
from tools.ready import ROOT

pytestmark = pytest.mark.browser
TRUCKS = ("juniper", "tamarack")
QUIET = 1000  # milliseconds in which a page that wants more asks; a worker of the page before can keep the network busy for good


@pytest.fixture(scope="module")
def folder(site: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """A copy of the site under a path with spaces and an ü; one more page there holds two forms that share facts."""
    copy = tmp_path_factory.mktemp("stick") / "für den truck" / "my site"
    shutil.copytree(site, copy)
    money = (copy / "money.html").read_text()
    card = r'<section class="calc" data-calculator="fluid_cost">.*?</section>\n'  # smaller sections stand within it
    second = re.search(card, money, re.DOTALL)
    assert second
    idling = (copy / "idling.html").read_text()
    (copy / "two.html").write_text(idling.replace('<div class="page-end">', second[0] + '<div class="page-end">'))
    return copy.as_uri()


def homes(site: Path) -> dict[str, str]:
    """The page on which each calculator stands."""
    found = {}
    for path in sorted(site.glob("*.html")):
        if path.stem != "specimen":
            found |= dict.fromkeys(re.findall(r'<section class="calc" data-calculator="(\w+)"', path.read_text()), path.name)
    return found


def command_line(name: str, given: dict[str, str], truck: Path | None = None) -> dict[str, Any]:
    """What the command prints; called here, for a Python of its own each time is most of a test's minutes."""
    arguments = [f"{field}={text}" for field, text in given.items()] + (["--truck", str(truck)] if truck else [])
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        assert command.main([name, "--json", *arguments]) == 0
    answer: dict[str, Any] = json.loads(printed.getvalue())
    return answer


def same(shown: str, told: Any) -> bool:
    """Whether what stands in data-value is the value of the JSON, to the last digit."""
    if told is None:
        return shown == ""
    if isinstance(told, bool):
        return shown == ("true" if told else "false")
    return shown == told if isinstance(told, str) else float(shown) == told


def differences(page: Page, name: str, answer: dict[str, Any]) -> list[str]:
    """Where the card of a calculator and the JSON are not the same, to the last digit and unit."""
    card = page.locator(f'[data-calculator="{name}"]')
    places = card.locator("[data-result]").evaluate_all(
        "found => found.map(e => [e.dataset.result, e.dataset.value, e.dataset.unit ?? '', [...(e.tBodies?.[0].rows ?? [])].map(r => "
        "[...r.cells].map(c => [c.dataset.field, c.dataset.value, c.dataset.unit ?? '']))])")
    shown = {result: (value, unit, rows) for result, value, unit, rows in places}
    wrong = [f"{result} stands not once" for result in answer["results"] if [p[0] for p in places].count(result) != 1]
    for result, told in answer["results"].items():
        value, unit, rows = shown[result]
        if not isinstance(told, list):
            wrong += [] if same(value, told["value"]) and unit == told.get("unit", "") else [f"{result}: {value} {unit} for {told}"]
            continue
        cells = [[(field, cell.get("unit", "")) for field, cell in row.items()] for row in told]
        wrong += [] if [[(field, unit) for field, _, unit in row] for row in rows] == cells else [f"{result}: other rows or columns"]
        wrong += [f"{result}.{field}: {text} for {row[field]}" for row, line in zip(told, rows, strict=False) for field, text, _ in line
                  if not same(text, row[field]["value"])]
    said = card.locator("[data-answer]:not(:has([lang])), [data-answer] [lang=en]").text_content()  # in one language, or in both
    if said != answer["answer"]:
        wrong.append(f"it says: {said}")
    return wrong


def ready(page: Page, name: str) -> Locator:
    form = page.locator(f"form#{name}")
    expect(form).to_have_attribute("data-state", "ready")
    expect(page.locator(f"[data-calculator={name}] [data-working]")).not_to_have_attribute("aria-busy", "true")  # it follows the answer
    return form


def changed(name: str) -> dict[str, str]:
    """The first number of a calculator's form that may be a tenth larger, made so."""
    for field in calculators.form(name):
        if field.kind == "number" and field.value and not field.row and not field.choices and not field.whole:
            given = {field.name: f"{float(field.value) * 1.1:.6g}"}
            try:
                if float(field.value) and calculators.answer(name, given):
                    return given
            except calculators.Refused:
                continue
    return {}


def test_every_calculator_has_a_page(site: Path) -> None:
    assert set(homes(site)) == set(calculators.NAMES)


def test_every_form_gives_the_command_lines_answer(page: Page, address: str, site: Path) -> None:
    wrong = {}
    for name, home in homes(site).items():
        page.goto(f"{address}/{home}")
        given = changed(name)
        for field, text in given.items():
            page.locator(f"form#{name} [name='{field}']").fill(text)
        if not given:
            page.locator(f"form#{name} [name]").first.focus()
        ready(page, name)
        wrong[name] = differences(page, name, command_line(name, given))
    assert not {name: lines for name, lines in wrong.items() if lines}


def test_an_edit_leaves_alone_what_says_the_same(page: Page, served: str) -> None:
    page.goto(f"{served}/idling.html")
    price = page.locator("form#idle_bill [name=fuel_price]")
    price.fill("4.10")
    for name in ("idle_bill", "block_heater"):  # what the page came with is filled anew once
        ready(page, name)
    rows = "[...document.querySelectorAll('.calc [data-working] > *, .calc [data-sources] > *, .calc [data-cautions] > *')]"
    before = page.evaluate(f"{rows}.map(row => (row.seen = true, row.textContent))")
    price.fill("4.20")
    ready(page, "idle_bill")
    new = page.evaluate(f"{rows}.filter(row => !row.seen).map(row => row.textContent)")
    assert new and not set(new) & set(before)


def test_the_working_follows_the_answer(page: Page, served: str) -> None:
    """Closed or open, it is that of the last answer; a refused edit leaves answer and working as they stand together."""
    page.goto(f"{served}/idling.html")
    hours, price = (page.locator(f"form#idle_bill [name={name}]") for name in ("idle_hours_per_day", "fuel_price"))
    working = page.locator("[data-calculator=idle_bill] [data-working]")
    fold = working.locator("xpath=ancestor::details")
    for opened, given in ((False, {"fuel_price": "4.17"}), (True, {"fuel_price": "4.17", "idle_hours_per_day": "3"})):
        for name, text in given.items():
            page.locator(f"form#idle_bill [name={name}]").fill(text)
        ready(page, "idle_bill")
        worked = [step["worked"] for step in command_line("idle_bill", given)["working"] if "worked" in step]
        assert len(worked) > 3
        for line in worked:
            expect(working).to_contain_text(f"= {line}")
        if not opened:
            fold.locator("summary").click()
    before = working.text_content()
    hours.fill("twelve")
    ready(page, "idle_bill")
    price.fill("4.19")  # still refused
    ready(page, "idle_bill")
    assert working.text_content() == before
    hours.fill("3")
    ready(page, "idle_bill")
    expect(working).to_contain_text("$4.19/gal")


def test_working_of_an_answer_that_another_has_overtaken_is_never_shown(page: Page, served: str) -> None:
    """Its reply comes late, after the next answer: the rows must be those of the next."""
    page.goto(f"{served}/idling.html")
    price = page.locator("form#idle_bill [name=fuel_price]")
    price.fill("4.10")
    ready(page, "idle_bill")
    page.evaluate("""() => {
        const real = dieselRuntime.call;
        let first = true;
        window.late = new Promise(resolve => {
            dieselRuntime.call = async request => {
                const reply = await real(request);
                if (request.working !== false && first) {
                    first = false;
                    await new Promise(go => (window.release = go));
                    setTimeout(resolve, 100);
                }
                return reply;
            };
        });
    }""")
    price.fill("4.20")
    page.wait_for_function("() => window.release")
    price.fill("4.30")
    ready(page, "idle_bill")
    page.evaluate("() => (release(), late)")
    working = page.locator("[data-calculator=idle_bill] [data-working]")
    expect(working).to_contain_text("$4.30/gal")
    expect(working).not_to_contain_text("$4.20/gal")


def test_an_edit_restyles_its_card_not_the_page(browser: Browser, page: Page, served: str) -> None:
    """What a browser has to look at for an edit is most of its time: no selector may make it look at everything (:has on the body)."""
    page.goto(f"{served}/money.html")
    price = page.locator("form#fluid_cost [name=fuel_price]")
    price.fill("4.10")
    ready(page, "fluid_cost")
    page.wait_for_timeout(1000)  # the chart is drawn, other forms follow
    browser.start_tracing(page=page, categories=["devtools.timeline"])
    for text in ("4.11", "4.12", "4.13"):
        price.fill(text)
        ready(page, "fluid_cost")
    events = json.loads(browser.stop_tracing())["traceEvents"]
    restyled = [event["args"].get("elementCount", 0) for event in events if event["name"] == "UpdateLayoutTree"]
    assert len(restyled) > 3
    assert statistics.median(restyled) < page.locator("form#fluid_cost *").count(), restyled  # once it is the working's new rows


BAD = ("-5", "NaN", "1e308", "twelve", "30 parsecs", "5 psi", "2 h h", "3,5", "", "١٢", "∞", "0x10", "1e", "<b>3</b>", "--",
       "9" * 400)


def test_bad_input_has_its_error_beside_it_and_is_kept(page: Page, served: str) -> None:
    page.goto(f"{served}/idling.html")
    form, card = page.locator("form#idle_bill"), page.locator("[data-calculator=idle_bill]")
    field, price = form.locator("[name=idle_hours_per_day]"), form.locator("[name=fuel_price]")
    error = page.locator(f"[id='{field.get_attribute('id')}-e']")
    good = {"fuel_price": "4.10", "idle_hours_per_day": "2"}
    answer = command_line("idle_bill", good)
    for name, text in good.items():
        form.locator(f"[name={name}]").fill(text)
    for text in BAD:
        ready(page, "idle_bill")
        field.fill(text)
        expect(field).to_have_attribute("aria-invalid", "true")
        expect(error).to_contain_text(re.compile("[Ww]rite"))
        assert field.input_value() == text
        assert price.input_value() == "4.10"
        expect(card).to_have_class(re.compile("stale"))
        assert not differences(page, "idle_bill", answer), text  # the last answer that worked stays
        field.fill("2")
        expect(field).not_to_have_attribute("aria-invalid", "true")
        expect(error).to_be_empty()
        expect(card).not_to_have_class(re.compile("stale"))


def test_the_stop_rule_stands_above_the_form_in_every_state(page: Page, served: str, site: Path) -> None:
    page.goto(f"{served}/{homes(site)['wrong_fluid']}")
    form, verdict = page.locator("form#wrong_fluid"), page.locator("[data-calculator=wrong_fluid] [data-verdict]")
    asked = [sys.executable, "-m", "calculators", "wrong_fluid", "mistake=water_in_fuel", "amount=lots"]
    rule, *faults = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=False).stderr.splitlines()
    assert len(faults) == 1
    form.locator("[name=mistake]").select_option("water_in_fuel")
    expect(verdict.locator("[data-answer] [lang=en]")).to_have_text(rule)
    form.locator("[name=mistake]").select_option("def_in_fuel")
    expect(verdict.locator("[data-answer] [lang=en]")).not_to_have_text(rule)
    form.locator("[name=amount]").fill("lots")
    expect(form.locator("[name=amount]")).to_have_attribute("aria-invalid", "true")
    form.locator("[name=mistake]").select_option("water_in_fuel")  # the amount is still wrong
    expect(verdict.locator("[data-answer] [lang=en]")).to_have_text(rule)
    top, below = verdict.bounding_box(), form.bounding_box()
    assert top and below and top["y"] < below["y"]


# Letters of a card that stand in neither language; formulas and the names of values are the same in both.
IN_NEITHER = """card => { const walker = document.createTreeWalker(card, NodeFilter.SHOW_TEXT), found = [];
  while (walker.nextNode()) {
    const { data, parentElement: at } = walker.currentNode;
    const same = at.closest("span[lang], option") || at.matches(".f") && data.startsWith("= ") || /^(gal|no)$/.test(data.trim());
    if (/\\p{L}{2}/u.test(data) && !same) found.push(data.trim());
  }
  for (const one of card.querySelectorAll("[aria-label]")) if (!one.ariaLabel.includes(" · ")) found.push(one.ariaLabel);
  for (const one of card.querySelectorAll("span[lang=en]")) if (one.nextElementSibling?.lang !== "es") found.push(one.textContent);
  return found; }"""


def test_a_card_in_both_languages_stays_so(page: Page, served: str, site: Path) -> None:
    page.goto(f"{served}/{homes(site)['wrong_fluid']}")
    card = page.locator("[data-calculator=wrong_fluid]")
    assert card.evaluate(IN_NEITHER) == []
    form, verdict = card.locator("form"), card.locator("[data-answer]")
    for mistake in ("gasoline_in_fuel", "fuel_in_def", "water_in_def"):
        form.locator("[name=mistake]").select_option(mistake)
        answer = calculators.answer("wrong_fluid", {"mistake": mistake}, today="2026-11-25")
        expect(verdict.locator("[lang=en]")).to_have_text(answer["answer"])
        expect(verdict.locator("[lang=es]")).to_have_text(two_languages.spanish(answer["answer"]))
        assert card.evaluate(IN_NEITHER) == []
    form.locator("[name=amount]").fill("5")
    form.locator("[name=tank_contents]").fill("20")
    expect(card.get_by_text("lo que había en el tanque) × 100")).to_be_attached()
    assert card.evaluate(IN_NEITHER) == []
    form.locator("[name=amount]").fill("-1")
    expect(form.locator(".err [lang=es]")).to_have_text("Escriba un valor de 0.001 gal a 150 gal.")
    assert card.evaluate(IN_NEITHER) == []
    page.locator("label", has=page.locator("#language-es")).click()
    expect(verdict.locator("[lang=en]")).to_be_hidden()
    expect(verdict.locator("[lang=es]")).to_be_visible()


@pytest.mark.parametrize("home", ["load-and-tow.html", "def.html", "records.html", "idling.html", "first-day.html", "fuel.html"])
def test_a_sentence_whose_number_was_not_told_is_left_unsaid(page: Page, served: str, home: str) -> None:
    """Of a truck that told its name alone; the example's numbers bring it back."""
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("Willow")
    save(page)
    page.goto(f"{served}/{home}")
    parts = page.locator("[data-while-known]")
    assert parts.count()
    for part in parts.all():
        expect(part).to_be_hidden()
    page.locator("[data-truck-bar] [data-show-example]").click()
    expect(parts.first).to_be_visible()


def test_a_gauge_that_is_kept_was_read_today(page: Page, served: str) -> None:
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("Willow")
    save(page)
    page.evaluate("""() => kept.keep(shared.withFacts(kept.here.saved.truck, { def_level: "40 %", def_level_read_on: "2026-01-05" }))""")
    page.goto(f"{served}/def.html")
    page.locator("form#exhaust_fluid_use [name=def_level]").fill("90")
    ready(page, "exhaust_fluid_use")
    page.locator("form#exhaust_fluid_use [data-keep]").click()
    expect(page.locator("form#exhaust_fluid_use [data-message]")).to_contain_text("Kept: every page")
    facts = saved(page)["truck"]["facts"]
    assert (facts["def_level"], facts["def_level_read_on"]) == ("90", page.evaluate("kept.today()"))


def test_a_day_that_does_not_exist(page: Page, served: str) -> None:
    page.goto(f"{served}/oil-and-service.html")
    field = page.locator("form#service_due [name=read_on]")
    field.focus()
    page.keyboard.type("02302026")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(page.locator(f"[id='{field.get_attribute('id')}-e']")).to_contain_text("day")


def test_another_unit_means_the_same(page: Page, served: str) -> None:
    page.goto(f"{served}/idling.html")
    form = page.locator("form#idle_bill")
    price, unit = form.locator("[name=fuel_price]"), form.locator("[data-unit-for=fuel_price]")
    price.fill("4.10")
    ready(page, "idle_bill")
    unit.select_option("USD/L")
    expect(price).to_have_value("1.08311")  # 4.10 a gallon over 3.785411784 L a gallon
    assert not differences(page, "idle_bill", command_line("idle_bill", {"fuel_price": "4.10"}))
    price.fill("1.5")
    ready(page, "idle_bill")
    assert not differences(page, "idle_bill", command_line("idle_bill", {"fuel_price": "1.5 USD/L"}))
    rate = form.locator("[name=idle_fuel_rate]")  # nobody typed here: it converts and nothing else changes
    form.locator("[data-unit-for=idle_fuel_rate]").select_option("L/h")
    expect(rate).to_have_value("2.27125")
    ready(page, "idle_bill")
    assert not differences(page, "idle_bill", command_line("idle_bill", {"fuel_price": "1.5 USD/L"}))


def test_undo_back_and_a_copied_link(page: Page, address: str, context: BrowserContext) -> None:
    page.goto(f"{address}/idling.html")
    form = page.locator("form#idle_bill")
    hours = form.locator("[name=idle_hours_per_day]")
    example = hours.input_value()
    hours.press_sequentially("3")
    hours.fill("3")
    hours.blur()
    form.locator("[name=fuel_price]").fill("5")
    form.locator("[name=fuel_price]").press("Tab")
    ready(page, "idle_bill")
    both = {"idle_hours_per_day": "3", "fuel_price": "5"}
    assert not differences(page, "idle_bill", command_line("idle_bill", both))
    other = context.new_page()
    other.goto(page.url.replace("#", "?copied#"))
    other.wait_for_load_state()
    ready(other, "idle_bill")
    assert other.locator("form#idle_bill [name=fuel_price]").input_value() == "5"
    assert not differences(other, "idle_bill", command_line("idle_bill", both))
    form.locator("[data-undo]").click()
    expect(form.locator("[name=fuel_price]")).to_have_value("3.90")
    ready(page, "idle_bill")
    assert not differences(page, "idle_bill", command_line("idle_bill", {"idle_hours_per_day": "3"}))
    form.locator("[data-back]").click()
    expect(hours).to_have_value(example)
    ready(page, "idle_bill")
    assert not differences(page, "idle_bill", command_line("idle_bill", {}))


def test_a_fact_two_forms_share_has_one_value(page: Page, folder: str) -> None:
    page.goto(f"{folder}/two.html")
    first, second = (page.locator(f"form#{name} [name=fuel_price]") for name in ("idle_bill", "fluid_cost"))
    first.fill("5.5")
    expect(second).to_have_value("5.5")
    ready(page, "idle_bill")
    ready(page, "fluid_cost")  # nobody touched this one, but it asks the same fact
    assert not differences(page, "idle_bill", command_line("idle_bill", {"fuel_price": "5.5"}))
    assert not differences(page, "fluid_cost", command_line("fluid_cost", {"fuel_price": "5.5"}))
    second.fill("6")
    page.locator("form#fluid_cost [name=oil_price]").fill("8")
    expect(first).to_have_value("6")
    ready(page, "fluid_cost")
    ready(page, "idle_bill")
    assert not differences(page, "idle_bill", command_line("idle_bill", {"fuel_price": "6"}))
    assert not differences(page, "fluid_cost", command_line("fluid_cost", {"fuel_price": "6", "oil_price": "8"}))


def test_what_was_tried_is_kept_for_the_truck_by_one_touch(page: Page, served: str) -> None:
    """Once it is kept, every page counts it and the card says so; what no fact of a truck is, or came with a link, is not offered."""
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("Willow")
    save(page)
    page.goto(f"{served}/idling.html")
    keep = page.locator("form#idle_bill [data-keep]")
    expect(keep).to_be_hidden()
    page.locator("form#idle_bill [name=fuel_price]").fill("4.75")
    ready(page, "idle_bill")
    expect(keep).to_have_text("Keep this for Willow")
    assert saved(page)["truck"]["facts"] == {}
    keep.click()
    expect(page.locator("form#idle_bill [data-message]")).to_contain_text("Kept: every page and sheet counts it for Willow.")
    expect(page.locator("form#idle_bill [data-message]")).to_be_focused()
    expect(keep).to_be_hidden()
    assert saved(page)["truck"]["facts"] == {"fuel_price": "4.75"}
    assert not re.search("fuel_price|v2", page.url)
    page.goto(f"{served}/money.html")
    expect(page.locator("form#fluid_cost [name=fuel_price]")).to_have_value("4.75")

    page.goto(f"{served}/def.html")
    page.locator("form#exhaust_fluid_quality [name=storage_time]").fill("30")
    ready(page, "exhaust_fluid_quality")
    assert page.locator("form#exhaust_fluid_quality [data-keep]").count() == 0
    page.goto(f"{served}/oil-and-service.html")
    page.locator("form#service_due [name=odometer]").fill("50000")
    ready(page, "service_due")
    expect(page.locator("form#service_due [data-keep]")).to_be_hidden()
    told = base64.urlsafe_b64encode(json.dumps({"given": {"fuel_price": ["1.5", ""]}}).encode()).decode().rstrip("=")
    page.goto(f"{served}/idling.html#v2.{told}")
    ready(page, "idle_bill")
    expect(page.locator("[data-calculator=idle_bill]")).to_have_class(re.compile("linked"))
    expect(keep).to_be_hidden()


def test_without_a_truck_what_was_tried_begins_one(page: Page, served: str) -> None:
    page.goto(f"{served}/idling.html")
    page.locator("form#idle_bill [name=fuel_price]").fill("4.75")
    ready(page, "idle_bill")
    page.locator("form#idle_bill").get_by_role("button", name="Keep this for my truck").click()  # the price is asked in another card too
    expect(page.locator("[data-truck-bar] [data-truck-name]")).to_have_text("My truck")
    expect(page.locator("form#idle_bill [name=fuel_price]")).to_have_value("4.75")
    assert saved(page)["truck"]["facts"] == {"fuel_price": "4.75"}


def test_the_keyboard_alone_does_it(page: Page, served: str) -> None:
    page.goto(f"{served}/idling.html")
    page.locator("form#idle_bill [name=trucks]").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("2")
    page.keyboard.press("Tab")
    ready(page, "idle_bill")
    assert not differences(page, "idle_bill", command_line("idle_bill", {"trucks": "2"}))
    page.locator(".live[data-live='idle_bill.cost_per_year']").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#slip-idle_bill-cost_per_year")).to_be_visible()
    page.keyboard.press("Escape")
    expect(page.locator("#slip-idle_bill-cost_per_year")).to_be_hidden()


def test_a_runtime_that_cannot_start_ends_in_words_and_another_touch_tries_again(context: BrowserContext, served: str) -> None:
    page = context.new_page()
    page.route("**/runtime/**", lambda route: route.abort())
    page.goto(f"{served}/idling.html")
    form = page.locator("form#idle_bill")
    form.locator("[name=trucks]").fill("3")
    expect(form).to_have_attribute("data-state", "failed")
    expect(form.locator("[data-message]")).to_contain_text("could not start")
    assert form.locator("[name=trucks]").input_value() == "3"
    page.unroute("**/runtime/**")
    form.locator("[name=fuel_price]").focus()
    ready(page, "idle_bill")
    assert not differences(page, "idle_bill", command_line("idle_bill", {"trucks": "3"}))


# My truck ------------------------------------------------------------------------------------------


def unfold(page: Page) -> None:
    page.locator("form#truck details").evaluate_all("folds => folds.forEach(fold => fold.open = true)")


def saved(page: Page) -> Any:
    return page.evaluate("JSON.parse(localStorage.getItem(kept.KEY))")


def save(page: Page) -> None:
    page.locator("form#truck [type=submit]").click()
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")


def open_file(page: Page, path: Path) -> None:
    with page.expect_file_chooser() as chosen:
        page.locator("[data-import]").click()
    chosen.value.set_files(path)


def opened(page: Page, served: str, path: Path) -> None:
    """My truck with a truck's file opened and saved."""
    page.goto(f"{served}/my-truck.html")
    open_file(page, path)
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")


@pytest.fixture
def truck_file(tmp_path: Path) -> Callable[[str], Path]:
    def write(name: str) -> Path:
        path = tmp_path / f"{name}.json"
        path.write_text(json.dumps(calculators.example_truck(name)))
        return path

    return write


def follow(page: Page, home: str) -> None:
    """Go on by a link, as a reader does: from a folder the truck travels in it."""
    page.evaluate(
        "home => { const link = document.createElement('a'); link.href = home; document.body.append(link); link.click(); }", home)
    page.wait_for_url(f"**/{home}*")
    expect(page.locator("html")).not_to_have_class(re.compile("filling"))


@pytest.mark.parametrize("truck", TRUCKS)
def test_a_saved_trucks_numbers_are_the_command_lines(
        page: Page, address: str, site: Path, truck: str, truck_file: Callable[[str], Path]) -> None:
    path = truck_file(truck)
    page.goto(f"{address}/my-truck.html")
    open_file(page, path)
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    path.write_text(json.dumps(saved(page)["truck"]))  # opened, an example's book no longer moves with the day
    wrong = {}
    at = ""
    for name, home in homes(site).items():
        if home != at:
            follow(page, at := home)
        answer = command_line(name, {}, path)
        wrong[name] = differences(page, name, answer)
        told = calculators.with_words(answer)["results"]
        live = page.locator(f".live[data-live^='{name}.']").evaluate_all(
            "all => all.map(one => [one.dataset.live, one.firstChild.data, one.dataset.rests])")
        for key, text, rests in live:
            if result := told.get(key.partition(".")[2]):
                assert (text, rests) == (result["phrase"], result.get("rests_on", ""))
        assert page.locator("form[data-state=ready]").count() == 0  # no runtime was needed
    assert not {name: lines for name, lines in wrong.items() if lines}


def test_typed_saved_exported_cleared_and_opened_again(page: Page, address: str, tmp_path: Path) -> None:
    page.goto(f"{address}/my-truck.html")
    unfold(page)
    form = page.locator("form#truck")
    typed = {"name": "Willow", "fuel_price": "1.10", "idle_hours_per_week": "9", "odometer": "52000", "engine_hours": "2100",
             "interval.engine_oil.distance": "8000"}
    form.locator("[data-unit-for=fuel_price]").select_option("USD/L")
    for name, text in typed.items():
        form.locator(f"[name='{name}']").fill(text)
    form.locator("[name=severe_use]").select_option("no")
    save(page)
    truck = saved(page)["truck"]
    assert truck["name"] == "Willow" and truck["facts"]["fuel_price"] == "1.10 USD/L" and truck["facts"]["severe_use"] == "no"
    (reading,) = truck["book"]
    assert {name: reading[name] for name in ("kind", "date", "odometer", "engine_hours")} == {
        "kind": "reading", "date": page.evaluate("kept.today()"), "odometer": "52000 mi", "engine_hours": "2100 h"}
    assert truck["interval"]["engine_oil"] == {"distance": "8000 mi"} and len(truck["id"]) == 32
    page.reload()
    shown = typed | {"odometer": "52,000", "engine_hours": "2,100", "interval.engine_oil.distance": "8,000"}
    for name, text in shown.items():
        assert form.locator(f"[name='{name}']").input_value() == text
    assert form.locator("[data-unit-for=fuel_price]").input_value() == "USD/L"

    with page.expect_download() as downloaded:
        page.locator("[data-export]").click()
    path = tmp_path / "my-truck.json"
    downloaded.value.save_as(path)
    assert downloaded.value.suggested_filename == "my-truck.json"
    assert json.loads(path.read_text()) == truck

    follow(page, "idling.html")
    assert not differences(page, "idle_bill", command_line("idle_bill", {}, path))
    expect(page.locator("html")).to_have_class(re.compile("yours"))
    expect(page.locator("[data-truck-bar] [data-truck-name]")).to_have_text("Willow")

    slip = page.locator("#slip-idle_bill-cost_per_year")
    page.locator(".live[data-live='idle_bill.cost_per_year']").first.click()
    cost = command_line("idle_bill", {}, path)["results"]["cost_per_year"]["value"]
    expect(slip.locator(".num")).to_have_text(re.compile(rf"^{re.escape(calculators.show.words(cost, 'USD').phrase)}( |$)"))
    expect(slip.locator("[data-origin]")).to_contain_text("Willow")
    made = slip.locator("[data-made] > li")
    expect(made).to_have_count(2)
    expect(made.nth(1)).to_contain_text("What you pay for diesel")
    expect(made.nth(1)).to_contain_text("yours")
    assert colors(made.nth(1).locator("b")) == {BLUE}
    expect(slip.locator("[data-working] > li")).to_have_count(3)
    expect(slip.locator("[data-working]")).to_be_hidden()
    slip.locator("summary").click()
    expect(slip.locator("[data-working]")).to_be_visible()
    slip.locator("[data-show-example]").click()
    example = calculators.with_words(calculators.answer("idle_bill"))["results"]["cost_per_year"]["phrase"]
    expect(slip.locator(".num")).to_have_text(example)
    expect(page.locator("html")).not_to_have_class(re.compile("yours"))
    page.keyboard.press("Escape")
    page.locator("[data-truck-bar] [data-show-example]").click()
    assert not differences(page, "idle_bill", command_line("idle_bill", {}, path))

    follow(page, "my-truck.html")
    page.locator("[data-clear]").click()
    page.locator("[data-clear-no]").click()
    assert saved(page)["truck"] == truck
    page.locator("[data-clear]").click()
    page.locator("[data-clear-yes]").click()
    assert saved(page) is None
    assert not [text for text in form.locator("input[name]:not([data-sets])").evaluate_all("found => found.map(e => e.value)") if text]
    follow(page, "idling.html")
    assert not differences(page, "idle_bill", command_line("idle_bill", {}))

    follow(page, "my-truck.html")
    open_file(page, path)
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    again = saved(page)["truck"]
    assert {**again, "saved_at": truck["saved_at"]} == truck and again["saved_at"] > truck["saved_at"]


def test_a_wrong_fact_stays_in_its_field_and_the_rest_is_saved(page: Page, served: str) -> None:
    page.goto(f"{served}/my-truck.html")
    unfold(page)
    form = page.locator("form#truck")
    form.locator("[name=fuel_price]").fill("4.44")
    form.locator("[name=odometer]").fill("a lot")
    save(page)
    expect(form.locator("[name=odometer]")).to_have_attribute("aria-invalid", "true")
    assert saved(page)["truck"]["facts"] == {"fuel_price": "4.44 USD/gal"}
    page.reload()
    assert form.locator("[name=odometer]").input_value() == "a lot"
    assert form.locator("[name=fuel_price]").input_value() == "4.44"


def test_what_was_typed_but_not_saved_is_still_there(page: Page, served: str) -> None:
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("Draft")
    page.locator("form#truck [name=name]").blur()
    page.goto(f"{served}/idling.html")
    page.goto(f"{served}/my-truck.html")
    assert page.locator("form#truck [name=name]").input_value() == "Draft"
    expect(page.locator("form#truck [data-message]")).to_contain_text("not saved yet")


def test_a_link_touched_at_once_still_brings_the_truck(page: Page, folder: str, truck_file: Callable[[str], Path]) -> None:
    page.add_init_script("const read = Response.prototype.arrayBuffer; Response.prototype.arrayBuffer = async function () {"
                         " await new Promise((done) => setTimeout(done, 400)); return read.call(this); };")  # packing takes its time
    page.goto(f"{folder}/my-truck.html")
    path = truck_file("tamarack")
    open_file(page, path)
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    path.write_text(json.dumps(saved(page)["truck"]))
    page.evaluate("document.querySelector('.md-logo').click()")
    page.wait_for_url("**/index.html*")
    page.evaluate("localStorage.clear()")  # as where each page has its own
    page.evaluate("document.querySelector('article nav a[href^=\"idling.html\"]').click()")
    page.wait_for_url("**/idling.html*")
    expect(page.locator("html")).not_to_have_class(re.compile("filling"))
    assert not differences(page, "idle_bill", command_line("idle_bill", {}, path))


GOOD = calculators.example_truck("tamarack")


def test_an_opened_truck_stands_in_its_fields_and_the_page_tells_how_it_travels(page: Page, address: str) -> None:
    page.goto(f"{address}/my-truck.html")
    form = page.locator("form#truck")
    told = json.dumps(GOOD).encode()
    page.locator("[data-file]").set_input_files({"name": "my-truck.json", "mimeType": "application/json", "buffer": told})
    expect(form.locator("[data-message]")).to_contain_text("Saved in this browser")
    assert ("travels with the links" in form.locator("[data-message]").inner_text()) == address.startswith("file:")
    beside = form.locator(".in:has([data-unit]) input").all()
    assert beside and not [field.input_value() for field in beside if re.search("[A-Za-z%]", field.input_value())]


def test_the_save_button_stays_in_view_only_while_something_is_not_saved(page: Page, address: str) -> None:
    page.goto(f"{address}/my-truck.html")
    button = page.get_by_role("button", name="Save my truck")
    expect(button).not_to_be_in_viewport()
    page.locator("form#truck [name='short_trips_per_week']").fill("31")
    expect(page.get_by_role("button", name="Enough for now")).to_be_in_viewport()  # it saves too
    unfold(page)
    page.locator("form#truck [name='fuel_price']").fill("4.10")
    expect(button).to_be_in_viewport()
    button.click()
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    expect(page.locator("form#truck [data-message]")).to_be_in_viewport()
    page.evaluate("scrollTo(0, 0)")
    expect(button).not_to_be_in_viewport()


@pytest.mark.parametrize(("name", "button"), [
    ("odometer", "Enough for now"), ("idle_hours_per_week", "Enough for now"), ("fuel_price", "Save my truck")])
def test_save_does_not_come_over_the_field_that_is_typed_in(page: Page, served: str, name: str, button: str) -> None:
    page.set_viewport_size({"width": 320, "height": 700})
    page.goto(f"{served}/my-truck.html")
    unfold(page)
    field = page.locator(f"form#truck [name={name}]")
    field.evaluate("one => one.scrollIntoView({ block: 'end', behavior: 'instant' })")
    box = field.bounding_box()
    assert box
    page.mouse.wheel(0, box["y"] + box["height"] - 699)
    page.wait_for_function("one => Math.abs(one.getBoundingClientRect().bottom - 699) < 1", arg=field.element_handle())
    field.evaluate("one => one.focus({ preventScroll: true })")
    page.keyboard.type("4")
    uncovered(field)
    uncovered(page.get_by_role("button", name=button))


ATTACK = '"><img src=x onerror="window.hit=1"><script>window.hit=1</script>'


@pytest.mark.parametrize(("text", "kept"), [
    (json.dumps(GOOD)[:200], False),
    ("", False),
    ("[]", False),
    (json.dumps({"format": "someone-elses", "name": "x"}), False),
    ("[" * 100_000, False),
    (json.dumps(GOOD | {"version": 3}), True),
    (json.dumps(GOOD | {"stranger": {"a": 1}, "facts": GOOD["facts"] | {"wings": 2, "fuel_price": "5 psi"}}), True),
    (json.dumps(GOOD | {"name": ATTACK, "facts": GOOD["facts"] | {ATTACK: ATTACK}}), True),
    (json.dumps(GOOD)[:-1] + ', "__proto__": {"hit": 1}, "constructor": {"prototype": {"hit": 1}}}', True),
    (json.dumps(GOOD | {"facts": {"odometer": [[[["deep"]]]]}}), True),
], ids=["cut off", "empty", "a list", "another format", "bottomless", "later version", "stranger's fields", "hostile", "prototype", "deep"])
def test_a_broken_or_hostile_file_is_explained_and_recovered(page: Page, served: str, tmp_path: Path, text: str, kept: bool) -> None:
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("Before")
    save(page)
    path = tmp_path / "my-truck.json"
    path.write_text(text)
    open_file(page, path)
    message = page.locator("form#truck [data-message]")
    expect(message).to_contain_text("Saved" if kept else "could not be read")
    expect(page.locator("[data-kept]")).to_be_visible()
    assert text in [one.get("text") for one in page.evaluate("kept.asides()")]
    name = saved(page)["truck"]["name"]
    assert name == "Before" if not kept else name != "Before"
    for home in ("my-truck.html", "idling.html"):
        page.goto(f"{served}/{home}")
        assert page.evaluate("[window.hit, ({}).hit, document.querySelectorAll('img[src=x]').length]") == [None, None, 0]
    if kept and GOOD["name"] == name:
        whole, told = saved(page)["truck"], {field: str(text) for field, text in GOOD["facts"].items()}
        given = json.loads(text)
        newer = {name: given[name] for name in ("stranger",) if name in given}  # what only a newer guide knows is written back untouched
        strange = {field: fact for field, fact in given["facts"].items() if field == "wings"}
        days = {f"{level}_read_on" for level in ("def_level", "fuel_in_tank")}  # a level without its day is of the file's, as readings are
        facts = {field: fact for field, fact in whole["facts"].items() if field not in days}
        assert facts.items() <= (told | strange).items() and strange.items() <= facts.items()
        assert newer.items() <= whole.items()


def test_a_file_of_ten_megabytes_changes_nothing(page: Page, served: str, tmp_path: Path) -> None:
    path = tmp_path / "my-truck.json"
    path.write_text('{"format": "diesel-handover-truck", "version": 1, "name": "' + "x" * 10_000_000 + '"}')
    page.goto(f"{served}/my-truck.html")
    open_file(page, path)
    expect(page.locator("form#truck [data-message]")).to_contain_text("too long")
    assert saved(page) is None


@pytest.mark.parametrize("text", ["{", "null", "3", '{"truck": 1}', '{"truck": {"name": 5}, "answers": {}}'])
def test_broken_storage_leaves_the_example_and_is_kept_aside(page: Page, served: str, text: str) -> None:
    page.goto(f"{served}/idling.html")
    page.evaluate("text => localStorage.setItem(kept.KEY, text)", text)
    page.goto(f"{served}/idling.html")
    expect(page.locator("html")).not_to_have_class(re.compile("filling"))
    assert not differences(page, "idle_bill", command_line("idle_bill", {}))
    page.goto(f"{served}/my-truck.html")
    expect(page.locator("[data-kept]")).to_be_visible()
    page.locator("[data-kept-drop]").click()
    expect(page.locator("[data-kept]")).to_be_hidden()


def test_a_browser_that_stores_nothing_says_so_and_still_computes_and_finds(page: Page, served: str) -> None:
    page.add_init_script("""for (const name of ["localStorage", "sessionStorage"])
        Object.defineProperty(window, name, { get() { throw new DOMException("denied"); } });""")
    page.goto(f"{served}/my-truck.html")
    expect(page.locator("form#truck [data-message]")).to_contain_text("stores nothing")
    page.locator("form#truck [name=name]").fill("Ghost")
    page.locator("form#truck [type=submit]").click()
    expect(page.locator("form#truck [data-message]")).to_contain_text("save it as a file")
    expect(page.locator("[data-truck-bar] [data-truck-name]")).to_have_text("Ghost")
    page.keyboard.press("/")
    page.keyboard.type("separator")
    expect(page.locator(".md-search-result__item").first).to_be_visible()


def test_a_browser_that_stores_nothing_more_says_so_while_typing(page: Page, served: str) -> None:
    page.add_init_script("Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };")
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").press_sequentially("Gh")
    expect(page.locator("form#truck [data-message]")).to_contain_text("save it as a file before you leave")


def test_what_is_typed_is_there_again_though_its_field_was_never_left(page: Page, served: str) -> None:
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").press_sequentially("Half a na")
    page.reload()
    expect(page.locator("form#truck [name=name]")).to_have_value("Half a na")
    page.goto(f"{served}/idling.html")
    page.locator("form#idle_bill [name=idle_hours_per_day]").press_sequentially("5")
    typed = page.locator("form#idle_bill [name=idle_hours_per_day]").input_value()
    page.wait_for_url(re.compile("#v2"))
    page.reload()
    expect(page.locator("form#idle_bill [name=idle_hours_per_day]")).to_have_value(typed)


def test_a_save_in_another_tab_leaves_what_is_typed_here(page: Page, served: str, context: BrowserContext) -> None:
    page.goto(f"{served}/my-truck.html")
    other = context.new_page()
    other.goto(f"{served}/my-truck.html")
    other.locator("form#truck [name=name]").fill("Typed here")
    page.locator("form#truck [name=odometer]").fill("50000")
    save(page)
    expect(other.locator("form#truck [name=name]")).to_have_value("Typed here")
    other.reload()
    expect(other.locator("form#truck [name=name]")).to_have_value("Typed here")


def test_a_file_let_fall_on_the_page_is_opened(page: Page, served: str, truck_file: Callable[[str], Path]) -> None:
    page.goto(f"{served}/my-truck.html")
    page.evaluate("""text => {
        const held = new DataTransfer();
        held.items.add(new File([text], "my-truck.json", { type: "application/json" }));
        for (const type of ["dragover", "drop"]) {
            const event = new DragEvent(type, { dataTransfer: held, bubbles: true, cancelable: true });
            document.querySelector("main").dispatchEvent(event);
            if (!event.defaultPrevented) throw new Error(`the browser would leave the page at ${type}`);
        }
    }""", truck_file("tamarack").read_text())
    expect(page.locator("form#truck [data-message]")).to_contain_text("now for Tamarack")


def test_all_that_was_put_aside_stays_until_its_owner_decides(
        page: Page, served: str, truck_file: Callable[[str], Path], tmp_path: Path) -> None:
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("Larch")  # never saved
    open_file(page, truck_file("tamarack"))
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    for name in ("one", "two"):
        (tmp_path / f"{name}.json").write_text(f'{{"{name}": ')
        open_file(page, tmp_path / f"{name}.json")
        expect(page.locator("form#truck [data-message]")).to_contain_text(f"{name}.json could not be read")
    told = page.locator("[data-kept-why]")
    for text in ("What stood here before is kept: Larch.", "one.json could not be read", "two.json could not be read"):
        expect(told).to_contain_text(text)
    files: list[str] = []
    page.on("download", lambda download: files.append(download.path().read_text("utf-8")))
    page.locator("[data-kept-save]").click()
    page.wait_for_timeout(1000)
    assert len(files) == 3 and any("Larch" in text for text in files) and {'{"one": ', '{"two": '} <= set(files)


def test_nothing_is_said_to_be_marked_where_nothing_is(page: Page, served: str, tmp_path: Path) -> None:
    page.goto(f"{served}/my-truck.html")
    (tmp_path / "later.json").write_text(json.dumps(GOOD | {"version": 99}))
    open_file(page, tmp_path / "later.json")
    message = page.locator("form#truck [data-message]")
    expect(message).to_contain_text("Saved in this browser")
    expect(message).to_contain_text("This guide knows versions 1 to 2")
    expect(message).not_to_contain_text("marked")


def test_an_answer_that_comes_after_the_truck_has_changed_is_not_shown(page: Page, served: str, truck_file: Callable[[str], Path]) -> None:
    opened(page, served, truck_file("tamarack"))
    page.goto(f"{served}/exhaust.html")
    trip = page.locator("form#regeneration [name=short_trip_time]")
    trip.focus()
    ready(page, "regeneration")
    page.evaluate("""() => {
        const real = dieselRuntime.call;
        window.late = new Promise(resolve => {
            dieselRuntime.call = async request => {
                const reply = await real(request);
                await new Promise(go => setTimeout(go, 300));
                setTimeout(resolve, 50);
                return reply;
            };
        });
    }""")
    trip.fill("33")
    page.locator("[data-truck-bar] [data-show-example]").click()
    page.evaluate("() => late")
    page.wait_for_timeout(300)
    assert not differences(page, "regeneration", command_line("regeneration", {}))
    expect(page.locator("form#regeneration [name=short_trip_time]")).not_to_have_value("33")
    assert page.locator("form#regeneration").get_attribute("data-state") == "example"
    page.locator("[data-truck-bar] [data-show-example]").click()
    expect(page.locator("form#regeneration [name=short_trip_time]")).to_have_value("33")


@pytest.mark.parametrize("width", [320, 390, 1152])
def test_a_closed_menu_is_out_of_a_keyboards_way_and_can_be_opened(page: Page, served: str, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(f"{served}/exhaust.html")
    places = []
    for _ in range(25):
        page.keyboard.press("Tab")
        at = page.locator(":focus")
        places.append((at.get_attribute("aria-label"), at.evaluate("one => one.closest('.md-sidebar--primary') !== null")))
    assert ("Menu", False) in places
    assert not any(hidden for _, hidden in places)
    menu = page.get_by_role("button", name="Menu")
    page.set_viewport_size({"width": 1280, "height": 800})  # there the menu stands beside the text
    expect(menu).to_be_hidden()
    page.set_viewport_size({"width": width, "height": 800})
    menu.focus()
    page.keyboard.press("Space")
    expect(menu).to_have_attribute("aria-expanded", "true")
    link = page.locator(".md-nav--primary a", has_text="Idling").first
    expect(link).to_be_in_viewport()
    link.focus()
    expect(link).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile("idling"))


OLDER = """answer => { const saved = JSON.parse(localStorage.getItem(kept.KEY)); saved.site_version = "before";
    saved.answers.idle_bill.answer = answer; localStorage.setItem(kept.KEY, JSON.stringify(saved)); }"""


def test_an_older_versions_answers_are_never_shown_and_made_again(page: Page, served: str) -> None:
    """Nothing of the example's stands in meanwhile, and the new ones are kept."""
    page.goto(f"{served}/my-truck.html")
    unfold(page)
    page.locator("form#truck [name=fuel_price]").fill("6")
    page.locator("form#truck [name=name]").fill("Larch")
    save(page)
    page.evaluate(OLDER, "Old words.")
    page.add_init_script("""
        window.seen = new Set();
        const look = () => {
          for (const place of document.querySelectorAll("[data-calculator=idle_bill] [data-answer]"))
            if (getComputedStyle(place).visibility === "visible") window.seen.add(place.textContent);
          requestAnimationFrame(look);
        };
        requestAnimationFrame(look);""")
    page.goto(f"{served}/idling.html")
    expect(page.locator("[data-truck-note]")).to_contain_text("Working it out for Larch")
    expect(page.locator("[data-truck-note]")).to_be_hidden()
    answer = saved(page)["answers"]["idle_bill"]["answer"]
    assert answer != "Old words."
    expect(page.locator("[data-calculator=idle_bill] [data-answer]")).to_have_text(answer)
    assert page.evaluate("[...window.seen]") == [answer]
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.reload()
    expect(page.locator("[data-calculator=idle_bill] [data-answer]")).to_have_text(answer)
    page.wait_for_timeout(QUIET)
    assert not [url for url in asked if "/runtime/" in url]


def test_months_later_the_card_and_home_say_what_is_overdue_by_then(page: Page, served: str, truck_file: Callable[[str], Path]) -> None:
    """Words of each later day were made when the truck was saved; what they say is what the calculators say on that day."""
    opened(page, served, truck_file("tamarack"))
    truck = saved(page)["truck"]
    later = date.today() + timedelta(days=200)
    page.clock.set_fixed_time(f"{later}T12:00:00")
    page.goto(f"{served}/oil-and-service.html")
    then = calculators.with_words(calculators.answer("service_due", truck=truck, today=later.isoformat()))
    card = page.locator("[data-calculator=service_due]")
    expect(card.locator("[data-answer]")).to_have_text(then["answer"])
    overdue = card.locator("[data-result=jobs_overdue]").first.get_attribute("data-value")
    assert same(overdue or "", then["results"]["jobs_overdue"]["value"])
    jobs = due.due(then["results"], later)
    late = [job for job in jobs if job["section"] == "overdue"]
    assert len(late) >= 3
    rows = page.locator("table[data-jobs] tr[data-section]:not(.section)")
    shown = [[cell.inner_text() for cell in row.locator("td:not(.do)").all()] for row in rows.all()]
    assert shown == [[job["name"], job["when"], job["brought_by"]] for job in jobs]
    page.goto(f"{served}/index.html")
    expect(page.locator("[data-order] .part").first.get_by_role("heading")).to_contain_text("Overdue")
    first = page.locator("[data-order] .part.over li").first
    expect(first).to_contain_text(late[0]["name"])
    expect(first).to_contain_text(late[0]["when"])
    assert page.evaluate("performance.getEntriesByType('resource').filter(e => e.name.includes('/runtime/')).length") == 0


def test_a_link_pasted_over_the_page_it_leads_to_is_followed(page: Page, served: str) -> None:
    page.goto(f"{served}/idling.html")
    told = base64.urlsafe_b64encode(json.dumps({"at": "idle_bill", "given": {"idle_fuel_rate": ["1.5", ""]}}).encode()).decode().rstrip("=")
    page.evaluate("told => { location.hash = `v1.${told}`; }", told)
    expect(page.locator("form#idle_bill [name=idle_fuel_rate]")).to_have_value("1.5")


def test_my_truck_itself_makes_an_older_versions_answers_again(page: Page, served: str) -> None:
    page.goto(f"{served}/my-truck.html")
    save(page)
    page.evaluate(OLDER, "Old words.")
    page.reload()
    page.wait_for_function("() => JSON.parse(localStorage.getItem(kept.KEY)).answers.idle_bill.answer !== 'Old words.'")


def test_a_unit_means_the_same_whoever_filled_the_field(page: Page, served: str) -> None:
    """Filled from what was saved, from a draft, or by hand again after Clear."""
    page.goto(f"{served}/my-truck.html")
    unfold(page)
    tank, unit = page.locator("form#truck [name=fuel_tank_capacity]"), page.locator("form#truck [data-unit-for=fuel_tank_capacity]")
    unit.select_option("L")
    tank.fill("120")
    tank.blur()
    page.reload()  # the draft
    unfold(page)
    unit.select_option("gal")
    expect(tank).to_have_value("31.7006")
    unit.select_option("L")
    expect(tank).to_have_value("120")
    save(page)
    page.reload()
    unfold(page)
    unit.select_option("gal")
    expect(tank).to_have_value("31.7006")
    tank.fill("")
    unit.select_option("L")
    tank.fill("120")  # the number that another unit showed before
    unit.select_option("gal")
    expect(tank).to_have_value("31.7006")
    page.locator("[data-clear]").click()
    page.locator("[data-clear-yes]").click()
    tank.fill("30")
    unit.select_option("L")
    expect(tank).to_have_value("113.562")


def test_a_unit_shows_what_the_field_holds_now_though_nobody_typed_it(page: Page, served: str) -> None:
    """The year follows from the week that was typed: in km too."""
    page.goto(f"{served}/def.html")
    week, year = (page.locator(f"form#exhaust_fluid_use [name={name}]") for name in ("distance_per_week", "distance_per_year"))
    week.fill("400")
    expect(year).to_have_value("20,000")
    unit = page.locator("form#exhaust_fluid_use [data-unit-for=distance_per_year]")
    unit.select_option("km")
    expect(year).to_have_value("32,186.9")
    unit.select_option("mi")
    expect(year).to_have_value("20,000")


def test_what_is_the_examples_is_not_shown_as_the_trucks(page: Page, served: str) -> None:
    """A truck of one fact: no weight was told, so the axle card is the example's; the idling card is told in part."""
    page.goto(f"{served}/my-truck.html")
    unfold(page)
    page.locator("form#truck [name=fuel_price]").fill("4.5")
    page.locator("form#truck [name=name]").fill("Larch")
    save(page)
    page.goto(f"{served}/money.html")
    card = page.locator("[data-calculator=fluid_cost]")
    expect(card.locator("[data-for-truck]").first).to_have_text("for Larch, partly with the example’s")
    assert colors(card.locator("form [name=fuel_price]")) == {BLUE}
    inputs = saved(page)["answers"]["fluid_cost"]["inputs"]
    asked = card.locator("form [name]").evaluate_all("all => all.map(one => one.name)")
    example = next(name for name in asked if inputs[name].get("whose") == "example")
    assert colors(card.locator(f"form [name='{example}']")) == {GRAY}
    partly = card.locator("dd[data-result=diesel_cost_per_year]")
    assert colors(partly) == {INK}
    expect(partly.locator("+ .rests")).to_have_text("partly yours")
    page.goto(f"{served}/load-and-tow.html")
    axle = page.locator("[data-calculator=axle_load]")
    assert axle.locator('[data-rests="yours"], [data-rests="partly"]').count() == 0
    expect(axle.locator("[data-asks]")).to_be_visible()
    expect(axle.locator("[data-asks]")).to_contain_text("Tell the empty weight on the front axle")
    assert page.locator('main .live.yours[data-live^="axle_load."]').count() == 0


# Blue is the truck's own, gray the example's, ink what is partly either or nobody's: by the tokens, light.
BLUE, GRAY, INK = "rgb(16, 60, 148)", "rgb(59, 72, 68)", "rgb(20, 32, 29)"


def colors(places: Locator) -> set[str]:
    return {one.evaluate("one => getComputedStyle(one).color") for one in places.all()}


def test_every_value_of_a_saved_truck_has_the_color_and_the_word_of_what_it_rests_on(
        page: Page, served: str, site: Path, truck_file: Callable[[str], Path]) -> None:
    opened(page, served, truck_file("tamarack"))
    page.evaluate("""() => { const saved = JSON.parse(localStorage.getItem(kept.KEY));
        for (const one of Object.values(saved.answers)) for (const [place, value] of Object.values(one.results).entries())
            if (!Array.isArray(value) && value.value !== null) Object.assign(value, [{ rests_on: "yours", whose: "yours" },
                { rests_on: "partly", whose: "partly yours" }, { rests_on: "example", whose: "example" }][place % 3]);
        localStorage.setItem(kept.KEY, JSON.stringify(saved)); }""")
    found = set()
    for home in sorted(set(homes(site).values()) - {"wrong-fluid.html"}):
        page.goto(f"{served}/{home}")
        for rests, color in (("yours", BLUE), ("partly", INK), ("example", GRAY)):
            large = page.locator(f'.results dd[data-rests="{rests}"]:not(.rests)')
            assert colors(large) <= {color}, (home, rests)
            words = large.evaluate_all("all => all.map(one => one.nextElementSibling.textContent)")
            assert set(words) <= {{"yours": "yours", "partly": "partly yours", "example": "example"}[rests]}
            found |= {(rests, word) for word in words}
            live = page.locator(f'main .live[data-rests="{rests}"]')
            assert colors(live) <= {color}, (home, rests)
    assert len(found) == 3


def test_opening_a_file_keeps_what_stood_there_and_clear_keeps_nothing(
    page: Page, served: str, truck_file: Callable[[str], Path], tmp_path: Path
) -> None:
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("Larch")
    unfold(page)
    page.locator("form#truck [name=fuel_price]").fill("6.25")  # never saved
    open_file(page, truck_file("tamarack"))
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    expect(page.locator("[data-kept-why]")).to_contain_text("What stood here before is kept: Larch.")
    with page.expect_download() as begun:
        page.locator("[data-kept-save]").click()
    assert json.loads(begun.value.path().read_text("utf-8"))["facts"]["fuel_price"].startswith("6.25")
    page.locator("[data-clear]").click()
    page.locator("[data-clear-yes]").click()
    expect(page.locator("[data-kept]")).to_be_hidden()
    assert page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('diesel-handover'))") == []


def test_what_another_tab_saved_is_kept(page: Page, served: str, context: BrowserContext) -> None:
    page.goto(f"{served}/my-truck.html")
    other = context.new_page()
    other.goto(f"{served}/my-truck.html")
    unfold(other)
    other.locator("form#truck [name=fuel_price]").fill("4.5")
    page.locator("form#truck [name=odometer]").fill("50000")
    unfold(page)
    page.locator("form#truck [name=fuel_economy]").fill("13")
    save(page)
    save(other)
    expect(other.locator("[data-kept-why]")).to_contain_text("What stood here before is kept")
    with other.expect_download() as begun:
        other.locator("[data-kept-save]").click()
    assert json.loads(begun.value.path().read_text("utf-8"))["facts"]["fuel_economy"].startswith("13")
    save(other)  # its own, no other tab's
    assert saved(other)["truck"]["facts"] == {"fuel_price": "4.5 USD/gal"}
    assert [entry["odometer"] for entry in saved(other)["truck"]["book"]] == ["50000 mi"]  # entries are never aside


@pytest.mark.parametrize("at", [5, {}, [1], None])
def test_a_link_with_a_strange_place_in_it_breaks_nothing(page: Page, served: str, at: Any) -> None:
    packed = base64.urlsafe_b64encode(json.dumps({"at": at}).encode()).decode().rstrip("=")
    page.goto(f"{served}/my-truck.html#v1.{packed}")
    unfold(page)
    page.locator("form#truck [name=fuel_price]").fill("6")
    save(page)


def test_the_longest_name_fits_the_smallest_phone(page: Page, served: str, site: Path) -> None:
    page.set_viewport_size({"width": 320, "height": 800})
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("W" * 80)
    save(page)
    assert page.evaluate("document.documentElement.scrollWidth") == 320
    for home in sorted({*homes(site).values(), "index.html", "light.html", "sheets.html", "my-truck.html"}):
        page.goto(f"{served}/{home}")
        assert page.evaluate("document.documentElement.scrollWidth") == 320, home


def test_days_left_are_counted_on_the_day_they_are_read(page: Page, served: str, truck_file: Callable[[str], Path]) -> None:
    """Of a truck that told no gauge: a gauge's reading is old after a week, and then it is worked out anew."""
    path = truck_file("tamarack")
    truck = json.loads(path.read_text())
    ungauged = {name: told for name, told in truck["facts"].items() if name not in ("def_level", "fuel_in_tank")}
    path.write_text(json.dumps(truck | {"facts": ungauged}))
    opened(page, served, path)
    path.write_text(json.dumps(saved(page)["truck"]))
    later = date.today() + timedelta(days=10)
    page.clock.set_fixed_time(f"{later}T12:00:00")
    page.goto(f"{served}/oil-and-service.html")
    rows = page.locator("[data-calculator=service_due] table[data-result=jobs] tbody tr")
    jobs = command_line("service_due", {"today": later.isoformat()}, path)["results"]["jobs"]
    assert rows.count() == len(jobs)
    for row, job in zip(rows.all(), jobs, strict=True):
        for field in ("due_date", "days_left", "overdue") if job["governed_by"]["value"] != "not_recorded" else ():
            assert same(row.locator(f"[data-field={field}]").get_attribute("data-value") or "", job[field]["value"]), (job["job"], field)
    assert page.evaluate("performance.getEntriesByType('resource').filter(e => e.name.includes('/runtime/')).length") == 0


def test_no_frame_shows_the_example_where_the_trucks_number_is_known(page: Page, address: str) -> None:
    page.goto(f"{address}/my-truck.html")
    unfold(page)
    page.locator("form#truck [name=fuel_price]").fill("9.87")
    save(page)
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": 6})
    page.add_init_script("""
        window.seen = new Set();
        const look = () => {
          for (const place of document.querySelectorAll('.live[data-live="idle_bill.cost_per_year"], [data-result="cost_per_year"]'))
            if (getComputedStyle(place).visibility === "visible") window.seen.add(place.textContent);
          requestAnimationFrame(look);
        };
        requestAnimationFrame(look);""")
    follow(page, "idling.html")
    page.evaluate("""() => new Promise(done => {
        const look = () => window.seen.size ? done() : requestAnimationFrame(look);
        look();
    })""")
    page.wait_for_timeout(300)
    yours = saved(page)["answers"]["idle_bill"]["results"]["cost_per_year"]["phrase"]
    assert {text.partition(" ")[0] for text in page.evaluate("[...window.seen]")} == {yours}


def test_a_chapter_with_a_truck_saved_asks_for_no_python(page: Page, served: str) -> None:
    page.goto(f"{served}/my-truck.html")
    page.locator("form#truck [name=name]").fill("Light")
    save(page)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{served}/idling.html")
    page.wait_for_timeout(QUIET)
    assert asked and not [url for url in asked if "/runtime/" in url]


def test_with_scripts_off_the_page_reads_whole_and_a_slip_opens(browser: Browser, address: str) -> None:
    with first_visit(browser, java_script_enabled=False) as context:
        page = context.new_page()
        page.goto(f"{address}/idling.html")
        expect(page.locator("[data-calculator=idle_bill] [data-answer]")).to_be_visible()
        expect(page.locator("[data-calculator=idle_bill] dd[data-result=cost_per_year]")).to_be_visible()
        number = page.locator(".live[data-live='idle_bill.cost_per_year']").first
        expect(number).to_be_visible()
        number.click()
        expect(page.locator("#slip-idle_bill-cost_per_year")).to_be_visible()
        expect(page.locator("#slip-idle_bill-cost_per_year")).to_contain_text("What you pay for diesel")
        expect(page.locator("#slip-idle_bill-cost_per_year [data-working]")).to_be_hidden()
        page.locator("#slip-idle_bill-cost_per_year summary").click()
        expect(page.locator("#slip-idle_bill-cost_per_year [data-working]")).to_contain_text("fuel per year × fuel price")


def test_a_link_brings_no_markup(page: Page, served: str) -> None:
    given = {"fuel_price": [ATTACK, ATTACK], "__proto__": ["1", ""], ATTACK: ["1", ""], "trucks": 4}
    told = {"at": ATTACK, "given": given}
    page.goto(f"{served}/idling.html")
    packed = base64.urlsafe_b64encode(json.dumps(told).encode()).decode().rstrip("=")
    page.goto(f"{served}/idling.html?link#v1.{packed}")
    field = page.locator("form#idle_bill [name=fuel_price]")
    expect(field).to_have_attribute("aria-invalid", "true")
    assert field.input_value() == ATTACK
    assert page.evaluate("[window.hit, ({}).hit, document.querySelectorAll('img[src=x]').length]") == [None, None, 0]
    expect(page.locator("[data-truck-bar]")).to_be_hidden()
