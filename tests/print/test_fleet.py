"""A fleet's run: every good row gets its pack, a night makes only what has changed, and a file may be in any order."""

import csv
import errno
import json
import os
import signal
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import icalendar
import pypdfium2
import pytest
from joblib import cpu_count

from print import crew, night, packs
from print.__main__ import main
from print.files import BESIDE, BUSY
from print.memory import FILE, Memory
from print.order import Order
from tests.print.paper import said
from tools.ready import OUTSIDE_PYTHON

TWO = ("emergency-def-in-fuel", "service-log")
QUICK = ["--sheets", ",".join(TWO)]
BEHIND = f"-{TWO[0]}-and-1-more.pdf"
DAY = 86_400


def run(tmp_path, data, *more, sheets=QUICK):
    file = tmp_path / "fleet.csv"
    file.write_bytes(data if isinstance(data, bytes) else data.encode())
    return main(["--fleet", str(file), "--out", str(tmp_path / "out"), *sheets, *more])


def made(tmp_path):
    """The trucks' packs by the name of their truck."""
    return {path.name.removesuffix(BEHIND): path.read_bytes() for path in (tmp_path / "out").glob("*.pdf") if not path.name.startswith("_")}


def times(tmp_path):
    return {path.name.removesuffix(BEHIND): path.stat().st_mtime_ns for path in (tmp_path / "out").glob("[!_]*.pdf")}


def told(tmp_path):
    with (tmp_path / "out" / packs.PROBLEMS).open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


# What a run says and leaves -------------------------------------------------------------------------


def test_good_rows_get_packs_and_the_rest_is_counted(tmp_path, capsys):
    data = ("Unit #,Truck,VIN,Odo (mi),Last oil date,Color\n12,Oak,,100,2026-07-01,red\n13,Elm,11111111111111112,200,2026-07-02,\n"
            "14,Yew,,x,,\nTOTAL,,,300,,\n")
    assert run(tmp_path, data) == packs.LEFT_OUT
    assert set(made(tmp_path)) == {"12-oak", "13-elm"}
    heard = capsys.readouterr()
    assert heard.out.splitlines()[0] == "2 trucks: 1 good, 1 warned; 2 rows left out"
    assert heard.out.splitlines()[1].startswith("2 packs made, 0 as they were, in ")
    assert "columns left out, a truck has no such fact: 'Color'" in heard.err
    assert [(each["row"], each["column"], each["value"], each["outcome"]) for each in told(tmp_path)] == [
        ("3", "VIN", "11111111111111112", "warned"), ("4", "Odo (mi)", "x", "left out"), ("5", "(whole row)", "TOTAL", "left out")]


@pytest.mark.parametrize(("data", "status"), [
    ("name,Color\nA,red\n", packs.GOOD), ("name,VIN\nA,123\n", packs.WITH_WARNINGS), ("name,Odo\nA,1\nB,x\n", packs.LEFT_OUT), ("",
                                                                                                                                packs.LEFT_OUT),
    ("name\n", packs.LEFT_OUT),
])
def test_the_exit_status(tmp_path, data, status):
    """Columns that were left out are no warning; a warning is about a value; a row left out is a refusal."""
    assert run(tmp_path, data) == status
    assert (tmp_path / "out" / packs.PROBLEMS).exists() == (status != packs.GOOD)


def test_a_mended_file_leaves_no_list_of_problems(tmp_path):
    assert run(tmp_path, "name,Odo\nA,x\n") == packs.LEFT_OUT and told(tmp_path)
    assert run(tmp_path, "name,Odo\nA,1\n") == packs.GOOD
    assert not (tmp_path / "out" / packs.PROBLEMS).exists()


def test_what_only_the_answer_shows_is_told_by_its_heading_too(tmp_path, capsys):
    """More fuel than the tank holds: each cell is fine by itself."""
    data = "name,Fuel tank (gal),fuel_in_tank (gal)\nA,20,30\nB,30,20\n"
    assert run(tmp_path, data, sheets=["--sheets", "cold-morning-card"]) == packs.LEFT_OUT
    assert "row 2, fuel_in_tank (gal)" in capsys.readouterr().err
    assert [path.name for path in (tmp_path / "out").glob("[!_]*.pdf")] == ["b-cold-morning-card.pdf"]


