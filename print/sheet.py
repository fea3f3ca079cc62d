"""One sheet as HTML: the same page for the browser, for its print dialog and for the PDF."""

import json
import re
from datetime import date
from functools import cache, lru_cache

import jinja2
from markupsafe import Markup

import calculators
import pieces
from pieces import charts
from pieces.numbers import Numbers, UnknownNumber
from pieces.wording import say
from print import letters, links, wording

EXAMPLE = "juniper"


class NoSuchSheet(LookupError):
    """Nobody wrote a sheet of this name."""


class NotInThatLanguage(LookupError):
    """A sheet has no words, or not all of them, in this language."""


def names():
    """The sheets there are, in the order of a handover."""
    there = sorted(path.stem for path in wording.SHEETS.glob("[!_]*.html"))
    first = [name for name in wording.read("_every")["order"] if name in there]
    return (*first, *(name for name in there if name not in first))


def languages(sheet):
    """The languages in which a sheet can be had."""
    return wording.languages(sheet)


def purpose(sheet):
    """What a sheet is for, in a sentence."""
    return wording.words(sheet, "en")["purpose"]


def use(sheet):
    """What a sheet is used for: the group it stands in."""
    return wording.read(sheet)["use"]


def in_pack(sheet):
    """Whether a sheet is handed over with the keys; the others are printed when asked for by name."""
    return wording.read(sheet).get("pack", True)


def title(sheet):
    """A sheet's name on paper."""
    return wording.words(sheet, "en")["title"]


def pack_page(pages):
    """One page to choose sheets on and print them together; ``pages`` are the sheets' own, by name."""
    papers = {name: Markup(re.search(r"<main>(.*)</main>", html, re.S)[1]) for name, html in pages.items()}
    first = next(iter(picks().values()))
    sheets = [{"name": name, "title": title(name), "chosen": name in first, "paper": paper} for name, paper in papers.items()]
    return _environment().get_template("_pack.html").render(sheets=sheets, picks=picks())


def picks():
    """Which sheets one click chooses, by what it is called."""
    mine = [name for name in names() if use(name) in ("glovebox", "shop", "emergency")]
    return {"For my truck": mine, "For a handover": [name for name in names() if in_pack(name)], "None": []}


def pack_styles():
    """What hides a sheet that is not chosen."""
    return "".join(f"body:has(#pick-{name}:not(:checked)) #sheet-{name} {{ display: none; }}\n" for name in names())


def name_of(truck):
    """What a truck is called; the example's name where there is none."""
    return (truck or calculators.example_truck(EXAMPLE)).get("name", "")


def is_static(sheet):
    """Whether a sheet is the same for every truck: its truck is a blank to write in."""
    return "blank" in wording.read(sheet)["truck"]


def check(sheet, language):
    """Refuse by name what is no sheet, or has no words in a language."""
    if sheet not in names():
        raise NoSuchSheet(f"there is no sheet {sheet!r}; there are {', '.join(names())}")
    if language not in languages(sheet):
        raise NotInThatLanguage(f"{sheet} has no words in {language!r}; it has {', '.join(languages(sheet))}")


def render(sheet, truck=None, language="en", today=None, fleet=()):
    """A sheet for a truck (a my-truck.json dict; none: the example truck) as it stands on ``today``.

    The fleet's own sheet shows all trucks of ``fleet``.
    """
    check(sheet, language)
    return _environment().get_template(f"{sheet}.html").render(_shown(sheet, truck, language, str(today or date.today()), fleet))


def _shown(sheet, truck, language, today, fleet):
    """All that a template may use."""
    static = is_static(sheet)
    numbers = _day(today) if static else numbers_of(truck, today)
    name = "" if static else name_of(truck)
    return {
        "sheet": sheet,
        "static": static,
        "language": language,
        "words": wording.words(sheet, language),
        "every": wording.words("_every", language),
        "both": _side_by_side(sheet, language),
        "version": calculators.__version__,
        "qr": links.code(sheet),
        "example": truck is None,
        "truck_name": name,
        "name_of_truck": lambda steps="": _name(name, steps),
        "live": lambda key: _live(key, numbers[key]),
        "chart": lambda calculator: charts.figure(numbers.answer(calculator), paper=True, with_table=False),
        "fleet": lambda keys: [_line(each, keys, today) for each in fleet or _examples(truck)],
        "job_name": lambda job: numbers[f"service_due.jobs.{job}.job"]["phrase"],
        "caution": _caution,
    }


def _side_by_side(sheet, language):
    """The words of every language that a sheet has, the one asked for first."""
    order = sorted(languages(sheet), key=lambda each: each != language)
    return [{"language": each, "words": wording.words(sheet, each), "every": wording.words("_every", each)} for each in order]


def _line(truck, keys, today):
    """A truck's name and its words for each key: all that stays of it, for a fleet may be long."""
    numbers = numbers_of(truck, today)
    return letters.drawn(truck["name"]), [numbers[key]["phrase"] for key in keys]


def _examples(truck):
    return [truck] if truck else [calculators.example_truck(name) for name in calculators.example_trucks()]


class Day(dict):
    """The only number on a sheet that is the same for every truck."""

    def __missing__(self, key):
        raise UnknownNumber(key)


@lru_cache(maxsize=4)
def _day(today):
    return Day(today=calculators.facts(today=today)["today"])


def numbers_of(truck, today):
    """A truck's numbers, made once for all its sheets."""
    return _numbers(json.dumps(truck, sort_keys=True), str(today))


@lru_cache(maxsize=4)
def _numbers(truck, today):
    return Numbers(json.loads(truck), today)


def _live(key, value):
    """A number that the page's script fills in again for the saved truck."""
    kind = "number none" if value["value"] is None else "number"
    return Markup('<span class="{}" data-live="{}">{}</span>').format(kind, key, value["phrase"])


def _caution(signal, hazard, what_to_do, word=""):
    """A caution as on the site's pages, but its triangle is the stylesheet's: a sheet has no sprite to take one from."""
    return pieces.caution(signal, hazard, what_to_do, word, sign=False)


def _name(name, steps):
    """A truck's name, or room to write it in; ``steps`` are the lengths above which it is set a size smaller each."""
    name = letters.drawn(name)
    size = sum(len(name) > int(step) for step in steps.split())
    fit = Markup(' data-fit="{}" data-size="{}"').format(steps, size) if steps else Markup()
    return Markup('<span class="truck-name{}" data-live="truck.name"{}>{}</span>').format("" if name else " to-write", fit, name)


@cache
def _environment():
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(wording.SHEETS),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["say"] = jinja2.pass_context(lambda context, text: say(text, context["live"]))
    return environment
