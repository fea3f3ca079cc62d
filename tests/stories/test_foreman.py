"""Stories that must read right: what a shop foreman would say to this truck, and what he would send back.

Of each story two numbers are moved, to see that the answer moves the right way. Numbers beside an assertion are hand sums.
"""

import json
from typing import Any

import pytest

from tests.stories.told import heard, results, summary, truck

ORDER = ["fits", "watch", "against"]


def verdict(calculator: str, told: dict[str, Any], **given: object) -> str:
    """Its verdict, as every face tells it."""
    return str(results(calculator, told, **given)["verdict"])


def jobs(told: dict[str, Any], **given: object) -> str:
    """The list for a truck that sat, in a line."""
    return " | ".join(row["job"] for row in results("sitting_truck", told, **given)["jobs"])


def actions(told: dict[str, Any], **given: object) -> list[str]:
    """The list after a wrong fluid."""
    return [row["action"] for row in results("wrong_fluid", told, **given)["actions"]]


# 5: 30 degF below, and the pump sells a winter blend whose cloud point nobody told ---------------------------------------

FROST = truck("Frost", winter_fuel_kind="pump_blend", expected_low="-30 degF", summer_cloud_point="14 degF", fuel_in_tank="20 gal",
              fuel_tank_capacity="34 gal")


def test_a_blend_of_unknown_cloud_point_in_a_hard_freeze() -> None:
    """Ask, and hear both ends: 0 degF (our guess) is good to 10 with 10 of margin, No. 1 at -40 is good to -30."""
    said = heard("winter_fuel", FROST)
    assert said["results"]["verdict"]["value"] == "against"
    assert "ask at the station" in said["answer"] and "guess" in said["answer"]
    assert "10°F" in said["answer"] and "−30°F" in said["answer"]
    assert not any(word in said["answer"] for word in ("drain", "gallons", "Add "))


def test_warmer_or_told_by_the_station_it_gets_milder() -> None:
    milder = [verdict("winter_fuel", FROST, expected_low=low) for low in (-30, 12, 30)]
    assert milder == ["against", "watch", "fits"]
    told = heard("winter_fuel", FROST, winter_cloud_point=-45)
    assert told["results"]["verdict"]["value"] == "watch" and "guess" not in told["answer"]


def test_a_pump_nobody_asked_about_is_asked_about() -> None:
    nobody = truck("Frost", expected_low="-20 degF", fuel_in_tank="20 gal")
    said = heard("winter_fuel", nobody)
    assert said["answer"].startswith("Ask at the station what the pump sells")
    assert said["results"]["winter_fuel_share"]["value"] is None


# 6: a motorhome's hauler, parked 5 months, now 60 degF ---------------------------------------------------------------------

PARKED = truck("Hauler", battery_age="5 yr", def_age="14 month")
STOOD = {"time_parked": 5, "temperature_today": 60, "lowest_temperature": -20, "highest_temperature": 95}


def test_parked_five_months_and_thawed() -> None:
    """DEF of 14 months kept at 95 degF (6 months) is past its time; the batteries stood; nobody adds winter fuel."""
    listed = jobs(PARKED, **STOOD)
    assert "Test the DEF" in listed and "Test both batteries" in listed and "separator" in listed
    assert "winter fuel" not in listed and "warm building" not in listed
    order = [listed.index(word) for word in ("separator", "charge them", "needs a jump", "Start it", "first drive")]
    assert order == sorted(order)


def test_in_frost_the_wax_comes_first_and_cool_storage_spares_the_def() -> None:
    assert "warm building" in jobs(PARKED, **(STOOD | {"temperature_today": 5}))
    assert "Test the DEF" not in jobs(PARKED, **(STOOD | {"highest_temperature": 45}))  # 36 months at 50 degF
    assert "separator" not in jobs(PARKED, **(STOOD | {"time_parked": 0.5}))


