"""The table of units against pint, and what a reader may type."""

import re

import pint
import pytest
from pint import UnitRegistry

from calculators.engine import units
from calculators.engine.figures import FIGURES
from calculators.engine.units import METRIC, UNITLESS, convert, quantity

REGISTRY: UnitRegistry = UnitRegistry(autoconvert_offset_to_baseunit=True)
REGISTRY.define("dollar = [money]")

# What our units are in pint's language; where it has the same name, nothing stands here.
PINT = {
    "mi": "mile", "in": "inch", "ft": "foot", "lb": "pound", "gal": "gallon", "qt": "quart", "L": "liter", "mL": "milliliter",
    "yr": "year", "delta_degF": "delta_degree_Fahrenheit", "delta_degC": "delta_degree_Celsius", "Btu": "Btu_it", "USD": "dollar",
    "%": "percent", "m3": "meter**3", "h": "hour", "min": "minute", "W": "watt",
}
# What each other spelling means, in pint's language.
MEANT = {
    "mph": "mile/hour", "mpg": "mile/gallon", "L/100 km": "liter/(100*kilometer)", "l/100 km": "liter/(100*kilometer)",
    "l/100km": "liter/(100*kilometer)", "hours": "hour", "hour": "hour", "hr": "hour", "hrs": "hour", "minutes": "minute",
    "minute": "minute", "mins": "minute", "days": "day", "d": "day", "weeks": "week", "months": "month", "mo": "month",
    "years": "year", "year": "year", "y": "year", "miles": "mile", "mile": "mile", "kilometers": "kilometer",
    "kilometer": "kilometer", "kmh": "kilometer/hour", "kph": "kilometer/hour", "inches": "inch", "inch": "inch", '"': "inch",
    "gallons": "gallon", "gallon": "gallon", "gal/hr": "gallon/hour", "gph": "gallon/hour", "quarts": "quart", "quart": "quart",
    "l": "liter", "liters": "liter", "liter": "liter", "litres": "liter", "litre": "liter", "lbs": "pound", "pounds": "pound",
    "pound": "pound", "kilograms": "kilogram", "kilogram": "kilogram", "grams": "gram", "gram": "gram", "watts": "watt",
    "watt": "watt", "percent": "percent", "dollars": "dollar", "usd": "dollar",
    "F": "degF", "º F": "degF", "° F": "degF", "C": "degC", "° C": "degC",
}
# What a symbol means: $ and ° stand for their unit's own letters, in units made of others too.
SYMBOLS = {
    "$": ("USD", "dollar"), "$/gal": ("USD/gal", "dollar/gallon"), "$/qt": ("USD/qt", "dollar/quart"), "$/L": ("USD/L", "dollar/liter"),
    "$/mi": ("USD/mi", "dollar/mile"), "$/kWh": ("USD/kWh", "dollar/kilowatt_hour"), "°F": ("degF", "degF"), "°C": ("degC", "degC"),
}


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
    for number in (0, 0.5, 15, 60000, -70.25):
        if number >= 0 or not unit.startswith("USD"):
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


def test_every_spelling_of_the_test_is_in_the_table() -> None:
    assert set(MEANT) == set(units._SPELLED)


