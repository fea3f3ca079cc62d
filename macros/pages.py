"""What the macros say on each page, and which numbers a page has used: its last line shows their slips."""

import difflib
import re
from collections.abc import Callable, Iterable, Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from markupsafe import Markup

import calculators
import pieces
from calculators import Field, Figure
from calculators.engine import view
from calculators.engine.book_view import KINDS
from calculators.engine.due import due
from calculators.engine.entries import METERS
from calculators.engine.figures import ENTRY, ENTRY_KINDS, FIGURES, TABLES
from calculators.engine.form import fields
from calculators.engine.measured import RECORDS
from calculators.engine.owner import owner
from calculators.engine.records_view import records_view
from calculators.engine.view import as_it_stands
from macros import light, two_languages
from pieces import charts, month, my_truck, order
from pieces.markup import ident
from pieces.numbers import Numbers, UnknownNumber
from pieces.wording import AND, number
from print import choice, wording
from print.day import build_day

type Value = Mapping[str, Any]  # one number with its words, or a whole answer: the contract's JSON
type Row = Mapping[str, Value]
type Given = Mapping[str, str | float]  # what a chapter tells a calculator, by input
type Caller = Callable[[], str]  # what stands between `call` and `endcall`

_OF_EXAMPLE = f"The example’s: worked out for {calculators.example_name()}."
SLIP_STEPS = 3  # of the working, the last; its calculator shows all
_CALLED = re.compile(r"""\{\{\s*calculator\(\s*["'](\w+)["']""")