# 9: two fifth-wheel trailers, a pin of 2,400 lb --------------------------------------------------------------------------------

# As weighed with people and tools; 160 in between the axles.
PIN = truck("Gooseneck", front_axle_weight="4700 lb", rear_axle_weight="4000 lb", wheelbase="160 in", occupants_weight="0 lb",
            cargo_weight="0 lb", plow_weight="0 lb", hitch="fifth_wheel", tongue_weight="2400 lb", trailer_weight="12000 lb",
            hitch_rating="18000 lb", tongue_rating="4500 lb", tow_rating="15000 lb", gross_rating="11500 lb", combined_rating="24000 lb",
            trailer_rating="14000 lb", front_axle_rating="5600 lb", rear_axle_rating="6300 lb", front_tire_rating="3200 lb",
            rear_tire_rating="3200 lb", rear_tires="2")


def test_the_rear_axle_speaks_under_a_pin() -> None:
    """2,400 x (160 - 2) / 160 = 2,370 lb on 4,000: 6,370, over 6,300 by 70; everything else has room."""
    said = heard("trailer_check", PIN)
    assert said["results"]["rear_axle_load"]["value"] == pytest.approx(6370)
    assert said["results"]["verdict"]["value"] == "against"
    assert "rear axle rating is passed by 70 pounds" in said["answer"]
    load = heard("axle_load", PIN)
    assert load["results"]["rear_axle_load"]["value"] == pytest.approx(6370)
    assert load["results"]["verdict"]["value"] == "against" and "rear axle" in load["answer"]
    assert verdict("duty_fit", PIN) == "against"


def test_the_second_trailer_has_a_lighter_pin() -> None:
    """1,900 lb are 15.8 % of it and 1,876 on the axle: 5,876, 424 left of 6,300."""
    assert verdict("trailer_check", PIN, tongue_weight=1900) == "fits"
    assert verdict("trailer_check", PIN, rear_axle_rating=6400) == "watch"  # 30 lb are left
    assert results("trailer_check", PIN, tongue_behind=4)["rear_axle_load"] == pytest.approx(4000 + 2400 * 164 / 160)


def test_a_balls_rating_says_nothing_of_the_pin() -> None:
    untold = truck("Gooseneck", **{key: told for key, told in PIN["facts"].items() if key != "tongue_rating"})
    assert results("trailer_check", untold, rear_axle_rating=7500)["tongue_margin"] is None
    assert verdict("trailer_check", untold) == "against"  # the rear axle speaks whatever is untold


# 10: DEF at 5 % ---------------------------------------------------------------------------------------------------------------

LOW = truck("Low", def_level="5 %", def_tank_capacity="8 gal", fuel_economy="14 mi/gal")


def test_def_at_five_percent_is_filled_now() -> None:
    said = heard("exhaust_fluid_use", LOW)
    assert said["answer"].startswith("Fill DEF now, at least 2 gallons, or what fits")
    assert said["results"]["range_to_reserve"]["value"] == said["results"]["days_to_reserve"]["value"] == 0
    assert "within" not in said["answer"] and "days" not in said["answer"]


def test_a_fuller_tank_or_a_lower_reserve_waits() -> None:
    for change in ({"def_level": 60}, {"reserve_level": 0}):
        assert heard("exhaust_fluid_use", LOW, **change)["answer"].startswith("Fill DEF within")
    fuller = [results("exhaust_fluid_use", LOW, def_level=level)["days_to_reserve"] for level in (5, 15, 40, 100)]
    assert fuller == sorted(fuller) and fuller[1] == 0 < fuller[2]


# 11: a refractometer reads 31.0 % ----------------------------------------------------------------------------------------------

JUG = truck("Jug", fuel_economy="14 mi/gal")


