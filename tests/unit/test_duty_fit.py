"""Does a diesel fit: the others' verdicts, the worst of them, and a gasoline truck named where it is better."""

from typing import Any

import pytest

from tests.unit.ask import TRUCKS, ask, results

# Long trips, a light load, no trailer, cheap diesel: nothing speaks against it.
# A gasoline truck that costs little, its miles a gallon told.
CHEAP = {"gasoline_truck_price": 20_000, "gasoline_economy_share": 81}
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
                 CHEAP):
        said = results("duty_fit", **(GOOD | told))
        assert said["verdict"] == max((row["verdict"]["value"] for row in said["reasons"]), key=order.index)


def test_short_trips_call_for_a_gasoline_truck() -> None:
    answer = ask("duty_fit", **(GOOD | {"long_trip_time": 10}))
    assert answer["results"]["verdict"]["value"] == "against"
    assert answer["answer"].startswith("Take a gasoline truck")


def test_money_alone_never_rules_it_out_and_is_said() -> None:
    answer = ask("duty_fit", **(GOOD | CHEAP))
    assert answer["results"]["money_verdict"]["value"] == "watch"
    assert answer["results"]["verdict"]["value"] == "watch"
    assert "gasoline truck costs less" in answer["answer"]


@pytest.mark.parametrize(("idle", "verdict"), [(6.6, "fits"), (6.7, "watch")])
def test_idling_over_forty_percent_of_the_hours(idle: float, verdict: str) -> None:
    """Ten hours of driving: 6.667 h idling is 40 % (from memory)."""
    said = results("duty_fit", **(GOOD | {"idle_hours_per_week": idle}))
    assert said["idle_share"] == pytest.approx(idle / (10 + idle) * 100)
    assert said["idle_cause"] == verdict


def test_forty_percent_itself_is_not_over_it() -> None:
    """Four hours of idling beside six of driving."""
    said = results("duty_fit", **(GOOD | {"idle_hours_per_week": 4, "distance_per_week": 180, "average_speed": 30}))
    assert (said["idle_share"], said["idle_cause"]) == (40, "fits")


@pytest.mark.parametrize(("years", "verdict"), [(2, "watch"), (3, "fits")])
def test_sold_within_three_years(years: int, verdict: str) -> None:
    assert results("duty_fit", **(GOOD | {"ownership_time": years}))["ownership_verdict"] == verdict


def test_a_truck_that_never_runs() -> None:
    answer = ask("duty_fit", short_trips_per_week=0, long_trips_per_week=0, idle_hours_per_week=0)
    assert answer["results"]["idle_share"]["why"] == "the engine never runs"
    for judged in ("verdict", "trips_verdict", "money_verdict"):
        assert answer["results"][judged]["value"] is None
        assert answer["results"][judged]["why"] == "nothing is driven or idled"


def test_a_limit_that_is_passed_speaks_of_a_truck_that_never_runs_too() -> None:
    assert results("duty_fit", **(NO_TRIPS | {"idle_hours_per_week": 0, "plow_weight": 2500}))["verdict"] == "against"


def test_idling_is_a_share_of_the_hours_that_are_told() -> None:
    """The engine runs 20 hours by its meter, whatever the trips say: 5 of them are a quarter, 25 can’t be more than all."""
    told = {"engine_hours_per_week": 20, "distance_per_week": 190}
    assert results("duty_fit", **told, idle_hours_per_week=5)["idle_share"] == 25
    assert results("duty_fit", **told, idle_hours_per_week=25)["idle_share"] == 100


OWN = {"format": "diesel-handover-truck", "version": 1, "name": "Own", "facts": {}}


@pytest.mark.parametrize(("facts", "trips", "idling"), [
    ({}, True, True), ({"idle_hours_per_week": "9 h"}, True, True),
    ({"idle_hours_per_week": "9 h", "distance_per_week": "300 mi"}, True, False),
    ({"short_trips_per_week": 20, "long_trips_per_week": 2}, False, True),
    ({"short_trips_per_week": 20, "long_trips_per_week": 2, "idle_hours_per_week": "9 h"}, False, False),
    ({"short_trips_per_week": 20, "idle_hours_per_week": "9 h"}, True, True),
])
def test_a_reason_that_goes_by_the_examples_week_says_so(facts: dict[str, object], trips: bool, idling: bool) -> None:
    answer = ask("duty_fit", OWN | {"facts": facts})
    whys = {row["question"]["value"]: row["why"]["value"] for row in answer["results"]["reasons"]}
    by = "by the example’s week"
    assert (by in whys["Do the trips let the exhaust filter clean itself?"]) is trips
    assert (by in whys["How much does it idle?"]) is (by in answer["answer"]) is idling


def test_nothing_is_the_examples_week_on_the_examples_own_page() -> None:
    for truck in (None, *TRUCKS):
        assert not any("by the example" in row["why"]["value"] for row in ask("duty_fit", truck)["results"]["reasons"])


def test_every_reason_has_its_words() -> None:
    for told in ({}, {"ownership_time": 2}, {"idle_hours_per_week": 20}, {"plow_weight": 2500}, {"long_trip_time": 10}, NO_TRIPS,
                 NO_TRIPS | {"idle_hours_per_week": 0}, {"outside_temperature": -60}, CHEAP):
        for row in results("duty_fit", **(GOOD | told))["reasons"]:
            assert row["question"]["value"].endswith("?")
            assert row["why"]["value"].endswith(".")


