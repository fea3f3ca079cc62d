"""A level has its day: said, carried on from there, and no longer counted as today's once that is long ago or the tank was filled."""

import json
from datetime import date
from typing import Any

import pytest

import calculators
from calculators.engine.facts import plan
from calculators.engine.rules import calculator
from calculators.engine.truck_file import read_truck

DAY = "2026-11-25"
FACTS = {"def_tank_capacity": "8 gal", "fuel_economy": "14 mi/gal", "distance_per_week": "500 mi", "measured_def_share_of_fuel": "3 %"}
# By hand: 8 gal / 3 % x 14 mi/gal are 3,733 mi on a full tank; 40 % above a reserve of 15 % are 25 % of it, 933 mi; a week takes 500.
FULL = 8 / 0.03 * 14


def truck(*book: dict[str, Any], saved_at: str = "", **facts: Any) -> dict[str, Any]:
    return {"format": "diesel-handover-truck", "version": 2, "id": "t", "name": "Larch", "facts": FACTS | facts, "interval": {},
            "book": list(book)} | ({"saved_at": saved_at} if saved_at else {})


def read(day: str, **told: Any) -> dict[str, Any]:
    return {"id": f"r{day}", "date": day, "kind": "reading", **told}


def answer(told: dict[str, Any], today: str = DAY, name: str = "exhaust_fluid_use", **given: Any) -> dict[str, Any]:
    return calculators.answer(name, given, told, today)


def value(told: dict[str, Any], result: str, today: str = DAY, **given: Any) -> Any:
    return answer(told, today, **given)["results"][result]["value"]


def doubts(answered: dict[str, Any]) -> list[str]:
    return [caution["text"] for caution in answered["cautions"] if caution["hazard"] == "Read the gauge again."]


TOLD = {
    "fact": truck(def_level="40 %", def_level_read_on="2026-11-20"), "saved": truck(def_level="40 %", saved_at="2026-11-20T08:00:00Z"),
    "entry": truck(read("2026-11-20", def_level="40 %")),
}


@pytest.mark.parametrize("how", TOLD)
def test_a_level_is_carried_on_from_its_day_and_the_day_is_said(how: str) -> None:
    told = answer(TOLD[how])
    assert told["results"]["def_level_age"]["value"] == 5
    assert told["results"]["range_to_reserve"]["value"] == pytest.approx(FULL * 0.25 - 500 * 5 / 7)
    assert told["answer"].endswith("left to the reserve, by the gauge as read on Nov 20, 2026.")
    assert told["inputs"]["def_level"]["from"] == ("book" if how == "entry" else "truck") and not doubts(told)
    first = answer(TOLD[how], "2026-11-20")
    assert first["results"]["range_to_reserve"]["value"] == pytest.approx(FULL * 0.25) and "gauge" not in first["answer"]


@pytest.mark.parametrize(("level", "a_week", "begins"), [  # on a full tank of 3,733 mi, a percent of it is 37.3 mi
    (16, 7, "Fill DEF now"), (40, 0, "Plan on"), (90, 7, "Test or replace"), (30, 2600, "Fill DEF today"), (40, 500, "Fill DEF within"),
])
def test_every_sentence_of_a_level_carried_on_says_its_day(level: int, a_week: int, begins: str) -> None:
    told = truck(def_level=f"{level} %", def_level_read_on="2026-11-24", distance_per_week=f"{a_week} mi")
    said, as_read = (answer(told, day)["answer"] for day in (DAY, "2026-11-24"))
    assert said.startswith(begins) and said.endswith(", by the gauge as read on Nov 24, 2026.")
    assert "gauge" not in as_read


@pytest.mark.parametrize("how", TOLD)
def test_after_a_week_it_says_nothing_of_today(how: str) -> None:
    assert value(TOLD[how], "range_to_reserve", "2026-11-27") is not None
    told = answer(TOLD[how], "2026-11-28")
    left = told["results"]["range_to_reserve"]
    assert (left["value"], left["why"], left["tell"]) == (None, "tell what the DEF gauge shows", ["def_level"])
    assert doubts(told) == ["You read the DEF gauge on Nov 20, 2026: that is too long ago to count as today’s."]
    assert "def_level" not in told["inputs"]


def test_saved_again_with_another_price_a_level_keeps_its_day() -> None:
    opened, _ = read_truck(json.dumps(truck(def_level="40 %", saved_at="2026-11-20T08:00:00Z")), date(2026, 11, 21))
    assert opened and opened["facts"]["def_level_read_on"] == "2026-11-20"
    again, _ = read_truck(json.dumps(opened | {"saved_at": "2027-01-20T08:00:00Z"}), date(2027, 1, 20))
    assert again and again["facts"]["def_level_read_on"] == "2026-11-20" and value(again, "def_level_now", "2027-01-20") is None
    nobody, _ = read_truck(json.dumps(truck(def_level="40 %")), date(2026, 11, 21))
    assert nobody and nobody["facts"]["def_level_read_on"] == "2026-11-21"


