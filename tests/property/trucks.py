"""Plausible trucks of six kinds, drawn by number: the same number is the same truck."""

from collections.abc import Mapping
from functools import cache
from random import Random
from typing import Any

Span = tuple[float, float]

# What a truck of any kind may tell: from and to, in the declared units.
ALL: dict[str, Span] = {
    "short_trip_time": (5, 30), "short_trips_per_week": (2, 30), "short_trip_speed": (15, 40), "long_trip_time": (30, 120),
    "long_trips_per_week": (0, 6), "long_trip_speed": (40, 68), "idle_hours_per_week": (0, 12), "outside_temperature": (-25, 100),
    "working_weeks_per_year": (30, 52), "working_days_per_week": (4, 7), "odometer": (500, 220_000), "engine_hours": (200, 7000),
    "fuel_economy": (9, 20), "fuel_price": (2.9, 5.6), "gasoline_fuel_price": (2.6, 5.0), "def_price": (2.5, 9), "oil_capacity": (8, 16),
    "oil_price": (4, 12), "oil_filter_price": (12, 70), "labor_per_oil_change": (0, 120), "fuel_filter_set_price": (60, 320),
    "idle_soot_rate": (0.5, 2), "soot_rate": (0.03, 0.15), "filter_capacity": (30, 80), "passive_share": (10, 80),
    "nox_before": (2.5, 7), "def_tank_capacity": (4, 10), "fuel_tank_capacity": (22, 60), "def_level": (2, 100), "reserve_level": (8, 22),
    "storage_temperature": (20, 98), "storage_time": (0, 24), "water_in_fuel": (0.0005, 0.04), "separator_bowl_capacity": (80, 400),
    "relative_humidity": (20, 95), "warm_temperature": (50, 100), "cool_temperature": (0, 48), "cycles_per_month": (5, 31),
    "idle_fuel_rate": (0.4, 1.4), "heater_fuel_rate": (0.04, 0.16), "heater_price": (600, 2500), "warmth_share_of_idle": (10, 90),
    "summer_cloud_point": (4, 28), "expected_low": (-32, 30), "cloud_point_margin": (5, 15), "heater_power": (400, 1500),
    "heater_hours_per_day": (1, 10), "cold_days_per_year": (10, 160), "electricity_price": (0.08, 0.4), "warm_up_idle_time": (4, 30),
    "truck_price": (52_000, 98_000), "gasoline_truck_price": (44_000, 84_000), "down_payment": (0, 30_000), "loan_rate": (0, 12),
    "loan_time": (0, 84), "ownership_time": (2, 12), "discount_rate": (0, 10), "resale_share": (20, 65), "gasoline_resale_share": (15, 60),
    "repair_cost_per_year": (400, 3500), "gasoline_repair_cost_per_year": (300, 2500), "failure_chance": (0.2, 6),
    "system_cost": (8000, 16_000), "protected_cost": (1500, 5000), "protection_price": (200, 1500), "protection_time": (3, 12),
    "time_parked": (0, 3), "temperature_today": (-20, 95), "lowest_temperature": (-30, 40), "highest_temperature": (45, 100),
    "def_age": (0, 16), "battery_age": (0, 7), "front_axle_weight": (4000, 5000), "rear_axle_weight": (2600, 3600),
    "wheelbase": (140, 180), "plow_ahead": (38, 60), "cargo_weight": (0, 900), "cargo_ahead": (-10, 40), "occupants_weight": (160, 700),
    "occupants_ahead": (50, 90), "ballast_behind": (15, 50), "front_axle_rating": (5200, 6600), "rear_axle_rating": (6000, 7600),
    "gross_rating": (9900, 11_900), "front_tire_rating": (2900, 3700), "rear_tire_rating": (2900, 3900), "hitch_rating": (12_000, 20_000),
    "tongue_rating": (1200, 2500), "tow_rating": (10_000, 20_000), "combined_rating": (19_000, 30_000), "trailer_rating": (7000, 14_000),
}
WHOLE = {"loan_time", "ownership_time", "protection_time"}

