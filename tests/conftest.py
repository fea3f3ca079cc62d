"""What the tests of the site and of the browser share."""

import functools
import http.server
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tools.ready import OUTSIDE_PYTHON, ROOT, find_chromium

sys.path.append(str(OUTSIDE_PYTHON))  # what only the audit's tests import; last, so that the site's own packages stay its own


@pytest.fixture(scope="session")
def site() -> Path:
    """The built site, as `make site` left it."""
    built = ROOT / "site"
    assert (built / "index.html").exists(), "there is no site/ yet: run `make site` first"
    return built


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_arguments: object) -> None:
        pass


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """Serve a folder; its address, without a closing slash."""
    handler = functools.partial(Quiet, directory=folder)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


@pytest.fixture(scope="session")
def served(site: Path) -> Iterator[str]:
    """The address at which the built site is served, without a closing slash."""
    with serving(site) as address:
        yield address


@pytest.fixture(scope="session")
def chromium() -> str:
    """The path of a Chromium."""
    path = find_chromium()
    assert path, "there is no Chromium: run `make test`, which gets one"
    return path
