"""The working of an answer, its cautions and its sources."""

from collections.abc import Iterable
from typing import Any

from markupsafe import Markup

from calculators.engine.view import Say, as_it_stands
from pieces.markup import html, icon, join
from pieces.values import Value, data, look

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")


def working(steps: Iterable[Value], own: Iterable[str] = ()) -> Markup:
    """The working, a step a row; ``own`` are the steps that stand for a result nowhere else in the card."""
    own = set(own)
    return html('<ol class="work" data-working>{}</ol>', join(work_row(step, step["name"] in own) for step in steps))


def work_row(step: Value, own: bool = False, marks: Markup | str = "") -> Markup:
    """What | result on one line; formula, numbers, reason and source under it."""
    result = step["result"]
    name = html('{} data-result="{}"{}', look(result), step["name"], data(result)) if own else look(result)
    kinds = html('<span class="f"><span class="kind">{}</span></span>', step["kinds"]) if step["kinds"] else ""
    return html("<li{}><span>{}</span><b{}>{}</b>{}{}</li>", marks, step["what"], name, result["shown"],
                join(html('<span class="f">{}</span>', line) for line in step["lines"]), kinds)


def caution(signal: str, hazard: Any, what_to_do: Any, word: Any = "", sign: bool = True) -> Markup:
    """A caution after ANSI Z535: word, hazard in one bold sentence, what to do."""
    head = signal_word(signal, word, sign)
    return html('<aside class="signal {}">{}<p>{}</p><p>{}</p></aside>', signal.lower(), head, hazard, what_to_do)


def caution_open(signal: str, word: Any = "") -> tuple[Markup, Markup]:
    """What stands before and after a caution's Markdown."""
    return html('<aside class="signal {}" markdown="1">\n{}', signal.lower(), signal_word(signal, word)), Markup("</aside>")


def signal_word(signal: str, word: Any = "", sign: bool = True) -> Markup:
    """Its head, in another language by its ``word``; damage alone gets no sign, nor does paper, whose style draws it."""
    return html('<p class="word">{}{}</p>', icon("alert") if sign and signal != "NOTICE" else "", word or signal)


def cautions(items: Iterable[Value], say: Say = as_it_stands) -> Markup:
    """The cautions of an answer."""
    made = join(caution(c["signal"], c["hazard"], c["text"], say(c["signal"])) for c in items)
    return html("<div data-cautions>{}</div>", made)


def source_line(source: Value) -> Markup:
    """Title, clause, year and kind of a source."""
    return html('{} <span class="kind">{}</span>', source["title"], source["kind"])


def source_list(lines: Iterable[Value]) -> Markup:
    """Sources, each once, with the values taken from it."""
    return html('<ul class="sources" data-sources>{}</ul>', join(map(source_row, lines)))


def source_row(line: Value) -> Markup:
    """One source and what was taken from it."""
    return html("<li>{}: {}</li>", source_line(line), line["values"])
