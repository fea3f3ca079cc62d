"""Service jobs: the table, the short list, the date slip, and the box it hangs on."""

from collections.abc import Iterable, Sequence
from itertools import groupby

from markupsafe import Markup

from calculators.engine.due import USUAL
from pieces.markup import html, join
from pieces.order import TICK
from pieces.values import Value


def job_table(jobs: Iterable[Value]) -> Markup:
    """Every job under the head of its section, in the order of ``calculators.engine.due``."""
    jobs = list(jobs)
    rows = (section_row(head) + join(map(job_table_row, own)) for head, own in groupby(jobs, key=lambda job: job["head"]))
    return html(
        '<table class="nums" data-jobs="table"><thead><tr><th scope="col">Job</th><th scope="col" class="when">Due</th>'
        '<th scope="col" class="words">What brings it</th><td class="do"></td></tr></thead><tbody>{}</tbody></table>\n\n'
        '<p class="quiet" data-usual{}>{}</p>\n\n<p class="quiet" data-reading></p>',
        join(rows), "" if any(job["usual"] for job in jobs) else Markup(" hidden"), USUAL)


def section_row(head: str) -> Markup:
    """The head of a section of the table."""
    return html('<tr class="section"><th scope="rowgroup" colspan="4">{}</th></tr>', head)


def job_table_row(job: Value) -> Markup:
    """One job of the table."""
    return html('<tr data-section="{}"><td class="words">{}</td><td class="when">{}</td><td class="words">{}</td>'
                '<td class="do" data-search-exclude>{}</td></tr>',
                job["section"], job["name"], job["when"], job["brought_by"], TICK.format(name=job["name"]))


def next_jobs(jobs: Sequence[Value], count: int) -> Markup:
    """The jobs that come next, a short list; its last line counts those without a record."""
    dated = [job for job in jobs if job["dated"]]
    shown_rows = (dated or list(jobs))[:count]
    more = len(jobs) - len(dated) - (0 if dated else len(shown_rows))
    last = [next_job_line(**no_record(more))] if more > 0 else []
    return html('<p class="quiet" data-reading></p><ul class="jobs" data-jobs="{}">{}</ul>',
                count, join([*(next_job_row(job) for job in shown_rows), *last]))


def no_record(count: int | str) -> dict[str, str]:
    """The line for jobs nobody has a record of."""
    return {"name": f"{count} more without a record", "brought_by": "start one as you do them", "when": "", "section": "ask"}


def next_job_row(job: Value) -> Markup:
    """One job of the short list; what is overdue says so, for color alone says nothing to many."""
    return next_job_line(job["name"], job["said"], job["when"], job["section"])


def next_job_line(name: str, brought_by: str, when: str, section: str) -> Markup:
    """A line of the short list."""
    return html('<li data-section="{}"><b>{}</b><em>{}</em><span class="when">{}</span></li>', section, name, brought_by, when)


def date_slip(job: Value, truck: str) -> Markup:
    """By when, in the corner of a do-this box."""
    above, day = job["due"]
    return html('<div class="due" data-due="{}"><span>{}</span><b>{}</b><bdi data-for-truck data-search-exclude>for {}</bdi></div>',
                job["job"], above, day, truck)


def do_this(at: str, slip_of_date: Markup | str, acts: Markup, head: str = "Do this", level: int = 2, *,
            once: bool = False) -> tuple[Markup, Markup]:
    """What stands before and after the steps of a do-this box, themselves Markdown; said ``once``, it goes when a truck is saved."""
    before = html('<section class="dothis{3}" aria-labelledby="{0}" markdown="1">\n<div class="top" markdown="1">\n<div markdown="1">\n'
                  '<h{1} id="{0}">{2}</h{1}>', at, level, head, " until-told" if once else "")
    return before, html("</div>\n{}\n</div>\n{}\n</section>", slip_of_date, acts)


def do_this_acts(job: str, check: str) -> Markup:
    """Its buttons: the job is done; check the number."""
    done = html('<a class="btn solid" href="records.html#did-{0}" data-did="{0}">I did it</a>', job) if job else ""
    checked = html('<a class="btn" href="{}">Check it for my week</a>', check) if check else ""
    return html('<div class="acts">{}{}</div>', done, checked) if done or checked else Markup()
