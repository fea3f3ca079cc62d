"""The same mkdocs.yml and docs, built by the theme's successor and finished by the same step, are the same guide.

What differs is told in DECISIONS.md.
"""

import os
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.test_page import command_line, differences, ready
from tests.conftest import serving
from tools.ready import OUTSIDE_PYTHON, PYTHON, ROOT, with_venv_first

pytestmark = pytest.mark.audit
NOT_COPIED = shutil.ignore_patterns(".git", ".venv", "node_modules", "site", "site-*", "tests", "uv", ".hypothesis", "__pycache__")
# Its search field asks for the focus when it is made, also on a page that was opened at a place in it, or is being typed in.
BLOCKED = "Autofocus processing was blocked because a document"
NOT_OURS = (f"{BLOCKED}'s URL has a fragment", f"{BLOCKED} already has a focused element")
A_SIGN = re.compile(r'<use href="#[il]-')


def run(copy: Path, *command: str) -> str:
    environment = with_venv_first() | {"PYTHONPATH": f".{os.pathsep}{OUTSIDE_PYTHON}", "NO_COLOR": "1"}
    done = subprocess.run([PYTHON, "-m", *command], cwd=copy, env=environment, capture_output=True, text=True)
    said = re.sub(r"\x1b\[[0-9;]*m", "", done.stdout + done.stderr)
    assert done.returncode == 0, said[-3000:]
    return said


@pytest.fixture(scope="module")
def built(site: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A copy of the project with the site that the successor made of it, and what it said."""
    copy = tmp_path_factory.mktemp("successor") / "project"
    shutil.copytree(ROOT, copy, ignore=NOT_COPIED)
    (copy / "node_modules").symlink_to(ROOT / "node_modules")
    said = run(copy, "zensical", "build")
    shutil.copytree(site / "sheets", copy / "site" / "sheets")  # made without any builder
    assert run(copy, "macros.finish", "site") == ""
    return copy, said


@pytest.fixture(scope="module", params=["folder", "served"])
def address(request: pytest.FixtureRequest, built: tuple[Path, str]) -> Iterator[str]:
    made = built[0] / "site"
    if request.param == "folder":
        yield made.as_uri()
    else:
        with serving(made) as address:
            yield address


@pytest.fixture
def page(browser: Browser, address: str) -> Iterator[Page]:
    """A page that must not say a word, nor ask for anything outside the site."""
    with browser.new_context(viewport={"width": 1280, "height": 900}) as context:
        opened = context.new_page()
        said: list[str] = []
        asked: list[str] = []
        opened.on("console", lambda message: said.append(message.text))
        opened.on("pageerror", lambda error: said.append(str(error)))
        context.on("request", lambda request: asked.append(request.url))
        yield opened
        assert [words for words in said if not words.startswith(NOT_OURS)] == []
        assert [url for url in asked if not url.startswith((f"{address}/", "blob:", "data:"))] == []


def test_it_minds_nothing_but_the_signs(built: tuple[Path, str]) -> None:
    """It looks for the signs on the page of the chapter; they stand in the template."""
    copy, said = built
    warned = re.findall(r"Warning: (.*)\n\s*╭─\[ (\S+):(\d+):(\d+) \]", said)
    assert len(warned) == len(re.findall(r"^(?:Warning|Error):", said, re.MULTILINE))
    for what, name, line, column in warned:
        text = (copy / "docs" / name).read_text("utf-8").splitlines()[int(line) - 1]
        assert what == "anchor does not exist" and A_SIGN.search(text[max(0, int(column) - 20):]), (what, name, line)


def test_it_makes_the_same_pages_with_the_same_words(built: tuple[Path, str], site: Path, browser: Browser) -> None:
    made = built[0] / "site"

    def words(folder: Path, name: str) -> Any:
        page.goto((folder / name).as_uri())
        return page.evaluate("document.querySelector('article').textContent.replace(/\\s+/g, ' ').trim()")

    assert {path.name for path in made.glob("*.html")} == {path.name for path in site.glob("*.html")}
    with browser.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        assert [path.name for path in sorted(site.glob("*.html")) if words(made, path.name) != words(site, path.name)] == []


def test_every_page_loads(page: Page, address: str, built: tuple[Path, str]) -> None:
    for path in sorted((built[0] / "site").rglob("*.html")):
        page.goto(f"{address}/{path.relative_to(built[0] / 'site').as_posix()}")
        expect(page.locator("h1").first).to_be_attached()
        page.wait_for_timeout(100)


def test_a_form_computes(page: Page, address: str) -> None:
    page.goto(f"{address}/idling.html")
    page.locator("form#idle_bill [name=fuel_price]").fill("4.29")
    ready(page, "idle_bill")
    assert differences(page, "idle_bill", command_line("idle_bill", {"fuel_price": "4.29"})) == []


def test_the_search_finds_and_leads_there(page: Page, address: str) -> None:
    page.goto(f"{address}/index.html")
    page.wait_for_load_state("networkidle")
    page.get_by_role("button", name="Search").click()
    page.get_by_role("combobox", name="Search").press_sequentially("gelled fuel")
    found = page.get_by_role("option").filter(has_text=re.compile("gelled", re.IGNORECASE)).first
    expect(found).to_be_visible(timeout=60_000)  # a busy machine loads the index for long
    found.click()
    page.wait_for_url(re.compile(r"(?<!index)\.html"))
    assert "gel" in page.locator("article").inner_text().lower()
