"""The working says what was computed: every printed line comes to its printed result, and every reason holds."""

import math
import re
from datetime import date
from functools import cache
from typing import Any

import pytest

import calculators
from calculators.__main__ import main
from calculators.engine.facts import Gathered
from calculators.engine.rests import Rests
from calculators.engine.rules import Book, Rule
from calculators.engine.show import words
from calculators.engine.steps import steps as working_of
from tests.unit import printed
from tests.unit.ask import DAY, TRUCKS, ask

# Each is tried on every calculator that asks for it: weeks, weathers and readings that take other branches.
SITUATIONS: list[dict[str, object]] = [
    {}, {"outside_temperature": -20, "soot_rate": 0.5}, {"outside_temperature": -60, "temperature_rise": 300},
    {"regeneration_temperature": 900}, {"regeneration_temperature": 1250, "soot_burned_share": 99.5}, {"idle_hours_per_week": 7.3},
    {"idle_hours_per_day": 23.7, "trucks": 17, "fuel_price": 4.199}, {"heater_fuel_rate": 0.3, "idle_fuel_rate": 0.2},
    {"short_trip_time": 200, "short_trips_per_week": 7}, {"long_trip_time": 44.1}, {"long_trip_time": 33.3, "soot_rate": 0.31},
    {"short_trips_per_week": 0, "long_trips_per_week": 0}, {"short_trips_per_week": 0, "long_trips_per_week": 0, "idle_hours_per_week": 0},
    {"today": "2026-12-24", "read_on": "2026-11-30", "odometer": 41555.5}, {"severe_use": "no"}, {"today": "2024-02-29"},
    {"done__separator_drain__date": "2026-01-31"}, {"interval__engine_oil__distance": 9999, "interval__engine_oil__time": 7.5},
    {"done__tire_rotation__odometer": 39000.5, "done__tire_rotation__engine_hours": 1000}, {"measured_def_share_of_fuel": 2.34567},
    {"fuel_economy": 11.37, "distance_per_year": 48123}, {"distance_per_week": 0}, {"nox_before": 6.1, "def_density": 1.0885},
    {"density": 1.0523, "storage_temperature": 77}, {"refractive_index": 1.3901, "storage_temperature": 40}, {"highest_temperature": 91},
    {"warm_temperature": 20, "cool_temperature": -7.5}, {"warm_temperature": 41, "relative_humidity": 99, "cool_temperature": 31},
    {"hitch": "fifth_wheel", "tongue_weight": 2000, "trailer_weight": 9000}, {"trailer_weight": 30000}, {"expected_low": -3.3},
    {"mistake": "gasoline_in_fuel", "engine_ran": "yes", "amount": 5, "tank_contents": 20}, {"mistake": "water_in_def", "key_turned": "no"},
    {"plow_weight": 2500}, {"ownership_time": 1, "loan_time": 0, "discount_rate": 0}, {"highest_temperature": 130, "time_parked": 0},
]

