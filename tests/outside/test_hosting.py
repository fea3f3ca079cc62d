"""The server of HOSTING.md: its headers arrive, and the guide still works out an answer and is kept for offline with them."""

import re
import socket
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tools.ready import ROOT, find_nginx

pytestmark = pytest.mark.audit


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        return int(taken.getsockname()[1])


@pytest.fixture(scope="module")
def hosted(site: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the site behind the server that HOSTING.md describes; only port and folder are another."""
    program = find_nginx()
    assert program, "run `make audit`, which gets nginx"
    told = re.search(r"```nginx\n(.*?)```", (ROOT / "HOSTING.md").read_text("utf-8"), re.S)
    assert told
    place, port = tmp_path_factory.mktemp("hosted"), free_port()
    server = told[1].replace("listen 8080;", f"listen 127.0.0.1:{port};").replace("/srv/diesel-handover", str(site))
    own = "".join(f"{what}_temp_path {place}/{what}; " for what in ("client_body", "proxy", "fastcgi", "uwsgi", "scgi"))
    (place / "nginx.conf").write_text(
        f"user root; daemon off; pid {place}/pid; error_log {place}/error.log; events {{}} http {{ access_log off; {own}{server} }}")
    running = subprocess.Popen([program, "-e", place / "error.log", "-c", place / "nginx.conf"])
    try:
        address = f"http://127.0.0.1:{port}"
        wait_for(address)
        yield address
    finally:
        running.terminate()
        running.wait()


def wait_for(address: str) -> None:
    for _ in range(100):
        try:
            urllib.request.urlopen(f"{address}/index.html").close()
            return
        except OSError:
            time.sleep(0.1)
    raise AssertionError("the server did not start")


def headers(address: str) -> dict[str, str]:
    with urllib.request.urlopen(address) as reply:
        return {name.lower(): value for name, value in reply.headers.items()}


def test_what_a_meta_tag_can_t_say_is_said(hosted: str) -> None:
    page, worker = headers(f"{hosted}/index.html"), headers(f"{hosted}/service-worker.js")
    assert page["content-security-policy"] == "frame-ancestors 'self'" and page["x-content-type-options"] == "nosniff"
    assert "default-src 'none'" in worker["content-security-policy"] and worker["cache-control"] == "no-cache"


KINDS = {"*.wasm": "application/wasm", "*.webmanifest": "application/manifest+json", "*.woff2": "font/woff2", "*.pdf": "application/pdf",
         "*.js": "text/javascript"}


@pytest.mark.parametrize(("ending", "kind"), KINDS.items())
def test_files_come_as_what_they_are(hosted: str, site: Path, ending: str, kind: str) -> None:
    file = next(site.rglob(ending)).relative_to(site).as_posix()
    assert headers(f"{hosted}/{file}")["content-type"] == kind


def test_a_form_computes_and_nothing_is_refused(hosted: str, whole_browser: Browser) -> None:
    page = whole_browser.new_page()
    heard: list[str] = []
    page.on("console", lambda said: heard.append(said.text) if said.type in ("error", "warning") else None)
    page.on("pageerror", lambda wrong: heard.append(str(wrong)))
    page.goto(f"{hosted}/idling.html")
    card = page.locator(".calc:has(form#idle_bill)")
    was = card.locator("[data-answer]").inner_text()
    card.locator("form [name=idle_fuel_rate]").fill("1.9")
    expect(card.locator("[data-answer]")).not_to_have_text(was, timeout=120_000)
    page.wait_for_function("navigator.serviceWorker.getRegistration().then((found) => Boolean(found && found.active))")
    assert heard == []
    page.close()
