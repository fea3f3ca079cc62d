"""Winter fuel: the blend is checked in tests/reference; here what goes into the tank, and the ends."""

import pytest

from tests.unit.ask import ask, faults, results


def test_adding_by_hand() -> None:
    """The share must be that of the whole tank afterwards: f x s/(1-s)."""
    said = results("winter_fuel", fuel_in_tank=5)
    share = said["winter_fuel_share"] / 100
    assert said["fuel_to_burn_first"] == 0
    assert said["winter_fuel_to_add"] == pytest.approx(5 * share / (1 - share))
    assert said["winter_fuel_to_add"] / (5 + said["winter_fuel_to_add"]) == pytest.approx(share)


def test_a_tank_too_full_says_what_to_burn_first() -> None:
    answer = ask("winter_fuel", fuel_in_tank=34, expected_low=0)
    said = {name: value["value"] for name, value in answer["results"].items()}
    share = said["winter_fuel_share"] / 100
    assert said["fuel_to_burn_first"] == pytest.approx(34 * share)
    assert said["winter_fuel_to_add"] == pytest.approx(34 * share)
    assert said["verdict"] == "watch"
    assert answer["answer"].startswith("Burn ")


def test_an_empty_tank_is_filled_with_the_blend() -> None:
    answer = ask("winter_fuel", fuel_in_tank=0, expected_low=0)
    share = answer["results"]["winter_fuel_share"]["value"]
    assert answer["results"]["winter_fuel_to_add"]["value"] == pytest.approx(34 * share / 100)
    assert answer["answer"].startswith(f"Fill with a blend that is {share:.0f}% winter fuel") or f"{share:.1f}%" in answer["answer"]
    assert answer["results"]["verdict"]["value"] == "fits"


@pytest.mark.parametrize("expected_low", [-30, -29, -20, -5])
@pytest.mark.parametrize("fuel", [34, 20, 9])
def test_nobody_is_told_to_run_a_tank_dry_or_to_have_it_drained(expected_low: float, fuel: float) -> None:
    answer = ask("winter_fuel", expected_low=expected_low, fuel_in_tank=fuel)
    assert answer["results"]["winter_fuel_share"]["value"] > 75
    assert answer["answer"].startswith("Burn to a quarter, fill it up")
    assert "drain" not in answer["answer"] and "gallons" not in answer["answer"]
    assert answer["results"]["verdict"]["value"] == "watch"


@pytest.mark.parametrize(("fuel", "good_to"), [(34, -2), (20, -2), (8.5, -2)])
def test_a_quarter_of_summer_fuel_under_no_1(fuel: float, good_to: float) -> None:
    """In degrees Rankine 473.67 and 419.67, a quarter of the first by the index: -12 degF, good to -2 with 10 of margin."""
    cloud = (0.25 * 473.67**20 + 0.75 * 419.67**20) ** 0.05 - 459.67
    said = results("winter_fuel", fuel_in_tank=fuel, summer_cloud_point=14, winter_cloud_point=-40)
    assert said["cloud_point_after_filling"] == pytest.approx(cloud) == pytest.approx(-12.5, abs=0.1)
    assert said["good_to_after_filling"] == pytest.approx(good_to, abs=0.6)


def test_a_tank_below_a_quarter_is_filled_as_it_is() -> None:
    """4.25 of 34 gal are an eighth: that share of summer fuel stays."""
    cloud = (0.125 * 473.67**20 + 0.875 * 419.67**20) ** 0.05 - 459.67
    said = ask("winter_fuel", fuel_in_tank=4.25, expected_low=-25)
    assert said["results"]["good_to_after_filling"]["value"] == pytest.approx(cloud + 10)
    assert said["answer"].startswith("Fill it up with winter fuel") and "burn it down to a quarter" in said["answer"]


@pytest.mark.parametrize(("expected_low", "fuel", "first", "verdict"), [
    (30, 34, "Your fuel is good", "fits"), (5, 5, "Add ", "fits"), (5, 34, "Burn ", "watch"), (-5, 5, "Fill it up", "fits"),
    (-5, 34, "Burn to a quarter", "watch"), (-5, 0, "Fill it up", "fits"), (-30, 0, "Fill it up", "fits"),
    (5, 0, "Fill with a blend", "fits"),
    (-30.1, 0, "Park it warm", "watch"), (-33.9, 0, "Park it warm", "watch"),
    (-34.1, 0, "Park it warm", "against"), (-60, 34, "Park it warm", "against"),
])
def test_what_each_cold_asks_for(expected_low: float, fuel: float, first: str, verdict: str) -> None:
    said = ask("winter_fuel", expected_low=expected_low, fuel_in_tank=fuel)
    assert said["answer"].startswith(first)
    assert said["results"]["verdict"]["value"] == verdict


@pytest.mark.parametrize("told", [{}, {"winter_fuel_kind": "pump_blend"}, {"winter_fuel_kind": None}])
@pytest.mark.parametrize("fuel", [0, 3, 20, 34])
def test_colder_is_never_milder(told: dict[str, object], fuel: float) -> None:
    order = ["fits", "watch", "against"]
    said = [order.index(results("winter_fuel", **told, fuel_in_tank=fuel, expected_low=low)["verdict"]) for low in range(60, -71, -2)]
    assert said == sorted(said)


def test_full_of_winter_fuel_an_empty_tank_has_an_answer() -> None:
    said = ask("winter_fuel", fuel_in_tank=0, expected_low=-40, cloud_point_margin=0)
    assert said["results"]["winter_fuel_share"]["value"] == pytest.approx(100)
    assert said["results"]["winter_fuel_to_add"]["value"] == pytest.approx(34)
    assert said["results"]["good_to_after_filling"]["value"] == pytest.approx(-40)


