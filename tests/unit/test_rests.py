"""What an answer rests on: the owner's, the example's, some of both, or numbers of the trade alone."""

from typing import Any

import pytest

import calculators
from calculators.engine.assumed import likely
from calculators.engine.due import USUAL
from calculators.engine.figures import FIGURES
from calculators.engine.whose import rests_line
from tests.unit.ask import ask


def truck(**facts: object) -> dict[str, Any]:
    return {"format": "diesel-handover-truck", "version": 1, "name": "Mine", "facts": facts}


def marks(answer: dict[str, Any], *names: str) -> list[str]:
    return [answer["results"][name].get("rests_on", "") for name in names]


IDLING = {"idle_hours_per_week": 12, "working_days_per_week": 6, "working_weeks_per_year": 50, "idle_fuel_rate": 0.5, "fuel_price": 4,
          "heater_price": 900, "warmth_share_of_idle": 40, "outside_temperature": 20, "severe_use": "no"}
TRIPS = ("short_trip_time", "short_trips_per_week", "long_trip_time", "long_trips_per_week")  # severe use follows from them
OF_THE_TRADE = {"hours_share_allowed", "share_allowed", "oil_interval_is_another", "oil_distance_allowed", "oil_distance_that_counts",
                "oil_hours_allowed"}  # of nobody, but for severe use


def test_one_told_fact_makes_some_of_it_partly_yours() -> None:
    """Fuel is trucks x hours x rate: nothing of it told. Money takes the price."""
    answer = ask("idle_bill", truck(fuel_price=4))
    assert marks(answer, "fuel_per_day", "fuel_per_year", "cost_per_day", "cost_per_year") == ["example", "example", "partly", "partly"]
    assert answer["answer_rests_on"] == "partly"


def test_all_told_is_yours_though_the_trade_has_its_part() -> None:
    """25 miles of wear an idle hour is the trade's number, 7,500 miles of oil interval too, and one truck is our own count."""
    answer = ask("idle_bill", truck(**IDLING))
    assert set(marks(answer, *answer["results"].keys() - OF_THE_TRADE)) == {"yours"}
    assert (answer["answer_rests_on"], answer["assumes"]) == ("yours", [])
    assert answer["inputs"]["distance_per_idle_hour"]["kind"] == "common practice"


def test_nothing_told_is_the_examples() -> None:
    answer = ask("idle_bill", truck())
    assert set(marks(answer, *answer["results"].keys() - OF_THE_TRADE)) == {"example"}
    assert answer["answer_rests_on"] == "example"
    assert set(answer["assumes"]) == {*IDLING, *TRIPS} - {"severe_use"}  # which follows from the trips


@pytest.mark.parametrize("name", ["juniper", "tamarack"])
def test_an_example_truck_is_the_examples_too(name: str) -> None:
    answer = ask("idle_bill", name)
    assert set(marks(answer, *answer["results"].keys() - OF_THE_TRADE)) == {"example"}
    assert answer["inputs"]["fuel_price"]["from"] == "truck"
    assert marks(ask("idle_bill", name, fuel_price=4), "cost_per_year", "fuel_per_year") == ["partly", "example"]


def test_a_number_of_the_trade_alone_is_nobodys() -> None:
    """The rate at which soot burns follows from published energies and our own fit; no truck has part in it."""
    assert marks(ask("regeneration"), "oxidation_rate") == [""]


def test_a_derived_input_says_what_it_rests_on() -> None:
    inputs = ask("idle_bill", truck(idle_hours_per_week=12))["inputs"]
    assert (inputs["idle_hours_per_day"]["rests_on"], inputs["days_per_year"]["rests_on"]) == ("partly", "example")
    assert ask("idle_bill", truck(**IDLING))["inputs"]["idle_hours_per_day"]["rests_on"] == "yours"


def test_what_is_passed_over_took_no_part() -> None:
    """A measured share of DEF wins over its estimate from NOx."""
    answer = ask("exhaust_fluid_use", truck(measured_def_share_of_fuel=3))
    assert marks(answer, "def_share_of_fuel") == ["yours"]
    assert marks(ask("exhaust_fluid_use", truck(nox_before=3)), "def_share_of_fuel") == ["yours"]
    assert marks(ask("exhaust_fluid_use", truck(def_tank_capacity=5)), "def_share_of_fuel") == [""]


def test_each_cell_of_a_list_has_its_own() -> None:
    """Diesel's fuel is told, gasoline's not; what the item is called rests on nothing."""
    told = truck(distance_per_year=10_000, fuel_economy=10, fuel_price=4)
    rows = {row["item"]["value"]: row for row in ask("fluid_cost", told)["results"]["lines"]}
    assert (rows["fuel"]["diesel"]["rests_on"], rows["fuel"]["gasoline"]["rests_on"]) == ("yours", "partly")
    assert "rests_on" not in rows["fuel"]["item"] and "rests_on" not in rows["exhaust_fluid"]["gasoline"]


