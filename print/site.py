"""The sheets of the site: a page to print from the browser, the example truck's PDF, and a picture of it."""

import io
import re
from pathlib import Path

import pypdfium2

from print import pdf, sheet
from print.day import build_day
from print.files import write
from print.order import wishes

PICTURE_WIDTH = 640  # pixels: twice what a card shows, for sharp screens


def build(folder: Path, paper: str = "letter") -> int:
    """Write all sheets of the example truck into ``folder``; how many."""
    today = build_day()
    pages = {}
    for name in sheet.names():
        html = sheet.render(name, today=today)
        printed = pdf.write([pdf.lay_out(html, paper)], wishes=wishes([name]))
        # On the page a box is for the pen: too small for a finger, and fifty stops for who goes by keyboard.
        # What it means is its name there; a PDF takes it from the title.
        boxed = html.replace('<input type="checkbox"', '<input type="checkbox" disabled')
        pages[name] = re.sub(r'(<input [^>]*)\btitle="', r'\1aria-label="', boxed)
        write(folder / f"{name}.html", pages[name])
        write(folder / f"{name}.pdf", printed)
        write(folder / f"{name}.png", picture(printed))
    write(folder / "pack.html", sheet.pack_page(pages))
    write(folder / "pack.css", sheet.pack_styles())
    write(folder / "print.css", pdf.STYLES[-1].read_bytes())
    return len(sheet.names())


def picture(printed: bytes) -> bytes:
    """The first page of a PDF, as a picture in four grays."""
    page = pypdfium2.PdfDocument(printed)[0]
    drawn = page.render(scale=PICTURE_WIDTH / page.get_width(), may_draw_forms=True).to_pil()
    target = io.BytesIO()
    grays = drawn.convert("L").point([85 * round(level / 85) for level in range(256)])
    grays.quantize(4).save(target, "PNG", optimize=True)
    return target.getvalue()