def test_no_1_clouds_far_below_and_a_pumps_blend_at_nobody_knows() -> None:
    """-40 degF (from memory), and 0 degF until the station says (ours)."""
    assert ask("winter_fuel")["inputs"]["winter_fuel_kind"]["value"] == "number_1"
    assert ask("winter_fuel")["inputs"]["winter_cloud_point"] == {"value": -40, "unit": "degF", "from": "derived", "rests_on": "example"}
    blend = ask("winter_fuel", winter_fuel_kind="pump_blend", expected_low=12)
    assert blend["inputs"]["winter_cloud_point"]["value"] == 0
    assert "our guess" in blend["answer"] and "ask at the station" in blend["answer"]
    told = ask("winter_fuel", winter_fuel_kind="pump_blend", winter_cloud_point=-30, expected_low=12)
    assert "guess" not in told["answer"]
    assert told["results"]["winter_fuel_share"]["value"] < blend["results"]["winter_fuel_share"]["value"]


def test_a_blend_is_never_taken_for_worse_than_what_is_in_the_tank() -> None:
    assert ask("winter_fuel", winter_fuel_kind="pump_blend", summer_cloud_point=-10)["inputs"]["winter_cloud_point"]["value"] == -10


def test_a_blend_that_may_not_do_names_both_ends() -> None:
    said = ask("winter_fuel", winter_fuel_kind="pump_blend", expected_low=-30)
    assert said["results"]["verdict"]["value"] == "against"
    assert "ask at the station" in said["answer"] and "10°F" in said["answer"] and "−30°F" in said["answer"]


def test_an_unknown_pump_is_asked_about_and_both_ends_are_told() -> None:
    said = ask("winter_fuel", winter_fuel_kind=None)
    assert said["results"]["verdict"]["value"] == "watch"
    assert said["answer"].startswith("Ask at the station what the pump sells")
    assert "10°F" in said["answer"] and "−30°F" in said["answer"]
    assert said["results"]["winter_fuel_share"]["value"] is None and "ask" in said["results"]["winter_fuel_share"]["why"]
    for enough in (30, 24):  # 14 degF of cloud point and 10 of margin: whatever the pump sells
        said = results("winter_fuel", winter_fuel_kind=None, expected_low=enough)
        assert (said["winter_fuel_share"], said["winter_fuel_share_other_index"], said["verdict"]) == (0, 0, "fits")
    for low, verdict in ((-31, "watch"), (-34, "watch"), (-34.1, "against")):  # No. 1 is good to -30, and 4 more are a little
        assert results("winter_fuel", winter_fuel_kind=None, expected_low=low)["verdict"] == verdict


@pytest.mark.parametrize(("expected_low", "share"), [(24, 0), (23.99, 1e-9)])
def test_fuel_at_the_target_itself_needs_nothing(expected_low: float, share: float) -> None:
    """14 degF of cloud point is good to 24 with 10 of margin."""
    assert results("winter_fuel", expected_low=expected_low)["winter_fuel_share"] >= share
    assert (results("winter_fuel", expected_low=expected_low)["winter_fuel_share"] == 0) is (share == 0)


def test_out_of_reach() -> None:
    answer = ask("winter_fuel", expected_low=-60)
    assert answer["results"]["verdict"]["value"] == "against"
    for name in ("winter_fuel_share", "winter_fuel_to_add", "fuel_to_burn_first", "blend_cloud_point", "energy_loss"):
        assert answer["results"][name]["value"] is None
        assert "winter fuel alone" in answer["results"][name]["why"]


def test_warm_enough_already() -> None:
    answer = ask("winter_fuel", expected_low=30)
    assert answer["results"]["winter_fuel_share"]["value"] == answer["results"]["winter_fuel_to_add"]["value"] == 0
    assert answer["results"]["blend_cloud_point"]["value"] == pytest.approx(14)
    assert answer["answer"] == "Your fuel is good for 30°F: add nothing."


def test_cloud_points_the_wrong_way_round() -> None:
    assert "winter_cloud_point" in faults("winter_fuel", summer_cloud_point=-20, winter_cloud_point=-10)


def test_winter_fuel_alone() -> None:
    said = results("winter_fuel", expected_low=-40, cloud_point_margin=0, fuel_in_tank=34)
    assert said["winter_fuel_share"] == pytest.approx(100)
    assert said["fuel_to_burn_first"] == pytest.approx(34)
    assert said["winter_fuel_to_add"] == pytest.approx(34)


def test_gasoline_and_alcohol_are_never_advised() -> None:
    for low in (-60, -20, 0, 30):
        answer = ask("winter_fuel", expected_low=low)
        assert not any(word in answer["answer"].lower() for word in ("gasoline", "alcohol", "kerosene"))
        assert any("Gasoline or alcohol" in caution["hazard"] for caution in answer["cautions"])


def test_just_within_reach_of_no_1_an_unknown_pump_is_still_asked_about() -> None:
    """No. 1 clouds at -40 degF: with 10 of margin a tank of it is good to -30."""
    assert results("winter_fuel", winter_fuel_kind=None, expected_low=-30)["verdict"] == "watch"


def test_only_a_guess_speaks_of_the_stations_blend() -> None:
    for low in (-60, -45):
        assert "blend" not in ask("winter_fuel", expected_low=low)["answer"]


def test_a_tank_at_a_quarter_has_nothing_to_burn() -> None:
    assert ask("winter_fuel", fuel_in_tank=8.5, fuel_tank_capacity=34, expected_low=-25)["answer"].startswith("Fill it up")
