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


def test_bad_cells_are_told_and_good_rows_packed(tmp_path, capsys):
    data = "name,fuel_price (USD/gal),done.engine_oil.date,color\nGood,3.9,,\nBad,twelve,13/40/2026,\n=Odd,3.9,,red\n"
    assert run(tmp_path, data) == 1
    assert set(packs(tmp_path)) == {"good.pdf"}
    told = list(csv.DictReader((tmp_path / "out" / "problems.csv").open(encoding="utf-8-sig")))
    assert [(each["row"], each["column"], each["value"]) for each in told] == [
        ("3", "done.engine_oil.date", "13/40/2026"), ("3", "fuel_price", "twelve"), ("4", "color", "red")]
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
