"""The look, measured: contrast and names by axe, room at 320 px, targets for cold fingers, and the specimen as a picture.

The kept pictures are made anew with `KEEP_PICTURES=1 .venv/bin/python -m pytest tests/browser/test_look.py -k specimen`;
look at them before they are committed.
"""

import json
import os
import re
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image
from pixelmatch.contrib.PIL import pixelmatch
from playwright.sync_api import Browser, Page, expect

import calculators
from tests.browser.conftest import first_visit
from tools.ready import ROOT

pytestmark = pytest.mark.browser

KEPT = Path(__file__).parent / "kept"
WIDTHS = {"phone": 390, "desktop": 1280}
FINGER = 44  # px, the smallest side of a target (WCAG 2.2, 2.5.5)

# Two colors are the same if no eye tells them apart (pixelmatch, 0 to 1; about 15 of 255 steps of gray).
SAME_COLOR = 0.06
# Drawn twice by one Chromium nothing differs; a dotted underline gone solid is 11 pixels in a million. Another version
# smooths letters in its own way (up to 6,400 in a million when all glyphs were shifted): then only coarse changes tell.
MAY_DIFFER, MAY_DIFFER_ELSEWHERE = 8e-6, 1e-2

# Rules of the levels we promise, and AAA contrast, which axe leaves off unless asked.
AXE = """async only => (await axe.run(document, {
  runOnly: only ?? ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  rules: only ? {} : {"color-contrast-enhanced": {enabled: true}},
  resultTypes: ["violations"],
})).violations.flatMap(v => v.nodes.map(n => `${v.id}: ${n.target.join(" ")}`))"""
CONTRAST = ["color-contrast", "color-contrast-enhanced"]  # all that changes in the dark

# A link inside a sentence is exempt (it stands `inline`), and so is a question above its own input. A live number
# or a glossary word, which stands in a sentence too, is as high as the pad it draws around itself.
SMALL_TARGETS = """finger => [...document.querySelectorAll("a[href], button, input, select, summary, label[for]")].filter(e => {
  if (!e.checkVisibility({visibilityProperty: true, opacityProperty: true})) return false;
  if (e.closest(".md-skip, .md-overlay, .md-toggle, .md-search__overlay") || e.matches(".cell > label")) return false;
  const {left, right, width, height} = (e.matches("input, select") && e.closest("label, fieldset.cell") || e).getBoundingClientRect();
  if (width < 2 || height < 2 || right <= 0 || left >= innerWidth || getComputedStyle(e).display === "inline") return false;
  const pad = getComputedStyle(e, "::after");
  if (e.matches(".live, .term")) return height - parseFloat(pad.top) - parseFloat(pad.bottom) < finger - .5;
  return Math.min(width, height) < finger - .5;
}).map(e => {
  const {width, height} = e.getBoundingClientRect();
  return `${e.outerHTML.replace(/\\s+/g, " ").slice(0, 90)} ${Math.round(width)} x ${Math.round(height)}`;
})"""

OPEN_ALL = "document.querySelectorAll('details').forEach(d => { d.removeAttribute('name'); d.open = true; })"


def pages() -> list[str]:
    """The site's pages by name; the look of sheets, which are paper, is measured in tests/print."""
    return sorted(path.name for path in (ROOT / "site").glob("*.html"))


def sheets() -> list[str]:
    return sorted(path.name for path in (ROOT / "site" / "sheets").glob("*.html"))


def open_page(browser: Browser, address: str, width: int, scheme: str = "light", unfold: bool = True) -> Page:
    """A page as a reader with this screen sees it, at rest, its folds open."""
    context = first_visit(browser, viewport={"width": width, "height": 800}, color_scheme=scheme, reduced_motion="reduce",
                                  locale="en-US", timezone_id="UTC")
    page = context.new_page()
    page.goto(address)
    if unfold:
        page.evaluate(OPEN_ALL)
    page.evaluate("document.fonts.ready.then(() => true)")
    return page


@pytest.fixture(scope="module")
def axe() -> str:
    return (ROOT / "node_modules/axe-core/axe.min.js").read_text()


