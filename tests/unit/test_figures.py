"""Every number in figures.toml has what it needs, and no number stands anywhere else."""

import ast
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

import calculators
from calculators.engine import figures
from calculators.engine.figures import FIGURES, KINDS, TABLES, checked, figure, keys
from calculators.engine.rules import rules
from tests.unit.ask import module, row_modules

ROOT = Path(calculators.__file__).parent
RULE_FILES = [path for path in sorted(ROOT.glob("*.py")) if not path.stem.startswith("_")]
ARITHMETIC = {0, 1, 2, 60, 100, 1000}  # what a formula may hold: nothing, one, half, minutes and seconds, a percentage, kilo
GOOD: dict[str, Any] = {"unit": "gal", "value": 3, "kind": "standard", "title": "A standard", "clause": "1.2", "year": 2020}


@pytest.mark.parametrize("lost", ["unit", "kind", "title", "clause", "year", "value"])
def test_a_standard_without_one_of_its_parts_is_refused_by_name(lost: str) -> None:
    entry = {key: told for key, told in GOOD.items() if key != lost}
    with pytest.raises(ValueError, match=rf"\[best_number\] has no {lost}"):
        checked("best_number", entry)


@pytest.mark.parametrize("lost", ["title", "year"])
def test_a_handbook_names_title_and_year(lost: str) -> None:
    entry = {key: told for key, told in GOOD.items() if key not in (lost, "clause")} | {"kind": "handbook"}
    with pytest.raises(ValueError, match=rf"\[best_number\] has no {lost}"):
        checked("best_number", entry)


def test_everything_it_lacks_is_named_at_once() -> None:
    with pytest.raises(ValueError, match=r"\[best_number\].*unit.*kind.*value"):
        checked("best_number", {})


def test_an_unknown_kind_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"\[best_number\].*'a friend'"):
        checked("best_number", GOOD | {"kind": "a friend"})


def test_a_good_entry_is_taken() -> None:
    assert checked("best_number", GOOD).value == 3
    assert checked("best_number", GOOD | {"kind": "example"}).clause == "1.2"


def test_only_a_question_may_do_without_a_value() -> None:
    entry = {"unit": "mi", "kind": "example", "derived": True}
    with pytest.raises(ValueError, match=r"\[best_number\] has no value"):
        checked("best_number", entry)
    assert checked("best_number", entry | {"question": "How far?"}).value is None


@pytest.mark.parametrize("name", sorted(FIGURES))
def test_a_figure_is_whole(name: str) -> None:
    entry = FIGURES[name]
    assert re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)*", name)
    assert entry.kind in KINDS
    assert entry.title
    if entry.kind in ("standard", "handbook"):
        assert entry.title not in KINDS.values()
        assert entry.year
    assert entry.year is None or 1900 < entry.year <= 2026
    if entry.spread is not None:
        low, high = entry.spread
        assert low < high
        if isinstance(entry.value, int | float):
            assert low <= entry.value <= high
    if entry.question:
        assert entry.group
        assert entry.question[0].isupper()


@pytest.mark.parametrize("name", sorted(name for name, entry in FIGURES.items() if entry.question))
def test_an_input_is_bounded_and_its_example_is_inside(name: str) -> None:
    entry = FIGURES[name]
    if entry.unit in ("yes/no", "word") or entry.choices:
        return
    if entry.unit != "date":
        assert entry.low is not None and entry.high is not None, "nothing stops 1e308"
    for bound in (entry.low, entry.high):
        assert not isinstance(bound, str) or bound in FIGURES
    known = {other: told.read(told.value) for other, told in FIGURES.items() if told.question and not told.each and told.value is not None}
    for row in keys(name):
        value = entry.default(row)
        if value is not None:
            entry.within(entry.read(value), known)


@pytest.mark.parametrize("path", RULE_FILES, ids=lambda path: path.stem)
def test_a_rule_file_holds_only_the_numbers_of_arithmetic(path: Path) -> None:
    tree = ast.parse(path.read_text("utf-8"))
    helping = {id(node) for helper in tree.body if isinstance(helper, ast.FunctionDef) and helper.name.startswith("_")
               for node in ast.walk(helper)}
    held = [node for node in ast.walk(tree) if isinstance(node, ast.Constant)
            and isinstance(node.value, int | float) and not isinstance(node.value, bool) and node.value not in ARITHMETIC
            and not (id(node) in helping and node.value in range(7))]  # a helper's powers and places in a table
    assert [f"line {node.lineno}: {node.value}" for node in held] == []


