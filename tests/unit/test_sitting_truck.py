"""A truck that sat: what matters from when, and the order of the list."""

import pytest

from tests.unit.ask import ask, faults, results

FRESH = {"time_parked": 0, "fuel_in_tank": 34, "lowest_temperature": 40, "highest_temperature": 70, "def_age": 0, "battery_age": 0,
         "temperature_today": 60}
ALWAYS = 6  # levels, tires and brakes, nests, the order of a jump, the start, the first drive


def test_a_fresh_truck_has_nothing_that_matters() -> None:
    said = results("sitting_truck", **FRESH)
    assert (said["jobs_that_matter"], said["verdict"]) == (0, "fits")
    assert len(said["jobs"]) == ALWAYS


@pytest.mark.parametrize(("told", "holds"), [
    ({"time_parked": 0.99}, 0), ({"time_parked": 1}, 2), ({"time_parked": 5.99}, 2), ({"time_parked": 6}, 3),
    ({"battery_age": 3.99}, 0), ({"battery_age": 4}, 1), ({"fuel_in_tank": 17}, 0), ({"fuel_in_tank": 16.9}, 1),
    ({"temperature_today": 14}, 0), ({"temperature_today": 13.9}, 1), ({"lowest_temperature": -20}, 0),
    ({"def_age": 18}, 0), ({"def_age": 18.1}, 1),
    ({"highest_temperature": 100}, 1),
])
def test_from_when_each_matters(told: dict[str, object], holds: int) -> None:
    """Parked 1 month: batteries (from memory) and water (ours); 6: fuel (from memory). Half a tank is ours."""
    said = results("sitting_truck", **(FRESH | told))
    assert said["jobs_that_matter"] == holds
    assert len(said["jobs"]) == ALWAYS + holds
    assert said["verdict"] == ("watch" if holds else "fits")


@pytest.mark.parametrize(("told", "holds", "verdict"), [
    ({"time_parked": 6}, 3, "watch"), ({"time_parked": 6, "fuel_in_tank": 5}, 4, "against"),
    ({"time_parked": 60, "fuel_in_tank": 0, "lowest_temperature": -60, "highest_temperature": 140, "def_age": 120, "temperature_today": 0},
     6, "against"),
])
def test_verdicts(told: dict[str, object], holds: int, verdict: str) -> None:
    said = results("sitting_truck", **(FRESH | told))
    assert (said["jobs_that_matter"], said["verdict"]) == (holds, verdict)


def test_the_separator_comes_first_and_the_start_last() -> None:
    rows = [row["job"]["value"] for row in results("sitting_truck", **(FRESH | {"time_parked": 60, "fuel_in_tank": 0}))["jobs"]]
    assert "separator" in rows[0] and "key on" in rows[0]
    for row, word in zip(rows[-4:], ("charge them", "needs a jump", "Start it", "first drive"), strict=True):
        assert word in row


def test_the_coldest_is_not_above_the_warmest() -> None:
    assert "lowest_temperature" in faults("sitting_truck", lowest_temperature=80, highest_temperature=70)


def test_starting_fluid_is_warned_of() -> None:
    assert any("Starting fluid explodes" in caution["hazard"] for caution in ask("sitting_truck")["cautions"])


@pytest.mark.parametrize("told", [
    {"time_parked": 1, "battery_age": 5, "fuel_in_tank": 1, "def_age": 100}, {"time_parked": 0.5, "battery_age": 5},
    {"time_parked": 60, "fuel_in_tank": 0},
    {"time_parked": 2, "battery_age": 5, "fuel_in_tank": 1, "lowest_temperature": -20, "highest_temperature": 120},
])
def test_the_sentence_begins_with_the_lists_own_first_job(told: dict[str, object]) -> None:
    said = ask("sitting_truck", **told)
    first = said["results"]["jobs"][0]["job"]["value"]
    assert first in said["answer"]
    assert ("separator" in said["answer"]) is ("separator" in first)


def test_def_is_at_least_as_old_as_the_standing() -> None:
    said = results("sitting_truck", **(FRESH | {"time_parked": 19, "def_age": 0}))
    assert (said["exhaust_fluid_age"], said["exhaust_fluid_time_left"], said["exhaust_fluid_doubtful"]) == (19, -1, True)
    assert results("sitting_truck", **(FRESH | {"time_parked": 3, "def_age": 7}))["exhaust_fluid_age"] == 7


def jobs(**told: object) -> str:
    return " ".join(row["job"]["value"] for row in results("sitting_truck", **(FRESH | told))["jobs"])


def test_after_a_thaw_nobody_adds_winter_fuel_and_in_a_freeze_the_wax_is_warmed() -> None:
    """Fuel that clouds at 14 degF."""
    thawed = jobs(time_parked=5, lowest_temperature=-20, temperature_today=60)
    assert "winter fuel" not in thawed and "warm building" not in thawed
    frozen = jobs(time_parked=5, lowest_temperature=-20, temperature_today=10)
    assert "warm building" in frozen and "winter fuel" not in frozen
    assert frozen.index("separator") < frozen.index("warm building") < frozen.index("Start it")


def test_who_does_not_say_how_warm_it_is_is_told_of_the_wax_if_it_was_cold() -> None:
    asked = ask("sitting_truck", **(FRESH | {"lowest_temperature": -20, "temperature_today": None}))["results"]["jobs"]
    (wax,) = (row for row in asked if "warm building" in row["job"]["value"])
    assert wax["job"]["value"].startswith("If it is colder than 14°F now: ") and "in this cold" not in wax["why"]["value"]
    assert "Get it into a warm building" in jobs(lowest_temperature=-20, temperature_today=10)  # told, so no if
    assert "warm building" not in jobs(lowest_temperature=15, temperature_today=None)


@pytest.mark.parametrize(("told", "looked_at"), [({"time_parked": 5, "lowest_temperature": 19}, True),
                                                 ({"time_parked": 5, "lowest_temperature": 20}, False), ({"lowest_temperature": 0}, False)])
def test_a_battery_that_may_have_frozen_is_looked_at_before_it_is_charged(told: dict[str, object], looked_at: bool) -> None:
    """A flat battery freezes at about 20 degF (from memory); one that stood no month is not taken for flat."""
    said = jobs(**told)
    assert ("never charged or jumped" in said) is looked_at
    assert not looked_at or said.index("never charged") < said.index("charge them")


@pytest.mark.parametrize(("outside", "minutes"), [(30, "40 minutes"), (-30, "50 minutes")])
def test_the_first_drive_is_the_one_drive_that_the_guide_speaks_of(outside: float, minutes: str) -> None:
    """40 minutes from 20 degF up, 50 at -30: as on the light page, the cards and in the chapter."""
    said = jobs(outside_temperature=outside)
    assert f"first drive of {minutes} or more" in said
    assert "{" not in said
    assert results("regeneration", outside_temperature=outside)["advised_drive_time"] == float(minutes.split()[0])


def test_where_no_drive_gets_hot_no_minutes_are_told() -> None:
    said = jobs(outside_temperature=-60, temperature_rise=300)
    assert "a long first drive" in said and "minutes" not in said


def test_where_no_time_is_told_three_months_are_tried_and_five_years_at_most() -> None:
    """Trade practice: a truck that stands for a season, three months, is looked over before its first start."""
    untold = {name: value for name, value in FRESH.items() if name != "time_parked"}
    assert ask("sitting_truck", None, **untold)["inputs"]["time_parked"]["value"] == 3
    assert not faults("sitting_truck", **FRESH | {"time_parked": 60}) and faults("sitting_truck", **FRESH | {"time_parked": 60.1})
