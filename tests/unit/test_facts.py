"""What counts: given over the truck's over derived over the example's, and which facts follow from which."""

from typing import Any

import pytest

import calculators
from calculators.engine.rules import rules
from tests.unit.ask import ask, faults, job, module, values

TRUCK: dict[str, Any] = {
    "format": "diesel-handover-truck", "version": 1, "name": "Mine",
    "facts": {"fuel_price": "4.10 USD/gal", "trucks": 3, "severe_use": False, "gas_constant": 9, "heater_price": None},
    "done": {"engine_oil": {"date": "2026-09-01"}}, "interval": {"engine_oil": {"distance": "9000 mi"}},
}


def origin(answer: dict[str, Any], name: str) -> tuple[Any, str]:
    return answer["inputs"][name]["value"], answer["inputs"][name]["from"]


def test_given_beats_the_truck_beats_derived_beats_the_example() -> None:
    answer = ask("idle_bill", TRUCK, trucks=5)
    assert origin(answer, "trucks") == (5, "given")
    assert origin(answer, "fuel_price") == (4.1, "truck")
    assert origin(answer, "idle_hours_per_day") == (1, "derived")
    assert origin(answer, "heater_price") == (1500, "example")


def test_null_in_a_truck_means_not_told() -> None:
    assert origin(ask("idle_bill", TRUCK), "heater_price") == (1500, "example")


def test_a_truck_never_changes_a_constant() -> None:
    assert ask("regeneration", TRUCK)["results"]["oxidation_rate"] == ask("regeneration")["results"]["oxidation_rate"]


def test_the_owners_interval_reaches_the_oil_interval() -> None:
    assert origin(ask("idle_bill", TRUCK), "oil_interval") == (9000, "derived")
    assert origin(ask("idle_bill", TRUCK, oil_interval=4000), "oil_interval") == (4000, "given")


def test_a_record_is_told_as_a_whole() -> None:
    """The owner's date beside the example's odometer would make a due date that is nobody's."""
    told = job("engine_oil", today="2024-01-01", done__engine_oil__date="2023-08-31", interval__engine_oil__time=6)
    assert (told["due_date"], told["governed_by"], told["due_odometer"]) == ("2024-02-29", "time", None)


def test_a_told_truck_takes_no_record_from_the_example() -> None:
    jobs = ask("service_due", TRUCK)["results"]["jobs"]
    assert [row["job"]["value"] for row in jobs if row["recorded"]["value"]] == ["engine_oil"]


def test_the_examples_record_is_left_out_where_the_owners_readings_are_before_it() -> None:
    assert faults("service_due", today="2025-01-01", odometer=100, engine_hours=5) == {}
    assert job("engine_oil", today="2025-01-01", odometer=100, engine_hours=5)["recorded"] is False


@pytest.mark.parametrize(("name", "fact", "value"), [
    # sums by hand from juniper's week: 20 trips of 12 min at 25 mi/h, 2 of 45 min at 60 mi/h, 6 h idling, 6 days, 50 weeks
    ("service_due", "distance_per_week", 100 + 90), ("service_due", "average_speed", 190 / 5.5), ("fluid_cost", "distance_per_year", 9500),
    ("idle_bill", "idle_hours_per_day", 1), ("idle_bill", "days_per_year", 300), ("idle_bill", "oil_interval", 7500),
    ("service_due", "read_on", "2026-11-25"), ("fluid_cost", "def_share_of_fuel", (4 - 0.27) * 2.008 / 1.09 / (210 / 0.84) * 100),
])
def test_derived_facts(name: str, fact: str, value: Any) -> None:
    told, where = origin(ask(name), fact)
    assert where == "derived"
    assert told == (value if isinstance(value, str) else pytest.approx(value, rel=1e-12))


@pytest.mark.parametrize(("name", "fact", "told", "value"), [
    ("service_due", "distance_per_week", "500", 500), ("service_due", "average_speed", "40", 40),
    ("idle_bill", "idle_hours_per_day", "3", 3), ("fluid_cost", "distance_per_year", "20000", 20000),
    ("idle_bill", "days_per_year", "250", 250), ("fluid_cost", "oil_interval", "5000", 5000),
    ("service_due", "read_on", "2026-11-20", "2026-11-20"), ("fluid_cost", "def_share_of_fuel", "3", 3),
])
def test_a_derived_fact_that_is_told_wins(name: str, fact: str, told: str, value: Any) -> None:
    assert origin(ask(name, **{fact: told}), fact) == (value, "given")
    truck = {"facts": {fact: told}}
    assert origin(ask(name, truck), fact) == (value, "truck")


def test_the_speed_is_the_trips_own_also_where_the_distance_is_told() -> None:
    """500 mi over the example's 5.5 h would be 91 mi/h: a fault that nobody understands."""
    assert origin(ask("service_due", distance_per_week=500), "average_speed") == (pytest.approx(34.5454545), "derived")


def test_what_was_measured_beats_the_chemistry() -> None:
    assert origin(ask("fluid_cost", measured_def_share_of_fuel=3.1), "def_share_of_fuel") == (3.1, "derived")
    assert "measured_def_share_of_fuel" not in ask("fluid_cost")["inputs"]


def test_a_derived_value_out_of_its_bounds_names_what_it_follows_from() -> None:
    told = faults("idle_bill", idle_hours_per_week=168)
    assert "idle_hours_per_week" in told["idle_hours_per_day"]
    assert "working_days_per_week" in told["idle_hours_per_day"]


def test_a_week_has_168_hours() -> None:
    told = faults("regeneration", short_trip_time=240, short_trips_per_week=200)
    assert any("168 hours" in do for do in told.values())
    assert faults("regeneration", short_trip_time=60, short_trips_per_week=120, long_trips_per_week=0, idle_hours_per_week=48) == {}
    assert faults("regeneration", short_trip_time=60, short_trips_per_week=120, long_trips_per_week=0, idle_hours_per_week=48.001)


