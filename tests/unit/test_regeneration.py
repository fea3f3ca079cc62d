"""Trips, soot and burns: sums by hand on a week that is easy to follow, and the weeks that a foreman would judge at a glance."""

from math import exp, log
from typing import Any

import pytest

from tests.unit.ask import ask, results

# 10 trips of 30 min at 20 mi/h and 2 of 60 min at 60 mi/h: 100 + 120 mi, 6 h of idling
WEEK = {"short_trip_time": 30, "short_trips_per_week": 10, "short_trip_speed": 20, "long_trip_time": 60, "long_trips_per_week": 2,
        "long_trip_speed": 60, "idle_hours_per_week": 6, "soot_rate": 0.1, "idle_soot_rate": 1, "passive_share": 50, "filter_capacity": 40,
        "soot_burned_share": 90}


# 6 min ln(540 ÷ (30 + 540 − 482)): what the exhaust needs to light off at 30 degF; of the long hour's soot, half burns after that
WARM_UP = 6 * log(540 / 88)
KEPT = 28 - 6 * (60 - WARM_UP) / 60


def test_soot_by_hand() -> None:
    """220 mi x 0.1 + 6 h x 1 = 28 g; half of 120 mi x 0.1 would burn on the way, but for the minutes before light-off."""
    said = results("regeneration", **WEEK)
    assert said["soot_per_week"] == pytest.approx(28)
    assert said["soot_burned_passively_per_week"] == pytest.approx(6 * (60 - WARM_UP) / 60)
    assert said["soot_kept_per_week"] == pytest.approx(KEPT)


def test_days_and_miles_between_burns_by_hand() -> None:
    """90 % of 40 g is 36 g: 7 x 36/kept days, and as many weeks of 220 mi."""
    said = results("regeneration", **WEEK)
    assert said["days_between_regenerations"] == pytest.approx(7 * 36 / KEPT)
    assert said["distance_between_regenerations"] == pytest.approx(36 / KEPT * 220)


def test_a_long_trip_that_ends_before_light_off_burns_nothing_on_the_way() -> None:
    assert results("regeneration", **(WEEK | {"long_trip_time": WARM_UP}))["soot_burned_passively_per_week"] == 0
    assert results("regeneration", **(WEEK | {"long_trip_time": WARM_UP + 1}))["soot_burned_passively_per_week"] > 0


def test_time_needed_is_its_three_parts() -> None:
    said = results("regeneration", **WEEK)
    assert said["time_needed_from_cold"] == pytest.approx(said["warm_up_time"] + 4 + said["burn_time"])


@pytest.mark.parametrize("length", ["short", "long"])
def test_how_much_of_a_burn_fits_into_a_trip(length: str) -> None:
    """Light-off and four minutes of heating up come first: half of the burn after them is half a burn, and more than all of it is one."""
    burn = results("regeneration", **WEEK)["burn_time"]
    for part, share in ((0.5, 50), (0.25, 25), (1, 100), (1.3, 100), (-0.1, 0)):
        said = results("regeneration", **(WEEK | {f"{length}_trip_time": WARM_UP + 4 + part * burn}))
        assert said[f"{length}_trip_hot_share"] == pytest.approx(share)


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
    ({"short_trip_time": 12}, 0, "fits"),                       # two trips a week finish one burn each, the others start none
    ({}, 0, "watch"),                                           # but 30-minute trips start burns that they break off
    ({"short_trip_time": 12, "long_trips_per_week": 0.5, "soot_rate": 0.3}, 1, "watch"),  # more burns than half a trip can end
    ({"long_trips_per_week": 0}, 1, "against"),                 # none long enough, one more would do
])
def test_verdicts(told: dict[str, object], extra: int, verdict: str) -> None:
    said = results("regeneration", **(WEEK | told))
    assert (said["extra_long_trips_per_week"], said["verdict"]) == (extra, verdict)


def test_extra_trips_by_hand() -> None:
    """No long trips, 20 short: 200 mi x 0.3 + 6 = 66 g; a burn takes 36; 40 more minutes at 60 mi/h make 12 g, half of it burns when hot.

    n burns must take 66 + n of those: 36n >= 66 + 7.6n, n >= 2.3, so three.
    """
    said = results("regeneration", **(WEEK | {"short_trips_per_week": 20, "long_trips_per_week": 0, "soot_rate": 0.3}))
    kept = 0.3 * (40 - 0.5 * (40 - WARM_UP))
    assert said["soot_kept_on_extra_trip"] == pytest.approx(kept)
    assert said["extra_long_trips_wanted"] == pytest.approx(66 / (36 - kept))
    assert said["extra_long_trips_per_week"] == 3


