"""DEF in store: each property against its own limit, water, age; and DEF that nobody tested."""

from itertools import pairwise
from typing import Any

import pytest

from tests.unit.ask import ask, faults, results

GOOD = {"density": 1.0883}  # CRC Handbook, between its lines: 32.5 %
ORDER = ["fits", "watch", "against"]


@pytest.mark.parametrize("told", [{"density": 1.09, "refractive_index": 1.382}, {"density": 1.09, "urea_reading": 32},
                                  {"refractive_index": 1.382, "urea_reading": 32},
                                  {"density": 1.09, "refractive_index": 1.382, "urea_reading": 32}])
def test_two_measurements_are_one_too_many(told: dict[str, float]) -> None:
    assert any("one of the three" in do for do in faults("exhaust_fluid_quality", **told).values())


@pytest.mark.parametrize("told", [{"density": 1.09}, {"refractive_index": 1.382}, {"urea_reading": 32}, {}])
def test_one_measurement_or_none_is_enough(told: dict[str, float]) -> None:
    assert faults("exhaust_fluid_quality", **told) == {}


@pytest.mark.parametrize("truck", [None, "juniper", "tamarack"])
def test_nothing_measured_is_not_tested(truck: str | None) -> None:
    """Nobody, no example either, measures a jug for the owner."""
    said = ask("exhaust_fluid_quality", truck)
    assert not {"density", "refractive_index", "urea_reading"} & set(said["inputs"])
    for result in ("urea", "within_limits", "urea_after_water", "water_allowed"):
        assert said["results"][result]["value"] is None
        assert "not tested" in said["results"][result]["why"]


@pytest.mark.parametrize(("told", "verdict"), [
    ({}, "fits"), ({"storage_time": 16}, "watch"), ({"storage_time": 18}, "watch"), ({"storage_time": 119}, "watch"),
    ({"storage_temperature": 139}, "watch"), ({"water_added": 1}, "watch"), ({"water_added": 100}, "watch"),
])
def test_untested_def_is_judged_by_its_age_and_never_called_good_or_bad(told: dict[str, Any], verdict: str) -> None:
    said = ask("exhaust_fluid_quality", **told)
    assert said["results"]["verdict"]["value"] == verdict
    assert not {"ok", "good", "don’t use"} & {word for word in ("ok", "good", "don’t use") if word in said["answer"].lower()}
    assert "tested" in said["answer"].lower()


def test_the_answer_always_says_that_purity_was_not_tested() -> None:
    for told in ({}, {"density": 1.05}, {"water_added": 50}, {"storage_time": 100}, {"storage_temperature": 120},
                 {"refractive_index": 1.382}, {"urea_reading": 32.4}):
        answer = ask("exhaust_fluid_quality", **told)
        assert any("purity" in caution["hazard"].lower() for caution in answer["cautions"])
    assert "purity not tested" in ask("exhaust_fluid_quality", **GOOD)["answer"]


@pytest.mark.parametrize(("told", "verdict"), [
    (GOOD, "fits"), ({"density": 1.08}, "against"), (GOOD | {"water_added": 0.1}, "watch"), (GOOD | {"water_added": 3}, "against"),
    (GOOD | {"storage_time": 17}, "watch"), (GOOD | {"storage_time": 19}, "watch"), (GOOD | {"storage_temperature": 120}, "watch"),
    ({"storage_temperature": 120, "density": 1.08}, "against"), ({"storage_time": 40, "density": 1.08}, "against"),
    ({"urea_reading": 32.5}, "fits"), ({"urea_reading": 31.0}, "against"), ({"urea_reading": 33.3}, "against"),
    ({"urea_reading": 32.5, "storage_time": 15.5}, "watch"), ({"urea_reading": 32.5, "storage_time": 15}, "fits"),
])
def test_verdicts(told: dict[str, object], verdict: str) -> None:
    assert results("exhaust_fluid_quality", **told)["verdict"] == verdict


