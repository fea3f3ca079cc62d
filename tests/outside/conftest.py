"""What the checks from outside share: a Firefox, and when its tests are read."""

from pathlib import Path

import pytest

from tools.ready import OUTSIDE_PYTHON, find_firefox


@pytest.fixture(scope="session")
def firefox_path() -> str:
    path = find_firefox()
    assert path and OUTSIDE_PYTHON.exists(), "run `make audit`, which gets a Firefox and what drives it"
    return path


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """What drives Firefox is installed for the audit alone, and without it these can't even be read."""
    return (collection_path.name.startswith("test_firefox") and config.getoption("markexpr") == "not audit") or None
