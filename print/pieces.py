"""Pieces of an answer as HTML: the one renderer for page and paper.

Every function is pure and escapes what it is given. Nothing here writes a line break: Markdown
ends raw HTML at a blank line. The rows that page.js repeats stand in templates made by the same
functions, with names in braces where the words go.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from markupsafe import Markup

from calculators import show
from print.forms import form
from print.markup import html, icon, ident, join

VERDICTS = {"fits": "fits", "watch": "watch", "against": "against", "stop_now": "stop", "stop_soon": "watch"}
ICONS = {"fits": "on", "watch": "soon", "against": "against", "stop": "stop"}
SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
LISTED = ": "  # what stands before the names of the values that are taken from a source; page.js goes by it too
LARGE = 6  # results a card shows large; the rest stand in its working
FEW, MANY = 8, 20  # rows of a list up to which it stands open in a card, or closed above the form; longer ones below it
FAR = 300  # days ahead from which a date slip names the year

type Value = Mapping[str, Any]


# Values ------------------------------------------------------------------------------------------


def plain(value: Any) -> str:
    """A value as data-value holds it: as JSON writes it, without quotes; nothing where there is none."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return "" if value is None else str(value)


def shown(value: Value) -> Markup:
    """A value on a line: 35 min, $3.90/gal; a dash where there is none."""
    return html("{}{}{}", value["number"], show.gap(value["unit_short"]), value["unit_short"])


def large(value: Value) -> Markup:
    """A value standing large, its unit small; the reason where there is none."""
    if value["value"] is None:
        return html("{}", value["phrase"])
    small = html("{}<small>{}</small>", show.gap(value["unit_short"]), value["unit_short"]) if value["unit_short"] else Markup()
    return html("{}{}", value["number"], small)


def data(value: Value) -> Markup:
    """The attributes by which a script reads a value unrounded."""
    return html(' data-value="{}" data-unit="{}"', plain(value["value"]), value.get("unit", ""))


# Live numbers and their slips ----------------------------------------------------------------------


def live(key: str, phrase: str, *, fixed: bool = False) -> Markup:
    """A number in a sentence; it opens its slip, without a script too. A ``fixed`` one is the same for every truck."""
    name = Markup() if fixed else html(' data-live="{}"', key)
    return html('<button class="live" type="button" popovertarget="{}"{}>{}</button>', ident("slip", key), name, phrase)


def slip(key: str, phrase: str, label: str, steps: Sequence[Value], source: Markup | str, link: Markup | str, *,
         fixed: bool = False) -> Markup:
    """Where a live number comes from: its working, its source, and the way to change it."""
    back = Markup('<button class="btn" type="button" data-show-example hidden>Show the example</button>')
    return html(
        '<div class="slip" id="{id}" popover data-search-exclude{slip}>'
        '<button class="x" type="button" aria-label="Close" popovertarget="{id}">✕</button>'
        '<h2><span class="num"{live}>{phrase}</span> <span>{label}</span></h2>{work}<p data-origin>{source}</p>'
        '<div class="acts">{back}{link}</div></div>',
        id=ident("slip", key), slip="" if fixed else html(' data-slip="{}"', key), live="" if fixed else html(' data-live="{}"', key),
        phrase=phrase, label=label, work=working(steps) if steps else "", source=source, back="" if fixed else back, link=link)


def steps_to(name: str, steps: Sequence[Value]) -> list[Value]:
    """The steps that lead to one result, that result's own last."""
    wanted: set[str] = {name}
    kept: list[Value] = []
    for step in reversed(steps):
        if step["name"] in wanted:
            kept.insert(0, step)
            wanted |= {number["name"] for number in step["numbers"]}
    return kept


# Working, cautions, sources ------------------------------------------------------------------------


def working(steps: Iterable[Value], own: Iterable[str] = ()) -> Markup:
    """The working, a step a row; ``own`` are the steps that stand for a result nowhere else in the card."""
    own = set(own)
    return html('<ol class="work" data-working>{}</ol>', join(work_row(step, step["name"] in own) for step in steps))


