"""A book of 2,000 entries against one of 200: what its page says, worked out; and how soon an added entry is seen there."""

import json
import random
import re
import statistics
import tempfile
import time
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, expect, sync_playwright

import calculators
from calculators.engine.book_view import book_view
from calculators.engine.owner import owner
from calculators.engine.records_view import records_view
from tests.bench.browser import ARGUMENTS, BARE_START, SITE, bare_site, serve
from tools.ready import find_chromium

SIZES = (200, 600, 2000)
MOST = 10  # times as long for ten times the entries
SOON = 0.05  # of a bare start, until an added entry stands in the list
ROUNDS = 5
TODAY = date.today()
SEEN = """() => new Promise(done => {
    const list = document.querySelector("[data-entries]");
    const began = performance.now();
    new MutationObserver((_, watcher) => {
        watcher.disconnect();
        done(list.offsetHeight && performance.now() - began);
    }).observe(list, {childList: true});
    document.querySelector("form[data-entry]").requestSubmit();
})"""
ADDED = re.compile("^It stands in the book")


def main() -> None:
    took = {size: statistics.median(view_of(book(size)) for _ in range(ROUNDS)) for size in SIZES}
    curve = ", ".join(f"{size} entries {seconds * 1000:.0f} ms" for size, seconds in took.items())
    times = took[SIZES[-1]] / took[SIZES[0]]
    print(f"records: {curve}; {times:.1f} times as long for {SIZES[-1] // SIZES[0]} times the book{'' if times <= MOST else ', TOO LONG'}")
    with (tempfile.TemporaryDirectory() as scratch, serve(Path(scratch)) as bare, serve(SITE) as ours, sync_playwright() as playwright):
        bare_site(Path(scratch))
        browser = playwright.chromium.launch(executable_path=find_chromium(), args=ARGUMENTS)
        for size in (SIZES[0], SIZES[-1]):
            shares = [share(browser, bare, ours, size) for _ in range(ROUNDS)]
            slow = "" if statistics.median(shares) <= SOON else ", TOO LATE"
            print(f"records: an entry added to {size} is seen after {statistics.median(shares):.3f} of a bare start{slow}")
        browser.close()


def view_of(truck: dict[str, Any]) -> float:
    """Seconds from a book to all that its page says; the truck is another each time, for what is read is remembered."""
    truck["name"] = f"Larch {random.random()}"
    began = time.perf_counter()
    told = owner(truck, {}, TODAY.isoformat()).book
    answered = calculators.with_words(calculators.answer("own_records", None, truck, TODAY.isoformat()))
    records_view(answered, "Larch", told.entries, book_view(truck["book"], told.asked))
    return time.perf_counter() - began


def share(browser: Browser, bare: str, ours: str, size: int) -> float:
    """How long an added entry takes to be seen, as a share of a bare start just before."""
    with browser.new_context() as context:
        page = context.new_page()
        page.goto(f"{bare}/index.html")
        start = float(page.evaluate(BARE_START))
        page.goto(f"{ours}/my-truck.html")
        file = {"name": "my-truck.json", "mimeType": "application/json", "buffer": json.dumps(book(size)).encode()}
        page.locator("[data-file]").set_input_files(file)  # type: ignore[arg-type]
        expect(page.locator("html.yours")).to_be_attached(timeout=120_000)
        page.goto(f"{ours}/records.html")
        seen = 0.0
        for miles in (990_000, 990_300):  # the first starts the runtime
            page.locator("[data-write=fuel]").click()
            page.locator("form[data-entry] [name=odometer]").fill(str(miles))
            page.locator("form[data-entry] [name=fuel]").fill("20")
            seen = float(page.evaluate(SEEN))
            expect(page.locator("form[data-entry] [data-message]")).to_have_text(ADDED, timeout=120_000)
        return seen / start


def book(size: int) -> dict[str, Any]:
    """A truck with so many entries: fills, and between them DEF, burns, drains and oil changes; the same at each run."""
    chance, found, miles, hours = random.Random(size), list[dict[str, Any]](), 20_000.0, 800.0
    for ago in range(size, 0, -1):
        day, miles, hours = str(TODAY - timedelta(days=2 * ago)), miles + chance.uniform(120, 200), hours + chance.uniform(4, 9)
        kind = ("fuel", "fuel", "fuel", "burn", "fuel", "fuel", "def", "fuel", "burn", "drain", "fuel", "job")[ago % 12]
        told = {"fuel": {"fuel": f"{chance.gauss(14, 0.6):.1f} gal", "full": True, "engine_hours": f"{hours:.1f} h"},
                "burn": {"burn": "finished"}, "def": {"def": "2.4 gal"}, "drain": {"jar": "water", "water": "20 mL"},
                "job": {"job": "engine_oil"}}[kind]
        found.append({"id": f"{ago:05}", "date": day, "kind": kind, "odometer": f"{miles:.0f} mi", **told})
    return {**calculators.example_truck("tamarack"), "id": "bench", "name": "Larch", "book": found}


if __name__ == "__main__":
    main()
