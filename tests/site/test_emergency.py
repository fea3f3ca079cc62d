"""emergency.html: one file that needs no other; whole in both languages, alone, without scripts, on a phone and on paper."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest
from playwright.sync_api import Browser, Page

from macros import checks, emergency, finish, two_languages
from tools.ready import ROOT

LARGEST = 200_000  # bytes: it goes by text message
LIGHT = two_languages.words("light")
AXE = ROOT / "node_modules" / "axe-core" / "axe.min.js"


@pytest.fixture(scope="module")
def text(site: Path) -> str:
    return (site / emergency.NAME).read_text("utf-8")


def plain(words: str) -> str:
    """Words without marks, numbers and spaces, to be found again among others."""
    words = re.sub(r"\]\([^)]*\)|[\[*]", "", words)
    return re.sub(r"\s|\{[a-z_.]+\}.*", "", words)


def said(element: object) -> str:
    return re.sub(r"\s", "", "".join(element.itertext()))  # type: ignore[attr-defined]


# The file --------------------------------------------------------------------------------------------


def test_it_is_small_enough_to_send(site: Path) -> None:
    assert (site / emergency.NAME).stat().st_size < LARGEST


def test_it_holds_no_script_and_asks_for_nothing(text: str) -> None:
    page = checks.read(emergency.NAME, text)
    assert not {tag.name for tag in page.tags} & {"script", "link", "img", "iframe", "object", "form"}
    outside = [tag.values["href"] for tag in page.tags if "href" in tag.values and tag.values["href"][:1] != "#"]
    assert outside == ["tel:911", "index.html", "index.html"]  # the last two are useful where the file stands in the site
    assert not re.findall(r"url\((?!data:)", "".join(page.styles))
    assert not [tag for tag in page.tags if "style" in tag.values or any(key.startswith("on") for key in tag.values)]


def test_its_policy_allows_its_own_style_by_hash_and_nothing_else(text: str) -> None:
    page = checks.read(emergency.NAME, text)
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', text)
    assert policy
    assert policy[1] == finish.policy(page)
    assert policy[1].startswith("default-src 'none'; style-src 'sha256-")
    assert "script-src" not in policy[1] and "'self'" not in policy[1] and "unsafe" not in policy[1]


def test_a_page_that_loads_something_keeps_the_wider_policy() -> None:
    assert "script-src 'self'" in finish.policy(checks.read("a.html", '<link rel="stylesheet" href="a.css"><p>a</p>'))
    assert "'self'" not in finish.policy(checks.read("a.html", "<style>p { margin: 0 }</style><p>a</p>"))


def test_every_word_of_a_light_is_on_stands_in_it_in_both_languages(text: str) -> None:
    words = said(emergency.read(text))
    assert len(LIGHT["entries"]) >= 35
    for phrase in two_languages.phrases(LIGHT):
        if phrase != LIGHT["page"]["levels"]:  # names the page's jump links, which the list stands for
            assert [language for language in ("en", "es") if plain(phrase[language]) not in words] == [], phrase


def test_an_entry_keeps_its_place_its_actions_and_its_numbers(text: str, site: Path) -> None:
    here, there = (emergency.read(page) for page in (text, (site / "light.html").read_text("utf-8")))
    entries = {entry.get("id"): entry for entry in emergency.all_of(here, "tri")}
    assert list(entries) == [entry["id"] for entry in LIGHT["entries"]]
    for source in emergency.all_of(there, "tri"):
        kept = entries[source.get("id", "")]
        assert [said(action) for action in kept.iter("li")] == [said(action) for action in source.iter("li")]
        assert [said(row) for row in kept.iter("dd")] == [said(row) for row in source.iter("dd")]
        assert kept.get("class") == source.get("class")


def test_every_paragraph_step_and_cost_of_wrong_fluid_stands_in_it(text: str, site: Path) -> None:
    here = said(emergency.found(emergency.read(text), "", "article"))
    there = emergency.found(emergency.read((site / "wrong-fluid.html").read_text("utf-8")), "md-content__inner")
    left = {"calc", "page-end", "languages", "keep-it", "truckbar", "elsewhere", "slip"}

    def walk(element: object) -> Iterator[str]:
        for child in element:  # type: ignore[attr-defined]
            if set(child.get("class", "").split()) & left:
                continue
            if child.tag in ("p", "li", "td", "h1", "h2", "h3", "figcaption"):
                if not list(emergency.all_of(child, "elsewhere")):
                    yield said(child)
            else:
                yield from walk(child)

    blocks = list(walk(there))
    assert len(blocks) > 120
    assert [block for block in blocks if block not in here] == []


def test_a_word_that_is_missing_would_be_found(text: str) -> None:
    assert plain("**Don’t turn the key.** Don’t lock or unlock it either.") in said(emergency.read(text))
    assert plain("Drive on with the oil light.") not in said(emergency.read(text))


def test_each_number_of_its_own_text_has_its_source_at_the_end(text: str) -> None:
    tree = emergency.read(text)
    told = {said(next(row.iter("b"))) for row in emergency.found(tree, "numbers").iter("li")}
    used = {said(number) for number in emergency.all_of(tree, "live")}
    assert used and used == told
    assert all("".join(next(row.iter("small")).itertext()).strip() for row in emergency.found(tree, "numbers").iter("li"))


def test_both_pages_and_home_lead_to_it(site: Path) -> None:
    for page in ("light", "wrong-fluid", "index"):
        assert f'href="{emergency.NAME}"' in (site / f"{page}.html").read_text("utf-8"), page


# In a browser ------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def alone(site: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The file by itself in a folder with nothing else."""
    folder = tmp_path_factory.mktemp("sent by text")
    shutil.copy(site / emergency.NAME, folder)
    return (folder / emergency.NAME).as_uri()


