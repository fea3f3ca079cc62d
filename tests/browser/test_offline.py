"""Installed and without a signal: the server is stopped, breaks off, answers with errors, and comes back with a newer guide."""

import functools
import html
import http.server
import json
import os
import re
import shutil
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect

import calculators
from macros import checks, offline
from tests.browser.conftest import uncovered
from tests.conftest import SLOW, Quiet
from tools.ready import ROOT

pytestmark = pytest.mark.browser
FINGER = 44
ANSWERS, NAMES = (500, 404, b"<title>Sign in</title>"), ("errors", "nothing there", "a sign-in page")
AXE = """async () => (await axe.run(document, {rules: {"color-contrast-enhanced": {enabled: true}}, resultTypes: ["violations"]}))
    .violations.flatMap(v => v.nodes.map(n => `${v.id}: ${n.target.join(" ")}`))"""
# What the service worker in charge says of itself; null before there is one.
STATE = """async () => {
    const worker = navigator.serviceWorker.controller;
    if (!worker) return null;
    const {port1, port2} = new MessageChannel();
    const told = new Promise(resolve => port1.onmessage = ({data}) => resolve(data));
    worker.postMessage({do: "look"}, [port2]);
    return told;
}"""


class Host:
    """A server that a test can stop, break and bring back at the same address; nothing it sends may be kept by the browser itself."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.broken: Callable[[str], int | bytes | None] = lambda path: None  # a status, or what stands there instead
        self.asked: list[str] = []
        self.keeps = "no-store"
        self.port = 0
        self.start()

    def start(self) -> None:
        host = self

        class Handler(Quiet):
            def do_GET(self) -> None:
                host.asked.append(self.path)
                self.directory = str(host.folder)
                match host.broken(self.path.split("?")[0].strip("/")):
                    case int(status):
                        self.send_error(status)
                    case bytes(body):
                        self.send_response(200)
                        self.send_header("Content-Type", "text/html")
                        self.end_headers()
                        self.wfile.write(body)
                    case _:
                        super().do_GET()

            def end_headers(self) -> None:
                self.send_header("Cache-Control", host.keeps)
                super().end_headers()

        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", self.port), functools.partial(Handler, directory=self.folder))
        self.port = self.server.server_port
        self.address = f"http://127.0.0.1:{self.port}"
        threading.Thread(target=self.server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()

    def stop(self) -> None:
        self.server.shutdown()
        self.server.server_close()

    def breaks(self, after: int, status: int | bytes = 500) -> None:
        """From the nth file on it answers like this."""
        told = iter(range(after))
        self.broken = lambda path: None if next(told, None) is not None else status


@pytest.fixture
def host(site: Path) -> Iterator[Host]:
    opened = Host(site)
    yield opened
    opened.stop()


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """With a service worker, unlike elsewhere."""
    with browser.new_context(viewport={"width": 1280, "height": 900}) as opened:
        yield opened


@pytest.fixture
def newer(site: Path, tmp_path: Path) -> Path:
    """The next version of the site: other words on every page, and a style that tells which version it is of."""
    copy = tmp_path / "newer"
    shutil.copytree(site, copy, copy_function=os.link)
    for path in [copy / "assets" / "tokens.css", *copy.glob("*.html")]:
        text = path.read_text("utf-8").replace("<title>", "<title>Newer: ")
        path.unlink()
        path.write_text(text + ("\n:root { --edition: newer; }" if path.suffix == ".css" else ""), "utf-8")
    (copy / "service-worker.js").unlink()
    names = [path.relative_to(copy).as_posix() for path in copy.rglob("*.html")]
    pages = {name: checks.read(name, (copy / name).read_text("utf-8")) for name in names}
    assert offline.place(copy, pages) == []
    return copy


def state(page: Page) -> Any:
    return page.evaluate(STATE)


def wait(page: Page, holds: Callable[[Any], object]) -> None:
    """Until what the service worker says of itself holds."""
    deadline = time.monotonic() + SLOW / 1000
    while not ((told := state(page)) and holds(told)):
        assert time.monotonic() < deadline, told
        page.wait_for_timeout(50)


def whole(page: Page) -> None:
    """Wait until a first version is on the device."""
    wait(page, lambda told: told.get("current"))


def guide(folder: Path) -> Any:
    return json.loads((folder / "service-worker.js").read_text("utf-8").split("\n")[0].removeprefix("self.guide = ").removesuffix(";"))


def edition(page: Page) -> list[str]:
    """Of what version the page's words are, and its style if it asks for one."""
    page.wait_for_load_state()
    return page.evaluate("""[document.title.startsWith("Newer") ? "newer" : "older", ...document.querySelector("link[href*=tokens]")
        ? [getComputedStyle(document.documentElement).getPropertyValue("--edition") || "older"] : []]""")


