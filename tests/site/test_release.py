"""What a release holds, and that the same commit makes it twice alike."""

import hashlib
import subprocess
import zipfile
from pathlib import Path

from tools import release

DAY = 1_795_000_000


def site_of(place: Path) -> Path:
    """Files written in another order and at another time than the next one's."""
    site = place / "site"
    for name in ("b/two.txt", "index.html", "a.txt") if place.name == "first" else ("a.txt", "b/two.txt", "index.html"):
        (site / name).parent.mkdir(parents=True, exist_ok=True)
        (site / name).write_text(name)
    return site


def test_the_same_site_makes_the_same_bytes(tmp_path: Path) -> None:
    first, second = (release.release(site_of(tmp_path / name), tmp_path / name / "out", DAY) for name in ("first", "second"))
    assert [file.name for file in first] == [file.name for file in second]
    assert [file.read_bytes() for file in first] == [file.read_bytes() for file in second]


def test_it_holds_the_site_the_wheel_and_their_hashes(tmp_path: Path) -> None:
    site, wheel, hashes = release.release(site_of(tmp_path), tmp_path / "out", DAY)
    with zipfile.ZipFile(site) as archive:
        assert archive.namelist() == [f"{release.NAME}/{name}" for name in ("a.txt", "b/two.txt", "index.html")]
        assert archive.read(f"{release.NAME}/index.html") == b"index.html"
    assert hashes.read_text().splitlines()[0] == f"{hashlib.sha256(site.read_bytes()).hexdigest()}  {site.name}"
    subprocess.run(["sha256sum", "--check", "--quiet", hashes.name], cwd=hashes.parent, check=True)
    with zipfile.ZipFile(wheel) as archive:
        assert {"calculators/figures.toml", "calculators/__main__.py"} <= set(archive.namelist())
