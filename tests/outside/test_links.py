"""Every link of the site as a browser sees it leads somewhere: what scripts add, what style sheets draw, and each place in a page.

The step after the build has read the files; here the pages are open, each in a real browser, and the server is asked.
Links to other hosts are told by how they look: there is no network in a test.
"""

import re
import urllib.error
import urllib.request
from collections import defaultdict
from pathlib import Path
from urllib.parse import unquote, urldefrag

import pytest
from playwright.sync_api import Browser

from tests.conftest import serving

pytestmark = pytest.mark.audit

# Resolved by the browser itself. Templates hold what scripts will show.
ADDRESSES = """() => {
  const roots = [document, ...[...document.querySelectorAll("template")].map((each) => each.content)];
  const all = (selector) => roots.flatMap((root) => [...root.querySelectorAll(selector)]);
  const told = all("[href], [src], [data], [poster]").flatMap((each) =>
    ["href", "src", "data", "poster"].map((name) => each.getAttribute(name)).filter(Boolean));
  const drawn = [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules].flatMap((rule) =>
    [...rule.cssText.matchAll(/url\\("([^"]+)"\\)/g)].map(([, address]) => new URL(address, sheet.href ?? location.href).href)));
  return [...new Set([...told.map((address) => new URL(address, location.href).href), ...drawn])];
}"""
PLACES = "() => [...document.querySelectorAll('[id], a[name]')].flatMap((each) => [each.id, each.name]).filter(Boolean)"
ELSEWHERE = re.compile(r"https://[a-z0-9-]+(\.[a-z0-9-]+)+(/\S*)?|mailto:\S+@\S+|tel:\+?[\d-]+")


def answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(urllib.request.Request(address, method="HEAD"), timeout=10) as answer:
            return bool(answer.status == 200)
    except urllib.error.HTTPError:
        return False


def dead(browser: Browser, served: str, pages: list[str]) -> dict[str, list[str]]:
    """By page: the links that lead nowhere."""
    linked: dict[str, set[str]] = defaultdict(set)
    places: dict[str, set[str]] = {}
    with browser.new_context() as context:
        page = context.new_page()
        for name in pages:
            page.goto(f"{served}/{name}")
            linked[name] = set(page.evaluate(ADDRESSES))
            places[f"{served}/{name}"] = set(page.evaluate(PLACES))
    inside = {urldefrag(address).url for addresses in linked.values() for address in addresses if address.startswith(served)}
    gone = {address for address in inside if not answers(address)}

    def leads(address: str) -> bool:
        if address.startswith("data:"):
            return True
        if not address.startswith(served):
            return bool(ELSEWHERE.fullmatch(address))
        target, place = urldefrag(address)
        return target not in gone and (not place or target not in places or unquote(place) in places[target])

    found = {name: sorted(address for address in addresses if not leads(address)) for name, addresses in linked.items()}
    return {name: addresses for name, addresses in found.items() if addresses}


def test_every_link_leads_somewhere(browser: Browser, served: str, site: Path) -> None:
    pages = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
    assert len(pages) > 30
    assert dead(browser, served, pages) == {}


def test_a_dead_link_is_named(browser: Browser, tmp_path: Path) -> None:
    (tmp_path / "style.css").write_text("p { background: url(gone.png) }")
    (tmp_path / "a.html").write_text('<link rel="stylesheet" href="style.css"><a href="b.html#there">x</a><a href="b.html#nowhere">x</a>'
                                     '<template><a href="gone.html">x</a></template><a href="http://elsewhere">x</a>'
                                     '<script>document.write("<a href=written.html>x</a>")</script>')
    (tmp_path / "b.html").write_text('<p id="there">x</p>')
    with serving(tmp_path) as address:
        found = dead(browser, address, ["a.html", "b.html"])
    assert found == {"a.html": sorted([f"{address}/b.html#nowhere", f"{address}/gone.html", f"{address}/gone.png", "http://elsewhere/",
                                       f"{address}/written.html"])}  # fmt: skip
