"""What a book's entries measure, by small books written by hand."""

from datetime import date, timedelta
from typing import Any

import pytest

from calculators.engine.channels import Burned, FullTanks, burn_counts, burn_spans, def_spans, full_tanks, meters, readings, water_spans
from calculators.engine.entries import Entry
from calculators.engine.figures import Missing

DAY = date(2026, 3, 1)


def entry(kind: str, day: int, odometer: float | None = None, **told: Any) -> Entry:
    """An entry so many days after the first; its id says its kind and its day."""
    fields = {"odometer": odometer, **told}
    return Entry(f"{kind}{day}", DAY + timedelta(days=day), kind, {name: value for name, value in fields.items() if value is not None})


def fuel(day: int, odometer: float | None, gallons: float | None = 20.0, **told: Any) -> Entry:
    return entry("fuel", day, odometer, fuel=gallons, **told)


NO_SPEED = Missing("nothing is driven")


def tanks(*book: Entry, speed: float | Missing = NO_SPEED) -> FullTanks:
    return full_tanks(book, meters(book), speed)


def measured(*book: Entry, speed: float | Missing = NO_SPEED) -> list[tuple[float, float, float | None]]:
    return [(tank.distance, tank.fuel, tank.idle_hours) for tank in tanks(*book, speed=speed).tanks]


def why(*book: Entry) -> dict[str, str]:
    return {one.entry: one.why for one in tanks(*book).left_out}


def burned(*book: Entry) -> Burned:
    return Burned(meters(book).odometer, tanks(*book).tanks)


def test_from_full_to_full_and_part_fills_add() -> None:
    book = (fuel(0, 1000, 5), fuel(7, 1300), fuel(10, 1400, 8, full=False), fuel(14, 1600, 12))
    assert measured(*book) == [(300, 20, None), (300, 20, None)]
    assert tanks(*book).tanks[1].entries == ("fuel10", "fuel14")


def test_the_first_part_fills_measure_nothing() -> None:
    assert measured(fuel(0, 1000, 5, full=False), fuel(7, 1300), fuel(14, 1600)) == [(300, 20, None)]


@pytest.mark.parametrize("full", [True, False])
def test_a_missed_fill_breaks(full: bool) -> None:
    book = (fuel(0, 1000), fuel(7, 1300, missed=True, full=full), fuel(14, 1600), fuel(21, 1900))
    assert len(measured(*book)) == (2 if full else 1)
    assert why(*book) == {"fuel7": "a fill before it is not in the book"}


def test_a_missed_fill_before_the_first_breaks_nothing() -> None:
    assert why(fuel(0, 1000, missed=True), fuel(7, 1300)) == {}


def test_gallons_not_written_down_break_and_are_asked_about() -> None:
    book = (fuel(0, 1000), fuel(7, 1300, None), fuel(14, 1600), fuel(21, 1900))
    assert measured(*book) == [(300, 20, None)]
    assert "how many gallons" in why(*book)["fuel7"]


def test_a_full_tank_without_a_reading_adds_to_the_next() -> None:
    book = (fuel(0, 1000), fuel(7, None), fuel(14, 1600), fuel(20, 1700, estimated=True), fuel(21, 1900))
    assert measured(*book) == [(600, 40, None), (300, 40, None)]
    assert why(*book) == {"fuel7": "no odometer was read", "fuel20": "no odometer was read"}


def test_a_reading_that_does_not_fit_is_named_and_its_gallons_add() -> None:
    book = (fuel(0, 1000), fuel(7, 1300), fuel(14, 16000), fuel(21, 1900), fuel(28, 2200))
    assert measured(*book) == [(300, 20, None), (600, 40, None), (300, 20, None)]
    assert why(*book) == {"fuel14": "its odometer does not fit the entries around it"}


def test_a_fill_on_the_same_mile_counts_to_the_next() -> None:
    """Topped off where it was filled: no mile lies between, and its 3 gallons are burned by the next full tank."""
    assert measured(fuel(0, 1000), fuel(1, 1000, 3), fuel(7, 1300)) == [(300, 23, None)]


def test_whether_the_next_full_tank_ends_one() -> None:
    assert not tanks().started and not tanks(fuel(0, 1000, full=False)).started and not tanks(fuel(0, None)).started
    assert tanks(fuel(0, 1000)).started and tanks(fuel(0, 1000), fuel(7, 1300)).started
    assert not tanks(fuel(0, 1000), fuel(7, 1300, None)).started, "how much it took is not known"


def test_a_new_odometer_breaks_and_sums_carry_on() -> None:
    book = (fuel(0, 90_000), fuel(7, 90_300), entry("reading", 9, 5.0, meter_new="odometer"), fuel(14, 200), fuel(21, 500))
    assert measured(*book) == [(300, 20, None), (300, 20, None)]
    assert why(*book) == {"fuel14": "the odometer was replaced"}