def test_headings_are_kept_and_a_corrected_one_is_used(tmp_path, capsys):
    data = "Unit,Hours,Idle hours\n12,100,9\n"
    assert run(tmp_path, data) == packs.WITH_WARNINGS
    kept = tmp_path / "out" / packs.HEADINGS
    assert "Hours,?," in kept.read_text("utf-8-sig")
    kept.write_text(kept.read_text("utf-8").replace("Hours,?,", "Hours,engine_hours,h"), "utf-8")
    capsys.readouterr()
    assert run(tmp_path, data) == packs.GOOD and "Hours" not in capsys.readouterr().err


def test_packs_calendar_overview_and_problems_come_of_one_run(tmp_path):
    run(tmp_path, "Unit,Last oil date,Odo\n12,2026-07-01,5\n13,,x\n")
    assert {path.name for path in (tmp_path / "out").iterdir()} == {
        f"unit-12{BEHIND}", "_fleet-overview.pdf", "_fleet-overview.csv", packs.CALENDAR, packs.HEADINGS, packs.PROBLEMS,
        packs.ALARMS, FILE, BUSY}


def test_the_stock_list_counts_the_fleets_own_trucks(tmp_path):
    """It was empty: only the example's line was asked what it takes from the shelf."""
    data = "Unit,Oil capacity (qt)\n1,13\n2,12\n3,\n"
    assert run(tmp_path, data, sheets=["--sheets", "stock-list"]) == packs.GOOD
    text = said((tmp_path / "out/_stock-list.pdf").read_bytes())
    assert "Engineoilanditsfilter325qt,nottold:1" in text


def test_a_shared_sheet_is_on_every_pack(tmp_path):
    assert run(tmp_path, "name,odometer (mi)\nA,100\nB,200\n") == packs.GOOD
    for name, data in made(tmp_path).items():
        assert len(pypdfium2.PdfDocument(data)) == 3
        assert "Donotturnthekey" in said(data) and name.upper() in said(data)


def test_names_that_would_leave_the_folder_or_meet(tmp_path):
    names = ["../../etc/passwd", "Möwe/7", "möwe 7", "=cmd|calc", "雪" * 80, "..", "A.B"]
    assert run(tmp_path, "name\n" + "\n".join(names) + "\n") == packs.GOOD
    packed = made(tmp_path)
    assert len(packed) == len(names) and {path.name for path in tmp_path.iterdir()} == {"fleet.csv", "out"}
    assert {"etc-passwd", "möwe-7", "möwe-7-2", "truck"} <= set(packed)
    assert "../../etc/passwd" in said(packed["etc-passwd"])
    assert all(len(path.name.encode()) < 255 for path in (tmp_path / "out").iterdir())


# The same truck, whatever the order ------------------------------------------------------------------


def test_packs_and_calendar_stay_with_their_truck_whatever_the_order(tmp_path):
    head = "Unit,Truck,VIN,Last oil date\n"
    one, two = "12,Crew cab,11111111111111111,2026-07-01\n", "13,Crew cab,,2026-08-01\n"
    assert run(tmp_path, head + one + two) == packs.GOOD
    before, stamps, uids = made(tmp_path), times(tmp_path), events(tmp_path)
    assert run(tmp_path, head + two + one) == packs.GOOD
    assert made(tmp_path) == before and times(tmp_path) == stamps and events(tmp_path) == uids
    assert len(uids) == 2 and len(before) == 2


def events(tmp_path):
    """Each event's name by its UID."""
    calendar = icalendar.Calendar.from_ical((tmp_path / "out" / packs.CALENDAR).read_bytes())
    return {str(each["uid"]): str(each["summary"]) for each in calendar.walk("VEVENT")}


