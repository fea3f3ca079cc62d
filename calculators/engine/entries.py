"""The entries of a truck's book: read, united with those of another copy, and which of them count now.

An entry never changes. So two copies of a book, of two tabs or two phones, are one book by their union, whatever the order.
"""

import hashlib
import json
import marshal
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, date, datetime
from functools import lru_cache
from math import isfinite
from typing import Any, NamedTuple

from calculators.engine.facts import Fault
from calculators.engine.figures import ENTRY, ENTRY_KINDS, TABLES, Figure, calendar_day
from calculators.engine.numerals import unsure

Raw = dict[str, Any]  # an entry as a file holds it, with whatever a newer version wrote

METERS = ("odometer", "engine_hours", "idle_hours")
READ_ON = {"odometer": "read_on", "engine_hours": "engine_hours_read_on"}  # the day on which a meter was read
ANYWHERE = (*METERS, "note", "written", "replaces", "estimated", "day_assumed")  # what an entry of any kind may carry

_UNDATED = ("job", "reading", "deleted")  # an old record, and a reading that nobody dated; the day of a deletion says nothing
_ID_LENGTH = 16  # hexadecimal digits: no two of a fleet's entries will ever share them by chance
_LONGEST = 2000  # letters of a text
_REMEMBERED = 10_000  # entries: a long book, or those of the trucks at hand


class Entry(NamedTuple):
    """What one entry tells: its fields by name, in declared units; what can't be read is not among them."""

    id: str
    date: date | None
    kind: str
    told: Mapping[str, Any]

    def get(self, field: str, otherwise: Any = None) -> Any:
        """One field, or ``otherwise`` where it was not told; a fill is to the top unless it says otherwise."""
        return self.told.get(field, True if field == "full" and otherwise is None else otherwise)


class Asked(NamedTuple):
    """Entries that something is not right with, and what; the owner is asked about them."""

    ids: tuple[str, ...]
    why: str
    field: str = ""  # of the entry, where one of them it is


class Learned(NamedTuple):
    """What the book makes of an input, and the entries that it follows from; of what is measured, between which ends it lies."""

    value: Any
    ids: tuple[str, ...]
    low: float | None = None
    high: float | None = None


class Counted(NamedTuple):
    """The entries that count now, by date and id, what the owner must be asked about the others, and which came last about each."""

    entries: tuple[Entry, ...]
    asked: tuple[Asked, ...]
    last: Mapping[str, str]  # by every entry's id: its own, or that of a correction or a deletion


# Ids and the union -------------------------------------------------------------------------------------------------------------


def canonical(content: Any) -> str:
    """JSON that is the same for the same content, whoever wrote it: sorted, and 5.0 as 5."""
    return json.dumps(_whole(content), sort_keys=True, separators=(",", ":"))


def content_id(owner: str, content: Any) -> str:
    """An id made from what is told; ``owner`` is the truck's name, so that no other truck's entry has it."""
    return hashlib.sha256(canonical([owner, content]).encode()).hexdigest()[:_ID_LENGTH]


def fingerprint(book: Iterable[Raw]) -> str:
    """SHA-256 of a whole book as canonical JSON: the same for the same entries, whatever version of this guide reads them."""
    return hashlib.sha256(canonical(merge(book)).encode()).hexdigest()


def merge(*books: Iterable[Raw], truck: str = "") -> list[Raw]:
    """The union of copies of one book, by date and id: in any order the same, and nothing entered is ever gone.

    Where one id has two contents, both stay: the one later in canonical JSON gets an id of its content, and says whose it had.
    """
    by_id: dict[str, list[Raw]] = {}
    waiting = [_named(raw, truck) for book in books for raw in book]
    while waiting:
        for raw in waiting:
            by_id.setdefault(raw["id"], []).append(raw)
        waiting = []
        for own, same in by_id.items():
            if len(same) > 1:
                told = {canonical(raw): raw for raw in same}
                first, *others = sorted(told)
                by_id[own] = [told[first]]
                waiting += [{**told[other], "id": content_id(own, told[other]), "conflicts_with": own} for other in others]
    return sorted((raw for same in by_id.values() for raw in same), key=_place)


