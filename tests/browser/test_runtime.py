"""The calculators in a real Chromium: served and from a folder, restored, started plainly, and failing."""

import functools
import gzip
import http.server
import json
import shutil
import threading
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Response, Route

import calculators
from tests.browser.conftest import first_visit
from tests.conftest import Quiet

pytestmark = pytest.mark.browser

DAY = "2026-11-25"
WASM, SNAPSHOT = "**/pyodide.asm.wasm*", "**/snapshot.bin.gz*"
# Starts the runtime and tells each different state it went through.
START = """async () => {
    const states = [];
    dieselRuntime.watch(({state}) => states.at(-1) === state || states.push(state));
    await dieselRuntime.start().catch(() => {});
    return states;
}"""
IPHONE = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_7 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko)"
CALL = "request => dieselRuntime.call(request)"


class Heard:
    """All that a page says to the console and asks of the world."""

    def __init__(self, page: Page) -> None:
        self.messages: list[str] = []
        self.requests: list[str] = []
        page.on("console", lambda message: self.messages.append(message.text))
        page.on("pageerror", lambda error: self.messages.append(str(error)))
        page.context.on("request", lambda request: self.requests.append(request.url))


@pytest.fixture
def opened(context: BrowserContext) -> Callable[[str], tuple[Page, Heard]]:
    def open_page(address: str) -> tuple[Page, Heard]:
        page = context.new_page()
        heard = Heard(page)
        page.goto(f"{address}/idling.html")
        return page, heard

    return open_page


def questions() -> list[dict[str, object]]:
    """Every calculator for the example and for both trucks, and all that a page asks besides."""
    trucks = [None, *(calculators.example_truck(name) for name in calculators.example_trucks())]
    return [
        *({"do": "answer", "calculator": name, "given": {}, "truck": truck, "today": DAY, "units": units}
          for name in calculators.NAMES for truck in trucks for units in ("us", "metric")),
        *({"do": "all", "truck": truck, "today": DAY} for truck in trucks if truck),
        *({"do": "read_truck", "text": json.dumps(truck)} for truck in trucks if truck),
        {"do": "convert", "text": "12", "unit": "gal", "to": "L"},
        {"do": "convert", "text": "3,5", "unit": "gal", "to": "L"},
        {"do": "read_truck", "text": '{"format": "diesel-handover-truck", "ver'},
        {"do": "answer", "calculator": "idle_bill", "given": {"fuel_price": "twelve"}, "truck": None, "today": DAY},
        {"do": "no such thing"},
    ]  # fmt: skip


def agrees(page: Page, asked: list[dict[str, object]]) -> None:
    """The browser's replies are this Python's, to the last digit."""
    for question in asked:
        assert page.evaluate(CALL, question) == json.loads(calculators.call(json.dumps(question))), question


def test_restored_it_answers_as_python_does(opened, address: str) -> None:
    page, heard = opened(address)
    assert page.evaluate(START) == ["asleep", "starting", "ready"]
    agrees(page, questions())
    assert heard.messages == []
    own = (address, "blob:", "data:")
    assert [url for url in heard.requests if not url.startswith(own)] == []
    assert not any("python_stdlib" in url or ".whl" in url for url in heard.requests)


def test_on_an_iphone_the_memory_is_restored_too(browser: Browser, address: str) -> None:
    """There Pyodide starts without one function that the kept memory was made with, and its table is a place shorter."""
    with first_visit(browser, user_agent=IPHONE) as context:
        page = context.new_page()
        page.goto(f"{address}/idling.html")
        assert page.evaluate(START) == ["asleep", "starting", "ready"]
        agrees(page, [asked for asked in questions() if not asked.get("truck")])


def test_nothing_of_python_is_loaded_before_it_is_wanted(opened, address: str) -> None:
    page, heard = opened(address)
    page.wait_for_load_state("networkidle")
    assert page.evaluate("dieselRuntime.state") == "asleep"
    assert not any("/runtime/" in url for url in heard.requests)


