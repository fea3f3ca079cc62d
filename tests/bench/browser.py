"""The calculators' start against a bare Pyodide's, and a form's answer against the same; real Chromium.

Every start happens in a fresh context, in random order, so that no cache helps and a slow minute of
the machine falls on all alike.
"""

import functools
import http.server
import random
import re
import shutil
import statistics
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import NamedTuple

from playwright.sync_api import Browser, Page, sync_playwright

import calculators
from tools.ready import ROOT, find_chromium

SITE = ROOT / "site"
ROUNDS = 9
EDITS = 40  # of each calculator's form, all different
PAUSE = 100  # milliseconds from an answer to the next edit
MOST = 0.02  # of a bare start, from an input to its answer
ARGUMENTS = [
    "--no-sandbox", "--disable-gpu", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--no-first-run",
]  # fmt: skip
BARE_PAGE = '<!doctype html><html lang="en"><title>Bare</title><link rel="icon" href="data:,">'
BARE_WORKER = """importScripts("pyodide.js");
loadPyodide({indexURL: location.href.replace(/[^/]*$/, "")}).then(() => postMessage("ready"));
"""
BARE_START = """() => new Promise(resolve => {
    const began = performance.now();
    new Worker("bare.js").onmessage = () => resolve(performance.now() - began);
})"""
OUR_START = """async () => {
    const began = performance.now();
    await dieselRuntime.start();
    return performance.now() - began;
}"""
# From an input event to the moment the card holds the reply and is laid out: all that must be done before it is painted.
TYPING = """async ([id, name, text]) => {
    const form = document.getElementById(id);
    const field = [...form.elements].find(one => one.name === name);
    const shown = new Promise(resolve => {
        const watch = new MutationObserver(() => {
            if (form.dataset.state !== "ready") return;
            watch.disconnect();
            resolve(form.closest("[data-calculator]").offsetHeight);
        });
        watch.observe(form, {attributes: true, attributeFilter: ["data-state"]});
    });
    const began = performance.now();
    field.value = text;
    field.dispatchEvent(new Event("input", {bubbles: true}));
    await shown;
    return performance.now() - began;
}"""
REFUSED = "id => document.getElementById(id).closest('[data-calculator]').classList.contains('stale')"


class Answers(NamedTuple):
    """One calculator's edits, and the bare start before them: milliseconds, and milliseconds of processor time."""

    name: str
    refused: int
    took: list[float]
    used: list[float]
    bare_took: float
    bare_used: float


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_arguments: object) -> None:
        pass


@contextmanager
def serve(folder: Path) -> Iterator[str]:
    handler = functools.partial(Quiet, directory=folder)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


