"""What a reader may type, as it comes; what could mean two things, and what won't do. Expected values are a person's."""

import pytest

from calculators.engine.reading import Asked, read, unit_typed
from calculators.engine.units import bounds_in, digits, held

MILES = Asked("mi", 0, 1_500_000)  # an odometer's bounds
WEEK = {unit: Asked(unit, 0, 5000, "week") for unit in ("count", "mi", "h")}


@pytest.mark.parametrize(("text", "unit", "value"), [
    ("30", "gal", 30), ("30 gal", "gal", 30), ("113.56235352 L", "gal", 30), ("4 qt", "gal", 1), ("1 gal", "qt", 4),
    ("$3.90", "USD/gal", 3.9), ("$3.90/gal", "USD/gal", 3.9), ("$ 3.90/gal", "USD/gal", 3.9), ("3.90 USD/gal", "USD/gal", 3.9),
    ("3.90 $/gal", "USD/gal", 3.9), ("1 USD/L", "USD/gal", 3.785411784), ("$1500", "USD", 1500), ("-12 degC", "degF", 10.4),
    ("\u221212 degC", "degF", 10.4), ("25 min", "h", 25 / 60), ("90 min", "h", 1.5), ("1 h", "min", 60), ("1 yr", "month", 12),
    ("100 km", "mi", 62.13711922), ("100 km/h", "mi/h", 62.13711922), ("25 mpg", "mi/gal", 25), ("10 L/100km", "mi/gal", 23.52145833),
    ("10 L/100 km", "mi/gal", 23.52145833), ("1 kg", "lb", 2.204622622), ("1 g/km", "g/mi", 1.609344), ("50 %", "%", 50),
    ("  7  ", "mi", 7), ("+5", "mi", 5), (".5", "mi", 0.5), ("5.", "mi", 5), ("1e3", "mi", 1000), ("160 in", "in", 160),
    ("16 cm", "in", 6.299212598), ("1 qt/week", "gal/day", 0.25 / 7), ("$0.16/kWh", "USD/kWh", 0.16), ("0.16 USD/kWh", "USD/kWh", 0.16),
    # as it comes: capitals, plurals, words, spaces
    ("13 qts", "qt", 13), ("5 GAL", "gal", 5), ("5 gal.", "gal", 5), ("5Gals", "gal", 5), ("60 MPH", "mi/h", 60), ("60 Mi/H", "mi/h", 60),
    ("25 miles per gallon", "mi/gal", 25), ("0.6 gallons an hour", "gal/h", 0.6), ("0.6 gal/hr", "gal/h", 0.6), ("0.6gph", "gal/h", 0.6),
    ("10 liters per 100 km", "mi/gal", 23.52145833), ("10,000 LBS", "lb", 10_000), ("10,000#", "lb", 10_000), ("750 Watts", "W", 750),
    ("12 mos", "month", 12), ("5 yrs", "yr", 5), ("2.5 Kg", "lb", 5.511556555), ("4064 mm", "in", 160), ("4 m", "in", 157.4803150),
    ("20 m", "min", 20), ("90m", "h", 1.5), ("87\u00a0412 mi", "mi", 87_412), ("87k", "mi", 87_000), ("87K miles", "mi", 87_000),
    # degrees
    ("32f", "degF", 32), ("32°", "degF", 32), ("32 deg", "degF", 32), ("4 ºC", "degF", 39.2), ("4˚c", "degF", 39.2), ("4 ℃", "degF", 39.2),
    ("-12 degrees Celsius", "degF", 10.4), ("32 Degrees F", "degF", 32), ("300 K", "degF", 80.33), ("\u201340", "degF", -40),
    ("\u2014 40 °F", "degF", -40), ("-40°F", "degF", -40),
    # thousands and fractions
    ("87,412", "mi", 87_412), ("87 412", "mi", 87_412), ("1,234.5", "mi", 1234.5), ("1,234,567", "mi", 1_234_567),
    ("1 234 567.5", "mi", 1_234_567.5), ("1,234.567", "mi", 1234.567), ("½", "gal", 0.5), ("12 1/2", "gal", 12.5), ("12½ gal", "gal", 12.5),
    ("12-1/2", "gal", 12.5), ("1/2 gal", "gal", 0.5), ("3 ¾ qt", "qt", 3.75), ("-½", "gal", -0.5), ("1⁄4", "gal", 0.25),
    ("0.608", "mi", 0.608), ("1234.567", "mi", 1234.567), ("41.2050", "mi", 41.205),
    # two units
    ("5'6\"", "in", 66), ("5\u2019 6\u201d", "in", 66), ("5'6", "in", 66), ("5 ft 6 in", "in", 66), ("5'-6 1/2\"", "in", 66.5),
    ("5' 6''", "in", 66), ("-1'6\"", "in", -18), ("13'", "in", 156), ("1 h 30 min", "h", 1.5), ("1h30", "h", 1.5), ("1h 30m", "min", 90),
    ("1 hr and 30 minutes", "h", 1.5), ("1:30 h", "h", 1.5), ("1:30", "h", 1.5), ("1:30 h", "min", 90), ("2:15 min", "min", 2.25),
    ("2 yrs 6 mos", "yr", 2.5), ("1 day 6 h", "h", 30), ("1 h 1 min 30 s", "min", 61.5), ("3 gal 2 qt", "gal", 3.5),
    # money and rates
    ("$3.90/gallon", "USD/gal", 3.9), ("3.90$", "USD/gal", 3.9), ("$3.90 a gallon", "USD/gal", 3.9), ("$3.90 per gal", "USD/gal", 3.9),
    ("1200$", "USD", 1200), ("$1,200.50", "USD", 1200.5), ("1 200 $", "USD", 1200), ("USD 1200", "USD", 1200), ("US$ 1200", "USD", 1200),
    ("-$5", "USD", -5), ("$-5", "USD", -5), ("1,200 dollars", "USD", 1200), ("16¢", "USD/kWh", 0.16), ("16 cents per kWh", "USD/kWh", 0.16),
    ("$1.50/qt", "USD/gal", 6), ("7.5%", "%/yr", 7.5), ("7.5 percent", "%/yr", 7.5), ("7.5 % a year", "%/yr", 7.5),
    ("0.5% a month", "%/yr", 6), ("3.899", "USD/gal", 3.899), ("24.113", "gal", 24.113), ("1.234 gal", "gal", 1.234),
])
def test_what_a_reader_may_type(text: str, unit: str, value: float) -> None:
    assert read(text, Asked(unit)) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(("text", "value"), [("5 degC", 9), ("5 °C", 9), ("5 K", 9), ("9 degF", 9), ("300 K", 540), ("-5 C", -9), ("9", 9),
                                             ("9°", 9), ("5c", 9)])
