"""Copies of one book, whatever their owners entered, saved, opened and united in whatever order: one book, and nothing is ever gone."""

import json
from datetime import date, timedelta
from typing import Any

from hypothesis import event, given
from hypothesis import strategies as st

from calculators.engine.book import canonical, current, learned, merge, opened, read_entries
from calculators.engine.book_table import new_to, read_table, write_table
from calculators.engine.entries import METERS, Raw
from calculators.engine.figures import ENTRY, ENTRY_KINDS, FIGURES, TABLES
from calculators.engine.truck_union import united

TODAY = date(2026, 11, 25)
IDS = st.sampled_from("abcdefgh")  # few, so that copies share them and correct each other
DAYS = st.integers(-400, 20).map(lambda days: (TODAY + timedelta(days=days)).isoformat())
JSON = st.recursive(st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
                    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3), max_leaves=6)


def one_value(field: str) -> st.SearchStrategy[Any]:
    """What a field may hold, well written."""
    entry = ENTRY[field]
    if field == "job":
        return st.sampled_from(TABLES["job"])
    if entry.choices:
        return st.sampled_from(entry.choices)
    if entry.unit == "yes/no":
        return st.sampled_from([True, False, "yes", "no"])
    if entry.unit in ("word", "text"):
        return st.text(max_size=8)
    high = FIGURES[entry.high].high if isinstance(entry.high, str) else entry.high  # a tank's level: no more than the largest tank holds
    number = st.integers(int(entry.low), int(high)) if entry.whole else st.floats(entry.low, high)
    return number if entry.unit == "count" else number | number.map(lambda told: f"{told!r} {entry.unit}")


@st.composite
def good_entries(draw: st.DrawFn) -> Raw:
    """An entry as a page writes it."""
    kind = draw(st.sampled_from(sorted(ENTRY_KINDS)))
    fields = draw(st.lists(st.sampled_from([*ENTRY_KINDS[kind], *METERS, "note", "estimated"]), max_size=4, unique=True))
    raw: Raw = {"id": draw(IDS), "date": draw(DAYS), "kind": kind, **{field: draw(one_value(field)) for field in fields}}
    raw |= {"job": draw(one_value("job"))} if kind == "job" else {}
    raw |= {"replaces": draw(IDS)} if draw(st.booleans()) else {}
    return raw | ({"written": draw(st.sampled_from(["2026-11-01T10:00:00Z", "2026-11-02T10:00:00Z"]))} if draw(st.booleans()) else {})


NAMES = st.sampled_from(["id", "date", "kind", "job", "odometer", "replaces", "written", "full", "wings"])
STRANGE = st.dictionaries(NAMES, JSON, max_size=5)
BOOKS = st.lists(st.lists(good_entries() | STRANGE, max_size=6), min_size=1, max_size=5)


def told(raw: Raw) -> str:
    """What was entered: all but the id, and whose id it had first."""
    return canonical({name: part for name, part in raw.items() if name not in ("id", "conflicts_with")})


@given(books=BOOKS, data=st.data())
def test_any_order_of_saves_opens_and_merges_gives_the_same_book(books: list[list[Raw]], data: st.DataObject) -> None:
    """Each step, one copy takes in another, which may be a copy saved earlier and opened again; at last all are united."""
    copies = [list(book) for book in books]
    saved = [json.dumps(book) for book in copies]
    for _ in range(data.draw(st.integers(0, 8))):
        one, other = (data.draw(st.integers(0, len(copies) - 1)) for _ in range(2))
        opened_again = json.loads(data.draw(st.sampled_from(saved)))
        copies[one] = merge(copies[one], data.draw(st.sampled_from([copies[other], opened_again])), truck="Oak")
        saved.append(json.dumps(copies[one]))
    united = merge(*data.draw(st.permutations(copies)), truck="Oak")
    assert united == merge(*books, truck="Oak") == merge(united, truck="Oak") == merge(united, *books, truck="Oak")
    assert len({raw["id"] for raw in united}) == len(united)
    event(f"{len(united)} entries, {sum('conflicts_with' in raw for raw in united)} of them moved")


