"""The guide in Firefox and WebKit as they are installed, from a folder on a stick and served.

In Firefox nothing may be said, and nothing else asked for; WebKit's driver tells neither. From the folder Firefox's own rule
for files holds: each page is a stranger to the others, and shares no storage with them.
"""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

import calculators
from tests.browser.forged import FORGED
from tests.browser.test_page import command_line, same
from tests.outside.firefox import Firefox
from tests.outside.webkit import WebKit, screen

pytestmark = pytest.mark.audit
Reader = Firefox | WebKit

# The browser's Python is compiled as its makers publish it, and Firefox has a word for them about that.
# A face asked for ahead may come into use late where the machine is busy; that it is used, Chromium would say on any page of ours.
# A host that is left and opened again with nobody touching it looks like a tracker to it.
NOT_OURS = ("Web Worker: The WebAssembly exception handling 'try' instruction is deprecated", "was not used within a few seconds",
            "has been classified as a bounce tracker")

RESULTS = """
const card = document.querySelector(`[data-calculator="${told[0]}"]`);
return [card.querySelector("[data-answer]").textContent, [...card.querySelectorAll("[data-result]")].map((place) =>
  [place.dataset.result, place.dataset.value, [...(place.tBodies?.[0].rows ?? [])].map((row) =>
    [...row.cells].map((cell) => [cell.dataset.field, cell.dataset.value]))])];
"""
SETTLED = """
await new Promise((done) => setTimeout(done, 120));
return [document.title, document.readyState, document.body.innerText.length];
"""
# The working, where some results stand too, follows the answer.
READY = """return document.querySelector(`form#${told[0]}`).dataset.state === 'ready'
    && !document.querySelector(`[data-calculator="${told[0]}"] [data-working][aria-busy]`);"""
# What a form has told its reader since.
LISTEN = """const line = document.querySelector(`form#${told[0]} [data-message]`);
    const hear = () => document.body.dataset.listened = `${document.body.dataset.listened ?? ""} ${line.textContent}`;
    new MutationObserver(hear).observe(line, {childList: true, characterData: true, subtree: true});"""
DRAWN = "return document.querySelector(`figure.chart[data-of=${told[0]}] svg`).outerHTML;"