@pytest.mark.parametrize("told", [{}, GOOD, {"urea_reading": 31.9}, {"density": 1.08}, {"water_added": 2}, GOOD | {"water_added": 2}])
def test_hotter_or_older_is_never_milder(told: dict[str, Any]) -> None:
    hotter = [results("exhaust_fluid_quality", **told, storage_temperature=t)["verdict"] for t in range(-40, 141, 4)]
    older = [results("exhaust_fluid_quality", **told, storage_time=t)["verdict"] for t in range(0, 121, 3)]
    for verdicts in (hotter, older):
        assert all(ORDER.index(one) <= ORDER.index(other) for one, other in pairwise(verdicts))


@pytest.mark.parametrize("told", [GOOD | {"storage_time": 19}, {"storage_time": 19}, GOOD | {"storage_temperature": 120},
                                  {"storage_temperature": 120}])
def test_past_its_time_it_is_to_be_tested(told: dict[str, Any]) -> None:
    said = ask("exhaust_fluid_quality", **told)
    assert said["results"]["verdict"]["value"] == "watch"
    assert said["answer"].startswith("Have it tested before use")


@pytest.mark.parametrize(("reading", "again"), [(31.0, False), (31.29, False), (31.3, True), (31.8, True), (32.3, True), (32.31, False),
                                                (32.69, False), (32.7, True), (33.2, True), (33.7, True), (33.71, False)])
def test_a_refractometer_close_to_a_limit_is_read_again(reading: float, again: bool) -> None:
    """Half a percent (ours) from 31.8 or 33.2 % (ISO 22241-1)."""
    said = ask("exhaust_fluid_quality", urea_reading=reading)
    assert ("distilled water" in said["answer"]) is again
    assert said["results"]["urea"]["value"] == reading


def test_another_instrument_is_not_told_to_be_zeroed() -> None:
    assert "distilled" not in ask("exhaust_fluid_quality", density=1.0870)["answer"]


def test_all_water() -> None:
    said = results("exhaust_fluid_quality", **GOOD, water_added=100)
    assert said["urea_after_water"] == pytest.approx(0)
    assert said["verdict"] == "against"


def test_too_weak_already_allows_no_water_and_is_not_the_waters_fault() -> None:
    said = results("exhaust_fluid_quality", density=1.08)
    assert (said["water_allowed"], said["too_weak"]) == (0, False)


def test_beyond_the_table_there_is_no_number() -> None:
    answer = ask("exhaust_fluid_quality", density=1.12)["results"]
    assert answer["urea"]["value"] is None and "table" in answer["urea"]["why"]
    assert answer["within_limits"]["value"] is False
    assert results("exhaust_fluid_quality", density=1.1096)["urea"] == pytest.approx(40)
    assert results("exhaust_fluid_quality", refractive_index=1.39438)["urea"] == pytest.approx(40)


def test_the_tables_last_stretch_goes_on_along_the_lines_before() -> None:
    """From 30 % to 32.5 % and on to 40 %, in one straight line (three times as far): 1.0812 + 4 x (1.0883 - 1.0812) = 1.1096."""
    assert results("exhaust_fluid_quality", density=1.1096 - 2 * 0.0071)["urea"] == pytest.approx(35, abs=1e-9)
    assert results("exhaust_fluid_quality", refractive_index=1.3785 + 2 * 0.00397)["urea"] == pytest.approx(35, abs=1e-9)


@pytest.mark.parametrize("water", [0.1, 2, 50])
def test_def_with_water_in_it_is_never_passed_as_good(water: float) -> None:
    """As wrong_fluid says: drain and refill. What it could take stays a number."""
    said = ask("exhaust_fluid_quality", **GOOD, water_added=water)
    allowed = said["results"]["water_allowed"]["value"]
    assert allowed == results("exhaust_fluid_quality", **GOOD)["water_allowed"] > 2
    assert said["results"]["verdict"]["value"] == ("against" if water > allowed else "watch")
    assert said["results"]["too_weak"]["value"] is (water > allowed)
    assert "drained" in said["answer"].partition(":")[0]
    assert ("too weak" in said["answer"]) is (water > allowed)
    assert ("minerals" in said["answer"]) is (water < allowed)


def test_at_the_end_of_its_time_it_says_so() -> None:
    assert "end of its time" in ask("exhaust_fluid_quality", **GOOD, storage_time=18)["answer"]
    assert ask("exhaust_fluid_quality", **GOOD, storage_time=17)["answer"].startswith("Use it within 1 month")
