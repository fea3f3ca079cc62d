"""A truck's book: the form that an entry is written with, and the list of those that are in it."""

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from pieces.forms import cell, in_cell
from pieces.markup import html, join

EVERY = "every"  # kind of a field that any entry may carry


def book(fields: Sequence[Any], kinds: Mapping[str, str], of: Mapping[str, Sequence[str]]) -> Markup:
    """What was done and read, and a form for more; ``of`` are the fields that a kind of entry has beside those of all."""
    options = join(html('<option value="{}">{}</option>', kind, words) for kind, words in kinds.items())
    choice = html('<select name="kind" id="entry-kind" aria-describedby="entry-kind-e">{}</select>', options)
    kind = in_cell("entry-kind", "What was it?", choice)
    day = in_cell("entry-date", "Which day?", Markup('<input name="date" id="entry-date" type="date" aria-describedby="entry-date-e">'))
    jobs = next(field.choices for field in fields if field.name == "job")
    places = join(html('<span id="did-{}"></span>', job) for job in jobs)  # where "I did it" leads to
    cells = join(_of_kinds(field, [kind for kind, names in of.items() if field.name in names]) for field in fields)
    return html(
        '<section class="book" data-book>{}<form id="entry" class="truck" data-entry novalidate autocomplete="off">'
        '<div class="group"><div class="cells">'
        '{}{}{}</div></div>'
        '<div class="acts"><button class="btn solid" type="submit">Add to the book</button>'
        '<button class="btn" type="button" data-leave hidden>Leave it as it was</button><p class="message" data-message></p></div></form>'
        '<p class="unfiled" data-unfiled hidden><span></span> <button class="btn" type="button" data-file-book>Save the file</button></p>'
        '<ol class="entries" data-entries></ol>{}<script src="assets/book.js" defer></script></section>', places, kind, day, cells, rows())


def _of_kinds(field: Any, kinds: Sequence[str]) -> Markup:
    return html('<div class="of" data-of="{}">{}</div>', " ".join(kinds) or EVERY, cell("entry", field, ""))


def rows() -> Markup:
    """What a script repeats: an entry that counts, and one that was struck."""
    told = '<span class="when">{when}</span><b>{what}</b><span class="f">{lines}</span><span class="f asked">{asked}</span>'
    correct = ('<button class="btn" type="button" data-correct>Correct</button>'
               '<button class="btn" type="button" data-undo-entry>Undo</button>')
    back = '<button class="btn" type="button" data-put-back>Put back</button>'
    kinds = {"entry": f'<li>{told}<span class="acts">{correct}</span></li>',
             "struck": f'<li class="struck">{told}<span class="f">Taken back or corrected.</span><span class="acts">{back}</span></li>'}
    return join(Markup(f'<template data-row="{name}">{row}</template>') for name, row in kinds.items())
