"""The book: entries are read, united and resolved as the rules say; what they tell the inputs, by sums done by hand."""

import time
from datetime import date, timedelta
from typing import Any

import pytest

from calculators.engine.book import Entry, Opened, content_id, current, merge, opened, read_entries, read_entry
from calculators.engine.book_table import new_to, read_table, write_table
from calculators.engine.entries import ANYWHERE, counted
from calculators.engine.figures import ENTRY, ENTRY_KINDS, TABLES

TODAY = date(2026, 11, 25)
OAK: dict[str, Any] = {"name": "Oak"}


def entry(own: str, day: str | None = "2026-11-01", kind: str = "reading", **told: Any) -> dict[str, Any]:
    return {"id": own, **({"date": day} if day else {}), "kind": kind, **told}


def book(*raws: dict[str, Any], today: date = TODAY) -> Opened:
    entries, faults = read_entries(raws)
    assert faults == []
    return opened(entries, today)


def ids(*raws: dict[str, Any]) -> list[str]:
    return [each.id for each in current(read_entries(raws)[0])]


def asked(*raws: dict[str, Any]) -> dict[tuple[str, ...], str]:
    return {each.ids: each.why for each in book(*raws).asked}


def told(*raws: dict[str, Any], today: date = TODAY) -> dict[str, Any]:
    return {name: one.value for name, one in book(*raws, today=today).learned.items()}


# Reading -----------------------------------------------------------------------------------------------------------------------


def test_an_entry_is_read_in_declared_units() -> None:
    raw = entry("a", "2026-11-20", "fuel", odometer="100 km", fuel="24.1 gal", full=False, hard="yes", price=3.9, station="North", note="-")
    read, faults = read_entry(raw)
    assert (read.id, read.date, read.kind, faults) == ("a", date(2026, 11, 20), "fuel", [])
    assert read.told == {"odometer": pytest.approx(100 / 1.609344), "fuel": 24.1, "full": False, "hard": True, "price": 3.9,
                         "station": "North", "note": "-"}
    assert (read.get("fuel"), read.get("cost"), read.get("cost", 0)) == (24.1, None, 0)


def test_a_fill_is_to_the_top_unless_it_says_otherwise() -> None:
    assert read_entry(entry("a", kind="fuel"))[0].get("full") is True
    assert read_entry(entry("a", kind="fuel", full="no"))[0].get("full") is False


def test_every_kind_and_field_of_the_contract_is_there() -> None:
    assert " ".join(ENTRY_KINDS) == "delivery reading fuel def job drain burn check oil light defect note deleted"
    assert {field for fields in ENTRY_KINDS.values() for field in fields} | set(ANYWHERE) <= set(ENTRY)


# Least and most of each number, from the contract's list of entries; a truck's odometer and hours from its defaults.
@pytest.mark.parametrize(("field", "low", "high"), [
    ("odometer", 0, 1_500_000), ("engine_hours", 0, 60_000), ("idle_hours", 0, 60_000), ("fuel", 0, 300), ("price", 0.5, 15),
    ("def", 0, 50), ("cost", 0, 100_000), ("water", 0, 20_000), ("burns_finished", 0, 1000), ("burns_broken_off", 0, 1000),
    ("oil_level", -8, 8), ("oil_added", 0, 30), ("fuel_in_oil", 0, 100), ("days_ago", 0, 4000),
])
def test_a_number_out_of_its_bounds_is_named_with_its_entry(field: str, low: float, high: float) -> None:
    for value in (low, high):
        assert read_entry(entry("a", kind="check", **{field: value})) == (Entry("a", date(2026, 11, 1), "check", {field: value}), [])
    for value in (low - 1, high * 1.01):
        read, (fault,) = read_entry(entry("a", kind="check", **{field: value}))
        assert read.told == {} and fault.field == f"book.2026-11-01.check.{field}" and "write a" in fault.do