@pytest.fixture
def phone(browser: Browser, alone: str) -> Iterator[Page]:
    """The file on a phone whose browser runs no script; not a word in the console, not a request."""
    with browser.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False) as context:
        page = context.new_page()
        heard: list[str] = []
        page.on("console", lambda message: heard.append(message.text))
        page.on("pageerror", lambda error: heard.append(str(error)))
        page.on("request", lambda request: heard.append(request.url))
        page.goto(alone)
        yield page
        assert [said for said in heard if said.split("#")[0] != alone and not said.startswith("data:")] == []


@pytest.mark.browser
def test_alone_it_shows_every_entry_in_both_languages(phone: Page) -> None:
    for entry in LIGHT["entries"]:
        card = phone.locator(f"#{entry['id']}")
        assert card.is_visible()
        for language in ("en", "es"):
            assert card.locator(f"h3 [lang={language}] b").inner_text() == entry["name"][language]
            actions = card.locator(f"[lang={language}] ol.first > li")
            assert actions.count() == 3 and actions.nth(2).is_visible()


@pytest.mark.browser
def test_its_list_leads_to_every_entry_and_back(phone: Page) -> None:
    links = phone.locator("#list a")
    assert links.count() == len(LIGHT["entries"]) + len(LIGHT["levels"]) + 2
    targets = [link.get_attribute("href") or "" for link in links.all()]
    assert {f"#{entry['id']}" for entry in LIGHT["entries"]} <= set(targets)
    for target in ("#oil-pressure", "#def-low", "#fluid", "#call", "#soon"):
        phone.locator(f'#list a[href="{target}"]').first.click()
        assert phone.url.endswith(target)
        box = phone.locator(target).bounding_box()
        assert box and -1 <= box["y"] < 500, target
    phone.locator(".up").click()
    assert phone.url.endswith("#list")


@pytest.mark.browser
def test_the_way_back_covers_whole_lines_or_none(phone: Page) -> None:
    """A button in the corner lay half on the words of a step."""
    phone.locator('#list a[href="#oil-pressure"]').first.click()
    box, size = phone.locator(".up").bounding_box(), phone.viewport_size
    assert box and size and box["x"] <= 0 and box["x"] + box["width"] >= size["width"]
    assert box["y"] + box["height"] == pytest.approx(size["height"], abs=1)


@pytest.mark.browser
def test_each_link_in_it_leads_to_a_place_that_is_there(phone: Page) -> None:
    inside = {link.get_attribute("href") or "" for link in phone.locator('a[href^="#"]').all()}
    assert len(inside) > 40
    assert [target for target in inside if phone.locator(f'[id="{target[1:]}"]').count() != 1] == []


@pytest.mark.browser
@pytest.mark.parametrize(("choice", "shown", "hidden"), [("es", "es", "en"), ("en", "en", "es")])
def test_one_language_can_be_chosen_without_a_script(phone: Page, choice: str, shown: str, hidden: str) -> None:
    phone.check(f"#language-{choice}", force=True)
    water = phone.locator("#water")
    assert water.locator(f"[lang={shown}] ol").is_visible()
    assert not water.locator(f"[lang={hidden}] ol").is_visible()
    assert phone.locator(f"#fluid [lang={shown}] .signal").first.is_visible()
    assert not phone.locator(f"#fluid [lang={hidden}] .signal").first.is_visible()
    assert phone.locator("label", has_text="Español").is_visible()


