"""What the screens people live in ask of a thumb on a phone: taps, keys and screens of each errand. `pytest -rP` shows the table."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from tests.browser import test_month, test_six_questions
from tests.browser.conftest import first_visit, quiet_page
from tests.browser.test_six_questions import OVERDUE, PHONE, days_ago, field, so

pytestmark = pytest.mark.browser
SECONDS_A_KEY, SECONDS_A_TAP = 1.5, 3.0


class Thumb:
    """Counts what it does on a page."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = self.keys = 0
        self._lowest: dict[str, float] = {}  # of what was used, by page
        self._begun: dict[str, float] = {}  # where each page stood when it came

    def tap(self, what: Locator) -> None:
        """Touch it, wherever on the page it is."""
        self._reach(what)
        self.taps += 1
        what.click()

    def type(self, where: Locator, text: str) -> None:
        """Touch a field and type in it, in place of what stands there."""
        self.tap(where)
        self.keys += len(text)
        where.fill("")
        where.press_sequentially(text)

    def read(self, what: Locator) -> None:
        """Find it with the eyes."""
        expect(what).to_be_visible()
        self._reach(what)

    def _reach(self, what: Locator) -> None:
        """How far down its page it lies; what is fixed to the screen is where the thumb is already."""
        low, fixed, begun = what.evaluate("""one => { let up = one;
            while (up && !/fixed|sticky/.test(getComputedStyle(up).position) && !up.matches("dialog")) up = up.parentElement;
            return [one.getBoundingClientRect().bottom + scrollY, Boolean(up), scrollY]; }""")
        at = self.page.url.split("#")[0]
        low -= self._begun.setdefault(at, begun)
        self._lowest[at] = max(self._lowest.get(at, 0), 0 if fixed else low)

    @property
    def seconds(self) -> float:
        return SECONDS_A_KEY * self.keys + SECONDS_A_TAP * self.taps

    @property
    def screens(self) -> float:
        return sum(max(1.0, low / PHONE["height"]) for low in self._lowest.values())

    def told(self, errand: str) -> None:
        print(f"{errand:34} {self.taps:3} taps {self.keys:3} keys {self.screens:4.1f} screens {self.seconds:5.1f} s")


@pytest.fixture
def thumb(browser: Browser) -> Iterator[Thumb]:
    with first_visit(browser, viewport=PHONE, locale="en-US", timezone_id="UTC", reduced_motion="reduce") as context:
        with quiet_page(context) as page:
            yield Thumb(page)


def test_a_new_owners_first_own_number(thumb: Thumb, served: str) -> None:
    page = thumb.page
    page.goto(f"{served}/my-truck.html")
    thumb.type(field(page, "odometer"), "88080")
    thumb.type(field(page, "oil.date"), days_ago(page, 60))
    thumb.type(field(page, "oil.odometer"), "86350")
    thumb.read(so(page, "oil"))
    expect(so(page, "oil")).to_contain_text("Next: oil about")
    thumb.told("first own number")
    assert thumb.seconds <= 60 and thumb.screens <= 3


def test_the_months_check(thumb: Thumb, served: str) -> None:
    page = thumb.page
    form = test_month.open_check(page, served, test_month.TRUCK)
    for label, text in (("Odometer", "51400"), ("Engine hours", "1540"), ("DEF added", "2.5")):
        thumb.type(form.get_by_label(label), text)
    thumb.tap(form.get_by_role("group", name="Burns finished").get_by_role("button", name="One more burn"))
    for group, label in (("What is in the jar", "Clear"), ("Oil on the dipstick", "At FULL"), ("Tires", "All right")):
        thumb.tap(form.get_by_role("group", name=group).get_by_text(label).first)
    thumb.tap(form.get_by_role("button", name="Put it in the book"))
    expect(page.locator("[data-month-result] [data-head]")).to_be_focused()
    thumb.told("the month's check")
    assert thumb.seconds <= 120 and thumb.screens <= 2


def test_a_light_at_five_in_the_morning(thumb: Thumb, served: str) -> None:
    page = thumb.page
    page.goto(f"{served}/fuel.html")
    thumb.tap(page.locator("a.strip"))
    thumb.tap(page.get_by_role("link", name="Water in the fuel"))
    steps = page.locator("details#water ol.first li:visible")
    expect(steps).to_have_count(3)
    expect(steps.nth(2)).to_be_in_viewport(ratio=1)
    thumb.told("a light, to three actions")
    assert (thumb.taps, thumb.keys) == (2, 0)


def test_done_on_an_overdue_job(thumb: Thumb, served: str) -> None:
    page = thumb.page
    test_six_questions.keep(page, served, OVERDUE, plows="no")
    page.goto(f"{served}/index.html")
    thumb.tap(page.locator("[data-order] .part.over li .tick").first)
    thumb.tap(page.get_by_role("dialog").get_by_role("button", name="Add to the book"))
    expect(page.locator("[data-order] .part.over li").first).to_contain_text("Next about")
    thumb.told("Done on an overdue job")
    assert (thumb.taps, thumb.keys) == (2, 0) and thumb.screens <= 1


def test_a_what_if_kept(thumb: Thumb, served: str) -> None:
    page = thumb.page
    test_six_questions.keep(page, served, OVERDUE)
    page.goto(f"{served}/idling.html#idle_bill")
    thumb.type(page.locator("form#idle_bill [name=fuel_price]"), "4.75")
    thumb.tap(page.locator("form#idle_bill [data-keep]"))
    expect(page.locator("form#idle_bill [data-message]")).to_contain_text("counts it for Big Red")
    thumb.told("a what-if, tried and kept")
    assert (thumb.taps, thumb.keys) == (2, 4) and thumb.screens <= 3
