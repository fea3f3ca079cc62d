"""The table of units against pint: sizes, symbols, spellings; what a reader may type is in test_reading."""

import re

import pint
import pytest
from pint import UnitRegistry

from calculators.engine import units
from calculators.engine.figures import FIGURES
from calculators.engine.reading import Asked, read
from calculators.engine.units import METRIC, UNITLESS, convert

REGISTRY: UnitRegistry = UnitRegistry(autoconvert_offset_to_baseunit=True)
REGISTRY.define("dollar = [money]")
REGISTRY.define("dollar_cent = 0.01 dollar")

# What our units are in pint's language; where it has the same name, nothing stands here.
PINT = {
    "mi": "mile", "in": "inch", "ft": "foot", "lb": "pound", "gal": "gallon", "qt": "quart", "L": "liter", "mL": "milliliter",
    "yr": "year", "delta_degF": "delta_degree_Fahrenheit", "delta_degC": "delta_degree_Celsius", "Btu": "Btu_it", "USD": "dollar",
    "%": "percent", "cent": "dollar_cent", "m3": "meter**3", "h": "hour", "min": "minute", "W": "watt",
}
# What each other spelling means, in pint's language.
MEANT = {
    "mph": "mile/hour", "mpg": "mile/gallon", "L/100 km": "liter/(100*kilometer)", "hours": "hour", "hour": "hour", "hr": "hour",
    "minutes": "minute", "minute": "minute", "sec": "second", "seconds": "second", "second": "second", "d": "day", "wk": "week",
    "mo": "month", "years": "year", "year": "year", "y": "year", "miles": "mile", "mile": "mile",
    "kilometers": "kilometer", "kilometer": "kilometer", "kilometres": "kilometer", "kilometre": "kilometer",
    "kmh": "kilometer/hour", "kph": "kilometer/hour", "inches": "inch", "inch": "inch", '"': "inch",
    "feet": "foot", "foot": "foot", "'": "foot", "gallons": "gallon", "gallon": "gallon", "gph": "gallon/hour",
    "quarts": "quart", "quart": "quart", "liters": "liter", "liter": "liter", "litres": "liter", "litre": "liter",
    "pounds": "pound", "pound": "pound", "#": "pound", "kilograms": "kilogram", "kilogram": "kilogram", "kilos": "kilogram",
    "kilo": "kilogram", "grams": "gram", "gram": "gram", "watts": "watt", "watt": "watt", "percent": "percent",
    "cups": "cup", "dollars": "dollar", "dollar": "dollar", "¢": "dollar_cent", "cents": "dollar_cent",
    "F": "degF", "Fahrenheit": "degF", "C": "degC", "Celsius": "degC",
}
# What a symbol means: $ and ° stand for their unit's own letters, in units made of others too.
SYMBOLS = {
    "$": ("USD", "dollar"), "$/gal": ("USD/gal", "dollar/gallon"), "$/qt": ("USD/qt", "dollar/quart"), "$/L": ("USD/L", "dollar/liter"),
    "$/mi": ("USD/mi", "dollar/mile"), "$/kWh": ("USD/kWh", "dollar/kilowatt_hour"), "°F": ("degF", "degF"), "°C": ("degC", "degC"),
}


def quantity(text: str, unit: str) -> float:
    return read(text, Asked(unit))


def in_pint(unit: str) -> pint.Quantity:
    """One of a unit, as pint has it."""
    first, *rest = (REGISTRY.Quantity(100, "km") if part == "100km" else REGISTRY.Quantity(1, PINT.get(part, part))
                    for part in unit.split("/") if part)
    for part in rest:
        first = first / part
    return first


def same_kind() -> list[tuple[str, str]]:
    """Each unit of the table beside the first of its kind."""
    first: dict[str, str] = {}
    return [(unit, first.setdefault(kind, unit)) for unit, (kind, _) in units._SIZE.items()]


@pytest.mark.parametrize(("unit", "to"), same_kind())
def test_every_size_agrees_with_pint(unit: str, to: str) -> None:
    assert convert(1, unit, to) == pytest.approx((in_pint(unit) / in_pint(to)).to("").magnitude, rel=1e-12)


def test_what_has_no_other_unit_of_its_kind_is_one() -> None:
    """A dollar and a percent: any other size would cancel out unnoticed."""
    kinds = [kind for kind, _ in units._SIZE.values()]
    alone = {unit: size for unit, (kind, size) in units._SIZE.items() if kinds.count(kind) == 1}
    assert alone
    assert set(alone.values()) == {1}


@pytest.mark.parametrize("unit", sorted({entry.unit for entry in FIGURES.values() if entry.question} - UNITLESS))
def test_the_unit_of_an_input_is_in_the_table(unit: str) -> None:
    assert unit in units._POINTS or units._measure(unit)[1] > 0


@pytest.mark.parametrize(("unit", "to"), [(u, m) for u, m in METRIC.items() if u not in units._POINTS and m != "L/100km"])
def test_every_metric_neighbor_agrees_with_pint(unit: str, to: str) -> None:
    assert convert(7, unit, to) == pytest.approx(7 * (in_pint(unit) / in_pint(to)).to("").magnitude, rel=1e-12)


