"""Stories of the exhaust filter, of idling and of money: what a shop foreman would say to this truck, and what he would send back.

Of each story two numbers are moved, to see that the answer moves the right way. Numbers beside an assertion are hand sums.
"""

from typing import Any

import pytest

from tests.stories.told import heard, results, truck

ORDER = ["fits", "watch", "against"]
YEAR = {"working_weeks_per_year": 50, "working_days_per_week": 6}


def changed(told: dict[str, Any], **facts: object) -> dict[str, Any]:
    """The same truck with other facts."""
    return told | {"facts": told["facts"] | {key: str(value) for key, value in facts.items()}}


def verdict(calculator: str, told: dict[str, Any], **facts: object) -> str:
    """Its verdict, as every face tells it."""
    return str(results(calculator, changed(told, **facts))["verdict"])


def worse(calculator: str, told: dict[str, Any], **facts: object) -> bool:
    """Whether those facts make its verdict worse."""
    return ORDER.index(verdict(calculator, told, **facts)) > ORDER.index(verdict(calculator, told))


def oil_caution(told: dict[str, Any], **facts: object) -> str:
    """What is said of fuel in the oil, if anything."""
    said = heard("regeneration", changed(told, **facts))
    return next((caution["text"] for caution in said["cautions"] if "fuel in the oil" in caution["hazard"]), "")


def reason(told: dict[str, Any], question: str, **facts: object) -> dict[str, str]:
    """What ``duty_fit`` says of one question."""
    return next(row for row in results("duty_fit", changed(told, **facts))["reasons"] if question in row["question"])


def one_oil_count(told: dict[str, Any], changes: float) -> None:
    """Everybody counts the same oil changes; fuel filters come with every other one."""
    cost, buying = results("fluid_cost", told), results("diesel_or_gasoline", told)
    assert cost["oil_changes_per_year"] == buying["oil_changes_per_year"] == pytest.approx(changes, abs=0.005)
    assert cost["fuel_filter_sets_per_year"] == pytest.approx(changes / 2, abs=0.005)
    assert buying["diesel_cost_per_year"] == cost["diesel_cost_per_year"]


# 1: a plow truck, 12-minute trips, and two of 45 minutes ---------------------------------------------------------------------

PLOW = truck("Plow", short_trip_time="12 min", short_trips_per_week=20, short_trip_speed="25 mph", long_trip_time="45 min",
             long_trips_per_week=2, long_trip_speed="60 mph", idle_hours_per_week="6 h", outside_temperature="30 F", plows="yes",
             severe_use="yes", fuel_economy="15 mpg", **YEAR)


def test_two_long_trips_carry_a_plow_trucks_week() -> None:
    """13 g of short trips and idling and 3.9 of long ones in a filter of 37.8: a burn every 15.6 days; without the long trips 20."""
    said = heard("regeneration", PLOW)
    assert said["results"]["verdict"]["value"] == "fits"
    assert said["results"]["broken_burns_per_month"]["value"] == 0
    assert said["answer"].startswith("Your 2 long trips a week keep it clean: a burn about every 16 days.")
    assert "is full in about 20 days" in said["answer"]
    assert not any(word in said["answer"] for word in ("Add", "parked", "shop", "gasoline"))
    assert oil_caution(PLOW) == ""


def test_its_idling_eats_the_oil() -> None:
    """575 engine hours of 200 are 2.9 changes; 300 idle hours told as 7,500 miles use up two changes of 3,750."""
    one_oil_count(PLOW, 575 / 200)
    assert results("idle_bill", PLOW)["oil_life_used"] == pytest.approx(200)
    assert results("idle_bill", changed(PLOW, idle_hours_per_week="12 h"))["oil_life_used"] == pytest.approx(400)
    assert reason(PLOW, "idle")["verdict"] == "watch"


def test_fewer_or_shorter_long_trips_carry_it_no_longer() -> None:
    assert worse("regeneration", PLOW, long_trip_time="37 min")
    assert worse("regeneration", PLOW, long_trips_per_week=0.3)
    assert verdict("regeneration", PLOW, long_trip_time="34 min") == "against"
    assert reason(PLOW, "filter clean", long_trips_per_week=0)["verdict"] == "against"


