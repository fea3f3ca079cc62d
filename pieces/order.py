"""A saved truck's work order on home, and the small sheet that Done opens wherever a job stands."""

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from pieces.markup import html, icon, join, measured
from pieces.month import METERS

TICK = Markup('<a class="tick" data-did href="records.html"><i aria-hidden="true"></i>'
              '<span>Done<span class="heard">: {name}</span></span></a>')
_PEN = Markup('<svg viewBox="0 0 30 30" aria-hidden="true"><path class="box" d="M3 7h20v20H3z"/><path d="M7 16l6 6L27 3"/></svg>')
_CROSS = Markup('<svg viewBox="0 0 24 24" aria-hidden="true"><path d="M3 3l18 18M21 3 3 21"/></svg>')
_MORE = (("month.html", "This month’s check", "two minutes at the truck", "check"),
         ("records.html", "Your records", "what was done and read", "records"),
         ("#all", "Chapters", "how and why", ""), ("sheets.html", "Sheets", "to print", ""))


def work_order() -> Markup:
    """Its frame; the script fills in the truck's jobs, and nothing of it is there without a truck."""
    cells = join(html('<div><span class="lab">{}<span data-how></span></span><span class="n" data-now="{}"></span></div>', label, name)
                 for name, label in (("odometer_now", "Odometer"), ("engine_hours_now", "Hours")))
    return html(
        '<div class="side once-told" data-search-exclude><section class="order" data-order aria-labelledby="order"><header class="head">'
        '<div><p>Work order for</p><h1 id="order" data-live="truck.name">your truck</h1></div>'
        '<p><span data-weekday></span><a href="my-truck.html">Change truck</a></p></header>'
        '<div class="band">{}<div class="all again"><span class="lab" data-reading></span>'
        '<a class="btn" href="month.html">Read it now</a></div></div>{}<div data-parts></div></section>'
        '<div class="aside"><nav class="slim" aria-label="More">{}</nav><p class="pencil" data-pencil hidden><span></span>'
        '<button class="btn bare" type="button" data-file-order>Save the file</button></p></div>{}</div>'
        '<script src="assets/work-order.js"></script>', cells, _first(), join(_more(*one) for one in _MORE), _rows())


def _first() -> Markup:
    """A reading that is too old is the first job."""
    return Markup(
        '<form class="first" data-first novalidate autocomplete="off" hidden><h2>First: read the odometer</h2><p></p>'
        '<div class="field"><label>'
        '<span class="lab">What does it show today?</span><span class="in"><input name="odometer" type="text" inputmode="decimal"'
        ' aria-describedby="first-u first-e"><span class="u" aria-hidden="true">mi</span><span class="heard" id="first-u">miles</span>'
        '</span></label>'
        '<button class="btn solid" type="submit">Write it down</button></div><p class="err" id="first-e"></p></form>')


def _more(address: str, name: str, what: str, key: str) -> Markup:
    told = Markup(f' data-more="{key}"' if key else "")
    return html('<a href="{}"><span><b>{}</b><span{}>{}</span></span>{}</a>', address, name, told, what, icon("go"))


def _rows() -> Markup:
    told = '<b>{name}</b><span class="falls">{when}</span><span class="by">{brought_by}</span>'
    rows = {
        "order-part": '<section class="part"><h2>{head}<small>{count}</small></h2><ul class="due-jobs"></ul></section>',
        "order-fold": '<details class="more-jobs"><summary><span>{head}<small>{what}</small></span><i aria-hidden="true">+</i></summary>'
                      '<ul class="due-jobs"></ul></details>',
        "order-job": f'<li><a class="job" href="oil-and-service.html#what-is-due-and-when">{told}</a>{TICK}</li>',
        "order-did": f'<li class="did"><span class="job">{told}</span><button class="tick" type="button" data-undo-did>{_PEN}<span>Undo'
                     '<span class="heard">: {name}</span></span></button></li>',
        "order-nothing": '<p class="nothing">Nothing this month. {next}</p>',
    }
    return join(Markup(f'<template data-row="{name}">{row}</template>') for name, row in rows.items())


def done_sheet(jars: Sequence[Mapping[str, Any]]) -> Markup:
    """The entry of a job, with what the guide knows filled in."""
    days = join(_radio("day", value, label) for value, label in (("today", "Today"), ("yesterday", "Yesterday"), ("other", "Other day")))
    jar = join(_radio("jar", row["value"], row["label"]) for row in jars)
    receipt = join(_radio("receipt", value, label) for value, label in (("yes", "Yes"), ("no", "No")))
    meters = join(_meter(*one) for one in METERS)
    return html(
        '<div><dialog class="done-sheet" data-done-sheet data-search-exclude aria-labelledby="done-head">'
        '<form novalidate autocomplete="off"><header><div>'
        '<p class="soft">Done on <span data-done-truck></span></p><h2 id="done-head" tabindex="-1">A job</h2></div>'
        '<button class="x" type="button" data-close-sheet aria-label="Close, nothing is written">{cross}</button></header>'
        '<div class="lines"><fieldset class="all"><legend class="lab">Which day?</legend><div class="seg">{days}</div>'
        '<span class="in" data-other hidden><input type="date" name="date" aria-label="Which other day?"></span>'
        '<span class="err" id="done-date-e"></span></fieldset>{meters}<p class="all soft" data-from></p>'
        '<fieldset class="all" data-extra="separator_drain" hidden><legend class="lab">What is in the jar?</legend>'
        '<div class="seg five">{jar}</div></fieldset>'
        '<label class="all" data-extra="engine_oil" hidden><span class="lab">Oil put in, if you know</span>{oil}</label>'
        '<fieldset class="all"><legend class="heard">Receipt kept?</legend>'
        '<div class="answer-row"><span aria-hidden="true">Receipt kept?</span>'
        '<div class="seg">{receipt}</div></div></fieldset>'
        '<label class="all"><span class="lab">Note, if you like</span><span class="in"><input name="note" type="text" maxlength="500"'
        ' placeholder="part number, who did it, cost"></span></label></div>'
        '<div class="write"><button class="btn solid" type="submit">Add to the book</button><p class="soft" data-sheet-says>'
        'Wrong job? The next screen has Undo. Later: Your records.</p></div></form></dialog></div>'
        '<p class="did-line" data-did-line data-search-exclude hidden><span></span><button class="btn" type="button">Undo</button></p>'
        '<script src="assets/done.js" defer></script>', cross=_CROSS, days=days, meters=meters, jar=jar, receipt=receipt,
        oil=measured("done", "oil_added", "qt", "quarts"))


def _radio(name: str, value: str, label: str) -> Markup:
    return html('<label><input type="radio" name="{}" value="{}">{}</label>', name, value, label)


def _meter(name: str, label: str, unit: str, spoken: str) -> Markup:
    return html('<label><span class="lab">{1}<b data-about="{0}" hidden>, about</b></span>{2}</label>',
                name, label, measured("done", name, unit, spoken))
