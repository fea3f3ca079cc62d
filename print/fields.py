"""Lines to type in, in a PDF: what a form shows is printed as it stands, and still can be typed over.

WeasyPrint makes a text field with the whole of its face and without a picture of what it holds; PDF/UA refuses our
face so, and some viewers show nothing. So a line is laid out as a box to tick, whose name carries what it holds, and
made a text field here: with one small face for all, in the code that every viewer types in, and a picture each.
"""

import io
import re
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pikepdf
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from pikepdf import Array, Dictionary, Name, Object, Pdf, String

FACE = Path(__file__).parent.parent / "docs/assets/fonts/noto-sans-latin-400-normal.woff2"
CODE = "cp1252"  # WinAnsi, as PDF calls it
FIRST, LAST = 32, 255
SIZE, INDENT, RISE = 11, 1, 4  # points: of the letters, before the first, under the line they stand on
MARK = "\u241f"  # between a field's name and what it holds; no word of ours has it
_LINE = re.compile(r'<input type="text" name="([^"]*)" title="([^"]*)" value="([^"]*)" maxlength="(\d+)"(?: data-live="[^"]*")?>')


def as_boxes(page: str) -> str:
    """A sheet's HTML with each line to type in as a box to tick that carries what it holds."""
    return _LINE.sub(lambda line: f'<input type="checkbox" name="{MARK.join(line.group(1, 3, 4))}" title="{line[2]}">', page)


def complete(data: bytes) -> bytes:
    """A PDF with those boxes made into text fields; the same bytes where it has none."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        fields = [field for field in pdf.Root.get("/AcroForm", Dictionary()).get("/Fields", Array()) if MARK in str(field.T)]
        if not fields:
            return data
        face = _face(pdf)
        form = pdf.Root.AcroForm
        form.NeedAppearances = False
        form.DA = _looks()
        form.DR = Dictionary(Font=Dictionary(HF=face))
        for field in fields:
            _make(pdf, field, face)
        target = io.BytesIO()
        pdf.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
        return target.getvalue()


def _make(pdf: Pdf, field: Object, face: Object) -> None:
    name, value, most = str(field.T).split(MARK)
    shown = _typeable(value)[: int(most)]
    for key in ("/AS", "/MK", "/Border", "/V"):
        if key in field:
            del field[key]
    field.FT, field.T, field.V, field.DV = Name.Tx, String(name), String(shown), String(shown)
    field.MaxLen, field.DA = int(most), _looks()
    field.AP = Dictionary(N=_picture(pdf, field, face, shown))


def _looks() -> String:
    return String(f"/HF {SIZE} Tf 0 g")


def _typeable(value: str) -> str:
    """What every viewer's own code can show; nothing where a letter is outside it, so that it is written in by hand."""
    return value if len(value.encode(CODE, "ignore")) == len(value) else ""


def _picture(pdf: Pdf, field: Object, face: Object, shown: str) -> Object:
    left, bottom, right, top = (float(side) for side in field.Rect)
    words = shown.encode(CODE).replace(b"\\", b"\\\\").replace(b"(", b"\\(").replace(b")", b"\\)")
    drawn = b"q BT /HF %d Tf 0 g %d %d Td (%s) Tj ET Q" % (SIZE, INDENT, RISE, words) if shown else b""
    return pdf.make_stream(b"/Tx BMC " + drawn + b" EMC", Type=Name.XObject, Subtype=Name.Form,
                           BBox=Array([0, 0, round(abs(right - left), 2), round(abs(top - bottom), 2)]),
                           Resources=Dictionary(Font=Dictionary(HF=face)))


def _face(pdf: Pdf) -> Object:
    """The face that is typed in: a simple one, embedded, whose codes are the viewer's own."""
    cut = _cut()
    descriptor = pdf.make_indirect(Dictionary(
        Type=Name.FontDescriptor, FontName=Name("/HANDOV+Handover-Typed"), Flags=32, FontBBox=Array(cut.box), ItalicAngle=0,
        Ascent=cut.ascent, Descent=cut.descent, CapHeight=cut.ascent, StemV=80, FontFile2=pdf.make_stream(cut.data, Length1=len(cut.data))))
    return pdf.make_indirect(Dictionary(
        Type=Name.Font, Subtype=Name.TrueType, BaseFont=Name("/HANDOV+Handover-Typed"), FirstChar=FIRST, LastChar=LAST,
        Widths=Array(cut.widths),
        FontDescriptor=descriptor, Encoding=Name.WinAnsiEncoding))


class _Cut(NamedTuple):
    """A face, and its measures in thousandths."""

    data: bytes
    widths: list[int]
    box: list[int]
    ascent: int
    descent: int


@cache
def _cut() -> _Cut:
    """Our text face cut to the letters that can be typed."""
    font = TTFont(FACE)
    options = Options()
    options.layout_features, options.hinting, options.notdef_outline = [], False, True
    cutter = Subsetter(options)
    letters = {code: bytes([code]).decode(CODE, "ignore") for code in range(FIRST, LAST + 1)}
    cutter.populate(unicodes=[ord(letter) for letter in letters.values() if letter])
    cutter.subset(font)
    font.flavor = None
    target = io.BytesIO()
    font.save(target)
    scale, glyphs = 1000 / font["head"].unitsPerEm, font.getBestCmap()
    widths = [round(font["hmtx"][glyphs[ord(letter)]][0] * scale) if letter and ord(letter) in glyphs else 0 for letter in letters.values()]
    head, line = font["head"], font["hhea"]
    box = [round(side * scale) for side in (head.xMin, head.yMin, head.xMax, head.yMax)]
    return _Cut(target.getvalue(), widths, box, round(line.ascent * scale), round(line.descent * scale))
