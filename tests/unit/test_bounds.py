"""The ends between which each input is taken, as they were agreed for the guide: outside of them a number is a slip of the pen.

A name stands for another input's value, or for the day of the answer."""

import pytest

from calculators.engine.figures import ENTRY, FIGURES

BOUNDS = {
    "short_trip_time": (0, 240), "short_trips_per_week": (0, 200), "short_trip_speed": (1, 85), "long_trip_time": (0, 240),
    "long_trips_per_week": (0, 200), "long_trip_speed": (1, 85), "idle_hours_per_week": (0, 168), "working_days_per_week": (1, 7),
    "working_weeks_per_year": (1, 52), "outside_temperature": (-60, 130), "distance_per_week": (0, 5000), "average_speed": (1, 75),
    "distance_per_year": (0, 150_000), "idle_hours_per_day": (0, 24), "days_per_year": (0, 366), "trucks": (1, 10_000),
    "idle_fuel_rate": (0.1, 3), "distance_per_idle_hour": (0, 60), "heater_fuel_rate": (0.02, 0.3), "heater_price": (0, 10_000),
    "warmth_share_of_idle": (0, 100), "work_idle_hours_per_day": (0, 24), "fuel_price": (0.5, 15), "fuel_economy": (4, 35),
    "fuel_tank_capacity": (5, 150), "def_tank_capacity": (1, 50), "def_price": (0.5, 20), "def_share_of_fuel": (0, 15),
    "measured_def_share_of_fuel": (0.1, 15), "oil_capacity": (3, 30), "oil_price": (1, 40), "oil_filter_price": (2, 200),
    "labor_per_oil_change": (0, 500), "oil_interval": (1000, 20_000), "fuel_filter_set_price": (20, 800),
    "oil_changes_per_fuel_filter": (1, 6), "gasoline_fuel_economy": (4, 30), "gasoline_economy_share": (50, 120),
    "gasoline_fuel_price": (0.5, 15), "gasoline_oil_capacity": (3, 30), "gasoline_oil_price": (1, 40),
    "gasoline_oil_filter_price": (2, 200), "gasoline_oil_interval": (1000, 20_000), "nox_before": (0.5, 12),
    "nox_after": (0, "nox_before"), "specific_fuel_consumption": (180, 350), "fuel_density": (0.78, 0.88), "def_density": (1.05, 1.12),
    "warm_up_time_constant": (2, 15), "temperature_rise": (200, 900), "light_off_temperature": (300, 700), "heat_up_time": (0, 15),
    "regeneration_temperature": (840, 1290), "soot_burned_share": (1, 99.9), "filter_capacity": (10, 150), "soot_rate": (0.005, 0.5),
    "idle_soot_rate": (0.1, 5), "passive_share": (0, 100), "read_on": (None, "today"), "odometer": (0, 1_500_000),
    "engine_hours": (0, 60_000), "engine_hours_per_week": (0, 168), "engine_hours_read_on": (None, "today"),
    "severe_interval_share": (30, 100), "severe_hours_share": (50, 100), "interval_distance": (1000, 200_000),
    "interval_engine_hours": (50, 6000), "interval_time": (1, 120), "done_odometer": (0, "odometer"),
    "done_engine_hours": (0, "engine_hours"), "done_date": (None, "today"), "def_level": (0, 100), "reserve_level": (0, 50),
    "density": (0.998, 1.13), "refractive_index": (1.333, 1.41), "urea_reading": (0, 60), "water_added": (0, 100),
    "storage_temperature": (-40, 140), "storage_time": (0, 120), "fuel_in_tank": (0, "fuel_tank_capacity"),
    "warm_temperature": (-60, 140), "cool_temperature": (-60, "warm_temperature"), "relative_humidity": (0, 100),
    "cycles_per_month": (0, 62), "fuel_per_month": (0, 2000), "water_in_fuel": (0, 5), "separator_bowl_capacity": (20, 1000),
    "summer_cloud_point": (-20, 40), "winter_cloud_point": (-80, "summer_cloud_point"), "expected_low": (-70, 60),
    "cloud_point_margin": (0, 30), "winter_fuel_energy_loss": (0, 8), "heater_power": (100, 2000), "heater_hours_per_day": (0, 24),
    "cold_days_per_year": (0, 366), "electricity_price": (0.01, 1), "warm_up_idle_time": (0, 60), "amount": (0.001, 150),
    "tank_contents": (0, 150), "truck_price": (1, 300_000), "gasoline_truck_price": (1, 300_000), "down_payment": (0, 300_000),
    "loan_rate": (0, 40), "loan_time": (0, 180), "ownership_time": (1, 30), "discount_rate": (0, 40), "resale_share": (0, 150),
    "gasoline_resale_share": (0, 150), "repair_cost_per_year": (0, 50_000), "gasoline_repair_cost_per_year": (0, 50_000),
    "failure_chance": (0, 100), "system_cost": (0, 60_000), "protected_cost": (0, "system_cost"), "protection_price": (0, 5000),
    "protection_time": (1, 30), "front_axle_weight": (500, 15_000), "rear_axle_weight": (500, 15_000), "wheelbase": (80, 300),
    "plow_weight": (0, 2500), "plow_ahead": (20, 90), "cargo_weight": (0, 12_000), "cargo_ahead": (-80, 100),
    "occupants_weight": (0, 1500), "occupants_ahead": (0, 120), "tongue_weight": (0, 8000), "tongue_behind": (-24, 90),
    "ballast_weight": (0, 4000), "ballast_behind": (0, 80), "front_axle_rating": (1000, 20_000), "rear_axle_rating": (1000, 20_000),
    "gross_rating": (3000, 30_000), "front_tire_rating": (500, 8000), "rear_tire_rating": (500, 8000), "truck_weight": (1000, 60_000),
    "trailer_weight": (0, 60_000), "hitch_rating": (500, 60_000), "tongue_rating": (50, 10_000), "tow_rating": (500, 60_000),
    "combined_rating": (3000, 90_000), "trailer_rating": (500, 60_000), "time_parked": (0, 60), "temperature_today": (-60, 130),
    "lowest_temperature": (-60, "highest_temperature"), "highest_temperature": (-60, 140), "def_age": (0, 120), "battery_age": (0, 15),
    "def_level_read_on": (None, "today"), "fuel_in_tank_read_on": (None, "today"),
}


