"""The wrong fluid: the stop rule before all else, and no amount is ever called safe."""

import pytest

import calculators
from calculators.engine.figures import FIGURES
from tests.unit.ask import ask, faults, results

MISTAKES = ["def_in_fuel", "water_in_fuel", "gasoline_in_fuel", "fuel_in_def", "water_in_def"]
# From memory, in USD: not started | key or pump ran | engine ran (least, most).
EXPOSURE = {
    "def_in_fuel": ((800, 4000), (2500, 8000), (10_000, 20_000)), "gasoline_in_fuel": ((300, 1500), (500, 3000), (1000, 14_000)),
    "water_in_fuel": ((200, 1500), (300, 3000), (1000, 14_000)), "fuel_in_def": ((300, 2500), (800, 5000), (2000, 9000)),
    "water_in_def": ((50, 500), (50, 800), (150, 3000)),
}
STAGES = [({"key_turned": "no"}, 0), ({"key_turned": "yes", "engine_ran": "no"}, 1), ({"engine_ran": "yes"}, 2),
          ({"key_turned": "yes", "engine_ran": "yes"}, 2)]


@pytest.mark.parametrize("mistake", MISTAKES)
def test_the_stop_rule_stands_first_with_the_mistake_alone(mistake: str) -> None:
    answer = ask("wrong_fluid", mistake=mistake)
    assert answer["answer"].startswith("Stop soon." if mistake == "water_in_def" else "Stop. Don’t turn the key")
    assert answer["results"]["stop_level"]["value"] == ("stop_soon" if mistake == "water_in_def" else "stop_now")


@pytest.mark.parametrize("mistake", MISTAKES)
def test_the_stop_rule_comes_even_with_bad_fields(mistake: str) -> None:
    with pytest.raises(calculators.Refused) as refused:
        calculators.answer("wrong_fluid", {"mistake": mistake, "amount": "3,5", "nonsense": "1"}, None, "2026-11-25")
    assert refused.value.first == ask("wrong_fluid", mistake=mistake)["answer"]
    assert len(refused.value.faults) == 2
    assert str(refused.value).splitlines()[0] == refused.value.first


@pytest.mark.parametrize("mistake", MISTAKES)
@pytest.mark.parametrize(("told", "stage"), STAGES)
def test_exposure_by_how_far_it_got(mistake: str, told: dict[str, object], stage: int) -> None:
    said = results("wrong_fluid", mistake=mistake, **told)
    assert (said["exposure_low"], said["exposure_high"]) == EXPOSURE[mistake][stage]


@pytest.mark.parametrize("mistake", MISTAKES)
@pytest.mark.parametrize(("told", "stages"), [({}, (0, 1, 2)), ({"key_turned": "yes"}, (1, 2)), ({"engine_ran": "no"}, (0, 1))])
def test_what_is_not_told_spans_the_stages(mistake: str, told: dict[str, object], stages: tuple[int, ...]) -> None:
    said = results("wrong_fluid", mistake=mistake, **told)
    assert said["exposure_low"] == min(EXPOSURE[mistake][stage][0] for stage in stages)
    assert said["exposure_high"] == max(EXPOSURE[mistake][stage][1] for stage in stages)


@pytest.mark.parametrize("mistake", MISTAKES)
def test_key_and_engine_change_what_to_do(mistake: str) -> None:
    def what(**told: object) -> list[str]:
        return [row["action"]["value"] for row in ask("wrong_fluid", mistake=mistake, **told)["results"]["actions"]]

    not_started, key_turned, engine_ran = what(key_turned="no"), what(key_turned="yes", engine_ran="no"), what(engine_ran="yes")
    assert not_started != engine_ran != key_turned
    assert not_started != key_turned or mistake == "water_in_def"  # it mixes in, and nothing doses it before the engine runs
    for known in (not_started, key_turned, engine_ran):
        assert set(known) <= set(what())


def test_only_def_and_water_sink_and_a_separator_stops_only_water() -> None:
    why = {mistake: " ".join(row["why"]["value"] for row in ask("wrong_fluid", mistake=mistake)["results"]["actions"])
           for mistake in MISTAKES}
    assert {mistake for mistake in MISTAKES if "sinks" in why[mistake]} == {"def_in_fuel", "water_in_fuel"}
    assert "separator does not catch it" in why["def_in_fuel"] and "does not catch" not in why["water_in_fuel"]


def test_an_engine_that_ran_had_its_key_turned() -> None:
    assert "key_turned" in faults("wrong_fluid", key_turned="no", engine_ran="yes")
    assert faults("wrong_fluid", key_turned="no", engine_ran="no") == {}


def test_share_by_hand_and_unknown() -> None:
    assert results("wrong_fluid", amount=1, tank_contents=19)["share"] == pytest.approx(5)
    assert results("wrong_fluid", amount=3, tank_contents=0)["share"] == pytest.approx(100)
    for told in ({}, {"amount": 1}, {"tank_contents": 10}):
        share = ask("wrong_fluid", **told)["results"]["share"]
        assert share["value"] is None and "not told" in share["why"]


