"""What can only go one way: the trade says so, or arithmetic does. Two runs that differ in one input."""

from datetime import date, timedelta
from itertools import pairwise
from math import inf
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators import Refused
from tests.unit.ask import job, results

# calculator, input, its range, result, whether it rises (+1) or falls (-1) with the input, what null means
RULES = [
    ("regeneration", "outside_temperature", (-60, 130), "warm_up_time", -1, inf),
    ("regeneration", "outside_temperature", (-60, 130), "time_needed_from_cold", -1, inf),
    ("regeneration", "regeneration_temperature", (840, 1290), "burn_time", -1, inf),
    ("regeneration", "regeneration_temperature", (840, 1290), "burn_time_high", -1, inf),
    ("regeneration", "soot_burned_share", (1, 99.9), "burn_time", 1, inf),
    ("regeneration", "idle_hours_per_week", (0, 160), "soot_per_week", 1, inf),
    ("regeneration", "soot_rate", (0.005, 0.5), "days_between_regenerations", -1, inf),
    ("regeneration", "filter_capacity", (10, 150), "days_between_regenerations", 1, inf),
    ("regeneration", "passive_share", (0, 100), "soot_kept_per_week", -1, inf),
    ("regeneration", "soot_rate", (0.005, 0.5), "extra_long_trips_per_week", 1, inf),
    ("regeneration", "long_trip_time", (0, 200), "share_of_trips_long_enough", 1, -inf),
    ("idle_bill", "idle_hours_per_day", (0, 24), "cost_per_year", 1, inf),
    ("idle_bill", "idle_fuel_rate", (0.1, 3), "cost_per_year", 1, inf),
    ("idle_bill", "fuel_price", (0.5, 15), "cost_per_year", 1, inf),
    ("idle_bill", "idle_hours_per_day", (0, 24), "oil_life_used", 1, inf),
    ("idle_bill", "fuel_price", (0.5, 15), "heater_payback", -1, inf),
    ("idle_bill", "heater_price", (0, 10_000), "heater_payback", 1, inf),
    ("fluid_cost", "fuel_economy", (5, 35), "diesel_cost_per_year", -1, inf),
    ("fluid_cost", "distance_per_year", (0, 150_000), "diesel_cost_per_year", 1, inf),
    ("fluid_cost", "def_share_of_fuel", (0, 15), "diesel_cost_per_year", 1, inf),
    ("fluid_cost", "oil_interval", (1000, 20_000), "diesel_cost_per_year", -1, inf),
    ("fluid_cost", "gasoline_fuel_price", (0.5, 15), "difference_per_year", -1, inf),
    ("exhaust_fluid_use", "nox_before", (0.5, 12), "def_share_of_fuel", 1, inf),
    ("exhaust_fluid_use", "def_level", (0, 100), "range_left", 1, inf),
    ("exhaust_fluid_quality", "water_added", (0, 100), "urea_after_water", -1, inf),
    ("exhaust_fluid_quality", "storage_temperature", (-40, 140), "shelf_life", -1, -inf),
    ("exhaust_fluid_quality", "storage_time", (0, 120), "time_left", -1, inf),
    ("tank_water", "relative_humidity", (0, 100), "water_per_cycle", 1, inf),
    ("tank_water", "relative_humidity", (0, 100), "dew_point", 1, -inf),
    ("tank_water", "cool_temperature", (-60, 80), "water_per_cycle", -1, inf),
    ("tank_water", "fuel_in_tank", (0, 34), "water_per_cycle", -1, inf),
    ("tank_water", "water_in_fuel", (0, 5), "days_to_fill_bowl", -1, inf),
    ("tank_water", "water_in_fuel", (0, 5), "drain_every", -1, inf),
    ("winter_fuel", "expected_low", (-70, 60), "winter_fuel_share", -1, inf),
    ("winter_fuel", "fuel_in_tank", (0, 34), "fuel_to_burn_first", 1, inf),
    ("block_heater", "electricity_price", (0.01, 1), "saving_per_year", -1, inf),
    ("block_heater", "warm_up_idle_time", (0, 60), "saving_per_year", 1, inf),
    ("diesel_or_gasoline", "truck_price", (57_000, 300_000), "diesel_payment", 1, inf),
    ("diesel_or_gasoline", "loan_rate", (0, 40), "diesel_payment", 1, inf),
    ("diesel_or_gasoline", "fuel_price", (0.5, 15), "difference", 1, inf),
    ("diesel_or_gasoline", "resale_share", (0, 150), "diesel_total", -1, inf),
    ("axle_load", "plow_weight", (0, 2500), "front_axle_load", 1, inf),
    ("axle_load", "plow_weight", (0, 2500), "rear_axle_load", -1, inf),
    ("axle_load", "ballast_weight", (0, 4000), "front_axle_load", -1, inf),
    ("axle_load", "tongue_weight", (0, 8000), "rear_margin", -1, inf),
    ("trailer_check", "trailer_weight", (0, 60_000), "combined_margin", -1, inf),
    ("trailer_check", "tongue_weight", (0, 8000), "gross_margin", -1, inf),
    ("protection_worth", "failure_chance", (0, 100), "net_value", 1, inf),
    ("protection_worth", "protection_price", (0, 5000), "break_even_chance", 1, inf),
    ("protection_worth", "failure_chance", (0, 100), "chance_of_any_failure", 1, inf),
    ("sitting_truck", "time_parked", (0, 60), "jobs_that_matter", 1, inf),
]


