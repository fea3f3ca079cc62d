"""A fleet's CSV, as people have them: every good row gets its pack, every bad cell is told."""

import csv
import json
import os
import signal
import subprocess
import sys
import time

import pypdfium2
import pytest

import calculators
from print import fleet
from print.__main__ import main
from print.files import BESIDE
from print.pack import Order
from tests.print.paper import said

QUICK = ["--sheets", "emergency-def-in-fuel,service-log"]


def run(tmp_path, data, *more):
    file = tmp_path / "fleet.csv"
    file.write_bytes(data if isinstance(data, bytes) else data.encode())
    return main(["--fleet", str(file), "--out", str(tmp_path / "out"), *QUICK, *more])


def packs(tmp_path):
    return {path.name: path.read_bytes() for path in (tmp_path / "out").glob("*.pdf")}


def test_the_example_fleet_is_the_example_trucks():
    rows, problems = fleet.read(fleet.example().encode())
    assert not problems
    wanted = [calculators.read_truck(json.dumps(calculators.example_truck(name)))[0] for name in calculators.example_trucks()]
    for row, truck in zip(rows, wanted, strict=True):
        answers = [calculators.answer(name, truck=each, today="2026-11-25") for name in calculators.NAMES for each in (row.truck, truck)]
        for ours, theirs in zip(answers[::2], answers[1::2], strict=True):
            assert ours["results"] == theirs["results"], ours["calculator"]


@pytest.mark.parametrize("data", [
    "name,odometer (mi),done.engine_oil.date\r\nA,41200,2026-07-01\r\n",
    "\ufeffname,odometer (mi),done.engine_oil.date\n\nA,\"41,200\",7/1/2026\n\n".encode(),
    "name;odometer (mi);done.engine_oil.date\nA;41200;01.07.2026\n;;\n",
    "name\todometer (mi)\tdone.engine_oil.date\nA\t41200 mi\t2026-07-01 00:00:00\n",
    "name,odometer (mi),done.engine_oil.date\nA,41200,2026-07-01\n".encode("utf-16"),
    " name , odometer(mi) ,done.engine_oil.date\nA, 41200 ,\"Jul 1, 2026\"\n",
    "name,odometer (mi),done.engine_oil.date\rA,41200,46204\r",
    'name,"odometer (mi)","done.engine_oil.date"\n"A","41200","7/1/26"\n\n\n',
], ids=("plain", "mark", "semicolons", "tabs", "utf-16", "spaces", "a spreadsheet's own number of a day", "quotes"))
def test_reads_files_as_people_have_them(data):
    rows, problems = fleet.read(data if isinstance(data, bytes) else data.encode())
    assert not problems
    ((_, truck),) = rows
    assert truck["name"] == "A" and truck["facts"] == {"odometer": "41200 mi"}
    assert truck["done"] == {"engine_oil": {"date": "2026-07-01"}}


def test_a_decimal_comma():
    (row,), problems = fleet.read(b"name;fuel_price (USD/gal)\nA;3,90\n")
    assert not problems and row.truck["facts"] == {"fuel_price": "3.90 USD/gal"}


def told(rows):
    """What was read: each truck's name, its facts and when its oil was changed."""
    return [(truck["name"], *truck["facts"].values(), *(job["date"] for job in truck["done"].values())) for _, truck in rows]


def test_one_decimal_comma_makes_every_dot_between_three_digits_thousands():
    """Wherever in the file it stands, and with the unit in the cell too; a comma before three digits could be either and is refused."""
    head = "name;odometer (mi);engine_hours (h);fuel_price (USD/gal)\n"
    rows, problems = fleet.read(f"{head}A;41.200;1.310;4\nB;41.200 mi;1.234,5;3,90\nC;1,310;0,250;3.9\nD;1,234.5;2;3,90 USD/gal\n".encode())
    assert told(rows) == [("A", "41200 mi", "1310 h", "4 USD/gal"), ("B", "41200 mi", "1234.5 h", "3.90 USD/gal"),
                          ("D", "1234.5 mi", "2 h", "3.90 USD/gal")]
    assert [problem[:3] for problem in problems] == [(4, "odometer", "1,310")]
    assert "write 1310, or 1,3100 if" in problems[0].do


