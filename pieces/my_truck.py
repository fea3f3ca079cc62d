"""My truck: six questions first, what would change the answers most, whom to call, then every fact once, by group."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from calculators.engine.figures import OF_ENGINES
from pieces.forms import by_row, cell, fold_head, in_cell, job_fold
from pieces.markup import html, ident, join
from pieces.questions import ASKED, LABEL, SHARPENED, door_label, questions, sharpen

__all__ = ["SHARPENED", "truck_form"]
LAST = "Only if you know better"  # what follows from other facts unless told
ASSUMED = "The guide’s assumptions"  # what a truck's owner seldom knows: constants of the trade and of engines
_CONSTANTS = ("standard", "handbook", "from memory")
CALLED = (("call_service", "The shop that knows the truck"), ("call_tow", "Who tows it"), ("call_boss", "The boss, or whoever decides"))

type Value = Mapping[str, Any]


def truck_form(fields: Sequence[Any], inputs: Value, truck: str, homes: Mapping[str, tuple[str, str]] = {}) -> Markup:
    """The whole form; every field stands once and is empty, the example in it as a hint.

    ``homes`` say where calculators stand: their address and their question.
    """
    def write(field: Any) -> Markup:
        example = inputs[field.name]["text"] if field.name in inputs else "not known"
        hint = "not told" if field.source.told_only else "worked out" if field.derived else example
        return cell("truck", field, "", hint)

    asked = {field.name: field for field in fields}
    groups: dict[str, list[Any]] = {}
    for field in fields:
        if field.source.record or field.kind == "date" or field.name in (*ASKED, *LABEL):  # on a day: in the book; or asked above
            continue
        groups.setdefault(_group(field), []).append(field)
    in_order = sorted(groups.items(), key=lambda item: (item[0] == ASSUMED, item[0] == LAST))
    return html(
        '<form id="truck" class="truck" data-truck data-search-exclude novalidate autocomplete="off">{six}{label}{sharpen}{call}'
        '<section class="all-facts" aria-labelledby="all-facts"><h2 class="cut" id="all-facts">All facts</h2>'
        '<p class="lede">Everything else this guide can count with. Leave out what you don’t know.</p>'
        '<p class="left-out" data-left-out hidden></p><div class="groups">{groups}</div>'
        '<div class="acts">{save}<p class="message" data-message></p></div></section></form>{acts}{confirm}{kept}'
        '<script src="assets/six-questions.js" defer></script><script src="assets/my-truck.js" defer></script>',
        six=questions(asked, truck_name(truck), write), label=door_label(asked, write), sharpen=sharpen(homes), call=called(),
        groups=join(truck_group(group, own, write) for group, own in in_order),
        save=Markup('<button class="btn solid" type="submit">Save my truck</button>'), acts=TRUCK_ACTS, confirm=CONFIRM, kept=KEPT)


def _group(field: Any) -> str:
    if field.derived:
        return LAST
    return ASSUMED if not field.row and (field.source.kind in _CONSTANTS or field.group == OF_ENGINES) else str(field.group)


def truck_name(example: str) -> Markup:
    """What its owner calls it."""
    entry = html('<input name="name" id="truck-name" aria-describedby="truck-name-e" type="text"'
                 ' maxlength="80" value="" placeholder="{}">', example)
    return in_cell("truck-name", "What you call it", entry)


def called() -> Markup:
    """Whom to call: kept on the device, never in a link."""
    cells = join(in_cell(f"truck-{name}", label, html(
        '<input name="identity.{0}" id="truck-{0}" aria-describedby="truck-{0}-e" type="tel" inputmode="tel" maxlength="30">', name))
        for name, label in CALLED)
    return html('<section class="called" aria-labelledby="who-to-call"><h2 class="cut" id="who-to-call">Who to call</h2>'
                '<p class="lede">They become the call buttons under <a href="light.html#call">A light is on</a>.'
                ' They stay on this device and in the file you save, never in a link.</p><div class="cells">{}</div></section>', cells)


TRUCK_ACTS = Markup(
    '<div class="acts" data-truck-acts><button class="btn" type="button" data-export>Save as file</button>'
    '<button class="btn" type="button" data-import>Open a file</button>'
    '<button class="btn" type="button" data-calendar hidden>Service dates for your calendar</button>'
    '<input type="file" accept=".json,application/json" aria-label="A truck’s file" data-file hidden>'
    '<button class="btn" type="button" data-clear>Clear</button></div>')
CONFIRM = Markup(
    '<div class="confirm" data-confirm hidden><p>This removes the truck from this browser. A file you saved stays.</p>'
    '<div class="acts"><button class="btn solid" type="button" data-clear-yes>Clear it</button>'
    '<button class="btn" type="button" data-clear-no>Keep it</button></div></div>')
KEPT = Markup(
    '<div class="signal notice" data-kept hidden><p class="word">NOTICE</p><p>Something was kept aside.</p><p data-kept-why></p>'
    '<div class="acts"><button class="btn" type="button" data-kept-save>Save what was kept as a file</button>'
    '<button class="btn" type="button" data-kept-drop>Let it go</button></div></div>')


def truck_group(group: str, fields: Sequence[Any], write: Callable[[Any], Markup]) -> Markup:
    """One group, folded; a group of jobs has a fold for each."""
    cells = join(map(write, _ratings_first(field for field in fields if not field.row)))
    cells = html('<div class="cells">{}</div>', cells) if cells else cells
    kind = "did" if fields[0].name.startswith("done.") else "every"
    folds = join(job_fold(ident(kind, job), own, write) for job, own in by_row(fields).items())
    assumed = Markup(" data-assumptions" if group == ASSUMED else "")
    return html('<details class="group"{}>{}{}{}</details>', assumed, fold_head(group), cells, folds)


def _ratings_first(fields: Iterable[Any]) -> list[Any]:
    return sorted(fields, key=lambda field: not field.name.endswith("_rating"))