@pytest.fixture(scope="module")
def firefox(firefox_path: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    started = Firefox(firefox_path, tmp_path_factory.mktemp("firefox"))
    yield started
    started.close()


@pytest.fixture(scope="module")
def webkit(webkit_path: str) -> Iterator[WebKit]:
    with screen() as display:
        started = WebKit(webkit_path, display)
        yield started
        started.close()


@pytest.fixture(params=["firefox", "webkit"])
def reader(request: pytest.FixtureRequest, address: str) -> Iterator[Reader]:
    """A Firefox in which nothing may be said, and nothing asked for outside the site; or a WebKit."""
    if request.param == "webkit":
        yield request.getfixturevalue("webkit")
        return
    firefox: Firefox = request.getfixturevalue("firefox")
    firefox.heard()
    yield firefox
    said, asked = firefox.heard()
    assert [words for words in said if not is_theirs(words)] == []
    assert asked
    assert [url for url in asked if not url.startswith((f"{address}/", "blob:", "data:", "about:"))] == []


def is_theirs(words: str) -> bool:
    return any(theirs in words for theirs in NOT_OURS)


def differences(reader: Reader, name: str, told: dict[str, Any]) -> list[str]:
    """Where a calculator's card and the command line's JSON are not the same, to the last digit."""
    sentence, places = reader.ask(RESULTS, name)
    wrong = [] if sentence == told["answer"] else [f"it says: {sentence}"]
    assert sorted(place[0] for place in places) == sorted(told["results"])
    for result, value, rows in places:
        due = told["results"][result]
        if isinstance(due, list):
            assert [[field for field, _ in row] for row in rows] == [list(row) for row in due]
            wrong += [f"{result}.{field}: {text} for {line[field]}" for row, line in zip(rows, due, strict=True) for field, text in row
                      if not same(text, line[field]["value"])]
        elif not same(value, due["value"]):
            wrong.append(f"{result}: {value} for {due}")
    return wrong


def test_what_a_page_says_or_asks_for_is_heard(firefox: Firefox, tmp_path: Path, served: str) -> None:
    """The rest of this file would notice."""
    (tmp_path / "bad.html").write_text(f"""<!doctype html><meta charset="utf-8"><title>Bad</title>
        <meta http-equiv="Content-Security-Policy" content="default-src 'self' http: blob: 'unsafe-inline'; style-src 'none'">
        <p style="color: red"></p><img src="{served}/nowhere.png" alt=""><img src="../elsewhere.png" alt="">
        <script>console.info("said by the page"); setTimeout(() => {{ throw new Error("thrown later"); }});
        new Worker(URL.createObjectURL(new Blob(["console.info('said by a worker'); null.thrown"])));
        document.getElementById("");</script>""")
    firefox.heard()
    firefox.open((tmp_path / "bad.html").as_uri())
    firefox.ask("await new Promise((done) => setTimeout(done, 1000));")
    said, asked = firefox.heard()
    for words in ("said by the page", "thrown later", "said by a worker", "null", "blocked an inline style", "Empty string"):
        assert any(words in each for each in said), (words, said)
    for place in (f"{served}/nowhere.png", (tmp_path.parent / "elsewhere.png").as_uri()):
        assert place in asked


def test_every_page_opens(reader: Reader, address: str, site: Path) -> None:
    pages = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    assert len(pages) > 30
    for page in pages:
        reader.open(f"{address}/{page}")
        title, state, length = reader.ask(SETTLED)
        assert state == "complete" and title and length > 100, page


def test_the_search_finds_and_leads_there(reader: Reader, address: str) -> None:
    reader.open(f"{address}/index.html")
    reader.click(".md-search__input")
    reader.type(".md-search__input", "gelled fuel")
    found = reader.until("""const first = () => document.querySelector('.md-search-result__link')?.pathname;
        const found = first();
        await new Promise((done) => setTimeout(done, 500)); // the list is made anew at each letter
        return found === first() && found;""")
    reader.click(".md-search-result__link")
    reader.until("return document.readyState === 'complete' && location.pathname === told[0];", found)
    assert "gel" in reader.ask("return document.querySelector('article').innerText.toLowerCase();")


@pytest.mark.parametrize(("name", "page", "field", "text"), [
    ("regeneration", "exhaust", "long_trips_per_week", "0"),
    ("idle_bill", "idling", "fuel_price", "4.29"),
])
def test_a_form_gives_the_command_lines_answer(reader: Reader, address: str, name: str, page: str, field: str, text: str) -> None:
    reader.open(f"{address}/{page}.html")
    charted = reader.ask("return Boolean(document.querySelector(`figure.chart[data-of=${told[0]}]`));", name)
    before = charted and reader.ask(DRAWN, name)
    reader.ask(LISTEN, name)
    reader.type(f"form#{name} [name={field}]", text)
    reader.until(READY, name)
    heard = reader.ask("return document.body.dataset.listened;")
    assert "Starting the calculator" in heard and "slower" not in heard, "the kept memory was restored"
    assert differences(reader, name, command_line(name, {field: text})) == []
    if charted:
        reader.until("return document.querySelector(`figure.chart[data-of=${told[0]}]`).dataset.drawn === 'typed';", name)
        assert reader.ask(DRAWN, name) != before


@pytest.mark.parametrize("forgery", FORGED, ids=lambda forgery: forgery.__name__)
def test_a_forged_link(reader: Reader, address: str, forgery: Callable[[Reader, str], None]) -> None:
    """As tests/browser/test_forged.py in Chromium."""
    forgery(reader, address)
    reader.ask("localStorage.clear(); sessionStorage.clear();")


def follow(reader: Reader, link: str, home: str) -> None:
    """Go on by a link of the page, as a reader does."""
    reader.click(link)
    reader.until("return document.readyState === 'complete' && location.pathname.endsWith(`/${told[0]}`);", home)
    reader.until("return !document.documentElement.classList.contains('filling');")


def test_my_truck_is_saved_and_goes_along(reader: Reader, address: str, tmp_path: Path) -> None:
    truck = calculators.example_truck("tamarack") | {"name": "Blue Heron"}
    path = tmp_path / "my-truck.json"
    path.write_text(json.dumps(truck))
    reader.open(f"{address}/my-truck.html")
    reader.ask("document.querySelector('[data-file]').hidden = false;")  # no driver can choose in the system's own window
    reader.type("[data-file]", str(path))
    reader.until("return document.querySelector('form#truck [data-message]').textContent.includes('Saved in this browser');")
    for home, name in (("idling.html", "idle_bill"), ("oil-and-service.html", "service_due")):
        follow(reader, ".md-header .md-logo", "index.html")
        follow(reader, f"article nav a[href^='{home}']", home)
        assert differences(reader, name, command_line(name, {}, path)) == []
        assert reader.ask("return document.querySelector('[data-truck-name]').textContent;") == "Blue Heron"
    follow(reader, ".md-header .md-logo", "index.html")
    follow(reader, "article nav a[href^='sheets.html']", "sheets.html")
    follow(reader, "article a[href*='sheets/owners-summary.html']", "sheets/owners-summary.html")
    assert "Blue Heron" in reader.ask("return document.querySelector('main').innerText;")

    reader.open("about:blank")
    reader.open(f"{address}/my-truck.html")
    assert reader.until("return document.querySelector('form#truck [name=name]').value;") == "Blue Heron"
    reader.ask("localStorage.clear();")
