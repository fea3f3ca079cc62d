"""What the tests of the site and of the browser share."""

import functools
import http.server
import shutil
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright, expect, sync_playwright

from tools.ready import OUTSIDE_PYTHON, ROOT, find_chromium, find_headless_shell

sys.path.append(str(OUTSIDE_PYTHON))  # what only the audit's tests import; last, so that the site's own packages stay its own

SLOW = 60_000  # milliseconds that a start of the calculators, or filling a cache, may take on a busy machine
expect.set_options(timeout=SLOW)


@pytest.fixture(scope="session")
def site() -> Path:
    """The built site, as `make site` left it."""
    built = ROOT / "site"
    assert (built / "index.html").exists(), "there is no site/ yet: run `make site` first"
    return built


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_arguments: object) -> None:
        pass


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Serve a folder; its address, without a closing slash."""
    handler = functools.partial(Quiet, directory=folder)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


@pytest.fixture(scope="session")
def served(site: Path) -> Iterator[str]:
    """The address at which the built site is served, without a closing slash."""
    with serving(site) as address:
        yield address


@pytest.fixture(scope="session")
def chromium() -> str:
    """The path of a Chromium."""
    path = find_chromium()
    assert path, "there is no Chromium: run `make test`, which gets one"
    return path


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="module")
def browser(playwright: Playwright, chromium: str) -> Iterator[Browser]:
    """Without its window where that can be had."""
    opened = playwright.chromium.launch(executable_path=find_headless_shell() or chromium)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def whole_browser(playwright: Playwright, chromium: str) -> Iterator[Browser]:
    """As a reader has it: it scrolls and draws by fractions of a pixel, which the other does not."""
    opened = playwright.chromium.launch(executable_path=chromium)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def folder(site: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The address of a copy of the site under a path with spaces and an ü, as on somebody's stick."""
    copy = tmp_path_factory.mktemp("stick") / "für den truck" / "my site"
    shutil.copytree(site, copy)
    return copy.as_uri()


@pytest.fixture(params=["served", "folder"])
def address(request: pytest.FixtureRequest) -> str:
    return str(request.getfixturevalue(request.param))
