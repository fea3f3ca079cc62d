"""A channel's record: what is made of its tanks and burns, by sums that can be done by hand."""

from datetime import date, timedelta

import pytest

from calculators.engine.channels import FullTanks, Tank, meters
from calculators.engine.entries import Entry
from calculators.engine.figures import TABLES
from calculators.engine.learner import Watch, guess
from calculators.engine.records import (
    FuelGuess,
    FuelRecord,
    Raised,
    burn_record,
    burns_over_miles,
    fuel_record,
    slower_than_a_year_ago,
    watch_of,
)

WATCHED, SLOW = TABLES["watched"], TABLES["slow_watch"]


def tank(day: date, fuel: float, idle_hours: float | None = 4) -> Tank:
    """300 miles up to that day."""
    return Tank(f"{day}", day - timedelta(days=7), day, 300, idle_hours, fuel, False, None, (f"{day}",))


def test_a_tank_that_did_not_idle_idled_no_hours() -> None:
    """20 gallons for 300 miles, and 4.8 more for 8 hours: 0.6 an hour, as it was told, and no noise."""
    tanks = [tank(date(2026, 1, 1) + timedelta(weeks=week), 20 + 4.8 * (week % 2), 8 * (week % 2)) for week in range(12)]
    fit = fuel_record(FullTanks(tuple(tanks), (), True), FuelGuess(15, 0.6), WATCHED["fuel"], WATCHED["without_hours"]).rates
    assert fit.rates == pytest.approx((1 / 15, 0.6))
    assert fit.seen == 12 and fit.noise == pytest.approx(0.055 / 2), "four of them as guessed, and twelve without: the root of a quarter"


def test_without_idle_hours_a_tank_is_due_by_its_miles_alone() -> None:
    """300 miles at 15 on a gallon, as it was told: 20 gallons; where 6 stand, something was left out, and the others stay as they are."""
    tanks = [tank(date(2026, 1, 1) + timedelta(weeks=week), 6 if week == 10 else 20, None) for week in range(14)]
    record = fuel_record(FullTanks(tuple(tanks), (), True), FuelGuess(15, 0.6), WATCHED["fuel"], WATCHED["without_hours"])
    assert [point.expected for point in record.points.values()] == pytest.approx([20] * 14)
    assert [(one.entry, one.why.partition(":")[0]) for one in record.left_out] == [("2026-03-12", "6.0 gal where about 20 were due")]
    assert [tank.fuel for tank in record.burned] == pytest.approx([20] * 14), "what was due burned all the same"
    assert len(record.counted) == 13


def test_a_tank_not_full_and_the_next_count_as_one_as_they_are() -> None:
    """10 of 22.4 gallons short, and 10 more the week after: both together are as due, so nothing is lost and nothing put in its place."""
    fuel = [22.4] * 10 + [12.4, 32.4, 22.4]
    tanks = [tank(date(2026, 1, 1) + timedelta(weeks=week), filled) for week, filled in enumerate(fuel)]
    record = fuel_record(FullTanks(tuple(tanks), (), True), FuelGuess(15, 0.6), WATCHED["fuel"], WATCHED["without_hours"])
    assert [one.why for one in record.left_out] == [
        "12.4 gal where about 22 were due: was it not full? It counts as one with the next",
        "32.4 gal where about 22 were due: it made up for the one before, and counts as one with it"]
    assert [tank.fuel for tank in record.burned] == fuel and record.counted == tuple(tanks)


@pytest.mark.parametrize(("fuel", "asked"), [
    (9, "9.0 gal where about 22 were due: was a fill left out, or was it not full?"),
    (40, "40.0 gal where about 22 were due: towing, or a typing error?"),
])
def test_a_tank_far_off_is_asked_about_by_its_side(fuel: float, asked: str) -> None:
    tanks = [tank(date(2026, 1, 1) + timedelta(weeks=week), fuel if week == 10 else 22.4) for week in range(12)]
    record = fuel_record(FullTanks(tuple(tanks), (), True), FuelGuess(15, 0.6), WATCHED["fuel"], WATCHED["without_hours"])
    assert [one.why for one in record.left_out] == [asked]
    assert record.burned[10].fuel == pytest.approx(22.4)