@pytest.mark.parametrize(("raw", "field"), [
    (entry("a", "2026-02-30"), "date"), (entry("a", None, "fuel"), "date"), (entry("a", "yesterday"), "date"),
    (entry("a", kind=""), "kind"), (entry("a", kind="job"), "job"), ({"id": "a", "date": "2026-11-01"}, "kind"),
    (entry("a", jar="blue"), "jar"), (entry("a", job="time_belt"), "job"), (entry("a", estimated="perhaps"), "estimated"),
    (entry("a", odometer=[1]), "odometer"), (entry("a", note={"a": 1}), "note"),
    (entry("a", note="x" * 3000), "note"), (entry("a", burns_finished=1.5), "burns_finished"), (entry("a", odometer="5 psi"), "odometer"),
])
def test_a_bad_field_is_named_and_the_rest_read(raw: dict[str, Any], field: str) -> None:
    _, faults = read_entry({**raw, "engine_hours": "5 h"})
    assert [fault.field.rpartition(".")[2] for fault in faults] == [field]
    assert read_entry({**raw, "engine_hours": "5 h"})[0].told["engine_hours"] == 5


def test_a_newer_versions_kinds_and_fields_are_no_fault_and_stay() -> None:
    raw = entry("a", kind="photo", lens="wide", odometer="5 mi")
    assert read_entry(raw) == (Entry("a", date(2026, 11, 1), "photo", {"odometer": 5}), [])
    assert merge([raw]) == [raw]
    assert told(raw)["odometer"] == 5  # a dated entry of any kind that carries an odometer is a reading


# Which entries count -----------------------------------------------------------------------------------------------------------


def test_a_correction_a_deletion_and_its_undoing() -> None:
    first, better = entry("a", odometer=1), entry("b", odometer=2, replaces="a")
    gone, back = entry("c", kind="deleted", replaces="b"), entry("d", odometer=3, replaces="c")
    assert ids(first) == ["a"]
    assert ids(better, first) == ["b"]
    assert ids(gone, first, better) == []
    assert ids(first, back, gone, better) == ["d"]


def test_of_two_replacements_the_later_written_counts_then_the_larger_id() -> None:
    first = entry("a")
    early, late = entry("z", replaces="a", written="2026-11-02T23:30:00-02:00"), entry("b", replaces="a", written="2026-11-03T01:31:00Z")
    assert ids(first, early, late) == ["b"]  # a minute later, whatever the clock's zone
    assert ids(first, entry("c", replaces="a"), entry("d", replaces="a")) == ["d"]
    assert ids(first, entry("d", replaces="a", written="soon"), late) == ["b"]
    assert asked(first, early, late) == {("a", "b", "z"): "it was corrected more than once: the last one written counts"}


def test_circles_and_unknown_replaces_are_passed_over_and_named() -> None:
    one, two, three = entry("a", replaces="b"), entry("b", replaces="c"), entry("c", replaces="a")
    assert ids(one, two, three) == ["a", "b", "c"]
    assert ("a", "b", "c") in asked(one, two, three)
    assert ids(one, two, three, entry("d", replaces="b")) == ["a", "c", "d"]  # what is in no circle itself still corrects
    assert ids(entry("s", replaces="s")) == ["s"]
    assert ids(entry("u", replaces="nobody")) == ["u"] and "not in this book" in asked(entry("u", replaces="nobody"))[("u",)]
    assert ids(entry("u", kind="deleted", replaces="nobody")) == []


def test_what_counts_is_sorted_by_day_then_id_the_dateless_first() -> None:
    old = entry("d", None, "job", job="coolant")
    assert ids(entry("b", "2026-02-01"), entry("a", "2026-02-01"), entry("c", "2026-01-01"), old) == ["d", "c", "a", "b"]


# The union ---------------------------------------------------------------------------------------------------------------------


def test_one_id_with_two_contents_keeps_both_and_asks() -> None:
    one, two = entry("a", odometer="1 mi"), entry("a", odometer="2 mi")
    both = merge([two], [one])
    assert both == merge([one], [two]) == merge(both, [two], [one], both)
    assert {"odometer": "1 mi"}.items() <= next(raw for raw in both if raw["id"] == "a").items()  # the other is later in canonical JSON
    (other,) = (raw for raw in both if raw["id"] != "a")
    assert other == {**two, "id": other["id"], "conflicts_with": "a"}
    assert "one id" in asked(*both)[("a", other["id"])]


def test_three_contents_of_one_id_come_out_the_same_in_any_order() -> None:
    one, two, three = (entry("a", odometer=f"{n} mi") for n in (1, 2, 3))
    assert merge(merge([three], [two]), [one]) == merge(merge([one], [three]), [two]) == merge([two, one, three])
    assert len(merge([one, two, three])) == 3