def test_a_difference_of_temperatures_has_no_zero_point(text: str, value: float) -> None:
    assert read(text, Asked("delta_degF")) == pytest.approx(value)


WON_T_DO = [
    "", " ", "twelve", "30 parsecs", "5 psi", "3 gal gal", "3 gal/gal", "\u0663", "\uff13", "\u00b2", "1e999", "5 -", "-", "+", "$-",
    "-1e999", "nan", "NaN", "inf", "-inf", "Infinity", "0x5", "1_0", "--1", "+-1", "gal", "/", "3 /", "3 gal/", "/gal", "3 //gal",
    "3 4", "3 4567", "1.2.3", "1e", "e5", "$", "$gal", "3 lb", "3 USD", "$3", "3 degF", "3 mi", "3 gal per h", "None", "true",
    "3 L/100km", "3 gal;", "3\x00", "3 gal\x00", "3 " + "gal/" * 2000 + "gal", "9" * 400, "1/0", "1/2/3", "1/2.5", "5'6\"", "1:30",
    "3 a day", "3 gal 2 lb", "3 qt 2 gal", "3 gal 2", "1,23", "1,2345", "12,34,567", ",5", "1,234,", "1.234,5", "1.234.567", "1 23,5",
    "5-10", "5\u201310 gal", "5 to 10", "5 or 6", "3 °F", "3°", "3 m", "$3 gal", "1:30 gal", "k", "3 k gal", "12 1/2 1/2",
]


@pytest.mark.parametrize("text", WON_T_DO)
def test_what_is_no_volume_is_refused_with_what_would_do(text: str) -> None:
    with pytest.raises(ValueError, match=r"^write ") as refused:
        read(text, Asked("gal"))
    assert "gal" in str(refused.value) or "write it as" in str(refused.value)