@pytest.mark.parametrize(("shown", "broken"), [(30, "fuel14"), (90_600, "fuel21")])
def test_a_fill_on_the_day_of_the_new_odometer_reads_the_one_it_is_near(shown: int, broken: str) -> None:
    new = entry("reading", 14, 0.0, meter_new="odometer")
    book = (fuel(0, 90_000), fuel(7, 90_300), new, fuel(14, shown), fuel(21, 330), fuel(28, 630))
    for told in (book, book[::-1]):  # in whatever order a day was written down
        assert [distance for distance, *_ in measured(*told)] == [300, 300, 300]
        assert why(*told) == {broken: "the odometer was replaced"}


def test_hard_work_in_any_fill_makes_it_hard() -> None:
    book = (fuel(0, 1000), fuel(3, 1100, 9, full=False, hard=True), fuel(7, 1300))
    assert [tank.hard for tank in tanks(*book).tanks] == [True]


def test_what_it_cost_needs_every_price() -> None:
    book = (fuel(0, 1000), fuel(3, 1100, 10, full=False, price=4.0), fuel(7, 1300, 20, price=3.5), fuel(14, 1600))
    assert [(tank.cost, tank.is_priced) for tank in tanks(*book).tanks] == [(110, True), (None, False)]


def test_two_fills_of_one_day_go_by_the_odometer() -> None:
    later = Entry("a", DAY, "fuel", {"odometer": 1300.0, "fuel": 20.0})
    earlier = Entry("b", DAY, "fuel", {"odometer": 1000.0, "fuel": 9.0})
    assert measured(later, earlier) == [(300, 20, None)]


def test_idle_hours_by_the_meter_or_by_the_engines_hours_less_driving() -> None:
    """300 miles at 50 mi/h are 6 h."""
    assert measured(fuel(0, 1000, idle_hours=10), fuel(7, 1300, idle_hours=14)) == [(300, 20, 4)]
    assert measured(fuel(0, 1000, engine_hours=100), fuel(7, 1300, engine_hours=110), speed=50) == [(300, 20, 4)]
    assert measured(fuel(0, 1000, engine_hours=100), fuel(7, 1300, engine_hours=110)) == [(300, 20, None)]
    both = (fuel(0, 1000, idle_hours=10, engine_hours=100), fuel(7, 1300, idle_hours=14, engine_hours=150))
    assert measured(*both, speed=50) == [(300, 20, 4)]


@pytest.mark.parametrize("hours", [(10, None), (None, 10), (10, 400)], ids=str)
def test_hours_at_one_end_or_more_than_the_clock_allows_tell_nothing(hours: tuple[float | None, float | None]) -> None:
    assert measured(fuel(0, 1000, idle_hours=hours[0]), fuel(7, 1300, idle_hours=hours[1])) == [(300, 20, None)]


@pytest.mark.parametrize(("meter", "told"), [("idle_hours", 192), ("engine_hours", 186)])
def test_a_week_has_so_many_hours_for_a_meter(meter: str, told: float) -> None:
    """From a day to that of the week after there are at most 8 days, 192 h; 300 miles at 50 mi/h are 6 h of the engine's."""
    for hours, idled in ((192, told), (192.5, None)):
        book = (fuel(0, 1000, **{meter: 10}), fuel(7, 1300, **{meter: 10 + hours}))
        assert measured(*book, speed=50) == [(300, 20, idled)]


def test_a_new_hour_meter_breaks_the_hours_alone() -> None:
    book = (fuel(0, 1000, idle_hours=900), entry("reading", 3, idle_hours=0.0, meter_new="idle_hours"), fuel(7, 1300, idle_hours=4),
            fuel(14, 1600, idle_hours=9))
    assert measured(*book) == [(300, 20, None), (300, 20, 5)]


def test_readings_of_a_meter() -> None:
    book = (fuel(0, 1000), entry("reading", 5, 2000, estimated=True), entry("note", 6, 1200), entry("reading", 7))
    assert {own: shown.value for own, shown in readings(book, "odometer").items()} == {"fuel0": 1000, "note6": 1200}


# The fuel burned between entries -------------------------------------------------------------------------------------------------

PLAIN = (fuel(0, 1000), fuel(10, 1300), fuel(20, 1600), fuel(30, 1900))


def upto(book: tuple[Entry, ...], *asked: Entry) -> list[float]:
    found = burned(*book, *asked)
    return [found.upto(one) for one in asked]


def test_burned_straight_between_full_tanks() -> None:
    """20 gallons for 300 miles: half of the second tank, and on at the same pace before and after."""
    assert upto(PLAIN, entry("note", 15, 1450), entry("note", 35, 2050), entry("note", -1, 985)) == pytest.approx([30, 70, -1])


