"""Finished PDFs as one, in whatever order of pages, with all that a reader's software goes by.

No library joins structure trees: pikepdf carries pages, fields and bookmarks, and each page's part of the
tree is hung in here. Needed so that sheets which are the same in every pack are written once, not in each.
"""

import io
from collections.abc import Hashable, Iterable, Iterator, Sequence
from functools import lru_cache

import pikepdf

from print.tags import BLANK

type Blank = tuple[float, float] | None  # of a page: where a truck's name may be written, in points from its lower left
type Held = dict[Hashable, pikepdf.Object]  # by its number, and by what it holds


def join(first: bytes, second: bytes, order: Sequence[int], plate: bytes = b"", blanks: Sequence[Blank] = ()) -> bytes:
    """Two tagged PDFs as one; ``order`` has the place of each page, those of ``first`` counted before those of ``second``.

    A name ``plate``, a PDF of one small page, is put on each page of ``second`` where ``blanks`` has room for it.
    """
    more = _opened(second)
    with pikepdf.open(io.BytesIO(first)) as joined:
        own = len(joined.pages)
        joined.add_pages_from(more)
        _hang_in(joined, joined.copy_foreign(more.Root.StructTreeRoot), joined.pages[own:])
        if plate:
            _stamp(joined, plate, list(zip(joined.pages[own:], blanks, strict=True)))
        _sort(joined, order)
        _hold_once(joined)
        return _saved(joined)


def named(data: bytes, title: str, plate: bytes, blanks: Sequence[Blank]) -> bytes:
    """Sheets that are the same for every truck as one truck's: its name in each blank, and in the title."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        _stamp(pdf, plate, list(zip(pdf.pages, blanks, strict=True)))
        pdf.docinfo.Title = title
        with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as about:
            about["dc:title"] = title
        return _saved(pdf)


def _saved(pdf: pikepdf.Pdf) -> bytes:
    target = io.BytesIO()
    pdf.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
    return target.getvalue()


@lru_cache(maxsize=4)
def _opened(data: bytes) -> pikepdf.Pdf:
    """What every pack of a run takes its shared pages from is read once."""
    return pikepdf.open(io.BytesIO(data))


def _hang_in(joined: pikepdf.Pdf, tree: pikepdf.Object, pages: Iterable[pikepdf.Page]) -> None:
    """Another document's structure tree becomes part of this one's, its numbers counted on."""
    trunk = joined.Root.StructTreeRoot
    free = 1 + int(trunk.ParentTree.Nums[-2])
    numbered = {int(tree.ParentTree.Nums[at]): tree.ParentTree.Nums[at + 1] for at in range(0, len(tree.ParentTree.Nums), 2)}
    for page in pages:
        page.obj.StructParents = free + int(page.obj.StructParents)
        for field in page.obj.get("/Annots", ()):  # copied apart from the tree, which still knows the first copy
            numbered[int(field.StructParent)].K[0].Obj = field
            field.StructParent = free + int(field.StructParent)
    for number, element in numbered.items():
        trunk.ParentTree.Nums.extend(pikepdf.Array([free + number, element]))
    for part in tree.K[0].K:
        part.P = trunk.K[0]
        trunk.K[0].K.append(part)


def _stamp(joined: pikepdf.Pdf, plate: bytes, pages: Iterable[tuple[pikepdf.Page, Blank]]) -> None:
    """The truck's name in the blank of each page, as text that belongs to the blank."""
    with pikepdf.open(io.BytesIO(plate)) as small:
        drawn = joined.copy_foreign(small.pages[0].as_form_xobject())
    numbers = joined.Root.StructTreeRoot.ParentTree.Nums
    rows = {int(numbers[at]): numbers[at + 1] for at in range(0, len(numbers), 2)}
    parts = {part.Pg.objgen: part for part in joined.Root.StructTreeRoot.K[0].K}
    for page, blank in pages:
        if not blank:
            continue
        row, element = rows[int(page.obj.StructParents)], next(_blanks(parts[page.obj.objgen]))
        name = page.add_resource(drawn, pikepdf.Name.XObject, pikepdf.Name.TruckName)
        place = b"%.2f %.2f" % blank
        page.contents_add(b"q", prepend=True)  # what the page draws may leave its own turn of the paper behind
        page.contents_add(b"Q q /Span <</MCID %d>> BDC 1 0 0 1 %s cm %s Do EMC Q" % (len(row), place, str(name).encode()))
        element.K = pikepdf.Array([len(row)])
        row.append(element)


def _blanks(part: pikepdf.Object) -> Iterator[pikepdf.Object]:
    """The elements that a truck's name is written in."""
    below = part.get("/K", pikepdf.Array())
    for child in below if isinstance(below, pikepdf.Array) else [below]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            if str(child.get("/T", "")) == BLANK:
                yield child
            else:
                yield from _blanks(child)


def _sort(joined: pikepdf.Pdf, order: Sequence[int]) -> None:
    """Pages, the parts of the tree that stand for them, and bookmarks; each page has one part."""
    pages, parts = list(joined.pages), list(joined.Root.StructTreeRoot.K[0].K)
    places = {page.obj.objgen: place for place, page in enumerate(pages[each] for each in order)}
    del joined.pages[:]
    for each in order:
        joined.pages.append(pages[each])
    joined.Root.StructTreeRoot.K[0].K = pikepdf.Array(parts[each] for each in order)

    def place(bookmark: pikepdf.OutlineItem) -> int:
        assert isinstance(bookmark.destination, pikepdf.Array), "ours lead to pages"
        return places[bookmark.destination[0].objgen]

    with joined.open_outline() as outline:
        outline.root.sort(key=place)


def _hold_once(joined: pikepdf.Pdf) -> None:
    """What is drawn in many places (ticks, dots under rows) is held once: it would be a third of the file."""
    held: Held = {}
    for page in joined.pages:
        page.obj.Resources = _settled(page.obj.Resources, held)
        for field in page.obj.get("/Annots", ()):
            if not isinstance(field.AP.N, pikepdf.Stream):  # a box has a drawing a state; a line's picture is its own
                _shelf(field.AP.N, held)


def _settled(resources: pikepdf.Object, held: Held) -> pikepdf.Object:
    """The first of all equal ones; one of the file's own objects is looked through once, for each tick names the whole page's."""
    known = resources.objgen
    if known in held:
        return held[known]
    for kind in ("/XObject", "/Pattern"):
        _shelf(resources.get(kind, pikepdf.Dictionary()), held)
    first = held.setdefault(resources.unparse(resolved=True), resources)
    if resources.is_indirect:
        held[known] = first
    return first


def _shelf(shelf: pikepdf.Object, held: Held) -> None:
    """The first of all equal drawings takes each place; what it is made of in turn is settled before."""
    for name, drawn in shelf.items():
        if drawn.objgen not in held:
            held[drawn.objgen] = drawn
            if "/Resources" in drawn:
                drawn.Resources = _settled(drawn.Resources, held)
            held[drawn.objgen] = held.setdefault((drawn.read_raw_bytes(), drawn.stream_dict.unparse()), drawn)
        shelf[name] = held[drawn.objgen]
