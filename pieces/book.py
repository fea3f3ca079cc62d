"""A truck's book: the form that an entry is written with, and the list of those that are in it."""

from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from pieces.forms import cell, in_cell
from pieces.markup import html, join

EVERY = "every"  # kind of a field that any entry may carry


def entry_form(fields: Sequence[Any], kinds: Mapping[str, str], of: Mapping[str, Sequence[str]]) -> Markup:
    """The form of an entry, closed until it is asked for; ``of`` are the fields that a kind of entry has beside those of all."""
    options = join(html('<option value="{}">{}</option>', kind, words) for kind, words in kinds.items())
    choice = html('<select name="kind" id="entry-kind" aria-describedby="entry-kind-e">{}</select>', options)
    kind = in_cell("entry-kind", "What was it?", choice)
    day = in_cell("entry-date", "Which day?", Markup('<input name="date" id="entry-date" type="date" aria-describedby="entry-date-e">'))
    jobs = next(field.choices for field in fields if field.name == "job")
    places = join(html('<span id="did-{}"></span>', job) for job in jobs)  # where "I did it" leads to
    cells = join(_of_kinds(field, [kind for kind, names in of.items() if field.name in names]) for field in fields)
    return html(
        '{}<form id="entry" class="truck" data-entry aria-label="An entry" novalidate autocomplete="off" hidden>'
        '<div class="group"><div class="cells">{}{}{}</div></div>'
        '<div class="acts"><button class="btn solid" type="submit">Add to the book</button>'
        '<button class="btn" type="button" data-strike hidden>Take it back</button>'
        '<button class="btn" type="button" data-leave>Close</button><p class="message" data-message></p></div></form>',
        places, kind, day, cells)


def book() -> Markup:
    """The entries, newest first, and the ways in and out of the book: its file, and a table for a spreadsheet."""
    return html(
        '<section class="book" data-search-exclude><ol class="entries" data-entries></ol>'
        '<p class="soft" data-no-entry>Nothing stands here yet.</p><button class="btn wide" type="button" data-all-entries hidden></button>'
        '<p class="message" data-file-message></p>'
        '<div class="pencil"><span data-unfiled></span><button class="btn bare" type="button" data-file-book>Save the file</button>'
        '<button class="btn bare" type="button" data-table-book>Save as a spreadsheet</button>'
        '<button class="btn bare" type="button" data-read-in>Read a file in</button>'
        '<a class="btn bare" href="sheets/trucks-record.html">Print the record</a>'
        '<input type="file" accept=".json,.csv,.txt,application/json,text/csv" aria-label="A truck’s file, or a spreadsheet of entries"'
        ' data-read-file hidden></div>{}<script src="assets/book.js" defer></script></section>', rows())


def _of_kinds(field: Any, kinds: Sequence[str]) -> Markup:
    return html('<div class="of" data-of="{}">{}</div>', " ".join(kinds) or EVERY, cell("entry", field, ""))


def rows() -> Markup:
    """What the script repeats: an entry of an earlier visit, one of this visit, and one that was struck."""
    told = '<span class="when">{when}</span><span class="w"><b>{what}</b><span class="f">{lines}</span><span class="f asked">{asked}</span>'
    ends = {"entry": ("<li>", "", "correct", "Correct"), "written": ("<li>", "", "undo-entry", "Undo"),
            "struck": ('<li class="struck">', '<span class="f">Taken back or corrected.</span>', "put-back", "Put back")}
    kinds = {kind: f'{begin}{told}{more}</span><button class="fix" type="button" data-{act}>{says}'
                   '<span class="heard">: {what}, {when}</span></button></li>'
             for kind, (begin, more, act, says) in ends.items()}
    return join(Markup(f'<template data-row="{name}">{row}</template>') for name, row in kinds.items())
