"""Does a diesel fit: the others' verdicts, the worst of them, and a gasoline truck named where it is better."""

from typing import Any

import pytest

from tests.unit.ask import TRUCKS, ask, results

# Long trips, a light load, no trailer, cheap diesel: nothing speaks against it.
GOOD: dict[str, Any] = {"short_trips_per_week": 0, "long_trip_time": 60, "long_trips_per_week": 10, "idle_hours_per_week": 1,
                        "plow_weight": 0, "truck_price": 50_000, "gasoline_truck_price": 57_000, "fuel_price": 3, "gasoline_fuel_price": 4,
                        "ownership_time": 6}


def test_it_fits() -> None:
    answer = ask("duty_fit", **GOOD)
    assert answer["results"]["verdict"]["value"] == "fits"
    assert {row["verdict"]["value"] for row in answer["results"]["reasons"]} == {"fits"}


@pytest.mark.parametrize("truck", TRUCKS)
def test_its_reasons_are_the_others_own_verdicts(truck: str) -> None:
    said = results("duty_fit", truck)
    for mine, other in (("trips", "regeneration"), ("weight", "axle_load"), ("towing", "trailer_check")):
        assert said[f"{mine}_verdict"] == results(other, truck)["verdict"]
    money = results("diesel_or_gasoline", truck)["verdict"]
    assert said["money_verdict"] == ("watch" if money == "against" else money)


def test_the_worst_decides() -> None:
    order = ["fits", "watch", "against"]
    for told in ({}, {"ownership_time": 2}, {"idle_hours_per_week": 20}, {"plow_weight": 2500}, {"long_trip_time": 10},
                 {"gasoline_truck_price": 20_000}):
        said = results("duty_fit", **(GOOD | told))
        assert said["verdict"] == max((row["verdict"]["value"] for row in said["reasons"]), key=order.index)


def test_short_trips_call_for_a_gasoline_truck() -> None:
    answer = ask("duty_fit", **(GOOD | {"long_trip_time": 10}))
    assert answer["results"]["verdict"]["value"] == "against"
    assert answer["answer"].startswith("Take a gasoline truck")


def test_money_alone_never_rules_it_out_and_is_said() -> None:
    answer = ask("duty_fit", **(GOOD | {"gasoline_truck_price": 20_000}))
    assert answer["results"]["money_verdict"]["value"] == "watch"
    assert answer["results"]["verdict"]["value"] == "watch"
    assert "gasoline truck costs less" in answer["answer"]


@pytest.mark.parametrize(("idle", "verdict"), [(6.6, "fits"), (6.7, "watch")])
def test_idling_over_forty_percent_of_the_hours(idle: float, verdict: str) -> None:
    """Ten hours of driving: 6.667 h idling is 40 % (from memory)."""
    said = results("duty_fit", **(GOOD | {"idle_hours_per_week": idle}))
    assert said["driving_hours_per_week"] == pytest.approx(10)
    assert said["idle_share"] == pytest.approx(idle / (10 + idle) * 100)
    assert said["idle_verdict"] == verdict


@pytest.mark.parametrize(("years", "verdict"), [(2, "watch"), (3, "fits")])
def test_sold_within_three_years(years: int, verdict: str) -> None:
    assert results("duty_fit", **(GOOD | {"ownership_time": years}))["ownership_verdict"] == verdict


def test_a_truck_that_never_runs() -> None:
    answer = ask("duty_fit", short_trips_per_week=0, long_trips_per_week=0, idle_hours_per_week=0)
    assert answer["results"]["idle_share"]["why"] == "the engine never runs"


def test_every_reason_has_its_words() -> None:
    for told in ({}, {"ownership_time": 2}, {"idle_hours_per_week": 20}, {"plow_weight": 2500}, {"long_trip_time": 10}):
        for row in results("duty_fit", **(GOOD | told))["reasons"]:
            assert row["question"]["value"].endswith("?")
            assert row["why"]["value"].endswith(".")
