"""Each sheet looks as it did when somebody last looked at it.

`python -m tests.print.test_picture` draws the kept pictures anew: look at them before you keep them.
Tolerance: pixelmatch's threshold 0.1 takes a stroke's soft edge as equal; of 1.5 million pixels 0.1 % may
differ, which is a word in a due date but not a row that moved.
"""

import io
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image
from pixelmatch.contrib.PIL import pixelmatch

from tests.print.paper import OWN, SHEETS, TRUCKS, printed

KEPT = Path(__file__).parent / "kept"
DOTS_PER_INCH = 130
MAY_DIFFER = 0.001
DRAWN = [(sheet, truck) for sheet in SHEETS for truck in (TRUCKS if sheet in OWN else TRUCKS[:1])]


def drawn(sheet, truck):
    page = pypdfium2.PdfDocument(printed(sheet, truck))[0]
    return page.render(scale=DOTS_PER_INCH / 72, may_draw_forms=True).to_pil().convert("L")


@pytest.mark.parametrize(("sheet", "truck"), DRAWN)
def test_looks_as_kept(sheet, truck, tmp_path):
    now, kept = drawn(sheet, truck), Image.open(KEPT / f"{sheet}-{truck}.png")
    assert now.size == kept.size
    differing = Image.new("RGBA", now.size)
    count = pixelmatch(now.convert("RGBA"), kept.convert("RGBA"), differing, threshold=0.1)
    if count > MAY_DIFFER * now.width * now.height:
        differing.save(tmp_path / "differing.png")
        pytest.fail(f"{count} pixels differ: {tmp_path / 'differing.png'}")


def test_a_moved_row_would_be_seen():
    """The tolerance lets no shift through: the same sheet three pixels lower is far outside it."""
    for sheet in SHEETS:
        now = drawn(sheet, TRUCKS[0])
        moved = Image.new("L", now.size, 255)
        moved.paste(now, (0, 3))
        assert pixelmatch(now.convert("RGBA"), moved.convert("RGBA"), threshold=0.1) > 5 * MAY_DIFFER * now.width * now.height


def keep():
    """Draw the kept pictures in sixteen grays: a third of the size, and no pixel moves by more than the threshold."""
    for sheet, truck in DRAWN:
        target = io.BytesIO()
        drawn(sheet, truck).quantize(16).save(target, "PNG", optimize=True)
        (KEPT / f"{sheet}-{truck}.png").write_bytes(target.getvalue())


if __name__ == "__main__":
    keep()
