"""Trips, soot and burns: sums by hand on a week that is easy to follow."""

import pytest

from tests.unit.ask import ask, results

# 10 trips of 30 min at 20 mi/h and 2 of 60 min at 60 mi/h: 100 + 120 mi, 6 h of idling
WEEK = {"short_trip_time": 30, "short_trips_per_week": 10, "short_trip_speed": 20, "long_trip_time": 60, "long_trips_per_week": 2,
        "long_trip_speed": 60, "idle_hours_per_week": 6, "soot_rate": 0.1, "idle_soot_rate": 1, "passive_share": 50, "filter_capacity": 40,
        "soot_burned_share": 90}


def test_soot_by_hand() -> None:
    """220 mi x 0.1 + 6 h x 1 = 28 g; half of 120 mi x 0.1 burns on the way: 22 g stay."""
    said = results("regeneration", **WEEK)
    assert said["soot_per_week"] == pytest.approx(28)
    assert said["soot_burned_passively_per_week"] == pytest.approx(6)
    assert said["soot_kept_per_week"] == pytest.approx(22)


def test_days_and_miles_between_burns_by_hand() -> None:
    """90 % of 40 g is 36 g: 7 x 36/22 days, and as many weeks of 220 mi."""
    said = results("regeneration", **WEEK)
    assert said["days_between_regenerations"] == pytest.approx(7 * 36 / 22)
    assert said["distance_between_regenerations"] == pytest.approx(36 / 22 * 220)


def test_time_needed_is_its_three_parts() -> None:
    said = results("regeneration", **WEEK)
    assert said["time_needed_from_cold"] == pytest.approx(said["warm_up_time"] + 4 + said["burn_time"])


def test_the_share_of_trips_by_hand() -> None:
    assert results("regeneration", **WEEK)["share_of_trips_long_enough"] == pytest.approx(2 / 12 * 100)
    assert results("regeneration", **(WEEK | {"short_trip_time": 50}))["share_of_trips_long_enough"] == 100
    assert results("regeneration", **(WEEK | {"long_trip_time": 20}))["share_of_trips_long_enough"] == 0


def test_no_trips_have_no_share() -> None:
    answer = ask("regeneration", short_trips_per_week=0, long_trips_per_week=0)
    assert answer["results"]["share_of_trips_long_enough"] == {"value": None, "unit": "%", "why": "no trips are made"}
    assert answer["results"]["soot_per_week"]["value"] == pytest.approx(6)  # idling goes on
    assert answer["results"]["verdict"]["value"] == "against"


def test_a_week_of_nothing_makes_no_soot() -> None:
    answer = ask("regeneration", short_trips_per_week=0, long_trips_per_week=0, idle_hours_per_week=0)
    assert answer["results"]["days_between_regenerations"]["why"] == "no soot builds up"
    assert answer["results"]["verdict"]["value"] == "fits"
    assert answer["answer"].startswith("Nothing is driven or idled")


@pytest.mark.parametrize(("told", "extra", "verdict"), [
    ({}, 0, "fits"),                                            # 22/36 burns a week, two trips finish one each
    ({"long_trips_per_week": 0.5, "soot_rate": 0.2}, 1, "watch"),  # 32 g less 3 stay: 0.8 burns, half a trip
    ({"long_trips_per_week": 0}, 1, "against"),                 # none long enough, one more would do
])
def test_verdicts(told: dict[str, object], extra: int, verdict: str) -> None:
    said = results("regeneration", **(WEEK | told))
    assert (said["extra_long_trips_per_week"], said["verdict"]) == (extra, verdict)


def test_extra_trips_by_hand() -> None:
    """No long trips, 20 short: 200 mi x 0.3 + 6 = 66 g; a burn takes 36; an extra hour at 60 mi/h leaves 60 x 0.3 x half = 9 itself.

    n burns must take 66 + 9n: 36n >= 66 + 9n, n >= 2.44, so three.
    """
    said = results("regeneration", **(WEEK | {"short_trips_per_week": 20, "long_trips_per_week": 0, "soot_rate": 0.3}))
    assert said["soot_kept_on_extra_trip"] == pytest.approx(9)
    assert said["extra_long_trips_per_week"] == 3


def test_an_extra_trip_lasts_long_enough_for_a_burn() -> None:
    said = results("regeneration", long_trip_time=10)
    assert said["extra_trip_time"] == said["time_needed_from_cold"]
    assert results("regeneration", long_trip_time=90)["extra_trip_time"] == 90


def test_drives_that_make_more_soot_than_a_burn_takes_never_help() -> None:
    answer = ask("regeneration", **(WEEK | {"soot_rate": 0.5, "filter_capacity": 10, "passive_share": 0, "long_trips_per_week": 0}))
    assert answer["results"]["extra_long_trips_per_week"]["value"] is None
    assert "more soot than a burn" in answer["results"]["extra_long_trips_per_week"]["why"]


def test_never_warm() -> None:
    answer = ask("regeneration", **WEEK, outside_temperature=-60, temperature_rise=300)
    said = answer["results"]
    assert said["warm_up_time"]["value"] is None and "never gets hot enough" in said["warm_up_time"]["why"]
    assert said["verdict"]["value"] == "against"
    assert said["extra_long_trips_per_week"]["value"] is None
    assert said["soot_burned_passively_per_week"]["value"] == 0
    assert "never gets hot enough" in answer["answer"]


def test_fuel_into_oil_by_hand() -> None:
    """30.44/days burns a month, ten of twelve broken off, 0.1 qt each, in 13 qt."""
    said = results("regeneration", **WEEK)
    assert said["fuel_into_oil"] == pytest.approx(30.44 / (7 * 36 / 22) * 10 / 12 * 0.1 / 13 * 100)