def test_without_one_the_bounds_say_what_a_mark_before_three_digits_is():
    head = "name;odometer (mi);engine_hours (h);oil_capacity (qt);fuel_price (USD/gal)\n"
    rows, problems = fleet.read(f"{head}A;87 412;1,310;13,125;3.899\nB;41.200;1310;13;4\n".encode())
    assert told(rows) == [("A", "87412 mi", "1310 h", "13.125 qt", "3.899 USD/gal")]
    assert [(problem[:3], problem.do) for problem in problems] == [
        ((3, "odometer", "41.200"), "write 41200 mi or 41.2 mi, whichever you mean")]


def test_a_column_s_unit_is_that_of_every_bare_number_in_it():
    rows, problems = fleet.read("name;odometer (km)\nA;87 412\nB;½\nC;12 1/2\nD;1,234.5\nE;87,412\nF;5 mi\n".encode())
    assert not problems
    assert told(rows) == [("A", "87412 km"), ("B", "0.5 km"), ("C", "12.5 km"), ("D", "1234.5 km"), ("E", "87412 km"), ("F", "5 mi")]


def test_one_day_above_twelve_makes_every_slash_date_day_first():
    rows, problems = fleet.read(b"name,done.engine_oil.date\nA,05/07/2026\nB,13/07/2026\nC,7/25/2026\nD,2026-07-05\n")
    assert told(rows) == [("A", "2026-07-05"), ("B", "2026-07-13"), ("D", "2026-07-05")]
    assert [problem[:3] for problem in problems] == [(4, "done.engine_oil.date", "7/25/2026")]
    rows, problems = fleet.read(b"name,done.engine_oil.date\nA,05/07/2026\nB,7/25/2026\n")
    assert not problems and told(rows) == [("A", "2026-05-07"), ("B", "2026-07-25")]


@pytest.mark.parametrize("day", ["13-Jul-26", "7/13/2026 0:00", "7/13/2026 12:00:00 AM", "13.7.26", "46216.5", "2026-07-13T00:00:00.000Z"])
def test_a_spreadsheet_s_dates(day):
    rows, problems = fleet.read(f"name,done.engine_oil.date\nA,{day}\n".encode())
    assert not problems and told(rows) == [("A", "2026-07-13")]


def test_headings_in_capitals_under_a_told_delimiter():
    """`sep=;` is a line that a spreadsheet doesn't show: the headings under it stay row 1."""
    rows, problems = fleet.read(b"sep=;\r\nName;ODOMETER (MI);Fuel_Price (usd/gal)\r\nA, B, C, D;100;4\r\nE;x;4\r\n")
    assert told(rows) == [("A, B, C, D", "100 mi", "4 USD/gal")]
    assert [problem[:3] for problem in problems] == [(3, "odometer", "x")]


def test_an_unknown_column_is_left_out_and_told_once(tmp_path, capsys):
    assert run(tmp_path, "name,note (a),VIN number,odometer (mi),done.engine_oil.mood\nA,x,1,100,good\nB,y,2,200,bad\n") == 1
    assert set(packs(tmp_path)) == {"a.pdf", "b.pdf"}
    heard = capsys.readouterr().err.splitlines()
    assert [line.split(":")[0] for line in heard] == ["row 1, VIN number", "row 1, done.engine_oil.mood", "row 1, note (a)"]
    assert all("the column was left out" in line and "--example-fleet" in line for line in heard)


def test_two_columns_of_one_name_cannot_be_trusted():
    rows, problems = fleet.read(b"name,odometer (mi),Odometer (km)\nA,100,160\n")
    assert not rows and [problem[:2] for problem in problems] == [(1, "odometer")] and "leave only one" in problems[0].do