@pytest.mark.parametrize(("text", "written"), [
    ("3,5", "3.5"), ("12,5 mi", "12.5 mi"), ("0,608", "0.608"), ("1234,567", "1234.567"), ("1.234,5", "1234.5"), ("1.234.567", "1234567"),
    ("1 234,5 km", "1234.5 km"), ("3,5e3", "3.5e3")])
def test_a_decimal_comma_is_refused_with_the_point(text: str, written: str) -> None:
    with pytest.raises(ValueError, match=f"^write it as {written}$"):
        read(text, MILES)
    assert read(written, MILES) > 0


# A point or a comma before three digits.

@pytest.mark.parametrize(("text", "low", "high", "value"), [
    ("41.200", 0, 60, 41.2), ("41.200", 100, 1e6, 41_200), ("41,200", 0, 60, 41.2), ("41,200", 100, 1e6, 41_200),
    ("41,200", 0, 1e6, 41_200), ("-41.200", -60, 0, -41.2), ("-41,200", -1e6, 0, -41_200), ("41.200 km", 1000, 1e6, 25_600.49312),
    ("1,000", 0, 1, 1), ("1.000", 10, 1e4, 1000),
])
def test_the_bounds_decide_what_a_mark_before_three_digits_means(text: str, low: float, high: float, value: float) -> None:
    assert read(text, Asked("mi", low, high)) == pytest.approx(value)


@pytest.mark.parametrize(("text", "both"), [
    ("41.200", ("41200 mi", "41.2 mi")), ("41.200 miles", ("41200 mi", "41.2 mi")), ("41.205", ("41205 mi", "41.2050 mi")),
    ("1.500 km", ("1500 km", "1.5 km")), ("1.000", ("1000 mi", "1 mi"))])
def test_where_both_lie_in_the_bounds_a_point_is_refused_with_both(text: str, both: tuple[str, str]) -> None:
    with pytest.raises(ValueError, match=f"^write {both[0]} or {both[1]}, whichever you mean$"):
        read(text, MILES)
    for written in both:
        assert read(written, MILES) >= 0


@pytest.mark.parametrize("text", ["0.200", "1234.567", "41.20", "41.2000", "41.2", "4.1e3"])
def test_any_other_point_is_a_decimal_point(text: str) -> None:
    assert read(text, MILES) == float(text)


@pytest.mark.parametrize(("text", "low", "high"), [("41.200", 100, 200), ("41,200", 100, 200)])
def test_where_neither_lies_in_the_bounds_it_is_read_as_usual(text: str, low: float, high: float) -> None:
    """The bounds then refuse it."""
    assert read(text, Asked("mi", low, high)) == (41.2 if "." in text else 41_200)


@pytest.mark.parametrize("unit", ["gal", "qt", "USD/gal", "mi/gal", "kg/L"])
def test_where_three_decimals_are_usual_a_point_is_a_decimal_point(unit: str) -> None:
    assert read("1.234", Asked(unit, 1000, 2000)) == 1.234  # though only the other would be inside
    assert read("1,234", Asked(unit, 0, 1e4)) == 1234


def test_a_bare_clock_among_minutes_could_be_either() -> None:
    with pytest.raises(ValueError, match=r"^write 90 min or 1\.5 min, whichever you mean$"):
        read("1:30", Asked("min", 0, 240))
    assert read("1:30", Asked("min", 0, 15)) == 1.5
    assert read("1:30", Asked("min", 20, 240)) == 90


# Another period than the one asked.

@pytest.mark.parametrize(("text", "unit", "value"), [
    ("20 a week", "count", 20), ("20/week", "count", 20), ("20 per wk", "count", 20), ("20", "count", 20),
    ("190 mi/week", "mi", 190), ("100 km a week", "mi", 62.13711922), ("6 hours a week", "h", 6)])
def test_the_period_that_is_asked_may_be_typed(text: str, unit: str, value: float) -> None:
    assert read(text, WEEK[unit]) == pytest.approx(value)