# 2: a highway rig, 90-minute trips, a trailer of 8,000 lb ----------------------------------------------------------------------

RIG = truck("Rig", short_trips_per_week=0, long_trip_time="90 min", long_trips_per_week=10, long_trip_speed="60 mph",
            idle_hours_per_week="2 h", outside_temperature="30 F", fuel_economy="10 mpg", tows="yes", trailer_weight="8000 lb",
            tongue_weight="1000 lb", severe_use="no", **YEAR)


def test_a_highway_rigs_filter_is_carefree_and_its_oil_no_alarm() -> None:
    """900 mi a week make 63 g, of which 27.7 burn on the way: about a burn a week, ten trips that end one. Oil by miles: 45,000/7,500."""
    said = heard("regeneration", RIG)
    assert said["results"]["verdict"]["value"] == "fits"
    assert said["results"]["first_try_share"]["value"] == 100
    assert said["answer"].startswith("Your trips keep the filter clean")
    assert "Leave" not in said["answer"] and oil_caution(RIG) == ""
    one_oil_count(RIG, 6)


def test_at_its_own_mileage_the_diesel_may_be_dearer_and_the_sentence_says_by_what() -> None:
    """Gasoline at 80 % of 10 miles a gallon; at 28 % fewer they cost the same: 1 - 4,500 gal x $3.30 / what gasoline may burn."""
    said = heard("diesel_or_gasoline", RIG)
    assert said["results"]["verdict"]["value"] == "watch"
    assert said["results"]["fewer_miles_to_break_even"]["value"] == pytest.approx(28, abs=0.5)
    assert said["answer"].startswith("By these numbers gasoline costs $9,930 less")
    assert not any(word in said["answer"] for word in ("take the gasoline", "12 mpg", "Juniper"))
    dear = heard("diesel_or_gasoline", changed(RIG, fuel_price="6 USD/gal"))
    assert dear["results"]["verdict"]["value"] == "against" and "fuel and fluids" in dear["answer"]
    told = heard("diesel_or_gasoline", changed(RIG, gasoline_fuel_economy="8.5 mpg"))
    assert told["results"]["verdict"]["value"] == "against" and "price less resale" in told["answer"]


def test_dearer_gasoline_speaks_for_the_diesel() -> None:
    differences = [results("diesel_or_gasoline", changed(RIG, gasoline_fuel_price=price))["difference"] for price in (3.3, 4, 5)]
    assert differences == sorted(differences, reverse=True)
    assert verdict("diesel_or_gasoline", RIG, gasoline_fuel_price=5) == "fits"


# 3: a bucket truck, power take-off 30 hours a week -----------------------------------------------------------------------------

BUCKET = truck("Bucket", short_trip_time="25 min", short_trips_per_week=10, short_trip_speed="25 mph", long_trip_time="40 min",
               long_trips_per_week=2, long_trip_speed="60 mph", idle_hours_per_week="30 h", work_idle_hours_per_day="5 h",
               outside_temperature="50 F", power_take_off="yes", fuel_economy="11 mpg", **YEAR)


def test_no_heater_does_a_bucket_trucks_work() -> None:
    said = heard("idle_bill", BUCKET)
    assert said["results"]["heater_payback"]["value"] is None
    assert said["results"]["heater_saving_per_year"]["value"] == 0
    assert "work that needs the engine" in said["answer"]
    assert not any(word in said["answer"] for word in ("heater", "shut the engine off"))


def test_hours_rule_its_oil() -> None:
    """10 x 25 and 2 x 40 minutes are 5.5 h: 35.5 h a week, 1,775 a year, of 200."""
    one_oil_count(BUCKET, 1775 / 200)


def test_its_filter_is_to_be_watched_for_the_burns_it_breaks_off() -> None:
    said = heard("regeneration", BUCKET)
    assert said["results"]["verdict"]["value"] == "watch"
    assert said["results"]["broken_burns_per_month"]["value"] == pytest.approx(6, abs=0.5)
    assert "drive on until it goes out" in said["answer"]
    assert "look at the dipstick each week" in oil_caution(BUCKET)
    assert "take a gasoline truck" not in heard("duty_fit", BUCKET)["answer"].lower()


