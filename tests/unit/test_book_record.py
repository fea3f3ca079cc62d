"""A book as its record on paper lists it: each entry once, in words, the newest first; and a fingerprint that anybody can make again."""

import hashlib
import json
from datetime import date

import pytest

import calculators
from calculators.engine.book_record import Record, record
from calculators.engine.entries import fingerprint

TODAY = date(2026, 11, 25)


def line(**entry):
    (found,) = record([{"id": "a", "date": "2026-10-29"} | entry], TODAY).lines
    return found


@pytest.mark.parametrize(("entry", "what", "own"), [
    ({"kind": "fuel", "fuel": "22.1 gal", "price": "3.9 USD/gal", "station": "Mill Road"},
     "Fuel: 22.1 gal, full, $3.90/gal, ", ("Mill Road",)),
    ({"kind": "fuel", "fuel": "9 gal", "full": False, "missed": True, "hard": True},
     "Fuel: 9 gal, part fill, a fill before it was not written down, mostly towing, plowing or power take-off", ()),
    ({"kind": "def", "def": "2.5 gal"}, "DEF: 2.5 gal", ()),
    ({"kind": "job", "job": "engine_oil", "oil_added": "13 qt", "cost": "118 USD", "part": "CK-4", "note": "cold"},
     "Engine oil and its filter, $118, 13 qt of oil, ", ("CK-4", "cold")),
    ({"kind": "job", "job": "coolant"}, "Coolant", ()), ({"kind": "job", "job": "coolant", "note": "red"}, "Coolant, ", ("red",)),
    ({"kind": "drain", "jar": "water", "water": "10 mL"}, "Separator drained: water, 10 mL of water", ()),
    ({"kind": "burn", "burn": "broken_off"}, "Burn: broken off", ()),
    ({"kind": "check", "jar": "clear", "oil_mark": "half_over", "burns_finished": 2, "burns_broken_off": 0, "tires": "low"},
     "Month’s check: jar clear, oil half over, burns finished 2, broken off 0, tires low", ()),
    ({"kind": "oil", "oil_level": "-0.5 qt"}, "Oil level: 0.5 qt below FULL", ()),
    ({"kind": "oil", "oil_level": "1 qt"}, "Oil level: 1 qt above FULL", ()),
    ({"kind": "oil", "oil_level": "0 qt", "fuel_in_oil": "2 %"}, "Oil level: at FULL, 2% fuel in the oil", ()),
    ({"kind": "reading", "idle_hours": "520 h", "meter_new": "idle_hours"}, "Meters read: new idle hours, 520 h idling", ()),
    ({"kind": "delivery", "new": True}, "The truck came: new", ()),
    ({"kind": "defect", "note": "left light"}, "A defect: ", ("left light",)),
    ({"kind": "of_a_newer_guide", "note": "x"}, "of_a_newer_guide: ", ("x",)),
    ({"kind": "job", "job": "coolant", "day_assumed": True}, "Coolant, on this day or before", ()),
])
def test_each_kind_says_what_was_told(entry, what, own):
    found = line(**entry)
    assert (found.what, found.own) == (what, own)


def test_a_row_has_its_day_meters_hand_and_receipt():
    found = line(kind="job", job="coolant", odometer="88080 mi", engine_hours="3214.5 h", by="Self", receipt=True)
    assert found[1:4] == ("Oct 29, 2026", "88,080", "3,214.5") and (found.by, found.receipt) == ("Self", "yes")
    guessed = line(kind="job", job="coolant", odometer="88080 mi", engine_hours="3214 h", estimated=True, receipt=False)
    assert (guessed.miles, guessed.hours, guessed.receipt) == ("about 88,080", "about 3,214", "no")


def test_the_newest_come_first_and_what_has_no_day_last():
    book = [{"id": "a", "date": "2026-01-02", "kind": "note"}, {"id": "b", "kind": "job", "job": "coolant"},
            {"id": "c", "date": "2026-03-04", "kind": "note"}]
    found = record(book, TODAY)
    assert [each.day for each in found.lines] == ["Mar 4, 2026", "Jan 2, 2026", "no day"] and found.first_day == "Jan 2, 2026"


