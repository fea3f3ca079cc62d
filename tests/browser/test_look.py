"""The look, measured: contrast and names by axe, room at 320 px, targets for cold fingers, and the specimen as a picture.

The kept pictures are made anew with `KEEP_PICTURES=1 .venv/bin/python -m pytest tests/browser/test_look.py -k specimen`;
look at them before they are committed.
"""

import os
import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from PIL import Image
from pixelmatch.contrib.PIL import pixelmatch
from playwright.sync_api import Browser, Page, sync_playwright

from tools.ready import ROOT

pytestmark = pytest.mark.browser

KEPT = Path(__file__).parent / "kept"
WIDTHS = {"phone": 390, "desktop": 1280}
SCHEMES = ("light", "dark")
FINGER = 44  # px, the smallest side of a target (WCAG 2.2, 2.5.5)

# Colors that differ by less than this are the same to pixelmatch (0 to 1): another Chromium smooths letters differently.
SAME_COLOR = 0.2
# Of all pixels, so many may differ. One heading a pixel lower, or one rule in another weight, is above it.
MAY_DIFFER = 0.0004

# Rules of the levels we promise, and AAA contrast, which axe leaves off unless asked.
AXE = """async () => (await axe.run(document, {
  runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
  rules: {"color-contrast-enhanced": {enabled: true}},
  resultTypes: ["violations"],
})).violations.flatMap(v => v.nodes.map(n => `${v.id}: ${n.target.join(" ")}`))"""

# A link inside a sentence is exempt (it stands `inline`); an input's target is the cell that labels it, and a live
# number, which stands in a sentence too, is as high as the pad it draws around itself.
SMALL_TARGETS = """finger => [...document.querySelectorAll("a[href], button, input, select, summary, label[for]")].filter(e => {
  if (!e.checkVisibility({visibilityProperty: true, opacityProperty: true}) || e.closest(".md-skip, .md-overlay, .md-toggle, .md-search__overlay")) return false;
  const {left, right, width, height} = (e.matches("input, select") && e.closest("label, fieldset.cell") || e).getBoundingClientRect();
  if (width < 2 || height < 2 || right <= 0 || left >= innerWidth || getComputedStyle(e).display === "inline") return false;
  const pad = getComputedStyle(e, "::after");
  if (e.matches(".live")) return height - parseFloat(pad.top) - parseFloat(pad.bottom) < finger - .5;
  return Math.min(width, height) < finger - .5;
}).map(e => `${e.outerHTML.replace(/\\s+/g, " ").slice(0, 90)} ${["width", "height"].map(k => Math.round(e.getBoundingClientRect()[k])).join(" x ")}`)"""

OPEN_ALL = "document.querySelectorAll('details').forEach(d => { d.removeAttribute('name'); d.open = true; })"


def pages() -> list[str]:
    """The site's pages by name; sheets are paper, and are looked at in tests/print."""
    return sorted(path.name for path in (ROOT / "site").glob("*.html"))


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium)
        yield opened
        opened.close()


def open_page(browser: Browser, address: str, width: int, scheme: str = "light") -> Page:
    """A page as a reader with this screen sees it, at rest, with everything unfolded."""
    context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme, reduced_motion="reduce", locale="en-US", timezone_id="UTC")
    page = context.new_page()
    page.goto(address)
    page.evaluate(OPEN_ALL)
    page.evaluate("document.fonts.ready.then(() => true)")
    return page


@pytest.fixture(scope="module")
def axe() -> str:
    return (ROOT / "node_modules/axe-core/axe.min.js").read_text()


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("name", pages())
def test_axe_finds_nothing(browser: Browser, served: str, axe: str, name: str, scheme: str, width: str) -> None:
    page = open_page(browser, f"{served}/{name}", WIDTHS[width], scheme)
    page.evaluate(axe)
    assert page.evaluate(AXE) == []
    page.context.close()


@pytest.mark.parametrize("name", pages())
def test_nothing_runs_off_a_narrow_screen(browser: Browser, served: str, name: str) -> None:
    page = open_page(browser, f"{served}/{name}", 320)
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    page.context.close()


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", pages())
def test_targets_are_large_enough(browser: Browser, served: str, name: str, width: str) -> None:
    page = open_page(browser, f"{served}/{name}", WIDTHS[width])
    assert page.evaluate(SMALL_TARGETS, FINGER) == []
    page.evaluate("document.querySelector('#__drawer').checked = true")
    assert page.evaluate(SMALL_TARGETS, FINGER) == []
    page.context.close()


@pytest.mark.parametrize(("scheme", "width"), [("light", "desktop"), ("dark", "phone")])
def test_specimen_looks_as_kept(browser: Browser, served: str, tmp_path: Path, scheme: str, width: str) -> None:
    page = open_page(browser, f"{served}/specimen.html", WIDTHS[width], scheme)
    kept, now = KEPT / f"specimen-{width}-{scheme}.png", tmp_path / f"specimen-{width}-{scheme}.png"
    page.screenshot(path=now, full_page=True, animations="disabled", caret="hide")
    page.context.close()
    if os.environ.get("KEEP_PICTURES"):
        Image.open(now).convert("RGB").save(kept, optimize=True)
        pytest.skip(f"kept {kept.name} anew: look at it")
    was, shown = Image.open(kept).convert("RGBA"), Image.open(now).convert("RGBA")
    assert shown.size == was.size, f"the specimen's size changed; compare {now} with {kept}"
    difference = Image.new("RGBA", was.size)
    count = pixelmatch(was, shown, difference, threshold=SAME_COLOR)
    difference.save(tmp_path / "difference.png")
    assert count <= MAY_DIFFER * was.width * was.height, f"{count} pixels differ: see {tmp_path}"


def test_our_own_faces_are_used_and_small(browser: Browser, served: str) -> None:
    page = open_page(browser, f"{served}/specimen.html", 1280)
    loaded = page.evaluate("[...document.fonts].filter(f => f.status === 'loaded').map(f => `${f.family.replaceAll('\"', '')} ${f.weight}`)")
    page.context.close()
    assert {"Handover Text 400", "Handover Text 700", "Handover Narrow 700", "Handover Signs 400"} <= {re.sub("normal", "400", face) for face in loaded}
    assert sum(path.stat().st_size for path in (ROOT / "docs/assets/fonts").glob("*.woff2")) <= 60_000


def classes(html: str) -> set[str]:
    """Every class in a page's article."""
    article = html[html.index("<article"):html.index("</article>")]
    return {name for found in re.findall(r'class="([^"]*)"', article) for name in found.split()}


# Names that only place pieces on one page: nothing of theirs to see alone.
PLACES = {"home", "front", "six", "draw", "lying", "standing", "under", "light", "lists", "calls", "md-content__inner", "md-typeset"}


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
    assert page.evaluate("[...document.querySelectorAll('.calc details:not([open]) .work')].every(w => w.getBoundingClientRect().height > 0 && w.checkVisibility())")
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
