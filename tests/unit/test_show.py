"""How a value reads. Expected words are what a person would write."""

from datetime import date
from typing import Any

import pytest

from calculators import Missing
from calculators.engine.show import SAID, comes_to, label, spoken, unit_label, words

MINUS = "\u2212"


@pytest.mark.parametrize(("value", "unit", "number", "short", "phrase"), [
    (1, "day", "1", "day", "1 day"), (2, "day", "2", "days", "2 days"), (1, "h", "1", "h", "1 hour"),
    (35.07, "min", "35", "min", "35 minutes"), (1.0, "min", "1", "min", "1 minute"), (0.0, "min", "0", "min", "0 minutes"),
    (8.6369, "min", "8.6", "min", "8.6 minutes"), (702.0, "USD", "$702", "", "$702"), (56_700.0, "USD", "$56,700", "", "$56,700"),
    (2.34, "USD", "$2.34", "", "$2.34"), (0.0, "USD", "$0", "", "$0"), (-12.5, "USD", f"{MINUS}$12.50", "", f"{MINUS}$12.50"),
    (-1234.5, "USD", f"{MINUS}$1,230", "", f"{MINUS}$1,230"), (3.9, "USD/gal", "$3.90", "/gal", "$3.90 a gallon"),
    (0.31415, "USD/mi", "$0.314", "/mi", "$0.314 a mile"), (0.16, "USD/kWh", "$0.16", "/kWh", "$0.16 a kWh"),
    (15.0, "mi/gal", "15", "mpg", "15 miles per gallon"), (1.0, "mi/gal", "1", "mpg", "1 mile per gallon"),
    (62.0, "mi/h", "62", "mph", "62 mph"), (9500.0, "mi", "9,500", "mi", "9,500 miles"), (1.0, "mi", "1", "mi", "1 mile"),
    (124.4, "mi", "124", "mi", "124 miles"), (180.0, "gal", "180", "gal", "180 gallons"), (0.2143, "gal", "0.21", "gal", "0.21 gallons"),
    (0.6, "gal/h", "0.6", "gal/h", "0.6 gallons an hour"), (13.0, "qt", "13", "qt", "13 quarts"), (9.0909, "%", "9.1", "%", "9.1%"),
    (100.0, "%", "100", "%", "100%"), (0.0, "%", "0", "%", "0%"),
    (-20.0, "degF", f"{MINUS}20", "°F", f"{MINUS}20°F"),
    (300.0, "h", "300", "h", "300 hours"), (1.0, "yr", "1", "yr", "1 year"), (2.4654, "yr", "2.5", "yr", "2.5 years"),
    (12.0, "month", "12", "months", "12 months"), (1.0, "month", "1", "month", "1 month"), (16.4, "day", "16", "days", "16 days"),
    (1.0883, "kg/L", "1.0883", "kg/L", "1.0883 kg/L"), (42.0, "g", "42", "g", "42 grams"),
    (0.07, "g/mi", "0.07", "g/mi", "0.07 grams a mile"),
    (2.0, "count", "2", "", "2"), (0.4286, "", "0.43", "", "0.43"), (-0.0, "gal", "0", "gal", "0 gallons"),
    (1e6, "mi", "1,000,000", "mi", "1,000,000 miles"), (1.8e-10, "mi", "0", "mi", "0 miles"),
    (1.8e-10, "1/s", "1.8e−10", "1/s", "1.8e−10 1/s"),
    # no finer than it is known
    (995.4, "USD", "$995", "", "$995"), (2787.9, "USD", "$2,790", "", "$2,790"), (1004.0, "USD", "$1,000", "", "$1,000"),
    (68_004.0, "USD", "$68,000", "", "$68,000"), (999_984.0, "USD", "$999,980", "", "$999,980"),
    (2_122_298_516_832.0, "USD", "$2.12 trillion", "", "$2.12 trillion"),
    (-1_234_567.0, "USD", f"{MINUS}$1.23 million", "", f"{MINUS}$1.23 million"),
    (123e9, "USD", "$123 billion", "", "$123 billion"), (1234.5, "USD/mi", "$1,234", "/mi", "$1,234 a mile"),
    (0.99, "yr", "1", "yr", "1 year"), (0.76, "yr", "1", "yr", "1 year"), (0.74, "yr", "9", "months", "9 months"),
    (0.2, "yr", "2", "months", "2 months"), (0.01, "yr", "1", "month", "1 month"), (0.0, "yr", "0", "yr", "0 years"),
    (9.8, "yr", "10", "yr", "10 years"), (20.0, "yr", "20", "yr", "20 years"), (20.1, "yr", "never", "", "never"),
    (1_500_155.0, "mi", "1,500,155", "mi", "1,500,155 miles"), (12_345_678.0, "gal", "12.3 million", "gal", "12.3 million gallons"),
    (-12_345_678.0, "mi", f"{MINUS}12.3 million", "mi", f"{MINUS}12.3 million miles"),
])
def test_a_result_has_the_digits_it_deserves(value: float, unit: str, number: str, short: str, phrase: str) -> None:
    said = words(value, unit)
    assert (said.number, said.unit, said.phrase) == (number, short, phrase)


