"""The one door for page, paper and worker: answers with their words, as plain JSON."""

import json
from collections.abc import Iterable, Mapping
from datetime import date
from functools import cache
from typing import Any

from calculators.engine.answer import Refused, unmarked
from calculators.engine.answer import answer as _answer
from calculators.engine.calendar import calendar as _calendar
from calculators.engine.due import due, reading
from calculators.engine.facts import Fault, plan, shortened
from calculators.engine.figures import FIGURES, NEVER_LESS, Figure, Missing, figure, figure_of
from calculators.engine.form import in_field, typed
from calculators.engine.kept import kept
from calculators.engine.measured import RECORDS
from calculators.engine.owner import fields_of as _fields_of
from calculators.engine.owner import owner
from calculators.engine.plain import plain
from calculators.engine.reading import Asked, is_bare, read
from calculators.engine.rests import EXAMPLE
from calculators.engine.rules import NAMES, calculator, rules
from calculators.engine.sensitivity import Moved
from calculators.engine.sensitivity import sensitivity as _sensitivity
from calculators.engine.show import SAID, TOLD, Digits, Words, label, words
from calculators.engine.truck import facts_of, is_example
from calculators.engine.truck_file import loads
from calculators.engine.units import convert
from calculators.engine.view import Say, as_it_stands, in_both, sentence, view
from calculators.engine.whose import rests_line, turning, whose

_LONGEST = 12_000_000  # characters of one request


def answer(name: str, given: Mapping[str, Any] | None = None, truck: Mapping[str, Any] | None = None,
           today: str | None = None, *, units: str = "us", working: bool = True, assumed: bool = True) -> dict[str, Any]:
    """The answer of calculator ``name`` (contract JSON), on request without its working, or without what it leans on.

    Refused carries every fault at once.
    """
    return _answer(name, given or {}, truck, today or date.today().isoformat(), metric=units == "metric", working=working,
                   assumed=assumed)


def with_words(answered: Mapping[str, Any], units: str = "us") -> dict[str, Any]:
    """The same answer with every value's words beside it: ``number``, ``unit_short``, ``phrase``, ``whose`` and, for results, ``label``.

    ``rests`` says in a line what the answer rests on, ``answer_whose`` whose its sentence is, ``turns`` what would turn its verdict.
    """
    metric = units == "metric"
    results = {name: _worded_list(value, metric) if isinstance(value, list)
               else _worded(value, metric) | {"label": label(name, metric)} | _at_least(name, value, metric)
               for name, value in answered["results"].items()}
    asked = {name: _asked(name, value, metric) for name, value in answered["inputs"].items()}
    sentence = {f"answer_{mark}": told for mark, told in whose({"rests_on": answered.get("answer_rests_on")}).items()}
    worded = {**answered, **sentence, "inputs": asked, "results": results, "rests": rests_line(answered), **turning(answered, metric)}
    if "working" in answered:
        worded["working"] = [step | {"result": _worded(step["result"], exact=True)} for step in answered["working"]]
    return worded


def facts(truck: Mapping[str, Any] | None = None, today: str | None = None) -> dict[str, Any]:
    """Every fact of a truck in words, and where it is from; what no answer holds stands by its example."""
    return _facts(truck, _all(truck, today)["answers"])


def fields_of(truck: Mapping[str, Any], today: str | None = None) -> dict[str, str]:
    """What a truck tells on a day, as text under its fields' names: facts, intervals, its last readings and its last jobs."""
    return _fields_of(truck, today or date.today().isoformat())


def calendar(truck: Mapping[str, Any], today: str | None = None) -> str:
    """A truck's service dates as iCalendar; empty where no job has a record or what is told is refused."""
    try:
        return fleet_calendar({str(truck["name"]): service_jobs(truck, today)}, today)
    except Refused:
        return ""


def service_jobs(truck: Mapping[str, Any], today: str | None = None) -> list[dict[str, Any]]:
    """Every job of a truck in words, as ``service_due`` tells them; Refused carries every fault at once."""
    jobs: list[dict[str, Any]] = with_words(answer("service_due", None, truck, today, working=False))["results"]["jobs"]
    return jobs


