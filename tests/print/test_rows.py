"""Rows as trucks: every form that a cell may have, what a row of sums is, who stands twice; each told as it stands."""


import pytest

import calculators
from print import fleet
from print.problems import table


def told(read):
    """What was read: each truck's name, its readings, its facts and when its oil was changed."""
    return [(row.truck["name"], *(raw[meter] for raw in row.truck["book"] for meter in ("odometer", "engine_hours") if meter in raw),
             *row.truck["facts"].values(), *(raw["date"] for raw in row.truck["book"] if raw["kind"] == "job")) for row in read.rows]


def wrong(read):
    return [problem[:3] for problem in read.problems]


def test_the_example_fleet_is_the_example_trucks():
    """Their facts, last readings and last jobs; a row has no book."""
    read = fleet.read(fleet.example("2026-11-25").encode())
    assert not read.problems
    for row, name in zip(read.rows, calculators.example_trucks(), strict=True):
        assert calculators.fields_of(row.truck, "2026-11-25") == calculators.fields_of(calculators.example_truck(name), "2026-11-25")


@pytest.mark.parametrize("data", [
    "name,odometer (mi),done.engine_oil.date\r\nA,41200,2026-07-01\r\n",
    "\ufeffname,odometer (mi),done.engine_oil.date\n\nA,\"41,200\",7/1/2026\n\n".encode(),
    "name;odometer (mi);done.engine_oil.date\nA;41200;01.07.2026\n;;\n",
    "name\todometer (mi)\tdone.engine_oil.date\nA\t41200 mi\t2026-07-01 00:00:00\n",
    "name|odometer (mi)|done.engine_oil.date\nA|41'200|July 1, 2026\n",
    "name,odometer (mi),done.engine_oil.date\nA,41200,2026-07-01\n".encode("utf-16"),
    " name , odometer(mi) ,done.engine_oil.date\nA, 41 200 ,\"Jul 1, 2026\"\n",
    "name,odometer (mi),done.engine_oil.date\rA,41200,46204\r",
    'name,"odometer (mi)","done.engine_oil.date"\n"A","41200","7/1/26"\n\n\n',
    "Fleet, north; Nov 2026\n\nname;odometer (mi);done.engine_oil.date\nA;41\u202f200;1-Jul-26\n",
], ids=("plain", "mark", "semicolons", "tabs", "bars", "utf-16", "spaces", "a spreadsheet's own number of a day", "quotes",
        "a title with commas"))
def test_reads_files_as_people_have_them(data):
    read = fleet.read(data if isinstance(data, bytes) else data.encode())
    assert not read.problems
    (row,) = read.rows
    assert row.truck["name"] == "A" and [{key: one for key, one in raw.items() if key != "id"} for raw in row.truck["book"]] == [
        {"kind": "reading", "odometer": "41200 mi"}, {"kind": "job", "job": "engine_oil", "date": "2026-07-01"}]


def test_a_decimal_comma():
    read = fleet.read(b"name;fuel_price (USD/gal)\nA;3,90\n")
    assert not read.problems and read.rows[0].truck["facts"] == {"fuel_price": "3.90 USD/gal"}


def test_one_decimal_comma_makes_every_dot_between_three_digits_thousands():
    """Wherever in the file it stands, and with the unit in the cell too; a comma before three digits could be either and is refused."""
    head = "name;odometer (mi);engine_hours (h);fuel_price (USD/gal)\n"
    read = fleet.read(f"{head}A;41.200;1.310;4\nB;41.200 mi;1.234,5;3,90\nC;1,310;0,250;3.9\nD;1,234.5;2;3,90 USD/gal\n".encode())
    assert told(read) == [("A", "41200 mi", "1310 h", "4 USD/gal"), ("B", "41200 mi", "1234.5 h", "3.90 USD/gal"),
                          ("D", "1234.5 mi", "2 h", "3.90 USD/gal")]
    assert wrong(read) == [(4, "odometer (mi)", "1,310")]
    assert "write 1310, or 1,3100 if" in read.problems[0].do


