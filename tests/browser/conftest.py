"""What the tests in a real Chromium share. A test that wants something else has a fixture of the same name in its own file."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright

# A service worker comes two seconds after a page and then answers in the network's place, which Playwright's routes and
# lists of requests do not see. tests/browser/test_offline.py is about it; everywhere else pages are what a first visit is.
NO_SERVICE_WORKER = "delete Navigator.prototype.serviceWorker;"


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="module")
def browser(playwright: Playwright, chromium: str) -> Iterator[Browser]:
    opened = playwright.chromium.launch(executable_path=chromium)
    yield opened
    opened.close()


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    with browser.new_context(viewport={"width": 1280, "height": 900}) as opened:
        opened.add_init_script(NO_SERVICE_WORKER)
        yield opened


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    """A page that must not say a word to the console."""
    opened = context.new_page()
    heard: list[str] = []
    opened.on("console", lambda message: heard.append(message.text))
    opened.on("pageerror", lambda error: heard.append(str(error)))
    yield opened
    assert heard == []


@pytest.fixture(scope="module")
def folder(site: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The address of a copy of the site under a path with spaces and an ü, as on somebody's stick."""
    copy = tmp_path_factory.mktemp("stick") / "für den truck" / "my site"
    shutil.copytree(site, copy)
    return copy.as_uri()


@pytest.fixture(params=["served", "folder"])
def address(request: pytest.FixtureRequest) -> str:
    return str(request.getfixturevalue(request.param))