def test_a_truck_keeps_its_id_when_its_vin_is_told_later_or_its_unit_changes(tmp_path):
    run(tmp_path, "Unit,VIN,Last oil date\n12,,2026-07-01\n")
    first = set(events(tmp_path))
    run(tmp_path, "Unit,VIN,Last oil date\n12,11111111111111111,2026-07-01\n")
    assert set(events(tmp_path)) == first
    run(tmp_path, "Unit,VIN,Last oil date\n77,11111111111111111,2026-07-01\n12,1M8GDM9AXKP042788,2026-07-01\n")
    assert set(events(tmp_path)) > first and len(events(tmp_path)) == 2
    assert {name for uid, name in events(tmp_path).items() if uid in first} == {"Unit 77: Engine oil and its filter"}
    assert set(made(tmp_path)) == {"unit-77", "unit-12"}


def test_a_renamed_truck_has_one_pack_under_its_new_name(tmp_path):
    run(tmp_path, "Unit,Truck\n12,Oak\n")
    run(tmp_path, "Unit,Truck\n12,Big Oak\n")
    assert set(made(tmp_path)) == {"12-big-oak"}


def test_trucks_that_are_gone_are_listed_and_moved_only_on_request(tmp_path, capsys):
    run(tmp_path, "Unit,Odo\n12,1\n13,2\n14,3\n")
    capsys.readouterr()
    assert run(tmp_path, "Unit,Odo\n12,1\n14,x\n") == packs.LEFT_OUT
    heard = capsys.readouterr().err
    assert "1 truck is no longer in fleet.csv: Unit 13;" in heard and "--move-gone" in heard and "Unit 14" not in heard
    assert set(made(tmp_path)) == {"unit-12", "unit-13", "unit-14"}
    assert run(tmp_path, "Unit,Odo\n12,1\n14,3\n", "--move-gone") == packs.GOOD
    assert set(made(tmp_path)) == {"unit-12", "unit-14"}
    assert [path.name for path in (tmp_path / "out" / packs.GONE).iterdir()] == [f"unit-13{BEHIND}"]
    capsys.readouterr()
    assert run(tmp_path, "Unit,Odo\n12,1\n14,3\n") == packs.GOOD and "no longer" not in capsys.readouterr().err


def test_a_file_that_cannot_be_read_makes_no_truck_gone(tmp_path, capsys):
    run(tmp_path, "Unit\n12\n")
    capsys.readouterr()
    assert run(tmp_path, "Color\nred\n", "--move-gone") == packs.LEFT_OUT
    assert "no longer" not in capsys.readouterr().err and set(made(tmp_path)) == {"unit-12"}


# Which sheets ------------------------------------------------------------------------------------------


def test_a_run_of_one_sheet_leaves_the_packs_alone(tmp_path):
    head = "Unit\n12\n"
    assert run(tmp_path, head, sheets=["--sheets", "service-log"]) == run(tmp_path, head, sheets=["--sheets", "driver-sheet"]) == packs.GOOD
    assert sorted(path.name for path in (tmp_path / "out").glob("[!_]*.pdf")) == ["unit-12-driver-sheet.pdf", "unit-12-service-log.pdf"]
    assert run(tmp_path, head, sheets=["--sheets", "sale"]) == packs.GOOD
    assert (tmp_path / "out" / "unit-12-sale.pdf").exists()


def test_a_row_may_ask_for_its_own_sheets(tmp_path):
    data = "Unit,Sheets\n12,service-log\n13,\"driver-sheet, service-log\"\n14,Yard\n15,shopping\n"
    assert run(tmp_path, data, sheets=[]) == packs.WITH_WARNINGS
    found = {path.name for path in (tmp_path / "out").glob("[!_]*.pdf")}
    assert found == {"unit-12-service-log.pdf", "unit-13-driver-sheet-and-1-more.pdf", "unit-14-yard.pdf", "unit-15.pdf"}
    assert [(each["row"], each["column"], each["value"]) for each in told(tmp_path)] == [("5", "Sheets", "shopping")]