def test_a_whole_number_is_the_same_as_a_script_writes_it() -> None:
    assert merge([entry("a", cost=5.0)], [entry("a", cost=5)]) in ([entry("a", cost=5.0)], [entry("a", cost=5)])


def test_an_entry_without_an_id_gets_one_of_its_content_and_its_truck() -> None:
    raw = {"date": "2026-11-01", "kind": "note", "note": "x"}
    (oak,), (elm,) = merge([raw, dict(raw)], truck="Oak"), merge([raw], truck="Elm")
    assert oak["id"] != elm["id"] and oak["id"] == content_id("Oak", raw)
    assert len(merge([oak], [raw], truck="Oak")) == 1


# Meters ------------------------------------------------------------------------------------------------------------------------


def test_the_last_reading_of_each_meter_has_its_own_day() -> None:
    said = told(entry("a", "2026-09-01", odometer=41_000, engine_hours=1300), entry("b", "2026-11-20", odometer=42_000))
    assert (said["odometer"], said["read_on"]) == (42_000, date(2026, 11, 20))
    assert (said["engine_hours"], said["engine_hours_read_on"]) == (1300, date(2026, 9, 1))


def test_the_pace_goes_straight_through_first_and_last() -> None:
    """1,520 miles in 70 days are 152 a week, whatever lies between; its two ends are named."""
    raws = [entry("a", "2026-09-01", odometer=41_000), entry("b", "2026-09-20", odometer=42_400), entry("c", "2026-11-10", odometer=42_520)]
    learned = book(*raws).learned["distance_per_week"]
    assert (learned.value, learned.ids) == (pytest.approx(152), ("a", "c"))


def test_a_pace_needs_three_weeks_and_looks_half_a_year_back_from_the_last_reading() -> None:
    last = entry("z", "2026-11-20", odometer=50_000)
    assert "distance_per_week" not in told(entry("a", "2026-10-31", odometer=49_000), last)  # 20 days
    assert told(entry("a", "2026-10-30", odometer=49_000), last)["distance_per_week"] == pytest.approx(1000 / 21 * 7)
    old, within = entry("a", "2026-05-23", odometer=1000), entry("b", "2026-05-24", odometer=32_000)  # 181 and 180 days before
    assert told(old, within, last)["distance_per_week"] == pytest.approx(18_000 / 180 * 7)
    assert told(old, within, last, today=date(2027, 6, 1)) == told(old, within, last)  # never from today: that would move dates


def test_a_reading_that_falls_back_is_left_out_and_named() -> None:
    raws = [entry("a", "2026-09-01", odometer=41_000), entry("b", "2026-10-01", odometer=14_300), entry("c", "2026-11-10", odometer=42_000)]
    said = told(*raws)
    assert said["distance_per_week"] == pytest.approx(100)
    assert list(asked(*raws)) == [("b",)] and "14,300" in asked(*raws)[("b",)]
    assert told(entry("a", "2026-10-01", odometer=42_000), entry("b", "2026-11-01", odometer=41_900))["odometer"] == 42_000


def test_a_reading_no_truck_could_reach_is_left_out_too() -> None:
    """374,000 miles in a month, then back: the one in the middle is the wrong one."""
    months = {"a": ("2026-09-01", 41_000), "b": ("2026-10-01", 415_000), "c": ("2026-11-10", 42_000)}
    raws = [entry(own, day, odometer=miles) for own, (day, miles) in months.items()]
    assert told(*raws)["odometer"] == 42_000 and list(asked(*raws)) == [("b",)]


@pytest.mark.parametrize("typed", [412_000, 4_120])
def test_a_reading_left_out_starts_no_clock_of_a_job(typed: int) -> None:
    """An oil change at 41,200 with a digit too many or too few: due in 370,000 miles, or overdue since the day after."""
    change = entry("b", "2026-09-01", "job", job="engine_oil", odometer=typed, engine_hours=1_310)
    raws = [entry("a", "2026-06-01", odometer=38_000), change, entry("c", "2026-11-10", odometer=43_000)]
    said = told(*raws)
    assert "done.engine_oil.odometer" not in said
    assert (said["done.engine_oil.date"], said["done.engine_oil.engine_hours"]) == (date(2026, 9, 1), 1_310)
    assert asked(*raws)[("b",)] == (f"{typed:,} on the odometer does not go with the readings around it, and was left out: "
                                    "one of them is wrong")