def alarms(truck: Mapping[str, Any], today: str | None = None) -> list[dict[str, Any]]:
    """What a truck's records show to drift, in words, as ``own_records`` tells it; Refused carries every fault at once."""
    day = today or date.today().isoformat()
    return _worded_list(unmarked(RECORDS, truck, day, owner(truck, {}, day))["results"]["alarms"], metric=False)


@cache
def goes_by_day(name: str) -> bool:
    """Whether calculator ``name`` may answer otherwise only because a day has passed."""
    return "today" in plan(calculator(name), ()).needs


def fleet_calendar(jobs: Mapping[str, Iterable[Mapping[str, Any]]], today: str | None = None, ids: Mapping[str, str] | None = None) -> str:
    """The service dates of many trucks, each by its name, as iCalendar; empty where no job of theirs has a record.

    An event stays that of a truck's id where ``ids`` has it, else of its name.
    """
    return _calendar(jobs, today or date.today().isoformat(), ids or {})


def sensitivity(name: str, given: Mapping[str, Any] | None = None, truck: Mapping[str, Any] | None = None,
                today: str | None = None, *, units: str = "us") -> dict[str, Any]:
    """What moves the main result of ``name``: its name, how far each input was tried, and a row for each, most first."""
    told = (given or {}, truck, today or date.today().isoformat())
    main, moved = _sensitivity(name, *told)
    unit = rules(calculator(name))[main].unit if main else ""
    metric = units == "metric"

    def tried(value: float, moved: Moved) -> dict[str, Any]:
        return _worded(plain(value, moved.unit), metric, exact=not metric)

    def became(value: float) -> dict[str, Any]:
        return _worded(plain(value, unit), metric)

    rows = [{"input": {"value": m.input, "phrase": _question(m.input)}, "low": tried(m.low, m), "high": tried(m.high, m),
             "result_at_low": became(m.result_at_low), "result_at_high": became(m.result_at_high)} for m in moved]
    return {"result": main, "label": label(main, metric), "tried": _tried(metric), "rows": rows}


def _tried(metric: bool) -> str:
    """How far each input is tried."""
    steps = (FIGURES[name] for name in ("sensitivity_share", "sensitivity_degrees"))
    share, degrees = (words(step.value, step.unit, metric=metric) for step in steps)
    return f"each number by {share} down and up, a temperature by {degrees}, what is counted by 1, as far as there is an answer"


def warm() -> None:
    """Load every calculator and answer once, so that nothing is read from files afterwards."""
    for name in NAMES:
        with_words(answer(name, today="2026-11-25"))


def call(text: str) -> str:
    """One request in JSON, one reply in JSON; never raises (the worker's door)."""
    request: dict[str, Any] = {}
    try:
        if len(text) > _LONGEST:
            raise ValueError("the request is too long")
        request = loads(text)
        reply = _REPLIES[request["do"]](request)
    except Refused as refused:
        reply = _refused(refused, _say(request))
    except Exception as wrong:  # a page must get a reply whatever happened
        reply = _faulty(Fault("request", "", f"the calculator could not read it ({type(wrong).__name__}: {wrong})"))
    return json.dumps(reply, ensure_ascii=False, allow_nan=False)


def _reply_answer(request: dict[str, Any]) -> dict[str, Any]:
    units = request.get("units", "us")
    answered = answer(_name(request["calculator"]), _given(request), request.get("truck"), request.get("today"), units=units,
                      working=request.get("working", True))
    return {"ok": True, "answer": view(with_words(answered, units), _say(request))}


def _say(request: Mapping[str, Any]) -> Say:
    """How a page that is in two languages wants its texts told: it sends the pairs along."""
    pairs = request.get("spanish")
    return in_both(pairs) if pairs else as_it_stands


