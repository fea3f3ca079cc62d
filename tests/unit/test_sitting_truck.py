"""A truck that sat: what matters from when, and the order of the list."""

import pytest

from tests.unit.ask import ask, faults, results

FRESH = {"time_parked": 0, "fuel_in_tank": 34, "lowest_temperature": 40, "highest_temperature": 70, "def_age": 0, "battery_age": 0}


def test_a_fresh_truck_has_nothing_that_matters() -> None:
    said = results("sitting_truck", **FRESH)
    assert (said["jobs_that_matter"], said["verdict"]) == (0, "fits")
    assert len(said["jobs"]) == 4


@pytest.mark.parametrize(("told", "holds"), [
    ({"time_parked": 0.99}, 0), ({"time_parked": 1}, 1), ({"time_parked": 2.99}, 1), ({"time_parked": 3}, 2), ({"time_parked": 5.99}, 2),
    ({"time_parked": 6}, 3), ({"battery_age": 3.99}, 0), ({"battery_age": 4}, 1), ({"fuel_in_tank": 17}, 0), ({"fuel_in_tank": 16.9}, 1),
    ({"lowest_temperature": 14}, 0), ({"lowest_temperature": 13.9}, 1), ({"def_age": 18}, 0), ({"def_age": 18.1}, 1),
    ({"highest_temperature": 100}, 1),
])
def test_from_when_each_matters(told: dict[str, object], holds: int) -> None:
    """Parked 1 month: batteries (from memory); 3: water (common practice); 6: fuel (from memory). Half a tank is ours."""
    said = results("sitting_truck", **(FRESH | told))
    assert said["jobs_that_matter"] == holds
    assert len(said["jobs"]) == 4 + holds
    assert said["verdict"] == ("watch" if holds else "fits")


@pytest.mark.parametrize(("told", "holds", "verdict"), [
    ({"time_parked": 6}, 3, "watch"), ({"time_parked": 6, "fuel_in_tank": 5}, 4, "against"),
    ({"time_parked": 60, "fuel_in_tank": 0, "lowest_temperature": -60, "highest_temperature": 140, "def_age": 120}, 6, "against"),
])
def test_verdicts(told: dict[str, object], holds: int, verdict: str) -> None:
    said = results("sitting_truck", **(FRESH | told))
    assert (said["jobs_that_matter"], said["verdict"]) == (holds, verdict)


def test_the_separator_comes_first_and_the_start_last() -> None:
    rows = [row["job"]["value"] for row in results("sitting_truck", **(FRESH | {"time_parked": 60, "fuel_in_tank": 0}))["jobs"]]
    assert "separator" in rows[0]
    assert "Start it" in rows[-1]


def test_the_coldest_is_not_above_the_warmest() -> None:
    assert "lowest_temperature" in faults("sitting_truck", lowest_temperature=80, highest_temperature=70)


def test_starting_fluid_is_warned_of() -> None:
    assert any("Starting fluid explodes" in caution["hazard"] for caution in ask("sitting_truck")["cautions"])


@pytest.mark.parametrize("told", [
    {"time_parked": 1, "battery_age": 5, "fuel_in_tank": 1, "def_age": 100}, {"time_parked": 1}, {"time_parked": 60, "fuel_in_tank": 0},
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
