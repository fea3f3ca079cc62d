"""A book as its page lists it: every entry in words, newest first, and what its owner is asked about. Data alone."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from calculators.engine.entries import METERS, Asked, Entry, Raw, counted, read_entries
from calculators.engine.figures import ENTRY, ENTRY_KINDS
from calculators.engine.show import words
from calculators.engine.view import sentence

KINDS = {
    "job": "A job done", "reading": "Meters read", "fuel": "Fuel filled", "def": "DEF filled", "drain": "Separator drained",
    "burn": "A burn", "check": "The month’s check", "oil": "Oil level", "light": "A light came on", "defect": "A defect", "note": "A note",
    "delivery": "The truck came",
}  # what an entry may be, as a reader chooses it
_NAMED = {"odometer": "miles", "engine_hours": "engine hours", "idle_hours": "idle hours"}


def book_view(book: Iterable[Raw], asked: Iterable[Asked] = ()) -> list[dict[str, Any]]:
    """Every entry but deletions: when, what, and the lines under it; one that was corrected or deleted says by which."""
    why: dict[str, list[str]] = {}
    for one in asked:
        for own in one.ids:
            why.setdefault(own, []).append(sentence(one.why))
    entries, _ = read_entries(book)
    now = counted(entries).entries
    last = _last_words(entries, {entry.id for entry in now})
    shown = sorted((entry for entry in entries if entry.kind != "deleted"), key=_newest_first)
    return [_row(entry, last.get(entry.id)) | {"asked": why.get(entry.id, [])} for entry in shown]


def _newest_first(entry: Entry) -> tuple[int, str]:
    return -(entry.date or date.min).toordinal(), entry.id


def _last_words(entries: Iterable[Entry], counting: set[str]) -> dict[str, str]:
    """For each entry that no longer counts, the correction or the deletion that came last."""
    by_id = {entry.id: entry for entry in entries}
    after: dict[str, list[str]] = {}
    for entry in by_id.values():
        after.setdefault(str(entry.told.get("replaces")), []).append(entry.id)

    def end(own: str, passed: frozenset[str]) -> str:
        later = [each for each in after.get(own, []) if each not in passed]
        ends = [end(each, passed | {own}) for each in later]
        latest = max(ends, key=lambda each: str(by_id[each].told.get("written")), default=own)
        return next((each for each in ends if each in counting), latest)

    return {own: end(own, frozenset()) for own in by_id if own not in counting}


def _row(entry: Entry, last: str | None) -> dict[str, Any]:
    job = words(entry.told["job"]).phrase if "job" in entry.told else ""
    what = KINDS.get(entry.kind, entry.kind)
    amount = next((name for name in ENTRY_KINDS.get(entry.kind, ()) if name in entry.told and ENTRY[name].question == what), "")
    lines = (_meters(entry), _told(entry, amount), entry.get("note", ""))
    return {
        "id": entry.id, "kind": entry.kind, "when": words(entry.date).phrase if entry.date else "no day",
        "what": job or (_said(amount, entry.told[amount]) if amount else what), "lines": list(filter(None, lines)),
        "estimated": bool(entry.get("estimated", False)), **({"struck_by": last} if last else {}),
    }


def _meters(entry: Entry) -> str:
    return ", ".join(f"{words(entry.told[meter], exact=True).number} {_NAMED[meter]}" for meter in METERS if meter in entry.told)


def _told(entry: Entry, but: str) -> str:
    """What its kind tells beside its name: a choice and a text as they are, a yes by its question, a number with its unit."""
    told = (name for name in ENTRY_KINDS.get(entry.kind, ()) if name in entry.told and name not in ("job", but))
    return "; ".join(_said(name, entry.told[name]) for name in told)


def _said(name: str, value: Any) -> str:
    entry = ENTRY[name]
    told = words(value, entry.unit if entry.unit not in ("text", "word") else "", exact=True).phrase
    return f"{entry.question} {told}" if entry.question.endswith("?") else f"{entry.question}: {told}"