@pytest.mark.browser
@pytest.mark.parametrize("page", ["light.html", "wrong-fluid.html"])
def test_the_pages_offer_the_same_choice_without_a_script_and_remember_nothing(browser: Browser, served: str, page: str) -> None:
    with browser.new_context(java_script_enabled=False) as context:
        opened = context.new_page()
        opened.goto(f"{served}/{page}")
        side = opened.locator('main .both > [lang="en"]').first
        assert side.is_visible()
        opened.check("#language-es", force=True)
        assert not side.is_visible()
        assert opened.locator('main .both > [lang="es"]').first.is_visible()
        opened.goto(f"{served}/{page}")
        assert opened.locator("#language-both").is_checked()
        assert opened.locator('main .both > [lang="en"]').first.is_visible()


@pytest.mark.browser
@pytest.mark.parametrize("page", ["light.html", "wrong-fluid.html"])
def test_the_languages_stand_side_by_side_where_there_is_room(browser: Browser, served: str, page: str) -> None:
    for width, beside in ((1280, True), (390, False)):
        with browser.new_context(viewport={"width": width, "height": 900}) as context:
            opened = context.new_page()
            opened.goto(f"{served}/{page}")
            opened.locator("label:has(#language-both)").click()  # at first the device's language stands alone
            pair = opened.locator("main .both").first
            english, spanish = (pair.locator(f'> [lang="{language}"]').bounding_box() for language in ("en", "es"))
            assert english and spanish
            assert (spanish["x"] > english["x"] + english["width"] - 1) == beside
            assert (spanish["y"] > english["y"] + english["height"] - 1) != beside


@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 390, 1280])
def test_nothing_runs_out_of_the_screen(browser: Browser, alone: str, width: int) -> None:
    with browser.new_context(viewport={"width": width, "height": 700}) as context:
        page = context.new_page()
        page.goto(alone)
        assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.browser
def test_an_action_is_read_at_arms_length(browser: Browser, alone: str) -> None:
    with browser.new_context(viewport={"width": 390, "height": 844}) as context:
        page = context.new_page()
        page.goto(alone)
        size = "one => parseFloat(getComputedStyle(one).fontSize)"
        sizes = page.evaluate(f"[...document.querySelectorAll('ol.first > li')].map({size})")
        smallest = page.evaluate(f"Math.min(...[...document.querySelectorAll('main *:not(input)')].map({size}))")
        height = "one => one.getBoundingClientRect().height"
        targets = page.evaluate(f"[...document.querySelectorAll('#list a, .languages label')].map({height})")
    assert min(sizes) >= 22
    assert smallest >= 15
    assert min(targets) >= 44


@pytest.mark.browser
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_in_it(browser: Browser, alone: str, scheme: str) -> None:
    with browser.new_context(color_scheme=scheme, bypass_csp=True) as context:  # type: ignore[arg-type]
        page = context.new_page()
        page.goto(alone)
        page.add_script_tag(path=AXE)
        rules = "{runOnly: ['wcag2a', 'wcag2aa', 'wcag2aaa', 'wcag21aa', 'best-practice']}"
        found = page.evaluate(f"axe.run({rules}).then(told => told.violations.map(one => [one.id, one.nodes[0].html]))")
    assert found == []


@pytest.mark.browser
@pytest.mark.parametrize("size", ["Letter", "A4"])
def test_all_of_it_prints_in_black_and_white(browser: Browser, alone: str, size: str) -> None:
    with browser.new_context(java_script_enabled=False, color_scheme="dark") as context:
        page = context.new_page()
        page.goto(alone)
        document = pypdfium2.PdfDocument(page.pdf(format=size, print_background=False))
    assert len(document) <= 24
    words = re.sub(r"\s", "", "".join(page.get_textpage().get_text_range() for page in document))
    for entry in LIGHT["entries"]:
        for phrase in (entry["name"], *entry["first"]):
            for language in ("en", "es"):
                assert plain(phrase[language]) in words.replace("\ufffe", "-"), phrase[language]
    for at in (0, len(document) - 1):
        colors = document[at].render(scale=0.5).to_pil().convert("RGB").getcolors(1 << 20)
        assert colors and all(max(color) - min(color) <= 12 for _, color in colors), f"page {at + 1} has color"