def test_without_an_odometer_by_the_day() -> None:
    assert upto(PLAIN, entry("note", 15), entry("note", 35), entry("note", 0)) == pytest.approx([30, 70, 0])


def test_a_gap_at_the_average() -> None:
    book = (*PLAIN, fuel(40, 2500, missed=True), fuel(50, 2800))
    assert upto(book, entry("note", 35, 2200), entry("note", 50, 2800)) == pytest.approx([80, 120])


def test_across_a_new_odometer() -> None:
    book = (*PLAIN, entry("reading", 31, 0.0, meter_new="odometer"), fuel(40, 100), fuel(50, 400))
    assert upto(book, entry("note", 45, 250), entry("note", 33, 40)) == pytest.approx([70, 56])


# DEF, burns, water ---------------------------------------------------------------------------------------------------------------


def found(spans: list[Any]) -> list[tuple[float, float]]:
    return [(pytest.approx(span.base), pytest.approx(span.amount)) for span in spans]


def defs(*asked: Entry) -> list[tuple[float, float]]:
    book = (*PLAIN, *asked)
    return found(def_spans(book, burned(*book))[0])


def test_def_by_the_fuel_burned_since_the_fill_before() -> None:
    assert defs(entry("def", 0, 1000, **{"def": 2.5}), entry("def", 15, 1450, **{"def": 1.0}), entry("def", 30, 1900, **{"def": 0.8})) == [
        (30, 1.0), (30, 0.8)]


def test_def_fills_close_together_are_one() -> None:
    jugs = (entry("def", 0, 1000, **{"def": 2.5}), entry("def", 15, 1450, **{"def": 0.5}), entry("def", 16, 1460, **{"def": 0.5}),
            entry("def", 30, 1900, **{"def": 0.8}))
    assert defs(*jugs) == [(30, 0.5), (30, 1.3)]


def test_jugs_poured_in_at_one_stop_are_one_fill() -> None:
    jugs = [entry("def", day, 1450, **{"def": 0.5}) for day in (15, 16, 17, 18)]
    assert defs(entry("def", 0, 1000, **{"def": 2.5}), *jugs, entry("def", 30, 1900, **{"def": 0.8})) == [(30, 0.5), (30, 2.3)]


def test_a_check_tells_all_that_was_filled_since_the_check_before() -> None:
    checks = (entry("check", 0, 1000, **{"def": 3.0}), entry("def", 12, 1360, **{"def": 0.6}), entry("check", 15, 1450, **{"def": 1.0}),
              entry("check", 30, 1900, **{"def": 0.9}))
    assert defs(*checks) == [(24, 0.6), (36, 1.3)], "0.6 of the 1.0 was told already"


def burns(*book: Entry) -> list[tuple[float, float]]:
    return [(span.base, span.times) for span in burn_spans(book, meters(book).odometer, 0.25)[0]]


@pytest.mark.parametrize(("day", "odometer", "gallons"), [
    (3, 1150, 10), (7, 1300, 20), (9, 1450, 35), (14, 1600, 50),  # straight within each tank
    (20, 1720, 60), (-3, 880, -10),  # at the average of 12 miles a gallon before and after
    (0, None, 0), (3, None, 20 * 3 / 7), (7, None, 20), (9, None, 20 + 30 * 2 / 7), (14, None, 50),  # by the day where no mile is told
    (21, None, 75), (-7, None, -25),  # 50 gallons in 14 days
])
def test_fuel_burned_goes_by_the_tank_it_was_in(day: int, odometer: float | None, gallons: float) -> None:
    """300 miles for 20 gallons in the first week, 300 for 30 in the second."""
    at = entry("note", day, odometer)
    assert burned(fuel(0, 1000), fuel(7, 1300, 20), fuel(14, 1600, 30), at).upto(at) == pytest.approx(gallons)


@pytest.mark.parametrize(("day", "odometer", "gallons"), [(8, 1340, 20 + 40 / 12), (18, 355, 35), (25, 625, 60)])
def test_across_a_new_odometer_fuel_burned_goes_on_from_the_last_tank(day: int, odometer: float, gallons: float) -> None:
    """The same two tanks on two odometers: what was burned between them nobody knows."""
    at = entry("note", day, odometer)
    book = (fuel(0, 1000), fuel(7, 1300, 20), entry("reading", 9, 5.0, meter_new="odometer"), fuel(14, 205), fuel(21, 505, 30), at)
    assert burned(*book).upto(at) == pytest.approx(gallons)


