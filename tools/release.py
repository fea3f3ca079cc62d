"""What others get: the built site as one zip, the calculators as a wheel, and the hashes of both: `make release` runs this.

The same commit makes the same bytes: names in order, one time and one mode for every file.
"""

import hashlib
import os
import time
import zipfile
from pathlib import Path

from flit_core import buildapi

import calculators
from tools.ready import ROOT, SCRATCH, say

RELEASE = SCRATCH / "release"
NAME = f"diesel-handover-{calculators.__version__}"
HASHES = "SHA256SUMS"
MODE = 0o100644  # a file that all may read


def zipped(site: Path, file: Path, made: int) -> Path:
    """All files of a folder under one name, as of ``made`` (seconds since 1970)."""
    day = time.gmtime(made)[:6]
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for path in sorted(path for path in site.rglob("*") if path.is_file()):
            entry = zipfile.ZipInfo(f"{NAME}/{path.relative_to(site).as_posix()}", day)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, MODE << 16
            archive.writestr(entry, path.read_bytes(), compresslevel=9)
    return file


def wheel(place: Path) -> Path:
    """The calculators alone, to install."""
    there = os.getcwd()
    os.chdir(ROOT)  # where the build backend looks for pyproject.toml
    try:
        return place / str(buildapi.build_wheel(str(place)))
    finally:
        os.chdir(there)


def hashes(files: list[Path]) -> str:
    """As `sha256sum --check` reads them."""
    return "".join(f"{hashlib.sha256(file.read_bytes()).hexdigest()}  {file.name}\n" for file in files)


def release(site: Path, place: Path, made: int) -> list[Path]:
    """Zip, wheel and their hashes, in ``place``."""
    place.mkdir(parents=True, exist_ok=True)
    for left in place.glob("diesel_handover-*"):
        left.unlink()
    files = [zipped(site, place / f"{NAME}.zip", made), wheel(place)]
    (place / HASHES).write_text(hashes(files), "utf-8")
    return [*files, place / HASHES]


if __name__ == "__main__":
    for file in release(ROOT / "site", RELEASE, int(os.environ["SOURCE_DATE_EPOCH"])):
        say(f"{file.relative_to(ROOT)}  {file.stat().st_size / 1e6:.2f} MB")