def found_by_axe(page: Page, axe: str, dark: bool = True) -> dict[tuple[str, str], list[str]]:
    """What axe finds in a page as it stands, on both widths, light and dark."""
    page.evaluate(axe)
    found = {}
    for width, pixels in WIDTHS.items():
        page.set_viewport_size({"width": pixels, "height": 800})
        page.evaluate("new Promise(requestAnimationFrame)")  # what goes by the width follows with the next frame
        found[width, "light"] = page.evaluate(AXE)
    if dark:
        page.evaluate("document.body.setAttribute('data-md-color-scheme', 'slate')")  # what the theme's switch does
        for width, pixels in WIDTHS.items():
            page.set_viewport_size({"width": pixels, "height": 800})
            found[width, "dark"] = page.evaluate(AXE, CONTRAST)
    page.context.close()
    return {where: what for where, what in found.items() if what}


@pytest.mark.parametrize("name", pages())
def test_axe_finds_nothing(browser: Browser, served: str, axe: str, name: str) -> None:
    assert not found_by_axe(open_page(browser, f"{served}/{name}", WIDTHS["desktop"]), axe)


@pytest.mark.parametrize("name", sheets())
def test_axe_finds_nothing_on_a_sheet(browser: Browser, served: str, axe: str, name: str) -> None:
    assert not found_by_axe(open_page(browser, f"{served}/sheets/{name}", WIDTHS["desktop"]), axe, dark=False)  # paper is white


def wrong_number(page: Page) -> None:
    page.locator("form#idle_bill [name=fuel_price]").fill("a lot")
    expect(page.locator("form#idle_bill [name=fuel_price]")).to_have_attribute("aria-invalid", "true")


def open_slip(page: Page) -> None:
    page.locator("article .live").first.click()
    expect(page.locator(".slip:popover-open")).to_be_visible()


def searched(page: Page) -> None:
    page.locator(".md-search__input").press_sequentially("water in fuel")
    expect(page.locator(".md-search-result__item").first).to_be_visible()


def save_truck(page: Page, **facts: str) -> None:
    truck = calculators.example_truck("tamarack")
    truck["facts"] |= facts
    file = {"name": "my-truck.json", "mimeType": "application/json", "buffer": json.dumps(truck).encode()}
    page.locator("[data-file]").set_input_files(file)
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")


def saved_elsewhere(page: Page) -> None:
    save_truck(page)
    page.goto(page.url.replace("my-truck", "exhaust"))
    page.evaluate(OPEN_ALL)


def saved_and_wrong(page: Page) -> None:
    save_truck(page)
    page.locator("form#truck [name=odometer]").fill("a lot")
    page.locator("form#truck [type=submit]").click()
    expect(page.locator("form#truck [name=odometer]")).to_have_attribute("aria-invalid", "true")
    page.evaluate("scrollTo(0, 0)")  # the page went to the field; whatever row then lies half under the header is not too small


# Numbers broken over two lines, and fields too narrow for what stands in them.
CUT_OFF = """[
  ...[...document.querySelectorAll(".results dd:not(.words, .when, .why)")]
    .filter(one => one.scrollWidth > one.clientWidth || one.clientHeight > 1.9 * parseFloat(getComputedStyle(one).fontSize))
    .filter(one => !one.querySelector(".why")).map(one => one.textContent),
  ...[...document.querySelectorAll(".cell input")].filter(one => one.scrollWidth > one.clientWidth).map(one => `${one.name}=${one.value}`)
]"""


@pytest.mark.parametrize("width", [320, 390])
def test_a_trucks_large_numbers_stand_in_one_line(browser: Browser, served: str, width: int) -> None:
    page = open_page(browser, f"{served}/my-truck.html", width)
    save_truck(page, fuel_economy="11.3 mi/gal", truck_price="143750 USD")
    for name in ("money", "load-and-tow", "def"):
        page.goto(f"{served}/{name}.html")
        expect(page.locator(".calc .results .yours, .yours .calc .results").first).to_be_visible()
        assert page.evaluate(CUT_OFF) == [], name
    page.context.close()


