"""The book as a source: after what is given and before what was told, with its entries; where the two differ, both are said."""

from typing import Any

import pytest

import calculators
from calculators.engine import book_replies
from tests.unit.ask import TRUCKS, ask, faults, job

OAK: dict[str, Any] = {
    "format": "diesel-handover-truck", "version": 2, "id": "1", "name": "Oak", "identity": {}, "interval": {},
    "facts": {"distance_per_week": "190 mi", "idle_hours_per_week": "6 h"},
    "book": [
        {"id": "a", "date": "2026-09-01", "kind": "reading", "odometer": "40490 mi", "engine_hours": "1200 h"},
        {"id": "b", "date": "2026-10-01", "kind": "job", "job": "engine_oil", "odometer": "41141 mi"},
        {"id": "c", "date": "2026-11-10", "kind": "fuel", "odometer": "42010 mi", "fuel": "24 gal"},
    ],
}

DRIFTING = 10  # of its fills, the last: larger, so that a reader sees an alarm (docs/records.md says so)


def inputs(truck: Any = OAK, today: str = "2026-11-25", name: str = "service_due", **given: object) -> dict[str, Any]:
    told: dict[str, Any] = ask(name, truck, today, **given)["inputs"]
    return told


def notices(truck: Any = OAK, **given: object) -> list[str]:
    told = (caution["text"] for caution in ask("service_due", truck, **given)["cautions"])
    return [text for text in told if text.endswith((" readings.", " gave."))]


def test_the_book_tells_its_inputs_with_their_entries() -> None:
    """1,520 miles in 70 days."""
    told = inputs()
    assert told["odometer"] == {"value": 42010, "unit": "mi", "from": "book", "entries": ["c"]}
    assert told["read_on"] == {"value": "2026-11-10", "from": "book", "entries": ["c"]}
    assert told["engine_hours_read_on"] == {"value": "2026-09-01", "from": "book", "entries": ["a"]}
    assert told["done.engine_oil.odometer"] == {"value": 41141, "unit": "mi", "from": "book", "entries": ["b"]}
    assert told["distance_per_week"] == {"value": pytest.approx(152), "unit": "mi", "from": "book", "entries": ["a", "c"], "told": 190}
    assert told["idle_hours_per_week"]["from"] == "truck"


def test_given_over_book_over_truck_over_derived() -> None:
    assert inputs(distance_per_week=100)["distance_per_week"] == {"value": 100, "unit": "mi", "from": "given"}
    assert inputs({**OAK, "book": []})["distance_per_week"] == {"value": 190, "unit": "mi", "from": "truck"}
    assert inputs({**OAK, "book": [], "facts": {}})["distance_per_week"]["from"] == "derived"
    assert inputs(name="exhaust_fluid_use")["distance_per_week"]["from"] == "book"
    assert inputs(name="exhaust_fluid_use")["distance_per_year"]["value"] == pytest.approx(152 * 50)


def test_what_a_pace_follows_from_wins_where_it_is_given() -> None:
    """40 short trips of 12 minutes at 25 mph are 200 miles, and two of 45 at 60 are 90."""
    assert inputs({**OAK, "facts": {}}, short_trips_per_week=40)["distance_per_week"] == {
        "value": 290, "unit": "mi", "from": "derived", "rests_on": "partly"}


def test_who_gives_a_reading_reads_it_today() -> None:
    told = inputs(odometer=43000)
    assert (told["odometer"]["from"], told["read_on"]["value"], told["read_on"]["from"]) == ("given", "2026-11-25", "derived")
    assert inputs(odometer=43000, read_on="2026-11-20")["read_on"]["value"] == "2026-11-20"
    assert inputs(engine_hours=1500)["engine_hours_read_on"]["value"] == "2026-11-25"


def test_a_date_never_moves_because_a_day_passed() -> None:
    """Nor because a price was changed; the days left do."""
    then, later = job("engine_oil", OAK), job("engine_oil", {**OAK, "facts": {**OAK["facts"], "fuel_price": 5}}, "2026-12-02")
    assert then["due_date"] == later["due_date"] and then["days_left"] == later["days_left"] + 7


def test_the_day_that_is_given_chooses_the_entries() -> None:
    told = inputs(today="2026-10-15")
    assert (told["odometer"]["value"], told["read_on"]["value"]) == (41141, "2026-10-01")
    assert calculators.answer("service_due", {"today": "2026-10-15"}, OAK, "2026-11-25")["inputs"]["odometer"]["value"] == 41141
    assert set(faults("service_due", OAK, today="rubbish")) == {"today"}


