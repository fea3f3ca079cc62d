"""Any book at all has records: finite values or a reason, dates of its own entries, and no tank told twice."""

from datetime import date, timedelta
from math import isfinite
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from calculators import own_records
from calculators.engine.entries import Entry
from calculators.engine.figures import FIGURES, TABLES, Missing
from calculators.engine.rules import rules, run

DAY = date(2026, 11, 25)
METERS = st.fixed_dictionaries({}, optional={"odometer": st.one_of(st.floats(0, 1.5e6), st.integers(0, 20).map(lambda n: 300.0 * n)),
                                             "engine_hours": st.floats(0, 60_000), "idle_hours": st.floats(0, 60_000),
                                             "estimated": st.booleans()})
FIELDS = {
    "fuel": {"fuel": st.floats(0, 300), "full": st.booleans(), "missed": st.booleans(), "hard": st.booleans(), "price": st.floats(0.5, 15)},
    "def": {"def": st.floats(0, 50)},
    "burn": {"burn": st.sampled_from(["finished", "broken_off", "parked"])},
    "drain": {"jar": st.sampled_from(["clear", "water", "cloudy"]), "water": st.floats(0, 20_000)},
    "oil": {"oil_level": st.floats(-8, 8), "oil_added": st.floats(0, 30), "fuel_in_oil": st.floats(0, 100)},
    "check": {"oil_mark": st.sampled_from(sorted(TABLES["oil_marks"])), "burns_finished": st.integers(0, 1000).map(float),
              "burns_broken_off": st.integers(0, 1000).map(float), "def": st.floats(0, 50),
              "jar": st.just("clear"), "water": st.floats(0, 99)},
    "job": {"job": st.sampled_from(["engine_oil", "coolant"])},
    "reading": {"meter_new": st.sampled_from(["odometer", "engine_hours", "idle_hours"])},
    "note": {},
}


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    kind = draw(st.sampled_from(sorted(FIELDS) + ["fuel"] * 6))
    told = draw(METERS) | draw(st.fixed_dictionaries({}, optional=FIELDS[kind]))
    ago = draw(st.one_of(st.none(), st.integers(0, 60), st.integers(0, 4000)))
    return Entry(str(draw(st.uuids())), None if ago is None else DAY - timedelta(days=ago), kind, told)


BOOKS = st.lists(entries(), max_size=60)


def recorded(book: list[Entry], **told: float) -> dict[str, Any]:
    wanted = rules(own_records)
    known = {need: TABLES[need] if need in TABLES else FIGURES[need].value for need in wanted.needs if need in TABLES or need in FIGURES}
    known |= {"average_speed": 35.0, "def_share_of_fuel": 3.2, "distance_between_burns_published_least": 120.0, **told}
    return run(wanted, known | {"book": tuple(book), "today": DAY})


def finite(value: Any) -> bool:
    if isinstance(value, Missing):
        return bool(value.why)
    return all(map(finite, value)) if isinstance(value, list | tuple) else not isinstance(value, float) or isfinite(value)


@given(BOOKS)
def test_any_book_has_records(book: list[Entry]) -> None:
    made = recorded(book)
    days = {entry.date for entry in book}
    for name, rule in rules(own_records).items():
        assert not rule.shown or finite(made[name]), name
    for alarm in made["alarms"]:
        assert {alarm.since, alarm.noticed} <= days and alarm.since <= alarm.noticed
    assert {one.date for one in made["left_out"]} <= days
    tanks = [tank.entry for tank in made["tanks"]]
    assert len(tanks) == len(set(tanks)) and made["tanks_counted"] <= len(tanks)
    assert {one.entry for one in made["left_out"]} <= {entry.id for entry in book}


@given(BOOKS)
def test_ends_lie_around_what_was_measured(book: list[Entry]) -> None:
    made = recorded(book)
    for measured, ends in (("fuel_economy_measured", "fuel_economy"), ("idle_rate_measured", "idle_rate"),
                           ("def_share_measured", "def_share"), ("distance_between_burns", "burn_distance")):
        value, low, high = made[measured], made[f"{ends}_low"], made[f"{ends}_high"]
        if all(isinstance(one, float) for one in (value, low, high)):
            assert low <= value * (1 + 1e-9) and value <= high * (1 + 1e-9)


@given(BOOKS)
def test_what_comes_later_takes_back_no_alarm_about_water_or_oil(book: list[Entry]) -> None:
    """An alarm was noticed when it was: with the later half of the book away, it is there as before."""
    made = recorded(book)["alarms"]
    half = DAY - timedelta(days=30)
    before = recorded([entry for entry in book if entry.date and entry.date <= half])["alarms"]
    kinds = ("oil_rising",)
    assert [(a.what, a.since, a.noticed) for a in made if a.noticed <= half and a.what in kinds] == [
        (a.what, a.since, a.noticed) for a in before if a.what in kinds]
