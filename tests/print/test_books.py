"""A fleet with a table of entries: each truck's rows go into its book, alarms and dates come from there, what is nobody's is named."""

import csv
from datetime import date, timedelta
from itertools import cycle, islice

import pytest

from print import books, packs
from print.__main__ import main
from print.roster import who
from print.spreadsheet import Unreadable

DAY = date(2026, 11, 25)
FLEET = "name,unit,VIN\nOak,7,1M8GDM9AXKP042788\nElm,9,\nElm,10,\n"
HEAD = "truck,date,kind,odometer (mi),engine_hours (h),idle_hours (h),fuel (gal),job\n"


@pytest.fixture(autouse=True)
def day(monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str(int((DAY - date(1970, 1, 1)).days) * 86_400))


def fills(truck, worse_from):
    """A fill each week at 15 miles to a gallon, a little up and down; from one on it takes a quarter more."""
    rows, noise = [], islice(cycle((-0.3, 0.2, 0.4, -0.4, 0.1)), 40)
    for week, off in enumerate(noise):
        fuel = (20 + off) * (1.25 if week >= worse_from else 1)
        rows.append(f"{truck},{DAY - timedelta(weeks=40 - week)},fuel,{40_000 + 300 * week},{1000 + 9 * week},{100 + week},{fuel:.1f},\n")
    return "".join(rows)


def run(tmp_path, table, *more):
    (tmp_path / "fleet.csv").write_text(FLEET)
    (tmp_path / "entries.csv").write_text(table)
    return main(["--fleet", str(tmp_path / "fleet.csv"), "--out", str(tmp_path / "out"), "--sheets", "service-log",
                 "--book", str(tmp_path / "entries.csv"), *more])


def table_of(file):
    with file.open(encoding="utf-8-sig", newline="") as opened:
        return list(csv.DictReader(opened))


def test_the_truck_whose_records_drift_is_named_first_and_in_a_table_of_its_own(tmp_path):
    table = HEAD + fills("7", 33) + fills("9", 99) + f"1M8GDM9AXKP042788,{DAY},job,52000,1360,,,engine_oil\n"
    assert run(tmp_path, table) == packs.GOOD
    alarms = table_of(tmp_path / "out" / packs.ALARMS)
    assert [(each["truck"], each["unit"]) for each in alarms] == [("Oak", "7")]
    assert 15 < float(alarms[0]["change (%)"]) < 35 and alarms[0]["since"] >= (DAY - timedelta(weeks=9)).isoformat()
    lines = table_of(tmp_path / "out" / "_fleet-overview.csv")
    assert [(each["unit"], bool(each["alarms"])) for each in lines] == [("7", True), ("10", False), ("9", False)]
    assert (lines[0]["read_on"], lines[0]["odometer (mi)"]) == (DAY.isoformat(), "52000.0")
    assert lines[0]["jobs_without_record"] == str(int(lines[2]["jobs_without_record"]) - 1)


def test_what_is_nobodys_and_what_won_t_do_is_told_by_the_table_s_row(tmp_path):
    table = HEAD + f"7,{DAY},reading,41000,,,,\nElm,{DAY},reading,5,,,,\nYew,{DAY},reading,5,,,,\n9,{DAY},reading,x,,,,\n"
    assert run(tmp_path, table) == packs.LEFT_OUT
    problems = table_of(tmp_path / "out" / packs.PROBLEMS)
    told = [tuple(each[name] for name in ("sheet", "row", "column", "value", "outcome")) for each in problems]
    assert told == [("entries.csv", "3", "truck", "elm", "warned"), ("entries.csv", "4", "truck", "yew", "warned"),
                    ("entries.csv", "5", "odometer (mi)", "x", "left out")]
    assert len(list((tmp_path / "out").glob("*service-log*.pdf"))) == 3


def test_the_second_night_makes_only_the_truck_with_a_new_entry(tmp_path, capsys):
    table = HEAD + fills("7", 99) + fills("9", 99)
    assert run(tmp_path, table) == packs.GOOD
    capsys.readouterr()
    assert run(tmp_path, table + f"9,{DAY},job,52000,1360,,,engine_oil\n") == packs.GOOD
    assert "1 pack made" in capsys.readouterr().out


def test_a_table_without_trucks_is_refused():
    with pytest.raises(Unreadable, match="truck"):
        books.read("date,kind\n2026-01-01,reading\n", "entries.csv", {})


def test_a_truck_goes_by_vin_then_unit_then_a_name_of_its_own():
    trucks = {"a": who("Oak", {"unit": "7"}), "b": who("7", {"unit": "8"}), "c": who("Elm", {}), "d": who("Elm", {"unit": "9"})}
    named = ("7", "8", "oak ", "Elm")
    rows = "".join(f"{name},2026-01-0{day},reading,{day},,,,\n" for day, name in enumerate(named, 1))
    book = books.read(HEAD + rows, "entries.csv", trucks)
    assert {own: [cells[1][-1] for _, cells in rows] for own, rows in book.rows.items()} == {"a": ["1", "3"], "b": ["2"]}
    assert [problem.value for problem in book.problems] == ["elm"]
