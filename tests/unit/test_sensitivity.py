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


@pytest.mark.parametrize("name", calculators.NAMES)
def test_each_row_is_what_the_calculator_answers_there(name: str) -> None:
    said = calculators.sensitivity(name, {}, None, DAY)
    for row in said["rows"][:3]:
        for side in ("low", "high"):
            there = ask(name, **{row["input"]["value"].replace(".", "__"): repr(row[side]["value"])})["results"][said["result"]]
            assert there["value"] == pytest.approx(row[f"result_at_{side}"]["value"], rel=1e-9), (row["input"]["value"], side)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_the_most_moving_input_stands_first(name: str) -> None:
    said = calculators.sensitivity(name, {}, None, DAY)["rows"]
    spans = [abs(row["result_at_high"]["value"] - row["result_at_low"]["value"]) for row in said]
    assert spans == sorted(spans, reverse=True)


def test_what_cannot_be_answered_cannot_be_moved() -> None:
    with pytest.raises(calculators.Refused):
        calculators.sensitivity("idle_bill", {"trucks": "x"}, None, DAY)