def test_the_newest_counts_and_what_is_given_wins() -> None:
    both = truck(read("2026-11-22", def_level="60 %"), def_level="40 %", def_level_read_on="2026-11-20")
    assert (value(both, "def_level_age"), answer(both)["inputs"]["def_level"]["value"]) == (3, 60)
    newer = truck(read("2026-11-18", def_level="60 %"), def_level="40 %", def_level_read_on="2026-11-20")
    assert (value(newer, "def_level_age"), answer(newer)["inputs"]["def_level"]["value"]) == (5, 40)
    told = answer(newer, def_level=90)
    assert (told["results"]["def_level_age"]["value"], told["results"]["def_level_now"]["value"]) == (0, 90)
    assert answer(newer, def_level=90, def_level_read_on="2026-11-24")["results"]["def_level_age"]["value"] == 1
    guess = truck(read("2026-11-24", def_level="60 %", estimated=True))
    assert value(guess, "def_level_now") is None


@pytest.mark.parametrize(("gauge", "filled", "name"), [("def_level", {"kind": "def", "def": "2 gal"}, "exhaust_fluid_use"),
                                                       ("fuel_in_tank", {"kind": "fuel", "fuel": "20 gal"}, "winter_fuel")])
def test_a_fill_after_it_makes_it_old(gauge: str, filled: dict[str, Any], name: str) -> None:
    level = read("2026-11-22", **{gauge: "12 gal" if gauge == "fuel_in_tank" else "12 %"})
    for day, counts in (("2026-11-22", True), ("2026-11-23", False)):
        told = answer(truck(level, {"id": "f", "date": day, **filled}), name=name)
        assert (told["inputs"].get(gauge, {}).get("from") == "book") is counts
        assert [text.endswith("on Nov 22, 2026: the tank was filled since.") for text in doubts(told)] == ([] if counts else [True])


def test_in_place_of_fuel_that_was_told_and_is_old_no_examples_stands() -> None:
    """Read at 5 gallons, then filled: nobody knows how full, least of all the example's truck."""
    filled = {"id": "f", "date": "2026-11-23", "kind": "fuel", "fuel": "10 gal", "full": False}
    told = truck(read("2026-11-22", fuel_in_tank="5 gal"), filled, fuel_tank_capacity="34 gal")
    winter = answer(told, name="winter_fuel", winter_fuel_kind="number_1")
    assert winter["answer"].startswith("Read the fuel gauge first.") and winter["results"]["verdict"]["value"] == "watch"
    for name, result in (("winter_fuel", "winter_fuel_to_add"), ("sitting_truck", "tank_share")):
        said = answer(told, name=name, **({"winter_fuel_kind": "number_1"} if name == "winter_fuel" else {}))
        left = said["results"][result]
        assert (left["value"], left["why"], left["tell"]) == (None, "tell what the fuel gauge shows", ["fuel_in_tank"])
        assert "fuel_in_tank" not in said["assumes"] and "fuel_in_tank" not in said["inputs"]
    jobs = [row["job"]["value"] for row in answer(told, name="sitting_truck")["results"]["jobs"]]
    assert any(job.startswith("Read the fuel gauge") for job in jobs)
    assert answer(told, name="tank_water")["results"]["air_space"]["value"] == 34
    again = answer(told, name="winter_fuel", winter_fuel_kind="number_1", fuel_in_tank=10)
    assert again["results"]["winter_fuel_to_add"]["value"] is not None


def test_a_level_that_nobody_dated_is_taken_as_read_today_and_said() -> None:
    told = answer(truck(def_level="40 %"))
    assert told["results"]["def_level_age"]["value"] == 0
    assert doubts(told) == ["Nobody told which day you read the DEF gauge: it is taken as read today."]
    assert not doubts(answer(truck(def_level="40 %"), name="idle_bill"))


def test_past_the_reserve_by_estimate_the_gauge_is_to_be_read() -> None:
    told = answer(truck(def_level="20 %", def_level_read_on="2026-11-20"))  # 187 mi to the reserve, 357 driven since
    assert told["answer"].startswith("Read the DEF gauge and fill") and "Nov 20, 2026" in told["answer"]


def test_an_old_fuel_level_is_still_the_trucks_and_its_day_is_said() -> None:
    told = truck(fuel_in_tank="12 gal", fuel_in_tank_read_on="2026-11-20")
    assert answer(told, name="winter_fuel")["results"]["fuel_level_age"]["value"] == 5
    assert answer(told, name="winter_fuel")["inputs"]["fuel_in_tank"] == {"value": 12, "unit": "gal", "from": "truck"}
    assert not doubts(answer(told, "2026-11-27", name="winter_fuel"))
    later = answer(told, "2026-12-20", name="winter_fuel")
    assert later["inputs"]["fuel_in_tank"] == {"value": 12, "unit": "gal", "from": "truck"}
    assert later["results"]["fuel_level_age"]["value"] == 30
    assert doubts(later) == ["You read the fuel gauge on Nov 20, 2026: this goes by that."]


