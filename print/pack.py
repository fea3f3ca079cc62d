"""A pack: sheets for one truck as one PDF. What is the same for every truck is laid out and written once."""

from functools import lru_cache
from typing import NamedTuple

from print import pdf, sheet
from print.join import join


class Order(NamedTuple):
    """What all packs of one run have in common."""

    sheets: tuple
    paper: str
    language: str
    today: str


class Written(NamedTuple):
    """Sheets as a PDF, and how many pages each takes."""

    data: bytes
    pages: dict


def pack(truck, order, shared=None):
    """One truck's pack as PDF; ``shared`` is what `shared` made of the same order, where another process made it."""
    own = [name for name in order.sheets if not sheet.is_static(name)]
    shared = shared or _shared(order)
    if not own:
        return shared.data
    name = sheet.name_of(truck)
    title = f"{'Handover pack' if len(order.sheets) > 1 else sheet.title(own[0])}, {name}"
    made = _written(own, order, truck, title)
    return join(made.data, shared.data, _order(order.sheets, made, shared)) if shared.data else made.data


def shared(order):
    """The sheets of an order that are the same for every truck."""
    return _shared(order)


@lru_cache(maxsize=2)
def _shared(order):
    names = [name for name in order.sheets if sheet.is_static(name)]
    return _written(names, order) if names else Written(b"", {})


def _written(names, order, truck=None, title=""):
    laid_out = {name: pdf.lay_out(sheet.render(name, truck, order.language, order.today), order.paper) for name in names}
    return Written(pdf.write(list(laid_out.values()), title), {name: len(each.pages) for name, each in laid_out.items()})


def _order(names, own, shared):
    """Where each page of a pack stands in its two parts, one after the other."""
    starts, at = {}, 0
    for name, count in (*own.pages.items(), *shared.pages.items()):
        starts[name] = range(at, at + count)
        at += count
    return [page for name in names for page in starts[name]]
