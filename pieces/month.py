"""The month's check: two short forms, at the seat and outside, and the lines from which its result is made."""

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from pieces.markup import html, icon, join, measured

type Words = Mapping[str, Any]

METERS = (("odometer", "Odometer", "mi", "miles"), ("engine_hours", "Engine hours", "h", "hours"))
SEAT = (*METERS, ("idle_hours", "Idle meter", "h", "hours"), ("def", "DEF added", "gal", "gallons"))
BURNS = (("burns_finished", "Burns finished", "since the check before", "burn"),
         ("burns_broken_off", "Broken off", "key off in a burn", "burn broken off"))
_JAR = '<path class="g" d="M13 4h22v6H13zM15 10c-4 3-6 5-6 10v27q0 5 5 5h20q5 0 5-5V20c0-5-2-7-6-10"/>'
_IN_JAR = {
    "clear": '<path class="g t" d="M9 24h30"/>',
    "water": '<path class="g t" d="M9 24h30"/><path class="g" d="M9 40q4-3 7.500 0t7.500 0 7.500 0 7.500 0"/>'
             '<path class="g t" d="M14 46h5M23 46h5M31 46h4"/>',
    "cloudy": '<path class="g t" d="M9 24h30M9 30l6-6M9 37l13-13M9 44l20-20M11 49l25-25M16 51l23-23M23 51l16-16M30 51l9-9"/>',
    "dirt": '<path class="g t" d="M9 24h30"/><path class="k" d="M12 44h5v4h-5zM19 46h4v4h-4zM26 43h6v5h-6zM32 47h4v3h-4zM17 37h3v3h-3z'
            'M29 34h3v3h-3zM22 40h2v2h-2zM13 33h2v2h-2z"/>',
    "metal": '<path class="g t" d="M9 24h30"/><path class="g" d="M13 47l7-3M24 49l6-5M31 42l5 4M16 38l4 3M27 35l6-3M20 31l3 3"/>',
}
_STICK = Markup(
    '<svg class="stick" viewBox="0 0 350 66" aria-hidden="true"><path class="f" d="M12 28h163v20H12z"/>'
    '<path class="g" d="M18 27h288q8 0 12 8h10M18 49h288q8 0 12-8h10M18 27q-14 0-14 11t14 11"/><circle class="g" cx="338" cy="38" r="10"/>'
    '<path class="g" d="M70 25v26M175 25v26M245 27v8M245 41v8"/><text x="70" y="17">ADD</text><text x="175" y="17">FULL</text></svg>')


def check(words: Words) -> Markup:
    """The form, the place of its result, and what each finding means."""
    return html(
        '<form id="month" class="month" data-month data-search-exclude novalidate autocomplete="off">{}{}'
        '<div class="foot"><p data-told>Nothing told yet</p><button class="btn solid" type="submit">Put it in the book</button></div>'
        '<p class="message" data-message></p></form>'
        '<section class="month" data-month-result data-search-exclude hidden><h2 tabindex="-1" data-head>What changed</h2>'
        '<ol class="since" data-since></ol><table class="nums" data-then><thead><tr><th scope="col" class="words" data-since-day></th>'
        '<th scope="col">Then</th><th scope="col">Now</th></tr></thead><tbody></tbody></table>'
        '<div class="acts"><a class="btn solid" href="index.html">Back to the work order</a>'
        '<button class="btn" type="button" data-undo-check>Undo this check</button></div><p class="message" data-stored></p></section>'
        '<div hidden><template data-month-words>{}</template></div><script src="assets/month.js" defer></script>',
        _seat(), _outside(words), _meanings(words))


def _seat() -> Markup:
    cells = join(_number(*cell) for cell in SEAT)
    steps = join(_counted(*cell) for cell in BURNS)
    return html('<section class="part"><h2 class="part-head">In the seat, key on <small>engine off</small></h2>'
                '<div class="two">{}{}</div></section>', cells, steps)


def _outside(words: Words) -> Markup:
    jars = join(
        html('<label><input type="radio" name="jar" value="{}"><svg viewBox="0 0 48 56" aria-hidden="true">{}</svg>{}</label>',
             row["value"], Markup(_JAR + _IN_JAR[row["value"]]), row["label"]) for row in words["jar"])
    water = html('<label class="water" hidden><span>How much water, about?</span>{}</label>',
                 measured("month", "water", "mL", "milliliters"))
    return html(
        '<section class="part"><h2 class="part-head">Outside, truck cold <small>wheels chocked</small></h2>'
        '<fieldset class="cell"><legend>What is in the jar from the drain?</legend><span class="was" data-was="jar"></span>'
        '<div class="jars">{}</div>{}</fieldset>'
        '<fieldset class="cell"><legend>Oil on the dipstick</legend><span class="was" data-was="oil_mark"></span>{}{}</fieldset>'
        '<fieldset class="cell"><legend>Tires, all of them</legend><span class="was">pressure by gauge, cold</span>{}</fieldset></section>',
        jars, water, _STICK, _choices("oil_mark", words["oil_mark"]), _choices("tires", words["tires"]))


def _number(name: str, label: str, unit: str, spoken: str) -> Markup:
    return html(
        '<div class="cell"><label for="month-{0}">{1}</label><span class="was" data-was="{0}"></span>{2}</div>',
        name, label, measured("month", name, unit, spoken))


def _counted(name: str, label: str, since: str, one: str) -> Markup:
    """A count that may stay empty: what the truck does not show is not nothing."""
    return html(
        '<div class="cell" role="group" aria-label="{1}"><span class="lab">{1}</span><span class="was">{2}</span>'
        '<span class="step" data-step="{0}"><button type="button" aria-label="One less {3}">−</button>'
        '<output data-count>–</output><button type="button" aria-label="One more {3}">+</button></span></div>', name, label, since, one)


def _choices(name: str, rows: Sequence[Words]) -> Markup:
    return html('<div class="seg">{}</div>', join(
        html('<label><input type="radio" name="{}" value="{}">{}</label>', name, row["value"], row["label"]) for row in rows))


def _meanings(words: Words) -> Markup:
    """What each finding that asks for something means, by its field and value."""
    found = [(f"{field}.{row['value']}", row) for field in ("jar", "oil_mark", "tires") for row in words[field] if "level" in row]
    found.append(("burns_broken_off", words["burns_broken_off"]))
    rows = join(html('<li class="{}" data-of="{}">{}<b>{}</b><b class="now" data-now></b><span>{}</span></li>', row["level"], of,
                     icon("stop" if row["level"] == "stop" else "soon"), row["title"], row["do"]) for of, row in found)
    labels = join(html('<span data-label="{}.{}">{}</span>', field, row["value"], row["label"])
                  for field in ("jar", "oil_mark", "tires") for row in words[field])
    moved = Markup('<li class="plain" data-of="moved"><b></b><b class="now" data-now></b><span></span></li>')
    return html("{}{}{}", rows, moved, labels)
