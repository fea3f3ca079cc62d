"""Two typical years of hourly weather (National Renewable Energy Laboratory, TMY3), as the pvlib package ships them.

Sand Point, Alaska (703165) and Greensboro, North Carolina (723170). Their dew points are rounded to 0.1 degC and humidity to 1 %.
"""

import csv
from importlib.util import find_spec
from pathlib import Path

import pytest
from CoolProp.HumidAirProp import HAPropsSI

from tests.unit.ask import results

STATIONS = {"Sand Point": "703165TY.csv", "Greensboro": "723170TYA.CSV"}


def hours(station: str) -> list[dict[str, float]]:
    """Every hour's dry bulb and dew point in degC and humidity in %."""
    package = find_spec("pvlib")
    assert package is not None and package.origin
    with (Path(package.origin).parent / "data" / STATIONS[station]).open(newline="", encoding="utf-8") as file:
        next(file)  # the station's own line
        return [{"dry": float(row["Dry-bulb (C)"]), "dew": float(row["Dew-point (C)"]), "humidity": float(row["RHum (%)"])}
                for row in csv.DictReader(file)]


def days(station: str) -> list[list[dict[str, float]]]:
    told = hours(station)
    return [told[start : start + 24] for start in range(0, len(told), 24)]


@pytest.mark.parametrize("station", STATIONS)
def test_a_year_is_whole(station: str) -> None:
    assert len(hours(station)) == 8760


def test_measured_dew_points() -> None:
    """Every 53rd hour above freezing: ours from dry bulb and humidity, beside the dew point measured.

    One hour in twenty-five has humidity and dew point that contradict each other (by up to 33 %), so nine in ten must agree.
    """
    apart = []
    for hour in hours("Greensboro")[::53]:
        if hour["dew"] > 0.5:
            said = results("tank_water", warm_temperature=f"{hour['dry']} degC", cool_temperature=f"{hour['dry']} degC",
                           relative_humidity=hour["humidity"])
            apart.append(abs((said["dew_point"] - 32) / 1.8 - hour["dew"]))
    assert len(apart) >= 60
    assert sorted(apart)[len(apart) // 2] < 0.15
    assert sorted(apart)[len(apart) * 9 // 10] < 0.35


@pytest.mark.parametrize("station", STATIONS)
def test_a_day_of_each_month_by_coolprop(station: str) -> None:
    """From the day's warmest hour, with its humidity, to its coolest."""
    for day in days(station)[14::30]:
        warm, cool = max(day, key=lambda hour: hour["dry"]), min(day, key=lambda hour: hour["dry"])
        said = results("tank_water", warm_temperature=f"{warm['dry']} degC", cool_temperature=f"{cool['dry']} degC",
                       relative_humidity=warm["humidity"])
        ratio = HAPropsSI("W", "T", warm["dry"] + 273.15, "P", 101_325, "R", warm["humidity"] / 100)
        saturated = HAPropsSI("W", "T", cool["dry"] + 273.15, "P", 101_325, "R", 1)
        volume = HAPropsSI("Vda", "T", warm["dry"] + 273.15, "P", 101_325, "R", warm["humidity"] / 100)
        water = max(0.0, ratio - saturated) / volume * 3.785411784
        exchanged = 1 - (cool["dry"] + 273.15) / (warm["dry"] + 273.15)
        assert said["air_exchanged"] == pytest.approx(exchanged * 100, rel=1e-9)
        # The difference of two nearly equal ratios: one percent of each is what the two methods may differ by.
        assert said["water_per_cycle"] == pytest.approx(exchanged * 14 * water, abs=exchanged * 14 * 0.01 * ratio / volume * 3.785411784)


@pytest.mark.parametrize("station", STATIONS)
def test_a_months_breathing_brings_less_than_one_bad_fill(station: str) -> None:
    """What the guide concludes, on real weather: the wettest of twelve months against a 14-gallon fill at 0.5 % (an example)."""
    water = []
    for day in days(station)[::3]:  # every third day stands for three
        warm, cool = max(day, key=lambda hour: hour["dry"]), min(day, key=lambda hour: hour["dry"])
        water.append(results("tank_water", warm_temperature=f"{warm['dry']} degC", cool_temperature=f"{cool['dry']} degC",
                             relative_humidity=warm["humidity"])["water_per_cycle"])
    wettest = max(3 * sum(water[start : start + 10]) for start in range(len(water) - 10))
    assert wettest < 14 * 3785.411784 * 0.005
    assert min(water) >= 0


@pytest.mark.parametrize(("station", "needs_winter_fuel"), [("Sand Point", True), ("Greensboro", True)])
def test_the_coldest_hour_of_the_year(station: str, needs_winter_fuel: bool) -> None:
    coldest = min(hour["dry"] for hour in hours(station))
    said = results("winter_fuel", expected_low=f"{coldest} degC")
    assert (said["winter_fuel_share"] > 0) is needs_winter_fuel
    assert said["blend_cloud_point"] == pytest.approx(coldest * 1.8 + 32 - 10, abs=1e-6)  # ten degrees of margin below it
    assert results("regeneration", outside_temperature=f"{coldest} degC")["warm_up_time"] > results("regeneration")["warm_up_time"]