def bare_site(folder: Path) -> None:
    for name in ("pyodide.js", "pyodide.asm.js", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json"):
        shutil.copyfile(ROOT / "node_modules" / "pyodide" / name, folder / name)
    (folder / "index.html").write_text(BARE_PAGE)
    (folder / "bare.js").write_text(BARE_WORKER)


def start(browser: Browser, address: str, script: str) -> float:
    with browser.new_context() as context:
        page = context.new_page()
        page.goto(address)
        page.wait_for_timeout(300)  # the page's own work is over
        return float(page.evaluate(script))


def starts(browser: Browser, cases: dict[str, tuple[str, str]]) -> dict[str, float]:
    """The median milliseconds of each case."""
    took: dict[str, list[float]] = {name: [] for name in cases}
    order = list(cases) * ROUNDS
    random.shuffle(order)
    for name in order:
        took[name].append(start(browser, *cases[name]))
    return {name: statistics.median(times) for name, times in took.items()}


def answers(browser: Browser, address: str, bare: str) -> Iterator[Answers]:
    """How fast each calculator answers; a bare start before each, so that both know the same minutes of the machine."""
    for path in sorted(SITE.glob("*.html")):
        for name in forms(path):
            with browser.new_context() as context:
                page = context.new_page()
                page.goto(f"{bare}/index.html")
                began = processor_time(browser)
                bare_took = float(page.evaluate(BARE_START))
                bare_used = processor_time(browser) - began
                page.goto(f"{address}/{path.name}")
                yield Answers(name, *typed(browser, page, name), bare_took, bare_used)


def typed(browser: Browser, page: Page, name: str) -> tuple[int, list[float], list[float]]:
    """How many edits were refused, and what each took; as a quick typist's, each comes a while after the answer to the last."""
    refused, took, used = 0, [], []
    first, *rest = edits(name)
    page.evaluate(TYPING, [name, *first])  # the first touch starts the runtime
    for edit in rest:
        page.wait_for_timeout(PAUSE)  # the chart is drawn, other forms follow
        began = processor_time(browser)
        took.append(float(page.evaluate(TYPING, [name, *edit])))
        used.append(processor_time(browser) - began)
        refused += page.evaluate(REFUSED, name)
    return refused, took, used


def edits(name: str) -> list[tuple[str, str]]:
    """Different values for the calculator's numbers, in turn: each near the example's, or amid its bounds where that has none."""
    fields = [field for field in calculators.form(name) if field.kind == "number" and not field.whole]
    bases = {field.name: float(field.value) for field in fields if field.value and float(field.value)}
    bases = bases or {fields[0].name: (fields[0].low + fields[0].high) / 2}
    names = list(bases)
    return [(names[i % len(names)], f"{bases[names[i % len(names)]] * (1 - i / 1000):.6f}") for i in range(EDITS + 1)]


def forms(path: Path) -> list[str]:
    return re.findall(r'<form[^>]* id="?(\w+)"?[^>]* data-form', path.read_text("utf-8"))


def processor_time(browser: Browser) -> float:
    """Milliseconds that the threads of pages and workers have used, as Linux counts them; what else the machine does blurs them little."""
    session = browser.new_browser_cdp_session()
    processes = session.send("SystemInfo.getProcessInfo")["processInfo"]
    session.detach()
    threads = [thread for one in processes if one["type"] == "renderer" for thread in Path(f"/proc/{one['id']}/task").iterdir()
               if thread.name == str(one["id"]) or (thread / "comm").read_text().startswith("DedicatedWorker")]
    return sum(int((thread / "schedstat").read_text().split()[0]) for thread in threads) / 1e6


def main() -> None:
    chromium = find_chromium()
    with (
        tempfile.TemporaryDirectory() as scratch, serve(Path(scratch)) as bare, serve(SITE) as ours,
        sync_playwright() as playwright,
    ):  # fmt: skip
        bare_site(Path(scratch))
        browser = playwright.chromium.launch(executable_path=chromium, args=ARGUMENTS)
        took = starts(browser, {
            "bare": (f"{bare}/index.html", BARE_START),
            "served": (f"{ours}/idling.html", OUR_START),
            "folder": (f"{SITE.as_uri()}/idling.html", OUR_START),
        })  # fmt: skip
        for name, most in (("served", 0.33), ("folder", 0.40)):
            print(f"browser: ready {name} in {took[name] / took['bare']:.2f} of a bare start (at most {most}; "
                  f"{took[name]:.0f} ms, {took['bare']:.0f} ms, medians of {ROUNDS})")
        tell(list(answers(browser, ours, bare)))
        browser.close()


def tell(found: list[Answers]) -> None:
    took = statistics.median(one.bare_took for one in found)
    used = statistics.median(one.bare_used for one in found)
    for one in found:
        print(f"browser: {one.name} shows its answer in {p95(one.took) / took:.4f} of a bare start (p95 of {EDITS} edits; "
              f"{p95(one.took):.1f} ms, median {statistics.median(one.took):.1f}; with all that follows {p95(one.used) / used:.4f} of its "
              f"processor time){f', BUT {one.refused} WERE REFUSED' if one.refused else ''}")
    slow = [one.name for one in found if p95(one.took) > MOST * took]
    print(f"browser: over {MOST} of a bare start ({took:.0f} ms, median of {len(found)}): {', '.join(slow) or 'none'}")


def p95(values: list[float]) -> float:
    return statistics.quantiles(values, n=20)[-1]


if __name__ == "__main__":
    main()
