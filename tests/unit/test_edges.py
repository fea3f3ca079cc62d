"""Where one thing ends and the next begins in the engine: a limit itself, one less, one more. Each slip here was unnoticed once."""

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta

import calculators
from calculators import Missing
from calculators.engine import figures
from calculators.engine.answer import compute
from calculators.engine.calendar import calendar
from calculators.engine.due import turning_days
from calculators.engine.figures import FIGURES
from calculators.engine.named import after_months, between, missing
from calculators.engine.sensitivity import sides
from calculators.engine.show import words
from calculators.engine.truck_file import loads, read_truck
from calculators.engine.units import convert
from tests.unit.ask import DAY, ask


def test_the_last_year_of_the_calendar_is_still_in_it() -> None:
    last = date(9998, 12, 31)
    assert after_months(last, 12) == last + relativedelta(months=12) == date(9999, 12, 31)
    assert missing(after_months(date(9999, 1, 31), 12))


@pytest.mark.parametrize(("at", "value"), [(0, 5), (0.5, 6), (1, 7), (3, 11), (2, 9)])
def test_both_ends_of_a_table_belong_to_it(at: float, value: float) -> None:
    assert between(at, [0, 1, 3], [5, 7, 11]) == value


@pytest.mark.parametrize("at", [-0.01, 3.01])
def test_nothing_outside_a_table_belongs_to_it(at: float) -> None:
    assert isinstance(between(at, [0, 1, 3], [5, 7, 11]), Missing)


@pytest.mark.parametrize(("deep", "read"), [(100, True), (101, False)])
def test_json_is_read_a_hundred_levels_deep(deep: int, read: bool) -> None:
    """Five levels are a truck's file; a thousand overflow a browser's stack."""
    text = "[" * deep + "]" * deep
    if read:
        assert json.dumps(loads(text)).count("[") == deep
    else:
        with pytest.raises(ValueError, match="too deeply"):
            loads(text)


def test_brackets_in_a_text_are_no_depth() -> None:
    assert loads(json.dumps({"note": "[" * 200 + '"' + "{" * 200})) == {"note": "[" * 200 + '"' + "{" * 200}


@pytest.mark.parametrize(("dollars", "shown"), [(19.98, "$19.98"), (19.996, "$20.00"), (20.0, "$20"), (20.49, "$20"), (999.6, "$1,000"),
                                                (1000.0, "$1,000"), (1004.9, "$1,000"), (1005.1, "$1,010")])
def test_cents_end_at_twenty_dollars_and_single_dollars_at_a_thousand(dollars: float, shown: str) -> None:
    assert words(dollars, "USD").number == shown


@pytest.mark.parametrize("economy", [0.0, -15.0])
def test_no_distance_on_a_gallon_is_no_liters_in_100_km(economy: float) -> None:
    for unit, to in (("mi/gal", "L/100km"), ("L/100km", "mi/gal")):
        with pytest.raises(ValueError, match="write it in"):
            convert(economy, unit, to)


@pytest.mark.parametrize(("name", "value", "low", "high"), [
    ("fuel_price", 10.0, 9.0, 11.0),  # a tenth
    ("soot_burned_share", 99.0, 89.1, 99.9),  # 108.9 is over its bound
    ("idle_fuel_rate", 0.105, 0.1, 0.1155),  # 0.0945 is under it
    ("outside_temperature", 125.0, 115.0, 130.0), ("outside_temperature", -55.0, -60.0, -45.0),  # ten degrees
    ("trucks", 1.0, 1.0, 2.0), ("trucks", 10_000.0, 9999.0, 10_000.0),  # one of what is counted
])
def test_an_input_is_tried_a_little_either_way_and_never_past_its_bounds(name: str, value: float, low: float, high: float) -> None:
    assert sides(FIGURES[name], value) == pytest.approx((low, high))


def test_of_what_does_not_go_together_the_owner_hears_of_what_was_just_told() -> None:
    """168 hours are a week: the truck's trips and the hours of idling given now are too many together."""
    truck = calculators.example_truck("juniper")
    with pytest.raises(calculators.Refused) as refused:
        compute("regeneration", {"idle_hours_per_week": "167"}, truck, DAY)
    assert [fault.field for fault in refused.value.faults] == ["idle_hours_per_week"]
    with pytest.raises(calculators.Refused) as refused:
        compute("regeneration", {}, truck | {"facts": truck["facts"] | {"idle_hours_per_week": "167"}}, DAY)
    assert [fault.field for fault in refused.value.faults] != ["today"]


@pytest.mark.parametrize("name", calculators.NAMES)
def test_the_gravest_caution_stands_first(name: str) -> None:
    order = ["DANGER", "WARNING", "CAUTION", "NOTICE"]
    signals = [order.index(caution["signal"]) for caution in ask(name)["cautions"]]
    assert signals == sorted(signals)


def event(job: str, due: str) -> dict[str, Any]:
    told = {"value": None, "phrase": ""}
    return {"job": {"value": "engine_oil", "phrase": job}, "due_date": {"value": due}, "overdue": {"value": False},
            "odometer_when_due": told, "due_engine_hours": told, "only_if": told}


def test_a_line_of_a_calendar_holds_75_octets_and_none_is_split() -> None:
    """RFC 5545, 3.1, in octets: an é is two of them."""
    made = calendar({"É" * 60: [event("o" * 90, "2026-12-01")]}, DAY, {})
    lines = [line.encode() for line in made.split("\r\n")]
    assert max(map(len, lines)) == 75
    assert made.replace("\r\n ", "").count("É" * 60 + ": " + "o" * 90) == 2
    full = [line for line in lines if len(line) >= 74]
    assert len(full) >= 2


def test_what_is_kept_of_the_data_file_is_whole_and_alone(tmp_path: Path) -> None:
    """A list written beside and moved there: whoever reads meanwhile finds the old one or the new."""
    folder = tmp_path / "__pycache__"
    kept = folder / "figures-2-2.json"
    folder.mkdir()
    (folder / "figures-1-1.json").write_text("{}")
    figures._keep(kept, {"a": 1})
    assert [path.name for path in folder.iterdir()] == [kept.name]
    assert json.loads(kept.read_text()) == {"a": 1}


@pytest.mark.parametrize(("told", "text"), [("20.123456789 gal", "20.12346"), (20, "20"), ("20", "20"), ("76.19 L", "20.12727")])
def test_a_field_shows_as_much_as_it_has_room_for(told: Any, text: str) -> None:
    answer = calculators.with_words(ask("exhaust_fluid_use", fuel_tank_capacity=told))
    assert answer["inputs"]["fuel_tank_capacity"]["text"] == text


def test_a_file_may_be_long_but_not_endless() -> None:
    room = 5_000_000
    assert not any("too long" in fault.do for fault in read_truck(" " * (room - 2) + "{}")[1])
    assert "too long" in read_truck(" " * (room - 1) + "{}")[1][0].do


def test_a_request_may_be_long_but_not_endless() -> None:
    room = 12_000_000
    said = json.loads(calculators.call(" " * (room - 2) + "{}"))
    assert "too long" not in said["faults"][0]["do"]
    assert "too long" in json.loads(calculators.call(" " * (room - 1) + "{}"))["faults"][0]["do"]


def test_what_turns_today_has_turned() -> None:
    """A job a week off stands in this week from today on: the days on which its words change are later ones."""
    today = date(2026, 11, 25)
    week_off = today + timedelta(days=7)
    days = turning_days({"jobs": [{"due_date": {"value": str(week_off)}}]}, today)
    assert min(days) == week_off + timedelta(days=1), "late the day after"
