"""A calculator's card."""

from collections.abc import Sequence
from typing import Any

from markupsafe import Markup

from calculators.engine import view
from calculators.engine.view import Say, as_it_stands
from pieces.forms import form
from pieces.markup import html, icon, join
from pieces.steps import cautions, source_list, working
from pieces.tables import FEW, MANY, fold, list_result
from pieces.values import Value, data, large, look

LARGE = 6  # results a card shows large; the rest stand in its working


def card(answer: Value, fields: Sequence[Any], *, truck: str, as_of: str = "", chart: Markup | str = "", charted: Sequence[str] = (),
         moves: Markup | str = "", say: Say = as_it_stands, pairs: Markup | str = "") -> Markup:
    """A calculator: verdict, results, form and chart, cautions, working, sources, in the order a phone shows them.

    ``charted`` are the lists whose table stands under the ``chart``; ``moves`` is what moves the answer; ``say`` tells each text,
    by ``pairs`` for the script where it does so in two languages.
    """
    made = view.view(answer, say)
    results = made["results"]
    lists = {name: rows for name, rows in results.items() if isinstance(rows, list) and name not in charted}
    single = [name for name, value in results.items() if not isinstance(value, list) and name not in view.LEVELS]
    first = [name for name in answer["headline"] if name in single][:LARGE]
    steps = {step["name"] for step in made["working"]}
    rest = [name for name in single if name not in first]
    day = html("<p>As of <span data-as-of>{}</span>.</p>", as_of) if as_of else ""
    lesser = result_list(results, [n for n in rest if n not in steps], "rest")
    work = html("{}{}{}", day, lesser, working(made["working"], [n for n in rest if n in steps]))

    def listed(long: bool) -> Markup:
        shown = {name: rows for name, rows in lists.items() if (len(rows) > MANY) == long}
        folded = [len(rows) > FEW for rows in shown.values()]  # an open one below those would seem to be of the last
        return join(list_result(name, rows, answer["question"], say, headed=any(folded[:place]))
                    for place, (name, rows) in enumerate(shown.items()))

    return html(
        '<section class="calc" data-calculator="{}"{}>{}{}{}{}{}<div class="cols"{}>{}{}</div>{}{}{}{}{}{}</section>',
        made["calculator"], Markup(" data-both" if pairs else ""), card_head(answer["question"], truck, say), verdict(made),
        result_list(results, first, "results"), Markup('<p class="rests" data-rests-line></p>'), listed(long=False),
        Markup(" data-charted" if chart else ""), form(made["calculator"], fields, answer["inputs"], truck, say), chart,
        cautions(made["cautions"], say), listed(long=True), moves, fold(say("Show the working"), work),
        fold(say("Sources and limits"), html("<p>{}</p>{}", say("The maker’s manual wins."), source_list(made["sources"]))), pairs)


def card_head(question: str, truck: str, say: Say = as_it_stands) -> Markup:
    """The question, and for whom it is answered."""
    return html('<header><h3>{}</h3><span>{} <bdi data-for-truck="{}" data-search-exclude>{}</bdi></span></header>',
                say(question), icon("tag"), truck, say(f"for {truck}"))


def verdict(made: Value) -> Markup:
    """What to do, with its edge and shape."""
    lines = (html('<p data-result="{}"{}>{}</p>', name, data(level), level["shown"])
             for name in view.LEVELS if (level := made["results"].get(name)))
    return html('<div class="verdict {}" data-verdict data-search-exclude>{}{}<p data-answer>{}</p><p class="rests"></p>'
                '<div class="settle" data-asks hidden><p></p><div></div></div></div>', made["look"],
                icon(made["sign"]) if made["sign"] else "", join(lines), made["answer"])


def result_list(results: Value, names: Sequence[str], kind: str) -> Markup:
    """Results by name, each with its words."""
    def row(name: str) -> Markup:
        value = results[name]
        beside = Markup('<dd class="rests"></dd>') if kind == "results" else ""  # the lesser ones have no room for its word
        return html('<div><dt>{}</dt><dd{} data-result="{}"{}>{}</dd>{}</div>',
                    value["label"], look(value), name, data(value), large(value), beside)

    return html('<dl class="{}" data-search-exclude>{}</dl>', kind, join(map(row, names))) if names else Markup()