def answers(page: Page) -> None:
    """A calculator of this page computes what Python does."""
    page.locator("form#idle_bill [name=trucks]").fill("3")
    expect(page.locator("form#idle_bill")).to_have_attribute("data-state", "ready")
    told = calculators.answer("idle_bill", {"trucks": "3"})["results"]["cost_per_year"]["value"]
    assert float(page.locator("[data-calculator=idle_bill] dd[data-result=cost_per_year]").get_attribute("data-value") or "") == told


def keep(page: Page) -> None:
    page.locator("[data-offline] button").click()
    expect(page.locator("[data-state]")).to_contain_text("Kept: works without a signal")


BAR = "aside.newer"
OVER_THE_BAR_THAT_GROWS = """(field, bar) => {
    field.focus({ preventScroll: true });
    scrollBy({ top: field.getBoundingClientRect().bottom - bar.getBoundingClientRect().top, behavior: "instant" });
    bar.style.minHeight = `${bar.offsetHeight + 90}px`;
}"""


# Without a signal --------------------------------------------------------------------------------


def test_every_page_opens_without_a_server(page: Page, host: Host, site: Path) -> None:
    page.goto(f"{host.address}/index.html")
    whole(page)
    names = [path.relative_to(site).as_posix() for path in site.rglob("*.html")]
    assert len(names) > 30
    titles = {}
    for name in (name for name, *_ in guide(site)["large"] if name.endswith(".html")):  # kept at their first use
        page.goto(f"{host.address}/{name}")
        titles[name] = page.title()
    assert 0 < len(titles) < 3
    host.stop()
    for name in names:
        page.goto(f"{host.address}/{name}")
        title = re.search("<title>(.*?)</title>", (site / name).read_text("utf-8"))
        assert title and page.title() == titles.get(name, html.unescape(title[1])) and "<main" in page.content(), name
        assert page.evaluate("[...document.styleSheets].every(sheet => sheet.cssRules.length)")
        broken = page.evaluate(
            "document.fonts.ready.then(fonts => [...fonts].filter(face => face.status === 'error').map(face => face.family))")
        assert not [face for face in broken if face.strip('"').startswith("Handover")]  # a reader's own face may not be on this machine
    host.start()


@pytest.mark.parametrize("typed", ["", "index.html?from=a-friend", "index.html#six", "fuel", "fuel.html?x=1&y=2#why"])
def test_other_ways_to_write_an_address_lead_there_too(page: Page, host: Host, typed: str) -> None:
    page.goto(f"{host.address}/")
    whole(page)
    host.stop()
    page.goto("about:blank")
    page.goto(f"{host.address}/{typed}")
    head = page.locator("article h1").filter(visible=True)
    assert head.inner_text() == ("Fuel filtration" if "fuel" in typed else "You have the keys. Here is the rest of the handover.")
    assert page.evaluate("fetch('index.html', {headers: {Range: 'bytes=0-9'}}).then(got => got.status)") in (200, 206)
    host.start()


def test_search_works_without_a_server(page: Page, host: Host) -> None:
    page.goto(f"{host.address}/light.html")
    whole(page)
    host.stop()
    page.goto(f"{host.address}/def.html")
    page.locator("input[name=query]").click()
    page.locator("input[name=query]").press_sequentially("separator", delay=20)
    expect(page.locator(".md-search-result__item").first).to_be_visible()
    host.start()