def test_thirty_one_percent_is_out_of_limits() -> None:
    """ISO 22241-1: 31.8 to 33.2 %."""
    said = heard("exhaust_fluid_quality", JUG, urea_reading=31.0)
    assert said["results"]["within_limits"]["value"] is False
    assert said["results"]["verdict"]["value"] == "against"
    assert said["answer"].startswith("Don’t use it") and "ok" not in said["answer"]


def test_stronger_it_is_good_and_too_old_it_is_tested() -> None:
    assert verdict("exhaust_fluid_quality", JUG, urea_reading=32.5, storage_time=3) == "fits"
    assert verdict("exhaust_fluid_quality", JUG, urea_reading=32.5, storage_time=30) == "watch"
    assert verdict("exhaust_fluid_quality", JUG, urea_reading=31.0, storage_time=0) == "against"
    nobody = heard("exhaust_fluid_quality", JUG)
    assert nobody["answer"].startswith("Not tested") and nobody["results"]["within_limits"]["value"] is None


# 12: only five facts told --------------------------------------------------------------------------------------------------------

FIVE = truck("Five", fuel_economy="14 mi/gal", fuel_price="4.10 USD/gal", def_tank_capacity="8 gal", odometer="20000 mi",
             idle_hours_per_week="4 h")


def test_five_facts_say_no_word_of_weight() -> None:
    for calculator in ("axle_load", "trailer_check"):
        said = heard(calculator, FIVE)
        assert said["results"]["verdict"]["value"] is None
        assert said["answer"].startswith("No verdict yet: tell ")
        assert "pound" not in said["answer"]
        assert all(row["margin"]["value"] is None for row in said["results"]["limits"])


def test_its_trips_are_the_examples_and_that_is_said() -> None:
    said = heard("regeneration", FIVE)
    assert said["answer_rests_on"] in ("partly", "example")
    assert {"short_trips_per_week", "long_trips_per_week"} & set(said["assumes"])
    assert said["answer"].startswith("By the example’s trips, the ") and said["answer"].endswith("How many trips do you make?")
    assert said["turns"]["input"] in ("short_trip_time", "short_trips_per_week", "long_trip_time", "long_trips_per_week")
    told = truck("Five", **FIVE["facts"], long_trips_per_week=2)
    assert heard("regeneration", told)["answer"].startswith("Your 2 long trips a week keep it clean")
    fit = heard("duty_fit", FIVE)
    assert fit["results"]["verdict"]["value"] == "watch"
    assert "looked at" in fit["answer"]
    assert summary(json.dumps(FIVE, sort_keys=True))["regeneration.advised_drive_time"] == "40 minutes"  # the trade’s, for any truck


def test_the_first_weight_told_is_one_less_to_tell() -> None:
    before, after = (heard("axle_load", told)["results"]["verdict"]["tell"] for told in (FIVE, truck("Five", **FIVE["facts"],
                                                                                                     front_axle_weight="4700 lb")))
    assert set(before) - set(after) == {"front_axle_weight"}
    assert verdict("axle_load", truck("Five", **FIVE["facts"], tows="no", plows="no", hauls="no", front_axle_weight="4700 lb",
                                      rear_axle_weight="3300 lb", occupants_weight="0 lb", gross_rating="7900 lb")) == "against"


# More that a foreman would ask ------------------------------------------------------------------------------------------------------

PLOW = truck("Plow", front_axle_weight="4800 lb", rear_axle_weight="3200 lb", wheelbase="150 in", plow_weight="800 lb", plow_ahead="45 in",
             cargo_weight="0 lb", occupants_weight="200 lb", occupants_ahead="75 in", tongue_weight="0 lb", hitch="none",
             ballast_behind="30 in", front_axle_rating="6000 lb", rear_axle_rating="7000 lb", gross_rating="11000 lb",
             front_tire_rating="3500 lb", rear_tire_rating="3500 lb", rear_tires="2")