@pytest.mark.parametrize(("told", "field"), [
    ({"read_on": "2026-11-26"}, "read_on"), ({"done__engine_oil__date": "2026-11-26"}, "done.engine_oil.date"),
    ({"done__engine_oil__odometer": 41200.5}, "done.engine_oil.odometer"),
    ({"done__coolant__engine_hours": 1310.5}, "done.coolant.engine_hours"),
])
def test_a_bound_may_be_another_fact(told: dict[str, object], field: str) -> None:
    assert "up to" in faults("service_due", **told)[field]


def test_nox_after_is_at_most_nox_before() -> None:
    assert "up to 0.5" in faults("fluid_cost", nox_before=0.5, nox_after=0.6)["nox_after"]


def test_every_fault_comes_at_once() -> None:
    told = faults("idle_bill", trucks="2.5", fuel_price="3,90", idle_fuel_rate=9, nonsense=1, heater_prize=4)
    assert set(told) == {"trucks", "fuel_price", "idle_fuel_rate", "nonsense", "heater_prize"}
    assert "3.90" in told["fuel_price"]
    assert "up to 3 gal/h" in told["idle_fuel_rate"]
    assert "heater_price" in told["heater_prize"]


@pytest.mark.parametrize("name", calculators.NAMES)
@pytest.mark.parametrize("bad", ["", "twelve", "nan", "1e999", "3,5", "\u0663"])
def test_every_field_refuses_what_is_no_value_by_its_name(name: str, bad: str) -> None:
    asked = {field.name for field in calculators.form(name)}
    with pytest.raises(calculators.Refused) as refused:
        calculators.answer(name, dict.fromkeys(asked, bad), today="2026-11-25")
    assert {fault.field for fault in refused.value.faults} == asked


@pytest.mark.parametrize("name", calculators.NAMES)
def test_every_number_refuses_what_is_past_its_bounds_by_its_name(name: str) -> None:
    for field in calculators.form(name):
        if field.kind == "number":
            for outside in (-1e308, 1e308):
                if field.low is not None or outside > 0:
                    assert field.name in faults(name, **{field.name.replace(".", "__"): outside}), (field.name, outside)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_a_field_is_asked_once(name: str) -> None:
    asked = [field.name for field in calculators.form(name)]
    assert len(asked) == len(set(asked))


@pytest.mark.parametrize("name", calculators.NAMES)
def test_what_the_form_shows_is_what_the_answer_uses(name: str) -> None:
    """Typing every example value gives the example's answer."""
    told = {field.name.replace(".", "__"): field.value for field in calculators.form(name) if field.value}
    typed, example = ask(name, **told), ask(name)
    assert values(typed) == values(example)
    assert typed["answer"] == example["answer"]


def test_derived_rules_are_only_pulled_in_where_nobody_told() -> None:
    names = [step["name"] for step in ask("idle_bill", idle_hours_per_day=2)["working"]]
    assert "idle_hours_per_day" not in names
    assert "days_per_year" in names


def test_a_shared_rule_makes_a_fact_that_has_bounds() -> None:
    from calculators.engine.figures import figure

    asked = {name for name in rules(module("week")) if figure(name)}
    assert {"distance_per_week", "average_speed", "distance_per_year", "idle_hours_per_day", "days_per_year", "oil_interval"} <= asked


def test_facts_are_told_in_words_with_where_they_are_from() -> None:
    told = calculators.facts(TRUCK, "2026-11-25")
    assert (told["fuel_price"]["phrase"], told["fuel_price"]["from"]) == ("$4.10 a gallon", "truck")
    assert told["fuel_tank_capacity"]["from"] == "example"
    assert told["distance_per_year"]["from"] == "derived"
    assert told["distance_per_year"]["value"] == 9500


@pytest.mark.parametrize(("name", "low", "high"), [("working_days_per_week", 1, 7), ("working_weeks_per_year", 1, 52),
                                                   ("idle_hours_per_week", 0, 168)])
def test_bounds_of_what_only_derived_facts_ask(name: str, low: float, high: float) -> None:
    """A week has seven days and 168 hours, a year 52 weeks to work in."""
    within = {} if name == "idle_hours_per_week" else {"idle_hours_per_week": 0}
    for inside in (low, high):
        assert name not in faults("idle_bill", **within, **{name: inside})
    for outside in (low - 0.001, high + 0.001):
        assert name in faults("idle_bill", **within, **{name: outside})


@pytest.mark.parametrize(("told", "field"), [
    ({"distance_per_week": 4000, "average_speed": 20}, "distance_per_week"),
    ({"average_speed": 1, "idle_hours_per_week": 0}, "average_speed"),
    ({"distance_per_week": 3900, "average_speed": 25, "idle_hours_per_week": 13}, "distance_per_week"),
])
def test_a_week_has_168_hours_for_a_typed_distance_and_speed_too(told: dict[str, object], field: str) -> None:
    """4,000 mi at 20 are 200 h; Juniper's 190 at 1 are 190; 3,900 at 25 are 156, and 12 h of idling fill the week."""
    for name in ("service_due", "fluid_cost", "duty_fit"):
        found = faults(name, **told)
        assert "a week has 168 hours" in found[field]
        assert set(found) == {field}, "one cause is told once"
    assert faults("service_due", distance_per_week=3900, average_speed=25, idle_hours_per_week=12) == {}


def test_trips_that_fill_more_than_a_week_are_told_as_trips() -> None:
    found = faults("service_due", short_trips_per_week=200, short_trip_time=60, short_trip_speed=1)
    assert set(found) == {"short_trip_time"}