def test_several_readings_of_a_day_go_together() -> None:
    raws = [entry(str(n), "2026-11-10", "fuel", odometer=42_000 + 150 * n) for n in range(4)]
    assert told(*raws)["odometer"] == 42_450 and book(*raws).entries.readings("odometer").fallen == ()


def test_estimates_are_no_readings_but_start_a_clock() -> None:
    raws = [entry("a", "2026-09-01", odometer=41_000), entry("b", "2026-11-10", "job", job="coolant", odometer=42_000, estimated=True)]
    said = told(*raws)
    assert (said["odometer"], said["done.coolant.odometer"]) == (41_000, 42_000)
    assert "distance_per_week" not in said


def test_what_is_dated_after_today_or_before_the_delivery_makes_no_pace_and_is_asked_about() -> None:
    raws = [entry("a", "2026-06-01", "job", job="coolant", odometer=1000), entry("b", "2026-10-01", "delivery", odometer=41_000),
            entry("c", "2026-11-10", odometer=41_400), entry("d", "2026-11-26", odometer=60_000)]
    said = told(*raws)
    assert (said["odometer"], said["distance_per_week"]) == (41_400, pytest.approx(70))
    assert said["done.coolant.odometer"] == 1000  # old papers still start a clock
    assert {own for own, in asked(*raws)} == {"a", "d"}
    assert told(*raws, today=date(2026, 11, 26))["odometer"] == 60_000


def test_a_new_meter_starts_pace_and_clocks_again() -> None:
    raws = [entry("a", "2026-06-01", odometer=80_000), entry("b", "2026-07-01", "job", job="coolant", odometer=81_000, engine_hours=2000),
            entry("c", "2026-10-01", odometer=5, meter_new="odometer"), entry("d", "2026-11-12", odometer=605)]
    learned = book(*raws).learned
    assert (learned["odometer"].value, learned["distance_per_week"].value) == (605, pytest.approx(100))
    assert (learned["done.coolant.odometer"].value, learned["done.coolant.odometer"].ids) == (5, ("b", "c"))
    assert learned["done.coolant.engine_hours"].value == 2000
    assert "what that meter shows" in asked(entry("a", meter_new="odometer"))[("a",)]


def test_a_job_on_the_day_of_a_new_meter_counts_from_whichever_it_read() -> None:
    """81,000 is the old odometer's, and would be due in 80,000 miles by the new one; 12 is the new one's."""
    def raws(shown: int) -> list[dict[str, Any]]:
        return [entry("a", "2026-06-01", odometer=80_000), entry("b", "2026-10-01", odometer=5, meter_new="odometer"),
                entry("c", "2026-10-01", "job", job="engine_oil", odometer=shown), entry("d", "2026-11-12", odometer=605)]

    assert told(*raws(81_000))["done.engine_oil.odometer"] == 5
    assert told(*raws(12))["done.engine_oil.odometer"] == 12
    assert told(*raws(12))["distance_per_week"] == told(*raws(81_000))["distance_per_week"] == pytest.approx(100)


def test_a_reading_without_a_day_is_read_today_and_makes_no_pace() -> None:
    undated = entry("u", None, odometer=42_000)
    said = told(entry("a", "2026-09-01", odometer=41_000), undated)
    assert (said["odometer"], said["read_on"]) == (42_000, TODAY) and "distance_per_week" not in said
    assert "write the day" in asked(undated)[("u",)]
    assert told(entry("a", "2026-09-01", odometer=42_000), undated)["read_on"] == date(2026, 9, 1)  # it is no newer than that


def test_a_day_that_was_assumed_makes_no_pace() -> None:
    said = told(entry("a", "2026-09-01", odometer=41_000), entry("b", "2026-11-01", odometer=42_000, day_assumed=True))
    assert said["odometer"] == 42_000 and "distance_per_week" not in said


