"""What stands at a page's end: its sources, its slips, and the rows that a script repeats."""

from collections.abc import Iterable, Sequence

from markupsafe import Markup

from calculators.engine.view import Say, as_it_stands, source_lines
from pieces.jobs import job_table_row, next_job_line, next_job_row, no_record, section_row
from pieces.markup import html, join
from pieces.steps import SIGNALS, caution, source_list, source_row, work_row
from pieces.values import Value

# What a slip says of its number, by whether it was worked out or told, and by what it rests on.
ORIGINS = {
    "made-yours": "Worked out for {truck} from what was told.",
    "made-partly": "Partly yours: worked out for {truck} from what was told, and from the example’s numbers where nothing was.",
    "made-example": "The example’s: nothing that was told for {truck} went into it.",
    "fact-yours": "As told for {truck}.",
    "fact-partly": "Partly yours: it follows from what was told for {truck}, and from the example’s numbers.",
    "fact-example": "The example’s: it was not told for {truck} yet.",
}


def page_sources(sources: Sequence[Value], say: Say = as_it_stands) -> Markup:
    """Where the page's numbers come from."""
    head = html('<summary>{} <i aria-hidden="true">+</i></summary>', say("Where the numbers on this page come from"))
    listed = source_list(source_lines(sources, say))
    return html('<details class="fold" data-search-exclude>{}{}</details>', head, listed) if sources else Markup()


def page_end(listed: Markup, slips: Iterable[Markup], say: Say = as_it_stands) -> Markup:
    """The page's sources, the slips of its numbers, and the rows a script repeats."""
    return html('<div class="page-end">{}{}{}</div><p class="heard" role="status" data-heard></p><span data-page-end></span>',
                listed, join(slips), templates(say))


def raw(text: str) -> Markup:
    """Markup of our own from a file, without the blank lines at which Markdown would end it."""
    return Markup("\n".join(line for line in text.splitlines() if line.strip()))


def templates(say: Say = as_it_stands) -> Markup:
    """Rows with names in braces, made by the functions above: page.js puts an answer's words in their place."""
    result = {"value": "", "shown": "{shown}", "look": ""}
    step = {"what": "{what}", "name": "", "result": result, "lines": ["{lines}"], "kinds": "{kinds}"}
    job = {"section": "", "name": "{name}", "when": "{when}", "said": "{said}", "brought_by": "{brought_by}"}
    rows = {"step": work_row(step), "source": source_row({"title": "{title}", "kind": "{kind}", "values": "{values}"}),
            "section": section_row("{head}"), "job": job_table_row(job), "next-job": next_job_row(job),
            "no-record": next_job_line(**no_record("{count}"))}
    rows |= {name: html("<span>{}</span>", words) for name, words in ORIGINS.items()}
    rows |= {f"caution-{signal}": caution(signal, "{hazard}", "{text}", say(signal)) for signal in SIGNALS}
    return join(html('<template data-row="{}">{}</template>', name, row) for name, row in rows.items())
