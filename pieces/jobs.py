"""Service jobs: the table, the short list, the date slip, and the box it hangs on."""

from collections.abc import Iterable
from datetime import date

from markupsafe import Markup

from calculators.engine.view import day_of
from pieces.markup import html, join
from pieces.values import Value

FAR = 300  # days ahead from which a date slip names the year


def recorded(row: Value) -> bool:
    """Whether the job has a record to count from."""
    return bool(row["governed_by"]["value"] != "not_recorded")


def by_due_date(rows: Iterable[Value]) -> list[Value]:
    """Jobs in the order they come due; those without a date, then those without a record, last."""
    return sorted(rows, key=lambda row: (not recorded(row), row["due_date"]["value"] or "9999"))


def job_table(rows: Iterable[Value]) -> Markup:
    """Every job by due date."""
    return html(
        '<table class="nums" data-jobs="table" data-search-exclude><thead><tr><th scope="col">Job</th><th scope="col" class="when">Due</th>'
        '<th scope="col" class="words">What brings it</th></tr></thead><tbody>{}</tbody></table>',
        join(job_table_row(row) for row in by_due_date(rows)))


def job_table_row(row: Value) -> Markup:
    """One job of the table."""
    due = row["due_date"]["number"] if recorded(row) else "now"
    return html('<tr><td class="words">{}</td><td class="when">{}</td><td class="words">{}</td></tr>',
                row["job"]["number"], due, row["governed_by"]["number"])


def next_jobs(rows: Iterable[Value], count: int) -> Markup:
    """The jobs that come next, a short list; its last line counts those without a record."""
    sorted_rows = by_due_date(rows)
    known = [row for row in sorted_rows if recorded(row)]
    shown_rows = (known or sorted_rows)[:count]
    more = sum(not recorded(row) for row in sorted_rows) - (0 if known else len(shown_rows))
    last = [next_job_line(*no_record(more))] if more > 0 else []
    return html('<ul class="jobs" data-jobs="{}" data-search-exclude>{}</ul>', count, join([*map(next_job_row, shown_rows), *last]))


def no_record(count: int | str) -> tuple[str, str, str]:
    """The line for jobs nobody has a record of."""
    return f"{count} more without a record", "start one as you do them", "now"


def next_job_row(row: Value) -> Markup:
    """One job of the short list."""
    day = day_of(row["due_date"]["value"])
    when = f"{day:%a, %b} {day.day}" if day and recorded(row) else "now"
    return next_job_line(row["job"]["number"], row["governed_by"]["number"], when)


def next_job_line(job: str, brought_by: str, when: str) -> Markup:
    """A line of the short list."""
    return html('<li><b>{}</b><em>{}</em><span class="when">{}</span></li>', job, brought_by, when)


def date_slip(job: str, row: Value, today: date, truck: str) -> Markup:
    """By when, in the corner of a do-this box."""
    above, day = due_words(row, today)
    return html('<div class="due" data-due="{}" data-search-exclude><span>{}</span><b>{}</b><span data-for-truck>for {}</span></div>',
                job, above, day, truck)


def due_words(row: Value, today: date) -> tuple[str, str]:
    """The two lines of a date slip."""
    day = day_of(row["due_date"]["value"])
    if not recorded(row) or not day:
        return "no record of it", "Now"
    above = "overdue since" if day < today else f"by {day:%A}"
    return above, f"{day:%b} {day.day}" + (f", {day.year}" if (day - today).days > FAR else "")


def do_this(at: str, slip_of_date: Markup | str, acts: Markup, head: str = "Do this", level: int = 2) -> tuple[Markup, Markup]:
    """What stands before and after the steps of a do-this box; the steps themselves are Markdown."""
    before = html('<section class="dothis" aria-labelledby="{0}" markdown="1">\n<div class="top" markdown="1">\n<div markdown="1">\n'
                  '<h{1} id="{0}">{2}</h{1}>', at, level, head)
    return before, html("</div>\n{}\n</div>\n{}\n</section>", slip_of_date, acts)


def do_this_acts(job: str, check: str) -> Markup:
    """Its buttons: the job is done; check the number."""
    done = html('<a class="btn solid" href="my-truck.html#did-{}">I did it today</a>', job) if job else ""
    checked = html('<a class="btn" href="{}">Check it for my week</a>', check) if check else ""
    return html('<div class="acts">{}{}</div>', done, checked) if done or checked else Markup()