def test_a_pack_holds_what_the_truck_needs(tmp_path):
    assert run(tmp_path, "Unit,Plow weight (lb),Trailer weight (lb)\n12,800,0\n13,0,8000\n14,,\n", sheets=["--sheets", "cab"]) == packs.GOOD
    titles = {name: said((tmp_path / "out" / f"unit-{name}-cab.pdf").read_bytes()) for name in ("12", "13", "14")}
    assert [(name, "Plowonandoff" in text, "Trailerhook-up" in text) for name, text in titles.items()] == [
        ("12", True, False), ("13", False, True), ("14", False, False)]


# Nights ------------------------------------------------------------------------------------------------


def at(monkeypatch, day):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", str((date.fromisoformat(day) - date(1970, 1, 1)).days * DAY))


def test_a_night_makes_only_what_has_changed(tmp_path, capsys):
    data = "name,odometer (mi)\nA,100\nB,200\n"
    assert run(tmp_path, data) == packs.GOOD
    first = times(tmp_path)
    assert run(tmp_path, data.replace("200", "300")) == packs.GOOD
    then = times(tmp_path)
    assert then["a"] == first["a"] and then["b"] != first["b"]
    (tmp_path / "out" / f"a{BEHIND}").unlink()
    capsys.readouterr()
    assert run(tmp_path, data.replace("200", "300")) == packs.GOOD
    assert set(made(tmp_path)) == {"a", "b"} and "1 pack made, 1 as they were" in capsys.readouterr().out


def test_a_day_that_changes_nothing_shown_makes_nothing(tmp_path, monkeypatch, capsys):
    """A reading without a day counts from the night on which it was first seen; a day later the dates are the same."""
    data = "Unit,Odo (mi),Last oil date,Last oil miles\n12,41200,2026-11-01,41000\n"
    at(monkeypatch, "2026-11-25")
    assert run(tmp_path, data, sheets=["--sheets", "service-log"]) == packs.GOOD
    before = times(tmp_path)
    at(monkeypatch, "2026-11-26")
    capsys.readouterr()
    assert run(tmp_path, data, sheets=["--sheets", "service-log"]) == packs.GOOD
    assert times(tmp_path) == before and "0 packs made, 1 as they were" in capsys.readouterr().out


def test_a_day_that_makes_a_job_overdue_makes_its_pack_again_and_says_so(tmp_path, monkeypatch, capsys):
    data = "Unit,done.engine_oil.date,interval.engine_oil.time (month)\n12,2026-10-25,1\n"
    at(monkeypatch, "2026-11-25")
    assert run(tmp_path, data, sheets=["--sheets", "service-log"]) == packs.GOOD
    capsys.readouterr()
    at(monkeypatch, "2026-11-26")
    assert run(tmp_path, data, sheets=["--sheets", "service-log"]) == packs.GOOD
    assert "1 pack made (1 because dates on them have come or changed with the day)" in capsys.readouterr().out


def test_the_first_sight_of_a_reading_is_kept_until_it_changes(tmp_path):
    memory, today, later = Memory(tmp_path), date(2026, 11, 25), date(2026, 12, 24)
    assert night.first_seen(memory, "a", {"odometer": "100 mi"}, today) == "2026-11-25"
    assert night.first_seen(memory, "a", {"odometer": "100 mi"}, later) == "2026-11-25"
    assert night.first_seen(Memory(tmp_path), "a", {"odometer": "100 mi"}, later) == "2026-11-25"
    assert night.first_seen(memory, "a", {"odometer": "101 mi"}, later) == "2026-12-24"


@pytest.mark.parametrize("data", [b"", b"another's"])
def test_a_pack_that_is_not_what_was_written_is_made_again(data, tmp_path):
    assert run(tmp_path, "name\nA\nB\n") == packs.GOOD
    before = made(tmp_path)
    (tmp_path / "out" / f"a{BEHIND}").write_bytes(data)
    assert run(tmp_path, "name\nA\nB\n") == packs.GOOD
    assert made(tmp_path) == before