def test_less_work_or_shorter_hops_move_it() -> None:
    """Two hours of work a day leave 3 of 5, of which warmth is 2.5 h: a heater saves again. Hops too short to start a burn break none."""
    assert results("idle_bill", changed(BUCKET, work_idle_hours_per_day="2 h"))["heater_payback"] < 5
    assert results("regeneration", changed(BUCKET, short_trip_time="12 min"))["broken_burns_per_month"] == 0
    assert verdict("regeneration", BUCKET, short_trip_time="12 min") == "fits"


# 4: forty trips of 20 minutes, one of 36 ---------------------------------------------------------------------------------------

FORTY = truck("Forty", short_trip_time="20 min", short_trips_per_week=40, short_trip_speed="25 mph", long_trip_time="36 min",
              long_trips_per_week=1, long_trip_speed="60 mph", idle_hours_per_week="6 h", outside_temperature="30 F", **YEAR)


def test_one_drive_that_only_just_ends_a_burn_beside_forty_that_break_one() -> None:
    said = heard("regeneration", FORTY)
    assert said["results"]["verdict"]["value"] == "watch"
    assert said["results"]["broken_burns_per_month"]["value"] == pytest.approx(7, abs=0.5)
    assert said["results"]["first_try_share"]["value"] < 20
    assert "7" in said["answer"] and "too short to end it" in said["answer"]
    assert "keep it clean" not in said["answer"] and "Good" not in said["answer"]


def test_its_share_of_fuel_in_the_oil_is_no_absurd_one() -> None:
    """Seven times 0.1 quarts of 13 are 5 %, at most twice that, at least none."""
    said = results("regeneration", FORTY)
    assert (said["fuel_into_oil_low"], said["fuel_into_oil"], said["fuel_into_oil_high"]) == pytest.approx((0, 5.5, 11), abs=0.5)
    assert "could be as soon as" in oil_caution(FORTY)


def test_longer_trips_cure_it_and_colder_ones_start_fewer_burns() -> None:
    assert results("regeneration", changed(FORTY, short_trip_time="36 min"))["broken_burns_per_month"] == 0
    cold, warm = (results("regeneration", changed(FORTY, long_trip_time="45 min", outside_temperature=t))["first_try_share"]
                  for t in ("-10 F", "70 F"))
    assert cold > warm
    assert verdict("regeneration", FORTY, long_trip_time="34 min") == "against"


# The school run: ten-minute trips and nothing else -----------------------------------------------------------------------------

SCHOOL = truck("School run", short_trip_time="10 min", short_trips_per_week=22, long_trips_per_week=0, idle_hours_per_week="1 h",
               outside_temperature="40 F", **YEAR)


def test_a_school_run_is_asked_for_a_drive_a_month_and_no_more() -> None:
    """22 x 10 min at 25 mph and an idle hour leave 7.4 g a week: a filter of 37.8 g in five weeks."""
    said = heard("regeneration", SCHOOL)
    assert said["results"]["verdict"]["value"] == "against"
    assert said["results"]["days_between_extra_trips"]["value"] == pytest.approx(34, abs=1)
    assert said["answer"].startswith("Your trips are too short to start a burn. Add one drive every 34 days, 40 minutes")
    assert "a week" not in said["answer"] and said["results"]["broken_burns_per_month"]["value"] == 0
    fit = heard("duty_fit", SCHOOL)["answer"]
    assert fit.startswith("Take a gasoline truck") and "Or add one long drive every 34 days." in fit


def test_more_of_them_ask_for_it_sooner_and_one_long_trip_a_week_ends_the_matter() -> None:
    assert results("regeneration", changed(SCHOOL, short_trips_per_week=60))["days_between_extra_trips"] < 20
    assert verdict("regeneration", SCHOOL, long_trips_per_week=1, long_trip_time="45 min") == "fits"


# An ambulance: 84 hours of idling a week ----------------------------------------------------------------------------------------