@pytest.mark.parametrize(("value", "unit", "phrase"), [
    (12.76, "gal", "13 gallons"), (12.74, "gal", "12.5 gallons"), (1.2, "gal", "1 gallon"), (0.21, "gal", "0.21 gallons"),
    (633.3, "gal", "633 gallons"), (2787.9, "USD", "$2,790"), (22.5, "h", "22.5 hours"),
    (3247, "mi", "3,200 miles"), (997, "mi", "1,000 miles"), (191.4, "mi", "190 miles"), (99.6, "mi", "100 miles"), (38, "mi", "38 miles"),
    (104, "mi", "100 miles"), (94, "mi", "94 miles"), (1040, "mi", "1,000 miles"), (944, "mi", "940 miles")])
def test_advice_is_in_halves_of_a_gallon_and_tens_of_miles(value: float, unit: str, phrase: str) -> None:
    assert words(value, unit, advice=True).phrase == phrase


@pytest.mark.parametrize(("meant", "one"), [(123_456.0, 100.0), (1234.0, 1.0), (-43_210.0, 10.0), (5.0, 0.001)])
def test_working_may_miss_its_result_by_one_in_the_last_of_four_digits(meant: float, one: float) -> None:
    for side in (-1, 1):
        assert comes_to(meant + 0.99 * side * one, meant)
        assert not comes_to(meant + 1.01 * side * one, meant)
    assert not comes_to(1.0001, True) and not comes_to(True, 1.0001) and comes_to(True, True), "a yes is no number"


@pytest.mark.parametrize("value", [0.99, 25.0, 2787.9, 1_234_567.0])
def test_what_was_told_stays_as_it_was_told(value: float) -> None:
    for unit in ("yr", "USD"):
        assert float(words(value, unit, exact=True, advice=True).number.replace(",", "").removeprefix("$")) == value


@pytest.mark.parametrize(("value", "unit", "text"), [
    (34.5454545454, "mi/h", "34.55 mph"), (34.54545, "mi/h", "34.54545 mph"),
    (3.9, "USD/gal", "$3.90/gal"), (4.199, "USD/gal", "$4.199/gal"), (4.0, "USD/gal", "$4.00/gal"),
    (1500.0, "USD", "$1,500"),
    (41_555.5, "mi", "41,555.5 mi"), (0.008314462618, "kJ/(mol.K)", "0.008314 kJ/(mol.K)"), (907_000.0, "1/s", "907,000 1/s"),
    (0.1, "qt", "0.1 qt"), (2.008, "", "2.008"), (99.9, "%", "99.9%"), (1112.0, "degF", "1,112°F"), (1e-7, "g", "1e-07 g"),
])
def test_the_working_shows_what_was_told_or_computed(value: float, unit: str, text: str) -> None:
    assert str(words(value, unit, exact=True)).replace("1.0e", "1e") == text.replace("-07", str(words(1e-7, exact=True))[2:])


@pytest.mark.parametrize(("value", "unit", "phrase"), [
    (100.0, "mi", "161 km"), (15.0, "mi/gal", "16 L/100 km"), (10.0, "gal", "38 liters"),
    (-20.0, "degF", f"{MINUS}29°C"), (9.0, "delta_degF", "5°C"),
    (3.785411784, "USD/gal", "$1.00 a liter"), (1.609344, "USD/mi", "$1.000 a km"), (850.0, "lb", "386 kg"), (35.0, "min", "35 minutes"),
    (13.0, "qt", "12 liters"), (1.0, "mi/h", "1.6 km/h"), (160.0, "in", "406 cm"),
])
def test_metric(value: float, unit: str, phrase: str) -> None:
    assert words(value, unit, metric=True).phrase == phrase


