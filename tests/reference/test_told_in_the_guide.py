"""Values that the guide tells and no calculator asks, as their sources give them; where nothing is published, as the trade notes do."""

import re

import pytest

import calculators
from tools.ready import ROOT

# name, unit, value, (least, most)
PUBLISHED = [
    # 26 USC 6715(b)(1): the greater of $1,000, or $10 for each gallon of the dyed fuel involved
    ("dyed_fuel_penalty", "USD", 1000, None),
    ("dyed_fuel_penalty_by_volume", "USD/gal", 10, None),
    # Atmosphere 11 (2020) 645: 124 mi on one car, told as 120; a newspaper column: 700 mi
    ("distance_between_burns_published", "mi", None, (120, 700)),
    # 40 CFR 86.004-25 (2015), light heavy-duty: 100,000 mi or 3,000 h
    ("filter_service_distance_earliest", "mi", 100_000, None),
    ("filter_service_hours_earliest", "h", 3_000, None),
    # ISO 22241-1:2019: urea 32.5 %, limits 31.8 and 33.2 % by mass
    ("def_urea", "%", 32.5, (31.8, 33.2)),
    # EPA-420-F-14-017 (2014): a refill interval of at least 4,000 miles for light-duty vehicles
    ("def_tank_distance", "mi", 4_000, None),
    # American Petroleum Institute, advice on storing DEF: about 12 months in good conditions
    ("def_shelf_life_good", "month", 12, None),
    # US DOE Fact #861 (2015), diesels without load: medium heavy truck 0.44 gal/h ... transit bus 0.97 gal/h
    ("idle_fuel_rate_measured", "gal/h", None, (0.44, 0.97)),
    # US DOE Fact #1102 (2019): 29 states and the District of Columbia, often 3 to 5 minutes
    ("idling_law_states", "count", 29, None),
    ("idling_limit_usual", "min", None, (3, 5)),
    # 40 CFR 86.082-2, light-duty truck: rated at 8,500 pounds gross or less
    ("light_truck_up_to", "lb", 8500, None),
    # Comptes Rendus Chimie 17 (2014) 672: nitrogen dioxide leads at 300 to 450 °C
    ("passive_burn_temperature", "degF", None, (300 * 9 / 5 + 32, 450 * 9 / 5 + 32)),
]
TRADE = [
    ("fuel_pump_cost", "USD", None, (800, 1000)), ("fuel_system_cost_over", "USD", 10_000, None),
    ("drive_to_finish_a_burn", "min", None, (30, 40)), ("parked_burn_time", "min", 30, None), ("parked_burn_clearance", "ft", 10, None),
    ("fuel_in_oil_trouble", "%", 2, None), ("fuel_in_oil_limit", "%", 5, None), ("def_share_usual", "%", None, (2, 4)),
    ("def_freezing_point", "degF", 12, None), ("def_freezing_growth", "%", 7, None), ("def_purge_time", "min", 1, None),
    ("def_refill_at_least", "gal", 2, None),
    ("battery_power_at_freezing", "%", 65, None), ("battery_need_at_freezing", "%", 155, None),
    ("battery_power_at_zero", "%", 40, None), ("battery_need_at_zero", "%", 210, None),
    ("battery_power_far_below_zero", "%", 25, None), ("battery_need_far_below_zero", "%", 350, None),
    ("battery_freezing", "degF", 32, None), ("battery_cold", "degF", 0, None), ("battery_far_below_zero", "degF", -20, None),
    ("tire_age_look", "yr", 6, None), ("wheel_nuts_again", "mi", None, (50, 100)), ("cool_down_idle", "min", None, (2, 5)),
    ("crank_at_most", "s", 30, None), ("fuel_after_running_dry", "gal", 5, None), ("shop_switch_on_time", "min", 30, None),
]
# Our own limits, printed as ours: when to give up and hand over. A change here is a change of advice.
OURS = [
    ("burn_message_to_shop_after", "h", 1, None), ("crank_tries_at_most", "count", 3, None),
    ("water_to_tow", "cup", 1, None),  # "still water after a cup": towed
    ("warranty_look_before", "month", 2, None),
]
# Moments picked to show how an answer shifts: they claim nothing.
SHOWN = {"cold_start_example", "mild_start_example", "cool_burn_example"}


