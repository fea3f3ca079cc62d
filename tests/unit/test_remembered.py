"""What is remembered changes no answer: with every memory emptied between questions, each is the same, byte for byte."""

import json
from datetime import date, timedelta
from random import Random

import pytest

import calculators
from calculators.engine import book_table, channels, entries, learner
from calculators.engine.figures import ENTRY
from calculators.engine.meters import Dated
from calculators.engine.spreadsheet import Habits, each_line, lines_of

TODAY = date(2026, 11, 30)
KINDS = ("fuel", "fuel", "burn", "def", "fuel", "drain", "check", "job")
DUE = {"fuel": {"full": True}, "burn": {"burn": "finished"}, "def": {"def": "2.4 gal"}, "drain": {"jar": "water"},
       "check": {"jar": "clear", "burns_finished": 3}, "job": {"job": "engine_oil"}}


def book(size):
    """Entries of a truck whose fuel comes to hold water; one of them tells its reading in another unit, one can't be read."""
    chance, made = Random(7), []
    for at in range(size):
        kind = KINDS[at % len(KINDS)]
        water = 900 if at > size / 2 else 20
        more = {"fuel": {"fuel": f"{chance.gauss(14, 0.5):.1f} gal"}, "drain": {"water": f"{water} mL"}}.get(kind, {})
        made.append({"id": f"{at:04}", "date": str(TODAY - timedelta(2 * (size - at))), "kind": kind, "odometer": f"{20_000 + 150 * at} mi",
                     "engine_hours": f"{800 + 6 * at} h", **DUE[kind], **more})
    odd = {"id": "km", "date": str(TODAY), "kind": "reading", "odometer": "80,000 km"}
    return [*made, odd, {"id": "x", "date": "?", "kind": "reading"}]


def truck(name="juniper", size=0):
    made = calculators.example_truck(name) | {"id": "own", "name": "Own"}
    return made | {"book": book(size)} if size else made


ONE = {"date": "2026-11-29", "kind": "fuel", "fuel": "20 gal", "odometer": "9 mi"}
ASKED = [{"do": "all", "truck": truck(size=160)}, {"do": "all", "truck": truck("tamarack")},
         {"do": "read_truck", "text": json.dumps(truck(size=40))}, {"do": "add_entry", "truck": truck(size=80), "entry": ONE},
         {"do": "answer", "calculator": "own_records", "truck": truck(size=80)}]


def told(request):
    return calculators.call(json.dumps(request | {"today": str(TODAY)}))


@pytest.mark.parametrize("request_", ASKED, ids=lambda one: one["do"])
def test_an_answer_is_the_same_whether_anything_is_remembered(monkeypatch, request_):
    told(request_)
    remembered = told(request_)
    monkeypatch.setattr(entries, "_read_before", entries._read_before.__wrapped__)
    monkeypatch.setattr(learner, "_follow", learner._follow.__wrapped__)
    monkeypatch.setattr(Dated, "once", lambda self, make: make(self))
    assert told(request_) == remembered


def test_the_readings_of_a_day_are_worked_out_once(monkeypatch):
    """Else nothing would be remembered, and the test above could not fail."""
    asked = []
    real = channels.readings
    monkeypatch.setattr(channels, "readings", lambda *told: asked.append(told) or real(*told))
    dated = Dated(entries.read_entries(book(20))[0], TODAY)
    assert channels.meters(dated) is channels.meters(dated) and len(asked) == 3
    assert channels.meters(tuple(dated)) == channels.meters(dated)
    start = learner.guess((1 / 14,), (0.1,), 0.05, 4)
    watch = learner.Watch(0.05, 4, 2, 1, 3, 0.02, 0.2, 0.4, 4, 4)
    seen = [learner.Seen((150.0,), 11.0 + at / 10) for at in range(9)]
    assert learner.follow(seen, start, watch, (learner.UP,)) is learner.follow(list(seen), start, watch, [learner.UP])


def test_an_entry_that_is_told_otherwise_is_read_anew():
    """A yes, a one and 1.0 are three things, and a fault stays with its entry."""
    one = {"id": "a", "date": "2026-11-30", "kind": "fuel", "fuel": 1.0, "full": True}
    assert entries.read_entry(one)[0].told == {"fuel": 1.0, "full": True} == entries.read_entry(dict(one))[0].told
    changed, faults = entries.read_entry(one | {"fuel": True})
    assert "fuel" not in changed.told and faults
    faults.clear()
    assert entries.read_entry(one | {"fuel": True})[1]


def without_marks(rows):
    return [{field: {name: one for name, one in cell.items() if name not in ("rests_on", "whose")} for field, cell in row.items()}
            for row in rows]


@pytest.mark.parametrize("size", [3, 160])
def test_alarms_by_themselves_are_those_of_the_whole_answer(size):
    whole = calculators.with_words(calculators.answer("own_records", None, truck(size=size), str(TODAY)))["results"]["alarms"]
    alone = calculators.alarms(truck(size=size), str(TODAY))
    assert without_marks(alone) == without_marks(whole)
    assert bool(alone) is (size > 100)


# A long table ------------------------------------------------------------------------------------------------


TABLES = [
    "date,kind,truck\n2026-01-01,note,A\n\n2026-01-02,note,B\n2026-01-03,note,A",
    'sep=;\r\ndate;kind;truck;note\r\n2026-01-01;note;A;"two\r\nlines"\r\n2026-01-02;note;B;"said ""so"""\r\n',
    'date,kind,note\n2026-01-01,note,"not closed\n2026-01-02,note,x\n',
    'date,kind,note\n2026-01-01,note,"a"b\n2026-01-02,note,x\n',
    "", "\n\n", "date\tkind\r2026-01-01\tnote\r",
]


@pytest.mark.parametrize("text", TABLES)
def test_lines_cut_out_again_are_the_lines_as_they_were_read(text):
    """Whatever ends a line, stands between cells or goes over several lines."""
    read, problems = lines_of(text)
    again = book_table._by_truck(text, each_line(text, []), None)
    assert [line for lines in again.values() for line in lines] == read
    assert len(problems) == ("not closed" in text) + ('"a"b' in text)


def test_numbers_of_a_table_are_kept_alike_by_the_short_way_and_the_long(monkeypatch):
    cells = ("0", "1", "12", "12.5", "0.25", "41.205", "120345", "3.899", "7.10", "100.000001", "012", "1,5", "1e3", "-4", "")
    named = (book_table._column(f"{field} ({entry.unit})") for field, entry in ENTRY.items())
    columns = [column for column in named if column and column.holds_numbers]
    asked = [(column, cell, Habits(comma, False)) for column in columns for cell in cells for comma in (False, True)]
    short = [book_table._number(*one) for one in asked]
    monkeypatch.setattr(book_table, "_PLAIN_NUMBER", book_table.re.compile("(?!)"))
    assert len(columns) > 5 and [book_table._number(*one) for one in asked] == short
