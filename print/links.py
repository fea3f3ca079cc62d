"""The code on a sheet that leads to its page, where the site has an address."""

import re
from functools import cache
from pathlib import Path

import segno
from markupsafe import Markup

SETTINGS = Path(__file__).parent.parent / "mkdocs.yml"


@cache
def base_address() -> str:
    """What `extra.base_address` in mkdocs.yml says; empty where the site has no address of its own."""
    told = re.search(r"^  base_address: *[\"']?(https?://[^\s\"'#]+)", SETTINGS.read_text("utf-8"), re.MULTILINE)
    return told[1].rstrip("/") if told else ""


def code(sheet: str) -> Markup:
    """A sheet's QR code; nothing without an address."""
    if not base_address():
        return Markup()
    made = segno.make(f"{base_address()}/sheets/{sheet}.html", error="m")
    drawn = made.svg_inline(scale=1, border=2, svgclass="qr", lineclass=None, omitsize=True)
    return Markup(drawn.replace("<svg ", '<svg role="img" aria-label="A code that opens this sheet on the site" ', 1))
