"""Forged links in Chromium, served and from a folder. The same in Firefox and WebKit: tests/outside/test_other_engines.py."""

import time
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

pytest.register_assert_rewrite("tests.browser.forged")
from tests.browser import forged  # noqa: E402

pytestmark = pytest.mark.browser


class Chromium:
    """A page, asked as other drivers are."""

    def __init__(self, page: Page) -> None:
        self._page = page

    def open(self, address: str) -> None:
        self._page.goto(address)

    def ask(self, script: str, *told: Any) -> Any:
        return self._page.evaluate(f"async (told) => {{ {script} }}", list(told))

    def click(self, selector: str) -> None:
        self._page.locator(selector).click()

    def until(self, script: str, *told: Any, seconds: float) -> Any:
        last = time.monotonic() + seconds
        while not (found := self.ask(script, *told)):
            assert time.monotonic() < last, script
            self._page.wait_for_timeout(50)
        return found


@pytest.mark.parametrize("forgery", forged.FORGED, ids=lambda forgery: forgery.__name__)
def test_a_forged_link(page: Page, address: str, forgery: Callable[[forged.Browser, str], None]) -> None:
    forgery(Chromium(page), address)