def test_a_row_with_more_cells_than_headings_has_slipped():
    """An unquoted comma moves what comes after it; empty cells at a row's or the headings' end move nothing."""
    rows, problems = fleet.read(b"name,odometer (mi),engine_hours (h),,\nA,41,200,1310\nB,300,7,,,,\nC,400\n")
    assert told(rows) == [("B", "300 mi", "7 h"), ("C", "400 mi")]
    assert [(problem.row, problem.value) for problem in problems] == [(2, "1310")] and "quotation marks" in problems[0].do


@pytest.mark.parametrize("after", [1, 20_000])
def test_a_quotation_mark_that_is_not_closed(after):
    """Short or longer than a CSV's cell may be: the rows before it stand, and what was swallowed is told."""
    rows, problems = fleet.read(("name,odometer (mi)\nA,100\n\"B,200\n" + "C,300\n" * after).encode())
    assert told(rows)[0] == ("A", "100 mi") and problems[0].row == 3 and problems[0].value == '"B,200'
    assert "close each quotation mark" in problems[0].do and "rows 3 to" in problems[0].do
    last = int(problems[0].do.split("rows 3 to ")[1].split()[0])
    assert [row.number for row in rows[1:]] == list(range(last + 1, after + 4))


def test_bad_cells_are_told_and_good_rows_packed(tmp_path, capsys):
    data = "name,fuel_price (USD/gal),done.engine_oil.date,color\nGood,3.9,,\nBad,twelve,13/40/2026,\n=Odd,-3.9,,red\n"
    assert run(tmp_path, data) == 1
    assert set(packs(tmp_path)) == {"good.pdf"}
    told = list(csv.DictReader((tmp_path / "out" / "problems.csv").open(encoding="utf-8-sig")))
    assert [(each["row"], each["column"], each["value"]) for each in told] == [
        ("1", "color", "color"), ("3", "done.engine_oil.date", "13/40/2026"), ("3", "fuel_price", "twelve"), ("4", "fuel_price", "-3.9")]
    assert all(each["do"] for each in told)
    heard = capsys.readouterr()
    assert "row 3, fuel_price: 'twelve'" in heard.err and "1 pack in" in heard.out


def test_what_only_the_answer_shows_is_told_too(tmp_path, capsys):
    """More fuel than the tank holds: each cell is fine by itself."""
    assert run(tmp_path, "name,fuel_tank_capacity (gal),fuel_in_tank (gal)\nA,20,30\nB,30,20\n", "--sheets", "cold-morning-card") == 1
    assert "row 2, fuel_in_tank" in capsys.readouterr().err
    assert set(packs(tmp_path)) == {"b.pdf"}


def test_names_that_would_leave_the_folder_or_meet(tmp_path):
    names = ["../../etc/passwd", "Möwe/7", "möwe 7", "=cmd|calc", "雪" * 80, "..", "A.B"]
    assert run(tmp_path, "name\n" + "\n".join(names) + "\n") == 0
    made = packs(tmp_path)
    assert len(made) == len(names) and {path.name for path in tmp_path.iterdir()} == {"fleet.csv", "out"}
    assert {"etc-passwd.pdf", "möwe-7.pdf", "möwe-7-2.pdf", "truck.pdf"} <= set(made)
    assert "../../etc/passwd" in said(made["etc-passwd.pdf"])
    assert all(len(name.encode()) < 250 for name in made)


def test_unchanged_packs_are_skipped(tmp_path):
    data = "name,odometer (mi)\nA,100\nB,200\n"
    assert run(tmp_path, data) == 0
    first = {path.name: path.stat().st_mtime_ns for path in (tmp_path / "out").glob("*.pdf")}
    assert run(tmp_path, data.replace("200", "300")) == 0
    then = {path.name: path.stat().st_mtime_ns for path in (tmp_path / "out").glob("*.pdf")}
    assert then["a.pdf"] == first["a.pdf"] and then["b.pdf"] != first["b.pdf"]
    (tmp_path / "out" / "a.pdf").unlink()
    assert run(tmp_path, data.replace("200", "300")) == 0
    assert set(packs(tmp_path)) == {"a.pdf", "b.pdf"}