def test_an_extra_trip_lasts_as_long_as_advised_and_never_as_long_as_the_longest_of_yours() -> None:
    drive = [results("regeneration", long_trip_time=minutes)["soot_kept_on_extra_trip"] for minutes in (10, 90)]
    assert drive[0] == drive[1]


def test_drives_that_make_more_soot_than_a_burn_takes_never_help() -> None:
    """40 minutes at 60 mi/h and 0.225 g a mile, nothing burnt on the way, are 9 g: just what a burn takes of 10."""
    told = WEEK | {"soot_rate": 0.225, "filter_capacity": 10, "passive_share": 0, "long_trips_per_week": 0}
    answer = ask("regeneration", **told)
    assert answer["results"]["extra_long_trips_per_week"]["value"] is None
    assert "more soot than a burn" in answer["results"]["extra_long_trips_per_week"]["why"]
    assert results("regeneration", **(told | {"soot_rate": 0.224}))["extra_long_trips_per_week"] > 0


def test_never_warm() -> None:
    answer = ask("regeneration", **WEEK, outside_temperature=-60, temperature_rise=300)
    said = answer["results"]
    assert said["warm_up_time"]["value"] is None and "never gets hot enough" in said["warm_up_time"]["why"]
    assert said["verdict"]["value"] == "against"
    assert said["extra_long_trips_per_week"]["value"] is None
    assert said["soot_burned_passively_per_week"]["value"] == 0
    assert "never gets hot enough" in answer["answer"]


def test_broken_burns_and_fuel_into_oil_by_hand() -> None:
    """A 30-minute trip has 15.1 minutes for a burn of 20: ten of them count 7.6. Of the two hours' soot all, of the short trips' none
    ends; what gathers cold or idling ends on 2 of 9.6 hot trips. The soot is enough for fewer broken burns than are tried."""
    said = results("regeneration", **WEEK)
    room, burn = 30 - WARM_UP - 4, said["burn_time"]
    breaking = 10 * room / burn
    hot = 10 * room / burn  # g: ten trips of 1 g each
    cold = 10 - hot + 6
    p = 2 / (2 + breaking)
    tried = KEPT * 30.44 / 7 / 36 * (hot + cold * (1 - p)) / KEPT / p
    fed = KEPT * 30.44 / 7 / (40 * (1 - exp(-log(10) * room / burn)))
    assert said["first_try_share"] == pytest.approx((1 - (hot + cold * (1 - p)) / KEPT) * 100)
    assert fed < tried < breaking * 30.44 / 7
    assert said["broken_burns_per_month"] == pytest.approx(fed, rel=1e-6)
    assert said["fuel_into_oil"] == pytest.approx(fed * 0.1 / 13 * 100, rel=1e-6)


def test_which_trips_are_called_short_decides_nothing() -> None:
    """Without soot burned on the way, which only long trips do, the same week told the other way round has the same burns.

    Ten half hours of 1 g each leave 15.1 minutes for a burn; what gathers cold or idling ends on 2 of all the trips on which it can start.
    """
    swapped = {"short_trip_time": 60, "short_trips_per_week": 2, "short_trip_speed": 60,
               "long_trip_time": 30, "long_trips_per_week": 10, "long_trip_speed": 20, "passive_share": 0}
    for told in ({"passive_share": 0}, swapped):
        said = results("regeneration", **(WEEK | told))
        hot = 10 * (30 - WARM_UP - 4) / said["burn_time"]
        waits = 28 - 12 - hot
        assert said["first_try_share"] == pytest.approx((1 - (hot + waits * hot / (2 + hot)) / 28) * 100)
        assert said["load_between_long_trips"] == pytest.approx((28 - 12) / 2 / 40 * 100)


@pytest.mark.parametrize(("which", "told"), [
    ("chances_to_break_per_month",
     {"short_trip_time": 20, "short_trips_per_week": 1, "long_trips_per_week": 0.2, "idle_hours_per_week": 60}),
    ("broken_burns_fed_per_month", {}),
    ("burns_broken_before_one_ends", {"short_trips_per_week": 2, "long_trips_per_week": 8}),
])
def test_the_least_of_three_bounds_how_many_burns_break_off(which: str, told: dict[str, object]) -> None:
    said = results("regeneration", **(WEEK | told))
    bounds = ("chances_to_break_per_month", "broken_burns_fed_per_month", "burns_broken_before_one_ends")
    assert min(bounds, key=said.__getitem__) == which
    assert said["broken_burns_per_month"] == said[which]


