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
    now = counted(entries)
    counting = {entry.id for entry in now.entries}
    shown = sorted((entry for entry in entries if entry.kind != "deleted"), key=_newest_first)
    return [_row(entry) | {"asked": why.get(entry.id, [])} | ({} if entry.id in counting else {"struck_by": now.last[entry.id]})
            for entry in shown]


def _newest_first(entry: Entry) -> tuple[int, str]:
    return -(entry.date or date.min).toordinal(), entry.id


def _row(entry: Entry) -> dict[str, Any]:
    job = words(entry.told["job"]).phrase if "job" in entry.told else ""
    what = KINDS.get(entry.kind, entry.kind)
    amount = next((name for name in ENTRY_KINDS.get(entry.kind, ()) if name in entry.told and ENTRY[name].question == what), "")
    lines = (_meters(entry), _told(entry, amount), entry.get("note", ""))
    return {
        "id": entry.id, "kind": entry.kind, "when": words(entry.date).phrase if entry.date else "no day",
        "what": job or (_said(amount, entry.told[amount]) if amount else what), "lines": list(filter(None, lines)),
        "estimated": bool(entry.get("estimated", False)),
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