@pytest.mark.parametrize("remembered", ['{"a.pdf": "0123abc"}\n', "[]\nnull\n", '{"pack": "a', "\x00\xff"])
def test_a_list_in_another_form_only_means_making_again(remembered, tmp_path):
    assert run(tmp_path, "name\nA\n") == packs.GOOD
    before = made(tmp_path)
    (tmp_path / "out" / FILE).write_text(remembered)
    assert run(tmp_path, "name\nA\n") == packs.GOOD
    assert made(tmp_path) == before


def test_what_a_pack_is_made_from_knows_fonts_and_address(monkeypatch, tmp_path):
    for place in ("docs/assets/fonts", "mkdocs.yml", "print", "pieces", "calculators"):
        assert place in night.MADE_WITH
    before = night.program()
    night.program.cache_clear()
    monkeypatch.setattr(night, "MADE_WITH", tuple(place for place in night.MADE_WITH if place != "mkdocs.yml"))
    assert night.program() != before
    night.program.cache_clear()


def test_a_small_fleet_s_night_starts_no_other_process():
    """To look at a few trucks takes as long as a process takes to start; at more of them others look too."""
    asked = []
    with crew.crew() as workers:
        assert list(workers(_whoever, [()] * 3, light=True)) == [os.getpid()] * 3
        assert os.getpid() not in set(workers(_whoever, [()] * 3)) or cpu_count() == 1
    trucks = [night.Truck(1, "", "a", "Oak", night.packed({"name": "Oak", "facts": {}, "book": []}),
                          Order((), "letter", "en", "2026-11-25"), "oak.pdf", "")]
    for count in (night.FEW, night.FEW + 1):
        list(night.look(lambda function, tasks, light: asked.append(light) or [], trucks * count, True, False))
    assert asked == [True, False]


def _whoever():
    return os.getpid()


def test_what_lays_out_is_loaded_only_where_something_is_to_be_made(tmp_path):
    """A night on which nothing changed would spend more on loading it than on a dozen trucks; a pack that is gone is made again."""
    assert run(tmp_path, "name\nA\n") == packs.GOOD
    again = ["--fleet", str(tmp_path / "fleet.csv"), "--out", str(tmp_path / "out"), *QUICK]
    code = f"import sys; from print.__main__ import main; sys.exit(main({again!r}) or (7 if 'weasyprint' in sys.modules else 0))"
    (pack,) = (path for path in (tmp_path / "out").glob("[!_]*.pdf"))
    whole = pack.read_bytes()
    for status, change in ((0, lambda: None), (7, pack.unlink), (7, lambda: pack.write_bytes(whole[:-1]))):
        change()
        assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=False).returncode == status
        assert pack.read_bytes() == whole


# Broken off -----------------------------------------------------------------------------------------------


TRUCKS = 12