@pytest.mark.parametrize(("text", "unit", "value"), [
    ("30", "gal", 30), ("30 gal", "gal", 30), ("113.56235352 L", "gal", 30), ("4 qt", "gal", 1), ("1 gal", "qt", 4),
    ("$3.90", "USD/gal", 3.9), ("$3.90/gal", "USD/gal", 3.9), ("$ 3.90/gal", "USD/gal", 3.9), ("3.90 USD/gal", "USD/gal", 3.9),
    ("3.90 $/gal", "USD/gal", 3.9), ("1 USD/L", "USD/gal", 3.785411784), ("$1500", "USD", 1500), ("-12 degC", "degF", 10.4),
    ("\u221212 degC", "degF", 10.4), ("25 min", "h", 25 / 60), ("90 min", "h", 1.5), ("1 h", "min", 60), ("1 yr", "month", 12),
    ("100 km", "mi", 62.13711922), ("100 km/h", "mi/h", 62.13711922), ("25 mpg", "mi/gal", 25), ("10 L/100km", "mi/gal", 23.52145833),
    ("10 L/100 km", "mi/gal", 23.52145833), ("1 kg", "lb", 2.204622622), ("1 g/km", "g/mi", 1.609344), ("50 %", "%", 50),
    ("  7  ", "mi", 7), ("+5", "mi", 5), (".5", "mi", 0.5), ("5.", "mi", 5), ("1e3", "mi", 1000), ("160 in", "in", 160),
    ("16 cm", "in", 6.299212598), ("1 qt/week", "gal/day", 0.25 / 7), ("$0.16/kWh", "USD/kWh", 0.16), ("0.16 USD/kWh", "USD/kWh", 0.16),
])
def test_what_a_reader_may_type(text: str, unit: str, value: float) -> None:
    assert quantity(text, unit) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(("text", "value"), [("5 degC", 9), ("5 °C", 9), ("5 K", 9), ("9 degF", 9), ("300 K", 540), ("-5 C", -9), ("9", 9)])
def test_a_difference_of_temperatures_has_no_zero_point(text: str, value: float) -> None:
    assert quantity(text, "delta_degF") == pytest.approx(value)


WON_T_DO = [
    "", " ", "twelve", "30 parsecs", "5 psi", "3 gal gal", "3 gal/gal", "1,234", "3,5", "1,234.5", "\u0663", "\uff13", "\u00b2", "1e999",
    "-1e999", "nan", "NaN", "inf", "-inf", "Infinity", "0x5", "1_0", "--1", "+-1", "gal", "/", "3 /", "3 gal/", "/gal", "3 //gal",
    "3 100", "3 4", "1.2.3", "1e", "e5", "$", "$gal", "3 lb", "3 USD", "$3", "3 degF", "3 mi", "3 gal per h", "None", "true",
    "3 L/100km", "3 gal;", "3\x00", "3 gal\x00", "3 " + "gal/" * 2000 + "gal", "9" * 400,
]


@pytest.mark.parametrize("text", WON_T_DO)
def test_what_is_no_volume_is_refused_with_what_would_do(text: str) -> None:
    with pytest.raises(ValueError, match=r"^write ") as refused:
        quantity(text, "gal")
    assert "gal" in str(refused.value) or "comma" in str(refused.value)


@pytest.mark.parametrize(("text", "written"), [("1,234", "1234"), ("1,234,567.5 mi", "1234567.5 mi"),
                                               ("3,5", "3.5"), ("12,5 mi", "12.5 mi")])
def test_a_comma_is_refused_by_saying_how_to_write_it(text: str, written: str) -> None:
    with pytest.raises(ValueError, match=f"as {written}$"):
        quantity(text, "mi")


@pytest.mark.parametrize(("text", "unit"), [("1e308 km", "in"), ("1e308", "mi"), ("1e308 yr", "min")])
def test_a_number_that_runs_out_of_range_is_refused_or_finite(text: str, unit: str) -> None:
    try:
        assert quantity(text, unit) < float("inf")
    except ValueError as refused:
        assert str(refused).startswith("write ")


@pytest.mark.parametrize(("unit", "to"), [("gal", "lb"), ("mi", "gal"), ("USD", "USD/gal"), ("h", "mi/h"), ("%", "gal"),
                                          ("kg/L", "g/kWh"), ("mi/gal", "gal"), ("mi/gal", "gal/h"), ("degF", "delta_degF")])
def test_different_kinds_are_never_converted(unit: str, to: str) -> None:
    with pytest.raises(ValueError, match=re.escape(f"write it in {units.symbol(to)}")):
        convert(1, unit, to)


@pytest.mark.parametrize("text", ["5 L", "5 gal", "5 %", "$5"])
def test_a_count_takes_no_unit(text: str) -> None:
    with pytest.raises(ValueError, match="bare number"):
        quantity(text, "count")


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
