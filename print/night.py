"""A fleet's run: what each truck's sheets show today, which packs that changes, and what was made, remembered as it is made."""

import gc
import hashlib
import json
import zlib
from collections.abc import Generator, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from functools import lru_cache
from itertools import batched
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import calculators
from calculators.engine.spreadsheet import Problem
from print import overview, sheet
from print.crew import Run
from print.files import write
from print.memory import Memory
from print.order import Order

if TYPE_CHECKING:  # what lays out is loaded where something is to be made: most nights nothing is
    from print.pack import Written

AT_ONCE = 20  # trucks a worker looks at before it answers: looking takes far less than making
FEW = 100  # trucks that one process looks at in the time in which others would only start
MADE_WITH = ("print", "pieces", "calculators", "docs/assets/tokens.css", "docs/assets/fonts", "mkdocs.yml")


class Truck(NamedTuple):
    """A row's truck as this run knows it: its id, what its file is called, and what its pack holds."""

    row: int
    sheet: str
    id: str
    label: str
    packed: bytes  # as small as it gets: a fleet's books together would fill a memory
    order: Order
    file: str
    holds: str
    headings: Mapping[str, str] = {}  # as they stand above each field

    @property
    def truck(self) -> dict[str, Any]:
        """The truck itself, a new copy each time."""
        truck: dict[str, Any] = json.loads(zlib.decompress(self.packed))
        return truck


def packed(truck: Mapping[str, Any]) -> bytes:
    """A truck as a run holds it while it is not at hand."""
    return zlib.compress(json.dumps(truck, sort_keys=True).encode(), 1)


class Looked(NamedTuple):
    """What one truck's sheets show of the day, its line of the overview and its calendar, or why it has none."""

    shown: str
    line: overview.Line | None
    events: str
    problems: list[Problem]


# Looking -------------------------------------------------------------------------------------------


def look(run: Run, trucks: Sequence[Truck], sheets: bool, stock: bool) -> Iterator[Looked]:
    """What each truck shows today, in order: its calendar, and its sheets and line of the overview where ``sheets`` are made.

    ``stock`` asks what it takes from the shelf too.
    """
    asked = ((each, sheets, stock) for each in batched(trucks, AT_ONCE, strict=False))
    for some in run(_look_at, asked, light=len(trucks) <= FEW):
        yield from some


def _look_at(trucks: Sequence[Truck], sheets: bool, stock: bool) -> list[Looked]:
    with _undisturbed():
        return [_look(each, sheets, stock) for each in trucks]


def _look(each: Truck, sheets: bool, stock: bool) -> Looked:
    truck, today = each.truck, each.order.today
    try:
        due = sheet.day_of(truck, today).answer("service_due")
        events = calculators.fleet_calendar({each.label: due["results"]["jobs"]}, today, {each.label: each.id})
        if not sheets:
            return Looked("", None, events, [])
        return Looked(_of_the_day(truck, each.order), overview.line(each.label, truck, due, today, stock), events, [])
    except calculators.Refused as refused:
        return Looked("", None, "", refusals(each, refused))


def _of_the_day(truck: dict[str, Any], order: Order) -> str:
    own = (name for name in order.sheets if not sheet.is_static(name))
    pages = (sheet.of_the_day(name, truck, sheet.language(name, order.language), order.today) for name in own)
    return hashlib.sha256("".join(pages).encode()).hexdigest()


def refusals(each: Truck, refused: calculators.Refused) -> list[Problem]:
    """What only an answer shows to be wrong with a row."""
    return [Problem(each.row, each.headings.get(fault.field, fault.field), str(fault.given), fault.do,
                    each.sheet) for fault in refused.faults]


# Making ------------------------------------------------------------------------------------------


class Change(NamedTuple):
    """A pack to make, from what, and whether only the day has changed what it shows."""

    truck: Truck
    made_from: str
    shown: str
    by_the_day: bool