def test_no_pace_that_no_week_can_hold() -> None:
    raws = [entry("a", "2026-09-01", odometer=0), entry("b", "2026-09-22", odometer=15_001)]
    assert "distance_per_week" not in told(*raws) and told(*raws)["odometer"] == 15_001


def test_days_ago_count_from_the_day_of_the_answer() -> None:
    raw = {"id": "a", "kind": "reading", "days_ago": 3, "odometer": 41_200}
    assert told(raw)["read_on"] == date(2026, 11, 22) and told(raw, today=date(2030, 1, 1))["read_on"] == date(2029, 12, 29)


# Jobs --------------------------------------------------------------------------------------------------------------------------


def test_the_last_entry_of_a_job_stands_whole() -> None:
    said = told(entry("a", "2026-01-01", "job", job="engine_oil", odometer=38_000, engine_hours=1200),
                entry("b", "2026-07-01", "job", job="engine_oil", odometer=40_000))
    assert {name: value for name, value in said.items() if name.startswith("done.engine_oil")} == {
        "done.engine_oil.date": date(2026, 7, 1), "done.engine_oil.odometer": 40_000}
    alone = told(entry("a", None, "job", job="engine_oil", odometer=38_000))
    assert (alone.get("done.engine_oil.odometer"), alone.get("done.engine_oil.date"), alone.get("odometer")) == (38_000, None, None)
    assert told(entry("z", None, "job", job="engine_oil", odometer=90_000), entry("a", "2026-01-01", "job", job="engine_oil"))[
        "done.engine_oil.date"] == date(2026, 1, 1)  # an old record without a day sorts first


def test_a_drain_and_a_look_at_the_jar_are_the_separators_job() -> None:
    assert told(entry("a", "2026-10-01", "drain"))["done.separator_drain.date"] == date(2026, 10, 1)
    assert told(entry("a", "2026-10-01", "check", jar="clear"))["done.separator_drain.date"] == date(2026, 10, 1)
    assert "done.separator_drain.date" not in told(entry("a", "2026-10-01", "check", tires="good"))


def test_a_new_trucks_delivery_starts_every_clock_and_a_used_ones_none() -> None:
    new = entry("a", "2026-11-20", "delivery", new=True, odometer=14, engine_hours=2)
    said = told(new, entry("b", "2026-11-22", "drain"))
    for job in TABLES["job"]:
        assert said[f"done.{job}.date"] == (date(2026, 11, 22) if job == "separator_drain" else date(2026, 11, 20))
    assert (said["done.coolant.odometer"], said["done.coolant.engine_hours"]) == (14, 2)
    assert not any(name.startswith("done.") for name in told(new | {"new": False}))


def test_the_same_told_twice_is_asked_about() -> None:
    raws = [entry("a", kind="job", job="coolant", odometer=5), entry("b", kind="job", job="coolant", odometer=5)]
    assert ("a", "b") in asked(*raws)
    assert asked(raws[0], raws[1] | {"job": "engine_oil"}) == {}  # two jobs on one visit


def test_two_thousand_entries_are_opened_in_a_moment() -> None:
    raws = [entry(f"{n:04}", str(date(2015, 1, 1) + timedelta(days=2 * n)), "fuel", odometer=f"{1000 + 60 * n} mi", idle_hours=f"{n} h",
                  fuel="24.1 gal", full=True, price="3.90 USD/gal") for n in range(2000)]
    start = time.process_time()
    said = told(*merge(raws))
    assert time.process_time() - start < 1
    assert said["distance_per_week"] == pytest.approx(210)


# As a table --------------------------------------------------------------------------------------------------------------------


def test_a_table_is_read_with_a_spreadsheets_habits() -> None:
    text = 'kind;date;odometer (km);fuel (gal);note\nfuel;20.11.2026;"16.093,44";24,1;\'=cold\n"Job";;;;\n'
    table = read_table(text, OAK)
    (fuel,) = table.entries
    assert {"kind": "fuel", "date": "2026-11-20", "odometer": "16093.44 km", "fuel": "24.1 gal", "note": "=cold"}.items() <= fuel.items()
    assert read_entry(fuel)[0].told["odometer"] == pytest.approx(10_000)
    assert [problem[:3] for problem in table.problems] == [(3, "job", "")]


