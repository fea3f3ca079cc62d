"""Fuel and fluids of a year: sums by hand."""

import pytest

from tests.unit.ask import ask, results

# An interval of one's own counts by miles alone, for either truck.
YEAR = {"distance_per_year": 15_000, "fuel_economy": 15, "def_share_of_fuel": 3, "oil_interval": 7501, "gasoline_oil_interval": 6001,
        "gasoline_fuel_economy": 10}


def test_an_oil_change_by_hand() -> None:
    """13 qt x $7 + $25 = $116; gasoline 7 qt x $6.50 + $13.50 = $59; labor on both."""
    said = results("fluid_cost")
    assert said["oil_change_cost"] == pytest.approx(116)
    assert said["gasoline_oil_change_cost"] == pytest.approx(59)
    with_labor = results("fluid_cost", labor_per_oil_change=60)
    assert with_labor["oil_change_cost"] == pytest.approx(176)
    assert with_labor["gasoline_oil_change_cost"] == pytest.approx(119)


def test_a_year_by_hand() -> None:
    """1,000 gal x $3.90; 30 gal DEF x $4; 2 oil changes x $116; 1 filter set x $160: 3900 + 120 + 232 + 160 = $4,412."""
    said = results("fluid_cost", **YEAR)
    assert said["diesel_cost_per_year"] == pytest.approx(4412, abs=0.1)
    assert said["gasoline_cost_per_year"] == pytest.approx(15_000 / 10 * 3.30 + 2.5 * 59, abs=0.1)
    assert said["difference_per_year"] == pytest.approx(4412 - 5097.5, abs=0.1)
    assert said["diesel_cost_per_distance"] == pytest.approx(4412 / 15_000, abs=1e-4)
    assert said["gasoline_cost_per_distance"] == pytest.approx(5097.5 / 15_000, abs=1e-4)


def test_the_lines_add_up() -> None:
    said = results("fluid_cost", **YEAR)
    assert [row["item"]["value"] for row in said["lines"]] == ["fuel", "exhaust_fluid", "oil_changes", "fuel_filters"]
    assert [row["diesel"]["value"] for row in said["lines"]] == pytest.approx([3900, 120, 232, 160], abs=0.1)
    for fuel in ("diesel", "gasoline"):
        assert sum(row[fuel]["value"] for row in said["lines"]) == pytest.approx(said[f"{fuel}_cost_per_year"])


def test_a_filter_set_comes_with_every_so_many_oil_changes() -> None:
    said = results("fluid_cost", **YEAR, oil_changes_per_fuel_filter=4)
    assert said["fuel_filter_sets_per_year"] == pytest.approx(15_000 / 7501 / 4)
    assert said["fuel_filter_cost_per_year"] == pytest.approx(80, abs=0.1)


# One count of oil changes, the one that the service dates go by. Juniper: 9,500 mi, 575 h (4 + 1.5 h of driving and 6 of idling in 50
# weeks) and a year; in severe use 3,750 mi, 200 h (hours count the idling already) and 6 months.
BUCKET = {"short_trip_time": 25, "short_trips_per_week": 10, "long_trip_time": 40, "idle_hours_per_week": 30}


@pytest.mark.parametrize(("told", "changes"), [
    ({}, 575 / 200), (BUCKET, 35.5 * 50 / 200),               # hours: 2.9 and 8.9 a year
    ({"idle_hours_per_week": 0}, 9500 / 3750),                # miles
    ({"severe_use": "no"}, 575 / 250),
    ({"severe_use": "no", "idle_hours_per_week": 0}, 9500 / 7500),
    ({"short_trips_per_week": 2, "long_trips_per_week": 0, "idle_hours_per_week": 0}, 2),  # the calendar
    ({"interval__engine_oil__engine_hours": 230}, 9500 / 3750),  # one's own is never shortened: 2.5 by hours
    ({"interval__engine_oil__distance": 5000, "idle_hours_per_week": 0}, 2),
    ({"interval__engine_oil__time": 3}, 4),
    ({"oil_interval": 9500}, 1), ({"oil_interval": 4750, "severe_use": "no"}, 2),  # given here: by miles alone
    ({"oil_interval": 7500}, 575 / 200), ({"oil_interval": "7500.4"}, 575 / 200),  # as it stands in the field: not given
    ({"oil_interval": 9000, "interval__engine_oil__distance": 9000, "idle_hours_per_week": 20}, 25.5 * 50 / 200),
    ({"engine_hours_per_week": 20}, 20 * 50 / 200),
])
def test_oil_changes_go_by_the_clock_that_runs_fastest(told: dict[str, object], changes: float) -> None:
    said = results("fluid_cost", **told)
    assert said["oil_changes_per_year"] == pytest.approx(changes)
    assert said["fuel_filter_sets_per_year"] == pytest.approx(changes / 2)
    assert results("diesel_or_gasoline", **told)["oil_changes_per_year"] == pytest.approx(changes)