class Pages:
    """The macros themselves; each takes the page it stands on first."""

    def __init__(self, docs: str) -> None:
        self._docs = Path(docs)
        self._today = build_day()
        self._numbers = Numbers(today=self._today.isoformat())
        self._open: str | None = None  # the page that has used numbers and not yet shown their slips
        self._used: dict[str, Markup | None] = {}
        self._both: set[str] = set()  # pages in English and Spanish

    # The macros -------------------------------------------------------------------------------

    def live(self, page: str, key: str, language: str = "en", **given: str | float) -> Markup:
        """A number in a sentence, with its slip at the page's end; ``given`` inputs make it the same for every truck."""
        if language != "en":
            return self._in_language(page, key, language, given)
        if given:
            return self._fixed(page, key, given)
        phrase, slip = self._number(page, key)
        self._use(page, key, slip)
        return pieces.live(key, phrase)

    def do_this(self, page: str, job: str = "", check: str = "", language: str = "en", once: bool = False, *, caller: Caller) -> str:
        """The box that opens a chapter: at most three steps, by when, and two buttons; said ``once``, it goes when a truck is saved."""
        steps = caller().strip()
        if len(re.findall(r"^\d+\.", steps, re.MULTILINE)) > 3:
            raise ValueError("at most three steps")
        day = pieces.date_slip(self._job(job), calculators.example_name()) if job else ""
        if job:
            self._use(page, "jobs")
        at = f"do-{job or 'this'}{'' if language == 'en' else f'-{language}'}"
        # A heading of the third level stands in no list of headings: the page has one there already.
        head, level = two_languages.words("spanish")["pieces"]["do_this"][language], 2 if language == "en" else 3
        before, after = pieces.do_this(at, day, pieces.do_this_acts(job, self._address(page, check) if check else ""), head, level,
                                       once=once)
        return f"{before}\n\n{steps}\n\n{after}"

    def caution(self, page: str, signal: str, hazard: str, language: str = "en", *, caller: Caller) -> str:
        """A caution by its signal word; what to do is Markdown."""
        if signal not in pieces.SIGNALS:
            raise ValueError(f"write one of {', '.join(pieces.SIGNALS)}")
        before, after = pieces.caution_open(signal, wording.words("_every", language)[signal])
        return f"{before}\n\n{hazard}\n\n{caller().strip()}\n\n{after}"

    def calculator(self, page: str, name: str, both: bool = False) -> Markup:
        """A calculator's card, answered for the example truck; in ``both`` languages where all its words have them."""
        answer = self._answer(name)
        self._use(page, f"calculator {name}")
        moved = calculators.sensitivity(name, today=self._today.isoformat())
        return pieces.card(answer, calculators.form(name), truck=calculators.example_name(), as_of=self._as_of(answer),
                           chart=charts.figure(answer), charted=charts.lists(name), moves=charts.sensitivity(answer, moved),
                           say=two_languages.in_both if both else as_it_stands, pairs=two_languages.pairs() if both else "")

    def job_table(self, page: str) -> Markup:
        """Every service job by due date."""
        self._use(page, "jobs")
        return pieces.job_table(self._due)

    def next_jobs(self, page: str, count: int = 4) -> Markup:
        """The jobs that come next."""
        self._use(page, "jobs")
        return pieces.next_jobs(self._due, count)

    def drawing(self, page: str, name: str) -> Markup:
        """One of our drawings, in the page itself so that it takes the page's colors."""
        found = [path for path in (self._docs / "drawings" / f"{name}.{kind}" for kind in ("svg", "html")) if path.exists()]
        if not found:
            raise ValueError(f"docs/drawings has no {name}.svg")
        return pieces.raw(found[0].read_text("utf-8"))

    def lights(self, page: str) -> Markup:
        """A light is on: the whole page, English and Spanish."""
        def live(key: str, language: str) -> Markup:
            return self.live(page, key, language)
        self._both.add(page)
        return light.page(live)

    def light_steps(self, page: str, entry: str) -> str:
        """What a light asks for, in a chapter: the same words as there, a numbered list."""
        return light.steps(entry, lambda key, language: self.live(page, key, language))

    def language_choice(self, page: str) -> Markup:
        """Both languages of a page, or one."""
        self._both.add(page)
        return two_languages.choice() + two_languages.keep()

    def every_answer(self, page: str, name: str, field: str) -> Markup:
        """What a calculator of wrong fluids says to each choice of one field, in both languages."""
        asked = next(each for each in calculators.form(name) if each.name == field)
        return two_languages.every_answer([self._answers(name, field, *choice)
                                           for choice in zip(asked.choices, asked.choice_labels, strict=True)])

    def truck_form(self, page: str) -> Markup:
        """My truck: every fact, asked once."""
        self._use(page, "truck")
        homes = {name: (self._address(page, name), calculators.question(name)) for name in my_truck.SHARPENED if name in self._home_of}
        known = calculators.facts(today=self._today.isoformat())
        return my_truck.truck_form(calculators.truck_form(), known, calculators.example_name(), homes)

    def records(self, page: str) -> Markup:
        """What the truck's book says: sentences, charts, what waits; and the form of an entry."""
        self._use(page, "truck")
        book = owner(None, {}, self._today.isoformat()).book
        view_of = records_view(self._answer(RECORDS), calculators.example_name(), book.entries, ())  # nothing of an example's waits
        return pieces.records(view_of, self._entry_form())

    def _entry_form(self) -> Markup:
        jobs, lights = TABLES["job"], [entry["id"] for entry in two_languages.words("light")["entries"]]
        lamps = {entry["id"]: entry["name"]["en"] for entry in two_languages.words("light")["entries"]}
        known = {"job": {job: calculators.show.words(job).phrase for job in jobs}, "light": {light: lamps[light] for light in lights}}
        names = [*METERS, *dict.fromkeys(name for kind in KINDS for name in ENTRY_KINDS[kind]), "note"]
        asked = [_entry_field(name, known.get(name, {})) for name in names]
        return pieces.entry_form(asked, KINDS, {kind: ENTRY_KINDS[kind] for kind in KINDS})

    def book(self, page: str) -> Markup:
        """The entries that are in the truck's book."""
        return pieces.book()

    def month_check(self, page: str) -> Markup:
        """The month's check, and what each finding means."""
        return month.check(two_languages.words("month"))

    def sheets(self, page: str) -> str:
        """Every sheet to print, under the heads of the table that packs are made from."""
        return "\n\n".join(f"## {group['title']}\n\n{group['says']}\n\n{pieces.sheets(map(_sheet, group['sheets']))}"
                           for group in choice.groups().values())

    def work_order(self, page: str) -> Markup:
        """What a saved truck wants done, on home."""
        self._use(page, "jobs")
        return order.work_order()

    def values(self, page: str) -> Markup:
        """Every value of the data file, by group."""
        groups: dict[str, list[Value]] = {}
        for figure in FIGURES.values():
            groups.setdefault(figure.group or "Constants and published values", []).append(_row_of(figure))
        return pieces.values_tables(groups)

    def formulas(self, page: str) -> Markup:
        """Every calculator's rules, as formulas."""
        self._use(page, "formulas")
        return pieces.formulas((self._answer(name), pieces.open_calculator(self._address(page, name))) for name in calculators.NAMES)

    def open_slip(self, page: str, key: str, truck: str = "", **told: str) -> Markup:
        """A slip as it stands once it is open: the example's or, told this of it, that of a ``truck`` of one's own."""
        name, _, rest = key.partition(".")
        own = {"name": truck, "facts": told, "interval": {}, "book": []}
        numbers = Numbers(own, self._today.isoformat()) if truck else self._numbers
        answer, value = numbers.answer(name), numbers[key]
        steps = view.steps_to(rest, answer["working"])[-SLIP_STEPS:]
        of = "yours" if truck else "example"
        source = pieces.ORIGINS[f"made-{value['rests_on']}"].format(truck=truck) if truck else _OF_EXAMPLE
        link = pieces.open_calculator(self._address(page, name))
        return pieces.open_slip(of, value, steps, source, link, view.made_of(steps[-1], answer))

    def sources(self, page: str) -> Markup:
        """The page's end: where its numbers come from, and the slips they open."""
        slips = [slip for slip in self._used.values() if slip]
        named = [source for key in dict.fromkeys(key.partition("?")[0] for key in self._used) for source in self._sources(key)]
        say: view.Say = two_languages.in_both if page in self._both else as_it_stands
        done = order.done_sheet(two_languages.words("month")["jar"]) if "jobs" in self._used else ""
        self._used, self._open = {}, None
        return done + pieces.page_end(pieces.page_sources(named, say), slips, say)

    # What they need ---------------------------------------------------------------------------

    @cached_property
    def _home_of(self) -> dict[str, str]:
        """The page on which each calculator stands."""
        return {name: path.relative_to(self._docs).with_suffix(".html").as_posix()
                for path in sorted(self._docs.rglob("*.md")) for name in _CALLED.findall(path.read_text("utf-8"))}

    def _use(self, page: str, key: str, slip: Markup | None = None) -> None:
        if self._open not in (None, page):
            raise ValueError(f"docs/{self._open} shows numbers, but does not end with {{{{ sources() }}}}")
        self._open = page
        self._used.setdefault(key, slip)

    def _answer(self, name: str) -> Value:
        if name not in calculators.NAMES:
            raise ValueError(f"no calculator has this name{_near(name, calculators.NAMES)}")
        return self._numbers.answer(name)

    @cached_property
    def _due(self) -> list[dict[str, Any]]:
        return due(self._answer("service_due")["results"], self._today)

    def _job(self, job: str) -> Value:
        rows = {row["job"]: row for row in self._due}
        if job not in rows:
            raise ValueError(f"no job has this name{_near(job, rows)}")
        return rows[job]

    def _as_of(self, answer: Value) -> str:
        return self._numbers_day if "today" in answer["inputs"] else ""

    @cached_property
    def _numbers_day(self) -> str:
        return calculators.show.words(self._today).phrase

    def _address(self, page: str, calculator: str) -> str:
        home = self._home_of.get(calculator, "")
        if not home:
            raise ValueError(f"no page has the calculator {calculator!r}{_near(calculator, self._home_of)}")
        return f"#{calculator}" if home == str(Path(page).with_suffix(".html")) else f"{home}#{calculator}"

    def _number(self, page: str, key: str) -> tuple[str, Markup]:
        """A number's phrase and its slip."""
        name, _, rest = key.partition(".")
        if rest == "spread":
            return self._spread(key, name)
        try:
            value = self._numbers[key]
        except UnknownNumber:
            return self._constant(key)
        if name not in calculators.NAMES:
            return self._fact(key, value)
        answer = self._answer(name)
        link = pieces.open_calculator(self._address(page, name)) if name in self._home_of else ""
        row = _row_with(value, answer["results"])
        if row:  # a cell of a list has no line of its own in the working
            first = next(iter(row.values()))["number"]
            brought = f"{row['governed_by']['label']}: {row['governed_by']['number']}." if "governed_by" in row else ""
            return value["phrase"], pieces.slip(key, value["phrase"], f"{first}: {value['label'].lower()}", (), brought, link)
        steps = view.steps_to(rest, answer["working"])[-SLIP_STEPS if link else 0:]
        whose = _OF_EXAMPLE if "rests_on" in value else "From numbers of the trade alone."
        made = view.made_of(steps[-1], answer) if steps else ()
        return value["phrase"], pieces.slip(key, value["phrase"], value["label"], steps, whose, link, made=made)

    def _fixed(self, page: str, key: str, given: Given) -> Markup:
        name, _, result = key.partition(".")
        self._answer(name)
        answer = calculators.with_words(calculators.answer(name, given, today=self._today.isoformat()))
        if "phrase" not in answer["results"].get(result, {}):
            raise ValueError(f"no number has this name{_near(key, self._names)}")
        value = answer["results"][result]
        told = _as_text(_told(answer, given))
        full = f"{key}?{'&'.join(f'{field}={text}' for field, text in given.items())}"
        steps = view.steps_to(result, answer["working"])
        self._use(page, full, pieces.slip(full, value["phrase"], value["label"], steps, told, "", fixed=True,
                                           made=view.made_of(steps[-1], answer)))
        return pieces.live(full, value["phrase"], fixed=True)

    def _answers(self, name: str, field: str, choice: str, label: str) -> two_languages.Answered:
        """A calculator's answer to one choice, and what it costs for how far it got."""
        def ask(**given: str) -> Value:
            answer = calculators.answer(name, {field: choice, **given}, today=self._today.isoformat())
            results: Value = calculators.with_words(answer)["results"]
            return results

        def dollars(result: Value) -> str:
            return calculators.show.words(result["value"], result["unit"], exact=True).number
        told = ask()
        far = {"not_started": ("no", "no"), "key_turned": ("yes", "no"), "engine_ran": ("yes", "yes")}
        costs = [(stage, ask(key_turned=key, engine_ran=ran)) for stage, (key, ran) in far.items()]
        return two_languages.Answered(
            label, told["stop_rule"]["value"], [[cell["value"] for cell in row.values()] for row in told["actions"]],
            [(stage, dollars(cost["exposure_low"]), dollars(cost["exposure_high"])) for stage, cost in costs])

    def _in_language(self, page: str, key: str, language: str, given: Given) -> Markup:
        """A number that is the same for every truck, in another language, with a slip of its own."""
        name, _, rest = key.partition(".")
        told = ""
        if given:
            answer = calculators.with_words(calculators.answer(name, given, today=self._today.isoformat()))
            told = _as_text(tuple(map(two_languages.spanish, each)) for each in _told(answer, given))
            value = answer["results"][rest]
            shown, unit, label = value["number"], value.get("unit", ""), value["label"]
            kinds = [kind for step in view.steps_to(rest, answer["working"]) for kind in step["kinds"] if kind != "example"]
        elif name in calculators.NAMES or self._figure(name).question:
            raise ValueError(f"it differs from truck to truck, and page.js has no words in {language!r}")
        else:
            figure = self._figure(name)
            ends = _ends(figure) if rest == "spread" else (figure.value,)
            shown = f" {AND[language]} ".join(calculators.show.words(end, figure.unit, exact=True).number for end in ends)
            unit, label, kinds = figure.unit, figure.words, [figure.kind]
        phrase = number(shown, unit, language)
        full = f"{key}?{'&'.join([f'{field}={text}' for field, text in given.items()] + [language])}"
        self._use(page, full, two_languages.slip(ident("slip", full), phrase, label, told, dict.fromkeys(kinds), language))
        return pieces.live(full, phrase, fixed=True)

    def _fact(self, key: str, value: Value) -> tuple[str, Markup]:
        figure = self._figure(key)
        source = _cited(figure)
        return value["phrase"], pieces.slip(key, value["phrase"], figure.question, (), source, pieces.change_truck())

    def _constant(self, key: str) -> tuple[str, Markup]:
        figure = self._figure(key)
        if figure.value is None:
            raise ValueError("it has no value")
        phrase = calculators.show.words(figure.value, figure.unit, exact=True).phrase
        return phrase, pieces.slip(key, phrase, figure.words or figure.question, (), _cited(figure), "")

    def _spread(self, key: str, name: str) -> tuple[str, Markup]:
        figure = self._figure(name)
        low, high = (calculators.show.words(end, figure.unit, exact=True) for end in _ends(figure))
        phrase = f"{low.number} to {high.phrase}"
        return phrase, pieces.slip(key, phrase, figure.words or figure.question, (), _cited(figure), "")

    def _figure(self, name: str) -> Figure:
        figure = calculators.figure(name)
        if figure is None:
            raise ValueError(f"no number has this name{_near(name, self._names)}")
        return figure

    @cached_property
    def _names(self) -> list[str]:
        return [f"{name}.{result}" for name in calculators.NAMES for result in self._answer(name)["results"]]

    def _sources(self, key: str) -> list[Value]:
        """Where a used number's own figures come from."""
        name, _, rest = key.partition(".")
        if name.startswith("calculator ") or key in ("formulas", "jobs", "truck"):
            return []
        if name not in calculators.NAMES:
            return [_source(self._figure(name))]
        answer = self._answer(name)
        used = {number["name"] for step in view.steps_to(rest, answer["working"]) for number in step["numbers"]}
        return [source for source in answer["sources"] if source["value"] in used]