@pytest.mark.parametrize("data", [b"", b"another's"])
def test_a_pack_that_is_not_what_was_written_is_made_again(data, tmp_path):
    assert run(tmp_path, "name\nA\nB\n") == 0
    made = packs(tmp_path)
    (tmp_path / "out" / "a.pdf").write_bytes(data)
    assert run(tmp_path, "name\nA\nB\n") == 0
    assert packs(tmp_path) == made


@pytest.mark.parametrize("remembered", ['{"a.pdf": "0123abc"}', '{"a.pdf": null}', "[]", '{"a.pdf": {"from"'])
def test_a_list_in_another_form_only_means_making_again(remembered, tmp_path):
    assert run(tmp_path, "name\nA\n") == 0
    made, kept = packs(tmp_path), (tmp_path / "out" / fleet.MADE).read_text()
    (tmp_path / "out" / fleet.MADE).write_text(remembered)
    assert run(tmp_path, "name\nA\n") == 0
    assert packs(tmp_path) == made and (tmp_path / "out" / fleet.MADE).read_text() == kept


@pytest.mark.filterwarnings("ignore:.*tasks which were still being processed:UserWarning")
@pytest.mark.parametrize("killed", [False, True])
def test_a_run_that_was_broken_off_goes_on_where_it_was(killed, tmp_path, monkeypatch):
    """What was finished is remembered while the run goes on (killed, nothing can be written any more) and when it is broken off."""
    rows, _ = fleet.read(b"name\nA\nB\nC\nD\nE\n")
    order = Order(("service-log",), "letter", "en", "2026-11-25")
    monkeypatch.setattr(fleet, "KEPT_EVERY", 2)
    making = fleet.build(rows, tmp_path, order)
    assert [next(making) for _ in range(3)] == [[], [], []]
    then = (tmp_path / fleet.MADE).read_bytes()
    making.close()
    if killed:
        (tmp_path / fleet.MADE).write_bytes(then)
    asked = []
    monkeypatch.setattr(fleet, "_at_once", lambda rows, *_: asked.extend(row.truck["name"] for row in rows) or iter(()))
    with pytest.raises(ValueError, match="zip"):
        list(fleet.build(rows, tmp_path, order))
    assert asked == (["C", "D", "E"] if killed else ["D", "E"])


def test_a_shared_sheet_is_on_every_pack(tmp_path):
    assert run(tmp_path, "name,odometer (mi)\nA,100\nB,200\n") == 0
    for name, data in packs(tmp_path).items():
        assert len(pypdfium2.PdfDocument(data)) == 2
        assert "Donotturnthekey" in said(data) and name[0].upper() in said(data)


@pytest.mark.parametrize("data", ["", "\n\n", "truck,miles\nA,1\n", "name\n", b"\x00\x01\xff"])
def test_a_file_without_trucks(data, tmp_path, capsys):
    assert run(tmp_path, data) == 1
    assert "Traceback" not in capsys.readouterr().err
    assert (tmp_path / "out" / "problems.csv").exists() and not packs(tmp_path)


def test_ten_thousand_rows():
    head, line = fleet.example().splitlines()[:2]
    cells = line.split(",", 1)[1]
    data = "\n".join([head, *(f"Truck {number},{cells}" for number in range(9_999)), f"Last,{'x' + cells}"])
    rows, problems = fleet.read(data.encode())
    assert len(rows) == 9_999 and [problem.row for problem in problems] == [10_001]
    assert len(set(fleet.targets(rows))) == 9_999


