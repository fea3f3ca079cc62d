"""Files as people have them: CSV of any habit, and real workbooks, read as they stand."""

import io
from datetime import datetime, timedelta

import pytest
import xlsxwriter

from print import fleet, spreadsheet


def workbook(*sheets, hidden=()):
    """A real workbook: a name and its cells by place; a cell may come with its format."""
    target = io.BytesIO()
    book = xlsxwriter.Workbook(target)
    for name, cells in sheets:
        page = book.add_worksheet(name)
        for place, value in cells.items():
            value, form = value if isinstance(value, tuple) else (value, None)
            style = book.add_format({"num_format": form}) if form else None
            if isinstance(value, datetime):
                page.write_datetime(place, value, style)
            else:
                page.write(place, value, style)
        if name in hidden:
            page.hide()
    book.close()
    return target.getvalue()


def table(name, *lines):
    """A sheet from lines, from its first cell on."""
    return name, {f"{chr(65 + column)}{row}": value for row, line in enumerate(lines, 1) for column,
                  value in enumerate(line) if value != ""}


def test_cells_as_they_stand():
    data = workbook(("Fleet", {
        "A2": "0012", "B2": (12, "0000"), "C2": 41200.0, "D2": 0.1 + 0.2, "E2": (datetime(2026, 11, 30), "m/d/yyyy"),
        "F2": (datetime(2026, 11, 30, 14, 5), "m/d/yyyy h:mm"), "G2": True, "H2": (1310.5 / 24, "[h]:mm"), "I2": " padded "}))
    (sheet,) = spreadsheet.read(data)
    assert sheet.name == "Fleet" and not sheet.hidden and not sheet.problems
    assert sheet.lines == [(2, ["0012", "12", "41200", "0.3", "2026-11-30", "2026-11-30 14:05", "yes", "1310.5 h", "padded"])]


def test_a_formula_is_the_value_that_was_kept():
    target = io.BytesIO()
    book = xlsxwriter.Workbook(target)
    page = book.add_worksheet()
    page.write_formula("A1", "=41000+200", value=41200)
    page.write_formula("B1", '="Oak"&" 7"', value="Oak 7")
    page.write("C1", "end")
    book.close()
    assert spreadsheet.read(target.getvalue())[0].lines == [(1, ["41200", "Oak 7", "end"])]


def test_rows_keep_their_numbers_over_empty_ones():
    (sheet,) = spreadsheet.read(workbook(("A", {"A3": "name", "A7": "Oak"})))
    assert sheet.lines == [(3, ["name"]), (7, ["Oak"])]


def test_the_sheet_with_headings_of_trucks_is_read():
    data = workbook(table("Read me", ["Fleet of the north yard"], ["Ask before you change it"]), table("Trucks", ["Unit #", "Odo (mi)"],
                                                                                                       ["12", 100]))
    read = fleet.read(data)
    assert [row.truck["identity"]["unit"] for row in read.rows] == ["12"] and "sheet 'Trucks' was read" in read.notes


@pytest.mark.parametrize(("tab", "units"), [("Old", ["99"]), ("old", ["99"]), ("Trucks", ["12"])])
def test_a_named_sheet_is_read_even_where_another_fits_or_it_is_hidden(tab, units):
    data = workbook(table("Trucks", ["unit"], ["12"]), table("Old", ["unit"], ["99"]), hidden=("Old",))
    assert [row.truck["identity"]["unit"] for row in fleet.read(data, tab).rows] == units


def test_a_hidden_sheet_is_passed_over():
    assert len(fleet.read(workbook(table("Trucks", ["unit"], ["12"]), table("Old", ["unit"], ["99"]), hidden=("Old",))).rows) == 1


@pytest.mark.parametrize(("data", "tab", "said"), [
    (workbook(table("A", ["unit"], ["1"]), table("B", ["unit"], ["2"])), "", "several of its sheets .* --tab \\('A', 'B'\\)"),
    (workbook(table("A", ["x"]), table("B", ["y"])), "", "no sheet of it has headings of trucks"),
    (workbook(table("A", ["unit"], ["1"])), "C", "there is no sheet 'C' in it: name one of 'A'"),
    (workbook(table("A", ["unit"]))[:500], "", "no whole workbook"),
    (b"PK\x03\x04" + bytes(200), "", "no whole workbook"),
    (b"%PDF-1.7 ...", "", "this is a PDF"),
])
def test_what_is_no_table_says_so(data, tab, said):
    with pytest.raises(spreadsheet.Unreadable, match=said):
        fleet.read(data, tab)


def test_a_workbook_and_its_csv_are_the_same_fleet():
    lines = [["name", "odometer (mi)", "Last oil date", "Plow"], ["Oak", 41200, (datetime(2026, 7, 1), "d.m.yy"), "x"]]
    read = fleet.read(workbook(table("Fleet", *lines)))
    as_csv = fleet.read(b"name,odometer (mi),Last oil date,Plow\nOak,41200,2026-07-01,x\n")
    assert [row.truck for row in read.rows] == [row.truck for row in as_csv.rows] and read.problems == as_csv.problems == []


def test_a_remark_beside_a_workbook_s_table_is_no_slip():
    """Cells of a workbook can't slip; in a CSV one comma too many moves all that comes after."""
    lines = [["name", "odometer (mi)"], ["Oak", 41200, "", "sold?"]]
    assert not fleet.read(workbook(table("Fleet", *lines))).problems
    assert fleet.read(b"name,odometer (mi)\nOak,41200,,sold?\n").problems


def test_a_large_workbook_is_read_in_a_moment():
    cells = {f"{chr(65 + column)}{row}": f"{row} {column}" for row in range(2, 5001) for column in range(20)}
    data = workbook(("Fleet", {"A1": "name"} | cells))
    began = datetime.now()
    assert len(spreadsheet.read(data)[0].lines) == 5000
    assert datetime.now() - began < timedelta(seconds=10)