def work_row(step: Value, own: bool = False) -> Markup:
    """What | result on one line; formula, numbers, reason and source under it."""
    result = step["result"]
    name = html('{} data-result="{}"{}', look(result), step["name"], data(result)) if own else look(result)
    lines = [step.get("formula"), step.get("worked") and f"= {step['worked']}", step.get("because") and f"because {step['because']}",
             result["phrase"] if result["value"] is None else "", f"from: {step['source']}"]
    kinds = html('<span class="f"><span class="kind">{}</span></span>', ", ".join(step["kinds"])) if step["kinds"] else ""
    return html("<li><span>{}</span><b{}>{}</b>{}{}</li>", step["what"], name, shown(result),
                join(html('<span class="f">{}</span>', line) for line in lines if line), kinds)


def caution(signal: str, hazard: str, what_to_do: str) -> Markup:
    """A caution after ANSI Z535: word, hazard in one bold sentence, what to do."""
    return html('<aside class="signal {}">{}<p>{}</p><p>{}</p></aside>', signal.lower(), signal_word(signal), hazard, what_to_do)


def caution_open(signal: str) -> tuple[Markup, Markup]:
    """What stands before and after a caution's Markdown."""
    return html('<aside class="signal {}" markdown="1">\n{}', signal.lower(), signal_word(signal)), Markup("</aside>")


def signal_word(signal: str) -> Markup:
    """Its head; damage alone gets no sign."""
    return html('<p class="word">{}{}</p>', "" if signal == "NOTICE" else icon("alert"), signal)


def cautions(items: Iterable[Value]) -> Markup:
    """The cautions of an answer."""
    return html("<div data-cautions>{}</div>", join(caution(c["signal"], c["hazard"], c["text"]) for c in items))


def source_line(source: Value) -> Markup:
    """Title, clause, year and kind of a source."""
    parts = [source["title"], source.get("clause"), source.get("year")]
    return html('{} <span class="kind">{}</span>', ", ".join(str(part) for part in parts if part), source["kind"])


def source_list(sources: Iterable[Value]) -> Markup:
    """Sources, each once, with the values taken from it."""
    values: dict[Markup, list[str]] = {}
    for source in sources:
        values.setdefault(source_line(source), []).append(str(source["value"]).replace("_", " ").replace(".", ", "))
    rows = join(source_row(line, ", ".join(dict.fromkeys(names))) for line, names in values.items())
    return html('<ul class="sources" data-sources>{}</ul>', rows)


def source_row(line: Markup, values: str) -> Markup:
    """One source and what was taken from it."""
    return html("<li>{}{}{}</li>", line, LISTED, values)


# The calculator card -------------------------------------------------------------------------------


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


def fold(title: str, content: Markup) -> Markup:
    """Closed until asked for."""
    return html('<details><summary>{} <i aria-hidden="true">+</i></summary>{}</details>', title, content)


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


def table(name: str, rows: Sequence[Value], of: str = "") -> Markup:
    """A list result, a line a row; page.js repeats the first row for another answer's."""
    columns = rows[0] if rows else {}
    heads = join(html('<th scope="col"{}>{}</th>', look(cell), cell["label"]) for cell in columns.values())
    return html(
        '<section class="list scroll" tabindex="0" aria-label="{}"><table class="nums" data-result="{}">'
        "<thead><tr>{}</tr></thead><tbody>{}</tbody></table></section>",
        f"{sentence_case(name)}: {of}" if of else sentence_case(name), name, heads, join(table_row(row) for row in rows))


def table_row(row: Value) -> Markup:
    """One line of a list."""
    cells = (html('<td{} data-field="{}"{}>{}</td>', look(cell), field, data(cell), shown(cell)) for field, cell in row.items())
    return html("<tr>{}</tr>", join(cells))


def list_result(name: str, rows: Sequence[Value], of: str) -> Markup:
    """A list: open if short, else closed."""
    if len(rows) <= FEW:
        return table(name, rows, of)
    return fold(f"{sentence_case(name)}: {len(rows)} lines", table(name, rows, of))


def sentence_case(words: str) -> str:
    """Words of a name, the first with a capital."""
    words = words.replace("_", " ")
    return words[:1].upper() + words[1:]


def look(value: Value) -> Markup:
    """A class for what is no number: a day, words, or why there is nothing."""
    told = value["value"]
    kind = "why" if told is None else "when" if _day(told) else "words" if isinstance(told, str | bool) else ""
    return html(' class="{}"', kind) if kind else Markup()


def _day(value: Any) -> date | None:
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        return None


# Jobs ----------------------------------------------------------------------------------------------


def recorded(row: Value) -> bool:
    """Whether the job has a record to count from."""
    return bool(row["governed_by"]["value"] != "not_recorded")


