"""A fleet's file made into packs, overview, calendar and a list of problems: what `--fleet` does, by day and by night."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from tqdm import tqdm

from calculators.engine.spreadsheet import REFUSED, WARNED, Problem, text_of
from print import books, choice, fleet, letters, night, overview, problems, sheet
from print.crew import Run, crew
from print.files import alone_in, beside, make_folder, write
from print.memory import FLEET, Memory
from print.night import Change, Looked, Truck
from print.order import Order
from print.roster import file_names, label, who
from print.rows import Row

GOOD, FAILED, LEFT_OUT, WITH_WARNINGS = 0, 1, 2, 3  # exit statuses
PROBLEMS, ALARMS, HEADINGS, CALENDAR, GONE = "problems.csv", "alarms.csv", "_headings.csv", "_service-dates.ics", "_gone"
OVERVIEW, STOCK = "fleet-overview", "stock-list"
MOST_NAMED = 10  # trucks in a sentence


class Job(NamedTuple):
    """What is asked for: the file, where its packs go, which sheets, how, and who works on it."""

    file: Path
    out: Path
    sheets: choice.Asked
    chosen: bool  # whether the sheets were named, so that a row's own wish does not count
    paper: str
    language: str
    today: date
    tab: str = ""
    cluster: str = ""
    only_calendar: bool = False
    move_gone: bool = False
    book: Path | None = None  # a table of entries


def make(job: Job, say: Callable[[str], object], warn: Callable[[str], object]) -> int:
    """Everything that a fleet's file asks for; the exit status says how it went."""
    make_folder(job.out)
    kept = job.out / HEADINGS
    read = fleet.read(job.file.read_bytes(), job.tab, kept.read_bytes() if kept.is_file() else b"")
    entries = job.book.read_bytes() if job.book else b""
    for note in read.notes:
        warn(note)
    with alone_in(job.out), crew(job.cluster, night.program() if job.cluster else "", len(read.rows)) as run:
        memory = Memory(job.out)
        with closing(memory):
            trucks, wrong = _trucks(job, memory, read)
            read = read._replace(rows=[])
            trucks, of_the_book = _with_entries(job, trucks, entries)
            done = _Progress(job, memory, run, trucks, [*read.problems, *wrong], of_the_book)
            _gone(job, memory, read, warn)
            _made(done)
            if read.headings:
                write(kept, read.headings)
    return _tell(job, done, say, warn)


# Which trucks ----------------------------------------------------------------------------------------


def _trucks(job: Job, memory: Memory, read: fleet.Read) -> tuple[list[Truck], list[Problem]]:
    """Every usable row with its id, files and sheets."""
    ids = dict(zip((each.row for each in read.named), memory.ids([each.who for each in read.named]), strict=True))
    labels = {ids[row.number]: label(row.truck["name"], row.identity.get("unit", "")) for row in read.rows}
    files = file_names(labels, memory.files)
    who = {each.row: each for each in read.named}
    trucks, wrong = [], []
    for row in read.rows:
        own = ids[row.number]
        memory.truck(own, who[row.number].who, files[own], labels[own])
        asked, problems = _asked(job, row, who[row.number].sheet)
        wrong += problems
        sheets = tuple(name for name in choice.of_truck(asked, row.truck) if name not in choice.of_a_fleet())
        order = Order(sheets, job.paper, job.language, job.today.isoformat(), title(asked, sheets))
        file = f"{files[own]}{f'-{asked.behind}' if asked.behind else ''}.pdf"
        truck = night.packed(_dated(memory, own, row, job.today) | {"id": own})
        trucks.append(Truck(row.number, who[row.number].sheet, own, labels[own], truck, order, file, asked.behind, row.headings))
    return trucks, wrong


def _with_entries(job: Job, trucks: list[Truck], data: bytes) -> tuple[list[Truck], list[Problem]]:
    """The trucks with their rows of the table of entries, and what is wrong with that."""
    if not job.book:
        return trucks, []
    known = ((each.id, each.truck) for each in trucks)
    book = books.read(text_of(data), job.book.name, {own: who(truck["name"], truck.get("identity", {})) for own, truck in known})
    found, problems = [], list(book.problems)
    for each in trucks:
        truck, wrong = book.added_to(each.truck, each.id, job.book.name)
        problems += wrong
        found.append(each._replace(packed=night.packed(truck)))
    return found, problems


