"""Search: a reader's own words lead where they should; nothing loads before the field is used; no answer is an example's date."""

import json
import re
import tomllib
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

QUERIES = tomllib.loads(Path(__file__).with_name("queries.toml").read_text("utf-8"))


def first_hits(page: Page, query: str) -> list[str]:
    """The links of the first page that is found, its sections in the order in which they are shown."""
    field = page.locator(".md-search__input")
    field.fill("")
    expect(page.locator(".md-search-result__link")).to_have_count(0)
    field.fill(query)
    expect(page.locator(".md-search-result__meta")).to_contain_text(re.compile("result|document|No matching"))
    page.wait_for_timeout(100)  # the list is made anew after its head
    links = page.locator(".md-search-result__item").first.locator(".md-search-result__link")
    found = links.evaluate_all("links => links.map(link => link.href)")
    return [re.sub(r"[?&]h=[^#]*", "", href).rpartition("/")[2] for href in found]


def test_sixty_queries_lead_where_they_should(page: Page, served: str) -> None:
    """The first page found is the right one; where a section is named, it is among the first three of that page."""
    assert len(QUERIES) >= 60
    page.goto(f"{served}/index.html")
    page.locator(".md-search__input").focus()
    found = {query: first_hits(page, query) for query in QUERIES}
    wrong = {query: hits[:4] for query, hits in found.items() if not any(re.match(QUERIES[query], hit) for hit in hits[:4])}
    assert wrong == {}, wrong


def test_nothing_of_the_search_loads_before_its_field_is_used(page: Page, served: str) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{served}/fuel.html")
    page.wait_for_timeout(500)
    assert [url for url in asked if "search" in url] == []
    page.locator(".md-search__input").focus()
    page.locator(".md-search__input").press_sequentially("drain")
    expect(page.locator(".md-search-result__item").first).to_be_visible()
    assert [url for url in asked if url.endswith("search_index.json")]


def test_words_that_are_pasted_are_searched_too(page: Page, served: str) -> None:
    page.goto(f"{served}/index.html")
    page.locator(".md-search__input").focus()
    page.evaluate("""() => {
        const field = document.querySelector(".md-search__input");
        field.value = "derate";
        field.dispatchEvent(new InputEvent("input", { bubbles: true, inputType: "insertFromPaste" }));
    }""")
    expect(page.locator(".md-search-result__item").first).to_be_visible()


def test_no_answer_is_an_examples(site: Path) -> None:
    rows = json.loads((site / "search/search_index.json").read_text("utf-8"))["docs"]
    chapters = [row for row in rows if not row["location"].startswith(("sheets.html", "reference.html", "specimen.html"))]
    named = [row["location"] for row in chapters if re.search(r"\bJuniper\b", row["text"])]
    assert named == []
    assert len(json.dumps(rows)) < 300_000