def _reply_all(request: dict[str, Any]) -> dict[str, Any]:
    truck, today = request.get("truck"), request.get("today")
    made = _all(truck, today)
    answers = made["answers"]
    jobs = {str(truck["name"]): answers["service_due"]["results"]["jobs"]} if truck and "service_due" in answers else {}
    return {"ok": True, **made, "facts": _facts(truck, answers), "calendar": fleet_calendar(jobs, today),
            **(_kept(truck, date.fromisoformat(today), answers) if truck and today else {})}


def _kept(truck: Mapping[str, Any], today: date, answers: dict[str, Any]) -> dict[str, Any]:
    told = owner(truck, {}, today.isoformat())

    def on(name: str, day: date) -> dict[str, Any]:
        return view(with_words(unmarked(name, truck, day.isoformat(), told.on(day))))

    return kept(truck, today, answers, on)


def _reply_jobs(request: dict[str, Any]) -> dict[str, Any]:
    """A truck's jobs in words on one day, without all its other answers."""
    today = date.fromisoformat(request["today"])
    answered = with_words(answer("service_due", None, request.get("truck"), request["today"], working=False))
    return {"ok": True, "jobs": due(answered["results"], today), "reading": reading(answered)}


def _reply_convert(request: dict[str, Any]) -> dict[str, Any]:
    text, unit, to = request["text"], request["unit"], request["to"]
    entry = figure_of(request.get("input", ""))
    try:
        if entry is None:
            return {"ok": True, "text": _converted(read(text, Asked(unit)), unit, to)}
        return {"ok": True, "text": _converted(read(f"{text} {unit}" if is_bare(text) else text, entry.asked), entry.unit, to)}
    except ValueError as wrong:
        return _faulty(Fault("unit", text, str(wrong)))


def _converted(value: float, unit: str, to: str) -> str:
    return in_field(typed(float(format(convert(value, unit, to), ".6g")), to))


def _reply_about_book(request: dict[str, Any]) -> dict[str, Any]:
    """Of a truck's file or its book; what could not be read is told beside what could."""
    from calculators.engine.book_replies import REPLIES  # reads tables, which no answer needs

    reply, faults = REPLIES[request["do"]](request)
    return {"ok": reply.get("truck", reply) is not None, **reply, "faults": _faults_told(shortened(faults))}


def _reply_sensitivity(request: dict[str, Any]) -> dict[str, Any]:
    return {"ok": True, **sensitivity(_name(request["calculator"]), _given(request), request.get("truck"), request.get("today"))}


_ABOUT_BOOK = ("read_truck", "join_trucks", "add_entry", "list_entries", "write_table", "read_table", "estimate")
_REPLIES = {"answer": _reply_answer, "sensitivity": _reply_sensitivity, "all": _reply_all, "jobs": _reply_jobs, "convert": _reply_convert,
            **dict.fromkeys(_ABOUT_BOOK, _reply_about_book)}


def _all(truck: Mapping[str, Any] | None, today: str | None) -> dict[str, dict[str, Any]]:
    """Every calculator's answer for a truck; those that refuse it, with their faults."""
    answers, faults = {}, {}
    day = today or date.today().isoformat()
    told = owner(truck, {}, day)
    for name in NAMES:
        try:
            answers[name] = view(with_words(_answer(name, {}, truck, day, told=told)))
        except Refused as refused:
            faults[name] = _refused(refused)["faults"]
    return {"answers": answers, "faults": faults}


def _facts(truck: Mapping[str, Any] | None, answers: Mapping[str, Any]) -> dict[str, Any]:
    own = truck is not None and not is_example(truck)
    found = {name: _untold(entry, own) for name, entry in FIGURES.items() if entry.question and entry.value is not None and not entry.each}
    for name, value in facts_of(truck).items() if truck else ():
        if entry := figure_of(name):
            try:
                found[name] = _told(plain(entry.read(value), entry.unit) | {"from": "truck"})
            except ValueError:
                continue  # its fault is told by the answers that use it
    return found | _inputs_of(answers)


def _untold(entry: Figure, own: bool) -> dict[str, Any]:
    """The example's value, or what to tell of an own truck."""
    if entry.told_only and own:
        return _worded(plain(entry.untold, entry.unit) | {"from": "example", "tell": [entry.name]})
    return _worded(plain(entry.value, entry.unit) | {"from": "example", "kind": entry.kind}, exact=True)