def test_nothing_optional_has_a_default() -> None:
    assert set(ask("wrong_fluid")["inputs"]) == {"mistake"}


@pytest.mark.parametrize("amount", [0.001, 0.01, 150])
@pytest.mark.parametrize("mistake", MISTAKES)
def test_no_amount_is_called_safe(mistake: str, amount: float) -> None:
    few, plain = (ask("wrong_fluid", mistake=mistake, **told) for told in ({"amount": amount, "tank_contents": 30}, {}))
    assert few["answer"] == plain["answer"]
    assert few["results"]["actions"] == plain["results"]["actions"]
    assert few["results"]["exposure_low"] == plain["results"]["exposure_low"]


def actions(mistake: str, **told: object) -> str:
    rows = results("wrong_fluid", mistake=mistake, **told)["actions"]
    return " ".join(row["action"]["value"] + " " + row["why"]["value"] for row in rows)


def test_each_fluid_by_its_own_rule() -> None:
    assert "sinks" in actions("def_in_fuel") and "bottom" in actions("def_in_fuel")
    assert "mixes" in actions("gasoline_in_fuel") and "very bottom" not in actions("gasoline_in_fuel")
    assert "separator" in actions("water_in_fuel")
    assert "floats" in actions("fuel_in_def") and "catalyst" in actions("fuel_in_def")
    assert "minerals" in actions("water_in_def") and "DO NOT START" not in actions("water_in_def")


def test_how_far_it_got_changes_the_list() -> None:
    assert "shut it off" in actions("def_in_fuel", engine_ran="yes")
    assert "shut it off" not in actions("def_in_fuel", key_turned="no")
    assert "how far it got" in actions("gasoline_in_fuel", key_turned="yes")
    assert "how far it got" not in actions("gasoline_in_fuel", key_turned="no")


@pytest.mark.parametrize("told", [told for told, _ in STAGES] + [{}])
def test_the_engine_stays_off_however_far_it_got(told: dict[str, object]) -> None:
    assert all("DO NOT START" in actions(mistake, **told) for mistake in MISTAKES if mistake != "water_in_def")
    assert "Leave the engine off" in actions("water_in_def", **told)
    assert ("how many miles" in actions("water_in_def", **told)) == (told.get("engine_ran") == "yes" or not told)


def test_gasoline_brings_the_gravest_caution() -> None:
    assert ask("wrong_fluid", mistake="gasoline_in_fuel")["cautions"][0]["signal"] == "DANGER"
    assert ask("wrong_fluid", mistake="water_in_def")["cautions"][0]["signal"] != "DANGER"


def test_the_dollars_are_labeled_our_estimate() -> None:
    assert any("estimate" in caution["hazard"] for caution in ask("wrong_fluid")["cautions"])


def steps(mistake: str, **told: object) -> list[str]:
    return [row["action"]["value"] for row in results("wrong_fluid", mistake=mistake, **told)["actions"]]


@pytest.mark.parametrize("told", [told for told, _ in STAGES] + [{}])
@pytest.mark.parametrize("mistake", ["def_in_fuel", "water_in_fuel", "gasoline_in_fuel"])
def test_a_fuel_tanks_list_ends_with_both_filters(mistake: str, told: dict[str, object]) -> None:
    assert "both fuel filters" in steps(mistake, **told)[-1]


@pytest.mark.parametrize("told", [told for told, _ in STAGES] + [{}])
def test_def_in_the_fuel_asks_for_flatbed_drain_rinse_and_filters_in_that_order(told: dict[str, object]) -> None:
    said = steps("def_in_fuel", **told)
    at = [next(row for row, step in enumerate(said) if word in step) for word in ("flatbed", "drained from", "rinsed", "filters")]
    assert at == sorted(at)
    assert "tow driver does not use the key" in said[at[0]]


@pytest.mark.parametrize("mistake", [mistake for mistake in MISTAKES if mistake != "water_in_def"])
def test_who_calls_steps_away_from_the_filler_first(mistake: str) -> None:
    said = steps(mistake, key_turned="no")
    assert said[0] == "Step away from the filler, then call the shop."
    assert "flatbed" in " ".join(said)


@pytest.mark.parametrize(("mistake", "says"), [(mistake, mistake not in ("gasoline_in_fuel", "water_in_def")) for mistake in MISTAKES])
def test_drained_diesel_burns_and_gasolines_vapor_explodes(mistake: str, says: bool) -> None:
    """Diesel is drained with three of them; with gasoline it is the vapor that is warned of, with water in DEF there is no fuel."""
    hazards = [caution["hazard"] for caution in ask("wrong_fluid", mistake=mistake)["cautions"]]
    assert ("Drained fuel burns." in hazards) is says
    assert ("Gasoline vapor explodes." in hazards) is (mistake == "gasoline_in_fuel")


def test_a_ruined_system_costs_what_the_guide_says_it_does() -> None:
    """Common practice: over $10,000, wherever it is told."""
    low = results("wrong_fluid", mistake="def_in_fuel", engine_ran="yes")["exposure_low"]
    assert low == FIGURES["fuel_system_cost_over"].value == 10_000
    assert FIGURES["system_cost"].value >= low