def test_a_caution_says_what_its_numbers_rest_on() -> None:
    cautions = ask("trailer_check", truck(trailer_weight=8000, tongue_weight=100, hitch="ball"))["cautions"]
    assert [c.get("rests_on") for c in cautions if "sways" in c["hazard"]] == ["yours"]


def test_what_moves_most_is_assumed_first() -> None:
    """A tenth of the rate moves money a year by a fifth in all, 45 to 52 weeks by less, a heater's price not at all."""
    answer = ask("idle_bill", truck(fuel_price=4, idle_hours_per_week=12, working_days_per_week=5))
    assert answer["assumes"][:2] == ["idle_fuel_rate", "working_weeks_per_year"]
    assert set(answer["assumes"][2:]) == {"heater_price", "warmth_share_of_idle", "outside_temperature", *TRIPS}
    moved = calculators.sensitivity("diesel_or_gasoline")["rows"]
    found = [row["input"]["value"] for row in moved if row["input"]["value"] in ask("diesel_or_gasoline")["assumes"]]
    assert ask("diesel_or_gasoline")["assumes"][:len(found)] == found


def test_the_trips_that_keep_a_filter_clean_turn_the_verdict() -> None:
    """Juniper's two long trips a week: with none of them nothing burns it clean."""
    told = {name: FIGURES[name].value for name in ("short_trip_time", "short_trip_speed", "long_trip_time", "long_trip_speed",
                                                   "short_trips_per_week", "idle_hours_per_week", "outside_temperature",
                                                   "soot_burned_share", "passive_share")}
    answer = ask("regeneration", truck(**told))
    assert answer["assumes"] == ["long_trips_per_week"]
    assert answer["turns"] == {"input": "long_trips_per_week", "at": 0, "verdict": "against"}


def test_what_an_owner_can_tell_turns_it_before_what_only_the_engines_maker_knows() -> None:
    """The share of the soot that a burn takes would turn it too, and nobody can tell that of a truck."""
    answer = ask("regeneration", truck(idle_hours_per_week=9))
    assert answer["assumes"][0] == "soot_burned_share"
    assert answer["turns"]["input"] in ("short_trip_time", "short_trips_per_week", "long_trip_time", "long_trips_per_week")


def test_no_verdict_is_turned_by_what_was_told() -> None:
    """Everything told: nothing is assumed, so nothing turns it."""
    told = {field.name: field.value for field in calculators.form("block_heater")}
    answer = ask("block_heater", truck(**told))
    assert answer["assumes"] == [] and "turns" not in answer


def test_a_step_says_who_told_its_numbers_and_what_its_result_rests_on() -> None:
    def step(answer: dict[str, Any], name: str) -> dict[str, Any]:
        return next(one for one in answer["working"] if one["name"] == name)

    own = step(ask("idle_bill", truck(idle_fuel_rate=0.5)), "fuel_per_day")
    assert own["source"].startswith("Your own numbers; ") and own["result"]["rests_on"] == "partly"
    assert step(ask("idle_bill", "tamarack"), "cost_per_day")["source"] == "The example truck’s numbers; The steps above"
    told = truck(distance_per_week=200, severe_use=False) | {"done": {"coolant": {"date": "2026-09-01", "odometer": 40_000}}}
    assert step(ask("service_due", told), "wear_per_week")["result"]["rests_on"] == "yours"


def test_what_the_book_tells_is_yours_and_said_to_be_from_your_records() -> None:
    """Two readings 111 days apart: 38,000 and 42,010 miles; the pace follows from both, and needs no trips."""
    book = [{"id": "a1", "date": "2026-08-01", "kind": "reading", "odometer": "38000 mi"},
            {"id": "a2", "date": "2026-11-20", "kind": "reading", "odometer": "42010 mi"},
            {"id": "b1", "date": "2026-09-01", "kind": "job", "job": "coolant", "odometer": "39000 mi"}]
    told = truck(severe_use=False) | {"version": 2, "id": "mine", "book": book}
    answer = calculators.with_words(ask("service_due", told))
    pace = answer["inputs"]["distance_per_week"]
    assert (pace["from"], pace["entries"], pace["whose"]) == ("book", ["a1", "a2"], "from your own records")
    assert pace["value"] == pytest.approx(4010 / 111 * 7)
    coolant = next(row for row in answer["results"]["jobs"] if row["job"]["value"] == "coolant")
    assert coolant["due_odometer"]["rests_on"] == "yours"
    assert any(step["source"].startswith("Your own records") for step in answer["working"])


@pytest.mark.parametrize("name", ["Juniper", "Tamarack"])
def test_an_own_truck_may_bear_an_examples_name(name: str) -> None:
    answer = ask("axle_load", truck(fuel_price=4) | {"name": name})
    assert answer["results"]["front_margin"]["value"] is None
    assert marks(ask("idle_bill", truck(fuel_price=4) | {"name": name}), "cost_per_year") == ["partly"]


@pytest.mark.parametrize(("whose", "own"), [(None, False), ("juniper", False), (truck(), True)])
def test_an_answer_says_whether_the_truck_is_somebodys_own(whose: Any, own: bool) -> None:
    assert ask("idle_bill", whose)["own"] is own


