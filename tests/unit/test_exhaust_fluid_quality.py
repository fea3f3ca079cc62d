"""DEF in store: each property against its own limit, water, age."""

import pytest

from tests.unit.ask import ask, faults, results


def test_one_measurement_is_enough() -> None:
    told = faults("exhaust_fluid_quality", density=1.09, refractive_index=1.382)
    assert any("not both" in do for do in told.values())
    assert faults("exhaust_fluid_quality", density=1.09) == faults("exhaust_fluid_quality", refractive_index=1.382) == {}


def test_giving_neither_takes_the_examples_density() -> None:
    inputs = ask("exhaust_fluid_quality")["inputs"]
    assert inputs["density"] == {"value": 1.0883, "unit": "kg/L", "from": "example"}
    assert "refractive_index" not in inputs


def test_the_index_given_leaves_the_examples_density_out() -> None:
    assert "density" not in ask("exhaust_fluid_quality", refractive_index=1.382)["inputs"]


def test_the_answer_always_says_that_purity_was_not_tested() -> None:
    for told in ({}, {"density": 1.05}, {"water_added": 50}, {"storage_time": 100}, {"storage_temperature": 120},
                 {"refractive_index": 1.382}):
        answer = ask("exhaust_fluid_quality", **told)
        assert "purity" in answer["answer"].lower() or any("purity" in caution["hazard"].lower() for caution in answer["cautions"])
    assert "purity not tested" in ask("exhaust_fluid_quality")["answer"]


@pytest.mark.parametrize(("told", "verdict"), [
    ({}, "fits"), ({"density": 1.08}, "against"), ({"water_added": 0.1}, "watch"), ({"water_added": 3}, "against"),
    ({"storage_time": 17}, "watch"), ({"storage_time": 19}, "against"), ({"storage_temperature": 120}, "watch"),
    ({"storage_temperature": 120, "density": 1.08}, "against"),
])
def test_verdicts(told: dict[str, object], verdict: str) -> None:
    assert results("exhaust_fluid_quality", **told)["verdict"] == verdict


def test_all_water() -> None:
    said = results("exhaust_fluid_quality", water_added=100)
    assert said["urea_after_water"] == pytest.approx(0)
    assert said["verdict"] == "against"


def test_too_weak_already_allows_no_water() -> None:
    assert results("exhaust_fluid_quality", density=1.08)["water_allowed"] == 0


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
    said = ask("exhaust_fluid_quality", water_added=water)
    allowed = said["results"]["water_allowed"]["value"]
    assert allowed == results("exhaust_fluid_quality")["water_allowed"] > 2
    assert said["results"]["verdict"]["value"] == ("against" if water > allowed else "watch")
    assert "drained" in said["answer"].partition(":")[0]
    assert ("too weak" in said["answer"]) is (water > allowed)
    assert ("minerals" in said["answer"]) is (water < allowed)


def test_at_the_end_of_its_time_it_says_so() -> None:
    assert "end of its time" in ask("exhaust_fluid_quality", storage_time=18)["answer"]
    assert ask("exhaust_fluid_quality", storage_time=17)["answer"].startswith("Use it within 1 month")
    assert ask("exhaust_fluid_quality", storage_time=19)["answer"].startswith("Don’t use it: it is older")