def test_the_filters_load_by_hand() -> None:
    """22 g a week in 40 g is 7.857 % a day: past 100 % on day 13; a trip that burns falls on every 3.5th day, so on day 14."""
    said = results("regeneration", **WEEK)["filter_load"]
    load = [row["load"]["value"] for row in said]
    daily = 22 / 7 / 40 * 100
    assert load[:14] == pytest.approx([daily * day for day in range(14)])
    assert load[14] == pytest.approx(daily * 14 * 0.1)  # a tenth of what it held stays
    assert len(load) == 43


def test_a_burn_broken_off_never_counts() -> None:
    """No trip is long enough: the load only grows."""
    said = results("regeneration", **(WEEK | {"long_trips_per_week": 0}))["filter_load"]
    load = [row["load"]["value"] for row in said]
    assert load == sorted(load)
    assert load[-1] > 100
    assert min(row["load_with_one_more"]["value"] for row in said[15:]) < 100


def test_the_broken_burn_caution_comes_only_where_burns_are_broken_off() -> None:
    hazards = [caution["hazard"] for caution in ask("regeneration", **WEEK)["cautions"]]
    assert "A burn broken off leaves fuel in the oil." in hazards
    whole = [caution["hazard"] for caution in ask("regeneration", **(WEEK | {"short_trips_per_week": 0}))["cautions"]]
    assert "A burn broken off leaves fuel in the oil." not in whole


def test_fuel_of_a_burn_by_hand() -> None:
    """220 kg/h x 1.1 kJ/(kg K) x 300 K for heat-up and burn, over 128,488 Btu/gal."""
    said = results("regeneration", **WEEK)
    assert said["fuel_per_regeneration"] == pytest.approx(220 * 1.1 * 300 * (4 + said["burn_time"]) / 60 / (128_488 * 1.05505585262))


def test_a_week_of_long_hot_trips_alone_is_not_called_a_week_of_nothing() -> None:
    answer = ask("regeneration", passive_share=100, short_trips_per_week=0, idle_hours_per_week=0)
    assert answer["results"]["soot_per_week"]["value"] > 0
    assert answer["answer"].startswith("Your long hot trips burn the soot")


def test_the_drive_to_plan_is_never_shorter_than_the_burn_needs() -> None:
    """A drive of 35.4 minutes told as 35 is what this week has already, and it does not finish a burn."""
    answer = ask("regeneration", outside_temperature=22, long_trip_time=35, long_trips_per_week=1)
    assert 35 < answer["results"]["time_needed_from_cold"]["value"] < 35.5
    assert "36 minutes" in answer["answer"]


def test_the_guess_of_fuel_in_the_oil_is_told_as_a_range_beside_the_trades_limits() -> None:
    """Half and twice of the guess; 2 % is reached after 2 ÷ the most of a month, 5 % likewise."""
    answer = ask("regeneration", **WEEK)
    said = {name: told["value"] for name, told in answer["results"].items() if not isinstance(told, list)}
    a_quart = 30.44 / (7 * 36 / 22) * 10 / 12 / 13 * 100
    assert (said["fuel_into_oil_low"], said["fuel_into_oil_high"]) == pytest.approx((0.05 * a_quart, 0.2 * a_quart))
    assert said["days_to_oil_trouble"] == pytest.approx(30.44 * 2 / (0.2 * a_quart))
    assert said["days_to_oil_limit"] == pytest.approx(30.44 * 5 / (0.2 * a_quart))
    text = next(caution["text"] for caution in answer["cautions"] if "fuel in the oil" in caution["hazard"])
    for told in ("a guess: 0.85% to 3.4% of the oil in a month", "near 2%, at worst 18 days", "by 5%, at worst 45 days"):
        assert told in text


def test_without_broken_burns_no_oil_trouble_comes() -> None:
    said = ask("regeneration", **(WEEK | {"short_trips_per_week": 0}))["results"]
    assert said["fuel_into_oil_high"]["value"] == 0
    assert said["days_to_oil_trouble"]["why"] == said["days_to_oil_limit"]["why"] == "no burn is broken off"


def test_a_closed_band_is_not_told_as_sure() -> None:
    """At the heat where the usual burn is set, both ends are that usual burn."""
    answer = ask("regeneration", regeneration_temperature=1112)
    assert answer["results"]["burn_time_low"]["value"] == pytest.approx(answer["results"]["burn_time_high"]["value"])
    text = next(caution["text"] for caution in answer["cautions"] if caution["hazard"] == "Nobody is sure how long a burn takes.")
    assert "the usual 20 minutes at 1,112°F, a rule of thumb" in text


def test_drives_that_no_week_has_room_for_are_not_asked_for() -> None:
    """150 h of idling make 750 g; a burn takes 18 g of 20, so dozens of drives of over half an hour do not fit into 13 free hours."""
    told = {"short_trips_per_week": 10, "short_trip_time": 30, "long_trips_per_week": 0, "idle_hours_per_week": 150, "idle_soot_rate": 5,
            "filter_capacity": 20, "soot_burned_share": 90}
    answer = ask("regeneration", **told)
    said = answer["results"]
    assert said["hours_free_per_week"]["value"] == pytest.approx(168 - 5 - 150)
    assert said["extra_long_trips_per_week"]["value"] > 13 * 60 / 45
    assert said["extra_trips_fit"]["value"] is False
    assert answer["answer"].startswith("Idle less") and "your week has no room" in answer["answer"]
    assert "Add" not in answer["answer"]
    assert results("regeneration", **WEEK)["extra_trips_fit"] is True
