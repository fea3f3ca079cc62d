"""A book as a record on paper lists it: what counts, the newest first, each in a line or two, and what shows that paper and file agree."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any, NamedTuple

from calculators.engine.book import counted_back
from calculators.engine.book_view import KINDS
from calculators.engine.entries import METERS, Entry, Raw, current, fingerprint, merge, read_entries
from calculators.engine.figures import ENTRY, ENTRY_KINDS
from calculators.engine.show import words

_BRIEF = {"fuel": "Fuel", "def": "DEF", "burn": "Burn", "check": "Month’s check"}  # the others as a reader chooses them
_YES_NO = {"full": ("full", "part fill"), "missed": ("a fill before it was not written down", ""), "new": ("new", "used"),
           "hard": ("mostly towing, plowing or power take-off", "")}
_NAMED = {"water": "{} of water", "oil_mark": "oil {}", "burns_finished": "burns finished {}", "burns_broken_off": "broken off {}",
          "oil_added": "oil added {}", "fuel_in_oil": "{} fuel in the oil", "tires": "tires {}", "meter_new": "new {}",
          "idle_hours": "{} idling"}
_BY_KIND = {("check", "jar"): "jar {}", ("check", "def"): "DEF {}", ("job", "oil_added"): "{} of oil"}
_OWN = ("station", "part", "note")  # what its owner wrote, in whatever letters
_BY = 24  # letters that the column of who did it takes; a longer one stands among the words
_LONG = 600  # letters of its owner's words from which an entry may go on over a page's end
_BLOCK = 8  # digits of a fingerprint that are compared at a glance


class Line(NamedTuple):
    """An entry on paper: its day and meters, what it says in our words, what its owner wrote, by whom, and whether there is a receipt."""

    kind: str  # and whether it is long
    day: str
    miles: str
    hours: str
    what: str
    own: tuple[str, ...]
    by: str
    receipt: str


class Record(NamedTuple):
    """The entries that count, how many the book holds in all, its days, and its fingerprint in blocks; none of an empty book."""

    lines: tuple[Line, ...] = ()
    entries: str = ""
    first_day: str = ""
    delivered: str = ""
    fingerprint: str = ""


def record(book: Iterable[Raw], today: date) -> Record:
    """A whole book; what was corrected stands as corrected, what was taken back does not stand, and all of it is counted."""
    whole = merge(book)
    entries = (entry if entry.date or "days_ago" not in entry.told else counted_back(entry, today) for entry in read_entries(whole)[0])
    counting = current(entries)
    if not whole:
        return Record()
    first = next((_day(entry) for entry in counting if entry.date), "")
    delivered = next((_day(entry) for entry in reversed(counting) if entry.kind == "delivery" and entry.date), "")
    lines = tuple(map(_line, reversed(counting)))
    return Record(lines, _counted(len(whole), len(counting)), first, delivered, _blocks(fingerprint(whole)))


def _counted(whole: int, counting: int) -> str:
    """How many entries, and that not all of them stand here."""
    told = f"{whole} {'entry' if whole == 1 else 'entries'} in this book."
    others = f" {counting} of them count and stand here. The others were corrected or taken back, and stay in the file."
    return told + (others if counting < whole else "")


def _blocks(digits: str) -> str:
    return " ".join(digits[at:at + _BLOCK] for at in range(0, len(digits), _BLOCK))


def _line(entry: Entry) -> Line:
    miles, hours = (_meter(entry, meter) for meter in METERS[:2])
    by = str(entry.get("by", ""))
    own = [str(entry.told[name]) for name in _OWN if name in entry.told] + ([by] if len(by) > _BY else [])
    receipt = str(words(entry.told["receipt"])) if "receipt" in entry.told else ""
    kind = f"{entry.kind} long" if sum(map(len, own)) > _LONG else entry.kind
    return Line(kind, _day(entry), miles, hours, _what(entry, bool(own)), tuple(own), by if len(by) <= _BY else "", receipt)


def _day(entry: Entry) -> str:
    return str(words(entry.date)) if entry.date else "no day"


def _meter(entry: Entry, meter: str) -> str:
    """As it was read; what was no more than a guess says so."""
    if meter not in entry.told:
        return ""
    return f"{'about ' if entry.get('estimated', False) else ''}{words(entry.told[meter], exact=True).number}"


def _what(entry: Entry, goes_on: bool) -> str:
    """What it is and what it tells, up to its owner's words where it goes on with them."""
    name = words(entry.told["job"]).phrase if "job" in entry.told else (KINDS | _BRIEF).get(entry.kind, entry.kind)
    told = [*filter(None, _told(entry)), *([""] if goes_on else [])]
    return (", " if "job" in entry.told else ": ").join([name, *([", ".join(told)] if told else [])])


def _told(entry: Entry) -> Iterator[str]:
    """What its kind tells, each in a word or two; a correction and a day that nobody told say so."""
    fields = [field for field in ENTRY_KINDS.get(entry.kind, ()) if field not in (*_OWN, "job", "by", "receipt")]
    for field in (*fields, *(("idle_hours",) if entry.kind == "reading" else ())):
        if entry.get(field) is not None:  # a fill is to the top unless it says otherwise
            yield _said(entry, field, entry.get(field))
    if entry.get("day_assumed", False):
        yield "on this day or before"
    if "replaces" in entry.told:
        yield f"corrected {_written(entry)}".rstrip()


def _said(entry: Entry, field: str, value: Any) -> str:
    if field in _YES_NO:
        return _YES_NO[field][not value]
    if field == "oil_level":
        return f"{words(abs(value), 'qt', exact=True)} {'below' if value < 0 else 'above'} FULL" if value else "at FULL"
    unit = ENTRY[field].unit
    pattern = _BY_KIND.get((entry.kind, field)) or _NAMED.get(field, "{}")
    return pattern.format(words(value, "" if unit == "word" else unit, exact=True))


def _written(entry: Entry) -> str:
    try:
        return str(words(date.fromisoformat(str(entry.told.get("written"))[:10])))
    except ValueError:
        return ""