def test_nothing_in_the_report_runs_in_a_spreadsheet(tmp_path, capsys):
    """What a cell of the fleet tried comes back as text; a plain number below nothing stays a number."""
    bad = ["=CMD()", "+1+1", "@SUM(1)", "-2+3", "-5", "=HYPERLINK(\"x\")"]
    quoted = [cell.replace('"', '""') for cell in bad]
    assert run(tmp_path, "name,odometer (mi)\n" + "".join(f'T{at},"{cell}"\n' for at, cell in enumerate(quoted))) == 1
    with (tmp_path / "out" / "problems.csv").open(encoding="utf-8-sig", newline="") as file:
        told = [each["value"] for each in csv.DictReader(file)]
    assert told == ["'=CMD()", "'+1+1", "'@SUM(1)", "'-2+3", "-5", "'=HYPERLINK(\"x\")"]


def test_killed_and_run_again(tmp_path):
    """Killed at any moment, what stands there is whole; the next run makes the rest and clears away."""
    file, out = tmp_path / "fleet.csv", tmp_path / "out"
    file.write_text("name\n" + "".join(f"Truck {number}\n" for number in range(40)))
    command = [sys.executable, "-m", "print", "--fleet", str(file), "--out", str(out), *QUICK]
    killed = subprocess.Popen(command, start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    while len(list(out.glob("*.pdf"))) < 3:
        assert killed.poll() is None, "it ended before it could be killed"
        time.sleep(0.02)
    os.killpg(killed.pid, signal.SIGKILL)
    killed.wait()
    (out / f"{BESIDE}left").write_bytes(b"half")
    before = packs(tmp_path)
    assert 3 <= len(before) < 40
    for data in before.values():
        assert len(pypdfium2.PdfDocument(data)) == 2
    assert main(command[3:]) == 0
    assert len(packs(tmp_path)) == 40 and not list(out.glob(f"{BESIDE}*"))
    assert {path.name for path in tmp_path.iterdir()} == {"fleet.csv", "out"}


@pytest.mark.audit
def test_a_cluster_makes_the_same_packs(tmp_path, capsys):
    """Handed to Dask workers in other processes, each pack comes out byte for byte as here; problems come back too."""
    distributed = pytest.importorskip("distributed", reason="`python3 -m tools.ready outside` gets Dask")
    data = "name,fuel_tank_capacity (gal),fuel_in_tank (gal)\nA,30,20\nB,20,30\nC,34,10\n"
    cold = ["--sheets", "cold-morning-card,emergency-no-start-cold"]
    for place in ("alone", "cluster"):
        (tmp_path / place).mkdir()
    assert run(tmp_path / "alone", data, *cold) == 1
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        assert run(tmp_path / "cluster", data, *cold, "--cluster", cluster.scheduler_address) == 1
    assert "row 3, fuel_in_tank" in capsys.readouterr().err
    assert packs(tmp_path / "cluster") == packs(tmp_path / "alone") and len(packs(tmp_path / "alone")) == 2


def test_without_dask_a_cluster_is_refused_in_words(tmp_path, capsys, monkeypatch):
    monkeypatch.setitem(sys.modules, "dask.distributed", None)
    assert run(tmp_path, "name\nA\n", "--cluster", "tcp://127.0.0.1:1") == 2
    assert "dask" in capsys.readouterr().err and not packs(tmp_path)


def test_the_fleet_needs_a_folder(tmp_path, capsys):
    file = tmp_path / "fleet.csv"
    file.write_text("name\nA\n")
    assert main(["--fleet", str(file)]) == 2 and "--out" in capsys.readouterr().err


def test_a_folder_that_cannot_be_is_told_before_any_pack_is_made(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(fleet, "build", lambda *_: pytest.fail("it began to make packs"))
    file = tmp_path / "fleet.csv"
    file.write_text("name\nA\n")
    for out in (file, "/proc/x"):
        assert main(["--fleet", str(file), "--out", str(out), *QUICK]) == 2
        heard = capsys.readouterr().err
        assert heard.startswith(f"{out}: no folder can be made there (") and heard.count("\n") == 1
