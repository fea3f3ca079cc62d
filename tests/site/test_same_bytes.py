"""The same sources give the same bytes, wherever and by whomever they are built."""

import shutil
import subprocess
from pathlib import Path

import pytest

PLACES = (
    {"TZ": "Pacific/Auckland", "LANG": "de_DE.UTF-8", "LC_ALL": "de_DE.UTF-8", "PYTHONHASHSEED": "1"},
    {"TZ": "America/Denver", "LANG": "en_US.UTF-8", "LANGUAGE": "es", "PYTHONHASHSEED": "4242"},
)


@pytest.mark.slow
def test_two_builds_under_other_settings_are_the_same(
    copy: Path, environment: dict[str, str], tmp_path: Path
) -> None:
    sites = []
    for number, place in enumerate(PLACES):
        folder = copy.rename(tmp_path / f"place {number}")
        home = tmp_path / f"home {number}"
        home.mkdir()
        settings = environment | place | {"HOME": str(home), "SOURCE_DATE_EPOCH": "1795608000"}
        subprocess.run(["make", "site"], cwd=folder, env=settings, check=True)
        sites.append((folder / "site").rename(tmp_path / f"site {number}"))
        shutil.rmtree(folder / ".build")
        copy = folder
    first, second = (files(site) for site in sites)
    assert sorted(first) == sorted(second)
    assert [name for name in first if first[name].read_bytes() != second[name].read_bytes()] == []


def files(site: Path) -> dict[str, Path]:
    return {str(path.relative_to(site)): path for path in site.rglob("*") if path.is_file()}
