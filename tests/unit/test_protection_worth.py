"""Protection: thresholds and ends; present worth is checked in tests/reference."""

import pytest

from tests.unit.ask import ask, results


def test_sums_by_hand() -> None:
    said = results("protection_worth", trucks=3, failure_chance=2, system_cost=10_000, protected_cost=4000, protection_price=500,
                   protection_time=5, discount_rate=0)
    assert said["expected_loss_per_year"] == pytest.approx(3 * 0.02 * 10_000)
    assert said["saving_per_year"] == pytest.approx(3 * 0.02 * 6000)
    assert said["net_value"] == pytest.approx(5 * 360 - 1500)
    assert said["break_even_chance"] == pytest.approx(500 / (6000 * 5) * 100)


@pytest.mark.parametrize(("times", "verdict"), [(1.21, "fits"), (1.19, "watch"), (0.81, "watch"), (0.79, "against")])
def test_well_above_and_well_below_break_even(times: float, verdict: str) -> None:
    chance = results("protection_worth")["break_even_chance"]
    assert results("protection_worth", failure_chance=repr(times * chance))["verdict"] == verdict


def test_nothing_saved_never_pays() -> None:
    answer = ask("protection_worth", system_cost=2500, protected_cost=2500)
    assert answer["results"]["break_even_chance"]["value"] is None
    assert answer["results"]["verdict"]["value"] == "against"
    assert answer["answer"].startswith("Leave it")


@pytest.mark.parametrize(("chance", "any_failure"), [(0, 0), (100, 100)])
def test_never_and_always(chance: float, any_failure: float) -> None:
    assert results("protection_worth", failure_chance=chance)["chance_of_any_failure"] == pytest.approx(any_failure)


def test_hardly_any_interest_is_like_none() -> None:
    none, *hardly = (results("protection_worth", discount_rate=rate)["net_value"] for rate in (0, 1e-9, 1e-30))
    assert hardly == pytest.approx([none, none])


@pytest.mark.parametrize("rate", ["5e-324", "1e-320", "1e-305", "1e-12"])
@pytest.mark.parametrize("name", ["protection_worth", "diesel_or_gasoline"])
def test_the_least_interest_a_machine_knows_is_like_none(name: str, rate: str) -> None:
    worth = "present_worth_of_a_dollar_a_year"
    assert results(name, discount_rate=rate)[worth] == pytest.approx(results(name, discount_rate=0)[worth])


def test_it_leads_with_the_break_even_chance() -> None:
    assert "0.84" in ask("protection_worth")["answer"]  # 400 / (8,500 x 5.582) of a year


def test_a_chance_above_certainty_is_no_advice() -> None:
    said = ask("protection_worth", system_cost=2510)
    assert said["results"]["break_even_chance"]["value"] > 100
    assert said["answer"] == "Leave it: even a failure every year would not make it pay."


def test_a_free_kit_without_failures_pays_nothing() -> None:
    said = ask("protection_worth", protection_price=0, failure_chance=0)
    assert said["results"]["net_value"]["value"] == 0
    assert "it pays" not in said["answer"]
    assert "it pays" in ask("protection_worth", protection_price=0, failure_chance=1)["answer"]


def test_a_chance_that_nobody_told_is_not_called_yours() -> None:
    said = ask("protection_worth", protection_price=0)["answer"]
    assert said.endswith("at 1% a year it pays.") and "your 1%" not in said