def test_kept_the_calculators_charts_and_sheets_work_without_a_server_for_the_saved_truck(
        page: Page, host: Host, site: Path, tmp_path: Path) -> None:
    page.goto(f"{host.address}/index.html")
    whole(page)
    button = page.locator("[data-offline] button")
    expect(button).to_be_visible()
    expect(page.locator("[data-state]")).to_have_text(re.compile(r"^\d+\.\d MB, once\.$"))
    page.evaluate("""() => {
        window.said = [];
        new MutationObserver(() => window.said.push(document.querySelector("[data-state]").textContent))
            .observe(document.querySelector("[data-state]"), {childList: true});
    }""")
    keep(page)
    assert button.is_hidden()
    *progress, done = page.evaluate("window.said")
    total = sum(size for _, size, *_ in guide(site)["large"])
    told = [re.fullmatch(rf"(\d+\.\d) of {total / 1e6:.1f} MB", text) for text in progress]
    shares = [float(found[1]) for found in told if found]
    assert len(shares) == len(progress) > 20 and shares == sorted(shares) and shares[-1] == round(total / 1e6, 1)
    assert done == f"Kept: works without a signal. {total / 1e6:.1f} MB."

    truck = tmp_path / "my-truck.json"
    truck.write_text(json.dumps(calculators.example_truck("tamarack")))
    page.goto(f"{host.address}/my-truck.html")
    with page.expect_file_chooser() as chosen:
        page.locator("[data-import]").click()
    chosen.value.set_files(truck)
    expect(page.locator("form#truck [data-message]")).to_contain_text("Saved in this browser")
    expect(page.locator("[data-state]")).to_contain_text("Kept")

    host.stop()
    page.goto(f"{host.address}/idling.html")
    expect(page.locator("[data-truck-bar] [data-truck-name]")).to_have_text(calculators.example_truck("tamarack")["name"])
    page.locator("form#idle_bill [name=trucks]").fill("3")
    expect(page.locator("form#idle_bill")).to_have_attribute("data-state", "ready")
    shown = page.locator("[data-calculator=idle_bill] dd[data-result=cost_per_year]").get_attribute("data-value")
    wanted = calculators.answer("idle_bill", {"trucks": "3"}, page.evaluate("kept.here.saved.truck"))
    assert float(shown or "") == wanted["results"]["cost_per_year"]["value"]
    page.goto(f"{host.address}/exhaust.html")
    page.locator("#regeneration [name=long_trips_per_week]").fill("0")
    expect(page.locator('figure.chart[data-of="regeneration"][data-drawn="typed"]')).to_be_attached()
    for name in ("glovebox-card.pdf", "glovebox-card.png"):
        sent = page.evaluate("name => fetch(name).then(got => got.arrayBuffer()).then(bytes => bytes.byteLength)", f"sheets/{name}")
        assert sent == (site / "sheets" / name).stat().st_size
    host.start()


def test_what_is_not_kept_leads_home_and_says_so(context: BrowserContext, host: Host) -> None:
    page = context.new_page()
    page.goto(f"{host.address}/index.html")
    whole(page)
    expect(page.locator("[data-offline] button")).to_be_visible()
    assert page.locator("#not-kept").is_hidden()
    host.stop()
    page.goto(f"{host.address}/sheets/glovebox-card.pdf")
    expect(page).to_have_url(f"{host.address}/index.html#not-kept")
    expect(page.locator("#not-kept")).to_be_in_viewport()
    host.start()