def asked_anywhere() -> set[str]:
    """Every figure or table that some rule needs."""
    modules = [*map(module, calculators.NAMES), module("week"), *row_modules().values()]
    named = {need for one in modules for need in rules(one).needs}
    ends = {need.removesuffix("_least").removesuffix("_most") for need in named}
    return named | ends | {f"{need.split('__')[0]}_{need.split('__')[-1]}" for need in named}


def bounds_of_others() -> set[str]:
    return {bound for entry in FIGURES.values() for bound in (entry.low, entry.high) if isinstance(bound, str)}


def settling_others() -> set[str]:
    """Figures that settle another, or that another is settled by."""
    return {name for entry in FIGURES.values() for other, _, *value in entry.settled for name in (other, *value) if isinstance(name, str)}


def told_in_the_guide() -> str:
    """Everything that pages and sheets are written in."""
    project = ROOT.parent
    files = [*project.glob("docs/**/*.*"), *project.glob("print/**/*.*"), *project.glob("macros/*.py"),
             *project.glob("calculators/engine/*.py")]
    return "\n".join(path.read_text("utf-8") for path in files if path.suffix in (".md", ".py", ".html", ".toml", ".txt", ".jinja"))


@pytest.mark.parametrize(("need", "value"), [("fuel_per_broken_burn_least", 0), ("fuel_per_broken_burn_most", 0.2)])
def test_the_ends_of_a_spread_are_figures_of_the_same_unit_and_kind(need: str, value: float) -> None:
    end, whole = figure(need), FIGURES["fuel_per_broken_burn"]
    assert end is not None
    assert (end.value, end.unit, end.kind, end.spread, end.question) == (value, whole.unit, whole.kind, None, "")


@pytest.mark.parametrize("need", ["oil_capacity_least", "fuel_per_broken_burn_mid", "least"])
def test_what_has_no_spread_has_no_ends(need: str) -> None:
    assert figure(need) is None


@pytest.mark.parametrize("name", sorted(FIGURES))
def test_a_figure_is_used(name: str) -> None:
    """By a rule, as another's bound, or told on a page or a sheet; a number nobody uses is not kept."""
    assert name in asked_anywhere() | bounds_of_others() | settling_others() or re.search(rf"\b{name}\b", told_in_the_guide())


@pytest.mark.parametrize("name", sorted(TABLES))
def test_a_table_is_used_and_has_its_source(name: str) -> None:
    entry = figure(name)
    assert entry is not None
    assert entry.title
    assert name in asked_anywhere() or f'"{name}"' in told_in_the_guide()


def test_rows_of_tables_are_rows_of_jobs() -> None:
    for column in TABLES["usual_intervals"].values():
        assert set(column) <= set(TABLES["job"])


def test_job_keys_are_those_that_callers_know() -> None:
    assert TABLES["job"] == [
        "engine_oil", "fuel_filters", "separator_drain", "air_filter", "crankcase_filter", "exhaust_fluid_filter", "particulate_filter",
        "coolant", "transmission", "transfer_case", "differential", "chassis_grease", "battery_test", "brake_check", "tire_rotation",
        "cabin_filter", "plow_hydraulics"]


@pytest.mark.parametrize("key", [*TABLES["job"], "distance", "engine_hours", "time", "not_recorded", "fits", "watch", "against"])
def test_a_key_has_its_words(key: str) -> None:
    assert figures.LABELS[key].replace("_", " ") == figures.LABELS[key]


@pytest.mark.parametrize(("name", "told", "value"), [
    ("fuel_price", "3.90 USD/gal", 3.9), ("fuel_price", 4, 4.0), ("severe_use", "Yes", True), ("severe_use", "no", False),
    ("severe_use", "TRUE", True), ("severe_use", False, False), ("trucks", "3", 3.0), ("trucks", "3.0", 3.0),
    ("outside_temperature", "-12 degC", 10.4), ("temperature_rise", "5 degC", 9.0), ("idle_hours_per_week", "90 min", 1.5),
    ("loan_rate", "7.5%", 7.5), ("wheelbase", "13'4\"", 160), ("fuel_price", "$3.90/gallon", 3.9), ("heater_price", "1200$", 1200),
    ("repair_cost_per_year", "$1,200 a year", 1200), ("short_trips_per_week", "20/week", 20), ("mistake", "DEF in fuel", "def_in_fuel"),
    # a point or a comma before three digits: by the bounds, also where a bound is another figure's value; in JSON's numbers a decimal point
    ("odometer", "87,412", 87_412), ("odometer", 41.205, 41.205), ("oil_capacity", "7.125", 7.125), ("oil_interval", "7.500 mi", 7500),
    ("fuel_in_tank", "20,125", 20.125), ("gross_rating", "11.000", 11_000), ("trucks", "1,000", 1000), ("fuel_price", "3,899", 3.899),
])
def test_reading(name: str, told: Any, value: Any) -> None:
    assert FIGURES[name].read(told) == pytest.approx(value)