@pytest.mark.parametrize(("name", "unit", "value", "spread"), PUBLISHED + TRADE + OURS,
                         ids=lambda told: told if isinstance(told, str) else "")
def test_a_told_value_is_what_its_source_gives(name: str, unit: str, value: float | None, spread: tuple[float, float] | None) -> None:
    figure = calculators.figure(name)
    assert (figure.unit, figure.value, figure.spread) == (unit, value, spread)
    assert (figure.kind in ("standard", "handbook")) == (name in {told[0] for told in PUBLISHED})


@pytest.mark.parametrize(("name", "celsius"), [("def_kept_cool", 10), ("def_kept_room", 25), ("def_kept_warm", 30), ("def_kept_hot", 35)])
def test_the_shelf_table_breaks_at_whole_degrees_celsius(name: str, celsius: float) -> None:
    """The guides that cite ISO 22241 give 10, 25, 30 and 35 °C; 25 °C is exactly 77 °F and must not fall to the next row."""
    assert calculators.figure(name).value == celsius * 9 / 5 + 32


@pytest.mark.parametrize(("name", "months"), [("def_kept_cool", 36), ("def_kept_room", 18), ("def_kept_warm", 12), ("def_kept_hot", 6)])
def test_the_shelf_table_tells_what_the_trade_guides_give(name: str, months: int) -> None:
    """Trade handling guides that cite ISO 22241: 36, 18, 12 and 6 months; each row asks the calculator at the temperature it names."""
    temperature = f"{calculators.figure(name).value:g}"
    row = f'| {{{{ live("{name}") }}}} | {{{{ live("exhaust_fluid_quality.shelf_life", storage_temperature="{temperature}") }}}} |'
    assert row in (ROOT / "docs" / "def.md").read_text("utf-8")
    answer = calculators.answer("exhaust_fluid_quality", {"storage_temperature": temperature})
    assert answer["results"]["shelf_life"]["value"] == months


def test_def_keeps_its_strength_within_one_pair_of_limits() -> None:
    """ISO 22241-1: what the chapter tells as a range is what the calculator judges by."""
    assert calculators.figure("def_urea").spread[0] == calculators.figure("urea_low").value


def test_diesel_holds_more_energy_by_the_published_heating_values() -> None:
    """Alternative Fuels Data Center, fuel properties (GREET, 2013), lower: 128,488 Btu/gal against 116,090 (E0) and 112,114 (E10)."""
    assert calculators.figure("diesel_energy_more").spread == pytest.approx([(128_488 / e - 1) * 100 for e in (116_090, 112_114)], abs=0.05)


def test_def_freezes_near_eleven_below_zero_celsius() -> None:
    """Near -11 °C, as the trade says: the guide's whole degree Fahrenheit is the nearest one."""
    assert calculators.figure("def_freezing_point").value == round(-11 * 9 / 5 + 32)


def test_every_value_told_in_the_guide_is_checked_here() -> None:
    text = (ROOT / "calculators" / "figures.toml").read_text("utf-8")
    told = re.findall(r"^\[(\w+)\]", text.split("# --- Told in the guide")[1], re.MULTILINE)
    assert all(calculators.figure(name).kind == "ours" for name in (*SHOWN, *(name for name, *_ in OURS)))
    elsewhere = SHOWN | {"def_kept_cool", "def_kept_room", "def_kept_warm", "def_kept_hot", "diesel_energy_more"}
    assert set(told) == {name for name, *_ in PUBLISHED + TRADE + OURS} | elsewhere


@pytest.mark.parametrize(("figure", "asked"), [
    ("cold_start_example", "outside_temperature"), ("mild_start_example", "outside_temperature"),
    ("cool_burn_example", "regeneration_temperature"),
])
def test_what_the_exhaust_chapter_says_it_compares_is_what_it_computes(figure: str, asked: str) -> None:
    """The chapter names the temperature by its figure and hands the calculator a text: both must be the same."""
    text = (ROOT / "docs" / "exhaust.md").read_text("utf-8")
    given = set(re.findall(rf'live\("regeneration\.\w+", {asked}="(-?\d+)"\)', text))
    assert f"{calculators.figure(figure).value:g}" in given