@pytest.mark.parametrize("name", sorted(name for name, entry in FIGURES.items() if (entry.low, entry.high) != (None, None)))
def test_a_number_is_taken_between_the_ends_that_were_agreed(name: str) -> None:
    entry = FIGURES[name]
    assert (entry.low, entry.high) == BOUNDS[name]


def test_every_end_that_was_agreed_is_there() -> None:
    assert set(BOUNDS) == {name for name, entry in FIGURES.items() if (entry.low, entry.high) != (None, None)}


# Of an entry's own fields: a meter ends where its input does, a jar and a dipstick where they end in the yard, money and counts far out.
OF_AN_ENTRY = {
    "odometer": (0, 1_500_000), "engine_hours": (0, 60_000), "idle_hours": (0, 60_000), "fuel": (0, 300), "price": (0.5, 15),
    "def": (0, 50), "cost": (0, 100_000), "water": (0, 20_000), "burns_finished": (0, 1000), "burns_broken_off": (0, 1000),
    "oil_level": (-8, 8), "oil_added": (0, 30), "fuel_in_oil": (0, 100), "days_ago": (0, 4000),
    "def_level": (0, 100), "fuel_in_tank": (0, "fuel_tank_capacity"),
}


def test_an_entrys_fields_end_where_that_was_agreed() -> None:
    assert {name: (entry.low, entry.high) for name, entry in ENTRY.items() if (entry.low, entry.high) != (None, None)} == OF_AN_ENTRY