def test_a_plow_that_fits_may_still_want_ballast() -> None:
    """800 x 45 / 150 = 240 lb off the rear: 4,800 + 800 + 240 + 100 = 5,940 in front, 60 left of 6,000."""
    said = heard("axle_load", PLOW)
    assert said["results"]["front_axle_load"]["value"] == pytest.approx(5940)
    assert said["results"]["verdict"]["value"] == "watch"
    assert "0 for the front axle; the plow’s book may ask for more" in said["answer"]


def test_a_heavier_plow_asks_for_ballast_and_a_lighter_one_for_none() -> None:
    """1,000 lb: 4,800 + 1,000 + 300 + 100 = 6,200; 200 lb over, and 200 x 150 / 30 = 1,000 lb behind the axle lift them."""
    heavy = heard("axle_load", PLOW, plow_weight=1000)
    assert heavy["results"]["ballast_needed"]["value"] == pytest.approx(1000)
    assert heavy["results"]["verdict"]["value"] == "against" and heavy["answer"].startswith("Add 1,000 pounds of ballast")
    assert verdict("axle_load", PLOW, plow_weight=1000, ballast_weight=1000) in ("fits", "watch")
    assert verdict("axle_load", PLOW, plow_weight=600) == "fits"
    assert results("axle_load", PLOW, plow_weight=1000, rear_tire_rating=2000)["ballast_needed"] is None  # the tires say no


DUALLY = truck("Dually", **{**PIN["facts"], "rear_tires": "4", "rear_tire_rating": "2800 lb", "rear_axle_rating": "9900 lb",
                            "gross_rating": "14000 lb"})


def test_four_tires_carry_the_pin_by_their_dual_rating() -> None:
    """4 x 2,800 = 11,200 lb of tires under 6,370."""
    said = heard("axle_load", DUALLY)
    assert said["results"]["rear_tire_margin"]["value"] == pytest.approx(11_200 - 6370)
    assert said["results"]["verdict"]["value"] != "against"
    assert verdict("axle_load", DUALLY, rear_tire_rating=1500) == "against"
    assert verdict("axle_load", DUALLY, tongue_weight=6000) == "against"


UNWEIGHED = truck("Unweighed", truck_weight="8600 lb", hitch="ball", trailer_weight="7000 lb", tongue_weight="850 lb",
                  hitch_rating="12000 lb", tongue_rating="1200 lb", tow_rating="13000 lb", gross_rating="11000 lb",
                  combined_rating="22000 lb", trailer_rating="9000 lb")


def test_a_trailer_whose_trucks_rear_axle_nobody_weighed_is_at_best_watched() -> None:
    said = heard("trailer_check", UNWEIGHED)
    assert said["results"]["verdict"]["value"] == "watch"
    assert "rear axle was not looked at" in said["answer"] and "It fits" not in said["answer"]
    assert verdict("trailer_check", UNWEIGHED, tongue_weight=1300) == "against"
    assert verdict("trailer_check", UNWEIGHED, trailer_weight=9100, tongue_weight=1100) == "against"


DAMP = truck("Damp", fuel_tank_capacity="34 gal", fuel_in_tank="10 gal", fuel_per_month="60 gal")


def test_the_drain_is_monthly_as_on_the_walk_round_and_bad_fuel_is_not_run() -> None:
    said = heard("tank_water", DAMP)
    assert said["answer"].startswith("Drain it every month") and said["results"]["verdict"]["value"] == "fits"
    over = heard("tank_water", DAMP, water_in_fuel=0.06)  # ASTM D975: 0.05 %
    assert over["results"]["verdict"]["value"] == "against" and over["answer"].startswith("Don’t run that fuel")
    assert results("tank_water", DAMP, water_in_fuel=0.05)["drain_every"] < 31 == said["results"]["drain_every"]["value"]
    assert "bowl size" in heard("tank_water", DAMP, water_in_fuel=0.05, separator_bowl_capacity=20, fuel_per_month=900)["answer"]


QUARTER = truck("Quarter", winter_fuel_kind="number_1", fuel_tank_capacity="34 gal", fuel_in_tank="34 gal", expected_low="-15 degF",
                summer_cloud_point="14 degF")