# What a foreman says of them, and the burns broken off that a simulation of shuffled trips found (tests/unit/test_burn_simulation.py).
BUCKET = {"short_trip_time": 25, "short_trips_per_week": 10, "long_trip_time": 40, "idle_hours_per_week": 30, "outside_temperature": 50}


@pytest.mark.parametrize(("truck", "told", "verdict", "days", "broken"), [
    ("juniper", {}, "fits", 15.6, 0),
    ("tamarack", {}, "fits", 7.7, 0.15),
    ("juniper", {"short_trip_time": 25}, "watch", 10.8, 3.7),
    ("juniper", {"short_trip_time": 20, "short_trips_per_week": 40, "long_trip_time": 36, "long_trips_per_week": 1}, "watch", 8.5, 7),
    ("juniper", BUCKET, "watch", 6.5, 6),
])
def test_weeks_that_a_foreman_knows(truck: str, told: dict[str, object], verdict: str, days: float, broken: float) -> None:
    said = results("regeneration", truck, **told)
    assert said["verdict"] == verdict
    assert said["days_between_regenerations"] == pytest.approx(days, abs=0.06)
    assert said["broken_burns_per_month"] == pytest.approx(broken, rel=0.04)


def test_first_tries_that_a_foreman_knows() -> None:
    assert results("regeneration", "juniper")["first_try_share"] == 100
    assert results("regeneration", "tamarack")["first_try_share"] == pytest.approx(97, abs=0.5)


@pytest.mark.parametrize(("outside", "minutes"), [(110, 40), (20, 40), (12, 40), (10, 45), (0, 45), (-25, 45), (-27, 50), (-30, 50)])
def test_one_advised_drive_by_the_cold(outside: float, minutes: float) -> None:
    """The trade's 40 minutes from 20 degF up; a tenth more than the sum in the cold, in steps of five.

    1.1 x (6 ln(540 / (outside + 58)) + 24) is 40 at 11 degF and 45 at -26.
    """
    assert results("regeneration", outside_temperature=outside)["advised_drive_time"] == minutes


def test_the_advised_drive_is_not_stretched_by_rounding() -> None:
    """Where a tenth more comes to a whole step, that is it: 6 ln 10 + 20 + x = 45.4545 for x = 11.64 minutes of heating up."""
    needed = results("regeneration", heat_up_time=0)["time_needed_from_cold"]
    assert results("regeneration", heat_up_time=50 / 1.1 - needed - 1e-9)["advised_drive_time"] == 50
    assert results("regeneration", heat_up_time=50 / 1.1 - needed + 1e-9)["advised_drive_time"] == 55


EDGES = [("long_trip_time", 34, 35), ("short_trip_time", 14.8, 15), ("idle_hours_per_week", 64, 66), ("long_trip_time", 39.9, 40.1),
         ("outside_temperature", -58.1, -56), ("outside_temperature", -54, -52)]


@pytest.mark.parametrize(("input_", "before", "after"), EDGES)
def test_no_edge_is_a_knifes(input_: str, before: float, after: float) -> None:
    verdicts = [results("regeneration", "juniper", **{"long_trip_time": 70, input_: value} if input_ == "outside_temperature"
                        else {input_: value})["verdict"] for value in (before, after)]
    assert set(verdicts) != {"fits", "against"}


