"""The working of an answer, its cautions and its sources."""

from collections.abc import Iterable, Sequence

from markupsafe import Markup

from pieces.markup import html, icon, join
from pieces.values import Value, data, look, shown

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")
LISTED = ": "  # what stands before the names of the values that are taken from a source; page.js goes by it too


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


def steps_to(name: str, steps: Sequence[Value]) -> list[Value]:
    """The steps that lead to one result, that result's own last."""
    wanted: set[str] = {name}
    kept: list[Value] = []
    for step in reversed(steps):
        if step["name"] in wanted:
            kept.insert(0, step)
            wanted |= {number["name"] for number in step["numbers"]}
    return kept


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
