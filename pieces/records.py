"""A truck's records: what its book says in a few sentences, a chart of each channel that has entries, and what waits to be mended."""

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from calculators.engine.records_view import CHANNELS, HEADS, JOBS
from pieces.charts import draw
from pieces.markup import html, icon, join

type View = Mapping[str, Any]

WIDTH = 350  # a phone's; a desk shows it larger
FIRST = ("record_economy", JOBS)  # beside what the book says; the others follow below
REST = tuple(kind for kind in CHANNELS if kind not in FIRST)
KINDS = (*FIRST, *REST)


def records(view: View, form: Markup) -> Markup:
    """All of it for one truck; the script puts another's in its place, in the same order."""
    lines = join(line(one["look"], one["parts"]) for one in view["says"])
    figures = {kind: figure(kind, view["charts"].get(kind)) for kind in KINDS}
    return html(
        '<section class="records" data-records data-search-exclude aria-label="What the book says"><p class="lede" data-lede>{}</p>'
        '<div class="side even"><div><ul class="fourlines" data-lines>{}</ul>'
        '<div class="acts"><button class="btn solid" type="button" data-write="fuel">Write a fill</button>'
        '<button class="btn" type="button" data-write="job">Something else</button></div>{}{}</div>'
        '<div class="pictures">{}</div></div><div class="pictures more">{}</div>{}</section><script src="assets/records.js"></script>',
        view["lede"], lines, form, _mend(view["mend"]), join(figures[kind] for kind in FIRST), join(figures[kind] for kind in REST), rows())


def line(look: str, parts: Sequence[str]) -> Markup:
    """A sentence, its values set off."""
    return html('<li{}>{}</li>', Markup(f' class="{look}"') if look else "", _in_turns(parts))


def _in_turns(parts: Sequence[str]) -> Markup:
    return join(html("<b>{}</b>", part) if place % 2 else html("{}", part) for place, part in enumerate(parts) if part)


def figure(kind: str, chart: View | None) -> Markup:
    """A chart with its text and, closed, the same as a table; hidden where the book has nothing for it."""
    shown = chart or {"says": [""], "table": [], "rows": []}
    picture = _picture(kind, shown) if chart else html('<svg data-width="{0}" viewBox="0 0 {0} 1"></svg>', WIDTH)
    return html('<figure class="chart" data-record="{}"{}><figcaption>{}</figcaption><p class="soft" data-chart-says>{}</p>{}{}</figure>',
                kind, Markup("" if chart else " hidden"), draw.KINDS[kind]["caption"], _in_turns(shown["says"]), picture,
                _table(kind, shown["table"]))


def _picture(kind: str, chart: View) -> Markup:
    words = html("{}. {}", draw.KINDS[kind]["caption"], "".join(chart["says"]))
    drawn = draw.picture(kind, chart["rows"], width=WIDTH, lanes=chart.get("lanes", 0))
    return Markup(drawn).replace("<svg ", html('<svg data-width="{}" role="img" aria-label="{}" ', WIDTH, words), 1)


def _table(kind: str, rows: Sequence[View]) -> Markup:
    """Its first row is repeated for another truck's, so only that one names its fields."""
    heads = HEADS[kind]
    head = join(html('<th scope="col"{}>{}</th>', _look(place), name) for place, name in enumerate(heads.values()))
    body = join(_row(heads, row, named=not place) for place, row in enumerate(rows or [dict.fromkeys(heads, "")]))
    return html('<details class="plain"><summary>The same as a table <i aria-hidden="true">+</i></summary>'
                '<section class="list scroll" tabindex="0" aria-label="{}"><table class="nums"><thead><tr>{}</tr></thead>'
                '<tbody>{}</tbody></table></section></details>', draw.KINDS[kind]["caption"], head, body)


def _row(heads: Mapping[str, str], row: View, *, named: bool) -> Markup:
    return html("<tr>{}</tr>", join(html("<td{}{}>{}</td>", html(' data-field="{}"', field) if named else "", _look(place), row[field])
                                    for place, field in enumerate(heads)))


def _look(place: int) -> Markup:
    return Markup("" if place else ' class="words"')


def _mend(found: Sequence[View]) -> Markup:
    lines = join(mend_line(**one) for one in found)
    return html('<section class="mend" data-mend aria-labelledby="mend"{}><h2 id="mend">{} Left out, or odd</h2>'
                '<p class="soft">These don’t count, or don’t fit. Right as it is? Leave it.</p><ul>{}</ul>'
                '<button class="btn" type="button" data-all-mend hidden></button></section>',
                Markup("" if found else " hidden"), icon("soon"), lines)


def mend_line(id: str, when: str, what: str, why: str) -> Markup:
    """An entry, why it is left out, and the way to its correction."""
    return html('<li data-id="{0}"><span class="w"><b>{1}, {2}</b><span>{3}</span></span>'
                '<button class="fix" type="button" data-correct>Mend it'
                '<span class="heard">: {1}, {2}</span></button></li>', id, what, when, why)


def rows() -> Markup:
    """What the script repeats."""
    return html('<template data-row="mend">{}</template>', mend_line("", "{when}", "{what}", "{why}"))
