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
    back = Markup('<button class="btn" type="button" data-show-example hidden>Show the example</button>')
    return html(
        '<div class="slip" id="{id}" popover data-search-exclude{slip}>'
        '<button class="x" type="button" aria-label="Close" popovertarget="{id}">✕</button>'
        '<h2><span class="num"{live}>{phrase}</span> <span>{label}</span></h2>{says}<p data-origin>{source}</p>{work}'
        '<div class="acts">{back}{link}</div></div>',
        id=ident("slip", key), slip="" if fixed else html(' data-slip="{}"', key), live="" if fixed else html(' data-live="{}"', key),
        phrase=phrase, label=label, says=_made(steps[-1], made) if steps else "", source=source, back="" if fixed else back, link=link,
        work=html('<details class="fold"><summary>Show the working <i aria-hidden="true">+</i></summary>{}</details>',
                  working(map(step, steps))) if steps else "")


def _made(last: Value, made: Sequence[Value]) -> Markup:
    """The last step in its own words, and a row for each of what it is made of."""
    rows = ({"lines": (), "kinds": "", **row, "result": {"shown": row.get("shown", ""), "look": ""}} for row in made)
    return html('<p>{}</p><ol class="work" data-made>{}</ol>', last["what"], join(map(work_row, rows)))


def open_calculator(address: str) -> Markup:
    """From a slip to the calculator its number comes from."""
    return html('<a class="btn solid" href="{}">Open the calculator</a>', address)


def change_truck() -> Markup:
    """From a slip to the facts of the truck."""
    return Markup('<a class="btn solid" href="my-truck.html">Change it in My truck</a>')
