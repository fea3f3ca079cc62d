"""What of a truck travels in a link: enough to work its answers out elsewhere, never its owner's words, numbers to call, or its book."""

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from calculators.engine.book import METERS, Entry, done_by
from calculators.engine.entries import Raw
from calculators.engine.levels import LEVEL_READ_ON
from calculators.engine.measured import as_carried
from calculators.engine.owner import PACES, Owner, owner
from calculators.engine.truck import upgraded

_PARTS = ("format", "version", "id", "name", "saved_at", "site_version", "facts", "interval")
_MOST = 60  # readings, the last ones: a fill a week for a year
_OF_A_JOB = ("job", "new", "meter_new")


def travelling(truck: Mapping[str, Any], today: date) -> dict[str, Any]:
    """The truck with its last readings, each job's last entry and what its records measured, without what they say beside that."""
    whole = upgraded(truck)
    own = owner(whole, {}, today.isoformat())
    filled = {gauge for gauge, level in own.levels.items() if level.filled}  # the fill itself stays at home, and so does what it ended
    whole = {**whole, "facts": {name: fact for name, fact in whole.get("facts", {}).items() if name not in filled}}
    by_id = {raw["id"]: raw for raw in whole["book"]}
    wanted = dict.fromkeys(entry.id for entry in sorted(_wanted(own), key=lambda entry: (entry.date or date.min, entry.id)))
    learned = as_carried(own.book.learned)
    return {part: whole[part] for part in _PARTS if part in whole} | {"book": [_bare(by_id[own]) for own in wanted]} | (
        {"learned": learned} if learned else {})


def _wanted(own: Owner) -> Iterator[Entry]:
    """Readings, those behind a pace among them, the gauges' last, jobs' last entries, and what starts the clocks."""
    entries, learned = own.book.entries, own.book.learned
    ids = {reading.id for meter in METERS for reading in entries.readings(meter).kept[-_MOST:]}
    ids.update(one for pace in PACES if pace in learned for one in learned[pace].ids)
    ids.update(level.entry for level in own.levels.values() if not level.filled)
    last = {job: entry for entry in entries if (job := done_by(entry))}
    yield from (entry for entry in entries if entry.id in ids or entry.kind == "delivery" or "meter_new" in entry.told)
    yield from last.values()


def _bare(raw: Raw) -> Raw:
    """What the calculators read of it: its day, its meters, and which job it was."""
    kind = "job" if raw.get("kind") in ("drain", "check") and raw.get("jar") else raw.get("kind")
    kind = kind if kind in ("job", "delivery", "reading") else "reading"
    job = {"job": raw.get("job", "separator_drain")} if kind == "job" else {}
    rest = {name: raw[name] for name in (*METERS, *LEVEL_READ_ON, "new", "meter_new", "estimated", "day_assumed") if name in raw}
    return {"id": raw["id"], **({"date": raw["date"]} if raw.get("date") else {}), "kind": kind, **job, **rest}
