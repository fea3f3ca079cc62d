"""A calculator's card."""

from collections.abc import Sequence
from typing import Any

from markupsafe import Markup

from pieces.forms import form
from pieces.markup import html, icon, join
from pieces.steps import cautions, source_list, working
from pieces.tables import MANY, fold, list_result
from pieces.values import Value, data, large, look, sentence_case

VERDICTS = {"fits": "fits", "watch": "watch", "against": "against", "stop_now": "stop", "stop_soon": "watch"}
ICONS = {"fits": "on", "watch": "soon", "against": "against", "stop": "stop"}
LARGE = 6  # results a card shows large; the rest stand in its working


def card(answer: Value, fields: Sequence[Any], *, truck: str, as_of: str = "",
         chart: Markup | str = "", charted: Sequence[str] = (), moves: Markup | str = "") -> Markup:
    """A calculator: verdict, results, form and chart, cautions, working, sources, in the order a phone shows them.

    ``charted`` are the lists whose table stands under the ``chart``; ``moves`` is what moves the answer.
    """
    results = answer["results"]
    lists = {name: rows for name, rows in results.items() if isinstance(rows, list) and name not in charted}
    single = [name for name, value in results.items() if not isinstance(value, list) and name not in ("verdict", "stop_level")]
    first = [name for name in answer["headline"] if name in single][:LARGE]
    steps = {step["name"] for step in answer["working"]}
    rest = [name for name in single if name not in first]
    day = html("<p>As of <span data-as-of>{}</span>.</p>", as_of) if as_of else ""
    lesser = result_list(results, [n for n in rest if n not in steps], "rest")
    work = html("{}{}{}", day, lesser, working(answer["working"], [n for n in rest if n in steps]))
    return html(
        '<section class="calc" data-calculator="{}">{}{}{}{}<div class="cols"{}>{}{}</div>{}{}{}{}{}</section>',
        answer["calculator"], card_head(answer["question"], truck), verdict(answer), result_list(results, first, "results"),
        join(list_result(n, r, answer["question"]) for n, r in lists.items() if len(r) <= MANY),
        Markup(" data-charted" if chart else ""), form(answer["calculator"], fields, answer["inputs"], truck), chart,
        cautions(answer["cautions"]),
        join(list_result(n, r, answer["question"]) for n, r in lists.items() if len(r) > MANY), moves,
        fold("Show the working", work),
        fold("Sources and limits", html("<p>The maker’s manual wins.</p>{}", source_list(answer["sources"]))))


def card_head(question: str, truck: str) -> Markup:
    """The question, and for whom it is answered."""
    return html('<header><h3>{}</h3><span>{} <span data-for-truck>for {}</span></span></header>', question, icon("tag"), truck)


def verdict(answer: Value) -> Markup:
    """What to do, with its edge and shape."""
    results = answer["results"]
    level = results.get("verdict") or results.get("stop_level") or {}
    edge = VERDICTS.get(level.get("value"), "plain")
    lines = [html('<p data-result="{}"{}>{}</p>', name, data(results[name]), sentence_case(results[name]["number"]))
             for name in ("verdict", "stop_level") if name in results]
    return html('<div class="verdict {}" data-verdict>{}{}<p data-answer>{}</p></div>', edge,
                icon(ICONS[edge]) if edge in ICONS else "", join(lines), answer["answer"])


def result_list(results: Value, names: Sequence[str], kind: str) -> Markup:
    """Results by name, each with its words."""
    def row(name: str) -> Markup:
        value = results[name]
        return html('<div><dt>{}</dt><dd{} data-result="{}"{}>{}</dd></div>', value["label"], look(value), name, data(value), large(value))

    return html('<dl class="{}">{}</dl>', kind, join(map(row, names))) if names else Markup()