def _named(raw: Raw, truck: str) -> Raw:
    """The entry with an id, by its content where it had none."""
    told = raw.get("id")
    return raw if isinstance(told, str) and told.strip() else {**raw, "id": content_id(truck, raw)}


def _place(raw: Raw) -> tuple[str, str]:
    return str(raw.get("date") or ""), raw["id"]


def _whole(content: Any) -> Any:
    if isinstance(content, dict):
        return {name: _whole(part) for name, part in content.items()}
    if isinstance(content, list):
        return [_whole(part) for part in content]
    return int(content) if isinstance(content, float) and isfinite(content) and content == int(content) else content


# Reading -----------------------------------------------------------------------------------------------------------------------


def read_entries(book: Iterable[Raw]) -> tuple[list[Entry], list[Fault]]:
    """Every entry as far as it can be read, and what could not; a kind or a field of a newer version is no fault."""
    entries, faults = [], []
    for raw in book:
        entry, wrong = read_entry(raw)
        entries.append(entry)
        faults += wrong
    return entries, faults


def read_entry(raw: Raw) -> tuple[Entry, list[Fault]]:
    """One entry as far as it can be read, and what could not. It never changes, so it is remembered: a book is read many times."""
    try:
        entry, faults = _read_before(marshal.dumps(raw, 2))
    except ValueError:  # it holds what no file can
        return _read_entry(raw)
    return entry, list(faults)


@lru_cache(maxsize=_REMEMBERED)
def _read_before(raw: bytes) -> tuple[Entry, tuple[Fault, ...]]:
    entry, faults = _read_entry(marshal.loads(raw))
    return entry, tuple(faults)


def _read_entry(raw: Raw) -> tuple[Entry, list[Fault]]:
    faults: list[Fault] = []
    told: dict[str, Any] = {}
    for name, value in raw.items():
        if name not in _OWN and not _is_empty(value) and (entry := ENTRY.get(name)):
            try:
                told[name] = _read(entry, value)
            except ValueError as wrong:
                faults.append(Fault(_field(raw, name), value, str(wrong)))
    kind = raw.get("kind")
    if not isinstance(kind, str) or not kind:
        faults.append(Fault(_field(raw, "kind"), kind or "", f"write one of {', '.join(ENTRY_KINDS)}"))
    if kind == "job" and raw.get("job") is None:
        faults.append(Fault(_field(raw, "job"), "", f"write one of {', '.join(TABLES['job'])}"))
    return Entry(raw["id"], _day(raw, faults), str(kind), told), faults


_OWN = ("id", "date", "kind")


def _is_empty(value: Any) -> bool:
    return value is None or (isinstance(value, str) and not value.strip())


def _day(raw: Raw, faults: list[Fault]) -> date | None:
    told = raw.get("date")
    if told is None and (raw.get("kind") in _UNDATED or "days_ago" in raw):
        return None
    try:
        return calendar_day(str(told))
    except ValueError as wrong:
        faults.append(Fault(_field(raw, "date"), told or "", str(wrong)))
        return None


def _field(raw: Raw, name: str) -> str:
    """Which field of which entry: the day and the kind say more to its owner than an id."""
    return f"book.{raw.get('date') or 'undated'}.{raw.get('kind')}.{name}"


def _read(entry: Figure, value: Any) -> Any:
    if isinstance(value, list | dict):
        raise ValueError("write one value")
    if entry.unit == "text":
        return _text(value)
    if entry.name == "job":
        return _job(value)
    if entry.unit == "word" and not entry.choices:
        return _text(value)
    return entry.within(_quick(entry, value), {}, value)


def _text(value: Any) -> str:
    text = str(value).strip()
    if len(text) > _LONGEST:
        raise ValueError(f"write at most {_LONGEST} letters")
    return text


def _job(value: Any) -> str:
    if value not in TABLES["job"]:
        raise ValueError(f"write one of {', '.join(TABLES['job'])}")
    return str(value)


