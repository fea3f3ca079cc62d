"""Without a signal in Firefox as it is installed: kept on its button, read and computed with the server stopped."""

from collections.abc import Iterator
from pathlib import Path

import pytest

import calculators
from tests.browser.test_offline import Host
from tests.outside.firefox import Firefox
from tests.outside.test_other_engines import NOT_OURS

pytestmark = pytest.mark.audit
KEEPING = 120  # seconds that filling the cache may take on a busy machine


@pytest.fixture
def firefox(firefox_path: str, tmp_path: Path) -> Iterator[Firefox]:
    started = Firefox(firefox_path, tmp_path, service_worker=True)
    yield started
    started.close()


@pytest.fixture
def host(site: Path) -> Iterator[Host]:
    opened = Host(site)
    yield opened
    opened.stop()


def test_kept_it_works_without_a_server(firefox: Firefox, host: Host) -> None:
    firefox.open(f"{host.address}/index.html")
    firefox.until("return !document.querySelector('[data-offline]').hidden", seconds=KEEPING)
    firefox.click("[data-offline] button")
    firefox.until("return document.querySelector('[data-state]').textContent.startsWith('Kept: works without a signal')", seconds=KEEPING)
    host.stop()
    for name in ("light", "emergency", "sheets/pack", "fuel", "idling"):
        firefox.open(f"{host.address}/{name}.html")
        assert firefox.until("return document.readyState === 'complete' && document.querySelector('h1').textContent")
    firefox.type("form#idle_bill [name=trucks]", "3")
    firefox.until("return document.querySelector('form#idle_bill').dataset.state === 'ready'")
    shown = firefox.ask("return document.querySelector('[data-calculator=idle_bill] dd[data-result=cost_per_year]').dataset.value")
    assert float(shown) == calculators.answer("idle_bill", {"trucks": "3"})["results"]["cost_per_year"]["value"]
    said, _ = firefox.heard()
    assert [words for words in said if NOT_OURS not in words and "Service Worker Interception" not in words] == []  # a page left midway
    host.start()
