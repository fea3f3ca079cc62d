"""What the tests in a real Chromium share. A test that wants something else has a fixture of the same name in its own file."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page

# A service worker comes two seconds after a page and then answers in the network's place, which Playwright's routes and
# lists of requests do not see. tests/browser/test_offline.py is about it; everywhere else pages are what a first visit is.
NO_SERVICE_WORKER = "delete Navigator.prototype.serviceWorker;"


def first_visit(browser: Browser, **options: Any) -> BrowserContext:
    """A context of its own, where nothing is kept and every request is seen."""
    opened = browser.new_context(**options)
    opened.add_init_script(NO_SERVICE_WORKER)
    return opened


def uncovered(part: Locator) -> None:
    """Wait until a whole part is on the screen with nothing over it: what comes and goes takes the page a frame to make room for."""
    part.page.wait_for_function("""one => {
        const { x, y, width, height } = one.getBoundingClientRect();
        return [2, height - 2].every((down) => document.elementFromPoint(x + width / 2, y + down) === one);
    }""", arg=part.element_handle())


@contextmanager
def quiet_page(context: BrowserContext) -> Iterator[Page]:
    """A page, and at its end no word of it to the console."""
    opened = context.new_page()
    heard: list[str] = []
    opened.on("console", lambda message: heard.append(message.text))
    opened.on("pageerror", lambda error: heard.append(str(error)))
    yield opened
    assert heard == []


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    with first_visit(browser, viewport={"width": 1280, "height": 900}) as opened:
        yield opened


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    """A page that must not say a word to the console."""
    with quiet_page(context) as opened:
        yield opened