@pytest.mark.parametrize("early", [True, False], ids=["before the service worker", "after it"])
def test_calculators_once_used_stay(page: Page, host: Host, early: bool) -> None:
    host.keeps = "no-cache"  # as most hosts: the browser asks whether its copy is still good
    answered = threading.Event()

    def comes_late(path: str) -> None:
        if early and path == "service-worker.js":
            answered.wait(SLOW / 1000)

    host.broken = comes_late
    page.goto(f"{host.address}/idling.html")
    if not early:
        whole(page)
    answers(page)
    assert (state(page) is None) == early
    answered.set()
    whole(page)
    used = {"runtime/worker.js", "runtime/pyodide.asm.wasm", "runtime/snapshot.bin.gz", "assets/vega/charts.js"}
    wait(page, lambda told: not {path for path, _ in told["missing"]} & used)
    gone = {path for path, _ in state(page)["missing"]}
    assert {"runtime/python_stdlib.zip", "sheets/glovebox-card.pdf"} <= gone
    host.stop()
    page.goto("about:blank")
    page.goto(f"{host.address}/idling.html")
    answers(page)
    host.start()


# Coming in ---------------------------------------------------------------------------------------


def test_a_first_visit_is_left_alone_and_then_the_emergency_pages_come_first(page: Page, host: Host, site: Path) -> None:
    page.goto(f"{host.address}/fuel.html")
    page.wait_for_timeout(1500)
    assert not any("service-worker" in path for path in host.asked)
    loaded = len(host.asked)
    whole(page)
    asked = [path.strip("/") for path in host.asked[loaded:]]
    assert asked[0] == "service-worker.js"
    first, rest = ([name for name, *_ in guide(site)[part]] for part in ("first", "rest"))
    assert set(asked[1:]) == {*first, *rest}
    assert set(asked[1:1 + len(first)]) == set(first)
    assert "light.html" in asked[1:3], "two come at a time"
    assert not any(path.endswith((".pdf", ".png")) or path.startswith("runtime/") for path in asked)


def test_nothing_is_kept_while_its_reader_types(page: Page, host: Host) -> None:
    """Twelve letters half a second apart, by the page's own clock: a busy machine between us and it makes no pause in them."""
    page.add_init_script("""addEventListener("DOMContentLoaded", () => {
        const field = document.querySelector("form#idle_bill [name=fuel_price]");
        window.typed = (async () => {
            for (let letter = 0; letter < 12; letter++) {
                field.value = (4 + letter / 10).toFixed(1);
                field.dispatchEvent(new InputEvent("input", {bubbles: true}));
                await new Promise(resolve => setTimeout(resolve, 500));
            }
            return Boolean(await navigator.serviceWorker.getRegistration());
        })();
    })""")
    page.goto(f"{host.address}/idling.html")
    kept = page.evaluate("window.typed")
    assert not kept
    expect(page.locator("form#idle_bill")).to_have_attribute("data-state", "ready")
    whole(page)


@pytest.mark.parametrize("broken", ANSWERS, ids=NAMES)
def test_where_the_rest_does_not_come_the_emergency_pages_still_work(
        context: BrowserContext, host: Host, site: Path, broken: int | bytes) -> None:
    page = context.new_page()
    first = {name for name, *_ in guide(site)["first"]}
    host.broken = lambda path: None if path in first or path == "service-worker.js" else broken
    page.goto(f"{host.address}/index.html")
    wait(page, lambda told: len(told["missing"]) == len(guide(site)["large"]))
    page.wait_for_timeout(500)
    assert not state(page).get("current")
    host.stop()
    for name in ("light.html", "wrong-fluid.html", "index.html", ""):
        page.goto(f"{host.address}/{name}")
        assert "Sign in" not in page.title()
        assert page.evaluate("[...document.styleSheets].every(sheet => sheet.cssRules.length)")
    page.goto(f"{host.address}/fuel.html")
    expect(page).to_have_url(f"{host.address}/index.html#not-kept")
    host.start()
    host.broken = lambda path: None
    asked = len(host.asked)
    page.goto(f"{host.address}/fuel.html")  # the signal is back
    whole(page)
    again = [path.strip("/") for path in host.asked[asked:]]
    assert again.count("light.html") == 0, "what had come was not fetched again"