AMBULANCE = truck("Ambulance", short_trip_time="15 min", short_trips_per_week=60, long_trip_time="45 min", long_trips_per_week=1,
                  idle_hours_per_week="84 h", work_idle_hours_per_day="12 h", outside_temperature="50 F", severe_use="yes",
                  working_weeks_per_year=52, working_days_per_week=7)


def test_an_ambulances_cause_is_its_idling_and_not_short_trips() -> None:
    said = heard("regeneration", AMBULANCE)
    assert said["results"]["verdict"]["value"] == "against"
    assert said["answer"].startswith("It idles more than its drives can burn off. Idle less, or add 3 drives a week")
    assert "it idles more than its drives can burn off" in heard("duty_fit", AMBULANCE)["answer"]
    assert "short" not in heard("duty_fit", AMBULANCE)["answer"]
    assert "heater" not in heard("idle_bill", AMBULANCE)["answer"]  # all its idling is work


def test_an_ambulance_that_idles_less_or_drives_more_gets_milder() -> None:
    assert verdict("regeneration", AMBULANCE, idle_hours_per_week="20 h", work_idle_hours_per_day="0 h") == "watch"
    assert results("regeneration", changed(AMBULANCE, long_trips_per_week=4))["extra_long_trips_per_week"] < 3


# A farm truck: 3,000 miles a year, a long trip every third week ------------------------------------------------------------------

FARM = truck("Farm", short_trip_time="15 min", short_trips_per_week=10, short_trip_speed="30 mph", long_trip_time="40 min",
             long_trips_per_week=0.3, long_trip_speed="50 mph", idle_hours_per_week="1 h", outside_temperature="45 F",
             severe_use="yes", working_weeks_per_year=40, working_days_per_week=5)


def test_the_calendar_rules_a_farm_trucks_oil() -> None:
    """85 mi a week are 3,400 a year of 3,750; 3.7 h a week are 148 of 200; every 6 months is twice a year."""
    one_oil_count(FARM, 2)


def test_a_farm_truck_used_more_is_ruled_by_its_miles() -> None:
    one_oil_count(changed(FARM, short_trips_per_week=40), 310 * 40 / 3750)
    one_oil_count(changed(FARM, severe_use="no"), 1)


# A express truck: 100,000 miles a year -------------------------------------------------------------------------------------------

EXPRESS = truck("Express", short_trips_per_week=2, short_trip_time="20 min", long_trip_time="4 h", long_trips_per_week=7.5,
                long_trip_speed="66.5 mph", idle_hours_per_week="10 h", outside_temperature="55 F", fuel_economy="9.5 mpg",
                severe_use="no", **YEAR)


def test_miles_rule_an_express_trucks_oil_and_its_filter_is_no_worry() -> None:
    """2,012 mi a week: 100,583 a year of 7,500. A burn every few days, and every long trip ends one."""
    one_oil_count(EXPRESS, 2011.67 * 50 / 7500)
    said = heard("regeneration", EXPRESS)
    assert said["results"]["verdict"]["value"] == "fits"
    assert said["results"]["days_between_regenerations"]["value"] == pytest.approx(3.2, abs=0.1)
    assert "Add" not in said["answer"]


def test_a_hot_shot_with_less_to_do_changes_oil_less_and_one_with_a_thirsty_rival_is_for_the_diesel() -> None:
    assert results("fluid_cost", changed(EXPRESS, long_trips_per_week=4))["oil_changes_per_year"] < 9
    assert verdict("diesel_or_gasoline", EXPRESS, gasoline_economy_share="60 %") == "fits"
    assert verdict("diesel_or_gasoline", EXPRESS, gasoline_economy_share="84 %") == "against"


# A night watch at ten below -----------------------------------------------------------------------------------------------------

WATCH = truck("Night watch", idle_hours_per_week="36 h", outside_temperature="-10 F", warmth_share_of_idle="90 %", fuel_price=4, **YEAR)


def test_at_ten_below_nobody_is_told_to_shut_it_off() -> None:
    """32.4 h a week of warmth x 50 x 0.52 gal x $4: $3,370 a year, a heater in half a year."""
    said = heard("idle_bill", WATCH)
    assert "don’t shut it off unless you can plug in or park warm" in said["answer"]
    assert "when you step away" not in said["answer"]
    assert said["results"]["heater_saving_per_year"]["value"] == pytest.approx(3369.6)
    assert "heater would save $3,370 a year" in said["answer"]