@pytest.mark.parametrize(("told", "cause", "says"), [
    ({}, "long_trips", "Your 2 long trips a week keep it clean: a burn about every 16 days. Leave them out"),
    ({"long_trips_per_week": 1}, "long_trips", "Your one long trip a week keeps it clean"),
    ({"short_trips_per_week": 0, "long_trips_per_week": 8}, "all_trips", "Your trips keep the filter clean"),
    ({"long_trips_per_week": 0}, "too_short_to_start", "Your trips are too short to start a burn. Add one drive every"),
    ({"long_trip_time": 30}, "too_short_to_end", "Your trips get hot enough to start a burn and are too short to end it"),
    ({"short_trip_time": 20}, "too_short_to_end", "Your shorter trips get hot enough"),
    ({"idle_hours_per_week": 60}, "idles_too_much", "It idles more than its drives can burn off. Idle less, or make long trips more often"),
    ({"idle_hours_per_week": 120}, "idles_too_much", "Idle less, or add 2 drives a week, each 40 minutes"),
    ({"long_trips_per_week": 0.1}, "too_few_long_trips", "Your long trips are too few for the soot of the week. Add one drive every"),
    ({"long_trip_time": 36}, "only_just", "Your long trips end a burn only just. Make them 40 minutes or longer."),
    ({"outside_temperature": -55, "long_trip_time": 70}, "nearly_too_cold", "In this cold a drive hardly gets hot enough. Start it"),
    ({"outside_temperature": -60}, "too_cold", "This sum reaches down to −58°F"),
    ({"short_trips_per_week": 0, "long_trips_per_week": 0}, "only_idles", "It only idles, and idling never burns the filter clean. Add"),
    ({"short_trips_per_week": 0, "long_trips_per_week": 0, "idle_hours_per_week": 0}, "nothing_builds_up", "Nothing is driven or idled"),
    ({"soot_rate": 0.5, "filter_capacity": 10}, "too_much_soot", "Your week makes more soot than its drives can burn off. Ask a shop"),
])
def test_the_sentence_names_the_true_cause(told: dict[str, object], cause: str, says: str) -> None:
    answer = ask("regeneration", "juniper", **told)
    assert answer["results"]["cause"]["value"] == cause
    assert says in answer["answer"]


def test_a_parked_burn_is_no_cure_for_the_cold() -> None:
    for outside in (-60, -58, -57, -40):
        assert "parked" not in ask("regeneration", outside_temperature=outside)["answer"]


def test_without_the_long_trips_by_hand() -> None:
    """Short trips and idling alone: 100 mi x 0.07 + 6 h = 13 g a week, and a burn's worth is 37.8 g: about three weeks."""
    assert results("regeneration", "juniper")["days_without_long_trips"] == pytest.approx(7 * 37.8 / 13)


def test_between_two_long_trips_by_hand() -> None:
    """13 g by two trips, of 42 g."""
    assert results("regeneration", "juniper")["load_between_long_trips"] == pytest.approx(13 / 2 / 42 * 100)


@pytest.mark.parametrize(("idle", "verdict"), [(34.9, "fits"), (35.1, "watch")])
def test_half_a_filter_between_two_long_trips_is_enough(idle: float, verdict: str) -> None:
    """7 g of short trips and the idling, by two: 21 g are half of 42 at 35 h."""
    assert results("regeneration", "juniper", idle_hours_per_week=idle)["verdict"] == verdict


@pytest.mark.parametrize(("share", "verdict"), [(79.9, "watch"), (80.1, "fits")])
def test_four_of_five_burns_must_end_at_the_first_try(share: float, verdict: str) -> None:
    """Found by halving between a 15-minute trip, of which hardly any starts a burn, and one of 16."""
    low, high = 15.0, 16.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (low, middle) if results("regeneration", short_trip_time=repr(middle))["first_try_share"] < share else (middle, high)
    assert results("regeneration", short_trip_time=repr(low))["verdict"] == verdict


def test_many_short_drives_lacking_are_against_and_two_are_watched() -> None:
    few, many = (results("regeneration", "juniper", idle_hours_per_week=idle, long_trips_per_week=1) for idle in (80, 120))
    assert (few["extra_long_trips_per_week"], few["verdict"]) == (2, "watch")
    assert (many["extra_long_trips_per_week"], many["verdict"]) == (3, "against")


def test_a_drive_that_is_lacking_now_and_then_is_counted_in_days() -> None:
    """Ten-minute trips alone: a burn's worth takes 35 days, and the drive's own soot brings the next a little sooner."""
    answer = ask("regeneration", short_trip_time=10, short_trips_per_week=22, long_trips_per_week=0, idle_hours_per_week=1)
    days = answer["results"]["days_between_extra_trips"]["value"]
    assert 30 <= days <= answer["results"]["days_between_regenerations"]["value"]
    assert f"Add one drive every {days:g} days, 40 minutes" in answer["answer"]


def test_the_filters_load_by_hand() -> None:
    """About 23 g a week in 40 g is 8.2 % a day: past 100 % on day 13; a trip that burns falls on every 3.5th day, so on day 14."""
    said = results("regeneration", **WEEK)["filter_load"]
    load = [row["load"]["value"] for row in said]
    daily = KEPT / 7 / 40 * 100
    assert load[:14] == pytest.approx([daily * day for day in range(14)])
    assert load[14] == pytest.approx(daily * 14 * 0.1)  # a tenth of what it held stays
    assert len(load) == 43


