"""A fleet on a few pages, and the same as a table: overdue first, then alarms, then old readings, and the rest by what is next."""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby
from typing import Any, NamedTuple

import calculators
from calculators.engine.due import named
from calculators.engine.truck import is_example
from print import letters
from print.problems import as_csv

AHEAD = 90  # days that a shelf should last
IDENTITY = ("unit", "vin", "plate", "driver", "location")
GROUPS = ("overdue", "alarms", "stale", "rest")


class Job(NamedTuple):
    """A job in words, and its day; for an overdue one the day since which."""

    words: str
    day: str
    day_words: str


class Alarm(NamedTuple):
    """What a truck's records show to drift, since when, by how many percent, and where to look first; no diagnosis."""

    what: str
    since: str
    noticed: str
    change: float
    look_at: str


class Line(NamedTuple):
    """One truck: all that the overview keeps of it, for a fleet may be long."""

    label: str
    name: str
    identity: dict[str, str]
    overdue: list[Job]
    next: Job | None
    unknown: int
    alarms: list[Alarm]
    odometer: float | None
    engine_hours: float | None
    read_on: str
    stale: bool
    idling: float | None
    idling_words: str
    ahead: Sequence[str] = ()  # jobs of the next months, those overdue and those without a record too
    oil: float | None = None
    exhaust_fluid: float | None = None  # gallons for as long

    @property
    def group(self) -> str:
        """Under which head it stands."""
        if self.overdue:
            return "overdue"
        if self.alarms:
            return "alarms"
        return "stale" if self.stale else "rest"


class Group(NamedTuple):
    """Trucks under one head."""

    name: str
    lines: list[Line]


def line(label: str, truck: Mapping[str, Any], due: Mapping[str, Any], today: str, stock: bool = False) -> Line:
    """What the overview says of a truck, and on request what it takes from the shelf; ``due`` is what `service_due` answers, in words."""
    jobs = due["results"]["jobs"]
    known = sorted((job for job in jobs if job["due_date"]["value"]), key=lambda job: job["due_date"]["value"])
    overdue = [_job(job) for job in known if job["overdue"]["value"]]
    ahead = [_job(job) for job in known if not job["overdue"]["value"]]
    told = {name: value for name, value in due["inputs"].items() if value["from"] != "example" and value["value"] is not None}
    read_on = told.get("read_on") if told.keys() & {"odometer", "engine_hours"} else None
    idling = _own(_answer("idle_bill", truck, today)["results"]["cost_per_year"])
    return Line(
        label, truck["name"], {field: str(truck.get("identity", {}).get(field, "")) for field in IDENTITY}, overdue,
        ahead[0] if ahead else None, int(due["results"]["jobs_unknown"]["value"]),
        _alarms(truck, today), _value(told.get("odometer")), _value(told.get("engine_hours")), read_on["value"] if read_on else "",
        bool(read_on and due["results"]["reading_wanted"]["value"]), idling["value"] if idling else None, _words(idling),
        *(_stock(truck, jobs, today) if stock else ()))


def _answer(calculator: str, truck: Mapping[str, Any], today: str) -> dict[str, Any]:
    """An answer in words; a fleet is long, so nothing that no line shows is worked out."""
    return calculators.with_words(calculators.answer(calculator, None, truck, today, working=False, assumed=False))


def _own(value: Mapping[str, Any]) -> Mapping[str, Any] | None:
    """A result, unless it rests on the example alone."""
    return None if value["value"] is None or value.get("rests_on") == "example" else value


def _stock(truck: Mapping[str, Any], jobs: Sequence[Mapping[str, Any]], today: str) -> tuple[list[str], float | None, float | None]:
    """The jobs of the next months, what an oil change takes, and DEF for as long; nothing of what only the example tells."""
    last = (date.fromisoformat(today) + timedelta(days=AHEAD)).isoformat()
    ahead = [job["job"]["value"] for job in jobs if job["first_step"]["value"] == "do_now" or (job["due_date"]["value"] or "9999") <= last]
    oil = _answer("fluid_cost", truck, today)["inputs"]["oil_capacity"]
    fluid = _own(_answer("exhaust_fluid_use", truck, today)["results"]["def_per_year"])
    return ahead, oil["value"] if oil["from"] != "example" or is_example(truck) else None, fluid["value"] * AHEAD / 365 if fluid else None


def _job(job: Mapping[str, Any]) -> Job:
    return Job(named(job), job["due_date"]["value"], job["due_date"]["phrase"])


def _words(value: Mapping[str, Any] | None) -> str:
    return value["phrase"] if value else ""


def _value(value: Mapping[str, Any] | None) -> Any:
    return value["value"] if value else None


def _alarms(truck: Mapping[str, Any], today: str) -> list[Alarm]:
    return [Alarm(each["what"]["phrase"], *(each[field]["value"] for field in ("since", "noticed", "change", "look_at")))
            for each in calculators.alarms(truck, today) if each["stands"]["value"]]


