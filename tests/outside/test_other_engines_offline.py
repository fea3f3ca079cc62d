"""Without a signal in Firefox and WebKit as they are installed: kept on its button, read and computed with the server stopped."""

from collections.abc import Iterator
from pathlib import Path

import pytest

import calculators
from tests.browser.test_offline import Host
from tests.outside.firefox import Firefox
from tests.outside.test_other_engines import Reader, is_theirs
from tests.outside.webkit import WebKit, screen

pytestmark = pytest.mark.audit
KEEPING = 120  # seconds that filling the cache may take on a busy machine


@pytest.fixture
def firefox(firefox_path: str, tmp_path: Path) -> Iterator[Firefox]:
    """One in which nothing may be said."""
    started = Firefox(firefox_path, tmp_path, service_worker=True)
    yield started
    said, _ = started.heard()
    started.close()
    assert [words for words in said if not is_theirs(words) and "Service Worker Interception" not in words] == []  # a page left midway


@pytest.fixture
def webkit(webkit_path: str) -> Iterator[WebKit]:
    with screen() as display:
        started = WebKit(webkit_path, display)
        yield started
        started.close()


@pytest.fixture
def host(site: Path) -> Iterator[Host]:
    opened = Host(site)
    yield opened
    opened.stop()


@pytest.mark.parametrize("engine", ["firefox", "webkit"])
def test_kept_it_works_without_a_server(engine: str, host: Host, request: pytest.FixtureRequest) -> None:
    reader: Reader = request.getfixturevalue(engine)
    reader.open(f"{host.address}/index.html")
    reader.until("return !document.querySelector('[data-offline]').hidden", seconds=KEEPING)
    reader.click("[data-offline] button")
    reader.until("return document.querySelector('[data-state]').textContent.startsWith('Kept: works without a signal')", seconds=KEEPING)
    host.stop()
    for name in ("light", "emergency", "sheets/pack", "fuel", "idling"):
        reader.open(f"{host.address}/{name}.html")
        assert reader.until("return document.readyState === 'complete' && document.querySelector('h1').textContent")
    reader.type("form#idle_bill [name=trucks]", "3")
    reader.until("return document.querySelector('form#idle_bill').dataset.state === 'ready'")
    shown = reader.ask("return document.querySelector('[data-calculator=idle_bill] dd[data-result=cost_per_year]').dataset.value")
    assert float(shown) == calculators.answer("idle_bill", {"trucks": "3"})["results"]["cost_per_year"]["value"]
    host.start()
