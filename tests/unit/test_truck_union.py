"""Copies of one truck: the later saved wins whole, what the others told differently is put aside, the books are united."""

from typing import Any

import pytest

from calculators.engine.truck_union import NotOneTruck, united

OLD: dict[str, Any] = {
    "format": "diesel-handover-truck", "version": 2, "id": "1", "saved_at": "2026-11-01T10:00:00Z", "name": "Oak",
    "identity": {"unit": "7", "vin": "V"}, "facts": {"fuel_price": "3.90 USD/gal", "trucks": 2, "tows": True},
    "interval": {"engine_oil": {"time": "6 month", "distance": "5000 mi"}}, "book": [{"id": "a", "date": "2026-10-01", "kind": "note"}],
}
NEW = OLD | {"saved_at": "2026-11-20T10:00:00Z", "name": "Old Oak", "identity": {"unit": "7"},
             "facts": {"fuel_price": "4 USD/gal", "trucks": 2}, "interval": {"engine_oil": {"time": "12 month"}}, "color": "red",
             "book": [{"id": "b", "date": "2026-11-02", "kind": "note"}]}


def aside(truck: dict[str, Any]) -> dict[tuple[str, str], Any]:
    return {(one["part"], one["key"]): one["value"] for one in truck["aside"]}


def test_the_copy_saved_last_wins_whole_and_the_rest_is_put_aside() -> None:
    both = united(OLD, NEW)
    assert both == united(NEW, OLD) == united(both, OLD) == united(NEW, both, OLD)
    assert {key: both[key] for key in ("name", "identity", "facts", "interval", "saved_at", "color")} == {
        key: NEW[key] for key in ("name", "identity", "facts", "interval", "saved_at", "color")}
    assert [raw["id"] for raw in both["book"]] == ["a", "b"]
    assert aside(both) == {("", "name"): "Oak", ("identity", "vin"): "V", ("facts", "fuel_price"): "3.90 USD/gal", ("facts", "tows"): True,
                           ("interval", "engine_oil.time"): "6 month", ("interval", "engine_oil.distance"): "5000 mi"}
    assert {one["saved_at"] for one in both["aside"]} == {OLD["saved_at"]}


def test_nothing_is_put_aside_where_nothing_differs() -> None:
    assert "aside" not in united(OLD, OLD | {"saved_at": "2026-11-05T10:00:00Z"})


def test_times_are_compared_and_not_their_spelling() -> None:
    later = OLD | {"saved_at": "2026-11-01T06:30:00-05:00", "name": "Later"}  # 11:30 in Greenwich
    assert united(OLD, later)["name"] == "Later"
    assert united(OLD, later | {"saved_at": None})["name"] == "Oak"


def test_what_comes_back_is_aside_no_more() -> None:
    back = OLD | {"saved_at": "2026-11-25T10:00:00Z"}
    assert aside(united(OLD, NEW, back))["facts", "fuel_price"] == "4 USD/gal"
    assert len([one for one in united(OLD, NEW, back)["aside"] if one["key"] == "fuel_price"]) == 1


def test_a_file_of_version_1_joins_the_truck_of_its_name() -> None:
    record = {"coolant": {"date": "2026-01-01"}}
    old = {"format": "diesel-handover-truck", "version": 1, "name": "Oak", "facts": {"odometer": 5}, "done": record}
    whole = united(old, old | {"facts": {"trucks": 3}})
    assert [raw["kind"] for raw in whole["book"]] == ["reading", "job"]


def test_two_trucks_are_not_one() -> None:
    with pytest.raises(NotOneTruck):
        united(OLD, NEW | {"id": "2"})