def test_tanks_of_one_day_have_a_pace_of_a_day() -> None:
    first, second = (Entry(name, DAY, "fuel", {"odometer": miles, "fuel": 20.0}) for name, miles in (("a", 1000.0), ("b", 1300.0)))
    later = entry("note", 3)
    assert burned(first, second, later).upto(later) == pytest.approx(20 + 3 * 20)


def burn(day: int, odometer: float, went: str = "finished") -> Entry:
    return entry("burn", day, odometer, burn=went)


def test_miles_from_burn_to_burn() -> None:
    assert burns(burn(0, 1000), burn(5, 1300), burn(9, 1550, "parked")) == [(300, 1), (250, 1)]


def test_a_burn_without_an_odometer_measures_nothing() -> None:
    assert burns(burn(0, 1000), entry("burn", 3, burn="finished"), burn(9, 1550)) == [(550, 1)]


def test_a_second_try_is_the_same_burn() -> None:
    """300 miles are usual; 20 after one broken off are its second try, 20 after a finished one are not."""
    tried = burns(burn(0, 1000), burn(5, 1300, "broken_off"), burn(6, 1320), burn(9, 1620), burn(12, 1920))
    assert tried == [(300, 1), (320, 1), (300, 1)]
    assert burns(burn(0, 1000), burn(5, 1300), burn(6, 1320), burn(9, 1620))[1] == (20, 1)


def test_a_third_try_is_the_same_burn_too_and_no_mile_is_lost() -> None:
    tried = (burn(0, 1000), burn(5, 1300, "broken_off"), burn(6, 1320, "broken_off"), burn(7, 1350), burn(9, 1650), burn(12, 1950))
    assert burns(*tried) == [(300, 1), (350, 1), (300, 1)]


def test_a_check_counts_the_burns_of_a_month() -> None:
    book = (entry("check", 0, 1000, burns_finished=2.0), entry("check", 30, 2000, burns_finished=3.0, burns_broken_off=1.0))
    assert burns(*book) == [(250, 4)]


def test_a_month_without_a_burn_adds_to_the_next() -> None:
    book = tuple(entry("check", 30 * month, 1000 + 400 * month, burns_finished=times) for month, times in enumerate((1.0, 0.0, 2.0)))
    assert burns(*book) == [(400, 2)]


def test_left_out_is_not_none_seen() -> None:
    book = (entry("check", 0, 1000, burns_finished=1.0), entry("check", 30, 1400), entry("check", 60, 1800, burns_finished=2.0))
    assert burns(*book) == [(400, 2)]


def test_burns_written_down_singly_are_not_counted_twice() -> None:
    book = (entry("check", 0, 1000, burns_finished=1.0), burn(5, 1100), burn(9, 1400, "broken_off"),
            entry("check", 30, 2000, burns_finished=1.0, burns_broken_off=1.0), burn(33, 2100))
    assert burns(*book) == [(300, 1), (700, 1)]
    assert burn_counts(book) == (3, 1)
    more = (*book[:3], entry("check", 30, 2000, burns_finished=4.0, burns_broken_off=0.0))
    assert burn_counts(more) == (5, 1)


def water(*asked: Entry, least: float = 5) -> list[tuple[float, float]]:
    book = (*PLAIN, *asked)
    return found(water_spans(book, burned(*book), least)[0])


def test_water_by_the_fuel_burned_since_the_drain_before() -> None:
    """A clear jar holds none; a check with a jar is a drain, one without is not."""
    assert water(entry("drain", 0, 1000, jar="water", water=50.0), entry("drain", 15, 1450, jar="water", water=12.0),
                 entry("check", 20, 1600, oil_mark="full"), entry("check", 30, 1900, jar="clear")) == [(30, 12), (30, 0)]


def test_water_that_was_not_measured_is_asked_about() -> None:
    book = (*PLAIN, entry("drain", 0, 1000, jar="clear"), entry("drain", 15, 1450, jar="water"), entry("drain", 30, 1900, water=9.0))
    spans, left_out, _ = water_spans(book, burned(*book), 5)
    assert found(spans) == [(30, 9)]
    assert [(one.entry, one.why) for one in left_out] == [("drain15", "how much water was in the jar?")]


def test_a_drain_soon_after_another_waits_for_fuel() -> None:
    assert water(entry("drain", 0, 1000, water=5.0), entry("drain", 1, 1030, water=4.0), entry("drain", 30, 1900, water=9.0), least=20) == [
        (60, 13)]


def test_without_a_full_tank_nothing_is_measured_by_fuel() -> None:
    book = (entry("def", 0, 1000, **{"def": 2.5}), entry("drain", 3, 1100, water=9.0), entry("def", 9, 1400, **{"def": 2.5}))
    assert def_spans(book, burned(*book)) == ([], False)
    assert water_spans(book, burned(*book), 5) == ([], [], False)