@pytest.mark.parametrize(("name", "bring"), [
    ("idling", wrong_number), ("exhaust", open_slip), ("index", searched), ("my-truck", saved_elsewhere), ("my-truck", saved_and_wrong),
], ids=lambda told: getattr(told, "__name__", told))  # fmt: skip
def test_axe_finds_nothing_in_what_a_reader_brings_about(
        browser: Browser, served: str, axe: str, name: str, bring: Callable[[Page], None]) -> None:
    page = open_page(browser, f"{served}/{name}.html", WIDTHS["desktop"])
    page.wait_for_load_state("networkidle")
    bring(page)
    assert not found_by_axe(page, axe)


@pytest.mark.parametrize("name", pages())
def test_targets_are_large_enough_and_nothing_runs_off_a_narrow_screen(browser: Browser, served: str, name: str) -> None:
    page = open_page(browser, f"{served}/{name}", WIDTHS["desktop"])
    for width in (*WIDTHS.values(), 320):
        page.set_viewport_size({"width": width, "height": 800})
        for menu in (True, False):
            page.evaluate("open => document.querySelectorAll('#__drawer').forEach(one => one.checked = open)", menu)
            assert page.evaluate(SMALL_TARGETS, FINGER) == [], (width, menu)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.context.close()


OVER = """() => {
  const [button, title] = [".md-top", ".md-header__topic:last-child .md-ellipsis"].map((part) => document.querySelector(part));
  const [over, under] = [button, title].map((part) => part.getBoundingClientRect());
  return { shown: !button.hidden && over.width >= 44 && over.height >= 44, apart: under.right <= over.left || over.right <= under.left,
    whole: title.scrollWidth <= title.clientWidth, inside: over.left >= 0 && over.right <= innerWidth && over.top >= 0 };
}"""


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_the_way_back_to_the_top_lies_over_no_title(browser: Browser, served: str, width: int) -> None:
    page = open_page(browser, f"{served}/exhaust.html", width)
    for down in (2400, 1800):  # it comes when a reader scrolls back
        page.evaluate("down => scrollTo(0, down)", down)
        page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    expect(page.get_by_role("button", name="Back to top")).not_to_have_attribute("hidden", "")
    page.wait_for_function(f"({OVER})().shown")
    assert page.evaluate(OVER) == {"shown": True, "apart": True, "whole": True, "inside": True}
    page.context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_mark_in_a_sign_has_the_color_of_what_lies_behind_it(browser: Browser, served: str, scheme: str) -> None:
    """A sign is filled with ink: a mark in another scheme's color would vanish in it."""
    page = open_page(browser, f"{served}/oil-and-service.html", WIDTHS["desktop"], scheme)
    behind = page.locator("main .signal.caution svg.i").evaluate_all(
        "signs => signs.map(one => ['--hole', '--card'].map(color => getComputedStyle(one).getPropertyValue(color)))")
    assert behind and all(mark == card for mark, card in behind), behind
    page.context.close()


def in_two_columns(picture: Image.Image) -> Image.Image:
    """A tall picture with its lower half set beside the upper: the kept format ends at 16,383 pixels."""
    half = (picture.height + 1) // 2
    folded = Image.new("RGB", (2 * picture.width, half))
    for column in (0, 1):
        folded.paste(picture.crop((0, column * half, picture.width, picture.height if column else half)), (column * picture.width, 0))
    return folded


@pytest.mark.parametrize(("scheme", "width"), [("light", "desktop"), ("dark", "phone")])
def test_specimen_looks_as_kept(whole_browser: Browser, served: str, tmp_path: Path, scheme: str, width: str) -> None:
    page = open_page(whole_browser, f"{served}/specimen.html", WIDTHS[width], scheme, unfold=False)
    page.screenshot(path=tmp_path / "now.png", full_page=True, animations="disabled", caret="hide")
    page.context.close()
    kept, drawn_by = KEPT / f"specimen-{width}-{scheme}.webp", KEPT / "drawn-by-chromium.txt"
    now = in_two_columns(Image.open(tmp_path / "now.png"))
    if os.environ.get("KEEP_PICTURES"):
        now.save(kept, lossless=True, quality=100, method=6)
        drawn_by.write_text(whole_browser.version + "\n")
        pytest.skip(f"kept {kept.name} anew: look at it")
    was = Image.open(kept)
    assert now.size == was.size, f"the specimen's size changed: compare {tmp_path / 'now.png'} with {kept}"
    difference = Image.new("RGBA", was.size)
    count = pixelmatch(was.convert("RGBA"), now.convert("RGBA"), difference, threshold=SAME_COLOR)
    difference.save(tmp_path / "difference.png")
    allowed = MAY_DIFFER if drawn_by.read_text().strip() == whole_browser.version else MAY_DIFFER_ELSEWHERE
    assert count <= allowed * was.width * was.height, f"{count} pixels differ: see {tmp_path}"