def test_every_chapter_is_light_on_the_wire(browser: Browser, site: Path, served: str) -> None:
    """At most 350 kB as a host packs it, before a calculator is touched; a first visit each, nothing kept."""
    sizes = {}
    for path in sorted(set(site.glob("*.html")) - {site / "sheets.html"}):  # that one is made of pictures of paper
        with first_visit(browser) as context:
            page = context.new_page()
            loaded: list[Response] = []
            page.on("response", lambda response, loaded=loaded: loaded.append(response))
            page.goto(f"{served}/{path.name}")
            sizes[path.name] = sum(len(gzip.compress(response.body(), 6)) for response in loaded) / 1000
    least = {"emergency.html": 30}  # one file that asks for no other
    assert {name: size for name, size in sizes.items() if not least.get(name, 100) < size <= 350} == {}


def test_progress_is_told_and_only_grows(opened, served: str) -> None:
    page, _ = opened(served)
    shares = page.evaluate("""async () => {
        const shares = [];
        dieselRuntime.watch(({share}) => shares.push(share));
        await dieselRuntime.start();
        return shares;
    }""")
    assert shares == sorted(shares)
    assert shares[0] == 0
    assert shares[-1] == 1
    assert len({share for share in shares if 0 < share < 1}) > 5


@pytest.mark.parametrize(
    "broken",
    [
        pytest.param(b"\x1f\x8b not gzip at all", id="corrupt"),
        pytest.param(gzip.compress(bytes(1000)), id="of another length"),
        pytest.param(None, id="of another version"),
        pytest.param(b"", id="empty"),
    ],
)
def test_where_the_memory_cannot_be_restored_it_starts_plainly_and_says_so(
    opened, site: Path, served: str, broken: bytes | None
) -> None:
    if broken is None:
        broken = gzip.compress(bytes(len(gzip.decompress((site / "runtime" / "snapshot.bin.gz").read_bytes()))), 1)
    page, heard = opened(served)
    page.route(SNAPSHOT, lambda route: route.fulfill(body=broken))
    page.evaluate("() => { dieselRuntime.watch(({state, message}) => { if (state === 'slow') self.said = message; }); }")
    assert page.evaluate(START) == ["asleep", "starting", "slow", "ready"]
    assert "slower" in page.evaluate("self.said")
    assert page.evaluate("dieselRuntime.message") == ""
    assert any(url.split("?")[0].endswith(".whl") for url in heard.requests)
    assert [url for url in heard.requests if not url.startswith((served, "blob:"))] == []
    agrees(page, questions()[::7])


def test_a_missing_runtime_ends_in_a_message_and_can_be_tried_again(opened, served: str) -> None:
    page, _ = opened(served)
    page.route(WASM, lambda route: route.fulfill(status=404))
    assert page.evaluate(START) == ["asleep", "starting", "failed"]
    message = page.evaluate("dieselRuntime.message")
    assert "pyodide.asm.wasm is missing" in message
    assert "try again" in message
    refused = page.evaluate("dieselRuntime.call({do: 'all'}).then(() => null, wrong => wrong.message)")
    assert refused == message
    page.unroute(WASM)
    assert page.evaluate(START) == ["failed", "starting", "ready"]


@pytest.mark.parametrize("damaged", ["pyodide.asm.wasm", "worker.js", "pyodide.js"])
def test_a_damaged_file_has_a_sentence_of_ours(context: BrowserContext, served: str, damaged: str) -> None:
    """And no word of the engine's: it broke off, or a proxy sent its own page."""
    context.route(f"**/runtime/{damaged}*", lambda route: route.fulfill(body="<!doctype html>Log in", content_type="text/javascript"))
    page = context.new_page()
    page.goto(f"{served}/idling.html")
    assert page.evaluate(START)[-1] == "failed"
    assert page.evaluate("dieselRuntime.message") == (
        "The calculators could not start: a file of theirs is missing or damaged. Load the page anew, or copy the folder again.")