def test_without_one_the_bounds_say_what_a_mark_before_three_digits_is():
    head = "name;odometer (mi);engine_hours (h);oil_capacity (qt);fuel_price (USD/gal)\n"
    read = fleet.read(f"{head}A;87 412;1,310;13,125;3.899\nB;41.200;1310;13;4\n".encode())
    assert told(read) == [("A", "87412 mi", "1310 h", "13.125 qt", "3.899 USD/gal")]
    assert [(problem[:3], problem.do) for problem in read.problems] == [
        ((3, "odometer (mi)", "41.200"), "write 41200 mi or 41.2 mi, whichever you mean")]


def test_a_column_s_unit_is_that_of_every_bare_number_in_it():
    read = fleet.read("name;odometer (km)\nA;87 412\nB;½\nC;12 1/2\nD;1,234.5\nE;87,412\nF;5 mi\n".encode())
    assert not read.problems
    assert told(read) == [("A", "87412 km"), ("B", "0.5 km"), ("C", "12.5 km"), ("D", "1234.5 km"), ("E", "87412 km"), ("F", "5 mi")]


@pytest.mark.parametrize(("cell", "facts"), [
    ("$3.90", {"fuel_price": "3.9 USD/gal"}), ("$ 3.90", {"fuel_price": "3.9 USD/gal"}), ("n/a", {}), ("–", {}), ("TBD", {}), ("", {}),
])
def test_money_and_what_is_not_known(cell, facts):
    read = fleet.read(f"name,fuel_price (USD/gal)\nA,{cell}\n".encode())
    assert not read.problems and read.rows[0].truck["facts"] == facts


@pytest.mark.parametrize(("cell", "said"), [("x", "yes"), ("Y", "yes"), ("yes", "yes"), ("✓", "yes"), ("1", "yes"), ("n", "no"), ("No",
                                                                                                                                  "No"),
                                                                                                                                  ("0",
                                                                                                                                   "no")])
def test_what_is_ticked(cell, said):
    assert fleet.read(f"name,severe_use\nA,{cell}\n".encode()).rows[0].truck["facts"] == {"severe_use": said}


# Days --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("day", [
    "13-Jul-26", "7/13/2026 0:00", "7/13/2026 12:00:00 AM", "13.7.26", "46216.5", "2026-07-13T00:00:00.000Z", "13/7/2026", "13-07-2026",
    "07-13-2026", "July 13, 2026", "Jul 13 2026", "13 July 2026", "Monday, July 13, 2026", "Jul. 13th, 2026", "20260713", "2026/7/13",
    "13-jul-2026",
])
def test_days_as_spreadsheets_and_people_write_them(day):
    read = fleet.read(f'name,done.engine_oil.date\nA,"{day}"\n'.encode())
    assert not read.problems and told(read) == [("A", "2026-07-13")]


def test_a_day_that_could_be_two_goes_by_what_else_the_file_shows():
    head = "name,done.engine_oil.date\nA,05/07/2026\n"
    assert told(fleet.read(head.encode())) == [("A", "2026-05-07")]
    assert told(fleet.read(f"{head}B,13/07/2026\n".encode())) == [("A", "2026-07-05"), ("B", "2026-07-13")]
    assert told(fleet.read(f"{head}B,7/25/2026\n".encode())) == [("A", "2026-05-07"), ("B", "2026-07-25")]


def test_of_both_orders_what_can_be_told_apart_is_read():
    """Only the day that could be either is refused, with both readings written out."""
    read = fleet.read(b"name,done.engine_oil.date\nA,05/07/2026\nB,13/07/2026\nC,7/25/2026\nD,2026-07-05\nE,6/6/2026\n")
    assert told(read) == [("B", "2026-07-13"), ("C", "2026-07-25"), ("D", "2026-07-05"), ("E", "2026-06-06")]
    assert wrong(read) == [(2, "done.engine_oil.date", "05/07/2026")] and "write 2026-05-07 or 2026-07-05" in read.problems[0].do


@pytest.mark.parametrize("day", ["13/40/2026", "2026-02-30", "July 2026", "soon"])
def test_what_is_no_day_is_refused(day):
    read = fleet.read(f"name,Last oil date\nA,{day}\n".encode())
    assert wrong(read) == [(2, "Last oil date", day)]


# Rows --------------------------------------------------------------------------------------------


def test_headings_in_capitals_under_a_told_delimiter():
    """`sep=;` is a line that a spreadsheet doesn't show: the headings under it stay row 1."""
    read = fleet.read(b"sep=;\r\nName;ODOMETER (MI);Fuel_Price (usd/gal)\r\nA, B, C, D;100;4\r\nE;x;4\r\n")
    assert told(read) == [("A, B, C, D", "100 mi", "4 USD/gal")]
    assert wrong(read) == [(3, "ODOMETER (MI)", "x")]