def _ends(figure: Figure) -> tuple[float, float]:
    if not figure.spread:
        raise ValueError(f"{figure.name} has no spread")
    return figure.spread


def _sheet(name: str) -> dict[str, Any]:
    return {"name": name, "lies": wording.read(name).get("lies", False), **wording.words(name, "en")}


def _told(answer: Value, given: Given) -> list[tuple[str, str]]:
    """What an answer was given, as questions and what was said to them."""
    return [(figure.question, answer["inputs"][field]["phrase"]) for field in given if (figure := calculators.figure(field))]


def _as_text(told: Iterable[tuple[str, ...]]) -> str:
    return " ".join(f"{question} {view.sentence_case(said)}." for question, said in told)


def _row_with(cell: Value, results: Mapping[str, Any]) -> Row | None:
    rows = (row for value in results.values() if isinstance(value, list) for row in value)
    return next((row for row in rows if any(one is cell for one in row.values())), None)


def _entry_field(name: str, choices: Mapping[str, str]) -> Field:
    """A field of an entry; the words it may hold are those of jobs and lights where the data file lists none."""
    (field,) = fields(name, ENTRY[name])
    if choices:
        return field._replace(kind="choice", choices=tuple(choices), choice_labels=tuple(choices.values()))
    return field._replace(kind="text") if ENTRY[name].unit in ("text", "word") and not field.choices else field


def _row_of(figure: Figure) -> Value:
    say = calculators.show.words
    one = figure.value is not None and not isinstance(figure.value, dict)
    ends = figure.spread or [end for end in (figure.low, figure.high) if isinstance(end, int | float)]
    bounds = f"{say(ends[0], figure.unit, exact=True).number} to {say(ends[1], figure.unit, exact=True)}" if len(ends) == 2 else ""
    value = str(say(figure.value, figure.unit, exact=True)) if one else "each job its own" if figure.value else ""
    return {"name": figure.name, "what": figure.question or figure.words or figure.name.replace("_", " "), "value": value, "bounds": bounds,
            "source": _cited(figure, titled=figure.kind not in ("example", "common practice"))}


def _cited(figure: Figure, *, titled: bool = True) -> Markup:
    return pieces.source_line(view.source_line(_source(figure) | ({} if titled else {"title": ""})))


def _source(figure: Figure) -> dict[str, Any]:
    return {"value": figure.name, "title": figure.title, "clause": figure.clause, "year": figure.year, "kind": figure.kind}


def _near(name: str, known: Iterable[str]) -> str:
    close = difflib.get_close_matches(name, list(known), 1)
    return f"; did you mean {close[0]}?" if close else ""