def test_the_cold_is_named_where_the_cold_is_the_cause() -> None:
    said = ask("duty_fit", "tamarack", outside_temperature=-60)["answer"]
    assert "cold" in said and "too short" not in said
    assert "cold" in why("trips", "tamarack", outside_temperature=-60)
    assert why("trips", **(GOOD | {"long_trip_time": 10})) == "None are long enough to start a burn."


def test_only_idling_and_never_running() -> None:
    idling = NO_TRIPS | {"idle_hours_per_week": 10}
    assert "only idles" in ask("duty_fit", **idling)["answer"]
    assert "only idling" in why("trips", **idling)
    never = NO_TRIPS | {"idle_hours_per_week": 0}
    assert why("trips", **never) == "There are no trips."
    assert why("idle", **never) == "The engine never runs."
    assert ask("duty_fit", **never)["answer"].startswith("In this week nothing is driven or idled")


def test_a_truck_that_says_it_drives_no_miles_still_has_its_trips_judged() -> None:
    """A week of no miles beside trips that are told: the trips decide."""
    said = results("duty_fit", **(GOOD | {"long_trip_time": 10, "idle_hours_per_week": 0, "distance_per_week": 0}))
    assert said["trips_cause"] == "too_short_to_start"


def test_money_says_dearer_only_where_it_is() -> None:
    close = {"plow_weight": 0, "idle_hours_per_week": 1, "gasoline_economy_share": 81, "truck_price": 57_500}
    assert abs(results("diesel_or_gasoline", truck_price=57_500, idle_hours_per_week=1, gasoline_economy_share=81)["difference"]) < 2900
    assert why("cost less", **close) == "About as much: let power or range decide."
    said = ask("duty_fit", **close)["answer"]
    assert "about as much" in said and "list" not in said
    assert why("cost less", **(GOOD | CHEAP)).startswith("It costs more")


def test_the_years_say_nothing_of_what_it_earns() -> None:
    for years in (2, 8):
        assert "earn" not in why("own it", ownership_time=years)


def test_the_first_concern_is_named() -> None:
    """A week of good trips, then one thing wrong after another: each is what the sentence speaks of."""
    for told, concern, says in (({"ownership_time": 2}, "years", "Sold this soon"), ({"idle_hours_per_week": 20}, "idling", "is idling"),
                                ({"short_trips_per_week": 40, "short_trip_time": 20}, "trips", "too short to end them"),
                                ({"long_trip_time": 36}, "trips", "only just"), (CHEAP, "money", "costs less")):
        answer = ask("duty_fit", **(GOOD | told))
        assert answer["results"]["concern"]["value"] == concern
        assert says in answer["answer"]
        assert answer["results"]["verdict"]["value"] == "watch"


def test_idling_that_outruns_the_drives_is_named_as_such_and_not_as_short_trips() -> None:
    told = GOOD | {"long_trips_per_week": 1, "idle_hours_per_week": 120}
    answer = ask("duty_fit", **told)
    assert answer["results"]["verdict"]["value"] == "against"
    assert "it idles more than its drives can burn off" in answer["answer"]
    assert "short" not in answer["answer"]
    assert why("trips", **told) == "It idles more than its drives can burn off."


def test_where_a_few_drives_would_do_they_are_named_before_another_truck_is_bought() -> None:
    """Ten-minute trips: a burn's worth of soot takes a month, and so does the drive that burns it."""
    told = GOOD | {"short_trips_per_week": 22, "short_trip_time": 10, "long_trips_per_week": 0}
    days = results("regeneration", **{key: told[key] for key in told if "trip" in key or "idle" in key})["days_between_extra_trips"]
    assert f"Or add one long drive every {days:g} days." in ask("duty_fit", **told)["answer"]
    assert "Or add" not in ask("duty_fit", **(GOOD | {"long_trips_per_week": 1, "idle_hours_per_week": 130}))["answer"]


@pytest.mark.parametrize(("untold", "says"), [
    ({"front_axle_weight": None}, " The weight was not looked at"), ({"trailer_weight": None}, " The trailer was not looked at"),
    ({"front_axle_weight": None, "trailer_weight": None}, " Neither weight nor trailer was looked at"),
])
def test_what_nobody_told_was_not_looked_at(untold: dict[str, Any], says: str) -> None:
    answer = ask("duty_fit", **(GOOD | untold))
    assert (answer["results"]["verdict"]["value"], answer["results"]["concern"]["value"]) == ("watch", "untold")
    assert answer["answer"].startswith("As far as was told") and says in answer["answer"]
    questions = {"front_axle_weight": "axles", "trailer_weight": "trailer"}
    assert all(why(questions[name], **(GOOD | untold)).startswith("Not looked at") for name in untold)


def test_one_limit_that_is_passed_speaks_whatever_is_untold() -> None:
    told = GOOD | {"cargo_weight": 9000, "front_axle_weight": None, "trailer_weight": None}
    assert results("duty_fit", **told)["verdict"] == "against"
    assert results("duty_fit", **(GOOD | {"long_trip_time": 10, "front_axle_weight": None}))["verdict"] == "against"


def test_what_was_not_looked_at_never_hides_the_first_concern() -> None:
    said = ask("duty_fit", **(GOOD | {"long_trip_time": 36, "front_axle_weight": None}))["answer"]
    assert "only just" in said and "The weight was not looked at" in said