@given(books=BOOKS)
def test_nothing_entered_is_ever_gone(books: list[list[Raw]]) -> None:
    united = {told(raw) for raw in merge(*books, truck="Oak")}
    assert {told(raw) for book in books for raw in book} <= united


@given(book=st.lists(good_entries() | STRANGE, max_size=10), data=st.data())
def test_any_book_is_opened_the_same_in_any_order(book: list[Raw], data: st.DataObject) -> None:
    """No entry, however strange, keeps the others from being read; what counts is asked of what was entered."""
    read, faults = read_entries(merge(book, truck="Oak"))
    assert all(fault.do and "\n" not in str(fault) for fault in faults)
    found = opened(read, TODAY)
    shuffled = opened(data.draw(st.permutations(read)), TODAY)
    assert (tuple(found.entries), found.learned, found.asked) == (tuple(shuffled.entries), shuffled.learned, shuffled.asked)
    counts = current(read)
    assert len({entry.id for entry in counts}) == len(counts) <= len(read)
    assert all(entry.date is None or entry.date <= TODAY for entry in found.entries)
    assert {own for one in found.learned.values() for own in one.ids} <= {entry.id for entry in found.entries}
    assert learned(found.entries) == found.learned


@given(book=st.lists(good_entries(), max_size=8))
def test_a_table_of_a_good_book_read_again_adds_nothing(book: list[Raw]) -> None:
    united = merge(book, truck="Oak")
    table = read_table(write_table(united), {"name": "Oak"})
    assert (table.problems, len(table.entries)) == ([], len(united))
    assert new_to(united, table.entries) == []


@given(text=st.text(max_size=200) | st.text(alphabet='date,kind;"\n\t2026-11job', max_size=200))
def test_any_table_is_read_as_far_as_it_goes(text: str) -> None:
    table = read_table(text, {"name": "Oak"})
    assert table.entries or table.problems or not text.strip()


VALUES = st.dictionaries(st.sampled_from(["fuel_price", "trucks", "vin"]), st.sampled_from([1, 2.0, "3 gal"]), max_size=3)
INTERVALS = st.dictionaries(st.sampled_from(["engine_oil", "coolant"]), VALUES, max_size=2)
TIMES = st.sampled_from(["2026-11-01T10:00:00Z", "2026-11-02T10:00:00Z", 5, "soon"])
TRUCKS = st.fixed_dictionaries({
    "id": st.just("1"), "version": st.just(2), "name": st.sampled_from(["Oak", "Elm"]), "identity": VALUES, "facts": VALUES,
    "interval": INTERVALS, "book": st.lists(good_entries(), max_size=3),
}, optional={"saved_at": TIMES, "color": st.sampled_from(["red", "blue"])})


@given(trucks=st.lists(TRUCKS, min_size=1, max_size=5), data=st.data())
def test_copies_of_a_truck_come_out_the_same_in_any_order_with_nothing_lost(trucks: list[dict[str, Any]], data: st.DataObject) -> None:
    whole = united(*trucks)
    step = trucks[0]
    for copy in data.draw(st.permutations(trucks)):
        step = json.loads(json.dumps(united(step, copy)))
    assert step == whole == united(whole, *data.draw(st.permutations(trucks)))
    stands = {canonical([part, whole.get(part)]) for part in ("name", "color")} | {canonical([part, one]) for part, one in values(whole)}
    stands |= {canonical([one["part"] or one["key"], one["value"] if not one["part"] else [one["key"], one["value"]]])
               for one in whole.get("aside", [])}
    assert all(canonical([part, one]) in stands for truck in trucks for part, one in values(truck))
    assert {told(raw) for truck in trucks for raw in truck["book"]} <= {told(raw) for raw in whole["book"]}


def values(truck: dict[str, Any]) -> list[tuple[str, Any]]:
    """Every value that an owner told, beside its name."""
    rows = [("interval", [f"{job}.{what}", one]) for job, row in truck["interval"].items() for what, one in row.items()]
    rows += [(part, truck[part]) for part in ("name", "color") if part in truck]
    return rows + [(part, [key, one]) for part in ("identity", "facts") for key, one in truck[part].items()]
