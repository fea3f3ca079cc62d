"""A copy of the project to build in, so that no test touches this one's site."""

import os
import shutil
from pathlib import Path

import pytest

from tools.ready import ROOT

NOT_COPIED = shutil.ignore_patterns(
    ".git", ".venv", "node_modules", "site", ".build", "__pycache__", ".hypothesis"
)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The project's files, with this project's installed packages."""
    folder = tmp_path / "a copy"
    shutil.copytree(ROOT, folder, ignore=NOT_COPIED)
    for installed in (".venv", "node_modules"):
        (folder / installed).symlink_to(ROOT / installed)
    return folder


@pytest.fixture
def environment() -> dict[str, str]:
    """What a fresh shell has: nothing of the make that runs these tests."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("MAKE", "MFLAGS"))}
    for name in ("SOURCE_DATE_EPOCH", "PYTHONHASHSEED", "TZ", "LC_ALL"):
        kept.pop(name, None)
    return kept
