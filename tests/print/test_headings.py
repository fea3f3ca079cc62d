"""What stands above a column: its own name, the words people use, a unit; what is unclear is asked, not guessed."""

import pytest

from print import fleet, headings
from print.spreadsheet import Sheet


def found(*names, below=(), kept=None):
    sheet = Sheet("", [(1, list(names)), *((2 + at, list(line)) for at, line in enumerate(below))], [])
    return headings.read(sheet, 0, kept or {})


def one(name, *cells):
    """What a heading is taken for: its fact and unit, nothing, or what to write instead."""
    read = found("name", name, below=[["A", cell] for cell in cells])
    columns = [(column.field, column.unit) for column in read.columns.values() if column.heading == name]
    return columns[0] if columns else (read.problems[0].do if read.problems else None)


@pytest.mark.parametrize(("heading", "field", "unit"), [
    ("odometer (mi)", "odometer", "mi"), ("ODOMETER (MI)", "odometer", "mi"), ("Odometer [km]", "odometer", "km"), ("Odo", "odometer",
                                                                                                                    "mi"),
    ("Mileage", "odometer", "mi"), ("Current Miles", "odometer", "mi"), ("Odometer, km", "odometer", "km"), ("Odometer – miles",
                                                                                                             "odometer", "mi"),
    ("Truck mileage", "odometer", "mi"), ("Engine Hrs.", "engine_hours", "h"), ("Hour meter", "engine_hours", "h"),
    ("Idle hrs", "idle_hours", "h"), ("As of", "read_on", ""), ("Reading date", "read_on", ""), ("Fuel price ($/gal)", "fuel_price",
                                                                                                 "USD/gal"),
    ("Price per gallon", "fuel_price", "USD/gal"), ("GVWR (lbs)", "gross_rating", "lbs"), ("Front GAWR", "front_axle_rating", "lb"),
    ("Unit #", "unit", ""), ("Unit No.", "unit", ""), ("Asset", "unit", ""), ("Equipment ID", "unit", ""), ("VIN number", "vin", ""),
    ("License plate", "plate", ""), ("Tag", "plate", ""), ("Assigned to", "driver", ""), ("Yard", "location", ""), ("Model Year",
                                                                                                                    "model_year", ""),
    ("Tire size", "tire_size", ""), ("Last oil date", "done.engine_oil.date", ""),
    ("Last oil change miles", "done.engine_oil.odometer", "mi"), ("Oil change hours", "done.engine_oil.engine_hours", "h"),
    ("Fuel filter date", "done.fuel_filters.date", ""), ("Last Fuel Filter Miles", "done.fuel_filters.odometer", "mi"),
    ("done.engine_oil.date", "done.engine_oil.date", ""), ("oil_interval", "oil_interval", ""),
    ("Oil interval", "interval.engine_oil.distance", "mi"), ("Oil change interval (months)", "interval.engine_oil.time", "month"),
    ("Last oil change (miles)", "done.engine_oil.odometer", "mi"), ("Fuel filter interval (h)", "interval.fuel_filters.engine_hours", "h"),
    ("Sheets", "sheets", ""),
])
def test_words_that_people_write(heading, field, unit):
    assert one(heading) == (field, unit)


@pytest.mark.parametrize("heading", ["Fuel card", "Fuel card number", "Insurance date", "Phone number", "Note", "Miles to go",
                                     "done.engine_oil.mood"])
def test_what_a_truck_has_no_fact_for_is_never_guessed(heading):
    assert one(heading) is None
    assert found("name", heading).ignored == [heading]


@pytest.mark.parametrize(("heading", "said"), [
    ("Meter", "odometer or engine hours"), ("Year", "model year"), ("License", "plate"), ("Last service", "last oil change date"),
    ("Date", "reading date"), ("Odometer (furlongs)", "no unit it can be in: write mi or km"), ("Tank (gal)", "fuel tank or DEF tank"),
])
def test_what_could_mean_more_than_one_thing_is_asked(heading, said):
    assert said in one(heading)


def test_a_truck_s_name():
    assert [column.field for column in found("Truck", "Unit #").columns.values()] == ["name", "unit"]


