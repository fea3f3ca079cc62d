"""Shelf life of DEF: trade handling guides that cite ISO 22241-3 (common practice; they differ at the edges).

Months: to 10 degC 36, to 25 degC 18, to 30 degC 12, to 35 degC 6; hotter: test before use.
"""

import pytest

from tests.unit.ask import results


@pytest.mark.parametrize(("temperature", "months"), [
    ("-20 degC", 36), ("10 degC", 36), ("50 degF", 36), ("10.1 degC", 18), ("25 degC", 18), ("77 degF", 18), ("77.1 degF", 12),
    ("30 degC", 12),
    ("86 degF", 12), ("30.1 degC", 6), ("35 degC", 6), ("95 degF", 6), ("35.1 degC", None), ("60 degC", None),
])
def test_the_table(temperature: str, months: float | None) -> None:
    assert results("exhaust_fluid_quality", storage_temperature=temperature)["shelf_life"] == months
    assert results("sitting_truck", highest_temperature=temperature, lowest_temperature="-25 degC")["exhaust_fluid_shelf_life"] == months


def test_77_degf_is_exactly_25_degc() -> None:
    fahrenheit, celsius = (results("exhaust_fluid_quality", storage_temperature=told) for told in ("77 degF", "25 degC"))
    assert fahrenheit == celsius


@pytest.mark.parametrize(("stored", "left", "verdict"), [(0, 18, "fits"), (15, 3, "fits"), (15.1, 2.9, "watch"), (18, 0, "watch"),
                                                         (18.1, -0.1, "watch")])
def test_time_left(stored: float, left: float, verdict: str) -> None:
    said = results("exhaust_fluid_quality", storage_time=stored, storage_temperature=77)
    assert said["time_left"] == pytest.approx(left)
    assert said["verdict"] == verdict