def test_keeping_breaks_off_with_words_and_goes_on_from_there(context: BrowserContext, host: Host, site: Path) -> None:
    page = context.new_page()
    page.goto(f"{host.address}/index.html")
    whole(page)
    host.breaks(after=12)
    page.locator("[data-offline] button").click()
    expect(page.locator("[data-state]")).to_contain_text("The connection broke off")
    left = [path for path, _ in state(page)["missing"]]
    assert 0 < len(left) <= len(guide(site)["large"]) - 10
    host.broken = lambda path: b"<title>Sign in</title>"
    page.locator("[data-offline] button").click()
    expect(page.locator("[data-offline] button")).to_be_visible()
    expect(page.locator("[data-state]")).to_contain_text("The connection broke off")
    assert [path for path, _ in state(page)["missing"]] == left
    host.stop()
    page.locator("[data-offline] button").click()
    expect(page.locator("[data-offline] button")).to_be_visible()
    expect(page.locator("[data-state]")).to_contain_text("The connection broke off")
    host.start()
    host.broken = lambda path: None
    host.asked.clear()
    keep(page)
    assert [path.strip("/").split("?")[0] for path in host.asked] == left


def test_a_device_without_room_says_so_and_the_guide_still_works(context: BrowserContext, host: Host) -> None:
    page = context.new_page()
    page.goto(f"{host.address}/index.html")
    whole(page)
    tools = context.new_cdp_session(page)
    tools.send("Storage.overrideQuotaForOrigin", {"origin": host.address, "quotaSize": 4_000_000})
    page.locator("[data-offline] button").click()
    expect(page.locator("[data-state]")).to_contain_text("gives no more room")
    page.goto(f"{host.address}/idling.html")
    answers(page)
    tools.send("Storage.overrideQuotaForOrigin", {"origin": host.address})
    page.goto(f"{host.address}/index.html")
    keep(page)


def test_a_browser_that_refuses_shows_nothing(page: Page, host: Host) -> None:
    page.add_init_script("ServiceWorkerContainer.prototype.register = () => Promise.reject(new DOMException('no', 'SecurityError'))")
    page.goto(f"{host.address}/index.html")
    page.wait_for_timeout(3000)
    assert page.locator("[data-offline]").is_hidden()