def test_a_correction_stands_in_the_place_of_what_it_corrects_and_what_was_taken_back_does_not():
    book = [{"id": "a", "date": "2026-01-02", "kind": "fuel", "fuel": "42.1 gal"},
            {"id": "b", "date": "2026-01-02", "kind": "fuel", "fuel": "22.1 gal", "replaces": "a", "written": "2026-01-19T08:00:00Z"},
            {"id": "c", "date": "2026-01-03", "kind": "note", "note": "gone"}, {"id": "d", "kind": "deleted", "replaces": "c"}]
    found = record(book, TODAY)
    assert [each.what for each in found.lines] == ["Fuel: 22.1 gal, full, corrected Jan 19, 2026"] and found.entries == (
        "4 entries in this book. 1 of them count and stand here. The others were corrected or taken back, and stay in the file.")
    assert record(book[:1], TODAY).entries == "1 entry in this book." and record([], TODAY) == Record()
    undated = [*book[:1], {**book[1], "written": "last week"}]
    assert [each.what for each in record(undated, TODAY).lines] == ["Fuel: 22.1 gal, full, corrected"]


def test_whose_it_is_since_when():
    book = [{"id": "a", "date": "2026-01-02", "kind": "note"}, {"id": "b", "date": "2026-02-02", "kind": "delivery"}]
    assert record(book, TODAY)[2:4] == ("Jan 2, 2026", "Feb 2, 2026") and record(book[:1], TODAY).delivered == ""


def test_a_long_name_of_who_did_it_stands_among_the_words():
    assert line(kind="job", job="coolant", by="x" * 25)[4:7] == ("Coolant, ", ("x" * 25,), "")


def test_an_example_s_days_are_counted_back():
    book = [{"id": "a", "days_ago": 7, "kind": "note"}]
    assert record(book, TODAY).lines[0].day == "Nov 18, 2026"


@pytest.mark.parametrize("name", calculators.example_trucks())
def test_every_entry_of_a_year_stands_once(name):
    book = calculators.example_truck(name)["book"]
    found = record(book, TODAY)
    assert len(found.lines) == len(book) > 100 and found.entries == f"{len(book)} entries in this book."
    miles = sorted(float(each.miles.replace(",", "")) for each in found.lines if each.miles)
    assert miles == sorted(float(raw["odometer"].split()[0]) for raw in book if "odometer" in raw)


def recipe(file):
    """What a record says of its fingerprint, done by hand on the saved file."""
    book = sorted(json.loads(file)["book"], key=lambda entry: (entry.get("date", ""), entry["id"]))
    return hashlib.sha256(json.dumps(book, sort_keys=True, separators=(",", ":")).encode()).hexdigest()


def test_a_fingerprint_is_made_as_the_record_says():
    book = [{"kind": "note", "id": "b", "date": "2026-01-03", "note": "Möwe, ≥ 7 東"},
            {"id": "a", "date": "2026-01-02", "kind": "fuel", "fuel": "20 gal"},
            {"id": "c", "kind": "job", "job": "coolant", "of_a_newer_guide": {"z": 1, "a": [2]}}]
    truck = {"format": "diesel-handover-truck", "version": 2, "id": "t", "name": "A", "book": book}
    blocks = record(book, TODAY).fingerprint.split()
    assert {len(block) for block in blocks} == {8}, "eight at a glance"
    shown = "".join(blocks)
    assert shown == recipe(json.dumps(truck, indent=2)) == recipe(json.dumps(truck, ensure_ascii=False))
    read, _ = calculators.read_truck(json.dumps(truck))
    assert fingerprint(read["book"]) == recipe(json.dumps(truck))


def test_a_fingerprint_goes_by_what_stands_in_the_book_and_not_by_its_order():
    book = [{"id": "b", "date": "2026-01-03", "kind": "note", "note": "x"}, {"id": "a", "date": "2026-01-02", "kind": "note"}]
    assert fingerprint(book) == fingerprint(book[::-1]) == fingerprint(book + book)
    assert len({fingerprint(book), fingerprint(book[:1]), fingerprint([book[1], book[0] | {"note": "y"}]), fingerprint([])}) == 4
