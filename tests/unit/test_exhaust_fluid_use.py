"""DEF: ranges and cost by hand."""

import pytest

from calculators import with_words
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
    assert ask("exhaust_fluid_use", distance_per_week=repr(share / 365))["answer"].startswith("Fill DEF within 255 days")  # 35 of 50 %


def test_the_reserve_by_hand() -> None:
    """3,200 mi a tank; from 25 % down to 15 % (ours) are 320 mi, 5.6 days at 400 a week; a full tank has 2,720 to the reserve."""
    said = ask("exhaust_fluid_use", **TOLD)
    assert said["results"]["range_to_reserve"]["value"] == pytest.approx(320)
    assert said["results"]["days_to_reserve"]["value"] == pytest.approx(5.6)
    assert said["answer"].startswith("Fill DEF within 5 days: about 320 miles")  # days round down
    assert results("exhaust_fluid_use", **TOLD, reserve_level=10)["range_to_reserve"] == pytest.approx(480)
    assert results("exhaust_fluid_use", **TOLD)["full_range_to_reserve"] == pytest.approx(2720)


@pytest.mark.parametrize(("level", "now"), [(0, True), (5, True), (15, True), (16, True), (18, True), (18.2, False), (50, False)])
def test_at_the_reserve_or_within_100_miles_of_it_it_is_filled_now(level: float, now: bool) -> None:
    """A percent of the tank is 32 mi: 3.125 % over the reserve are 100 mi (ours)."""
    said = ask("exhaust_fluid_use", **(TOLD | {"def_level": level}))
    assert said["answer"].startswith("Fill DEF now, at least 2 gallons, or what fits") is now
    assert said["results"]["fill_now"]["value"] is now
    assert said["results"]["range_to_reserve"]["value"] >= 0
    assert said["results"]["days_to_reserve"]["value"] >= 0


def test_the_row_says_the_days_of_the_sentence() -> None:
    """5.6 days: the sentence says 5, and so does what stands below it."""
    said = with_words(ask("exhaust_fluid_use", **TOLD))
    (days,) = [told for name, told in said["results"].items() if name in said["headline"] and told.get("unit") == "day"]
    assert days["phrase"] == "5 days" and f"within {days['phrase']}:" in said["answer"]


def test_what_fits_where_the_tank_is_small() -> None:
    assert results("exhaust_fluid_use", **(TOLD | {"def_tank_capacity": 2, "def_level": 10}))["refill_at_least"] == pytest.approx(1.8)


def test_a_gauge_that_nobody_read_gives_no_days() -> None:
    said = ask("exhaust_fluid_use", **(TOLD | {"def_level": None}))
    for result in ("range_left", "days_left", "range_to_reserve", "days_to_reserve"):
        assert said["results"][result]["value"] is None and said["results"][result]["why"]
    assert said["answer"] == "A full tank lasts about 2,700 miles to the reserve: read the gauge."


def test_less_than_a_day_is_today() -> None:
    said = ask("exhaust_fluid_use", **(TOLD | {"distance_per_week": 5000}))  # 320 mi at 714 a day
    assert said["answer"].startswith("Fill DEF today")


@pytest.mark.parametrize(("told", "on_the_truck", "share"), [
    ({"def_share_of_fuel": 3, "measured_def_share_of_fuel": 4}, {}, 3), ({"measured_def_share_of_fuel": 4}, {}, 4),
    ({"def_share_of_fuel": 3}, {}, 3), ({}, {"def_share_of_fuel": 2.2}, 2.2), ({}, {"measured_def_share_of_fuel": 2.1}, 2.1),
    ({}, {"def_share_of_fuel": 2.2, "measured_def_share_of_fuel": 2.1}, 2.1),
    ({"measured_def_share_of_fuel": 4}, {"def_share_of_fuel": 2.2}, 4), ({"def_share_of_fuel": 3}, {"measured_def_share_of_fuel": 2.1}, 3),
])
@pytest.mark.parametrize("calculator", ["exhaust_fluid_use", "fluid_cost"])
def test_given_before_measured_before_told_before_worked_out(calculator: str, told: dict[str, float], on_the_truck: dict[str, float],
                                                             share: float) -> None:
    said = ask(calculator, {"facts": on_the_truck}, **told)
    where = said["results"] if calculator == "exhaust_fluid_use" else said["inputs"]
    assert where["def_share_of_fuel"]["value"] == share


def test_a_share_that_is_told_is_an_input_and_one_worked_out_a_result() -> None:
    assert ask("exhaust_fluid_use", def_share_of_fuel=3)["inputs"]["def_share_of_fuel"]["from"] == "given"
    assert "def_share_of_fuel" not in ask("exhaust_fluid_use")["inputs"]
