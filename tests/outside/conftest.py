"""What the checks from outside share: where other browsers are, and when their tests are read."""

from pathlib import Path

import pytest

from tools.ready import OUTSIDE_PYTHON, find_firefox, find_webkit


@pytest.fixture(scope="session")
def firefox_path() -> str:
    path = find_firefox()
    assert path and OUTSIDE_PYTHON.exists(), "run `make audit`, which gets a Firefox and what drives it"
    return path


@pytest.fixture(scope="session")
def webkit_path() -> str:
    path = find_webkit()
    assert path and OUTSIDE_PYTHON.exists(), "run `make audit`, which gets a WebKit and what drives it"
    return path


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """What drives other browsers is installed for the audit alone, and without it these can't even be read."""
    driven = collection_path.name in ("test_other_engines.py", "test_other_engines_offline.py")
    return (driven and config.getoption("markexpr") == "not audit") or None
