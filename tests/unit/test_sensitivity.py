"""What moves the answer: each input a tenth down and up by itself (ten degrees for a temperature, one for what is whole)."""

import pytest

import calculators
from calculators.engine.figures import FIGURES
from tests.unit.ask import DAY, ask


def rows(name: str, **given: object) -> dict[str, dict[str, float]]:
    moved = calculators.sensitivity(name, {key: str(value) for key, value in given.items()}, None, DAY)["rows"]
    parts = ("low", "high", "result_at_low", "result_at_high")
    return {row["input"]["value"]: {part: row[part]["value"] for part in parts} for row in moved}


def test_a_tenth_either_way_by_hand() -> None:
    """$702 a year at $3.90 and 0.6 gal/h: a tenth of either is $70.20."""
    moved = rows("idle_bill")
    assert moved["fuel_price"] == pytest.approx({"low": 3.51, "high": 4.29, "result_at_low": 631.8, "result_at_high": 772.2})
    assert moved["idle_fuel_rate"] == pytest.approx({"low": 0.54, "high": 0.66, "result_at_low": 631.8, "result_at_high": 772.2})
    assert FIGURES["sensitivity_share"].value == 10


def test_ten_degrees_either_way() -> None:
    moved = rows("regeneration")
    assert (moved["outside_temperature"]["low"], moved["outside_temperature"]["high"]) == (20, 40)
    assert FIGURES["sensitivity_degrees"].value == 10


def test_one_for_what_is_whole_and_never_below_a_bound() -> None:
    moved = rows("idle_bill", trucks=5)
    assert (moved["trucks"]["low"], moved["trucks"]["high"]) == (4, 6)
    assert rows("idle_bill", trucks=1)["trucks"]["low"] == 1


def test_an_input_counts_though_one_side_has_no_answer() -> None:
    """23 hours of idling a day: a tenth more is over a day, so the row ends at what was told."""
    moved = rows("idle_bill", idle_hours_per_week=138, working_days_per_week=6)["idle_hours_per_week"]
    assert (moved["low"], moved["high"]) == pytest.approx((124.2, 138))
    assert moved["result_at_low"] == pytest.approx(0.9 * moved["result_at_high"])


def test_how_far_each_is_tried_is_said() -> None:
    said = calculators.sensitivity("regeneration", {}, None, DAY)["tried"]
    assert "by 10% down and up" in said and "temperature by 10°F" in said and "counted by 1" in said


def test_in_metric_too() -> None:
    said = calculators.sensitivity("regeneration", {}, None, DAY, units="metric")
    assert "temperature by 5.6°C" in said["tried"] and "10%" in said["tried"]
    row = next(row for row in said["rows"] if row["input"]["value"] == "outside_temperature")
    assert (row["low"]["number"], row["low"]["unit_short"], row["low"]["value"]) == ("−7", "°C", 20)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_each_row_is_what_the_calculator_answers_there(name: str) -> None:
    said = calculators.sensitivity(name, {}, None, DAY)
    for row in said["rows"][:3]:
        for side in ("low", "high"):
            there = ask(name, **{row["input"]["value"].replace(".", "__"): row[side]["value"]})["results"][said["result"]]
            assert there["value"] == pytest.approx(row[f"result_at_{side}"]["value"], rel=1e-9), (row["input"]["value"], side)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_the_most_moving_input_stands_first(name: str) -> None:
    said = calculators.sensitivity(name, {}, None, DAY)["rows"]
    spans = [abs(row["result_at_high"]["value"] - row["result_at_low"]["value"]) for row in said]
    assert spans == sorted(spans, reverse=True)


def test_what_cannot_be_answered_cannot_be_moved() -> None:
    with pytest.raises(calculators.Refused):
        calculators.sensitivity("idle_bill", {"trucks": "x"}, None, DAY)