def test_from_a_folder_nothing_is_shown_or_asked_for(page: Page, folder: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    for name in ("index.html", "my-truck.html"):
        page.goto(f"{folder}/{name}")
        page.wait_for_timeout(2500)
        assert page.locator("[data-offline]").count() == 1
        assert page.locator("[data-offline]").is_hidden()
        assert page.locator("link[rel=manifest]").count() == 0
    assert not [url for url in asked if "service-worker" in url or "manifest" in url]


# A newer version ---------------------------------------------------------------------------------


def test_a_newer_guide_is_offered_not_taken(context: BrowserContext, page: Page, host: Host, newer: Path) -> None:
    page.goto(f"{host.address}/index.html")
    whole(page)
    page.reload()
    assert page.locator(BAR).count() == 0
    other = context.new_page()
    other.goto(f"{host.address}/light.html")
    host.folder = newer

    page.goto(f"{host.address}/fuel.html")
    expect(page.locator(BAR)).to_contain_text("A newer guide is ready.")
    assert edition(page) == ["older", "older"]
    page.get_by_role("button", name="Later").click()
    expect(page.locator(BAR)).to_have_count(0)
    page.goto(f"{host.address}/def.html")
    page.wait_for_timeout(1000)
    assert page.locator(BAR).count() == 0
    assert edition(page) == ["older", "older"]

    for left in context.pages:  # and not when the reader is gone and comes back
        left.goto("about:blank") if left is page else left.close()
    page.wait_for_timeout(500)
    back = context.new_page()
    for name in ("index.html", "fuel.html"):
        back.goto(f"{host.address}/{name}")
        assert edition(back) == ["older", "older"]
    expect(back.locator(BAR)).to_be_visible()
    host.stop()
    back.goto(f"{host.address}/idling.html")
    assert edition(back) == ["older", "older"]
    host.start()


def test_taken_it_is_whole_in_every_tab(context: BrowserContext, page: Page, host: Host, newer: Path, site: Path) -> None:
    page.goto(f"{host.address}/index.html")
    whole(page)
    keep(page)
    other = context.new_page()
    other.goto(f"{host.address}/idling.html")
    other.locator("form#idle_bill [name=trucks]").fill("7")
    expect(other.locator("form#idle_bill")).to_have_attribute("data-state", "ready")
    other.locator("form#idle_bill [name=trucks]").blur()
    host.folder = newer
    host.asked.clear()
    page.goto(f"{host.address}/fuel.html")
    expect(page.locator(BAR)).to_be_visible()
    fetched = {path.strip("/").split("?")[0] for path in host.asked} - {"service-worker.js"}
    assert fetched == {"assets/tokens.css", *(path.name for path in newer.glob("*.html"))}, "what the versions share is fetched once"
    host.stop()
    page.get_by_role("button", name="Use it").click()
    for tab in (page, other):
        expect(tab).to_have_title(re.compile("^Newer"))
        assert edition(tab) == ["newer", "newer"]
        expect(tab.locator(BAR)).to_have_count(0)
    expect(other.locator("form#idle_bill [name=trucks]")).to_have_value("7")
    answers(other)
    for path in newer.glob("*.html"):
        page.goto(f"{host.address}/{path.name}")
        assert set(edition(page)) == {"newer"}
    told = state(page)
    assert told["current"] == told["version"] == guide(newer)["version"] != guide(site)["version"]
    assert told["missing"] == []
    entries = page.evaluate("caches.keys().then(names => Promise.all(names.map(name => caches.open(name).then(store => store.keys()))))"
                            ".then(lists => lists.flat().length)")
    assert entries == 1 + sum(len(guide(newer)[part]) for part in ("first", "rest", "large")), "nothing of the older one is left"
    host.start()


@pytest.mark.parametrize("broken", ["stopped", *ANSWERS], ids=["stopped", *NAMES])
def test_an_update_that_breaks_off_leaves_the_older_guide_whole(
        context: BrowserContext, host: Host, newer: Path, broken: str | int | bytes) -> None:
    page = context.new_page()
    page.goto(f"{host.address}/index.html")
    whole(page)
    host.folder = newer
    host.asked.clear()
    if isinstance(broken, str):
        stopper = threading.Event()

        def stop_after_some(path: str) -> None:
            if len(host.asked) > 5 and not stopper.is_set():
                stopper.set()
                threading.Thread(target=host.stop).start()

        host.broken = stop_after_some
    else:
        host.breaks(after=5, status=broken)
    page.goto(f"{host.address}/fuel.html")
    wait(page, lambda _: len(host.asked) > 5)
    page.wait_for_timeout(1000)
    if not isinstance(broken, str):
        host.stop()
    assert page.locator(BAR).count() == 0
    for name in ("index", "light", "emergency", "fuel", "idling", "reference"):
        page.goto(f"{host.address}/{name}.html")
        assert set(edition(page)) == {"older"}
        assert "Sign in" not in page.title()
    host.broken = lambda path: None
    host.start()
    page.goto(f"{host.address}/fuel.html")
    expect(page.locator(BAR)).to_be_visible()
    assert edition(page) == ["older", "older"]
    page.get_by_role("button", name="Use it").click()
    expect(page).to_have_title(re.compile("^Newer"))
    assert edition(page) == ["newer", "newer"]


@pytest.mark.parametrize("broken", ANSWERS, ids=NAMES)
def test_a_host_that_answers_anything_for_everything_changes_nothing(context: BrowserContext, host: Host, broken: int | bytes) -> None:
    page = context.new_page()
    page.goto(f"{host.address}/index.html")
    whole(page)
    host.broken = lambda path: broken
    for _ in range(2):
        for name in ("index.html", "fuel.html", ""):
            page.goto(f"{host.address}/{name}")
            assert edition(page) == ["older", "older"]
            assert "Sign in" not in page.title()
        page.wait_for_timeout(500)
    assert page.locator(BAR).count() == 0
    assert state(page)["current"]


def test_a_page_never_computes_with_another_versions_python(context: BrowserContext, host: Host, site: Path, tmp_path: Path) -> None:
    """The reader has the older pages, and no calculator yet; the host has newer ones already."""
    other = tmp_path / "other"
    shutil.copytree(site, other, copy_function=os.link)
    (other / "runtime" / "snapshot.bin.gz").unlink()
    (other / "runtime" / "pyodide.asm.wasm").unlink()
    (other / "runtime" / "snapshot.bin.gz").write_bytes(b"newer")
    (other / "runtime" / "pyodide.asm.wasm").write_bytes((site / "runtime" / "pyodide.asm.wasm").read_bytes() + b"\0")
    page = context.new_page()
    page.goto(f"{host.address}/idling.html")
    whole(page)
    host.folder = other
    page.locator("form#idle_bill [name=trucks]").fill("3")
    expect(page.locator("form#idle_bill")).to_have_attribute("data-state", "failed")
    assert {"runtime/snapshot.bin.gz", "runtime/pyodide.asm.wasm"} <= {path for path, _ in state(page)["missing"]}
    host.folder = site
    page.reload()
    answers(page)


# The app -----------------------------------------------------------------------------------------


def test_it_can_be_installed(playwright: Playwright, chromium: str, host: Host, tmp_path: Path) -> None:
    with playwright.chromium.launch_persistent_context(tmp_path / "profile", executable_path=chromium) as context:
        page = context.new_page()
        page.goto(f"{host.address}/index.html")
        whole(page)
        tools = context.new_cdp_session(page)
        manifest = tools.send("Page.getAppManifest")
        assert manifest["url"] == f"{host.address}/assets/manifest.webmanifest"
        assert manifest["errors"] == []
        assert tools.send("Page.getInstallabilityErrors")["installabilityErrors"] == []


# Looks -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_bar_and_the_button_fit_a_glove_and_any_screen(browser: Browser, host: Host, newer: Path, scheme: str) -> None:
    with browser.new_context(color_scheme=scheme) as context:
        page = context.new_page()
        page.goto(f"{host.address}/index.html")
        whole(page)
        host.folder = newer
        for width in (320, 390, 1280):
            page.set_viewport_size({"width": width, "height": 800})
            fits(page, host, width)
            page.evaluate("localStorage.clear()")  # what was typed at another width


def fits(page: Page, host: Host, width: int) -> None:
    page.goto(f"{host.address}/index.html")
    expect(page.locator(BAR)).to_be_visible()
    for button in (*page.locator(f"{BAR} button").all(), page.locator("[data-offline] button")):
        box = button.bounding_box()
        assert box and min(box["width"], box["height"]) >= FINGER
        assert box["x"] >= 0 and box["x"] + box["width"] <= width
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.evaluate((ROOT / "node_modules/axe-core/axe.min.js").read_text())
    assert page.evaluate(AXE) == []
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    foot, bar = page.locator(".md-copyright").bounding_box(), page.locator(BAR).bounding_box()
    assert foot and bar and foot["y"] + foot["height"] <= bar["y"], "the page's end can be read"
    page.goto(f"{host.address}/my-truck.html")
    expect(page.locator(BAR)).to_be_visible()
    used = page.locator("form#truck [name=odometer]")
    used.evaluate(OVER_THE_BAR_THAT_GROWS, page.locator(BAR).element_handle())
    uncovered(used)
    for wait_for_bar in (True, False):  # typed into after the bar came, and before
        page.goto(f"{host.address}/my-truck.html")
        page.evaluate("document.querySelectorAll('.all-facts details').forEach(one => one.open = true)")
        if wait_for_bar:
            expect(page.locator(BAR)).to_be_visible()
        # What keeps an answer of the six questions, and one of all facts.
        for field, button in (("[name=name]", "[data-enough]"), (".all-facts input", "[type=submit]")):
            typed = page.locator(f"form#truck {field}").first
            typed.press_sequentially("1")
            expect(page.locator(BAR)).to_be_visible()
            uncovered(typed)
            uncovered(page.locator(f"form#truck {button}"))
