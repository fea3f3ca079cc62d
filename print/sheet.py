"""One sheet as HTML: the same page for the browser, for its print dialog and for the PDF."""

import json
import re
from datetime import date
from functools import cache, lru_cache

import jinja2
from markupsafe import Markup

import calculators
from print import pieces, wording
from print.numbers import Numbers

EXAMPLE = "juniper"
LANGUAGES = wording.LANGUAGES


class NoSuchSheet(LookupError):
    """Nobody wrote a sheet of this name."""


class NotInThatLanguage(LookupError):
    """A sheet has no words, or not all of them, in this language."""


def names():
    """The sheets there are, by name."""
    return tuple(sorted(path.stem for path in wording.SHEETS.glob("[!_]*.html")))


def languages(sheet):
    """The languages in which a sheet can be had."""
    return wording.languages(sheet)


def purpose(sheet):
    """What a sheet is for, in a sentence."""
    return wording.words(sheet, "en")["purpose"]


def render(sheet, truck=None, language="en", today=None):
    """A sheet for a truck (a my-truck.json dict; none: the example truck) as it stands on ``today``."""
    if sheet not in names():
        raise NoSuchSheet(f"there is no sheet {sheet!r}; there are {', '.join(names())}")
    if language not in languages(sheet):
        raise NotInThatLanguage(f"{sheet} has no words in {language!r}; it has {', '.join(languages(sheet))}")
    return _environment().get_template(f"{sheet}.html").render(_shown(sheet, truck, language, today))


def _shown(sheet, truck, language, today):
    """All that a template may use."""
    numbers = _numbers(json.dumps(truck, sort_keys=True), str(today or date.today()))
    name = (truck or calculators.example_truck(EXAMPLE)).get("name", "")
    return {
        "sheet": sheet,
        "language": language,
        "words": wording.words(sheet, language),
        "every": wording.words("_every", language),
        "version": calculators.__version__,
        "example": truck is None,
        "truck_name": name,
        "name_of_truck": lambda steps="": _name(name, steps),
        "live": lambda key: _live(key, numbers[key]),
        "caution": _caution,
    }


@lru_cache(maxsize=4)
def _numbers(truck, today):
    """A truck's numbers, made once for all its sheets."""
    return Numbers(json.loads(truck), today)


def _live(key, value):
    """A number that the page's script fills in again for the saved truck."""
    kind = "number none" if value["value"] is None else "number"
    return Markup('<span class="{}" data-live="{}">{}</span>').format(kind, key, value["phrase"])


def _caution(signal, hazard, what_to_do):
    """A caution as on the site's pages, but its triangle is the stylesheet's: a sheet has no sprite to take one from."""
    return Markup(re.sub(r"<svg.*?</svg>", "", pieces.caution(signal, hazard, what_to_do)))


def _name(name, steps):
    """A truck's name; ``steps`` are the lengths above which it is set a size smaller each."""
    size = sum(len(name) > int(step) for step in steps.split())
    fit = Markup(' data-fit="{}" data-size="{}"').format(steps, size) if steps else Markup()
    return Markup('<span class="truck-name" data-live="truck.name"{}>{}</span>').format(fit, name)


@cache
def _environment():
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(wording.SHEETS),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["say"] = jinja2.pass_context(lambda context, text: wording.say(text, context["live"]))
    return environment
