"""Water in the tank: sums by hand around the physics, which tests/reference checks."""

import pytest

from calculators.engine.figures import FIGURES
from tests.unit.ask import TRUCKS, ask, results


def test_a_month_by_hand() -> None:
    said = results("tank_water", fuel_tank_capacity=40, fuel_in_tank=10, cycles_per_month=20, fuel_per_month=50, water_in_fuel=0.02)
    assert said["air_space"] == 30
    assert said["water_per_cycle"] == pytest.approx(said["air_exchanged"] / 100 * 30 * said["water_in_air"])
    assert said["water_from_air_per_month"] == pytest.approx(20 * said["water_per_cycle"] + 50 * said["water_in_air"])
    assert said["water_from_air_at_most"] == pytest.approx(20 * 30 * said["water_in_air"])
    assert said["water_with_fuel_per_month"] == pytest.approx(50 * 3785.411784 * 0.0002)


def test_the_bowl_by_hand() -> None:
    """Dry air, 100 gal at 0.02 % are 75.7 mL a month: 150 mL last two months of 30.44 days, less a bit."""
    said = results("tank_water", relative_humidity=0, fuel_per_month=100, water_in_fuel=0.02)
    assert said["days_to_fill_bowl"] == pytest.approx(150 / 75.70823568 * 30.44)
    assert said["drain_every"] == pytest.approx(said["days_to_fill_bowl"] / 2)


@pytest.mark.parametrize(("days", "every", "verdict"), [(100, 31, "fits"), (62.01, 31, "fits"), (61.99, 30.995, "watch"), (40, 20, "watch"),
                                                        (31.01, 15.505, "watch"), (30.99, 15.495, "against"), (10, 5, "against")])
def test_drain_at_half_a_bowl_and_every_month(days: float, every: float, verdict: str) -> None:
    """The fuel that fills the bowl in so many days, in dry air."""
    fuel = 150 / (3785.411784 * 0.0002) * 30.44 / days
    said = results("tank_water", relative_humidity=0, fuel_per_month=repr(fuel), water_in_fuel=0.02)
    assert said["days_to_fill_bowl"] == pytest.approx(days)
    assert said["drain_every"] == pytest.approx(every)
    assert said["verdict"] == verdict


def test_no_water_at_all() -> None:
    answer = ask("tank_water", relative_humidity=0, water_in_fuel=0)
    assert answer["results"]["days_to_fill_bowl"]["why"] == "no water comes in"
    assert answer["results"]["drain_every"]["value"] == 31
    assert answer["results"]["verdict"]["value"] == "fits"


def test_a_full_tank_has_no_air_to_breathe() -> None:
    said = results("tank_water", fuel_in_tank=34, fuel_per_month=0)
    assert said["water_from_air_per_month"] == said["water_from_air_at_most"] == 0


def test_dry_air_has_no_dew_point() -> None:
    assert ask("tank_water", relative_humidity=0)["results"]["dew_point"]["why"] == "dry air has no dew point"


def test_the_sentence_says_which_matters() -> None:
    assert "where you buy matters most." in ask("tank_water", relative_humidity=10)["answer"]
    assert "fuller tank" in ask("tank_water", water_in_fuel=0, fuel_in_tank=0)["answer"]


def test_bad_fuel_and_the_limit_beside_typical() -> None:
    said = results("tank_water", fuel_per_month=100)
    assert said["water_at_limit_per_month"] == pytest.approx(100 * 3785.411784 * 0.0005)
    assert said["water_in_bad_fuel_per_month"] == pytest.approx(100 * 3785.411784 * 0.005)


@pytest.mark.parametrize("told", [{"fuel_in_tank": 34}, {"cycles_per_month": 0}, {"fuel_in_tank": 33, "fuel_per_month": 500}, {}])
def test_at_most_is_never_below_typical(told: dict[str, object]) -> None:
    said = results("tank_water", **told)
    assert said["water_from_air_at_most"] >= said["water_from_air_per_month"] > 0


def test_no_fuel_burned_brings_no_bad_load() -> None:
    said = ask("tank_water", short_trips_per_week=0, long_trips_per_week=0)
    assert said["results"]["water_in_bad_fuel_per_month"]["value"] == 0
    assert "where you buy" not in said["answer"] and "only the air" in said["answer"]


@pytest.mark.parametrize("fuel", [0.1, 52])
def test_fuel_over_the_standards_limit_is_not_to_be_run(fuel: float) -> None:
    """ASTM D975: 0.05 %. A little of worse fuel does not fill the bowl, and is bad all the same."""
    said = ask("tank_water", water_in_fuel=0.051, fuel_per_month=fuel)
    assert said["answer"].startswith("Don’t run that fuel")
    assert "more than the 0.05%" in said["answer"]
    assert said["results"]["verdict"]["value"] == "against"
    assert ask("tank_water", water_in_fuel=0.05, fuel_per_month=fuel)["answer"].startswith("Drain it every")


@pytest.mark.parametrize("truck", TRUCKS)
def test_ordinary_fuel_is_drained_monthly_as_the_walk_round_says(truck: str) -> None:
    said = ask("tank_water", truck)
    assert said["results"]["drain_every"]["value"] == FIGURES["drain_at_the_latest"].value == 31
    assert said["answer"].startswith("Drain it every month")
    assert said["results"]["verdict"]["value"] == "fits"
    assert said["results"]["water_at_limit_per_month"]["value"] == pytest.approx(25 * said["results"]["water_with_fuel_per_month"]["value"])


@pytest.mark.parametrize(("days", "said"), [(2.99, "Check the bowl size"), (3.01, "Drain it every day."), (7, "Drain it every 3 days."),
                                            (30.1, "Drain it every 15 days."), (61.5, "Drain it every 30 days."),
                                            (63, "Drain it every month.")])
def test_days_are_whole_and_a_bowl_that_fills_at_once_is_doubted(days: float, said: str) -> None:
    bowl = days / 30.44 * 400 * 3785.411784 * 0.0002  # dry air, 400 gal at 0.02 %
    assert ask("tank_water", relative_humidity=0, fuel_per_month=400, water_in_fuel=0.02,
               separator_bowl_capacity=repr(bowl))["answer"].startswith(said)