# Steps that print no formula, and why that is enough; a step without a value says why it has none.
WITHOUT_A_FORMULA = {
    "jobs": "a list of things to do, or of service jobs that share the steps of one: nothing is computed for the list",
    "actions": "a list of things to do, picked by how far the fluid may have got",
    "stages": "a list of how far the fluid may have got, picked from a table",
    "reasons": "a list of the verdicts in the steps above, in words",
    "limits": "a list of the limits in the steps above, each with what is left of it as a share",
    "lines": "a list of the costs in the steps above, side by side",
    "drains_ahead": "a list of days, one interval after another, as its words say",
    "cash_flow": "a list of years; its words say what each holds, and the steps above and below hold the sums",
    "filter_load": "a list of days, each the day before with its soot or its burn, as its words say",
    "by_usual_interval": "a yes or no over three clocks, as its words say",
    "due_by_distance": "counted on from the reading, or read off the line between readings, as its words say",
    "due_by_engine_hours": "likewise", "engine_hours_at_reading": "carried from one meter’s day to the other’s, as its words say",
    "jobs_overdue": "a count of rows of the list", "jobs_unknown": "likewise",
    "jobs_to_look_at": "likewise", "jobs_to_ask_about": "likewise",
    "trips_calculated": "another calculator’s verdict, by the question that it answers",
    "oil_distance_allowed": "what the service dates go by, as its words say", "oil_hours_allowed": "likewise",
    "oil_time_allowed": "likewise",
    "equal_distance_per_year": "where two lines cross that bend with the oil changes, as its words say",
    "weight_verdict": "likewise", "towing_verdict": "likewise", "money_calculated": "likewise", "money_hangs": "likewise",
    "concern_why": "words of the table of reasons, and whose week they go by",
    "trips_cause": "another calculator’s cause", "trips_are_assumed": "likewise", "makes_no_soot": "likewise",
    "trips_remedy": "likewise", "drives_lacking": "likewise", "days_between_drives": "likewise", "towing_found": "likewise",
    "tanks": "a list of tanks, each the difference of two entries; what was expected is by the fit",
    "def_fills": "likewise, of DEF", "burns": "likewise, of burns", "drains": "likewise, of drains",
    "left_out": "a list of entries, each with its reason",
    "alarms": "a list, by sums over the tanks, fills, burns and drains above; tests/audit tries them on trucks whose use is known",
    "fuel_economy_measured": "least squares over all tanks above, more than a line holds; tests/audit tries it, too",
    "fuel_economy_low": "likewise", "fuel_economy_high": "likewise", "idle_rate_measured": "likewise", "idle_rate_low": "likewise",
    "idle_rate_high": "likewise", "def_share_low": "an interval by the scatter of the list above", "def_share_high": "likewise",
    "burn_distance_low": "likewise", "burn_distance_high": "likewise", "burns_too_irregular": "likewise, the scatter itself",
    "fuel_paid": "a sum over the tanks above, of prices by gallons", "distance_paid": "likewise, of miles",
    "fuel_economy_in_hard_work": "miles over gallons of the tanks that are marked so in the list above",
    "burns_seen": "a count of entries", "burns_not_finished": "a count of entries",
    "distance_per_week_measured": "a difference of two readings of the book over the days between them",
    "engine_hours_per_week_measured": "likewise", "idle_meter_per_week": "likewise",
    "first_alarm": "picked from the list of alarms", "first_alarm_since": "likewise", "first_alarm_change": "likewise",
}


@cache
def answers(name: str) -> list[dict[str, Any]]:
    """The calculator's answers in every situation that it can be told, for each example truck."""
    asked = {field.name for field in calculators.form(name)}
    found = []
    for truck in TRUCKS:
        for situation in SITUATIONS:
            told = {key: value for key, value in situation.items() if key.replace("__", ".") in asked}
            if told or not situation:
                try:
                    found.append(ask(name, truck, **{"today": "2026-11-25", **told}))
                except calculators.Refused as refused:
                    assert refused.faults
    return found


@pytest.fixture(scope="module", params=calculators.NAMES)
def steps(request: pytest.FixtureRequest) -> list[dict[str, Any]]:
    return [step | {"lists": lists(answer)} for answer in answers(request.param) for step in answer["working"]]


def lists(answer: dict[str, Any]) -> dict[str, Any]:
    """The plain cells of an answer's lists."""
    return {name: [{cell: told["value"] for cell, told in row.items()} for row in rows]
            for name, rows in answer["results"].items() if isinstance(rows, list)}