@pytest.mark.parametrize(("name", "input_", "span", "result", "way", "null"), RULES, ids=[f"{r[0]}-{r[1]}-{r[3]}" for r in RULES])
@given(data=st.data())
def test_one_way_only(name: str, input_: str, span: tuple[float, float], result: str, way: int, null: float, data: st.DataObject) -> None:
    few = st.lists(st.floats(*span), min_size=2, max_size=4)
    points = sorted({*data.draw(few), *span} if data.draw(st.booleans()) else data.draw(few))
    found: list[Any] = []
    for point in points:
        value = results(name, "juniper", **{input_: point})[result]
        found.append(null if value is None else value)
    for before, after in pairwise(found):
        rounding = 1e-9 * max([1.0, *(abs(value) for value in (before, after) if abs(value) < inf)])
        assert way * after >= way * before - rounding, (points, found)


VERDICTS = ["fits", "watch", "against"]


@given(st.lists(st.floats(0, 36), min_size=2, max_size=5))
def test_older_def_is_never_better(months: list[float]) -> None:
    verdicts = [VERDICTS.index(results("exhaust_fluid_quality", storage_time=m)["verdict"]) for m in sorted(months)]
    assert verdicts == sorted(verdicts)


@given(st.lists(st.floats(0, 6000), min_size=2, max_size=5))
def test_a_heavier_trailer_is_never_safer(weights: list[float]) -> None:
    """With the tongue kept at 12 % of it."""
    told = [{"trailer_weight": w + 1000, "tongue_weight": (w + 1000) * 0.12} for w in sorted(weights)]
    verdicts = [VERDICTS.index(results("trailer_check", "juniper", **one)["verdict"]) for one in told]
    assert verdicts == sorted(verdicts)


INTERVALS = {"distance": (1000.0, 200_000.0), "engine_hours": (50.0, 6000.0), "time": (1.0, 120.0)}
JOBS = ["engine_oil", "coolant", "tire_rotation", "separator_drain"]


@pytest.mark.parametrize("kind", INTERVALS)
@given(which=st.sampled_from(JOBS), lengths=st.tuples(st.floats(0, 1), st.floats(0, 1)))
def test_a_longer_interval_is_never_due_earlier(kind: str, which: str, lengths: tuple[float, float]) -> None:
    low, high = INTERVALS[kind]
    due = []
    for share in sorted(lengths):
        record = {f"done__{which}__date": "2026-03-31", f"done__{which}__odometer": 40_000, f"done__{which}__engine_hours": 1200}
        said = job(which, **record, **{f"interval__{which}__{kind}": low + share * (high - low)})
        due.append(said["due_date"])
    assert due[0] <= due[1]


@given(which=st.sampled_from(JOBS), days=st.tuples(st.integers(0, 2000), st.integers(0, 2000)))
def test_done_later_is_never_due_earlier(which: str, days: tuple[int, int]) -> None:
    due = [job(which, **{f"done__{which}__date": date(2026, 11, 25) - timedelta(days=ago)})["due_date"] for ago in sorted(days)]
    assert due[1] <= due[0]


@given(miles=st.tuples(st.floats(0, 5000), st.floats(0, 5000)))
def test_who_drives_more_is_never_due_later(miles: tuple[float, float]) -> None:
    few, many = (job("engine_oil", distance_per_week=m, average_speed=40) for m in sorted(miles))
    assert many["due_date"] <= few["due_date"]


@given(st.floats(30, 100), st.floats(30, 100))
def test_severe_use_only_shortens(share: float, other: float) -> None:
    low, high = sorted((share, other))
    normal = job("engine_oil", severe_use="no")["due_date"]
    due = [job("engine_oil", severe_use="yes", severe_interval_share=s)["due_date"] for s in (low, high)]
    assert due[0] <= due[1] <= normal


@given(st.floats(30, 100))
def test_severe_use_never_shortens_the_makers_own_interval(share: float) -> None:
    told = {"interval__engine_oil__distance": 9000, "interval__engine_oil__engine_hours": 300, "interval__engine_oil__time": 12}
    assert job("engine_oil", severe_use="yes", severe_interval_share=share, **told) == job("engine_oil", severe_use="no", **told)


@given(st.floats(840, 1290), st.floats(-60, 130))
def test_the_band_of_burn_times_is_a_band(temperature: float, outside: float) -> None:
    said = results("regeneration", regeneration_temperature=temperature, outside_temperature=outside)
    assert said["burn_time_low"] <= said["burn_time_high"]
    assert said["time_needed_from_cold"] is None or said["time_needed_from_cold"] >= said["burn_time"]


@given(st.floats(0, 200), st.floats(0, 200), st.floats(0.005, 0.5))
def test_the_filters_load_is_never_below_nothing_and_one_more_drive_never_hurts_for_long(short: float, long: float, soot: float) -> None:
    try:
        said = results("regeneration", short_trips_per_week=short, long_trips_per_week=long, soot_rate=soot)
    except Refused:
        return
    for row in said["filter_load"]:
        assert row["load"]["value"] >= 0
        assert row["load_with_one_more"]["value"] >= 0
    assert [row["day"]["value"] for row in said["filter_load"]] == list(range(43))
