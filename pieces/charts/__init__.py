"""Charts of an answer for page and paper: one Vega-Lite spec a kind, a text alternative and a data table for each."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from calculators.engine import view
from pieces.charts import draw
from pieces.charts.draw import KINDS
from pieces.markup import html, join
from pieces.tables import table as list_table

__all__ = ["KINDS", "chart_of", "figure", "lists", "sensitivity", "svg", "table"]

_OF = {entry["calculator"]: kind for kind, entry in KINDS.items() if "calculator" in entry}
MOVES = {"input": "Number", "low": "A little less", "result_at_low": "gives", "high": "A little more", "result_at_high": "gives"}

type Answer = Mapping[str, Any]


def chart_of(calculator: str) -> str:
    """The kind of chart a calculator has; none: an empty string."""
    return _OF.get(calculator, "")


def lists(calculator: str) -> tuple[str, ...]:
    """The lists whose table stands under the chart, so nowhere else in the card."""
    name = KINDS.get(chart_of(calculator), {}).get("list")
    return (name,) if name else ()


def figure(answer: Answer, *, paper: bool = False, with_table: bool = True) -> Markup:
    """The chart of an answer with its caption and, closed, the same as a table; nothing where it has none."""
    kind = chart_of(answer["calculator"])
    drawn = svg(kind, answer, paper=paper) if kind else Markup()
    if not drawn:
        return Markup()
    data = table(kind, answer) if with_table else Markup()
    marked = Markup(' class="number" data-rests="partly"') if paper and answer.get("answer_rests_on") == "partly" else Markup()
    return html('<figure class="chart" data-search-exclude data-of="{}" data-says="{}"><figcaption{}>{}</figcaption>{}{}</figure>',
                answer["calculator"], KINDS[kind]["says"], marked, KINDS[kind]["caption"], drawn, data)


def svg(kind: str, answer: Answer, *, paper: bool = False) -> Markup:
    """The picture alone, with its text alternative; nothing where a number in it is not told."""
    words = f"{KINDS[kind]['caption']}. {KINDS[kind]['says'].replace('{answer}', answer['answer'])}"
    drawn = draw.picture(kind, draw.rows_of(kind, answer), paper)
    if "NaN" in drawn:
        return Markup()
    return _named(draw.trimmed(drawn) if paper else drawn, words, paper)


def table(kind: str, answer: Answer) -> Markup:
    """The same numbers as a table, closed."""
    name = KINDS[kind].get("list")
    if not name:
        return _closed(_table_of(KINDS[kind]["table"], answer))
    return _closed(list_table(name, view.rows(answer["results"][name]), KINDS[kind]["caption"]))


def sensitivity(answer: Answer, moved: Mapping[str, Any]) -> Markup:
    """What moves the answer: a bar for each input tried a little down and up; nothing where nothing moves."""
    rows = moved["rows"][: KINDS["sensitivity"]["most"]]
    if not rows:
        return Markup()
    caption, says = f"{moved['label']}, if one number changes and the rest stays", KINDS["sensitivity"]["says"]
    drawn = _named(draw.picture("sensitivity", [draw.flat(row) for row in rows]), f"{caption}. {says}")
    return html(
        '<details data-moves="{}" data-search-exclude><summary>What moves the answer most <i aria-hidden="true">+</i></summary>'
        '<p class="busy" data-moves-message></p>'
        '<figure class="chart" data-says="{}"><figcaption>{}</figcaption>{}<p>Tried: {}.</p>{}</figure></details>',
        answer["calculator"], says, caption, drawn, moved["tried"], _closed(_moves_table(moved["label"], rows)))


def _named(drawn: str, words: str, paper: bool = False) -> Markup:
    """A picture that says what it shows to those who can't see it; a PDF takes these words from its title."""
    title = html("><title>{}</title>", words) if paper else Markup(">")
    return Markup(drawn).replace("<svg ", html('<svg role="img" aria-label="{}" ', words), 1).replace(">", title, 1)


def _closed(data: Markup) -> Markup:
    return html('<details class="plain"><summary>The same as a table <i aria-hidden="true">+</i></summary>{}</details>', data)


def _table_of(layout: Mapping[str, Any], answer: Answer) -> Markup:
    """A table of single values; the script finds each cell's value by the path it bears."""
    def cell(path: str) -> Markup:
        group, _, name = path.partition(".")
        return html('<td data-from="{}">{}</td>', path, draw.shown(answer[group][name]))

    rows = join(html('<tr><th scope="row">{}</th>{}</tr>', name, join(map(cell, paths))) for name, *paths in layout["rows"])
    return _scroll("Loads, ratings and what is left", layout["head"], rows)


def _moves_table(label: str, rows: Sequence[Mapping[str, Any]]) -> Markup:
    def cell(field: str, value: Mapping[str, Any]) -> Markup:
        kind = Markup(' class="words"') if field == "input" else ""
        return html('<td{} data-move="{}">{}</td>', kind, field, draw.shown(value))

    body = join(html("<tr>{}</tr>", join(cell(field, row[field]) for field in MOVES)) for row in rows)
    return _scroll(f"What moves it: {label}", MOVES.values(), body)


def _scroll(label: str, head: Iterable[str], rows: Markup) -> Markup:
    heads = join(html('<th scope="col">{}</th>', name) if name else Markup("<td></td>") for name in head)
    return html('<section class="list scroll" tabindex="0" aria-label="{}">'
                '<table class="nums"><thead><tr>{}</tr></thead><tbody>{}</tbody></table></section>', label, heads, rows)