@pytest.mark.parametrize("read_on", ["2026-11-10", "2026-11-24"])
def test_a_tank_that_was_told_almost_empty_is_so_however_long_ago(read_on: str) -> None:
    """The example's 20 gallons made the answer milder the longer ago it was told."""
    told = truck(fuel_in_tank="5 gal", fuel_in_tank_read_on=read_on, fuel_tank_capacity="34 gal")
    assert answer(told, name="sitting_truck")["results"]["tank_share"]["value"] == pytest.approx(5 / 34 * 100)


GAUGED = [name for name in calculators.NAMES if {"fuel_in_tank", "def_level"} & {*plan(calculator(name), ()).needs}]


@pytest.mark.parametrize("name", GAUGED)
def test_whatever_takes_a_gauge_goes_by_the_day(name: str) -> None:
    """Once its reading is long ago it says so: asked of another day, on paper or in a terminal, it is another answer."""
    assert len(GAUGED) == 4 and calculators.goes_by_day(name)
    told = truck(def_level="60 %", def_level_read_on=DAY, fuel_in_tank="12 gal", fuel_in_tank_read_on=DAY)
    assert not doubts(answer(told, name=name)) and doubts(answer(told, name=name, today="2026-12-20"))
    assert doubts(calculators.answer(name, {"today": "2026-12-20"}, told, DAY))


def test_the_examples_gauges_are_read_on_the_day_of_the_answer() -> None:
    for told in (None, calculators.example_truck("tamarack")):
        assert calculators.answer("exhaust_fluid_use", {}, told, "2031-05-05")["results"]["def_level_age"]["value"] == 0


def test_what_a_page_keeps_says_on_each_later_day_what_the_level_says_then() -> None:
    told = truck(read("2026-11-22", def_level="60 %"), saved_at="2026-11-25T05:00:00Z")
    kept = json.loads(calculators.call(json.dumps({"do": "all", "truck": told, "today": DAY})))
    days = {one["from"]: one for one in kept["answers"]["exhaust_fluid_use"]["days"]}
    assert list(days) == ["2026-11-25", "2026-11-26", "2026-11-27", "2026-11-28", "2026-11-29"]
    assert kept["until"] == "2026-11-30", "then the level is old, and all is worked out anew"
    for day in list(days)[1:]:
        assert days[day]["answer"] == answer(told, day)["answer"]
        assert days[day]["results"]["range_to_reserve"]["value"] == value(told, "range_to_reserve", day)
    assert kept["answers"]["exhaust_fluid_use"]["results"]["def_level_age"]["daily"] == 1
    assert [one["def_level"] for one in kept["link"]["book"]] == ["60 %"], "it travels in a link"
    assert "days" not in kept["answers"]["idle_bill"]


FILLED = {"id": "f", "kind": "def", "date": "2026-11-23", "def": "2 gal"}


@pytest.mark.parametrize("told", [truck(read("2026-11-22", def_level="12 %"), FILLED),
                                  truck(FILLED, def_level="12 %", def_level_read_on="2026-11-22")])
def test_a_level_that_a_fill_ended_does_not_travel_in_a_link(told: dict[str, Any]) -> None:
    kept = json.loads(calculators.call(json.dumps({"do": "all", "truck": told, "today": DAY})))
    assert answer(kept["link"])["answer"] == answer(told)["answer"] and "12 %" not in json.dumps(kept["link"])


@pytest.mark.parametrize("name", GAUGED)
def test_a_day_ahead_is_told_to_its_owner(name: str) -> None:
    gauge = "def_level" if name == "exhaust_fluid_use" else "fuel_in_tank"
    with pytest.raises(calculators.Refused, match=f"{gauge}_read_on: '2026-11-26' won’t do"):
        answer(truck(**{gauge: "12", f"{gauge}_read_on": "2026-11-26"}), name=name)


def test_a_truck_saved_by_a_clock_that_is_ahead_was_read_today() -> None:
    """Of a day that its owner never told nothing is refused."""
    told = answer(truck(def_level="40 %", saved_at="2026-11-27T08:00:00Z"))
    assert (told["results"]["def_level_age"]["value"], told["inputs"]["def_level_read_on"]["value"]) == (0, DAY)


def test_a_level_goes_through_a_table_and_back() -> None:
    told = truck(read("2026-11-22", def_level="60 %", fuel_in_tank="12 gal"))
    text = calculators.call(json.dumps({"do": "write_table", "truck": told}))
    back = json.loads(calculators.call(json.dumps({"do": "read_table", "truck": truck(), "text": json.loads(text)["text"]})))
    (entry,) = back["truck"]["book"]
    assert answer(back["truck"])["results"]["def_level_now"] == answer(told)["results"]["def_level_now"] and entry["kind"] == "reading"
