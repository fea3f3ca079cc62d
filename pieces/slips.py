"""Live numbers in sentences, and the slips they open."""

from collections.abc import Sequence

from markupsafe import Markup

from calculators.engine.view import step
from pieces.markup import html, ident, join
from pieces.steps import work_row, working
from pieces.values import Value


def live(key: str, phrase: str, *, fixed: bool = False) -> Markup:
    """A number in a sentence; it opens its slip, without a script too. A ``fixed`` one is the same for every truck."""
    name = Markup() if fixed else html(' data-live="{}"', key)
    return html('<button class="live" type="button" popovertarget="{}"{}>{}</button>', ident("slip", key), name, phrase)


def slip(key: str, phrase: str, label: str, steps: Sequence[Value], source: Markup | str, link: Markup | str, *,
         fixed: bool = False, made: Sequence[Value] = ()) -> Markup:
    """Where a live number comes from: what it is ``made`` of, whose that is, the way to change it, and folded its working."""
    live = "" if fixed else html(' data-live="{}"', key)
    back = "" if fixed else Markup('<button class="btn" type="button" data-show-example hidden>Show the example</button>')
    at = ident("slip", key)
    return html(
        '<div class="slip" id="{id}" popover data-search-exclude{slip}>'
        '<button class="x" type="button" aria-label="Close" popovertarget="{id}">✕</button>{inside}</div>',
        id=at, slip="" if fixed else html(' data-slip="{}"', key),
        inside=_inside(html('<span class="num"{}>{}</span>', live, phrase), label, steps, made, source, html("{}{}", back, link)))


def open_slip(of: str, value: Value, steps: Sequence[Value], source: str, link: Markup, made: Sequence[Value]) -> Markup:
    """A slip that stands open, as ``page.js`` fills one ``of`` a truck: ``yours``, or the example’s."""
    number = html('<span class="num"{}>{}</span>', _rests(value), value["phrase"])
    back = Markup('<button class="btn" type="button">Show the example</button>') if of == "yours" else ""
    return html('<div class="slip static {}" data-search-exclude><button class="x" type="button" aria-label="Close">✕</button>{}</div>',
                of, _inside(number, value["label"], steps, made, source, html("{}{}", back, link), marked=True))


def _inside(number: Markup, label: str, steps: Sequence[Value], made: Sequence[Value], source: Markup | str, acts: Markup, *,
            marked: bool = False) -> Markup:
    work = html('<details class="fold"><summary>Show the working <i aria-hidden="true">+</i></summary>{}</details>',
                working(map(step, steps))) if steps else ""
    return html('<h2>{} <span>{}</span></h2>{}<p data-origin>{}</p>{}<div class="acts">{}</div>',
                number, label, _made(steps[-1], made, marked) if steps else "", source, work, acts)


def _rests(told: Value) -> Markup:
    return html(' data-rests="{}"', told["rests_on"]) if "rests_on" in told else Markup()


def _made(last: Value, made: Sequence[Value], marked: bool) -> Markup:
    """The last step in its own words, and a row for each of what it is made of; ``marked`` by whose that is."""
    def told(row: Value) -> Markup:
        shown = {"lines": (), "kinds": "", **row, "result": {"shown": row.get("shown", ""), "look": ""}}
        return work_row(shown, marks=_rests(row) if marked else "")

    return html('<p>{}</p><ol class="work" data-made>{}</ol>', last["what"], join(map(told, made)))


def open_calculator(address: str) -> Markup:
    """From a slip to the calculator its number comes from."""
    return html('<a class="btn solid" href="{}">Open the calculator</a>', address)


def change_truck() -> Markup:
    """From a slip to the facts of the truck."""
    return Markup('<a class="btn solid" href="my-truck.html">Change it in My truck</a>')
