"""The block heater: verdict and ends; the sums are in tests/reference."""

from tests.unit.ask import ask, results


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