@pytest.mark.parametrize("missing", ["engine.js", "pyodide.js"])
def test_a_folder_copied_in_part_ends_in_a_message(context: BrowserContext, site: Path, served: str, tmp_path: Path, missing: str) -> None:
    shutil.copytree(site, tmp_path / "part", ignore=shutil.ignore_patterns(missing, "*.pdf"))
    page = context.new_page()
    if missing == "engine.js":
        page.goto(f"{(tmp_path / 'part').as_uri()}/idling.html")
    else:
        page.goto(f"{served}/idling.html")
        context.route("**/runtime/pyodide.js*", lambda route: route.fulfill(status=404))
    assert page.evaluate(START)[-1] == "failed"
    assert page.evaluate("dieselRuntime.message").startswith("The calculators could not ")


def test_a_start_that_hangs_ends_in_a_message_after_half_a_minute(context: BrowserContext, served: str) -> None:
    hanging: list[Route] = []
    page = context.new_page()
    page.clock.install()
    page.route(WASM, lambda route: hanging.append(route))
    page.goto(f"{served}/idling.html")
    with page.expect_request(WASM):  # its last sign of life
        page.evaluate("dieselRuntime.start().catch(() => {}) && 0")
    page.wait_for_timeout(500)
    page.clock.fast_forward(25_000)  # its clock goes on by itself too: a busy machine adds a few seconds
    assert page.evaluate("dieselRuntime.state") == "starting"
    page.clock.fast_forward(6_000)
    failed = "() => new Promise(done => dieselRuntime.watch(({state, message}) => state === 'failed' && done(message)))"
    assert "30 seconds" in page.evaluate(failed)
    for route in hanging:
        route.abort()


class NamesTheEncoding(Quiet):
    """As servers that take a .gz file for the packed form of another one."""

    def end_headers(self) -> None:
        if ".gz" in self.path:
            self.send_header("Content-Encoding", "gzip")
        super().end_headers()


def test_a_server_that_has_the_browser_unpack_the_memory_does_no_harm(opened, site: Path) -> None:
    handler = functools.partial(NamesTheEncoding, directory=site)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        page, _ = opened(f"http://127.0.0.1:{server.server_port}")
        assert page.evaluate(START) == ["asleep", "starting", "ready"]
        server.shutdown()


def test_many_questions_at_once_each_get_their_own_answer(opened, address: str) -> None:
    page, _ = opened(address)
    replies = page.evaluate("""() => Promise.all(Array.from({length: 40}, (_, i) =>
        dieselRuntime.call({do: "convert", text: String(i), unit: "gal", to: "gal"})))""")
    assert [float(reply["text"]) for reply in replies] == list(range(40))


def test_a_question_that_breaks_python_is_refused_and_the_next_one_answered(
    opened, context: BrowserContext, site: Path, served: str
) -> None:
    """No such question is known, so one is made up: the worker throws where Python would have crashed."""
    worker = (site / "runtime" / "worker.js").read_text("utf-8")
    door = "reply: call(request)"
    assert worker.count(door) == 1
    breaking = worker.replace(door, 'reply: await (request.includes("breaks") ? Promise.reject(Error("fatal")) : call(request))')
    context.route("**/runtime/worker.js*", lambda route: route.fulfill(body=breaking, content_type="text/javascript"))
    page, _ = opened(served)
    refused = page.evaluate("dieselRuntime.call({do: 'breaks'}).then(() => null, wrong => wrong.message)")
    assert "broke down" in refused
    assert page.evaluate("[dieselRuntime.state, dieselRuntime.message]") == ["failed", refused]
    agrees(page, questions()[:1])
    assert page.evaluate("dieselRuntime.state") == "ready"


def test_search_works_without_a_worker_file(opened, address: str) -> None:
    page, heard = opened(address)
    page.click("input[name=query]")
    page.locator("input[name=query]").press_sequentially("filter", delay=20)
    page.wait_for_selector(".md-search-result__item")
    assert heard.messages == []
