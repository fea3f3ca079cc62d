"""The block heater: verdict and ends; the sums are in tests/reference."""

from typing import Any

import pytest

from tests.unit.ask import ask, results


def own(**facts: object) -> dict[str, Any]:
    """A truck that tells these facts."""
    return {"format": "diesel-handover-truck", "version": 2, "id": "1", "name": "Oak", "facts": facts}


def test_it_fits_where_it_saves() -> None:
    assert results("block_heater")["verdict"] == "fits"
    dear = ask("block_heater", electricity_price=1)
    assert dear["results"]["verdict"]["value"] == "watch"
    assert dear["results"]["saving_per_year"]["value"] < 0
    assert dear["answer"].startswith("Plugging in costs")


def test_equal_is_no_saving() -> None:
    said = results("block_heater", heater_hours_per_day=0, warm_up_idle_time=0)
    assert (said["saving_per_year"], said["verdict"]) == (0, "watch")


def test_no_cold_days() -> None:
    said = results("block_heater", cold_days_per_year=0)
    assert said["heater_cost_per_year"] == said["idle_cost_per_year"] == said["idle_hours_avoided_per_year"] == 0


def test_hours_by_hand() -> None:
    assert results("block_heater", warm_up_idle_time=20, cold_days_per_year=90)["idle_hours_avoided_per_year"] == 30


def test_a_heater_that_is_never_plugged_in_saves_nothing() -> None:
    said = ask("block_heater", heater_hours_per_day=0)
    assert said["results"]["verdict"]["value"] == "watch"
    assert "saves no idling" in said["answer"]


def test_without_cold_days_there_is_nothing_to_shorten() -> None:
    said = ask("block_heater", cold_days_per_year=0)["answer"]
    assert said.startswith("You told no cold days")


@pytest.mark.parametrize("idle", ["idle_hours_per_week", "idle_hours_per_day"])
def test_a_truck_that_never_idles_has_no_warm_up_to_spare(idle: str) -> None:
    """As the idle bill says of it; unless its owner tells a warm-up."""
    still = own(distance_per_week=0, short_trips_per_week=0, long_trips_per_week=0, **{idle: "0 h"})
    assert ask("idle_bill", still)["answer"].startswith("Nothing idles here")
    said = results("block_heater", still)
    assert (said["idle_hours_avoided_per_year"], said["idle_cost_per_year"], said["verdict"]) == (0, 0, "watch")
    assert said["saving_per_year"] == pytest.approx(-32.40)  # 0.75 kW x 3 h x $0.16 on 90 days
    assert "spares no fuel" in ask("block_heater", still)["answer"]
    told = still | {"facts": still["facts"] | {"warm_up_idle_time": "20 min"}}
    assert results("block_heater", told)["idle_hours_avoided_per_year"] == 30


def test_a_winter_that_is_the_examples_is_said_to_be() -> None:
    for price in ("0.16 USD/kWh", "1 USD/kWh"):
        said = ask("block_heater", own(electricity_price=price))["answer"]
        assert said.startswith("By the example’s winter of 90 cold days, plug")
        assert "example" not in ask("block_heater", own(electricity_price=price, cold_days_per_year=40))["answer"]
        assert "example" not in ask("block_heater", electricity_price=price)["answer"]
