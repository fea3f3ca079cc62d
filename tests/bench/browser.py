"""The calculators' start against a bare Pyodide's, and a form's answer against the same; real Chromium.

Every start happens in a fresh context, in random order, so that no cache helps and a slow minute of
the machine falls on all alike.
"""

import functools
import http.server
import random
import shutil
import statistics
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tools.ready import ROOT, find_chromium

SITE = ROOT / "site"
ROUNDS = 9
INPUTS = 60
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
# From an input event to the moment the card shows the reply: the form says so by its state.
TYPING = """async ([id, times]) => {
    const form = document.getElementById(id);
    const shown = () => new Promise(resolve => {
        const watch = new MutationObserver(() => {
            if (form.dataset.state !== "ready") return;
            watch.disconnect();
            resolve();
        });
        watch.observe(form, {attributes: true, attributeFilter: ["data-state"]});
    });
    const named = [...form.elements].filter(one => one.name);
    const field = named.find(one => +one.value % 1) ?? named.find(one => +one.value > 4) ?? named.find(one => one.options);
    const texts = field.options ? [...field.options].map(option => option.value)
        : +field.value % 1 ? [0, 1, 2, 3].map(i => (field.value * (1 - i / 1000)).toFixed(6))
        : [0, 1, 2, 3].map(i => String(field.value - i));
    const type = async text => {
        const done = shown();
        const began = performance.now();
        field.value = text;
        field.dispatchEvent(new Event("input", {bubbles: true}));
        await done;
        return performance.now() - began;
    };
    await type(texts[0]); // the first touch starts the runtime
    const took = [];
    for (let i = 1; i <= times; i++) took.push(await type(texts[i % texts.length]));
    return {took, stale: form.closest("[data-calculator]").classList.contains("stale")};
}"""


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


def answers(browser: Browser, address: str) -> Iterator[tuple[str, float, bool]]:
    """Each calculator, the milliseconds that 95 of 100 of its answers keep to, and whether the last one failed."""
    with browser.new_context() as context:
        page = context.new_page()
        for path in sorted(SITE.glob("*.html")):
            page.goto(f"{address}/{path.name}")
            for name in page.evaluate("[...document.querySelectorAll('section.calc form[id]')].map(form => form.id)"):
                done = page.evaluate(TYPING, [name, INPUTS])
                yield name, statistics.quantiles(done["took"], n=20)[-1], done["stale"]


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
        for name, most_took, stale in answers(browser, ours):
            print(f"browser: {name} shows its answer in {most_took / took['bare']:.3f} of a bare start (at most 0.02; "
                  f"{most_took:.0f} ms, p95 of {INPUTS}){' BUT THE LAST ONE WAS REFUSED' if stale else ''}")
        browser.close()


if __name__ == "__main__":
    main()
