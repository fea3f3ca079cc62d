"""A fleet's run beside its packs: the calendar of thousands, a night on which nothing changed, alarms out of every truck's entries.

All are ratios of two runs of the same command, one after the other: one process against the pool, a night against the day before,
alarms and overview against packs of the same trucks.
"""

import csv
import random
import tempfile
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

from tests.bench.sheets import Run, command, table

MANY, NIGHT, DRIVEN = 5000, 60, 240
ENTRIES = 150  # of each truck
PACKED = 12  # whose packs are made; the others' are counted up
TODAY = date(2026, 11, 25)
FEW_MORE = 10  # times as many trucks, for the memory
ALONE = {"LOKY_MAX_CPU_COUNT": "1"}
HEADS = ("truck", "date", "kind", "odometer (mi)", "engine_hours (h)", "fuel (gal)", "def (gal)", "burn", "jar", "water (mL)", "job")
KINDS = ("fuel", "fuel", "fuel", "burn", "fuel", "fuel", "def", "fuel", "burn", "drain", "fuel", "job")
DUE = {"burn": ("", "", "finished", "", "", ""), "def": ("", "2.4", "", "", "", ""), "drain": ("", "", "", "water", "20", ""),
       "job": ("", "", "", "", "", "engine_oil")}


def main() -> None:
    with tempfile.TemporaryDirectory() as scratch:
        place = Path(scratch)
        calendar(place)
        night(place)
        alarms(place)


def calendar(place: Path) -> None:
    """Service dates of all trucks, by one process and by the pool; and by the pool for a tenth of them, for its memory."""
    def made(trucks: int, **environment: str) -> Run:
        file = written(place, trucks)
        return command("--fleet", str(file), "--out", str(file.with_suffix("")), "--calendar", **environment)

    alone, pool, few = made(MANY, **ALONE), made(MANY), made(MANY // FEW_MORE)
    print(f"calendar of {MANY} trucks: {MANY / alone.cost.clock:.0f} a second in one process, "
          f"{alone.cost.clock / pool.cost.clock:.2f} times that through the pool (aim: 1.7); "
          f"memory {pool.main / few.main:.2f} times that of {MANY // FEW_MORE} in the main process "
          f"({pool.main:.0f} MB), {pool.workers / few.workers:.2f} times in the workers ({pool.workers:.0f} MB)")


def night(place: Path) -> None:
    """The same fleet twice: the second time nothing is to be made."""
    file = written(place, NIGHT)
    first, second = (command("--fleet", str(file), "--out", str(place / "night")) for _ in range(2))
    print(f"an unchanged fleet's night: {second.cost.work / first.cost.work:.3f} of a full run by processor time, "
          f"{second.cost.clock / first.cost.clock:.3f} by the clock ({NIGHT} trucks)")


def alarms(place: Path) -> None:
    """Alarms, overview and calendar of trucks with entries, against their packs."""
    file, book = written(place, DRIVEN), place / "entries.csv"
    with book.open("w", newline="", encoding="utf-8") as to:
        csv.writer(to).writerows([HEADS, *(row for truck in range(DRIVEN) for row in driven(truck))])
    few = written(place, PACKED)
    told = ("--book", str(book), "--out")
    lines = command("--fleet", str(file), *told, str(place / "lines"), "--sheets", "fleet-overview")
    packs = command("--fleet", str(few), "--out", str(place / "packs"))
    bare = command("--fleet", str(few), "--out", str(place / "bare"), "--sheets", "fleet-overview")
    whole = (packs.cost.work - bare.cost.work) / PACKED * DRIVEN
    print(f"alarms and overview of {DRIVEN} trucks with {ENTRIES} entries each: {lines.cost.work / whole:.3f} of the processor time of "
          f"their packs (aim: 0.1; counted up from {PACKED}); {len((place / 'lines' / 'alarms.csv').read_text().splitlines()) - 1} alarms")


def written(place: Path, trucks: int) -> Path:
    """A fleet's file."""
    file = place / f"{trucks}.csv"
    file.write_text(table(trucks), "utf-8")
    return file


def driven(truck: int) -> Iterator[tuple[object, ...]]:
    """A truck's entries; every tenth comes to burn a fifth more."""
    chance, miles, hours = random.Random(truck), 20_000.0 + 37 * truck, 800.0
    for at in range(ENTRIES):
        went = chance.uniform(120, 200)
        miles, hours = miles + went, hours + went / 25
        kind, more = KINDS[at % len(KINDS)], 1.2 if truck % 10 == 0 and at > ENTRIES * 2 / 3 else 1
        rest = DUE.get(kind, (f"{went / 12 * chance.gauss(1, 0.04) * more:.1f}", "", "", "", "", ""))
        yield f"Truck {truck + 1}", TODAY - timedelta(3 * (ENTRIES - at)), kind, f"{miles:.0f}", f"{hours:.1f}", *rest


if __name__ == "__main__":
    main()
