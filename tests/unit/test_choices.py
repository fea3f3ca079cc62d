"""Limits of our own choosing, or told from memory, that no other test stands on: to change one is to change what the guide advises.

What has a source is checked beside its publication, in tests/reference.
"""

from typing import Any

import pytest

from calculators.engine.figures import FIGURES, TABLES

CHOSEN = {
    "coldest_reached_margin": 5,  # degrees: so near to air that is too cold, no week is called good
    "days_without_long_trips_few": 60,  # a filter that fills sooner without them is carried by its long trips
    "broken_burns_bearable": 2,  # a month
    "level_stale": 7,  # days: a gauge of a week ago still says something, one of eight days nothing
    "same_economy_within": 0.05,  # miles a gallon: a field shows a tenth, so nearer than half of one it is what stood there
}
# What the record is watched by: of a jar twice the usual says something, of a dipstick half a quart, of which it misses a quarter.
WATCHED = {
    "water_watch": {"usual_from": 4, "times_usual": 2, "least_water": 10, "least_fuel": 20},
    "oil_watch": {"reading_error": 0.25, "above": 0.5, "rise": 0.5},
}


@pytest.mark.parametrize("name", CHOSEN)
def test_a_limit_is_what_was_chosen(name: str) -> None:
    entry = FIGURES[name]
    assert entry.value == CHOSEN[name] and entry.kind in ("ours", "from memory"), "what has a source has its test beside it"


@pytest.mark.parametrize("table", WATCHED)
def test_what_the_record_is_watched_by_is_what_was_chosen(table: str) -> None:
    rows: dict[str, Any] = dict(TABLES[table])
    assert rows == WATCHED[table]
