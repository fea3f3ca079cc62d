"""A pack: sheets for one truck as one PDF. What is the same for every truck is laid out and written once."""

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from print import letters, pdf, sheet
from print.join import Blank, join, named
from print.order import PLAIN, Order, Wishes, wishes
from print.sheet import Truck


class Written(NamedTuple):
    """Sheets as a PDF, and how many pages each takes."""

    data: bytes
    pages: dict[str, int]
    blanks: tuple[Blank, ...] = ()  # of each page
    plate: bytes = b""  # the truck's name, as a small page
    title: str = ""


def pack(truck: Truck | None, order: Order, label: str = "") -> bytes:
    """One truck's pack as PDF."""
    return whole(own(truck, order, label or sheet.name_of(truck)), order)


def own(truck: Truck | None, order: Order, label: str) -> Written:
    """The truck's own sheets of an order, and its name for the others: all that other processes need make for a fleet."""
    names = [name for name in order.sheets if not sheet.is_static(name)]
    what = order.title or (sheet.title(order.sheets[0]) if len(order.sheets) == 1 else "Sheets")
    title = f"{what}, {sheet.name_of(truck)}"
    plate = pdf.plate(letters.drawn(label)) if len(names) < len(order.sheets) else b""
    return _written(names, order, truck, title, wishes(order.sheets))._replace(plate=plate, title=title)


def whole(made: Written, order: Order) -> bytes:
    """A truck's own sheets and those that every truck has, as one PDF."""
    common = shared(order)
    if not common.data:
        return made.data
    if not made.data:
        return named(common.data, made.title, made.plate, common.blanks) if made.plate else common.data
    return join(made.data, common.data, _order(order.sheets, made, common), made.plate, common.blanks)


def shared(order: Order) -> Written:
    """The sheets of an order that are the same for every truck, made once."""
    return _shared(tuple(name for name in order.sheets if sheet.is_static(name)), order.paper, order.language)


@lru_cache(maxsize=4)
def _shared(names: tuple[str, ...], paper: str, language: str) -> Written:
    return _written(names, Order(names, paper, language, ""), asks=wishes(names) if names else PLAIN)


def _written(names: Sequence[str], order: Order, truck: Truck | None = None, title: str = "", asks: Wishes = PLAIN) -> Written:
    if not names:
        return Written(b"", {})
    laid_out = {name: pdf.lay_out(sheet.render(name, truck, sheet.language(name, order.language), order.today or None), order.paper)
                for name in names}
    blanks = tuple(pdf.blank(page) for each in laid_out.values() for page in each.pages)
    return Written(pdf.write(list(laid_out.values()), title, asks), {name: len(each.pages) for name, each in laid_out.items()}, blanks)


def _order(names: Sequence[str], own: Written, shared: Written) -> list[int]:
    """Where each page of a pack stands in its two parts, one after the other."""
    starts: dict[str, range] = {}
    at = 0
    for name, count in (*own.pages.items(), *shared.pages.items()):
        starts[name] = range(at, at + count)
        at += count
    return [page for name in names for page in starts[name]]
