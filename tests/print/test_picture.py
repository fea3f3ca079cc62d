"""Each sheet looks as it did when somebody last looked at it.

`python -m tests.print.test_picture` draws the kept pictures anew, with names behind it those sheets' alone: look at them first.
Tolerance: pixelmatch's threshold 0.1 takes a stroke's soft edge as equal; of 1.5 million pixels 0.1 % may
differ, which is a word in a due date but not a row that moved. pixelmatch is slow, so it is asked only where that much
could differ: on gray pictures it counts no pixel whose grays are FAR apart or less.
"""

import io
import sys
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image, ImageChops
from pixelmatch.contrib.PIL import pixelmatch

from tests.print.paper import OWN, SHEETS, TRUCKS, printed

KEPT = Path(__file__).parent / "kept"
DOTS_PER_INCH = 130
MAY_DIFFER = 0.001
FAR = 26  # of 255: pixelmatch's distance, 0.5053 times the grays' difference squared, passes its 35215 times 0.1 squared above it
BAND = 200  # rows of a picture
DRAWN = [(sheet, truck) for sheet in SHEETS for truck in (TRUCKS if sheet in OWN else TRUCKS[:1])]


def drawn(sheet, truck):
    page = pypdfium2.PdfDocument(printed(sheet, truck))[0]
    return page.render(scale=DOTS_PER_INCH / 72, may_draw_forms=True).to_pil().convert("L")


@pytest.mark.parametrize(("sheet", "truck"), DRAWN)
def test_looks_as_kept(sheet, truck, tmp_path):
    now, kept = drawn(sheet, truck), Image.open(KEPT / f"{sheet}-{truck}.png")
    assert now.size == kept.size
    if far_apart(now, kept) <= allowed(now):
        return
    differing = Image.new("RGBA", now.size)
    count = pixelmatch(now.convert("RGBA"), kept.convert("RGBA"), differing, threshold=0.1)
    if count > allowed(now):
        differing.save(tmp_path / "differing.png")
        pytest.fail(f"{count} pixels differ: {tmp_path / 'differing.png'}")


def allowed(picture):
    return MAY_DIFFER * picture.width * picture.height


def far_apart(now, kept):
    """How many pixels pixelmatch would count at most."""
    return sum(ImageChops.difference(now, kept.convert("L")).histogram()[FAR + 1:])


def test_pixelmatch_counts_only_what_is_far_apart():
    for shade in (0, 100, 200):
        one, near, far = (Image.new("L", (8, 8), value) for value in (shade, shade + FAR, shade + FAR + 1))
        assert far_apart(one, near) == pixelmatch(one.convert("RGBA"), near.convert("RGBA"), threshold=0.1) == 0
        assert far_apart(one, far) == pixelmatch(one.convert("RGBA"), far.convert("RGBA"), threshold=0.1) == 64


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_moved_row_would_be_seen(sheet):
    """The tolerance lets no shift through: a few bands of the same sheet three pixels lower are far outside what the whole may."""
    now = drawn(sheet, TRUCKS[0])
    moved = Image.new("L", now.size, 255)
    moved.paste(now, (0, 3))
    count, top = 0, 0
    while count <= 5 * allowed(now) and top < now.height:
        here, there = (picture.crop((0, top, now.width, min(top + BAND, now.height))).convert("RGBA") for picture in (now, moved))
        count, top = count + pixelmatch(here, there, threshold=0.1), top + BAND
    assert count > 5 * allowed(now)


SIXTEEN = [round(shade / 17) * 17 for shade in range(256)]


def keep(names):
    """Draw the kept pictures in sixteen grays: a third of the size, and none is far from what it was."""
    for sheet, truck in (each for each in DRAWN if not names or each[0] in names):
        target = io.BytesIO()
        drawn(sheet, truck).point(SIXTEEN).quantize(16).save(target, "PNG", optimize=True)
        (KEPT / f"{sheet}-{truck}.png").write_bytes(target.getvalue())


if __name__ == "__main__":
    keep(sys.argv[1:])