@pytest.mark.parametrize(("name", "told", "do"), [
    ("trucks", "2.5", "whole number"), ("trucks", "2 gal", "bare number"), ("severe_use", "maybe", "yes or no"),
    ("severe_use", "", "yes or no"), ("severe_use", 1, "yes or no"), ("fuel_price", [1], "number"), ("fuel_price", {"a": 1}, "number"),
    ("fuel_price", True, "number"), ("done_date", "2026-02-30", "calendar"), ("done_date", "2025-02-29", "calendar"),
    ("done_date", "26-02-03", "calendar"), ("done_date", "20260203", "calendar"), ("done_date", "2026-W01-1", "calendar"),
    ("done_date", "2026-9-1", "calendar"), ("done_date", "\u0662\u0660\u0662\u0666-09-01", "calendar"), ("done_date", "", "calendar"),
    ("done_date", "2026-09-01T00:00", "calendar"), ("done_date", "0000-01-01", "calendar"), ("done_date", "tomorrow", "calendar"),
    ("done_date", 20260901, "calendar"), ("odometer", "41.200", "write 41200 mi or 41.2 mi, whichever you mean"),
    ("odometer", "3,5", "write it as 3.5"), ("short_trips_per_week", "3 a day", "3 a day comes to 21 a week"),
    ("repair_cost_per_year", "$100 a month", r"\$100 a month comes to \$1200 a year"), ("trucks", "1.000", "write 1000 or 1, whichever"),
    ("odometer", float("nan"), "smaller number"), ("odometer", 10**400, "smaller number"), ("done_odometer", "41.200", "write 41200 mi or"),
])
def test_reading_refuses(name: str, told: Any, do: str) -> None:
    with pytest.raises(ValueError, match=do):
        FIGURES[name].read(told)


@pytest.mark.parametrize("name", sorted(name for name, entry in FIGURES.items() if entry.question and not isinstance(entry.high, str)
                                        and not entry.choices and entry.unit not in ("date", "yes/no", "word")))
def test_bounds_are_themselves_allowed_and_nothing_past_them(name: str) -> None:
    entry = FIGURES[name]
    assert (entry.within(entry.low, {}), entry.within(entry.high, {})) == (entry.low, entry.high)
    step = max(abs(entry.high), 1) * 1e-9
    for outside in (entry.low - step, entry.high + step):
        with pytest.raises(ValueError, match="write a value from"):
            entry.within(outside, {})


@pytest.mark.parametrize(("name", "told", "do"), [
    ("fuel_tank_capacity", "1000 L", "write a value from 19 L up to 567 L"),  # 5 and 150 gal are 18.9 and 567.8 L
    ("fuel_tank_capacity", "1000", "write a value from 5 gal up to 150 gal"),
    ("fuel_tank_capacity", 1000, "write a value from 5 gal up to 150 gal"),
    ("fuel_economy", "3 l/100 km", "write a value from 6.73 L/100km up to 58.8 L/100km"),
    ("outside_temperature", "99 ºC", "write a value from -51.1 °C up to 54.4 °C"),
    ("idle_hours_per_week", "9 days", "write a value from 0 day up to 7 day"),
    ("loan_rate", "95%", "write a value from 0 %/yr up to 40 %/yr"),
])
def test_bounds_are_told_in_the_unit_that_was_typed(name: str, told: Any, do: str) -> None:
    entry = FIGURES[name]
    with pytest.raises(ValueError) as refused:
        entry.within(entry.read(told), {}, told)
    assert str(refused.value) == do


@pytest.mark.parametrize(("name", "told"), [
    ("fuel_tank_capacity", "567.811767600 L"), ("fuel_tank_capacity", 150.00000000000003),
    ("idle_hours_per_week", "10080.000000000001 min"), ("outside_temperature", "54.44444444444449 C"),
    ("soot_burned_share", 99.90000000000001), ("relative_humidity", 100.00000000000001)])
def test_a_bound_missed_by_a_hair_is_the_bound(name: str, told: Any) -> None:
    entry = FIGURES[name]
    assert entry.within(entry.read(told), {}, told) == entry.high


def test_a_table_too_names_a_year_in_which_it_can_have_appeared() -> None:
    tables = tomllib.loads((ROOT / "figures.toml").read_text("utf-8"))["table"]
    years = {name: table["year"] for name, table in tables.items() if "year" in table}
    assert {"saturation", "vin_check", "urea_table"} <= set(years)
    assert {name: year for name, year in years.items() if not 1900 < year <= 2026} == {}