def test_a_row_with_more_cells_than_headings_has_slipped():
    """An unquoted comma moves what comes after it; empty cells at a row's or the headings' end move nothing."""
    read = fleet.read(b"name,odometer (mi),engine_hours (h),,\nA,41,200,1310\nB,300,7,,,,\nC,400\n")
    assert told(read) == [("B", "300 mi", "7 h"), ("C", "400 mi")]
    assert [(problem.row, problem.value) for problem in read.problems] == [(2, "1310")] and "quotation marks" in read.problems[0].do


@pytest.mark.parametrize("after", [1, 20_000])
def test_a_quotation_mark_that_is_not_closed(after):
    """Short or longer than a CSV's cell may be: the rows before it stand, and what was swallowed is told."""
    read = fleet.read(("name,odometer (mi)\nA,100\n\"B,200\n" + "".join(f"C{at},300\n" for at in range(after))).encode())
    assert told(read)[0] == ("A", "100 mi") and read.problems[0].row == 3 and read.problems[0].value == '"B,200'
    assert "close each quotation mark" in read.problems[0].do and "rows 3 to" in read.problems[0].do
    last = int(read.problems[0].do.split("rows 3 to ")[1].split()[0])
    assert [row.number for row in read.rows[1:]] == list(range(last + 1, after + 4))


@pytest.mark.parametrize("named", ["TOTAL", "Total:", "Grand total", "Average", "Averages", "Sub-total", "AVG", "Sum"])
@pytest.mark.parametrize("place", [0, 1])
def test_rows_of_sums_are_no_trucks(named, place):
    cells = [named, ""] if place == 0 else ["", named]
    read = fleet.read(f"Unit #,Truck,Odo (mi)\n12,Oak,100\n{','.join(cells)},100\n".encode())
    assert len(read.rows) == 1
    assert [(problem.row, problem.value, problem.outcome) for problem in read.problems] == [(3, named, "left out")]


@pytest.mark.parametrize("named", ["Total Landscaping 3", "Summit", "Averil", "Sumner"])
def test_trucks_whose_names_only_begin_so_are_trucks(named):
    assert len(fleet.read(f"name,odometer (mi)\n{named},100\n".encode()).rows) == 1


def test_headings_that_a_printed_table_repeats_are_passed_over():
    read = fleet.read(b"name,Odo\nA,1\nname,Odo\nB,2\n")
    assert [row.number for row in read.rows] == [2, 4] and not read.problems


def test_a_row_that_names_no_truck_is_told():
    read = fleet.read(b"Unit,VIN,Odo (mi)\n,,100\n,,\n12,,5\n")
    assert [(problem.row, problem.column, problem.value) for problem in read.problems] == [(2, "Unit", "100")] and len(read.rows) == 1


def test_a_row_with_nothing_but_a_name_is_asked_about():
    """A yard's name between its trucks looks like one."""
    read = fleet.read(b"Unit,Truck,Odo (mi),Driver\nNorth yard,,,\n12,Oak,5,Ann\n")
    assert [(problem.row, problem.outcome) for problem in read.problems] == [(2, "warned")] and len(read.rows) == 2


@pytest.mark.parametrize(("cells", "name"), [("12,,", "Unit 12"), (",Oak,", "Oak"), ("12,Oak,", "Oak"), (",,11111111111111111",
                                                                                                         "VIN 11111111")])
def test_what_a_truck_is_called(cells, name):
    assert [row.truck["name"] for row in fleet.read(f"Unit,Truck,VIN\n{cells}\n".encode()).rows] == [name]


def test_identity_is_kept_as_it_stands_and_a_vin_tidied():
    head = "Unit #,VIN,Plate,Driver,Yard,Model year,Tire size,Make,Owner"
    (row,) = fleet.read(f"{head}\n0012,1g4ah59h4-5g 118341,EX 42,  Ann   Lee ,North,2019,LT275/70R18,,\n".encode()).rows
    assert row.truck["identity"] == {"unit": "0012", "vin": "1G4AH59H45G118341", "plate": "EX 42", "driver": "Ann Lee", "location": "North",
                                     "model_year": "2019", "tire_size": "LT275/70R18"}