def by_due_date(rows: Iterable[Value]) -> list[Value]:
    """Jobs in the order they come due; those without a date, then those without a record, last."""
    return sorted(rows, key=lambda row: (not recorded(row), row["due_date"]["value"] or "9999"))


def job_table(rows: Iterable[Value]) -> Markup:
    """Every job by due date."""
    return html(
        '<table class="nums" data-jobs="table"><thead><tr><th scope="col">Job</th><th scope="col" class="when">Due</th>'
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
    return html('<ul class="jobs" data-jobs="{}">{}</ul>', count, join([*map(next_job_row, shown_rows), *last]))


def no_record(count: int | str) -> tuple[str, str, str]:
    """The line for jobs nobody has a record of."""
    return f"{count} more without a record", "start one as you do them", "now"


def next_job_row(row: Value) -> Markup:
    """One job of the short list."""
    day = _day(row["due_date"]["value"])
    when = f"{day:%a, %b} {day.day}" if day and recorded(row) else "now"
    return next_job_line(row["job"]["number"], row["governed_by"]["number"], when)


def next_job_line(job: str, brought_by: str, when: str) -> Markup:
    """A line of the short list."""
    return html('<li><b>{}</b><em>{}</em><span class="when">{}</span></li>', job, brought_by, when)


def date_slip(job: str, row: Value, today: date, truck: str) -> Markup:
    """By when, in the corner of a do-this box."""
    above, day = due_words(row, today)
    return html('<div class="due" data-due="{}"><span>{}</span><b>{}</b><span data-for-truck>for {}</span></div>', job, above, day, truck)


def due_words(row: Value, today: date) -> tuple[str, str]:
    """The two lines of a date slip."""
    day = _day(row["due_date"]["value"])
    if not recorded(row) or not day:
        return "no record of it", "Now"
    above = "overdue since" if day < today else f"by {day:%A}"
    return above, f"{day:%b} {day.day}" + (f", {day.year}" if (day - today).days > FAR else "")


def do_this(at: str, slip_of_date: Markup | str, acts: Markup) -> tuple[Markup, Markup]:
    """What stands before and after the steps of a do-this box; the steps themselves are Markdown."""
    before = html('<section class="dothis" aria-labelledby="{0}" markdown="1">\n<div class="top" markdown="1">\n<div markdown="1">\n'
                  '<h2 id="{0}">Do this</h2>', at)
    return before, html("</div>\n{}\n</div>\n{}\n</section>", slip_of_date, acts)


def do_this_acts(job: str, check: str) -> Markup:
    """Its buttons: the job is done; check the number."""
    done = html('<a class="btn solid" href="my-truck.html#did-{}">I did it today</a>', job) if job else ""
    checked = html('<a class="btn" href="{}">Check it for my week</a>', check) if check else ""
    return html('<div class="acts">{}{}</div>', done, checked) if done or checked else Markup()


# The reference -----------------------------------------------------------------------------------


def values_tables(groups: Mapping[str, Sequence[Value]]) -> Markup:
    """Every value with its bounds or spread, kind and source: a closed table a group."""
    heads = (html("{} ({})", group, len(rows)) for group, rows in groups.items())
    tables = (values_table(group, rows) for group, rows in groups.items())
    return join(html('<details class="fold"><summary>{} <i aria-hidden="true">+</i></summary>{}</details>', *parts)
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
        html('<details class="fold"><summary>{} <i aria-hidden="true">+</i></summary><ol class="work">{}</ol>'
             '<div class="acts">{}</div></details>', answer["question"], join(map(formula_row, answer["working"])), link)
        for answer, link in answers)


def formula_row(step: Value) -> Markup:
    """What a rule says, its name, and its formula; where it decides, the case it came to."""
    case = f"here {step['formula']}, because {step['because']}" if step.get("because") else step.get("formula")
    return html('<li><span>{}</span><b class="words">{}</b>{}</li>', step["what"], step["name"].replace("_", " "),
                html('<span class="f">{}</span>', case) if case else "")


# A page's end --------------------------------------------------------------------------------------


def open_calculator(address: str) -> Markup:
    """From a slip to the calculator its number comes from."""
    return html('<a class="btn solid" href="{}">Open the calculator</a>', address)


def change_truck() -> Markup:
    """From a slip to the facts of the truck."""
    return Markup('<a class="btn solid" href="my-truck.html">Change it in My truck</a>')


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


# Templates: the rows a script repeats --------------------------------------------------------------


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