@pytest.mark.parametrize(("value", "phrase"), [
    (True, "yes"), (False, "no"), (date(2026, 11, 29), "Nov 29, 2026"), (date(2024, 2, 9), "Feb 9, 2024"),
    ("separator_drain", "Drain the water separator"), ("not_recorded", "no record yet"),
    ("def_in_fuel", "DEF in the fuel tank"), ("a_def_pump", "a DEF pump"),
    ("fits", "Good"),
    (["a", "b"], "a, b"), ([1, 2, 3], "3 lines"),
])
def test_words_dates_and_lists(value: Any, phrase: str) -> None:
    assert words(value).phrase == phrase


def test_what_cannot_exist_is_a_dash_and_its_reason() -> None:
    said = words(Missing("the truck stands still"), "mi")
    assert (said.number, said.unit, said.phrase) == ("—", "", "the truck stands still")


@pytest.mark.parametrize(("name", "said"), [
    ("def_cost_per_year", "DEF cost per year"), ("nox_before", "NOx before"), ("done.engine_oil.date", "done engine oil date"),
    ("interval__engine_oil__distance", "interval engine oil distance"),
])
def test_names_as_words(name: str, said: str) -> None:
    assert spoken(name) == said


@pytest.mark.parametrize(("name", "said"), [("fuel_per_year", "Fuel per year"),
                                            ("def_per_year", "DEF per year"), ("nox_after", "NOx after")])
def test_names_as_labels(name: str, said: str) -> None:
    assert label(name) == said


def test_labels_in_metric_speak_of_km() -> None:
    assert label("distance_between_regenerations") == "Miles between burns"
    assert label("distance_between_regenerations", metric=True) == "Km between burns"
    assert label("diesel_cost_per_distance", metric=True) == "A km in the diesel"


@pytest.mark.parametrize(("unit", "said"), [("USD/gal", "$/gal"), ("USD", "$"), ("mi/gal", "mpg"), ("delta_degF", "°F"), ("count", ""),
                                            ("date", ""), ("yes/no", ""), ("%", "%"), ("kg/L", "kg/L")])
def test_units_beside_a_field(unit: str, said: str) -> None:
    assert unit_label(unit) == said


@pytest.mark.parametrize("value", [0.001234, 0.0999, 0.999, 9.99, 99.5, 999.4, 12345.6, 999_999.5])
def test_rounding_never_changes_a_result_by_more_than_its_last_digit(value: float) -> None:
    number = float(words(value, "g").number.replace(",", ""))
    assert number == pytest.approx(value, rel=0.05)
    if value >= 10:
        assert abs(number - value) <= 0.5


@pytest.mark.parametrize(("value", "unit", "number", "phrase"), [
    (12.42742, "mi", "12.4", "12.4 miles"), (853.189, "lb", "853", "853 pounds"),
    (0.60759, "gal/h", "0.608", "0.608 gallons an hour"), (41200.0169, "mi", "41,200", "41,200 miles"),
    (4.1639529, "USD/gal", "$4.16", "$4.16 a gallon"), (6613.867866, "lb", "6,614", "6,614 pounds"),
    (-26.61111, "degF", f"{MINUS}26.6", f"{MINUS}26.6°F"), (1113.8, "degF", "1,114", "1,114°F"),
    # What an owner may have told so stays so.
    (3.899, "USD/gal", "$3.899", "$3.899 a gallon"), (3.9, "USD/gal", "$3.90", "$3.90 a gallon"),
    (0.1234, "USD/kWh", "$0.1234", "$0.1234 a kWh"),
    (123456.0, "mi", "123,456", "123,456 miles"), (True, "", "yes", "yes"), ("ball", "", "Ball", "Ball"),
])
def test_what_another_unit_left_is_short_in_a_sentence(value: Any, unit: str, number: str, phrase: str) -> None:
    said = words(value, unit, exact=True, digits=SAID)
    assert (said.number, said.phrase) == (number, phrase)