def test_milder_air_says_shut_it_off_and_a_dear_heater_is_for_the_warmth() -> None:
    assert "shut the engine off when you step away" in heard("idle_bill", changed(WATCH, outside_temperature="10 F"))["answer"]
    few = changed(WATCH, idle_hours_per_week="3 h")
    assert "for the warmth, not for the money" in heard("idle_bill", few)["answer"]
    assert "heater" not in heard("idle_bill", changed(few, warmth_share_of_idle="10 %"))["answer"]


# Sixty below: the sum does not reach so far ---------------------------------------------------------------------------------------

ARCTIC = truck("Arctic", short_trip_time="20 min", short_trips_per_week=4, long_trip_time="90 min", long_trips_per_week=8,
               outside_temperature="-60 F", **YEAR)


def test_at_sixty_below_the_sum_says_how_far_it_reaches() -> None:
    """482 degF of light-off less a rise of 540: it ends at 58 below."""
    said = heard("regeneration", ARCTIC)
    assert said["results"]["advised_drive_time"]["value"] is None
    assert "−58°F" in said["answer"] and "Start warm" in said["answer"]
    assert not any(word in said["answer"] for word in ("parked", "Add", "too short"))
    assert "cold" in heard("duty_fit", ARCTIC)["answer"] and "short" not in heard("duty_fit", ARCTIC)["answer"]


def test_twenty_degrees_warmer_it_advises_a_longer_drive_and_at_thirty_the_usual_one() -> None:
    drives = [results("regeneration", changed(ARCTIC, outside_temperature=t))["advised_drive_time"] for t in ("-40 F", "0 F", "30 F")]
    assert drives == [50, 45, 40]
    assert verdict("regeneration", ARCTIC, outside_temperature="-40 F") == "fits"


# Sold after two years, with the loan still running -----------------------------------------------------------------------------------

SOLD = truck("Sold soon", ownership_time="2 yr", loan_time="72 month", truck_price=70000, gasoline_truck_price=69000,
             gasoline_fuel_economy="9 mpg", resale_share="70 %", gasoline_resale_share="60 %", **YEAR)


def test_sold_soon_the_balance_is_owed_and_the_years_are_marked() -> None:
    """48 of 72 payments are left. At $1,000 apart and a tenth more of its price back, the diesel is the cheaper one."""
    said = heard("diesel_or_gasoline", SOLD)
    assert said["results"]["months_left_at_sale"]["value"] == 48
    assert said["results"]["share_owed_at_sale"]["value"] > 0.6
    assert said["results"]["verdict"]["value"] == "fits" and "take the diesel" in said["answer"]
    assert reason(SOLD, "own it")["verdict"] == "watch"
    assert "earn" not in reason(SOLD, "own it")["why"]


def test_less_back_or_longer_kept_moves_it() -> None:
    assert verdict("diesel_or_gasoline", SOLD, resale_share="40 %") == "against"
    assert reason(SOLD, "own it", ownership_time="6 yr")["verdict"] == "fits"


# A gasoline truck that is told to go farther than the diesel ----------------------------------------------------------------------------

WISHFUL = truck("Wishful", fuel_economy="15 mpg", gasoline_fuel_economy="20 mpg", **YEAR)


def test_a_gasoline_truck_that_goes_farther_is_asked_about() -> None:
    for name in ("fluid_cost", "diesel_or_gasoline"):
        said = heard(name, WISHFUL)
        assert any("farther on a gallon" in caution["hazard"] for caution in said["cautions"])
        honest = heard(name, changed(WISHFUL, gasoline_fuel_economy="12 mpg"))
        assert not any("farther on a gallon" in caution["hazard"] for caution in honest["cautions"])
    cheap, dear = (results("fluid_cost", changed(WISHFUL, gasoline_fuel_economy=e))["difference_per_year"] for e in ("20 mpg", "10 mpg"))
    assert cheap > dear