def grouped(lines: Iterable[Line]) -> list[Group]:
    """The lines under their heads, what presses most first; a head without a truck is left out."""
    in_order = sorted(lines, key=_presses)
    groups = (Group(name, [each for each in in_order if each.group == name]) for name in GROUPS)
    return [group for group in groups if group.lines]


def _presses(each: Line) -> tuple[str, str]:
    days = [job.day for job in each.overdue] or ([each.next.day] if each.next else ["9999"])
    return min(days), each.label.casefold()


class Totals(NamedTuple):
    """What stands under all lines."""

    trucks: int
    overdue: int
    jobs: int
    alarms: int
    stale: int
    idling: str


def totals(lines: Sequence[Line]) -> Totals:
    """Counts, and what idling costs where that is known."""
    costs = [each.idling for each in lines if each.idling is not None]
    return Totals(len(lines), sum(bool(each.overdue) for each in lines), sum(len(each.overdue) for each in lines),
                  sum(bool(each.alarms) for each in lines), sum(each.stale for each in lines),
                  str(calculators.show.words(float(sum(costs)), "USD")) if costs else "")


def shown(lines: Iterable[Line]) -> list[Group]:
    """The same with names as paper can draw them."""
    return [group._replace(lines=list(map(_drawn, group.lines))) for group in grouped(lines)]


def _drawn(each: Line) -> Line:
    place = each.identity["location"]
    return each._replace(label=letters.drawn(each.label), identity=each.identity | {"location": letters.fitting(place, len(place))})


class Yard(NamedTuple):
    """Trucks of one place, as it was told; its name on paper is empty where it is written in by hand."""

    place: str
    name: str
    lines: list[Line]


def by_place(lines: Iterable[Line]) -> list[Yard]:
    """The lines of each yard, in the order of their names; those that nobody placed come last."""
    in_order = sorted(lines, key=lambda each: (*_place(each.identity["location"]), _natural(each.label)))
    return [Yard(place, letters.drawn(place), list(map(_drawn, those)))
            for place, those in groupby(in_order, key=lambda each: each.identity["location"])]


def _place(told: str) -> tuple[bool, str, str]:
    return not told, told.casefold(), told


def _natural(name: str) -> list[tuple[int, str]]:
    """Truck 9 before truck 10."""
    return [(int(part), "") if part.isdigit() else (0, part) for part in re.split(r"(\d+)", name.casefold())]


class Need(NamedTuple):
    """How many trucks a job comes to, what it takes, and for how many of them nobody told how much."""

    trucks: int
    takes: str
    untold: int = 0


def needs(lines: Iterable[Line], job: str) -> Need:
    """What a job takes of the shelf for all of them."""
    those = [each for each in lines if job in each.ahead]
    if job != "engine_oil":
        return Need(len(those), str(len(those) or ""))
    told = [each.oil for each in those if each.oil is not None]
    return Need(len(those), str(calculators.show.words(float(sum(told)), "qt")) if told else "", len(those) - len(told))


def exhaust_fluid(lines: Sequence[Line]) -> Need:
    """DEF for as long as a shelf should last."""
    told = [each.exhaust_fluid for each in lines if each.exhaust_fluid is not None]
    return Need(len(lines), str(calculators.show.words(float(round(sum(told))), "gal")) if told else "", len(lines) - len(told))


HEADS = ("truck", "unit", "vin", "plate", "driver", "location", "jobs_overdue", "overdue", "overdue_since", "next_job", "next_due",
         "jobs_without_record", "alarms", "odometer (mi)", "engine_hours (h)", "read_on", "idling_cost_per_year (USD)")


def table(lines: Iterable[Line]) -> str:
    """The overview for a spreadsheet, in the same order."""
    return as_csv(HEADS, (_row(each) for group in grouped(lines) for each in group.lines))


def _row(each: Line) -> tuple[object, ...]:
    who = (each.identity[field] for field in IDENTITY)
    first = each.overdue[0] if each.overdue else None
    return (each.name, *who, len(each.overdue), ", ".join(job.words for job in each.overdue), first.day if first else "",
            each.next.words if each.next else "", each.next.day if each.next else "", each.unknown,
            ", ".join(alarm.what for alarm in each.alarms),
            *("" if value is None else round(value, 1) for value in (each.odometer, each.engine_hours)), each.read_on,
            "" if each.idling is None else round(each.idling, 2))


ALARMS = ("truck", "unit", "vin", "location", "alarm", "since", "noticed", "change (%)", "look_at")


def alarms(lines: Iterable[Line]) -> str:
    """Every alarm that stands as a table, the newest first."""
    told = [(alarm, each) for each in lines for alarm in each.alarms]
    told.sort(key=lambda one: (one[0].noticed, one[1].label.casefold()), reverse=True)
    who = ("unit", "vin", "location")
    return as_csv(ALARMS, ((each.name, *(each.identity[field] for field in who), alarm.what, alarm.since, alarm.noticed,
                            round(alarm.change, 1), alarm.look_at) for alarm, each in told))