# What sets a kind apart.
KINDS: dict[str, dict[str, Span]] = {
    "plow": {"short_trip_time": (6, 20), "outside_temperature": (-20, 45), "idle_hours_per_week": (4, 25), "plow_weight": (500, 1000),
             "ballast_weight": (0, 600), "long_trips_per_week": (0, 3)},
    "tow rig": {"trailer_weight": (4000, 13_000), "long_trips_per_week": (2, 12), "short_trips_per_week": (0, 10), "fuel_economy": (8, 13)},
    "delivery": {"short_trip_time": (4, 18), "short_trips_per_week": (30, 100), "short_trip_speed": (12, 30), "cargo_weight": (300, 2400),
                 "idle_hours_per_week": (2, 20), "long_trips_per_week": (0, 2)},
    "highway": {"long_trip_time": (60, 180), "long_trips_per_week": (4, 13), "short_trips_per_week": (0, 6), "long_trip_speed": (52, 72),
                "odometer": (40_000, 500_000)},
    "bucket": {"idle_hours_per_week": (15, 45), "work_share": (40, 130), "cargo_weight": (500, 1800), "short_trips_per_week": (8, 24)},
    "farm": {"short_trips_per_week": (0, 8), "long_trips_per_week": (0, 2), "idle_hours_per_week": (0, 4), "time_parked": (1, 30),
             "working_weeks_per_year": (8, 45)},
}
MEASURES: dict[str, Span] = {"density": (1.085, 1.095), "refractive_index": (1.3805, 1.3850), "urea_reading": (31.3, 33.7)}
SOMETIMES: dict[str, Span] = {
    "interval.engine_oil.distance": (5000, 12_000), "interval.engine_oil.engine_hours": (150, 500), "interval.engine_oil.time": (6, 12),
    "gasoline_economy_share": (68, 92), "measured_def_share_of_fuel": (1, 6), "gasoline_oil_interval": (4000, 9000),
    "water_added": (0, 12), "winter_cloud_point": (-45, 0),
}


def kind_of(number: int) -> str:
    """The kinds take turns."""
    return list(KINDS)[number % len(KINDS)]


@cache
def truck(number: int) -> dict[str, Any]:
    """The truck's file."""
    return {"format": "diesel-handover-truck", "version": 1, "name": f"Truck {number}", "facts": facts(number)}


def facts(number: int) -> dict[str, str]:
    """Its facts, in the declared units."""
    draw, kind = Random(f"truck {number}"), kind_of(number)
    numbers = {name: round(draw.uniform(*span), _decimals(span)) for name, span in (ALL | KINDS[kind]).items()}
    numbers |= {name: round(draw.uniform(*span), _decimals(span)) for name, span in SOMETIMES.items() if draw.random() < 0.3}
    measure = draw.choice([*MEASURES, None])
    numbers |= {measure: round(draw.uniform(*MEASURES[measure]), 4)} if measure else {}
    numbers["fuel_in_tank"] = round(draw.uniform(0, 1) * numbers["fuel_tank_capacity"], 1)
    if "winter_cloud_point" in numbers:
        numbers["winter_cloud_point"] = min(numbers["winter_cloud_point"], numbers["summer_cloud_point"])
    idle_hours_per_day = numbers["idle_hours_per_week"] / numbers["working_days_per_week"]
    numbers["work_idle_hours_per_day"] = min(1, numbers.pop("work_share", 0) / 100) * idle_hours_per_day
    numbers |= {name: int(numbers[name]) for name in WHOLE}
    told = {name: repr(value) for name, value in numbers.items()} | _words(draw, kind) | _trailer(draw, numbers)
    return told


def _words(draw: Random, kind: str) -> dict[str, str]:
    """What is told by a word."""
    words = {"plows": "yes" if kind == "plow" else "no", "tows": "yes" if kind == "tow rig" else "no",
             "power_take_off": "yes" if kind == "bucket" else "no", "rear_tires": draw.choice("24"),
             "winter_fuel_kind": draw.choice(["number_1", "pump_blend"])}
    return words | ({"severe_use": draw.choice(["yes", "no"])} if draw.random() < 0.2 else {})


def _trailer(draw: Random, numbers: Mapping[str, float]) -> dict[str, str]:
    """A trailer with the tongue or pin that such a one usually has, now and then an odd one."""
    if "trailer_weight" not in numbers:
        return {"trailer_weight": "0", "tongue_weight": "0", "hitch": "none"}
    hitch, low, high, behind = draw.choice([("ball", 8, 17, (40, 60)), ("fifth_wheel", 13, 27, (-6, 0))])
    return {"hitch": hitch, "tongue_weight": f"{numbers['trailer_weight'] * draw.uniform(low, high) / 100:.0f}",
            "tongue_behind": f"{draw.uniform(*behind):.0f}"}


def _decimals(span: Span) -> int:
    return 0 if span[1] >= 1000 else 4 if span[1] < 1 else 2
