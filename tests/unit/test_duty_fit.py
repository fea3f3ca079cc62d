"""Does a diesel fit: the others' verdicts, the worst of them, and a gasoline truck named where it is better."""

from typing import Any

import pytest

from tests.unit.ask import TRUCKS, ask, results

# Long trips, a light load, no trailer, cheap diesel: nothing speaks against it.
GOOD: dict[str, Any] = {"short_trips_per_week": 0, "long_trip_time": 60, "long_trips_per_week": 10, "idle_hours_per_week": 1,
                        "plow_weight": 0, "truck_price": 50_000, "gasoline_truck_price": 57_000, "fuel_price": 3, "gasoline_fuel_price": 4,
                        "ownership_time": 6}
NO_TRIPS: dict[str, Any] = {"short_trips_per_week": 0, "long_trips_per_week": 0}


def why(question: str, truck: str = "juniper", **told: Any) -> str:
    """What the list says of one question."""
    return next(row["why"]["value"] for row in results("duty_fit", truck, **told)["reasons"] if question in row["question"]["value"])


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
    for told in ({}, {"ownership_time": 2}, {"idle_hours_per_week": 20}, {"plow_weight": 2500}, {"long_trip_time": 10}, NO_TRIPS,
                 NO_TRIPS | {"idle_hours_per_week": 0}, {"outside_temperature": -60}, {"gasoline_truck_price": 20_000}):
        for row in results("duty_fit", **(GOOD | told))["reasons"]:
            assert row["question"]["value"].endswith("?")
            assert row["why"]["value"].endswith(".")


def test_the_cold_is_named_where_the_cold_is_the_cause() -> None:
    said = ask("duty_fit", "tamarack", outside_temperature=-60)["answer"]
    assert "cold" in said and "too short" not in said
    assert "cold" in why("trips", "tamarack", outside_temperature=-60)
    assert why("trips", **(GOOD | {"long_trip_time": 10})) == "None are long enough."


def test_only_idling_and_never_running() -> None:
    idling = NO_TRIPS | {"idle_hours_per_week": 10}
    assert "only idles" in ask("duty_fit", **idling)["answer"]
    assert "only idling" in why("trips", **idling)
    never = NO_TRIPS | {"idle_hours_per_week": 0}
    assert why("trips", **never).startswith("Nothing is driven")
    assert why("idle", **never) == "The engine never runs."
    assert ask("duty_fit", **never)["answer"].startswith("Nothing is driven")


def test_a_truck_that_says_it_drives_no_miles_still_has_its_trips_judged() -> None:
    """A week of no miles beside trips that are told: the trips decide."""
    said = results("duty_fit", **(GOOD | {"long_trip_time": 10, "idle_hours_per_week": 0, "distance_per_week": 0}))
    assert said["trips_cause"] == "too_short"


def test_money_says_dearer_only_where_it_is() -> None:
    close = {"distance_per_year": 40_000, "fuel_economy": 20, "plow_weight": 0, "idle_hours_per_week": 1}
    assert results("diesel_or_gasoline", distance_per_year=40_000, fuel_economy=20)["difference"] < 0
    assert why("cost less", **close) == "About as much: let power or range decide."
    said = ask("duty_fit", **close)["answer"]
    assert "about as much" in said and "list" not in said
    assert why("cost less", **(GOOD | {"gasoline_truck_price": 20_000})).startswith("It costs more")


def test_the_years_say_nothing_of_what_it_earns() -> None:
    for years in (2, 8):
        assert "earn" not in why("own it", ownership_time=years)


def test_the_list_is_pointed_at_only_where_it_marks_something() -> None:
    said = ask("duty_fit", **(GOOD | {"ownership_time": 2}))
    assert results("diesel_or_gasoline", **{k: v for k, v in GOOD.items() if "price" in k} | {"ownership_time": 2})["difference"] < 0
    assert "what the list below marks" in said["answer"]
    assert any(row["verdict"]["value"] == "watch" for row in said["results"]["reasons"])