def _quick(entry: Figure, value: Any) -> Any:
    """A yes, and a number in its declared unit, without looking for others: a long book holds thousands."""
    if isinstance(value, bool) and entry.unit == "yes/no":
        return value
    if isinstance(value, str):
        number, _, unit = value.partition(" ")
        if unit == entry.unit and number.replace(".", "", 1).isdecimal() and number.isascii() and not unsure(number):
            return float(number)
    return entry.read(value)


# Which entries count -----------------------------------------------------------------------------------------------------------


def current(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """What counts now, by date (dateless first) and id: what was corrected or deleted is gone."""
    return counted(entries).entries


def counted(entries: Iterable[Entry]) -> Counted:
    """The same, with what the owner must be asked about the others.

    Of two replacements the later written counts, then the larger id; a circle and an unknown ``replaces`` are passed over.
    """
    by_id = {entry.id: entry for entry in entries}
    target = {entry.id: str(entry.told["replaces"]) for entry in by_id.values() if "replaces" in entry.told}
    unknown = {own for own, other in target.items() if other not in by_id}
    circle = _in_circles(target)
    replacing: dict[str, list[Entry]] = {}
    for own, other in target.items():
        if own not in unknown and own not in circle:
            replacing.setdefault(other, []).append(by_id[own])
    roots = [entry for own, entry in by_id.items() if own not in target or own in unknown or own in circle]
    last = {root.id: _last(root, replacing) for root in roots}
    found = sorted((entry for entry in last.values() if entry.kind != "deleted"), key=_order)
    return Counted(tuple(found), tuple(_asked(by_id, replacing, unknown, circle)),
                   {own: word.id for root, word in last.items() for own in _about(root, replacing)})


def _order(entry: Entry) -> tuple[date, str]:
    return entry.date or date.min, entry.id


def _last(entry: Entry, replacing: Mapping[str, list[Entry]]) -> Entry:
    """The last word about an entry."""
    while entry.id in replacing:
        entry = max(replacing[entry.id], key=_written)
    return entry


def _about(root: str, replacing: Mapping[str, list[Entry]]) -> Iterator[str]:
    """An entry, and all that came to replace it or one another."""
    waiting = [root]
    while waiting:
        yield (own := waiting.pop())
        waiting += [entry.id for entry in replacing.get(own, ())]


def _written(entry: Entry) -> tuple[datetime, str]:
    try:
        told = datetime.fromisoformat(str(entry.told.get("written")))
        return (told.replace(tzinfo=UTC) if told.tzinfo is None else told.astimezone(UTC)), entry.id
    except (ValueError, OverflowError):
        return datetime.min.replace(tzinfo=UTC), entry.id


def _in_circles(target: Mapping[str, str]) -> set[str]:
    """Entries that, by way of others, replace themselves."""
    found: set[str] = set()
    passed: set[str] = set()
    for start in target:
        way: dict[str, None] = {}
        own = start
        while own in target and own not in passed and own not in way:
            way[own] = None
            own = target[own]
        if own in way:
            found.update(list(way)[list(way).index(own):])
        passed |= way.keys()
    return found


def _asked(by_id: Mapping[str, Entry], replacing: Mapping[str, list[Entry]], unknown: set[str], circle: set[str]) -> Iterator[Asked]:
    for own in sorted(unknown):
        yield Asked((own,), "it corrects an entry that is not in this book")
    if circle:
        yield Asked(tuple(sorted(circle)), "these entries correct each other in a circle: none of these corrections counts")
    for own, several in sorted(replacing.items()):
        if len(several) > 1:
            yield Asked((own, *sorted(each.id for each in several)), "it was corrected more than once: the last one written counts")
    for own, entry in sorted(by_id.items()):
        if "conflicts_with" in entry.told and own not in replacing:
            yield Asked((str(entry.told["conflicts_with"]), own), "two entries came under one id, and both are kept: delete the wrong one")
        if entry.kind == "deleted" and "replaces" not in entry.told:
            yield Asked((own,), "it deletes nothing")
