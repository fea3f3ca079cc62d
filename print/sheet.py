"""One sheet as HTML: the same page for the browser, for its print dialog and for the PDF."""

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import cache, lru_cache
from typing import Any, NoReturn

import jinja2
from markupsafe import Markup, escape

import calculators
import pieces
from calculators.engine.book_record import Record
from pieces import charts
from pieces.numbers import Numbers, UnknownNumber, Value
from pieces.wording import say
from print import choice, letters, links, overview, record, said, wording
from print.of_the_day import OfTheDay

EXAMPLE = "juniper"
# How many letters fit the cell of each.
IDENTITY = {"unit": 10, "vin": 17, "plate": 10, "driver": 20, "location": 18, "model_year": 6, "tire_size": 13}
HELD = {"make": 16, "owner": 26}  # on a record only
names, known = choice.names, choice.known

type Truck = Mapping[str, Any]  # as my-truck.json holds it; none is the example truck


class NotInThatLanguage(LookupError):
    """A sheet has no words, or not all of them, in this language."""


def languages(sheet: str) -> tuple[str, ...]:
    """The languages in which a sheet can be had."""
    return wording.languages(sheet)


def language(sheet: str, wanted: str) -> str:
    """The language in which a sheet is made: the one that is wanted, if it has words in it."""
    return wanted if wanted in languages(sheet) else "en"


def purpose(sheet: str) -> str:
    """What a sheet is for, in a sentence."""
    return str(wording.words(sheet, "en")["purpose"])


def title(sheet: str, language: str = "en") -> str:
    """A sheet's name on paper."""
    return str(wording.words(sheet, language)["title"])


def pack_page(pages: Mapping[str, str]) -> str:
    """One page to choose sheets on and print them together; ``pages`` are the sheets' own, by name."""
    first = next(iter(picks().values()))
    sheets = [{"name": name, "title": title(name), "chosen": name in first, "paper": _paper(html)} for name, html in pages.items()]
    return _environment(page=True).get_template("_pack.html").render(sheets=sheets, picks=picks())


def _paper(html: str) -> Markup:
    found = re.search(r"<main>(.*)</main>", html, re.S)
    assert found, "every sheet stands in its <main>"
    return Markup(found[1])


def picks() -> dict[str, list[str]]:
    """Which sheets one click chooses, by what it is called."""
    groups = choice.groups()
    mine = [name for name in names() if any(name in groups[group]["sheets"] for group in ("glovebox", "shop", "emergency"))]
    return {"For my truck": mine, **{told["pick"]: list(choice.in_pack(pack)) for pack, told in choice.packs().items()}, "None": []}


def pack_styles() -> str:
    """What hides a sheet that is not chosen."""
    return "".join(f"body:has(#pick-{name}:not(:checked)) #sheet-{name} {{ display: none; }}\n" for name in names())


def name_of(truck: Truck | None) -> str:
    """What a truck is called; the example's name where there is none."""
    return str((truck or calculators.example_truck(EXAMPLE)).get("name", ""))


def is_static(sheet: str) -> bool:
    """Whether a sheet is the same for every truck: its truck is a blank to write in."""
    return "blank" in wording.read(sheet)["truck"]


def check(sheet: str, language: str) -> None:
    """Refuse by name what is no sheet, or has no words in a language."""
    known([sheet])
    if language not in languages(sheet):
        raise NotInThatLanguage(f"{sheet} has no words in {language!r}; it has {', '.join(languages(sheet))}")


def render(sheet: str, truck: Truck | None = None, language: str = "en", today: date | str | None = None,
           fleet: Sequence[overview.Line] = ()) -> str:
    """A sheet for a truck (a my-truck.json dict; none: the example truck) as it stands on ``today``.

    A fleet's own sheets show all trucks of ``fleet``, lines of an overview.
    """
    check(sheet, language)
    day = str(today or date.today())
    numbers: Numbers = Nothing() if is_static(sheet) else numbers_of(truck, day)
    more = {"fleet": lambda: fleet or _examples(truck, day), "record": lambda: record.of(truck or calculators.example_truck(EXAMPLE), day)}
    return _filled(sheet, truck, language, numbers, more)


def of_the_day(sheet: str, truck: Truck, language: str, today: str) -> str:
    """The same with nothing in it but what goes by the day; only to be compared, so what a page would need is left out."""
    more = {"fleet": list, "record": Record, "caution": lambda *_: ""}
    return _filled(sheet, truck, language, day_of(truck, today), more, page=False)


def _filled(sheet: str, truck: Truck | None, language: str, numbers: Numbers, more: dict[str, Any], page: bool = True) -> str:
    return _environment(page).get_template(f"{sheet}.html").render(_shown(sheet, truck, language, numbers) | more)


def _shown(sheet: str, truck: Truck | None, language: str, numbers: Numbers) -> dict[str, Any]:
    """All that a template may use."""
    static = is_static(sheet)
    name = "" if static or sheet in choice.of_a_fleet() else name_of(truck)
    every = wording.words("_every", language)
    return {
        "sheet": sheet,
        "static": static,
        "language": language,
        "words": wording.words(sheet, language),
        "every": every,
        "both": _side_by_side(sheet, language),
        "version": calculators.__version__,
        "qr": links.code(sheet),
        "example": truck is None,
        "truck_name": name,
        "name_of_truck": lambda steps="": _name(name, steps),
        "live": lambda key, short=False: _live(key, numbers[key], language, short),
        "is_known": lambda key: numbers[key]["value"] is not None,
        "state": lambda key: _state(key, numbers[key], language),
        "identity": _identity(truck, IDENTITY),
        "known": lambda fields: _identity(truck, fields),
        "delivered": _delivered(truck, language),
        "chart": lambda calculator: _chart(numbers, calculator),
        "overview": overview,
        "label": calculators.show.label,
        "jobs_of_truck": lambda: [row["job"]["value"] for row in numbers.answer("service_due")["results"]["jobs"]],
        "day": lambda told: said.day(told, language),
        "job_name": lambda job: said.phrase({"value": job, "phrase": calculators.show.words(job).phrase}, language),
        "caution": lambda signal, hazard, what_to_do, word="": _caution(signal, hazard, what_to_do, word or every[signal]),
        "has": lambda need: choice.has(need, truck),
    }


