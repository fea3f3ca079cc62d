"""What a served site keeps on its reader's device: the service worker with its list of files, and the app's icons.

`macros.finish` calls this. All of it follows from the finished files, so the same site gives the same bytes.
"""

import gzip
import hashlib
import json
import re
from collections.abc import Iterator
from pathlib import Path

import vl_convert

from macros import checks

ROOT = Path(__file__).resolve().parent.parent
WORKER = ROOT / "docs" / "assets" / "service-worker.js"
MANIFEST = Path("assets", "manifest.webmanifest")
TAG = Path("assets", "favicon.svg")

FIRST = ("light.html", "emergency.html", "wrong-fluid.html", "index.html")
# Kept when the whole guide is asked for: what is large, the sheets once more on one page, and a page for those who work on this.
LARGE = re.compile(r"runtime/|assets/vega/|sheets/pack\.|specimen\.html|.*\.(pdf|png)$")
# Read from a folder, by the device itself or by nobody.
NEVER = re.compile(r"runtime/engine\.js|search/search_index\.js$|assets/icons/|service-worker\.js|.*\.txt$")

SIZES = (192, 512)
PAPER = "#f2f4ef"
# A device may cut a maskable icon down to a circle of four fifths of its width: the tag's corners stay within.
FRAMES = {"tag": "0 0 24 24", "tag-maskable": "-6 -6 36 36"}
ICON = """<svg xmlns="http://www.w3.org/2000/svg" width="{size}" height="{size}" viewBox="{frame}">
<path fill="{paper}" d="{back}"/>{tag}</svg>"""

File = list[str | int]  # path, bytes, hash; a second hash where a server may send it unpacked


def draw_icons(site: Path) -> None:
    """The site's tag as the pictures that a device wants of an app: paper shows through its hole, and around a maskable one."""
    tag = re.sub(r"</?svg[^>]*>", "", (site / TAG).read_text("utf-8")).strip()
    outline = re.search(r' d="([^z]*z)', tag)
    assert outline, "the tag has an outline"
    backs = {"tag": outline[1], "tag-maskable": "M-6-6h36v36H-6z"}
    (site / "assets" / "icons").mkdir(exist_ok=True)
    for name, frame in FRAMES.items():
        for size in SIZES:
            drawing = ICON.format(size=size, frame=frame, paper=PAPER, back=backs[name], tag=tag)
            (site / "assets" / "icons" / f"{name}-{size}.png").write_bytes(vl_convert.svg_to_png(drawing))


def place(site: Path, pages: dict[str, checks.Page]) -> list[str]:
    """Write the service worker of this very site; what is wrong with what an app needs, a line each."""
    first, rest, large = groups(site, pages)
    lists = {"first": listed(site, first), "rest": listed(site, rest), "large": listed(site, large)}
    template = WORKER.read_text("utf-8")
    version = hashlib.sha256((json.dumps(lists) + template).encode()).hexdigest()[:12]
    guide = json.dumps({"version": version, **lists}, separators=(",", ":"))
    (site / "service-worker.js").write_text(f"self.guide = {guide};\n{template}", "utf-8")
    return list(faults(site))


def groups(site: Path, pages: dict[str, checks.Page]) -> tuple[list[str], list[str], list[str]]:
    """First the emergency pages with what they need, then all other pages and files, then what is large."""
    names = [path.relative_to(site).as_posix() for path in sorted(site.rglob("*")) if path.is_file()]
    names = [name for name in names if not NEVER.match(name)]
    large = [name for name in names if LARGE.match(name)]
    wanted = [file for name in FIRST if name in pages for file in (name, *checks.asked_by_page(pages[name], site))]
    first = [file for file in dict.fromkeys(wanted) if file not in large]
    return first, [name for name in names if name not in first and name not in large], large


def listed(site: Path, names: list[str]) -> list[File]:
    contents = ((name, (site / name).read_bytes()) for name in names)
    return [[name, len(content), *hashes(name, content)] for name, content in contents]


def hashes(name: str, content: bytes) -> list[str]:
    """Of the file, and of what a browser gets where the server names the packing as its encoding."""
    forms = [content, gzip.decompress(content)] if name.endswith(".gz") else [content]
    return [hashlib.sha256(form).hexdigest()[:16] for form in forms]


def faults(site: Path) -> Iterator[str]:
    """Addresses in the manifest that lead nowhere."""
    told = json.loads((site / MANIFEST).read_text("utf-8"))
    shortcuts = told.get("shortcuts", [])
    icons = [icon["src"] for part in (told, *shortcuts) for icon in part.get("icons", [])]
    for address in (told["start_url"], *icons, *(shortcut["url"] for shortcut in shortcuts)):
        if not (site / MANIFEST.parent / address).is_file():
            yield f"{MANIFEST.as_posix()}: {address} leads to a file that is not there"