def changed(folder: Path, memory: Memory, trucks: Iterable[tuple[Truck, str]]) -> list[Change]:
    """The packs that are not there as they would be made today; each truck comes with what its sheets show of the day."""
    found = []
    for each, today in trucks:
        made_from = source(each)
        known = memory.packs.get((each.id, each.holds))
        stands = known is not None and known.file == each.file and is_there(folder / each.file, known.sha256)
        same = stands and known is not None and known.made_from == made_from
        if not (same and known is not None and known.shown == today):
            found.append(Change(each, made_from, today, same))
    return found


def make(run: Run, folder: Path, memory: Memory, changes: Sequence[Change]) -> Generator[list[Problem]]:
    """Make and remember each pack; yields its problems as it is done."""
    if not changes:
        return
    from print.pack import shared, whole

    made = run(_make, ((each.truck,) for each in changes))
    for order in dict.fromkeys(each.truck.order for each in changes):  # while the others make what is each truck's own
        shared(order)
    for each, (pages, problems) in zip(changes, made, strict=True):
        if not problems:
            _put(folder, memory, each, whole(pages, each.truck.order))
        yield problems


def _make(each: Truck) -> tuple["Written", list[Problem]]:
    """One truck's own sheets as PDF; its problems where a calculator refuses what is told."""
    from print.pack import Written, own

    with _undisturbed():
        try:
            return own(each.truck, each.order, each.label), []
        except calculators.Refused as refused:
            return Written(b"", {}), refusals(each, refused)


@contextmanager
def _undisturbed() -> Iterator[None]:
    """All that a sheet is made of lives until it is written: looking for garbage meanwhile is a tenth of the time."""
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
        _settle()


@lru_cache(maxsize=1)
def _settle() -> None:
    """What a process has loaded for its first truck serves all: nothing need look through it after each."""
    gc.collect()
    gc.freeze()


def _put(folder: Path, memory: Memory, change: Change, data: bytes) -> None:
    truck = change.truck
    before = memory.packs.get((truck.id, truck.holds))
    keep(folder, memory, truck.file, data, truck=truck.id, holds=truck.holds, made_from=change.made_from, shown=change.shown)
    if before and before.file != truck.file:  # the truck is called otherwise now
        take_away(folder / before.file, before.sha256)


def keep(folder: Path, memory: Memory, file: str, data: bytes, *, truck: str, holds: str, made_from: str, shown: str) -> None:
    """Write a file and remember it at once."""
    write(folder / file, data)
    memory.tell(pack=file, truck=truck, holds=holds, made_from=made_from, shown=shown, sha256=hashlib.sha256(data).hexdigest())


def take_away(file: Path, digest: str) -> None:
    """Remove a file of ours; what somebody else put there stays."""
    if is_there(file, digest):
        file.unlink(missing_ok=True)


def is_there(file: Path, digest: str) -> bool:
    """Whether a file is there as it was written."""
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest() == digest
    except OSError:
        return False


# What a pack is made from --------------------------------------------------------------------------


def source(each: Truck) -> str:
    """What a pack is made from but for the day: the truck, the order, and this program's own words and figures."""
    return digest([each.truck, each.label, each.order._replace(today=""), program()])


def digest(told: Any) -> str:
    """The same for the same content."""
    return hashlib.sha256(json.dumps(told, sort_keys=True).encode()).hexdigest()


@lru_cache(maxsize=1)
def program() -> str:
    """What this program is made of: every file that a sheet's looks or words come from."""
    root = Path(__file__).parent.parent
    found = hashlib.sha256()
    for place in map(root.joinpath, MADE_WITH):
        for path in sorted(place.rglob("*")) if place.is_dir() else [place]:
            if path.is_file() and "__pycache__" not in path.parts:
                found.update(path.relative_to(root).as_posix().encode() + path.read_bytes())
    return found.hexdigest()


# Readings without a day ----------------------------------------------------------------------------


def first_seen(memory: Memory, truck: str, told: Mapping[str, str], today: date) -> str:
    """The day on which a truck's readings were first seen as they are: it stands for the day that nobody told."""
    known = memory.seen.get(truck, {})
    seen = {field: known[field] if known.get(field, [""])[0] == value else [value, today.isoformat()] for field, value in told.items()}
    if seen != known:
        memory.tell(seen=truck, readings=seen)
    return max(day for _, day in seen.values())
