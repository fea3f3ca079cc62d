"""Forms as HTML, made from the calculators' declarations."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from calculators.engine.entries import READ_ON
from calculators.engine.show import unit_words
from calculators.engine.view import Say, as_it_stands
from pieces.markup import html, ident, join

type Value = Mapping[str, Any]


def form(name: str, fields: Sequence[Any], inputs: Value, truck: str, say: Say = as_it_stands) -> Markup:
    """A calculator's form, holding what the answer was made from; what belongs to one job is folded."""
    def write(field: Any) -> Markup:
        return cell(name, field, inputs[field.name]["text"] if field.name in inputs else "", say=say)

    return html(
        '<form id="{name}" data-form data-state="example" data-search-exclude novalidate autocomplete="off">'
        '<div class="cells">{cells}</div>{folds}'
        '<div class="acts"><button class="btn" type="button" data-undo disabled>{undo}</button>'
        '<button class="btn" type="button" data-back disabled>{back}</button>'
        '<button class="btn" type="button" data-drop-linked hidden>{drop}</button>{keep}</div>'
        '<p class="busy" data-message></p></form>',
        name=name, undo=say("Undo"), back=say(f"Back to {truck}"), drop=say("Use mine"), keep=_KEEP if any(map(_stays, fields)) else "",
        cells=grouped([field for field in fields if not field.row], write, say),
        folds=_jobs([job_fold(ident(name, job), own, write) for job, own in by_row(fields).items()]))


def _jobs(folds: Sequence[Markup]) -> Markup:
    """What is asked of each job; not to know it is an answer, as in the six questions."""
    unknown = Markup('<p class="quiet">When was each last done? Leave empty what you don’t know: the list says what to do about it.</p>')
    return html("{}{}", unknown, join(folds)) if folds else Markup()


_READINGS = {*READ_ON, *READ_ON.values()}
_KEEP = Markup('<button class="btn solid" type="button" data-keep hidden></button>')  # what was tried, for the truck


def _stays(field: Any) -> bool:
    """Whether it is a fact of the truck: not of one occasion, and not what a meter showed or was done, which the book holds."""
    return not (field.source.passing or field.source.record or field.source.name in _READINGS)


def grouped(fields: Iterable[Any], write: Callable[[Any], Markup], say: Say = as_it_stands) -> Markup:
    """Cells by group, each under its head."""
    groups: dict[str, list[Markup]] = {}
    for field in fields:
        groups.setdefault(field.group, []).append(write(field))
    return join(html('<div class="sub">{}</div>{}', say(group), join(cells)) for group, cells in groups.items())


def by_row(fields: Iterable[Any]) -> dict[str, list[Any]]:
    """Fields told once a job, by job."""
    rows: dict[str, list[Any]] = {}
    for field in fields:
        if field.row:
            rows.setdefault(field.row, []).append(field)
    return rows


def job_fold(at: str, fields: Sequence[Any], write: Callable[[Any], Markup]) -> Markup:
    """What is told of one job, closed."""
    job = fields[0].row_label
    return html('<details class="job" id="{}">{}<div class="cells" role="group" aria-label="{}">{}</div></details>',
                at, fold_head(job), job, join(map(write, fields)))


def fold_head(title: str) -> Markup:
    """What a fold is, and how much is told in it."""
    return html('<summary>{} <span class="told" data-told></span><i aria-hidden="true">+</i></summary>', title)


def cell(form_name: str, field: Any, value: str, example: str = "", say: Say = as_it_stands) -> Markup:
    """One question: the whole cell is the target, its unit at the right, its error under it.

    With ``example`` the cell is empty and the example stands in it as a hint.
    """
    at = ident(form_name, field.name)
    described = f"{at}-u {at}-e" if _has_unit(field) else f"{at}-e"
    stays = "" if _stays(field) else Markup(" data-passes")
    common = html('name="{}" id="{}" aria-describedby="{}"{}', field.name, at, described, stays)
    return in_cell(at, say(field.question), html("{}{}", _entry(field, common, value, example, say), _unit(field, at, say)))


def in_cell(at: str, question: Any, entry: Markup) -> Markup:
    """The ruled box of one question."""
    return html(
        '<div class="cell"><label for="{0}">{1}</label><span class="in">{2}</span>'
        '<span class="err" id="{0}-e"></span></div>', at, question, entry)


def _entry(field: Any, common: Markup, value: str, example: str, say: Say) -> Markup:
    if field.kind in ("choice", "yes/no"):
        return _choice(field, common, value, example, say)
    if field.kind == "text":
        return html('<input {} type="text" maxlength="200" value="{}">', common, value)
    if field.kind == "date":
        return html('<input {} type="date" value="{}">', common, value)
    # Phones give a decimal keypad no minus sign, so what may fall below nothing gets the full one.
    mode = "text" if isinstance(field.low, int | float) and field.low < 0 else "decimal"
    hint = html(' placeholder="{}"', example) if example else ""
    return html('<input {} type="text" inputmode="{}" value="{}"{}>', common, mode, value, hint)


def _choice(field: Any, common: Markup, value: str, example: str, say: Say) -> Markup:
    choices = list(zip(field.choices, field.choice_labels, strict=True)) if field.choices else [("yes", "yes"), ("no", "no")]
    if example:
        choices.insert(0, ("", f"Example: {dict(choices).get(example, example)}"))
    elif field.optional or not value:
        choices.insert(0, ("", "not known"))
    chosen = Markup(" selected")
    options = (html('<option value="{}"{}>{}</option>', told, chosen if told == value else "", str(say(words))) for told, words in choices)
    return html("<select {}>{}</select>", common, join(options))


def _has_unit(field: Any) -> bool:
    return field.kind == "number" and bool(field.units)


def _unit(field: Any, at: str, say: Say) -> Markup:
    """The unit as it is seen, and in full words for who hears the field."""
    if not _has_unit(field):
        return Markup()
    heard = html('<span class="heard" id="{}-u">{}</span>', at, say(unit_words(field.units[0][0])))
    if len(field.units) == 1:
        return html('<span class="u" data-unit="{}" aria-hidden="true">{}</span>{}', *field.units[0], heard)
    options = join(html('<option value="{}" data-words="{}">{}</option>', told, str(say(unit_words(told))), words)
                   for told, words in field.units)
    return html('<select data-unit-for="{}" aria-label="{}">{}</select>{}', field.name, str(say(f"Unit: {field.question}")), options, heard)