def test_a_full_tank_before_the_cold_burns_to_a_quarter() -> None:
    """A quarter of fuel that clouds at 14 degF under No. 1 clouds at -12: good to about -2."""
    said = heard("winter_fuel", QUARTER)
    assert said["answer"].startswith("Burn to a quarter") and "−2°F" in said["answer"] and "park it warm" in said["answer"]
    assert "drain" not in said["answer"] and "gallons" not in said["answer"]
    assert heard("winter_fuel", QUARTER, fuel_in_tank=3)["answer"].startswith("Fill it up")
    assert verdict("winter_fuel", QUARTER, expected_low=-45) == "against"
    assert verdict("winter_fuel", QUARTER, expected_low=5, fuel_in_tank=8) == "fits"


PUMP = truck("Pump", fuel_economy="14 mi/gal")


def test_gasoline_at_the_pump_with_the_key_untouched() -> None:
    listed = actions(PUMP, mistake="gasoline_in_fuel", key_turned="no", engine_ran="no")
    assert listed[0] == "Step away from the filler, then call the shop."
    assert "both fuel filters" in listed[-1]
    assert not any("shut it off" in action for action in listed)
    said = heard("wrong_fluid", PUMP, mistake="gasoline_in_fuel", key_turned="no", engine_ran="no")
    assert said["answer"].startswith("Stop. Don’t turn the key")


def test_the_further_it_got_the_dearer_and_the_louder() -> None:
    far = [{"key_turned": "no", "engine_ran": "no"}, {"key_turned": "yes", "engine_ran": "no"}, {"key_turned": "yes", "engine_ran": "yes"}]
    costs = [results("wrong_fluid", PUMP, mistake="def_in_fuel", **stage)["exposure_high"] for stage in far]
    assert costs == sorted(costs) and len(set(costs)) == 3
    assert "shut it off" in actions(PUMP, mistake="def_in_fuel", **far[2])[0]
    few, many = (results("wrong_fluid", PUMP, mistake="def_in_fuel", amount=amount, tank_contents=20) for amount in (0.1, 5))
    assert few["share"] < many["share"] and few["stop_level"] == many["stop_level"] == "stop_now"


SHARE = truck("Share", def_share_of_fuel="2 %", measured_def_share_of_fuel="4 %", def_level="80 %", def_tank_capacity="8 gal",
              fuel_economy="14 mi/gal")


def test_the_share_that_was_measured_counts_everywhere() -> None:
    """4 % of the fuel: 8 gal go with 200 gal, 2,800 mi."""
    assert results("exhaust_fluid_use", SHARE)["def_range"] == pytest.approx(2800)
    assert heard("fluid_cost", SHARE)["inputs"]["def_share_of_fuel"]["value"] == 4
    assert results("exhaust_fluid_use", SHARE, def_share_of_fuel=2)["def_range"] == pytest.approx(5600)  # given wins
    assert results("exhaust_fluid_use", SHARE, def_tank_capacity=4)["def_range"] == pytest.approx(1400)


def test_no_story_gets_milder_when_its_cause_gets_worse() -> None:
    worse = [("trailer_check", PIN, "tongue_weight", (1900, 2300, 2400)), ("axle_load", PLOW, "plow_weight", (500, 800, 1000)),
             ("tank_water", DAMP, "water_in_fuel", (0.002, 0.03, 0.06)), ("exhaust_fluid_quality", JUG, "storage_time", (0, 17, 40)),
             ("winter_fuel", QUARTER, "expected_low", (30, -15, -45)), ("sitting_truck", PARKED, "time_parked", (0.1, 2, 7))]
    for calculator, told, name, values in worse:
        verdicts = [ORDER.index(verdict(calculator, told, **{name: value})) for value in values]
        assert verdicts == sorted(verdicts), (calculator, verdicts)