def test_both_are_said_where_told_and_read_lie_more_than_a_fifth_apart() -> None:
    assert notices() == ["Miles in a week: you told 190 miles, your book says 152 miles. This goes by your readings."]
    near = {**OAK, "facts": {"distance_per_week": "182.3 mi"}}
    assert notices(near) == [] and "told" not in inputs(near)["distance_per_week"]
    assert "told" in inputs({**OAK, "facts": {"distance_per_week": "182.5 mi"}})["distance_per_week"]


def test_told_trips_are_told_too_and_the_examples_are_not() -> None:
    """20 trips of 12 minutes at 25 mi/h and 2 of 45 at 60 make 190 miles; of any that nobody told, nobody told the miles."""
    trips = {"short_trips_per_week": 20, "short_trip_time": 12, "short_trip_speed": 25, "long_trips_per_week": 2, "long_trip_time": 45,
             "long_trip_speed": 60}
    assert inputs({**OAK, "facts": trips})["distance_per_week"]["told"] == pytest.approx(190)
    for untold in trips:
        partly = {name: told for name, told in trips.items() if name != untold}
        assert "told" not in inputs({**OAK, "facts": partly})["distance_per_week"]
    none_short = {"short_trips_per_week": 0, "long_trips_per_week": 2, "long_trip_time": 60, "long_trip_speed": 50}
    assert inputs({**OAK, "facts": none_short})["distance_per_week"]["told"] == pytest.approx(100)


TRIPS = "The trips and the miles don’t go together."


def of_trips(facts: dict[str, object], book: list[dict[str, object]], name: str = "regeneration") -> list[str]:
    said = ask(name, {**OAK, "facts": facts, "book": book})["cautions"]
    assert all(caution["about"] == "told" for caution in said if caution["hazard"] == TRIPS)
    return [caution["text"] for caution in said if caution["hazard"] == TRIPS]


def test_trips_that_do_not_come_to_the_miles_are_said() -> None:
    """By the example's speeds and lengths 20 short trips are 100 miles and two long ones 90, 8 are 40 and 90."""
    eight: dict[str, object] = {"short_trips_per_week": 8, "long_trips_per_week": 2}
    assert of_trips({"distance_per_week": 380}, []) == of_trips({"distance_per_week": 95}, []) == of_trips({}, []) == []
    assert of_trips({"distance_per_week": 381}, []) == [
        "The example’s trips come to 190 miles a week, you told 381 miles. Tell your own trips: until then this goes by the example’s."]
    for elsewhere in ("service_due", "fluid_cost", "own_records"):  # they go by the miles that were told, and say nothing of trips
        assert of_trips({"distance_per_week": 381}, [], elsewhere) == []
    assert of_trips({"distance_per_week": 381}, [], "duty_fit") == of_trips({"distance_per_week": 381}, [])
    assert of_trips({"distance_per_week": 0}, [])[0].startswith("The example’s trips come to 190 miles a week, you told 0 miles.")
    assert of_trips({**eight, "distance_per_week": 60}, []) == [
        "Your trips come to 130 miles a week, you told 60 miles. Look at the trips again: this goes by them."]
    assert of_trips({**eight, "distance_per_week": 300}, []) == [
        "Your trips come to 130 miles a week, you told 300 miles. Tell the trips that are missing: this goes by the trips."]


def test_an_odometer_says_so_too_however_far_apart_its_readings_lie() -> None:
    """From an estimated 30,000 on Jan 1 to 42,010 on Nov 10 are 313 days, 269 miles a week; a reading before a new meter tells nothing."""
    far: list[dict[str, object]] = [
        {"id": "a", "date": "2026-01-01", "kind": "delivery", "new": "no", "odometer": 30000, "estimated": "yes"},
        {"id": "b", "date": "2026-11-10", "kind": "reading", "odometer": 42010}]
    trips: dict[str, object] = {"short_trips_per_week": 8, "long_trips_per_week": 2}
    said = ["Your trips come to 130 miles a week, your odometer says 269 miles. Tell the trips that are missing: this goes by the trips."]
    for name in ("regeneration", "duty_fit", "service_due"):
        assert of_trips(trips, far, name) == said
    assert of_trips(trips, [far[0] | {"odometer": 33000}, far[1]]) == []
    assert of_trips(trips, [far[0] | {"odometer": 43000}, far[1]]) == of_trips(trips, far[1:]) == []
    assert of_trips(trips, [*far, {"id": "c", "date": "2026-11-20", "kind": "reading", "odometer": 10, "meter_new": "odometer"}]) == []
    near = {"distance_per_week": 130, **trips}
    assert of_trips(near, OAK["book"]) == []
    (more,) = of_trips({**near, "short_trips_per_week": 80}, OAK["book"])
    assert more.startswith("Your trips come to 490 miles a week, your odometer says 152 miles.")


