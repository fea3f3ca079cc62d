"""Our faces may come late, on a slow line: nothing on any page moves when they do."""

from contextlib import ExitStack
from itertools import batched
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Route

from tests.browser.conftest import first_visit

LATE = 1500  # milliseconds
AT_ONCE = 5  # pages that wait beside each other
SETTLED = 500
WATCH = """window.moved = 0;
new PerformanceObserver((list) => { for (const one of list.getEntries()) if (!one.hadRecentInput) window.moved += one.value; })
    .observe({ type: "layout-shift", buffered: true });"""
MOST = 0.02  # the issue's own bar; a "good" page of the web's usual measure may reach 0.1


class Late:
    """A page whose faces are held until it is told otherwise."""

    def __init__(self, page: Page, address: str) -> None:
        self.page, self.held, self.late = page, list[Route](), True
        page.add_init_script(WATCH)
        page.route("**/*.woff2", self._hold)
        page.goto(address, wait_until="domcontentloaded")

    def _hold(self, route: Route) -> None:
        if self.late:
            self.held.append(route)
        else:
            route.continue_()

    def let_go(self) -> None:
        self.late = False
        assert self.held, "no face was asked for"
        for route in self.held:
            route.continue_()
        self.page.wait_for_load_state("load")
        self.page.evaluate("document.fonts.ready.then(() => true)")


def shifts(browser: Browser, served: str, names: tuple[str, ...], width: int) -> dict[str, float]:
    """How far pages that are open beside each other have moved, once their faces came."""
    with ExitStack() as contexts:
        def visit(name: str) -> Late:
            context = contexts.enter_context(first_visit(browser, viewport={"width": width, "height": 844}))
            return Late(context.new_page(), f"{served}/{name}")

        opened = {name: visit(name) for name in names}
        opened[names[-1]].page.wait_for_timeout(LATE)
        for late in opened.values():
            late.let_go()
        opened[names[-1]].page.wait_for_timeout(SETTLED)
        return {name: late.page.evaluate("moved") for name, late in opened.items()}


@pytest.mark.browser
@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_moves_when_our_faces_come_late(browser: Browser, served: str, site: Path, width: int) -> None:
    pages = sorted(path.name for path in site.glob("*.html") if path.name != "emergency.html")
    moved: dict[str, float] = {}
    for some in batched(pages, AT_ONCE, strict=False):
        moved |= shifts(browser, served, some, width)
    for name in [name for name, sum_ in moved.items() if sum_ > MOST]:  # alone a page that moves moves again
        moved |= shifts(browser, served, (name,), width)
    assert {name: round(sum_, 3) for name, sum_ in moved.items() if sum_ > MOST} == {}