def test_our_own_faces_are_used_and_small(browser: Browser, served: str) -> None:
    page = open_page(browser, f"{served}/specimen.html", 1280)
    loaded = page.evaluate("[...document.fonts].filter(face => face.status === 'loaded').map(face => [face.family, face.weight])")
    standing_in = page.evaluate("""[...document.styleSheets].flatMap(sheet => [...sheet.cssRules])
        .filter(rule => rule instanceof CSSFontFaceRule && !rule.style.src.includes("url("))
        .map(rule => rule.style.fontFamily.replaceAll('"', ""))""")
    page.context.close()
    # The reader's own faces, stretched to the same width, stand in until ours are there: they cost no byte.
    faces = {(family.strip('"'), weight.replace("normal", "400")) for family, weight in loaded if family.strip('"') not in standing_in}
    assert faces == {("Handover Text", "400"), ("Handover Text", "700"), ("Handover Narrow", "700"), ("Handover Signs", "400")}
    assert sum(path.stat().st_size for path in (ROOT / "docs/assets/fonts").glob("*.woff2")) <= 60_000


def classes(html: str) -> set[str]:
    """Every class in a page's article."""
    article = html[html.index("<article"):html.index("</article>")]
    return {name for found in re.findall(r'class="([^"]*)"', article) for name in found.split()}


# Names that only place pieces on one page: nothing of theirs to see alone.
PLACES = {"home", "once-told", "until-told", "front", "six", "draw", "lying", "standing", "under", "light", "lists", "calls",
          "jump", "all-facts", "called", "groups", "label", "head", "section", "said", "answers", "elsewhere", "md-content__inner",
          "md-typeset"}


def test_every_piece_stands_on_the_specimen(site: Path) -> None:
    shown = classes((site / "specimen.html").read_text("utf-8"))
    drawn = set(re.findall(r'class="([\w -]+)"', (ROOT / "docs/drawings/underside.svg").read_text("utf-8")))
    known = shown | PLACES | {name for found in drawn for name in found.split()}
    used = {name: page.name for page in sorted(site.glob("*.html")) if page.name not in ("specimen.html", "404.html")
            for name in classes(page.read_text("utf-8"))}
    assert {name: page for name, page in used.items() if name not in known} == {}


def test_printed_chapter_opens_its_folds_and_drops_its_buttons(browser: Browser, served: str) -> None:
    page = browser.new_page()
    page.goto(f"{served}/idling.html")
    page.emulate_media(media="print")
    assert not page.locator(".md-header").is_visible()
    assert not any(button.is_visible() for button in page.locator(".acts .btn").all())
    workings = page.locator(".calc details:not([open]) .work").all()
    assert workings and all(working.is_visible() for working in workings)
    page.close()


def test_drawings_are_whole_and_told_in_words() -> None:
    for path in sorted((ROOT / "docs/drawings").glob("*.svg")):
        root = ElementTree.parse(path).getroot()
        if root.get("class") == "sprite":  # signs to be used elsewhere, not a picture
            continue
        spoken = [element.text for element in root if element.tag.endswith(("}title", "}desc"))]
        assert len(spoken) == 2 and all(spoken), path.name
        assert not [e for e in root.iter() if "style" in e.attrib], f"{path.name}: the policy refuses style attributes"
        assert "\n\n" not in path.read_text("utf-8"), f"{path.name}: a blank line would end the raw HTML it stands in"