def test_hours_alone_are_engine_hours_unless_an_idle_column_stands_beside():
    assert one("Hours") == ("engine_hours", "h")
    read = found("name", "Hours", "Idle hours")
    assert [column.field for column in read.columns.values()] == ["name", "idle_hours"]
    assert [(problem.column, problem.outcome) for problem in read.problems] == [("Hours", "warned")]


def test_a_job_alone_is_its_day_where_days_stand_below():
    assert one("Last oil change", "7/1/2026", "2026-08-02") == ("done.engine_oil.date", "")
    assert "write “date”, “miles” or “hours”" in one("Last oil change", "38000", "41000")
    assert "write “date”, “miles” or “hours”" in one("Oil changed at")


def test_a_unit_that_is_not_told_is_assumed_and_said_once():
    read = found("name", "Odo", below=[["A", "1"], ["B", "2"]])
    assert [note for note in read.notes if "Odo" in note] == ["'Odo' names no unit: taken as mi"] and not read.problems
    assert not found("name", "odometer (mi)", "Miles").notes


def test_two_columns_for_one_fact_are_both_named_and_neither_is_read():
    read = found("name", "Odo", "Mileage")
    assert [column.field for column in read.columns.values()] == ["name"]
    assert [problem.do.split(":")[0] for problem in read.problems] == ["'Odo' and 'Mileage' both hold odometer, so neither was read"]


def test_titles_above_the_headings_are_passed_over():
    data = b"Fleet list, as of Nov 30, 2026,,\n,,\nUnit #,Odo,Driver\n12,100,Ann\n"
    read = fleet.read(data)
    assert [(row.number, row.truck["identity"]["unit"]) for row in read.rows] == [(4, "12")] and not read.problems


@pytest.mark.parametrize("data", [b"", b"\n\n", b"color,mood\nred,good\n", b"\x00\x01\xff", b"Fleet list\n"])
def test_without_headings_of_trucks_nothing_is_read(data):
    read = fleet.read(data)
    assert not read.rows and "“name”, “unit” or “VIN”" in read.problems[-1].do


# The kept file -----------------------------------------------------------------------------------


HEAD = "Unit #,Odo,Hours,Idle hrs,Color,Odo 2\n12,100,20,3,red,7\n"


def test_what_was_found_is_kept_and_used_again():
    first = fleet.read(HEAD.encode())
    lines = dict(line.split(",", 1) for line in first.headings.removeprefix("\ufeff").splitlines())
    assert lines == {"heading": "holds,unit", "Unit #": "unit,", "Odo": "odometer,mi", "Hours": "?,", "Idle hrs": "idle_hours,h",
                     "Color": "(left out),", "Odo 2": "(left out),"}
    again = fleet.read(HEAD.encode(), kept=first.headings.encode())
    assert again.rows == first.rows and [problem.column for problem in again.problems] == ["Hours"]
    assert not any("taken by their words" in note for note in again.notes)


def test_a_corrected_line_wins():
    kept = "heading;holds;unit\nHours;engine_hours;h\nOdo;(left out);\nOdo 2;odometer;km\n"
    read = fleet.read(HEAD.encode(), kept=kept.encode())
    assert not read.problems
    told = {name: value for entry in read.rows[0].truck["book"] if entry["kind"] == "reading" for name, value in entry.items()}
    assert {"engine_hours": "20 h", "odometer": "7 km", "idle_hours": "3 h"}.items() <= told.items()
    assert "Hours,engine_hours,h" in read.headings and "Odo,(left out)," in read.headings


@pytest.mark.parametrize(("line", "said"), [("Odo,mood,", "'mood', which no truck has"), ("Odo,odometer,lb", "no unit it can be in")])
def test_a_line_that_was_corrected_wrongly_says_so(line, said):
    read = fleet.read(HEAD.encode(), kept=f"heading,holds,unit\n{line}\n".encode())
    assert any(said in problem.do for problem in read.problems) and line in read.headings


def test_a_kept_file_that_is_none_means_nothing():
    assert fleet.read(HEAD.encode(), kept=b"\xff\x00 no table \n\n").rows == fleet.read(HEAD.encode()).rows


def test_every_word_of_the_table_means_one_thing():
    """Words under two facts would be asked about without anybody having meant it."""
    for words, meanings in headings._synonyms().items():
        assert len({each.field for each in meanings}) <= 1, (words, meanings)
    for words in headings._table()["ask"]:
        assert words not in headings._synonyms()