def test_idle_hours_are_a_reading_of_the_book():
    (row,) = fleet.read(b"Unit,Odo,Engine hours,Idle hours,Reading date\n12,41200,1310,520,11/20/2026\n").rows
    readings = [{name: told for name, told in entry.items() if name != "id"} for entry in row.truck["book"]]
    assert {"kind": "reading", "idle_hours": "520 h", "date": "2026-11-20"} in readings
    assert {"kind": "reading", "odometer": "41200 mi", "engine_hours": "1310 h", "date": "2026-11-20"} in readings


@pytest.mark.parametrize(("row", "heading", "cell"), [
    ("11/31/2026,5000,90", "Reading Date", "11/31/2026"), ("2026-11-20,5000,abc", "Idle Hrs", "abc"),
    ("2026-11-20,5000,999999999", "Idle Hrs", "999999999")])
def test_what_is_wrong_in_a_cell_of_a_reading_is_told_once_and_by_its_heading(row, heading, cell):
    read = fleet.read(f"Unit,Reading Date,Odometer,Idle Hrs\n7,{row}\n".encode())
    (problem,) = read.problems
    assert not read.rows and (problem.row, problem.column, problem.value) == (2, heading, cell)


def test_a_vin_that_cannot_be_is_a_warning_and_its_truck_stands():
    read = fleet.read(b"name,VIN\nA,11111111111111112\nB,1111111111111111O\n")
    assert len(read.rows) == 2
    assert [(problem.row, problem.column, problem.value, problem.outcome) for problem in read.problems] == [
        (2, "VIN", "11111111111111112", "warned"), (3, "VIN", "1111111111111111O", "warned")]


@pytest.mark.parametrize(("rows", "refused"), [
    ("12,Oak,\n13,Oak,\n", []), ("12,Oak,\n 12 ,Elm,\n", [2, 3]), (",Oak,\n, oak,\n", [2, 3]), (",Oak,\n12,Oak,\n", []),
    ("12,Oak,11111111111111111\n13,Elm,1111111 1111111111\n14,Yew,\n", [2, 3]), (",Oak,11111111111111111\n,Oak,1M8GDM9AXKP042788\n", [2,
                                                                                                                                      3]),
    ("12,Oak,\n13,Elm,\n12,Yew,\n12,Ash,\n", [2, 4, 5]),
])
def test_what_stands_twice_is_refused_by_both_numbers(rows, refused):
    read = fleet.read(f"Unit,Truck,VIN\n{rows}".encode())
    assert sorted(problem.row for problem in read.problems) == refused
    assert not {row.number for row in read.rows} & set(refused)
    assert all(str(number) in problem.do for problem in read.problems for number in refused)


def test_a_truck_whose_row_is_refused_still_stands_for_another():
    """Its cell mended, both would be refused: so they are now."""
    read = fleet.read(b"Unit,Odo (mi)\n12,x\n12,100\n")
    assert not read.rows and {problem.row for problem in read.problems} == {2, 3}


def test_nothing_in_the_report_runs_in_a_spreadsheet():
    """What a cell of the fleet tried comes back as text; a plain number below nothing stays a number."""
    read = fleet.read(b"name,fuel_price (USD/gal),@odd\nA,=1+1,\nB,-3.9,\nC,+cmd,\nD,-cmd,\nE,\tx,\n")
    cells = [line.split(",")[2] for line in table(read.problems).splitlines()[1:]]
    assert cells == ["'=1+1", "-3.9", "'+cmd", "'-cmd", "x"]


def test_a_report_quotes_sheet_row_heading_and_cell():
    read = fleet.read(b"name,Odo (mi)\nA,twelve\n")
    assert str(read.problems[0]._replace(sheet="Trucks")).startswith("sheet 'Trucks', row 2, Odo (mi): 'twelve': write a number")
    assert table(read.problems).startswith("\ufeffrow,column,value,do,sheet,outcome\n2,Odo (mi),twelve,")


def test_ten_thousand_rows():
    head, line = fleet.example().splitlines()[:2]
    cells = line.split(",", 1)[1]
    data = "\n".join([head, *(f"Truck {number},{cells}" for number in range(9_999)), f"Last,{'x' + cells}"])
    read = fleet.read(data.encode())
    assert len(read.rows) == 9_999 and [problem.row for problem in read.problems] == [10_001]