@pytest.mark.parametrize(("told", "changes"), [
    ({}, (9500 + 300 * 25) / 3000), ({"severe_use": "no"}, 17_000 / 6000), ({"distance_per_idle_hour": 0}, 9500 / 3000),
    ({"idle_hours_per_week": 0, "short_trips_per_week": 2, "long_trips_per_week": 0}, 2),  # at least by months
    ({"gasoline_oil_interval": 5000}, 9500 / 5000), ({"gasoline_oil_interval": 20_000}, 9500 / 20_000),  # neither cut nor idled
    ({"gasoline_oil_interval": 6000}, 17_000 / 3000),  # as it stands in the field: not given
])
def test_the_gasoline_trucks_oil_counts_its_idling_as_miles(told: dict[str, object], changes: float) -> None:
    assert results("fluid_cost", **told)["gasoline_oil_changes_per_year"] == pytest.approx(changes)


@pytest.mark.parametrize(("told", "economy"), [({}, 12), ({"fuel_economy": 10}, 8), ({"gasoline_economy_share": 70}, 10.5),
                                               ({"gasoline_fuel_economy": 11}, 11)])
def test_a_gasoline_truck_goes_four_fifths_as_far_on_a_gallon(told: dict[str, object], economy: float) -> None:
    """Common practice: at the same work 70 to 85 % of the diesel's miles a gallon."""
    assert ask("fluid_cost", **told)["inputs"]["gasoline_fuel_economy"]["value"] == pytest.approx(economy)


@pytest.mark.parametrize(("economy", "noticed"), [(14.9, False), (15, False), (15.1, True)])
@pytest.mark.parametrize("name", ["fluid_cost", "diesel_or_gasoline"])
def test_a_gasoline_truck_that_goes_farther_is_noticed(name: str, economy: float, noticed: bool) -> None:
    hazards = [caution["hazard"] for caution in ask(name, gasoline_fuel_economy=economy)["cautions"]]
    assert any("farther on a gallon" in hazard for hazard in hazards) is noticed


def test_nothing_driven() -> None:
    answer = ask("fluid_cost", distance_per_year=0, idle_hours_per_week=0, engine_hours_per_week=0)
    assert answer["results"]["diesel_cost_per_year"]["value"] == pytest.approx(2 * 116 + 160)  # the calendar goes on
    assert answer["results"]["diesel_cost_per_distance"] == {"value": None, "unit": "USD/mi", "why": "nothing is driven"}
    assert answer["answer"].startswith("Nothing is driven, so no fuel is burned on the way: oil and filters alone come to $392")


@pytest.mark.parametrize("name", ["fluid_cost", "diesel_or_gasoline"])
def test_a_years_sum_says_that_idling_is_not_in_it(name: str) -> None:
    """25 idle hours a week burn 750 gal more at 0.6 gal/h than the miles do, and a log of full tanks holds some of that."""
    hazards = [caution["hazard"] for caution in ask(name, idle_hours_per_week=25)["cautions"]]
    assert any("Fuel burned idling counts here only as far" in hazard for hazard in hazards)


def test_the_sentence_tells_no_two_sums_whose_difference_is_another() -> None:
    """$3,100 and $2,950, rounded to ten dollars, are not $156 apart: one sum and the difference say it."""
    dearer, cheaper = (ask("fluid_cost", **told)["answer"] for told in ({}, {"gasoline_fuel_price": 6}))
    assert dearer.count("$") == cheaper.count("$") == 2
    assert " more than a gasoline truck" in dearer and " less than a gasoline truck" in cheaper
