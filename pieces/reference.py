"""The reference: every value, every formula."""

from collections.abc import Iterable, Mapping, Sequence

from markupsafe import Markup

from pieces.markup import html, ident, join
from pieces.values import Value


def values_tables(groups: Mapping[str, Sequence[Value]]) -> Markup:
    """Every value with its bounds or spread, kind and source: a closed table a group."""
    heads = (html("{} ({})", group, len(rows)) for group, rows in groups.items())
    tables = (values_table(group, rows) for group, rows in groups.items())
    return join(html('<details class="fold" data-search-exclude><summary>{} <i aria-hidden="true">+</i></summary>{}</details>', *parts)
                for parts in zip(heads, tables, strict=True))


def values_table(group: str, rows: Iterable[Value]) -> Markup:
    """The values of one group."""
    cells = '<tr id="{}"><td class="words">{} <small>{}</small></td><td>{}</td><td>{}</td></tr>'
    body = join(html(cells, ident("value", row["name"]), row["what"], row["source"], row["value"], row["bounds"]) for row in rows)
    return html(
        '<section class="scroll" tabindex="0" aria-label="{}"><table class="nums"><thead><tr>'
        '<th scope="col" class="words">What, and where it comes from</th><th scope="col">Value</th><th scope="col">From, to</th>'
        "</tr></thead><tbody>{}</tbody></table></section>", group, body)


def formulas(answers: Iterable[tuple[Value, Markup | str]]) -> Markup:
    """Every rule by its name, as the formula that the answer came from: closed, one calculator after another."""
    return join(
        html('<details class="fold" data-search-exclude><summary>{} <i aria-hidden="true">+</i></summary><ol class="work">{}</ol>'
             '<div class="acts">{}</div></details>', answer["question"], join(map(formula_row, answer["working"])), link)
        for answer, link in answers)


def formula_row(step: Value) -> Markup:
    """What a rule says, its name, and its formula; where it decides, the case it came to."""
    case = f"here {step['formula']}, because {step['because']}" if step.get("because") else step.get("formula")
    return html('<li><span>{}</span><b class="words">{}</b>{}</li>', step["what"], step["name"].replace("_", " "),
                html('<span class="f">{}</span>', case) if case else "")