def killed_after(tmp_path, count):
    """A run of many trucks, killed hard once so many packs are there; the pids it had."""
    file, out = tmp_path / "fleet.csv", tmp_path / "out"
    file.write_text("name\n" + "".join(f"Truck {number}\n" for number in range(TRUCKS)))
    command = [sys.executable, "-m", "print", "--fleet", str(file), "--out", str(out), *QUICK]
    process = subprocess.Popen(command, start_new_session=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    while len(list(out.glob("[!_]*.pdf"))) < count:
        assert process.poll() is None, "it ended before it could be killed"
        time.sleep(0.02)
    family = below(process.pid)
    os.kill(process.pid, signal.SIGKILL)
    process.wait()
    return family, command[3:]


def below(pid):
    """Every process that one started."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return [int(child) for child in children] + [each for child in children for each in below(int(child))]


def alive(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def test_killed_hard_it_loses_at_most_the_pack_in_hand_and_leaves_no_process(tmp_path, capsys):
    """What stands there is whole and known to the next run, which makes the rest and clears away."""
    family, command = killed_after(tmp_path, 3)
    assert len(family) >= 2
    out = tmp_path / "out"
    (out / f"{BESIDE}left").write_bytes(b"half")
    before = made(tmp_path)
    assert 3 <= len(before) < TRUCKS
    for data in before.values():
        assert len(pypdfium2.PdfDocument(data)) == 3
    ends = time.monotonic() + 30
    while any(map(alive, family)) and time.monotonic() < ends:
        time.sleep(0.1)
    assert not [pid for pid in family if alive(pid)]
    assert main(command) == packs.GOOD
    stood = int(capsys.readouterr().out.split(" made, ")[1].split()[0])
    assert stood >= len(before) - 1
    assert len(made(tmp_path)) == TRUCKS and not list(out.glob(f"{BESIDE}*"))
    assert {path.name for path in tmp_path.iterdir()} == {"fleet.csv", "out"}


def test_two_runs_never_work_in_one_folder(tmp_path, capsys):
    fcntl = pytest.importorskip("fcntl")
    (tmp_path / "out").mkdir()
    with (tmp_path / "out" / BUSY).open("w") as mark:
        fcntl.flock(mark, fcntl.LOCK_EX)
        assert run(tmp_path, "name\nA\n") == packs.FAILED
    heard = capsys.readouterr().err
    assert "another run is writing there" in heard and not made(tmp_path)


# One sentence for what fails --------------------------------------------------------------------------------


@pytest.mark.parametrize(("file", "said_of_it", "starts"), [("nowhere.csv", "No such file", True), (".", "directory", False)])
def test_a_file_that_is_not_there(file, said_of_it, starts, tmp_path, capsys):
    path = tmp_path / file
    assert main(["--fleet", str(path), "--out", str(tmp_path / "out"), *QUICK]) == packs.FAILED
    heard = capsys.readouterr().err
    assert heard.startswith(f"{path}: ") and said_of_it in heard and heard.count("\n") == 1
    assert ("--example-fleet" in heard) == starts


def test_a_table_of_entries_that_is_not_there_is_named_alone(tmp_path, capsys):
    (tmp_path / "fleet.csv").write_text("name\nA\n")
    asked = ["--fleet", str(tmp_path / "fleet.csv"), "--book", str(tmp_path / "none.csv"), "--out", str(tmp_path / "out"), *QUICK]
    assert main(asked) == packs.FAILED
    heard = capsys.readouterr().err
    assert heard.startswith(f"{tmp_path / 'none.csv'}: ") and "--example-fleet" not in heard


def test_a_file_that_is_no_table(tmp_path, capsys):
    assert run(tmp_path, b"%PDF-1.7") == packs.LEFT_OUT
    heard = capsys.readouterr().err
    assert heard.startswith(f"{tmp_path / 'fleet.csv'}: this is a PDF") and heard.count("\n") == 1


def test_the_fleet_needs_a_folder(tmp_path, capsys):
    file = tmp_path / "fleet.csv"
    file.write_text("name\nA\n")
    assert main(["--fleet", str(file)]) == packs.LEFT_OUT and "--out" in capsys.readouterr().err


def test_a_folder_that_cannot_be_is_told_before_any_pack_is_made(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(night, "look", lambda *_: pytest.fail("it began to look at trucks"))
    file = tmp_path / "fleet.csv"
    file.write_text("name\nA\n")
    for out in (file, "/proc/x"):
        assert main(["--fleet", str(file), "--out", str(out), *QUICK]) == packs.FAILED
        heard = capsys.readouterr().err
        assert heard.startswith(f"{out}: no folder can be made there (") and heard.count("\n") == 1


def test_a_full_disk_is_one_sentence_with_the_path(tmp_path, capsys, monkeypatch):
    """The run ends at the first pack that finds no room, and nothing half written is left."""
    put = os.replace

    def no_room(source, target):
        if str(target).endswith(BEHIND):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), target)
        put(source, target)

    monkeypatch.setattr(os, "replace", no_room)
    assert run(tmp_path, "name\nA\nB\nC\n") == packs.FAILED
    heard = capsys.readouterr().err
    (line,) = [line for line in heard.splitlines() if "written" in line]
    assert line.startswith(f"{tmp_path / 'out'}/a{BEHIND}: it can’t be written (No space left on device)") and "Traceback" not in heard
    assert not list((tmp_path / "out").glob(f"{BESIDE}*")) and not made(tmp_path)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written_is_one_sentence(tmp_path, capsys):
    (tmp_path / "out").mkdir(mode=0o555)
    assert run(tmp_path, "name\nA\n") == packs.FAILED
    heard = capsys.readouterr().err
    assert heard.startswith(f"{tmp_path / 'out'}: nothing may be written there") and heard.count("\n") == 1


# A cluster --------------------------------------------------------------------------------------------------


def test_without_dask_a_cluster_is_refused_in_words(tmp_path, capsys, monkeypatch):
    monkeypatch.setitem(sys.modules, "dask.distributed", None)
    assert run(tmp_path, "name\nA\n", "--cluster", "tcp://127.0.0.1:1") == packs.FAILED
    assert "dask" in capsys.readouterr().err and not made(tmp_path)


@pytest.mark.audit
@pytest.mark.parametrize("threads", [1, 2])
def test_a_cluster_makes_the_same_packs_calendar_and_overview(threads, tmp_path, capsys):
    """Handed to Dask workers in other processes, all comes out byte for byte as here; problems come back too; one thread is enough."""
    distributed = pytest.importorskip("distributed", reason="`python3 -m tools.ready outside` gets Dask")
    data = "name,fuel_tank_capacity (gal),fuel_in_tank (gal),Last oil date\nA,30,20,2026-07-01\nB,20,30,\nC,34,10,\n"
    cold = ["--sheets", "cold-morning-card,emergency-no-start-cold"]
    for place in ("alone", "cluster"):
        (tmp_path / place).mkdir()
    assert run(tmp_path / "alone", data, *cold) == packs.LEFT_OUT
    with distributed.LocalCluster(n_workers=1, threads_per_worker=threads, dashboard_address=None) as cluster:
        assert run(tmp_path / "cluster", data, *cold, "--cluster", cluster.scheduler_address) == packs.LEFT_OUT
    assert "row 3, fuel_in_tank" in capsys.readouterr().err
    theirs, ours = ({path.name: path.read_bytes() for path in (tmp_path / place / "out").iterdir()} for place in ("cluster", "alone"))
    assert theirs == ours and len(ours) > 5


@pytest.mark.audit
def test_workers_without_the_project_are_named_at_once(tmp_path, capsys):
    """They would take the work and never say a word."""
    distributed = pytest.importorskip("distributed", reason="`python3 -m tools.ready outside` gets Dask")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    begun = [_of_dask(elsewhere, "dask_scheduler", "--port", "0", "--scheduler-file", "s.json")]
    try:
        address = _address(begun[0], elsewhere / "s.json")
        began = time.monotonic()
        assert run(tmp_path, "name\nA\n", "--cluster", address) == packs.FAILED
        assert "no worker has joined" in capsys.readouterr().err and time.monotonic() - began < 20
        begun.append(_of_dask(elsewhere, "dask_worker", address, "--nthreads", "1"))
        with distributed.Client(address) as client:
            client.wait_for_workers(1, timeout=60)
        assert run(tmp_path, "name\nA\n", "--cluster", address) == packs.FAILED
        assert "has no copy of this project" in capsys.readouterr().err and not made(tmp_path)
    finally:
        for process in begun:
            process.kill()
            process.wait()


def _of_dask(folder, module, *options):
    """A part of Dask by itself, in a folder without the project and with nothing but Dask's own packages."""
    return subprocess.Popen([sys.executable, "-P", "-m", f"distributed.cli.{module}", *options, "--no-dashboard"], cwd=folder,
                            env=os.environ | {"PYTHONPATH": str(OUTSIDE_PYTHON)}, stderr=(folder / "said.txt").open("a"))


def _address(scheduler, told):
    """Where a scheduler listens, once it says so; what it said instead, if it ends before."""
    for _ in range(600):
        if told.exists() and told.read_text():
            return json.loads(told.read_text())["address"]
        assert scheduler.poll() is None, (told.parent / "said.txt").read_text()
        time.sleep(0.1)
    raise AssertionError("the scheduler has not said where it listens")
