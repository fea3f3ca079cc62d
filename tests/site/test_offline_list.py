"""What a served site keeps on its reader's device: the list in its service worker, and the icons of the app."""

import gzip
import hashlib
import json
import os
import shutil
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from macros import checks, offline

MOST_KEPT, MOST_SENT = 3_500_000, 900_000  # bytes without asking: on the device, and over the wire as a host packs them


def listed(site: Path) -> Any:
    return json.loads((site / "service-worker.js").read_text("utf-8").split("\n")[0].removeprefix("self.guide = ").removesuffix(";"))


def placed(site: Path) -> list[str]:
    names = [path.relative_to(site).as_posix() for path in site.rglob("*.html")]
    return offline.place(site, {name: checks.read(name, (site / name).read_text("utf-8")) for name in names})


@pytest.fixture
def linked(site: Path, tmp_path: Path) -> Path:
    """The site again, sharing its files: replace a file, never write into it."""
    folder = tmp_path / "site"
    shutil.copytree(site, folder, copy_function=os.link)
    return folder


def replace(path: Path, content: bytes) -> None:
    path.unlink()
    path.write_bytes(content)


def test_every_file_is_listed_once_as_it_is_or_for_a_reason_not(site: Path) -> None:
    guide = listed(site)
    files = [file for part in ("first", "rest", "large") for file in guide[part]]
    names = [name for name, *_ in files]
    assert len(names) == len(set(names))
    for name, size, *hashes in files:
        content = (site / name).read_bytes()
        assert size == len(content)
        assert hashes[0] == hashlib.sha256(content).hexdigest()[:16]
        assert hashes[1:] == ([hashlib.sha256(gzip.decompress(content)).hexdigest()[:16]] if name.endswith(".gz") else [])
    left = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()} - set(names)
    assert {"runtime/engine.js", "search/search_index.js", "service-worker.js"} <= left
    assert {name for name in left if not name.startswith("assets/icons/") and not name.endswith(".txt")} == {
        "runtime/engine.js", "search/search_index.js", "service-worker.js"}


def test_the_emergency_pages_come_first_with_all_they_ask_for(site: Path) -> None:
    names = [name for name, *_ in listed(site)["first"]]
    pages = [name for name in names if name.endswith(".html")]
    assert pages == [name for name in ("light.html", "emergency.html", "wrong-fluid.html", "index.html") if (site / name).exists()]
    for page in pages:
        asked = set(checks.asked_by_page(checks.read(page, (site / page).read_text("utf-8")), site))
        assert {file for file in asked if not file.endswith(".png")} <= set(names)
    assert any(name.endswith(".woff2") for name in names)
    assert {"assets/page.js", "assets/tokens.css", "assets/offline.js"} <= set(names)


def test_what_is_kept_without_asking_is_small(site: Path) -> None:
    guide = listed(site)
    files = [site / name for part in ("first", "rest") for name, *_ in guide[part]]
    assert sum(path.stat().st_size for path in files) <= MOST_KEPT
    assert sum(len(gzip.compress(path.read_bytes(), 6)) for path in files) <= MOST_SENT
    assert sum(path.stat().st_size for path in files) > 1_000_000, "the pages are in it"


def test_the_same_site_gives_the_same_bytes_and_another_page_another_version(linked: Path) -> None:
    before = (linked / "service-worker.js").read_bytes()
    (linked / "service-worker.js").unlink()
    assert placed(linked) == []
    assert (linked / "service-worker.js").read_bytes() == before
    version = listed(linked)["version"]
    replace(linked / "fuel.html", (linked / "fuel.html").read_bytes() + b" ")
    (linked / "service-worker.js").unlink()
    assert placed(linked) == []
    assert listed(linked)["version"] != version


def test_the_icons_are_the_tag_drawn_the_same_each_time(linked: Path) -> None:
    kept = {path.name: path.read_bytes() for path in (linked / "assets" / "icons").iterdir()}
    shutil.rmtree(linked / "assets" / "icons")
    offline.draw_icons(linked)
    assert {path.name: path.read_bytes() for path in (linked / "assets" / "icons").iterdir()} == kept
    assert set(kept) == {"tag-192.png", "tag-512.png", "tag-maskable-192.png", "tag-maskable-512.png"}
    for name in kept:
        picture = Image.open(linked / "assets" / "icons" / name).convert("RGBA")
        assert picture.size == (int(name.split("-")[-1].removesuffix(".png")),) * 2
        left, hole = ((5, 12), (12, 5.6)) if "maskable" not in name else ((11, 18), (18, 11.6))
        width = 36 if "maskable" in name else 24
        shown = [picture.getpixel((int(x / width * picture.width), int(y / width * picture.width))) for x, y in (left, hole)]
        assert shown == [(0x14, 0x20, 0x1D, 255), (0xF2, 0xF4, 0xEF, 255)], "ink, and paper through the hole"


@pytest.mark.parametrize("size", offline.SIZES)
def test_a_device_may_cut_the_maskable_icon_to_a_circle(site: Path, size: int) -> None:
    """Outside a circle of four fifths there is nothing but paper (W3C, Web Application Manifest, safe zone of maskable icons)."""
    picture = Image.open(site / "assets" / "icons" / f"tag-maskable-{size}.png").convert("RGBA")
    middle = size / 2
    outside = {picture.getpixel((x, y)) for x in range(size) for y in range(size)
               if (x + 0.5 - middle) ** 2 + (y + 0.5 - middle) ** 2 > (0.4 * size) ** 2}
    assert outside == {(0xF2, 0xF4, 0xEF, 255)}


@pytest.mark.parametrize("gone", ["assets/icons/tag-512.png", "light.html", "index.html"])
def test_a_manifest_that_leads_nowhere_ends_the_build(linked: Path, gone: str) -> None:
    (linked / gone).unlink()
    (linked / "service-worker.js").unlink()
    assert placed(linked) and all("leads to a file that is not there" in fault for fault in placed(linked))
