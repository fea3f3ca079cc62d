"""Finished PDFs as one, in whatever order of pages, with all that a reader's software goes by.

No library joins structure trees: pikepdf carries pages, fields and bookmarks, and each page's part of the
tree is hung in here. Needed so that sheets which are the same in every pack are written once, not in each.
"""

import io
from functools import lru_cache

import pikepdf

from print.tags import BLANK


def join(first, second, order, plate=b"", blanks=()):
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


def named(data, title, plate, blanks):
    """Sheets that are the same for every truck as one truck's: its name in each blank, and in the title."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        _stamp(pdf, plate, list(zip(pdf.pages, blanks, strict=True)))
        pdf.docinfo.Title = title
        with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as about:
            about["dc:title"] = title
        return _saved(pdf)


def _saved(pdf):
    target = io.BytesIO()
    pdf.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
    return target.getvalue()


@lru_cache(maxsize=4)
def _opened(data):
    """What every pack of a run takes its shared pages from is read once."""
    return pikepdf.open(io.BytesIO(data))


def _hang_in(joined, tree, pages):
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
        trunk.ParentTree.Nums.extend([free + number, element])
    for part in tree.K[0].K:
        part.P = trunk.K[0]
        trunk.K[0].K.append(part)


def _stamp(joined, plate, pages):
    """The truck's name in the blank of each page, as text that belongs to the blank."""
    with pikepdf.open(io.BytesIO(plate)) as small:
        drawn = joined.copy_foreign(small.pages[0].as_form_xobject())
    numbers = joined.Root.StructTreeRoot.ParentTree.Nums
    rows = {int(numbers[at]): numbers[at + 1] for at in range(0, len(numbers), 2)}
    parts = {part.Pg.objgen: part for part in joined.Root.StructTreeRoot.K[0].K}
    for page, blank in pages:
        if not blank:
            continue
        row, element = rows[int(page.obj.StructParents)], _blank(parts[page.obj.objgen])
        name = page.add_resource(drawn, pikepdf.Name.XObject, pikepdf.Name.TruckName)
        place = b"%.2f %.2f" % blank
        page.contents_add(b"q", prepend=True)  # what the page draws may leave its own turn of the paper behind
        page.contents_add(b"Q q /Span <</MCID %d>> BDC 1 0 0 1 %s cm %s Do EMC Q" % (len(row), place, str(name).encode()))
        element.K = pikepdf.Array([len(row)])
        row.append(element)


def _blank(part):
    """The element that a truck's name is written in."""
    below = part.get("/K", [])
    for child in below if isinstance(below, pikepdf.Array) else [below]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            found = child if str(child.get("/T", "")) == BLANK else _blank(child)
            if found is not None:
                return found
    return None


def _sort(joined, order):
    """Pages, the parts of the tree that stand for them, and bookmarks; each page has one part."""
    pages, parts = list(joined.pages), list(joined.Root.StructTreeRoot.K[0].K)
    places = {page.obj.objgen: place for place, page in enumerate(pages[each] for each in order)}
    del joined.pages[:]
    for each in order:
        joined.pages.append(pages[each])
    joined.Root.StructTreeRoot.K[0].K = pikepdf.Array(parts[each] for each in order)
    with joined.open_outline() as outline:
        outline.root.sort(key=lambda item: places[item.destination[0].objgen])


def _hold_once(joined):
    """What is drawn in many places (ticks, dots under rows) is held once: it would be a third of the file."""
    held = {}
    for page in joined.pages:
        page.obj.Resources = _settled(page.obj.Resources, held)
        for field in page.obj.get("/Annots", ()):
            if not isinstance(field.AP.N, pikepdf.Stream):  # a box has a drawing a state; a line's picture is its own
                _shelf(field.AP.N, held)


def _settled(resources, held):
    """The first of all equal ones; one of the file's own objects is looked through once, for each tick names the whole page's."""
    known = resources.objgen
    if known in held:
        return held[known]
    for kind in ("/XObject", "/Pattern"):
        _shelf(resources.get(kind, {}), held)
    first = held.setdefault(resources.unparse(resolved=True), resources)
    if resources.is_indirect:
        held[known] = first
    return first


def _shelf(shelf, held):
    """The first of all equal drawings takes each place; what it is made of in turn is settled before."""
    for name, drawn in shelf.items():
        if drawn.objgen not in held:
            held[drawn.objgen] = drawn
            if "/Resources" in drawn:
                drawn.Resources = _settled(drawn.Resources, held)
            held[drawn.objgen] = held.setdefault((drawn.read_raw_bytes(), drawn.stream_dict.unparse()), drawn)
        shelf[name] = held[drawn.objgen]
