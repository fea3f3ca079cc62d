"""Finished PDFs as one, in whatever order of pages, with all that a reader's software goes by.

No library joins structure trees: pikepdf carries pages, fields and bookmarks, and each page's part of the
tree is hung in here. Needed so that sheets which are the same in every pack are written once, not in each.
"""

import io
from functools import lru_cache

import pikepdf


def join(first, second, order):
    """Two tagged PDFs as one; ``order`` has the place of each page, those of ``first`` counted before those of ``second``."""
    more = _opened(second)
    with pikepdf.open(io.BytesIO(first)) as joined:
        own = len(joined.pages)
        joined.add_pages_from(more)
        _hang_in(joined, joined.copy_foreign(more.Root.StructTreeRoot), joined.pages[own:])
        _sort(joined, order)
        _hold_once(joined)
        target = io.BytesIO()
        joined.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
        return target.getvalue()


@lru_cache(maxsize=1)
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