@pytest.mark.parametrize("value", [-459.67, -40, 0, 32, 77, 1112])
@pytest.mark.parametrize("to", ["degC", "K", "degR"])
def test_temperatures_agree_with_pint(value: float, to: str) -> None:
    expected = REGISTRY.Quantity(value, "degF").to({"degC": "degC", "K": "kelvin", "degR": "degree_Rankine"}[to]).magnitude
    assert convert(value, "degF", to) == pytest.approx(expected, abs=1e-9)
    assert convert(expected, to, "degF") == pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize(("celsius", "fahrenheit"), [(-40, -40), (-11, 12.2), (0, 32), (25, 77), (100, 212), (250, 482), (600, 1112)])
def test_known_temperatures(celsius: float, fahrenheit: float) -> None:
    assert quantity(f"{celsius} degC", "degF") == pytest.approx(fahrenheit, abs=1e-9)
    assert quantity(f"{fahrenheit} °F", "degC") == pytest.approx(celsius, abs=1e-9)


@pytest.mark.parametrize(("typed", "unit", "meant"), [(typed, *told) for typed, told in SYMBOLS.items()])
def test_every_symbol_means_what_it_says(typed: str, unit: str, meant: str) -> None:
    assert REGISTRY(meant).to(in_pint(unit).units).magnitude == pytest.approx(in_pint(unit).magnitude)
    assert units.symbol(unit) == typed
    assert quantity(f"12 {typed}", unit) == quantity(f"12{typed}", unit) == 12


@pytest.mark.parametrize("unit", sorted({entry.unit for entry in FIGURES.values() if entry.question}))
def test_a_number_as_an_error_writes_it_may_be_typed(unit: str) -> None:
    """An error names what would do; typed as it stands there, it does."""
    for number in (0, 0.5, 15, 60000, -70.25, 41.205, -1.5):
        assert quantity(units.written(number, unit), unit) == number
    assert "USD" not in units.written(1, unit)
    assert "deg" not in units.written(1, unit)


@pytest.mark.parametrize(("spelling", "unit"), sorted(units._SPELLED.items()))
def test_every_spelling_means_what_it_says(spelling: str, unit: str) -> None:
    assert spelling in MEANT, f"say in MEANT what {spelling!r} means"
    meant, ours = REGISTRY(MEANT[spelling]), in_pint(unit)
    assert meant.to(ours.units).magnitude == pytest.approx(ours.magnitude)
    assert quantity(f"12 {spelling}", unit) == 12
    assert quantity(f"12{spelling}", unit) == 12


def test_no_two_units_are_told_apart_by_capitals_alone() -> None:
    """A reader types them as it comes."""
    named = {name: unit for unit in (*units._SIZE, *units._POINTS) for name in (unit, units.symbol(unit))} | units._SPELLED
    folded: dict[str, set[str]] = {}
    for name, unit in named.items():
        folded.setdefault(name.casefold(), set()).add(unit)
    assert [name for name, meant in folded.items() if len(meant) > 1] == []


@pytest.mark.parametrize("unit", sorted({*units._SIZE, *units._POINTS} - {"m"}))
def test_capitals_a_space_and_a_period_make_no_other_unit(unit: str) -> None:
    for name in (unit, unit.upper(), unit.lower(), f" {unit}.", units.symbol(unit)):
        assert units.spelled(name) == (unit if not unit.startswith("delta_") or "delta" in name.lower() else unit.removeprefix("delta_"))


def test_every_spelling_of_the_test_is_in_the_table() -> None:
    assert set(MEANT) == set(units._SPELLED)


@pytest.mark.parametrize(("unit", "to"), [("gal", "lb"), ("mi", "gal"), ("USD", "USD/gal"), ("h", "mi/h"), ("%", "gal"),
                                          ("kg/L", "g/kWh"), ("mi/gal", "gal"), ("mi/gal", "gal/h"), ("degF", "delta_degF")])
def test_different_kinds_are_never_converted(unit: str, to: str) -> None:
    with pytest.raises(ValueError, match=re.escape(f"write it in {units.symbol(to)}")):
        convert(1, unit, to)


@pytest.mark.parametrize("unit", sorted(units._SIZE))
@pytest.mark.parametrize("value", [0.001, 1.0, 12345.678])
def test_there_and_back_is_the_same(unit: str, value: float) -> None:
    for other, (kind, _) in units._SIZE.items():
        if kind == units._SIZE[unit][0]:
            assert convert(convert(value, unit, other), other, unit) == pytest.approx(value, rel=1e-12)


def test_fuel_per_distance_is_distance_per_fuel_the_other_way_up() -> None:
    for economy in (4.0, 15.0, 35.0):
        liters = convert(economy, "mi/gal", "L/100km")
        assert liters == pytest.approx((1 / (economy * in_pint("mi/gal")) / in_pint("L/100km")).to("").magnitude, rel=1e-12)
        assert convert(liters, "L/100km", "mi/gal") == pytest.approx(economy, rel=1e-12)