def numeric(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def last_digit(value: float) -> float:
    """What one in the last of four digits is worth."""
    return 10.0 ** (math.floor(math.log10(abs(value))) - 3) if value else 1e-4


def test_the_printed_numbers_come_to_the_printed_result(steps: list[dict[str, Any]]) -> None:
    """Give or take one in the last digit, as with any rounded numbers."""
    for step in steps:
        value = step["result"]["value"]
        if not step["formula"] or not numeric(value):
            continue
        assert printed.worked(step) == pytest.approx(value, rel=0, abs=1.0001 * last_digit(value)), (step["name"], step["worked"])


def test_a_printed_number_is_the_value_to_four_digits(steps: list[dict[str, Any]]) -> None:
    """All of them where they end before; more only where four would not come to the result."""
    for step in steps:
        shown = words(step["result"]["value"], step["result"].get("unit", ""), exact=True).number
        if numeric(step["result"]["value"]):
            value, digits = step["result"]["value"], re.sub(r"[^\d.]", "", shown.split("e")[0])
            assert float(re.sub(r"[$,]", "", shown).replace("\u2212", "-")) == pytest.approx(value, rel=0, abs=0.501 * last_digit(value))
            significant = digits.replace(".", "").lstrip("0")
            assert len(significant) <= 4 or "." not in digits or float(digits) == pytest.approx(abs(value), rel=1e-9), step["name"]


def four_digits(value: Any) -> Any:
    """A number as four digits show it, or those in lists; a whole part is never cut."""
    if isinstance(value, list | dict):
        return [four_digits(one) for one in value] if isinstance(value, list) else {key: four_digits(one) for key, one in value.items()}
    return (float(f"{value:.4g}") if abs(value) < 1000 else float(round(value))) if numeric(value) else value


def test_a_line_shows_more_than_five_digits_only_where_it_needs_them(steps: list[dict[str, Any]]) -> None:
    """36.07211 min was seen. A difference of near numbers needs more, and what is rounded up, or decides."""
    for step in steps:
        long = [number for number in re.findall(r"\d[\d,]*\.\d+", step.get("worked", "")) if len(re.sub(r"\D", "", number).lstrip("0")) > 5]
        told = [words(number["value"], number.get("unit", ""), exact=True).number for number in step["numbers"]]
        if not numeric(step["result"]["value"]) or not set(long) - {number.lstrip("$") for number in told} or "because" in step:
            continue
        value, four = step["result"]["value"], four_digits(step["numbers"])
        try:
            came_to = printed.named(step | {"numbers": four}, four_digits(step["lists"]))
        except ZeroDivisionError:
            continue
        assert abs(came_to - value) > last_digit(value), (step["name"], step["worked"])


def test_hardly_a_line_of_the_examples_needs_them() -> None:
    lines = [step for name in calculators.NAMES for truck in TRUCKS for step in ask(name, truck)["working"] if "worked" in step]
    long = [step["name"] for step in lines for number in re.findall(r"\d[\d,]*\.\d+", step["worked"])
            if len(re.sub(r"\D", "", number).lstrip("0")) > 5]
    assert len(lines) > 300 and len(long) <= 0.03 * len(lines), long


def test_the_printed_names_come_to_the_very_result(steps: list[dict[str, Any]]) -> None:
    for step in steps:
        value = step["result"]["value"]
        if not step["formula"] or not numeric(value):
            continue
        assert printed.named(step, step["lists"]) == pytest.approx(value, rel=1e-12, abs=1e-12), (step["name"], step["formula"])


def test_the_printed_days_come_to_the_printed_day(steps: list[dict[str, Any]]) -> None:
    for step in steps:
        try:
            value = date.fromisoformat(str(step["result"]["value"]))
        except ValueError:
            continue
        if step["formula"]:
            assert printed.worked(step) == value, (step["name"], step["worked"])


def test_days_are_printed_at_all() -> None:
    days = [step for step in ask("service_due", today="2026-11-25")["working"] if step["name"].startswith("due_by")]
    assert days


def test_every_because_holds_as_printed(steps: list[dict[str, Any]]) -> None:
    for step in steps:
        if "because" in step:
            assert all(printed.because(step)), (step["name"], step["because"])


def test_enough_was_tried() -> None:
    """The tests above pass over what holds no number; there must be much that they don't pass over."""
    steps = [step for name in calculators.NAMES for answer in answers(name) for step in answer["working"]]
    assert sum(bool(step["formula"]) and numeric(step["result"]["value"]) for step in steps) >= 1000
    assert sum(len(printed.because(step)) for step in steps if "because" in step) >= 100
    printing = {step["name"] for step in steps if step["formula"]}
    assert len(printing) >= 0.6 * len({step["name"] for step in steps}), "most rules print their formula"


def test_every_step_has_a_formula_or_stands_above_with_its_reason(steps: list[dict[str, Any]]) -> None:
    bare = {step["name"] for step in steps if not step["formula"] and not step["result"].get("why")}
    assert bare <= WITHOUT_A_FORMULA.keys()


def test_only_what_needs_none_is_let_off() -> None:
    every = [step for name in calculators.NAMES for answer in answers(name) for step in answer["working"]]
    assert {step["name"] for step in every if not step["formula"]} >= WITHOUT_A_FORMULA.keys()


def test_every_step_says_where_its_numbers_come_from(steps: list[dict[str, Any]]) -> None:
    assert [step["name"] for step in steps if not step["source"]] == []


@pytest.mark.parametrize(("name", "step", "source"), [
    ("regeneration", "time_needed_from_cold", "From memory, not yet confirmed; The steps above"),
    ("regeneration", "soot_kept_per_week", "The steps above"), ("service_due", "read_on", "Today’s date"),
    ("wrong_fluid", "share", "Not told"),
])
def test_the_source_of_a_step(name: str, step: str, source: str) -> None:
    assert {done["name"]: done["source"] for done in ask(name)["working"]}[step] == source


@pytest.mark.parametrize("name", ["service_due", "fluid_cost"])
def test_what_follows_from_the_owners_numbers_alone_is_not_called_the_examples(name: str) -> None:
    """Such as severe use, the week’s miles or the year’s: they have an example’s value too, which stood in for nothing here."""
    told = {"short_trip_time": 15, "short_trips_per_week": 9, "short_trip_speed": 30, "long_trip_time": 50, "long_trips_per_week": 4,
            "long_trip_speed": 55, "idle_hours_per_week": 5, "working_weeks_per_year": 48, "plows": "no", "tows": "yes",
            "power_take_off": "no", "fuel_economy": 13, "odometer": 30_000, "engine_hours": 900}
    truck = calculators.truck_of("Told", {key: str(value) for key, value in told.items()})
    own = [step for step in calculators.answer(name, None, truck, DAY)["working"] if step["result"].get("rests_on") == "yours"]
    assert {"fuel_per_year", "odometer_now"} & {step["name"] for step in own}
    assert [step["name"] for step in own if "Example truck" in step["source"]] == []


def test_a_step_that_uses_nothing_is_a_rule_of_ours() -> None:
    def tidy() -> bool:
        """Tidy always."""
        return True

    book, got = Book(tidy=Rule("tidy", "Tidy always.", "", {}, bool, tidy)), Gathered({}, ("given",))
    [step] = working_of(book, got, {"tidy": True}, Rests(book, got))
    assert step["source"] == "Our own rule"


@pytest.mark.parametrize(("name", "step", "behind"), [
    ("diesel_or_gasoline", "cash_flow", {"truck_price", "loan_time", "gasoline_repair_cost_per_year", "discount_rate"}),
    ("trailer_check", "limits", {"hitch_margin", "tow_margin", "rear_axle_rating"}),
])
def test_a_step_shows_the_numbers_behind_what_no_reader_is_shown(name: str, step: str, behind: set[str]) -> None:
    """Rules may hand each other what has no words; what that is made of stands in the step that uses it."""
    done = next(one for one in ask(name, "tamarack")["working"] if one["name"] == step)
    assert behind <= {number["name"] for number in done["numbers"]}
    assert done["source"].startswith("The example truck’s numbers; ")


def test_the_terminal_shows_a_steps_source(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["regeneration", "--working"]) == 0
    assert "\n    from: The steps above\n" in capsys.readouterr().out


@pytest.mark.parametrize(("name", "step", "list_above"), [
    ("wrong_fluid", "exposure_low", "stages"), ("diesel_or_gasoline", "diesel_total", "cash_flow"), ("service_due", "next_job", "jobs")])
def test_a_step_leads_on_to_the_list_it_reads(name: str, step: str, list_above: str) -> None:
    """A page follows these names from a result to its sources."""
    answer = ask(name)
    numbers = {done["name"]: done["numbers"] for done in answer["working"]}
    assert numbers[step] == [{"name": list_above, "value": len(answer["results"][list_above])}]


def test_a_reason_is_given_where_a_values_being_there_decides() -> None:
    answer = ask("service_due", interval__separator_drain__time=12)  # the next job then has an hour interval: no idling told as miles
    step = next(step for step in answer["working"] if step["name"] == "idle_distance")
    assert (step["result"]["value"], step["because"]) == (0, "there is engine hours allowed")


@pytest.mark.parametrize(("name", "step", "worked"), [
    ("exhaust_fluid_quality density=1.0883", "urea",
     "1.0883 kg/L read straight between the points (0.9982, 1.0812, 1.0883, 1.1096) as (0, 30, 32.5, 40)"),
    ("exhaust_fluid_quality", "shelf_life", "row that reaches 70°F in (50 → 36, 77 → 18, 86 → 12, 95 → 6)"),
    ("service_due", "jobs_recorded", "how many of (yes (3 times), no (14 times)) are yes"),
    ("wrong_fluid", "stop_level", "stop rules: DEF in the fuel tank: level"),
])
def test_what_is_read_from_a_table_shows_its_numbers_or_its_place(name: str, step: str, worked: str) -> None:
    calculator, *told = name.split()
    working = ask(calculator, **dict(one.split("=") for one in told))["working"]
    assert {done["name"]: done.get("worked") for done in working}[step] == worked


@pytest.mark.parametrize("name", calculators.NAMES)
def test_no_sentence_tells_a_reader_of_less_than_nothing(name: str) -> None:
    """A margin of −1,239 pounds is a weight over by 1,239; only a temperature may lie below zero."""
    for answer in answers(name):
        told = [answer["answer"], *(caution[part] for caution in answer["cautions"] for part in ("hazard", "text"))]
        assert [text for text in told if re.search(r"−\$?[\d,.]+(?![\d,.]*°)", text)] == []


def test_every_printed_line_is_short_enough_to_read(steps: list[dict[str, Any]]) -> None:
    for step in steps:
        assert len(step["formula"]) <= 200, step["formula"]


def test_nothing_of_python_is_printed(steps: list[dict[str, Any]]) -> None:
    for step in steps:
        for line in (step["formula"], step.get("worked", ""), step.get("because", "")):
            for sign in ("_", "**", "==", " if ", " else ", "Missing", "'", "[", "]", "{", "lambda", "None", "True", "False", "datetime"):
                assert sign not in line, (step["name"], line)


def test_an_equal_time_is_long_enough() -> None:
    need = ask("regeneration")["results"]["time_needed_from_cold"]["value"]
    answer = ask("regeneration", long_trip_time=need)
    step = next(step for step in answer["working"] if step["name"] == "long_trips_long_enough")
    assert "≥" in step["because"]
    assert step["result"]["value"] == 2


@pytest.mark.parametrize("name", calculators.NAMES)
def test_metric_changes_the_sentence_and_nothing_else(name: str) -> None:
    us, metric = (calculators.answer(name, today="2026-11-25", units=units) for units in ("us", "metric"))
    assert {part: value for part, value in us.items() if part not in ("answer", "cautions")} == {
        part: value for part, value in metric.items() if part not in ("answer", "cautions")}


# Hand-made lines for the reader itself: each would be read as something else by a careless one.
@pytest.mark.parametrize(("text", "numbers", "value"), [
    ("1,234 mi ÷ 2 h", [{"value": 1234.0, "unit": "mi"}, {"value": 2.0, "unit": "h"}], 617),
    ("6 min × ln(540°F ÷ (70°F + 540°F − 482°F))",
     [{"value": v, "unit": u} for v, u in ((6.0, "min"), (540.0, "delta_degF"), (70.0, "degF"), (482.0, "degF"))], 8.6369),
    ("(1,112°F in K)", [{"value": 1112.0, "unit": "degF"}], 873.15), ("round up (2.1)", [], 3), ("least of (3, 2)", [], 2),
    ("days from Feb 28, 2024 to Mar 1, 2024", [], 2), ("(2.9) days after Dec 31, 2026", [], date(2027, 1, 2)),
    ("1 month after Jan 31, 2024", [], date(2024, 2, 29)),
    ("((10°F in °R)^2 in °F)", [{"value": 10.0, "unit": "degF"}], 469.67**2 - 459.67),
    ("(greatest of (0, 3 − 1) × 2 in mL/gal)", [], 4 * 3.785411784), ("yes + no + yes", [], 2),
    ("earliest of (Mar 2, 2024, nothing is known, Mar 1, 2024)", [], date(2024, 3, 1)),
])
def test_the_reader_of_printed_lines(text: str, numbers: list[dict[str, Any]], value: Any) -> None:
    found = printed.worked({"worked": text, "numbers": numbers})
    assert found == (value if isinstance(value, date) else pytest.approx(value, rel=1e-4))


def test_the_sentence_is_in_the_units_asked_for() -> None:
    told = {"expected_low": "5", "fuel_in_tank": "5"}
    us, metric = (calculators.answer("winter_fuel", told, today="2026-11-25", units=units)["answer"] for units in ("us", "metric"))
    assert "gallons" in us and "liters" not in us
    assert "liters" in metric and "gallons" not in metric
    assert calculators.answer("winter_fuel", told, today="2026-11-25")["answer"] == us