def _asked(job: Job, row: Row, sheet_name: str) -> tuple[choice.Asked, list[Problem]]:
    """The sheets that a row asks for itself, unless they were named for all."""
    if job.chosen or not row.sheets:
        return job.sheets, []
    try:
        return choice.asked(row.sheets), []
    except choice.NoSuchSheet as wrong:
        return job.sheets, [Problem(row.number, row.headings["sheets"], row.sheets, f"{wrong}; it got the pack that all others get",
                                    sheet_name, WARNED)]


def title(asked: choice.Asked, sheets: Sequence[str]) -> str:
    """What a file of several sheets is called."""
    return choice.packs().get(asked.behind or choice.HANDOVER, {}).get("title", "") if len(sheets) > 1 else ""


def _dated(memory: Memory, own: str, row: Row, today: date) -> dict[str, Any]:
    """A truck whose readings have a day: the one told, else the one on which they were first seen as they are."""
    undated = [entry for entry in row.truck["book"] if entry["kind"] == "reading" and "date" not in entry]
    if not undated:
        return row.truck
    readings = {meter: entry[meter] for entry in undated for meter in ("odometer", "engine_hours", "idle_hours") if meter in entry}
    day = night.first_seen(memory, own, readings, today)
    return row.truck | {"book": [entry | {"date": day} if entry in undated else entry for entry in row.truck["book"]]}


def _gone(job: Job, memory: Memory, read: fleet.Read, warn: Callable[[str], object]) -> None:
    """Trucks that the file no longer names: listed, and their packs moved aside only if that was asked for."""
    here = set(memory.ids([each.who for each in read.named]))
    gone = {own: memory.labels[own] for own in memory.trucks if own not in here}
    if not gone or not read.named:
        return
    named = ", ".join(sorted(gone.values())[:MOST_NAMED]) + (f" and {len(gone) - MOST_NAMED} more" if len(gone) > MOST_NAMED else "")
    count = f"{len(gone)} {'truck is' if len(gone) == 1 else 'trucks are'} no longer in {job.file.name}: {named}"
    if not job.move_gone:
        warn(f"{count}; their packs stay in {job.out}, --move-gone moves them to {job.out / GONE}")
        return
    for own in gone:
        for (truck, _), pack in list(memory.packs.items()):
            if truck == own and (job.out / pack.file).exists():
                make_folder(job.out / GONE)
                (job.out / pack.file).replace(job.out / GONE / pack.file)
        memory.forget(own)
    warn(f"{count}; their packs were moved to {job.out / GONE}")


# One run ---------------------------------------------------------------------------------------------


class _Progress:
    """One run as it goes: what is wrong so far, what was made, what stands."""

    def __init__(self, job: Job, memory: Memory, run: Run, trucks: list[Truck], wrong: list[Problem], of_the_book: list[Problem]) -> None:
        self.job, self.memory, self.run, self.trucks, self.problems, self.of_the_book = job, memory, run, trucks, wrong, of_the_book
        self.made = self.by_the_day = self.stand = 0
        self.bare: list[str] = []
        self.calendar = False


def _made(done: _Progress) -> None:
    looked = list(zip(done.trucks, _looked(done), strict=True))
    if done.job.only_calendar:
        return
    with_sheets = [(truck, each.shown) for truck, each in looked if truck.order.sheets and not each.problems]
    changes = night.changed(done.job.out, done.memory, with_sheets)
    done.stand = len(with_sheets) - len(changes)
    _packs(done, changes)
    refused = _rows(done.problems, REFUSED)
    _of_all(done, [each.line for truck, each in looked if each.line and truck.row not in refused])


def _looked(done: _Progress) -> Iterator[Looked]:
    """What each truck shows today; the calendar is written as it comes."""
    looked = night.look(done.run, done.trucks, not done.job.only_calendar, STOCK in done.job.sheets.names)
    with beside(done.job.out / CALENDAR) as file:
        for truck, each in zip(done.trucks, looked, strict=True):
            done.problems += each.problems
            if each.events:
                head, events, end = _parts(each.events)
                file.write((events if done.calendar else head + events).encode())
                done.calendar = True
            elif not each.problems:
                done.bare.append(truck.label)
            yield each._replace(events="")
        if done.calendar:
            file.write(end.encode())
    if not done.calendar:
        (done.job.out / CALENDAR).unlink(missing_ok=True)