@pytest.mark.parametrize(("text", "unit", "said"), [
    ("3 a day", "count", "write it for a week: 3 a day comes to 21 a week, if no day is left out"),
    ("30 mi/day", "mi", "write it for a week: 30 mi a day comes to 210 mi a week, if no day is left out"),
    ("52 h a year", "h", "write it for a week: 52 h a year comes to 0.997 h a week, if no week is left out"),  # 365.25 days are 52.18 weeks
])
def test_another_period_is_refused_with_the_sum(text: str, unit: str, said: str) -> None:
    with pytest.raises(ValueError) as refused:
        read(text, WEEK[unit])
    assert str(refused.value) == said


@pytest.mark.parametrize("text", ["3 a day", "5 L", "5 gal", "5 %", "$5", "5 mi a week"])
def test_a_count_takes_no_unit(text: str) -> None:
    with pytest.raises(ValueError, match="bare number"):
        read(text, Asked("count"))


@pytest.mark.parametrize(("text", "asked"), [("5 m", "mi"), ("5 m", "month"), ("5 M", "yr")])
def test_an_m_that_could_be_a_mile_or_a_month_is_refused(text: str, asked: str) -> None:
    with pytest.raises(ValueError, match=f"^write it in {asked}$"):
        read(text, Asked(asked))


# Bounds.

@pytest.mark.parametrize(("text", "declared", "typed"), [
    ("5 km", "mi", "km"), ("5", "mi", "mi"), ("5 l/100km", "mi/gal", "L/100km"), ("5 ºC", "degF", "degC"),
    ("5 C", "delta_degF", "delta_degC"),
    ("$5/L", "USD/gal", "USD/L"), ("$5", "USD/gal", "USD/gal"), ("5'6\"", "in", "in"), ("300 min", "h", "min"), ("nonsense", "mi", "mi")])
def test_the_unit_that_was_typed(text: str, declared: str, typed: str) -> None:
    assert unit_typed(text, Asked(declared)) == typed


@pytest.mark.parametrize(("unit", "declared", "low", "high", "said"), [
    ("mi", "mi", 0, 1_500_000, ("0 mi", "1500000 mi")), ("km", "mi", 0, 5000, ("0 km", "8040 km")),  # 8046.7 km
    ("L", "gal", 5, 150, ("19 L", "567 L")),  # 18.93 and 567.8 L
    ("degC", "degF", -60, 130, ("-51.1 °C", "54.4 °C")), ("min", "h", 0, 24, ("0 min", "1440 min")),
    ("day", "h", 0, 168, ("0 day", "7 day")),
    ("L/100km", "mi/gal", 4, 35, ("6.73 L/100km", "58.8 L/100km")),  # 35 mpg is 6.72 L/100 km, 4 mpg is 58.8
    ("USD/L", "USD/gal", 0.5, 15, ("$0.133/L", "$3.96/L")), ("km", "mi", 3, None, ("4.83 km", "")),
    ("L/100km", "mi/gal", 0, 35, ("0 mi/gal", "35 mi/gal")),
])
def test_bounds_are_told_in_the_unit_that_was_typed_and_do(unit: str, declared: str, low: float | None, high: float | None,
                                                           said: tuple[str, str]) -> None:
    assert bounds_in(unit, declared, low, high) == said
    for bound in filter(None, said):
        assert held(read(bound, Asked(declared)), low, high) is not None


@pytest.mark.parametrize(("value", "low", "high", "found"), [
    (0.0, 0, 10, 0), (10.0, 0, 10, 10), (-1e-14, 0, 10, 0), (10 + 2e-15, 0, 10, 10), (149.99999999999997, 150, 200, 150),
    (-1e-6, 0, 10, None), (10.001, 0, 10, None), (5.0, None, 10, 5), (5.0, 0, None, 5), (1e300, None, None, 1e300)])
def test_a_bound_missed_by_a_hair_is_met(value: float, low: float | None, high: float | None, found: float | None) -> None:
    assert held(value, low, high) == found


@pytest.mark.parametrize(("number", "unit", "said"), [
    (41.205, "mi", "41.2050"), (-41.205, "mi", "-41.2050"), (41.2, "mi", "41.2"), (0.608, "mi", "0.608"), (1234.567, "mi", "1234.567"),
    (3.899, "USD/gal", "3.899"), (24.113, "gal", "24.113"), (41_205.0, "mi", "41205")])
def test_a_number_is_written_so_that_it_reads_as_itself(number: float, unit: str, said: str) -> None:
    assert digits(number, unit) == said
    assert read(said, Asked(unit)) == number