def test_a_filter_that_is_just_full_burns() -> None:
    """Two trips of 2 g and 66 h of idling make 10 g a day, a quarter of 40 g: the first trip comes on day 4."""
    told = WEEK | {"short_trips_per_week": 0, "long_trip_speed": 40, "soot_rate": 0.05, "passive_share": 0, "idle_hours_per_week": 66}
    load = [row["load"]["value"] for row in results("regeneration", **told)["filter_load"]]
    assert load[:5] == pytest.approx([0, 25, 50, 75, 10])


def test_a_burn_broken_off_never_counts() -> None:
    """No trip is long enough: the load only grows."""
    said = results("regeneration", **(WEEK | {"long_trips_per_week": 0}))["filter_load"]
    load = [row["load"]["value"] for row in said]
    assert load == sorted(load)
    assert load[-1] > 100
    assert min(row["load_with_one_more"]["value"] for row in said[15:]) < 100


def oil_caution(**told: Any) -> str:
    """What is said of fuel in the oil, if anything."""
    return next((c["text"] for c in ask("regeneration", **told)["cautions"] if "fuel in the oil" in c["hazard"]), "")


def test_the_oil_is_spoken_of_from_two_broken_burns_a_month_on() -> None:
    """Ours. A 16-minute trip breaks off one a month, an 18-minute trip three."""
    for minutes, said in ((12, False), (16, False), (18, True)):
        assert (results("regeneration", short_trip_time=minutes)["broken_burns_per_month"] >= 2) is said
        assert bool(oil_caution(short_trip_time=minutes)) is said


def test_fuel_of_a_burn_by_hand() -> None:
    """220 kg/h x 1.1 kJ/(kg K) x 300 K for heat-up and burn, over 128,488 Btu/gal."""
    said = results("regeneration", **WEEK)
    assert said["fuel_per_regeneration"] == pytest.approx(220 * 1.1 * 300 * (4 + said["burn_time"]) / 60 / (128_488 * 1.05505585262))


def test_fuel_of_a_burn_as_a_range() -> None:
    """0.2 to 0.6 gallons (from memory), and never a range that its own sum falls out of."""
    said = results("regeneration")
    assert (said["fuel_per_regeneration_low"], said["fuel_per_regeneration_high"]) == (0.2, 0.6)
    quick, slow = (results("regeneration", regeneration_temperature=t) for t in (1290, 900))
    assert quick["fuel_per_regeneration_low"] == quick["fuel_per_regeneration"] < 0.2
    assert slow["fuel_per_regeneration_high"] == slow["fuel_per_regeneration"] > 0.6


def test_the_guess_of_fuel_in_the_oil_is_told_as_a_range_beside_the_trades_limits() -> None:
    """Nothing at least: some trucks inject into the exhaust. Twice the guess at most: 2 % after as much of a month, 5 % likewise."""
    said = results("regeneration", **WEEK)
    a_quart = said["broken_burns_per_month"] / 13 * 100
    assert (said["fuel_into_oil_low"], said["fuel_into_oil_high"]) == pytest.approx((0, 0.2 * a_quart))
    assert said["days_to_oil_trouble"] == pytest.approx(30.44 * 2 / (0.2 * a_quart))
    assert said["days_to_oil_limit"] == pytest.approx(30.44 * 5 / (0.2 * a_quart))
    text = oil_caution(**WEEK)
    assert "look at the dipstick each week" in text
    assert "could be as soon as" in text and "from 0% to" in text


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
    assert "Idle less" in answer["answer"] and "the week has no room" in answer["answer"]
    assert "Add" not in answer["answer"]
    assert results("regeneration", **WEEK)["extra_trips_fit"] is True


def test_drives_that_fill_the_free_hours_to_the_minute_still_fit() -> None:
    """Three drives of 40 minutes in 168 h less 166 h."""
    told = {"short_trips_per_week": 0, "long_trips_per_week": 0, "idle_hours_per_week": 166, "idle_soot_rate": 0.6}
    assert results("regeneration", **told)["extra_long_trips_per_week"] == 3
    assert results("regeneration", **told)["extra_trips_fit"] is True
    assert results("regeneration", **(told | {"idle_hours_per_week": 166.01}))["extra_trips_fit"] is False


def test_how_full_it_gets_is_told_to_the_whole_percent() -> None:
    """64 idle hours: 64 g idling and 7 g of short trips between two long ones; 35.5 g each of 42 g are 84.5 %."""
    said = ask("regeneration", idle_hours_per_week=64)
    assert said["results"]["load_between_long_trips"]["value"] == pytest.approx(84.5, abs=0.1)
    assert "would get 85% full" in said["answer"]
