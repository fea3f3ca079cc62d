"""What stands at a page's end: its sources, its slips, and the rows that a script repeats."""

from collections.abc import Iterable, Sequence

from markupsafe import Markup

from pieces.jobs import job_table_row, next_job_line, no_record
from pieces.markup import html, join
from pieces.steps import SIGNALS, caution, source_line, source_list, source_row, work_row
from pieces.values import Value


def page_sources(sources: Sequence[Value]) -> Markup:
    """Where the page's numbers come from."""
    head = Markup('<summary>Where the numbers on this page come from <i aria-hidden="true">+</i></summary>')
    return html('<details class="fold">{}{}</details>', head, source_list(sources)) if sources else Markup()


def page_end(listed: Markup, slips: Iterable[Markup]) -> Markup:
    """The page's sources, the slips of its numbers, and the rows a script repeats."""
    return html('<div class="page-end">{}{}{}</div><p class="heard" role="status" data-heard></p><span data-page-end></span>',
                listed, join(slips), templates())


def raw(text: str) -> Markup:
    """Markup of our own from a file, without the blank lines at which Markdown would end it."""
    return Markup("\n".join(line for line in text.splitlines() if line.strip()))


def templates() -> Markup:
    """Rows with names in braces, made by the functions above: page.js puts an answer's words in their place."""
    hole = {"value": "{value}", "number": "{shown}", "unit_short": "", "phrase": ""}
    step = {"what": "{what}", "name": "", "result": hole, "numbers": [], "formula": "{formula}", "worked": "{worked}",
            "because": "{because}", "source": "{source}", "kinds": ["{kinds}"]}
    why = {"result": {"value": None, "number": "{shown}", "unit_short": "", "phrase": "{why}"}}
    job = {"job": {"number": "{job}"}, "due_date": {"number": "{due}"}, "governed_by": {"value": "", "number": "{brought_by}"}}
    rows = {"step": work_row({**step, **why}), "source": source_row(source_line({"title": "{title}", "kind": "{kind}"}), "{values}"),
            "job": job_table_row(job), "next-job": next_job_line("{job}", "{brought_by}", "{due}"),
            "no-record": next_job_line(*no_record("{count}"))}
    rows |= {f"caution-{signal}": caution(signal, "{hazard}", "{text}") for signal in SIGNALS}
    return join(html('<template data-row="{}">{}</template>', name, row) for name, row in rows.items())
