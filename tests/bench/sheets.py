"""Packs for a fleet of 60, against a plain loop that renders every sheet of every truck by itself; memory up to 600 trucks.

The plain loop would take minutes, so it runs for a few of the trucks, half of them before the packs and half after them because
the machine swings, and is counted up by kind of sheet. Both by the clock and by processor time: the clock knows that two
processes work, processor time does not mind what else runs here.
"""

import csv
import io
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pikepdf
import pypdfium2
import weasyprint

import print as paper
from print import choice, fleet, pdf

TODAY = "2026-11-25"
DAY = {"SOURCE_DATE_EPOCH": "1795608000"}  # the same day for the command
TRUCKS, MANY, SAMPLE = 60, 600, 6
SHEETS = choice.in_pack(choice.HANDOVER)
OWN = tuple(name for name in SHEETS if not paper.is_static(name))
LASTS = 10  # looks that a process is there for; a copy of the main one that is about to become another program is not a worker
LIGHT = ("emergency-water-light", "glovebox-card")  # one shared, one the truck's own: memory knows no difference


class Cost(NamedTuple):
    """Seconds by the clock and of processor time."""

    clock: float
    work: float


class Run(NamedTuple):
    """What one call of the command cost, and the most memory the main process and all its workers held, in MB."""

    cost: Cost
    main: float
    workers: float


