"""What the checks from outside share: the site copied to a folder as on somebody's stick, and the browsers."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from tools.ready import OUTSIDE_PYTHON, find_firefox


@pytest.fixture(scope="session")
def folder(site: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The address of a copy of the site under a path with spaces and an ü."""
    copy = tmp_path_factory.mktemp("stick") / "für den truck" / "my site"
    shutil.copytree(site, copy)
    return copy.as_uri()


@pytest.fixture(params=["folder", "served"])
def address(request: pytest.FixtureRequest) -> str:
    return str(request.getfixturevalue(request.param))


@pytest.fixture(scope="module")
def browser(chromium: str) -> Iterator[Browser]:
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium)
        yield opened
        opened.close()


@pytest.fixture(scope="session")
def firefox_path() -> str:
    path = find_firefox()
    assert path and OUTSIDE_PYTHON.exists(), "run `make audit`, which gets a Firefox and what drives it"
    return path


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """What drives Firefox is installed for the audit alone, and without it these can't even be read."""
    return (collection_path.name.startswith("test_firefox") and config.getoption("markexpr") == "not audit") or None
