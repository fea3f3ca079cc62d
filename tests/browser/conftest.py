"""What the tests in a real Chromium share. A test that wants something else has a fixture of the same name in its own file."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

# A service worker comes two seconds after a page and then answers in the network's place, which Playwright's routes and
# lists of requests do not see. tests/browser/test_offline.py is about it; everywhere else pages are what a first visit is.
NO_SERVICE_WORKER = "delete Navigator.prototype.serviceWorker;"


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