def test_miles_between_burns_are_those_of_trips_that_were_told() -> None:
    """The example's 190 miles a week say nothing of a truck that drives 400."""
    def between(truck: Any) -> Any:
        return ask("regeneration", truck)["results"]["distance_between_regenerations"]

    assert between({**OAK, "facts": {"distance_per_week": 400}}) == {"value": None, "unit": "mi", "why": "tell your trips"}
    assert between({**OAK, "facts": {"short_trips_per_week": 20, "long_trips_per_week": 2}})["value"] > 0


@pytest.mark.parametrize(("given", "words"), [
    ({"odometer": 42000}, "you gave 42,000 miles, your book says 42,010 miles"),
    ({"done__engine_oil__date": "2026-09-15"}, "you gave Sep 15, 2026, your book says Oct 1, 2026"),
    ({"distance_per_week": 100}, "you gave 100 miles, your book says 152 miles"),
])
def test_what_is_given_against_the_book_is_taken_and_said(given: dict[str, object], words: str) -> None:
    (said,) = notices({**OAK, "facts": {}}, **given)
    assert words in said and said.endswith("This goes by what you gave.")


def test_what_is_newer_than_the_book_contradicts_nothing() -> None:
    assert notices({**OAK, "facts": {}}, odometer=42500, done__engine_oil__date="2026-11-20", distance_per_week=170) == []


def test_a_record_may_be_newer_than_the_last_reading() -> None:
    """It was done at an estimate, which is no reading."""
    done = {"id": "d", "date": "2026-11-20", "kind": "job", "job": "coolant", "odometer": "42227 mi", "estimated": True}
    truck = {**OAK, "book": [*OAK["book"], done]}
    assert job("coolant", truck, interval__coolant__distance=10_000)["due_odometer"] == 52_227
    assert inputs(truck)["odometer"]["value"] == 42_010
    assert faults("service_due", OAK, done__coolant__odometer=42_300) == {}


@pytest.mark.parametrize("name", TRUCKS)
def test_an_examples_book_never_ages_and_tells_only_what_is_asked_about_records(name: str) -> None:
    for today in ("2026-11-25", "2031-03-01"):
        told = inputs(calculators.example_truck(name), today)
        assert (told["odometer"]["from"], told["read_on"]["value"], told["distance_per_week"]["from"]) == ("book", today, "book")
        assert told["done.engine_oil.date"]["from"] == "book"
    for calculator in calculators.NAMES:
        if calculator not in ("service_due", "own_records"):
            assert "book" not in {value["from"] for value in inputs(calculators.example_truck(name), name=calculator).values()}


@pytest.mark.parametrize("name", TRUCKS)
def test_an_examples_book_says_what_its_facts_say(name: str) -> None:
    """A year of it, weekly or nearly so: miles, hours, fuel by economy and idling, DEF by its share; nothing to ask about."""
    truck = calculators.example_truck(name)
    told, plain = inputs(truck), inputs({**truck, "book": []})
    for pace in ("distance_per_week", "idle_hours_per_week", "engine_hours_per_week"):
        assert told[pace]["value"] == pytest.approx(plain[pace]["value"], rel=0.005)
    assert ask("service_due", truck)["inputs"]["odometer"]["value"] == {"juniper": 41_200, "tamarack": 88_400}[name]
    amounts = {kind: [float(raw[kind].split()[0]) for raw in truck["book"] if raw["kind"] == kind] for kind in ("fuel", "def")}
    fills = [raw for raw in truck["book"] if raw["kind"] == "fuel"]
    economy = float(truck["facts"]["fuel_economy"].split()[0])
    steady = len(fills) - {"juniper": DRIFTING, "tamarack": 0}[name]
    miles, idle = (float(fills[steady - 1][meter].split()[0]) - float(fills[0][meter].split()[0]) for meter in ("odometer", "idle_hours"))
    assert sum(amounts["fuel"][1:steady]) == pytest.approx(miles / economy + 0.6 * idle, rel=0.02)
    assert sum(amounts["def"]) / sum(amounts["fuel"][1:]) == pytest.approx(0.0275, rel=0.07)
    assert fills[0]["days_ago"] >= 360 and max(amounts["fuel"]) <= 34  # the tank's
    reply = book_replies.listed({"truck": truck, "today": "2026-11-25"})
    assert (reply[0]["asked"], reply[1], len(reply[0]["entries"])) == ([], [], len(truck["book"]))


def test_without_a_truck_the_examples_jobs_stand_and_nothing_else_of_its_book() -> None:
    told = inputs(None)
    assert {value["from"] for value in told.values()} == {"example", "derived"}
    assert told["done.engine_oil.date"]["from"] == "example"
    assert job("engine_oil", None, done__engine_oil__date="2026-01-01")["due_odometer"] is None  # a record is told as a whole
    ahead = inputs(None, odometer=100, engine_hours=5, today="2025-01-01")
    assert not any(key.startswith("done.") for key in ahead)