def _identity(truck: Truck | None, fields: Iterable[str]) -> dict[str, str]:
    """By what a truck is known beside its name, as far as it fits its cell."""
    told = (truck or {}).get("identity", {})
    return {field: letters.fitting(told.get(field, ""), (IDENTITY | HELD)[field]) for field in fields}


def _delivered(truck: Truck | None, language: str) -> str:
    """The day a truck was put in service, if its book tells one."""
    days = [entry.get("date") for entry in (truck or {}).get("book", ()) if entry.get("kind") == "delivery" and entry.get("date")]
    return said.day(max(days), language) if days else ""


def _side_by_side(sheet: str, language: str) -> list[dict[str, Any]]:
    """The words of every language that a sheet has, the one asked for first."""
    order = sorted(languages(sheet), key=lambda each: each != language)
    return [{"language": each, "words": wording.words(sheet, each), "every": wording.words("_every", each)} for each in order]


def _chart(numbers: Numbers, calculator: str) -> Markup | str:
    answer = numbers.answer(calculator)
    if "answer" not in answer or (numbers.is_own and answer.get("answer_rests_on") == "example"):
        return ""
    return charts.figure(answer, paper=True, with_table=False)


def _examples(truck: Truck | None, today: str) -> list[overview.Line]:
    trucks = [truck] if truck else [calculators.example_truck(name) for name in calculators.example_trucks()]
    return [overview.line(each["name"], each, numbers_of(each, today).answer("service_due"), today, stock=True) for each in trucks]


class Nothing(Numbers):
    """A sheet that is the same for every truck, on every day, shows no number."""

    def __getitem__(self, key: str) -> NoReturn:
        raise UnknownNumber(key)

    def answer(self, calculator: str) -> NoReturn:
        raise UnknownNumber(calculator)


def numbers_of(truck: Truck | None, today: date | str) -> Numbers:
    """A truck's numbers, made once for all its sheets."""
    return _numbers(json.dumps(truck, sort_keys=True), str(today))


@lru_cache(maxsize=4)
def _numbers(truck: str, today: str) -> Numbers:
    return Numbers(json.loads(truck), today)


def day_of(truck: Truck, today: str) -> OfTheDay:
    """What of a truck's numbers goes by the day, made once for all its sheets."""
    return _of_the_day(json.dumps(truck, sort_keys=True), str(today))


@lru_cache(maxsize=4)
def _of_the_day(truck: str, today: str) -> OfTheDay:
    return OfTheDay(json.loads(truck), today)


def _live(key: str, value: Value, language: str, short: bool = False) -> Markup:
    """A number that the page's script fills in again for the saved truck; where it is ``short``, a dash says that there is none.

    What only its owner could tell is a blank to write in; what rests on the example too is marked.
    The script tells it in English, so only a sheet in English is filled in.
    """
    kind = "number none" if value["value"] is None else "number"
    fill = f' data-live="{escape(key)}"{" data-short" if short else ""}' if language == "en" else ""
    partly = ' data-rests="partly"' if value.get("rests_on") == "partly" else ""
    shown = "—" if short and value["value"] is None and value["phrase"] else said.phrase(value, language)
    return Markup(f'<span class="{kind}"{fill}{partly}>{escape("" if _asked_for(value) else shown)}</span>')


def _asked_for(value: Value) -> bool:
    """Whether only its owner could tell it and did not; a job without a record says so."""
    return not all(key.startswith("done.") for key in value.get("tell", ()))


def _state(key: str, value: Value, language: str) -> Markup:
    """What the style goes by and nobody reads."""
    fill = f' data-live="{escape(key)}"' if language == "en" else ""
    return Markup(f'<span class="state" hidden{fill} data-value="{escape(_plain(value["value"]))}"></span>')


def _plain(value: Any) -> str:
    """A value as the page's script writes it: a whole number without a point."""
    return json.dumps(int(value) if isinstance(value, float) and value.is_integer() else value).strip('"')


def _caution(signal: str, hazard: str, what_to_do: str, word: str) -> Markup:
    """A caution as on the site's pages, but its triangle is the stylesheet's: a sheet has no sprite to take one from."""
    return pieces.caution(signal, hazard, what_to_do, word, sign=False)


def _name(name: str, steps: str) -> Markup:
    """A truck's name, or room to write it in; ``steps`` are the lengths above which it is set a size smaller each."""
    name = letters.drawn(name)
    size = sum(len(name) > int(step) for step in steps.split())
    fit = Markup(' data-fit="{}" data-size="{}"').format(steps, size) if steps else Markup()
    return Markup('<span class="truck-name{}" data-live="truck.name"{}>{}</span>').format("" if name else " to-write", fit, name)


@cache
def _environment(page: bool) -> jinja2.Environment:
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(wording.SHEETS),
        autoescape=page,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["whole"] = lambda value: "" if value is None else f"{value:,.0f}"
    environment.filters["say"] = jinja2.pass_context(lambda context, text: say(text, context["live"]))
    return environment