def main() -> None:
    with tempfile.TemporaryDirectory() as scratch:
        place = Path(scratch)
        rows = fleet.read(table(TRUCKS).encode())[0]
        before = loop(rows[: SAMPLE // 2])
        ours = run(place / "whole", TRUCKS, SHEETS)
        after = loop(rows[SAMPLE // 2 : SAMPLE])
        plain = {name: before[name] + after[name] for name in SHEETS}
        same(rows, place / "whole", plain)
        own = run(place / "own", TRUCKS, OWN)
        few, many = run(place / "few", TRUCKS, LIGHT), run(place / "many", MANY, LIGHT)
    print(f"packs for {TRUCKS} trucks, each of {', '.join(SHEETS)}:")
    print(f"  {ratio(counted(plain, SHEETS), ours.cost, SHEETS)} (aim: 8); {len(SHEETS) - len(OWN)} sheets are the same for every truck")
    print(f"  the trucks' own sheets alone: {ratio(counted(plain, OWN), own.cost, OWN)} (aim: 3)")
    print(f"  the plain loop ran for {SAMPLE} trucks and was counted up by kind of sheet; text and tags of its pages are the packs'")
    print(f"memory from {TRUCKS} to {MANY} trucks: {many.main / few.main:.2f} times in the main process ({many.main:.0f} MB), "
          f"{many.workers / few.workers:.2f} times in the workers ({many.workers:.0f} MB)")


def table(trucks: int) -> str:
    """A fleet of so many trucks, no two alike."""
    head, *examples = csv.reader(io.StringIO(fleet.example(None)))
    at = {name.split(" ")[0]: place for place, name in enumerate(head)}
    written = io.StringIO()
    lines = csv.writer(written)
    lines.writerow(head)
    for number in range(trucks):
        line = list(examples[number % len(examples)])
        line[at["name"]] = f"Truck {number + 1}"
        line[at["odometer"]] = str(int(line[at["odometer"]]) + 37 * number)
        lines.writerow(line)
    return written.getvalue()


def loop(rows: list[fleet.Row]) -> dict[str, list[tuple[Cost, bytes]]]:
    """Every sheet of some trucks, each by itself."""
    made: dict[str, list[tuple[Cost, bytes]]] = {name: [] for name in SHEETS}
    alone("glovebox-card", rows[0].truck)  # what only the first sheet of a process costs is not counted
    for row in rows:
        for name in SHEETS:
            began = time.perf_counter(), time.process_time()
            data = alone(name, row.truck)
            made[name].append((Cost(time.perf_counter() - began[0], time.process_time() - began[1]), data))
    return made


def alone(name: str, truck: object) -> bytes:
    page = weasyprint.HTML(string=paper.render(name, truck, today=TODAY))
    size = weasyprint.CSS(string="@page { size: letter } @page card { size: letter landscape }")
    return bytes(page.write_pdf(stylesheets=[*pdf.STYLES, size], pdf_variant="pdf/ua-1", pdf_forms=True, pdf_tags=True))


def counted(plain: dict[str, list[tuple[Cost, bytes]]], names: tuple[str, ...]) -> Cost:
    """What the plain loop would cost for all trucks."""
    costs = [cost for name in names for cost, _ in plain[name]]
    return Cost(*(sum(column) * TRUCKS / SAMPLE for column in zip(*costs, strict=True)))


def ratio(plain: Cost, ours: Cost, names: tuple[str, ...]) -> str:
    return (f"{plain.clock / ours.clock:.1f} times a plain loop by the clock, {plain.work / ours.work:.1f} by processor time "
            f"({TRUCKS * len(names) / ours.clock:.1f} and {TRUCKS * len(names) / plain.clock:.1f} sheets a second)")


def run(out: Path, trucks: int, sheets: tuple[str, ...]) -> Run:
    """The command, from start to end."""
    file = out.with_suffix(".csv")
    file.write_text(table(trucks), "utf-8")
    made = command("--fleet", str(file), "--out", str(out), "--sheets", ",".join(sheets))
    assert len(list(out.glob("*.pdf"))) == trucks
    return made


def command(*options: str, **environment: str) -> Run:
    """A run of the command, and what it took."""
    began = time.perf_counter()
    process = subprocess.Popen([sys.executable, "-m", "print", *options], env=os.environ | DAY | environment,
                               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    peaks: dict[int, list[float]] = {}
    while not (ended := os.wait4(process.pid, os.WNOHANG))[0]:
        for pid in family(process.pid):
            peaks.setdefault(pid, []).append(most_memory(pid))
        time.sleep(0.3)
    process.returncode = os.waitstatus_to_exitcode(ended[1])
    assert process.returncode == 0, process.returncode
    cost = Cost(time.perf_counter() - began, ended[2].ru_utime + ended[2].ru_stime)
    workers = [max(seen) for pid, seen in peaks.items() if pid != process.pid and len(seen) >= LASTS]
    return Run(cost, max(peaks[process.pid]), sum(workers))


def family(pid: int) -> Iterator[int]:
    """A process and all that it started."""
    yield pid
    try:
        below = Path(f"/proc/{pid}/task/{pid}/children").read_text()
    except OSError:
        return
    for child in below.split():
        yield from family(int(child))


def most_memory(pid: int) -> float:
    try:
        status = Path(f"/proc/{pid}/status").read_text()
    except OSError:
        return 0
    return next((int(line.split()[1]) / 1024 for line in status.splitlines() if line.startswith("VmHWM")), 0)


def same(rows: list[fleet.Row], out: Path, plain: dict[str, list[tuple[Cost, bytes]]]) -> None:
    """Every page of every pack has its tags; those of the plain loop's trucks have its text and its tags, page by page."""
    for place, name in enumerate(fleet.targets(rows)):
        pack = (out / name).read_bytes()
        parts = [part for part in tags(pack)]
        assert len(parts) == len(pypdfium2.PdfDocument(pack)) and all(len(part) > 20 for part in parts)
        if place < SAMPLE:
            by_itself = [plain[each][place][1] for each in SHEETS]
            assert texts(pack) == [text for each in by_itself for text in texts(each)]
            assert parts == [part for each in by_itself for part in tags(each)]


def texts(data: bytes) -> list[str]:
    return [page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data)]


def tags(data: bytes) -> list[list[str]]:
    """The tags of each page, in reading order."""
    with pikepdf.open(io.BytesIO(data)) as opened:
        pages = [page.obj.objgen for page in opened.pages]
        parts = list(opened.Root.StructTreeRoot.K[0].K)
        assert [part.Pg.objgen for part in parts] == pages
        return [list(below(part)) for part in parts]


def below(part: pikepdf.Object) -> Iterator[str]:
    for child in part.K if isinstance(part.K, pikepdf.Array) else [part.K]:
        if isinstance(child, pikepdf.Dictionary) and "/S" in child:
            yield str(child.S)
            yield from below(child)


if __name__ == "__main__":
    main()