def test_words_stand_beside_each_value() -> None:
    answer = calculators.with_words(ask("idle_bill", truck(fuel_price=4), idle_fuel_rate=0.5))
    assert [answer["results"][name]["whose"] for name in ("cost_per_year", "idle_hours_per_year")] == ["partly yours", "example"]
    inputs = {name: value.get("whose") for name, value in answer["inputs"].items()}
    assert (inputs["fuel_price"], inputs["idle_fuel_rate"], inputs["heater_price"]) == ("yours", "yours", "example")
    assert (inputs["distance_per_idle_hour"], inputs["trucks"], inputs["idle_hours_per_day"]) == ("usual", "usual", "example")
    assert answer["answer_whose"] == "partly yours"
    assert answer["rests"].startswith("Rests on 2 numbers of yours and 10 of the example’s: ")
    rows = calculators.with_words(ask("fluid_cost", truck(fuel_economy=10)))["results"]["lines"]
    assert rows[0]["diesel"]["whose"] == "partly yours" and "whose" not in rows[0]["item"]


@pytest.mark.parametrize(("yours", "assumes", "said"), [
    (["a"], [], "Rests on 1 number of yours."),
    (["a", "b"], ["fuel_price"], "Rests on 2 numbers of yours and 1 of the example’s: fuel price."),
    ([], ["fuel_price", "def_level"], "Rests on 2 numbers of the example’s: fuel price, DEF level."),
    ([], [], "Rests on numbers of the trade alone."),
])
def test_what_it_rests_on_in_a_line(yours: list[str], assumes: list[str], said: str) -> None:
    assert rests_line({"yours": yours, "assumes": assumes, "results": {}}) == said


def test_what_one_entry_tells_of_every_job_is_counted_once() -> None:
    """A new truck: its delivery’s odometer, hours and day start 17 clocks, and are three numbers; with two that were told, five."""
    delivery = {"id": "d", "date": "2026-11-20", "kind": "delivery", "new": True, "odometer": 14, "engine_hours": 1}
    truck = calculators.truck_of("New", {"tows": "yes", "four_wheel_drive": "yes"}) | {"book": [delivery]}
    answered = calculators.with_words(calculators.answer("service_due", None, truck, "2026-11-25"))
    assert len(answered["yours"]) > 50
    assert answered["rests"].startswith("Rests on 5 numbers of yours and ")


# Where a temperature, a price or a share of another truck lies: our own guesses, where half and double would be none.
GUESSES = {
    "short_trip_speed": (15, 40),
    "long_trip_speed": (45, 70),
    "working_weeks_per_year": (40, 52),
    "outside_temperature": (0, 80),
    "fuel_price": (2.5, 6),
    "fuel_economy": (9, 22),
    "def_price": (2.5, 8),
    "gasoline_fuel_price": (2.5, 5),
    "soot_burned_share": (75, 98),
    "storage_temperature": (40, 95),
    "warm_temperature": (60, 100),
    "cool_temperature": (30, 70),
    "summer_cloud_point": (5, 32),
    "expected_low": (-25, 20),
    "truck_price": (55_000, 95_000),
    "gasoline_truck_price": (45_000, 80_000),
    "loan_rate": (4, 12),
    "resale_share": (30, 60),
    "gasoline_resale_share": (28, 58),
    "lowest_temperature": (-20, 32),
    "highest_temperature": (60, 100),
}


def test_what_is_guessed_of_other_trucks_is_what_we_meant() -> None:
    assert {name: entry.likely for name, entry in FIGURES.items() if entry.likely} == GUESSES
    for name in GUESSES:
        low, high = FIGURES[name].likely or (0, 0)
        assert low < FIGURES[name].value < high and FIGURES[name].kind == "example"
    assert {name for name, entry in FIGURES.items() if entry.maybe_none} == {"short_trips_per_week", "long_trips_per_week"}


@pytest.mark.parametrize(("key", "value", "ends"), [
    ("long_trips_per_week", 8, [0, 16]), ("long_trips_per_week", 150, [0, 200]),  # none to double, never over its bound
    ("oil_price", 4, [2, 8]), ("oil_price", 30, [15, 40]),  # half and double
    ("fuel_price", 10, [2.5, 6]),  # as we guessed
    ("loan_time", 5, [2, 10]),  # whole months
    ("distance_per_idle_hour", 25, [25, 33]),  # where sources differ, their ends
    ("severe_use", True, [False]), ("hitch", "ball", ["fifth_wheel", "none"]), ("rear_tires", 2.0, [4.0]),
    ("fuel_in_tank", 20, [10, 34]),  # never over what the tank holds
])
def test_where_an_examples_value_likely_lies(key: str, value: Any, ends: list[Any]) -> None:
    assert likely(key, {key: value, "fuel_tank_capacity": 34.0}) == ends


def test_dates_by_the_usual_intervals_say_that_the_manual_wins() -> None:
    rests = calculators.with_words(ask("service_due", truck(odometer=40_000)))["rests"]
    assert rests.endswith(USUAL)
    assert USUAL not in calculators.with_words(ask("idle_bill", truck(**IDLING)))["rests"]
