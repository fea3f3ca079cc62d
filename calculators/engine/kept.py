"""What a page keeps of a truck beside its answers: its jobs by day, its book in words, what of it travels in a link."""

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from typing import Any

from calculators.engine.book_record import record
from calculators.engine.book_view import book_view
from calculators.engine.days import Later, by_day
from calculators.engine.figures import in_days
from calculators.engine.link import travelling
from calculators.engine.measured import RECORDS
from calculators.engine.owner import Owner, owner, stands_until
from calculators.engine.records_view import records_view, refused
from calculators.engine.truck import upgraded

_BY_ITSELF = ("label", "number")  # of a cell in a list: its head names it, and what is shown begins with its number


type On = Callable[[str, date], Mapping[str, Any]]  # the view of an answer on another day


def kept(truck: Mapping[str, Any], today: date, answers: dict[str, Any], on: On) -> dict[str, Any]:
    """Beside all answers of a truck; those that go by the day get what changes on later days, which ``on`` tells."""
    book = upgraded(truck)["book"]
    told = owner(truck, {}, today.isoformat())
    own = told.book
    entries = book_view(book, own.asked)
    made = {"entries": entries, "paper": record(book, today)._asdict(), "link": travelling(truck, today),
            "records": refused(str(truck["name"]))}
    if RECORDS in answers:
        made["records"] = records_view(answers[RECORDS], str(truck["name"]), own.entries, entries)
    if "service_due" not in answers:  # what is told is refused
        return made | {"jobs": [], "reading": [], "until": in_days(today, 1).isoformat()}
    old = [day for level in told.levels.values() if (day := level.stale_on) and day > today]
    later = Later(answers["service_due"], today, min([stands_until(truck, today), *old]), partial(on, "service_due"))
    answers["service_due"] = later.answer()
    for name in answers:
        if days := _while_levels_count(answers[name], told, today):
            answers[name] = by_day(answers[name], today, days, partial(on, name))
    for name, answered in answers.items():
        answers[name] = answered | {"results": {result: _slim(value) for result, value in answered["results"].items()}}
    return made | {"jobs": later.jobs(), "reading": later.reading(), "until": later.until.isoformat()}


def _while_levels_count(answered: Mapping[str, Any], told: Owner, today: date) -> list[date]:
    """The days on which what an answer says of a gauge changes: those before the first on which it was read long ago."""
    last = max((day for gauge, level in told.levels.items() if gauge in answered["inputs"] and (day := level.stale_on)), default=today)
    return [in_days(today, ahead) for ahead in range(1, (last - today).days)]


def _slim(value: Any) -> Any:
    """A list as briefly as a page can read it: a long book makes long ones, and a browser has room for five million letters."""
    return [{name: _cell(cell) for name, cell in row.items()} for row in value] if isinstance(value, list) else value


def _cell(cell: Mapping[str, Any]) -> dict[str, Any]:
    spare = {name for name in _BY_ITSELF if "daily" not in cell} | ({"phrase"} if cell["phrase"] == cell["shown"] else set())
    return {name: told for name, told in cell.items() if name not in spare and told != ""}
