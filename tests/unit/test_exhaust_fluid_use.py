"""DEF: ranges and cost by hand."""

import pytest

from tests.unit.ask import ask, results

TOLD = {"measured_def_share_of_fuel": 2.5, "def_tank_capacity": 5, "fuel_tank_capacity": 40, "fuel_economy": 16, "def_level": 25,
        "distance_per_week": 400, "distance_per_year": 20_000, "def_price": 4}


def test_ranges_by_hand() -> None:
    """5 gal at 2.5 % of the fuel go with 200 gal: 3,200 mi; a quarter is 800 mi, 14 days at 400 a week; a fuel tank is 640 mi."""
    said = results("exhaust_fluid_use", **TOLD)
    assert said["def_range"] == pytest.approx(3200)
    assert said["range_left"] == pytest.approx(800)
    assert said["days_left"] == pytest.approx(14)
    assert said["fuel_range"] == pytest.approx(640)
    assert said["fuel_tanks_per_def_tank"] == pytest.approx(5)


def test_a_year_by_hand() -> None:
    """1,250 gal of fuel, 31.25 of DEF, $125."""
    said = results("exhaust_fluid_use", **TOLD)
    assert said["def_per_year"] == pytest.approx(31.25)
    assert said["def_cost_per_year"] == pytest.approx(125)


def test_what_was_measured_wins() -> None:
    assert results("exhaust_fluid_use", measured_def_share_of_fuel=4)["def_share_of_fuel"] == 4
    assert results("exhaust_fluid_use")["def_share_of_fuel"] != 4


def test_an_empty_tank() -> None:
    answer = ask("exhaust_fluid_use", def_level=0)
    assert answer["results"]["range_left"]["value"] == 0
    assert answer["answer"].startswith("Fill DEF now")


def test_an_engine_that_uses_none_and_a_truck_that_stands() -> None:
    none = ask("exhaust_fluid_use", nox_before=0.5, nox_after=0.5)["results"]
    assert none["def_range"] == {"value": None, "unit": "mi", "why": "this engine uses no DEF"}
    assert none["range_left"]["value"] is None
    assert none["def_per_year"]["value"] == 0
    assert ask("exhaust_fluid_use", distance_per_week=0)["results"]["days_left"]["why"] == "nothing is driven"


@pytest.mark.parametrize("level", [0, 50])
def test_an_engine_that_uses_none_has_none_to_fill(level: float) -> None:
    said = ask("exhaust_fluid_use", nox_after=4, def_level=level)["answer"]
    assert said.startswith("By these numbers the engine uses no DEF")
    assert "Fill DEF" not in said


def test_def_that_lasts_longer_than_it_keeps() -> None:
    """A handbook's 12 months of 30.44 days are 365.28 days."""
    share = results("exhaust_fluid_use")["range_left"] * 7
    assert "longer than it keeps" in ask("exhaust_fluid_use", distance_per_week=repr(share / 366))["answer"]
    assert ask("exhaust_fluid_use", distance_per_week=repr(share / 365))["answer"].startswith("Fill DEF within 365 days")