def _inputs_of(answers: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for answered in answers.values() for name, value in answered["inputs"].items()}


def _refused(refused: Refused, say: Say = as_it_stands) -> dict[str, Any]:
    return {"ok": False, "first": refused.first and say(refused.first), "faults": _faults_told(refused.faults, say)}


def _faults_told(faults: list[Fault], say: Say = as_it_stands) -> list[dict[str, Any]]:
    """Each with what would do as a sentence."""
    return [fault._asdict() | {"given": str(fault.given)[:60], "do": say(sentence(fault.do))} for fault in faults]


def _faulty(fault: Fault) -> dict[str, Any]:
    return _refused(Refused([fault]))


def _name(name: Any) -> str:
    if name not in NAMES:
        raise ValueError(f"no calculator {name!r}")
    return str(name)


def _worded(value: Mapping[str, Any], metric: bool = False, exact: bool = False) -> dict[str, Any]:
    """A value as JSON holds it, and its words."""
    return _beside(value, _words_of(value, metric, exact))


def _told(value: Mapping[str, Any], metric: bool = False) -> dict[str, Any]:
    """A fact as JSON holds it, and its words: as it was told, as far as a sentence has room for it."""
    return _beside(value, _words_of(value, metric, exact=True, digits=SAID))


def _words_of(value: Mapping[str, Any], metric: bool, exact: bool, digits: Digits = TOLD) -> Words:
    read: Any = value["value"]
    if read is None:
        read = Missing(value.get("why", ""))
    elif isinstance(read, str) and "unit" not in value:
        read = _as_date(read)
    return words(read, value.get("unit", ""), exact=exact, metric=metric, digits=digits)


def _at_least(name: str, value: Mapping[str, Any], metric: bool) -> dict[str, Any]:
    """What a result is never less than, where all else of it is the example’s."""
    entry = figure(NEVER_LESS[name]) if name in NEVER_LESS and value.get("rests_on") == EXAMPLE and value["value"] is not None else None
    return {"least": _worded(plain(entry.value, entry.unit), metric)} if entry else {}


def _beside(value: Mapping[str, Any], said: Words) -> dict[str, Any]:
    return {**value, "number": said.number, "unit_short": said.unit, "shown": str(said), "phrase": said.phrase, **whose(value)}


def _asked(name: str, value: Mapping[str, Any], metric: bool) -> dict[str, Any]:
    """An input with its words, its question and ``text``, what stands in its field: a derived or learned value as far as it is sure."""
    derived = "unit" in value and (value["from"] == "derived" or "low" in value or len(value.get("entries", ())) > 1)
    said = _worded(value, metric) if derived else _told(value, metric)
    text = _worded(value)["number"].replace("−", "-") if derived else in_field(typed(_short(value["value"]), value.get("unit", "")))
    return said | {"question": _question(name), "text": text}


def _short(value: Any) -> Any:
    """A fraction that another unit left, as far as a field has room for it."""
    return float(format(value, ".7g")) if isinstance(value, float) and not value.is_integer() else value


def _worded_list(rows: list[dict[str, Any]], metric: bool) -> list[dict[str, Any]]:
    return [{name: _worded(cell, metric) | {"label": label(name, metric)} for name, cell in row.items()} for row in rows]


def _as_date(text: str) -> Any:
    try:
        return date.fromisoformat(text) if text[:1].isdecimal() else text
    except ValueError:
        return text


def _given(request: dict[str, Any]) -> dict[str, Any]:
    """What a form told; an empty field that may be left out is left out, whatever the truck says."""
    return {name: None if told == "" and _may_be_left_out(name) else told for name, told in (request.get("given") or {}).items()}


def _may_be_left_out(name: str) -> bool:
    entry = figure_of(name)
    return entry is not None and (entry.optional or entry.told_only)


def _question(name: str) -> str:
    entry = figure_of(name)
    return entry.question if entry else name