def test_the_same_row_twice_is_one_entry() -> None:
    text = "date,kind,odometer (mi)\n2026-11-20,reading,42010\n11/20/2026,reading,\"42,010\"\n2026-11-20,reading,42 010 miles\n"
    table = read_table(text, OAK)
    assert len(merge(table.entries)) == 1
    assert read_table(text, {"name": "Elm"}).entries[0]["id"] != table.entries[0]["id"]


def test_bad_rows_are_told_by_row_and_heading_and_the_good_ones_count() -> None:
    text = ("date,kind,Odometer (mi),color,fuel (gal)\n2026-11-20,fuel,42010,red,24\n2026-13-01,fuel,42011,,24\n2026-11-21,fuell,1,,\n"
            "2026-11-22,fuel,x,,301\n2026-11-23,fuel,1,,2,surplus\n")
    table = read_table(text, OAK)
    assert [raw["odometer"] for raw in table.entries] == ["42010 mi"]
    assert [problem[:3] for problem in table.problems] == [
        (1, "color", "color"), (3, "date", "2026-13-01"), (4, "kind", "fuell"), (5, "Odometer (mi)", "x"), (5, "fuel (gal)", "301"),
        (6, "(after the last column)", "surplus")]
    assert all(problem.do for problem in table.problems)
    for without in ("date", "kind"):
        wanted = read_table(text.replace(f"{without},", "other,", 1), OAK)
        assert (wanted.entries, wanted.problems[0].column) == ([], without)
    assert read_table("date,kind,kind\n2026-11-20,fuel,fuel\n", OAK).entries == []


def test_other_trucks_rows_are_counted_and_left() -> None:
    text = "truck,date,kind\nV123,2026-11-20,note\n7,2026-11-21,note\nOAK,2026-11-22,note\nElm,2026-11-23,note\n,2026-11-24,note\n"
    oak = {"name": "Oak", "identity": {"vin": "v123", "unit": "7"}}
    table = read_table(text, oak)
    assert ([raw["date"][-2:] for raw in table.entries], table.others) == (["20", "21", "22", "24"], 1)
    assert all("truck" not in raw for raw in table.entries)


def test_a_number_that_could_be_two_is_told_with_both_or_read_by_its_bounds() -> None:
    """Also where it stands in the declared unit as a file keeps it; in the pump's gallons a point is a decimal point."""
    raw = entry("a", kind="fuel", odometer="41.200 mi", fuel="24.113 gal", engine_hours=1.375)
    read, (fault,) = read_entry(raw)
    assert read.told == {"fuel": 24.113, "engine_hours": 1.375}
    assert fault.do == "write 41200 mi or 41.2 mi, whichever you mean"
    table = read_table("date,kind,odometer (km),fuel (gal)\n2026-11-20,fuel,41.200,24.113\n", OAK)
    assert [(problem.column, problem.do) for problem in table.problems] == [
        ("odometer (km)", "write 41200 km or 41.2 km, whichever you mean")]
    again = read_table(write_table([raw | {"odometer": 41.205}]), OAK)
    assert again.problems == [] and read_entry(again.entries[0])[0].told["odometer"] == 41.205


def test_out_and_in_again_adds_nothing() -> None:
    raws = merge([entry("a", kind="fuel", odometer="42010 mi", fuel="24.1 gal", full=True, note="-x, \"y\"\nz"),
                  entry("b", None, "job", job="coolant", cost=0.1, receipt="no"), entry("c", kind="oil", oil_level=-0.25, cost=1e-07),
                  entry("d", kind="deleted", replaces="a", written="2026-11-02T10:00:00Z"), entry("e", kind="note", note="'=1", wings=2)])
    table = read_table(write_table(raws), OAK)
    assert table.problems == [] and len(table.entries) == 5
    assert new_to(raws, table.entries) == []
    (changed,) = new_to(raws, read_table(write_table([raws[0] | {"cost": 0.2}]), OAK).entries)
    assert changed["id"] == raws[0]["id"]


def test_what_would_run_in_a_spreadsheet_is_made_plain() -> None:
    assert ",'=1+1," in write_table([entry("a", kind="note", note="=1+1")])


def test_counted_is_what_current_gives() -> None:
    read, _ = read_entries([entry("a"), entry("b", replaces="a")])
    assert counted(read).entries == current(read)
