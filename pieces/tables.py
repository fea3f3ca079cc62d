"""Lists of an answer as tables, and what folds them away."""

from collections.abc import Sequence
from typing import Any

from markupsafe import Markup

from calculators.engine.show import label
from calculators.engine.view import Say, as_it_stands
from pieces.markup import html, join
from pieces.values import Value, data, look

FEW, MANY = 8, 20  # rows of a list up to which it stands open in a card, or closed above the form; longer ones below it


def table(name: str, rows: Sequence[Value], of: str = "", say: Say = as_it_stands, *, headed: bool = False) -> Markup:
    """A list result, a line a row; page.js repeats the first row for another answer's."""
    columns = rows[0] if rows else {}
    heads = join(html('<th scope="col"{}>{}</th>', look(cell), cell["label"]) for cell in columns.values())
    title = f"{label(name)}: {of}" if of else label(name)
    head = html('<h4>{}</h4>', say(label(name))) if headed else ""
    return html(
        '<section class="list scroll" data-search-exclude tabindex="0" aria-label="{}">{}<table class="nums" data-result="{}">'
        "<thead><tr>{}</tr></thead><tbody>{}</tbody></table></section>",
        str(say(title)), head, name, heads, join(table_row(row) for row in rows))


def table_row(row: Value) -> Markup:
    """One line of a list."""
    cells = (html('<td{} data-field="{}"{}>{}</td>', look(cell), field, data(cell), cell["shown"]) for field, cell in row.items())
    return html("<tr>{}</tr>", join(cells))


def list_result(name: str, rows: Sequence[Value], of: str, say: Say = as_it_stands, *, headed: bool = False) -> Markup:
    """A list: open if short, under its name where it is ``headed``; else closed, with the number of its rows, which page.js renews."""
    if len(rows) <= FEW:
        return table(name, rows, of, say, headed=headed)
    return fold(html('{} <span data-many>({})</span>', say(label(name)), len(rows)), table(name, rows, of, say))


def fold(title: Any, content: Markup) -> Markup:
    """Closed until asked for."""
    return html('<details data-search-exclude><summary>{} <i aria-hidden="true">+</i></summary>{}</details>', title, content)