def _parts(calendar: str) -> tuple[str, str, str]:
    """A calendar's head, its events, its end."""
    start, end = calendar.index("BEGIN:VEVENT"), calendar.rindex("END:VCALENDAR")
    return calendar[:start], calendar[start:end], calendar[end:]


def _packs(done: _Progress, changes: Sequence[Change]) -> None:
    making = night.make(done.run, done.job.out, done.memory, changes)
    with closing(making) as packs:  # closed at once when broken off
        for change, wrong in zip(changes, tqdm(packs, total=len(changes), unit="pack", disable=None), strict=True):
            done.problems += wrong
            done.made += not wrong
            done.by_the_day += not wrong and change.by_the_day


def _of_all(done: _Progress, lines: Sequence[overview.Line]) -> None:
    """The sheets that show all trucks, made again when what they show has changed."""
    job = done.job
    if not lines:
        return
    write(job.out / f"_{OVERVIEW}.csv", overview.table(lines))
    write(job.out / ALARMS, overview.alarms(lines))
    asked = [name for name in choice.of_a_fleet() if name in job.sheets.names or name == OVERVIEW]
    for name in asked:
        shown = night.digest([lines, job.paper, job.language, night.program()])
        known, file = done.memory.packs.get((FLEET, name)), f"_{name}.pdf"
        if known and known.shown == shown and night.is_there(job.out / file, known.sha256):
            continue
        from print import pdf  # not before: a night on which nothing changed lays nothing out

        made = sheet.render(name, None, sheet.language(name, job.language), job.today, lines)
        data = pdf.write([pdf.lay_out(made, job.paper)])
        night.keep(job.out, done.memory, file, data, truck=FLEET, holds=name, made_from="", shown=shown)


# What is said at the end -------------------------------------------------------------------------------


def _tell(job: Job, done: _Progress, say: Callable[[str], object], warn: Callable[[str], object]) -> int:
    """What can't be used, here and in the folder, a count of everything; the exit status."""
    for each in done.trucks:
        if note := letters.note(name := each.truck["name"]):
            warn(f"row {each.row}, name: {name[:60]!r}: {note}")
    if done.bare and job.only_calendar:
        warn(f"no record of any job yet, so no date in the calendar: {_some(done.bare)}")
    found = sorted(done.problems, key=lambda problem: (problem.sheet, problem.row, problem.column))
    refused = _rows(found, REFUSED)
    told = [problem for problem in found if problem.outcome == REFUSED or problem.row not in refused] + done.of_the_book
    _report(job.out / PROBLEMS, told)
    for problem in told:
        warn(f"{problem.outcome}: {problem}")
    good = [each for each in done.trucks if each.row not in refused]
    warned = _rows(found, WARNED) & {each.row for each in good}
    say(f"{_count(len(good), 'truck')}: {len(good) - len(warned)} good, {len(warned)} warned; {_count(len(refused), 'row')} left out")
    if not job.only_calendar:
        say(_of_packs(job, done))
    if done.calendar:
        say(str(job.out / CALENDAR))
    if _rows(told, REFUSED) or not good or (job.only_calendar and not done.calendar):
        return LEFT_OUT
    return WITH_WARNINGS if any(problem.outcome == WARNED for problem in told) else GOOD


def _rows(found: Iterable[Problem], outcome: str) -> set[int]:
    return {problem.row for problem in found if problem.outcome == outcome}


def _report(file: Path, told: Sequence[Problem]) -> None:
    if told:
        write(file, problems.table(told))
    else:
        file.unlink(missing_ok=True)


def _of_packs(job: Job, done: _Progress) -> str:
    by_day = f" ({done.by_the_day} because dates on them have come or changed with the day)" if done.by_the_day else ""
    return f"{_count(done.made, 'pack')} made{by_day}, {done.stand} as they were, in {job.out}"


def _count(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _some(names: Iterable[str]) -> str:
    names = list(names)
    return ", ".join(names[:MOST_NAMED]) + (f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else "")