def test_settings_are_percent_and_the_learner_goes_by_shares() -> None:
    told = {"band": 10, "limit": 3.5, "clip": 2.5, "late": 3, "silent": 8, "least_noise": 2, "most_noise": 50, "gate": 40, "gate_noises": 3,
            "run": 4}
    assert watch_of(told) == Watch(0.1, 3.5, 2.5, 3, 8, 0.02, 0.5, 0.4, 3, 4)


def test_nine_of_ten_lie_within_so_many_times_the_spread() -> None:
    """Student's t with 4 degrees of freedom is 2.132 at 0.95 and 2.776 at 0.975 (NIST/SEMATECH e-Handbook, 1.3.6.7.2)."""
    assert quarters({}).reach(0.9) == pytest.approx(2.132, abs=0.0005)
    assert quarters({}).reach(0.95) == pytest.approx(2.776, abs=0.0005)


@pytest.mark.parametrize(("miles", "burns"), [(72, 5), (75, 6), (78, 6)])
def test_a_burn_within_a_quarter_of_the_usual_miles_is_a_second_try(miles: int, burns: int) -> None:
    """300 miles are usual: less than 75 after one that was broken off."""
    book, odometer = list[Entry](), 10_000.0
    for place, gap in enumerate((0, 300, 300, miles, 300, 300, 300)):
        odometer += gap
        told = {"odometer": odometer, "burn": "broken_off" if place == 2 else "finished"}
        book.append(Entry(f"burn{place}", date(2026, 1, 1) + timedelta(days=7 * place), "burn", told))
    assert burns_over_miles(burn_record(book, meters(book), 300, WATCHED["burns"])) == (burns, 1500 + miles)


def quarters(rises: dict[tuple[int, int], float], tanks: int = 6, noise: float = 0.01, alarms: tuple[Raised, ...] = ()) -> FuelRecord:
    """Two years with so many tanks a quarter of 22.4 gallons, 15 miles each and 0.6 an hour; in some quarters more by so much."""
    found = tuple(tank(date(year, 3 * quarter - 2, 8 + place), 22.4 * (1 + rises.get((year, quarter), 0)))
                  for year in (2025, 2026) for quarter in (1, 2, 3, 4) for place in range(tanks))
    return FuelRecord(found, found, found, {}, guess((1 / 15, 0.6), (0.01, 0.1), noise, 4), alarms, (), True)


def test_a_quarter_is_held_against_the_same_months_of_the_year_before() -> None:
    (spring,) = slower_than_a_year_ago(quarters({(2026, 2): 0.08, (2026, 4): 0.08}), SLOW)
    assert spring == Raised("fuel_use_up", date(2026, 4, 8), date(2026, 4, 13), pytest.approx(8), "2026-04-13", False), "and no more now"
    (fall,) = slower_than_a_year_ago(quarters({(2026, 3): 0.08}), SLOW)
    assert (fall.since, fall.stands) == (date(2026, 7, 8), True), "nothing speaks against it: the year's last quarter is not over"
    assert slower_than_a_year_ago(quarters({(2025, 2): 0.08, (2026, 2): 0.08}), SLOW) == (), "each year's spring is so"


@pytest.mark.parametrize(("rise", "tanks", "noise", "alarmed"), [
    (0.049, 6, 0.01, False), (0.051, 6, 0.01, True),  # 5 % more at least
    (0.051, 5, 0.01, False),  # six tanks in either
    (0.078, 6, 0.04, False), (0.081, 6, 0.04, True),  # 3.3 x 4 % x sqrt(1/6 + 1/6) is 7.6 %, as a logarithm: 7.9 % more
])
def test_it_takes_enough_tanks_and_more_than_they_scatter(rise: float, tanks: int, noise: float, alarmed: bool) -> None:
    assert bool(slower_than_a_year_ago(quarters({(2026, 3): rise}, tanks, noise), SLOW)) is alarmed


def test_what_was_noticed_at_once_is_not_said_again_after_a_year() -> None:
    def noticed(day: date) -> Raised:
        return Raised("fuel_use_up", day, day, 8, "x", True)

    rises = {(2026, 3): 0.08}
    assert slower_than_a_year_ago(quarters(rises, alarms=(noticed(date(2026, 5, 1)),)), SLOW) == ()
    assert len(slower_than_a_year_ago(quarters(rises, alarms=(noticed(date(2025, 5, 1)),)), SLOW)) == 1
