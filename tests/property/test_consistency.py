"""Plausible trucks hear the same of themselves from every calculator: `make test` asks 200 of them, `make audit` 2,000.

What the rules are compared with stands here and not in them: what one number has to do with another's, which way a verdict may turn,
how far it may turn at once, and that less than what is advised would not do.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise
from math import inf
from random import Random
from typing import Any, NamedTuple

import pytest

import calculators
from calculators import Refused
from calculators.engine.answer import compute
from calculators.engine.figures import FIGURES, Missing
from tests.property.trucks import ALL, KINDS, MEASURES, SOMETIMES, truck

DAY = "2026-11-25"
ORDER = ("fits", "watch", "against")
PARTS = 5  # so that two processes share a run; each has all six kinds
MANY = pytest.mark.parametrize("many", [200, pytest.param(2000, marks=pytest.mark.audit)])
Known = Mapping[str, Any]


def known(number: int, calculator: str, **moved: object) -> dict[str, Any] | None:
    """Every value behind an answer, some inputs moved; None where that can't be asked."""
    try:
        return compute(calculator, {name: str(value) for name, value in moved.items()}, truck(number), DAY).known
    except Refused:
        return None


def missing(value: Any) -> bool:
    """Whether it has no value."""
    return value is None or isinstance(value, Missing)


def none_of(wrong: list[str]) -> None:
    """Nothing was found; else how much, and the first of it."""
    assert not wrong, f"{len(wrong)} found:\n" + "\n".join(wrong[:8])


# A verdict never gets milder when its cause gets worse --------------------------------------------------------------------


class Relation(NamedTuple):
    """``result`` never gets milder when ``cause`` moves the worse way: up (+1) or down (-1); a result's own worse way is ``worse``."""

    calculator: str
    cause: str
    way: int
    result: str = "verdict"
    worse: int = 1
    null: float = inf  # what a result that can't exist counts as
    where: Callable[[Known], bool] = lambda known: True


def is_long_enough(now: Known) -> bool:
    return bool(now["long_trips_long_enough"] > 0 and now["short_trips_long_enough"] == 0)


def tightest_is(*limits: str) -> Callable[[Known], bool]:
    return lambda now: now["tightest_limit"] in limits


def has_trailer(now: Known) -> bool:
    return bool(now["trailer_weight"] > 0)


def below(name: str, middle: float) -> Callable[[Known], bool]:
    return lambda now: not missing(now[name]) and now[name] <= middle


def above(name: str, middle: float) -> Callable[[Known], bool]:
    """Where water went in, a stronger one is left the better."""
    return lambda now: not missing(now[name]) and now[name] >= middle and not now["water_added"]


def verdicts(calculator: str, *causes: str, where: Callable[[Known], bool] = lambda known: True) -> list[Relation]:
    """``+name``: the more the worse; ``-name``: the less the worse."""
    return [Relation(calculator, cause[1:], 1 if cause[0] == "+" else -1, where=where) for cause in causes]


RELATIONS = [
    *verdicts("regeneration", "+idle_hours_per_week", "+idle_soot_rate", "-filter_capacity"),
    *verdicts("regeneration", "-long_trips_per_week", where=is_long_enough),
    *(Relation("regeneration", cause, way, "advised_drive_time") for cause, way in (
        ("outside_temperature", -1), ("regeneration_temperature", -1), ("heat_up_time", 1), ("warm_up_time_constant", 1),
        ("temperature_rise", -1), ("light_off_temperature", 1), ("soot_burned_share", 1))),
    *(Relation("regeneration", cause, way, "extra_long_trips_per_week") for cause, way in (
        ("idle_hours_per_week", 1), ("filter_capacity", -1), ("soot_rate", 1))),
    Relation("regeneration", "passive_share", -1, "days_between_regenerations", -1),
    Relation("regeneration", "oil_capacity", -1, "fuel_into_oil"),
    *verdicts("duty_fit", "-ownership_time", where=lambda now: now["money_verdict"] == "fits"),  # sold sooner, money may say either
    *verdicts("duty_fit", "+idle_hours_per_week", "-filter_capacity", "-front_axle_rating", "-gross_rating"),
    *(Relation("exhaust_fluid_use", cause, way, "fill_now") for cause, way in (
        ("def_level", -1), ("reserve_level", 1))),
    *(Relation("exhaust_fluid_use", cause, way, "days_to_reserve", -1) for cause, way in (
        ("nox_before", 1), ("fuel_economy", -1), ("def_tank_capacity", -1), ("distance_per_week", 1))),
    *verdicts("exhaust_fluid_quality", "+storage_time", "+storage_temperature", "+water_added"),
    *verdicts("exhaust_fluid_quality", "-urea_reading", where=below("urea_reading", 32.5)),
    *verdicts("exhaust_fluid_quality", "+urea_reading", where=above("urea_reading", 32.5)),
    *verdicts("exhaust_fluid_quality", "-density", where=below("density", 1.090)),
    *verdicts("exhaust_fluid_quality", "+density", where=above("density", 1.090)),
    *verdicts("exhaust_fluid_quality", "-refractive_index", where=below("refractive_index", 1.3829)),
    *verdicts("exhaust_fluid_quality", "+refractive_index", where=above("refractive_index", 1.3829)),
    *verdicts("tank_water", "+water_in_fuel", "-separator_bowl_capacity", "+relative_humidity", "+cycles_per_month",
              "+fuel_per_month", "+warm_temperature", "-cool_temperature"),
    Relation("tank_water", "fuel_in_tank", -1, "drain_every", -1),
    *verdicts("winter_fuel", "-expected_low", "+cloud_point_margin", "+winter_cloud_point", "+summer_cloud_point", "+fuel_in_tank"),
    *(Relation("idle_bill", cause, way, "heater_payback") for cause, way in (
        ("heater_price", 1), ("warmth_share_of_idle", -1), ("fuel_price", -1), ("heater_fuel_rate", 1), ("work_idle_hours_per_day", 1))),
    Relation("idle_bill", "idle_hours_per_day", 1, "oil_life_used"),
    Relation("idle_bill", "distance_per_idle_hour", 1, "oil_life_used"),
    *verdicts("block_heater", "+electricity_price", "+heater_power", "+heater_hours_per_day", "-warm_up_idle_time", "-idle_fuel_rate",
              "-fuel_price"),
    *verdicts("diesel_or_gasoline", "+fuel_price", "+def_price", "+oil_price", "+oil_capacity", "+fuel_filter_set_price", "+truck_price",
              "-gasoline_truck_price", "-resale_share", "+gasoline_resale_share", "+repair_cost_per_year",
              "-gasoline_repair_cost_per_year", "-gasoline_fuel_price"),
    *verdicts("axle_load", "+front_axle_weight", "+rear_axle_weight", "+occupants_weight", "-front_axle_rating", "-rear_axle_rating",
              "-gross_rating", "-front_tire_rating", "-rear_tire_rating"),
    *verdicts("axle_load", "+plow_weight", where=tightest_is("front_axle", "front_tires", "whole_truck")),
    *verdicts("axle_load", "+tongue_weight", "+ballast_weight", where=tightest_is("rear_axle", "rear_tires", "whole_truck")),
    *verdicts("axle_load", "+cargo_weight", where=lambda now: now["cargo_ahead"] >= 0),  # behind the axle it takes from the front
    *verdicts("trailer_check", "-hitch_rating", "-tongue_rating", "-tow_rating", "-gross_rating", "-combined_rating", "-trailer_rating",
              "-rear_axle_rating", "+truck_weight", where=has_trailer),
    *verdicts("trailer_check", "+trailer_weight", where=lambda now: has_trailer(now) and now["tongue_share"] <= now["tongue_share_high"]),
    *verdicts("trailer_check", "+tongue_weight", where=lambda now: has_trailer(now) and now["tongue_share"] >= now["tongue_share_low"]),
    *verdicts("protection_worth", "-failure_chance", "-system_cost", "+protected_cost", "+protection_price", "+discount_rate",
              "-protection_time"),
    *verdicts("sitting_truck", "+time_parked", "-temperature_today", "+highest_temperature", "+def_age", "+battery_age", "-fuel_in_tank",
              "+summer_cloud_point"),
    *(Relation("fluid_cost", cause, 1, "oil_changes_per_year") for cause in ("idle_hours_per_week", "distance_per_year")),
]


def test_there_are_seventy_relations_and_none_stands_twice() -> None:
    assert len(RELATIONS) == len({relation[:4] for relation in RELATIONS}) >= 70


@MANY
@pytest.mark.parametrize("calculator", sorted({relation.calculator for relation in RELATIONS}))
def test_no_verdict_gets_milder_when_its_cause_gets_worse(calculator: str, many: int) -> None:
    """And each relation is seen at work: at least one truck's verdict or result got worse by it."""
    relations = [relation for relation in RELATIONS if relation.calculator == calculator]
    wrong, at_work = [], set()
    for number in range(many):
        now = known(number, calculator)
        for relation in relations if now else ():
            to = worse_value(relation, now, Random(f"{number} {relation.cause}"))
            then = None if to is None else known(number, calculator, **{relation.cause: to})
            if then:
                before, after = level(relation, now), level(relation, then)
                if after < before - 1e-9 * max(1, abs(before) if abs(before) < inf else 1):
                    wrong.append(f"truck {number}: {relation.cause} {now[relation.cause]} → {to}: {relation.result} "
                                 f"{now[relation.result]} → {then[relation.result]}")
                if after > before:
                    at_work.add(relation[:4])
    none_of(wrong)
    assert {relation[:4] for relation in relations} == at_work


def worse_value(relation: Relation, now: Known, draw: Random) -> float | int | None:
    """The cause, some way on to worse; None where it is at its worst, or is no cause of this truck's."""
    if missing(now[relation.cause]) or not relation.where(now):
        return None
    value, (low, high) = now[relation.cause], reach(relation.cause)
    end = high if relation.way > 0 else low
    to = value + draw.random() ** 2 * (end - value)
    to = round(to) if FIGURES[relation.cause].whole else to
    return to if (to - value) * relation.way > 0 else None


def reach(name: str) -> tuple[float, float]:
    """How far an input of a plausible truck is moved: from half of the least that one has to twice the most, inside its bounds."""
    spans = [part[name] for part in (ALL, *KINDS.values(), MEASURES, SOMETIMES) if name in part]
    entry = FIGURES[name]
    low, high = ((entry.low if isinstance(entry.low, int | float) else 0.0), (entry.high if isinstance(entry.high, int | float) else 1e6))
    if not spans:
        stands = entry.value if isinstance(entry.value, int | float) else 0.0
        return (max(low, stands / 2), min(high, stands * 2)) if stands else (low, high)
    least, most = min(span[0] for span in spans), max(span[1] for span in spans)
    if entry.unit in ("degF", "delta_degF") or name in MEASURES:
        return max(low, least - (most - least) / 4), min(high, most + (most - least) / 4)
    return max(low, least / 2 if least > 0 else least * 2), min(high, most * 2)


def level(relation: Relation, values: Known) -> float:
    """How grave it is."""
    value = values[relation.result]
    return (float(ORDER.index(value)) if isinstance(value, str) else relation.null if missing(value) else relation.worse * float(value))


# No verdict jumps from one end to the other ---------------------------------------------------------------------------------

# At a standard's own limit it does: inside is good, outside is not.
A_STANDARDS_LIMIT = {("exhaust_fluid_quality", "urea_reading"), ("exhaust_fluid_quality", "density"),
                     ("exhaust_fluid_quality", "refractive_index"), ("tank_water", "water_in_fuel")}
LITTLE, LITTLE_WARMER = 0.03, 2.0  # of the value; degrees Fahrenheit
POINTS = 7


def verdict_of(number: int, calculator: str, **moved: object) -> int | None:
    """0, 1 or 2; None where there is none."""
    values = known(number, calculator, **moved)
    return None if values is None or missing(values["verdict"]) else ORDER.index(values["verdict"])


def movable(calculator: str) -> list[str]:
    """A calculator's inputs that are numbers of any size, and that plausible trucks tell."""
    told = set().union(ALL, MEASURES, SOMETIMES, *KINDS.values())
    return [field.name for field in calculators.form(calculator) if field.kind == "number" and not field.whole and "." not in field.name
            and field.name in told and (calculator, field.name) not in A_STANDARDS_LIMIT]


JUDGE = [name for name in calculators.NAMES if name not in ("own_records", "service_due", "fluid_cost", "idle_bill", "exhaust_fluid_use",
                                                            "wrong_fluid")]


@MANY
@pytest.mark.parametrize("calculator", JUDGE)
def test_no_verdict_jumps_when_an_input_moves_a_little(calculator: str, many: int) -> None:
    """Where both ends are found along an input, the gap between them is halved until it is little or a watch stands between."""
    wrong, turned = [], 0
    for number in range(many):
        draw = Random(f"{number} {calculator}")
        cause = draw.choice(movable(calculator))
        low, high = reach(cause)
        points = [low + (high - low) * point / (POINTS - 1) for point in range(POINTS)]
        found = [(at, verdict_of(number, calculator, **{cause: at})) for at in points]
        for one, other in pairwise(found):
            turned += one[1] != other[1]
            while ends_apart(one, other) and not is_little(cause, one[0], other[0]):
                at = (one[0] + other[0]) / 2
                middle = (at, verdict_of(number, calculator, **{cause: at}))
                one, other = (one, middle) if ends_apart(one, middle) else (middle, other)
            if ends_apart(one, other):
                wrong.append(f"truck {number}: {cause} {one[0]:.5g} → {other[0]:.5g}: {ORDER[one[1] or 0]} → {ORDER[other[1] or 0]}")
    none_of(wrong)
    assert turned >= many / 20


def ends_apart(one: tuple[float, int | None], other: tuple[float, int | None]) -> bool:
    """Whether one fits and the other is against."""
    return one[1] is not None and other[1] is not None and abs(one[1] - other[1]) == 2


def is_little(name: str, one: float, other: float) -> bool:
    """3 % or 2 degrees; next to nothing where the two are on both sides of zero."""
    degrees = FIGURES[name].unit in ("degF", "delta_degF")
    return abs(one - other) <= max(LITTLE_WARMER if degrees else LITTLE * max(abs(one), abs(other)), 1e-6)


# One truck, one answer ------------------------------------------------------------------------------------------------------

DAYS_PER_YEAR = 365.2425
A_MONTHS_DAYS = 0.04  # months differ by so much, of a short interval

# Of one name in two calculators and yet two things; every other name is one value wherever it stands.
TWO_THINGS = {"answer", "verdict", "cause", "limits", "least_margin", "least_margin_share", "tightest_limit", "tightest_margin",
              "passed_by", "jobs", "cash_flow", "draining", "drained_fuel",
              "left_out",  # what a sum leaves out; the tanks that a book leaves out
              "fuel_per_year",  # driving; idling
              "saving_per_year", "present_worth_of_a_dollar_a_year",  # plugging in or a kit; as long as the truck or the kit is kept
              "idle_share"}  # by the week; by the book


def near(one: float, other: float) -> bool:
    return abs(one - other) <= 1e-9 * max(1.0, abs(one), abs(other))


def same(one: Any, other: Any) -> bool:
    numbers = all(isinstance(value, int | float) and not isinstance(value, bool) for value in (one, other))
    return near(one, other) if numbers else bool(one == other) or (missing(one) and missing(other))


@MANY
@pytest.mark.parametrize("part", range(PARTS))
def test_every_calculator_says_the_same_of_a_truck(part: int, many: int) -> None:
    """Whatever stands by one name in two of them; and what they say by other names, compared by hand."""
    wrong, shared, compared = [], set(), set()
    for number in range(part, many, PARTS):
        by_calculator = {name: values for name in calculators.NAMES if (values := known(number, name))}
        if len(by_calculator) < len(calculators.NAMES):
            continue  # its year is longer than the bounds allow
        first: dict[str, tuple[str, Any]] = {}
        for name, values in by_calculator.items():
            for key, value in values.items():
                if key in first and key not in TWO_THINGS:
                    shared.add(key)
                    if not same(first[key][1], value):
                        wrong.append(f"truck {number}: {key} is {first[key][1]} for {first[key][0]} and {value} for {name}")
                first.setdefault(key, (name, value))
        for what, one, other in agreeing(number, by_calculator):
            compared.add(what)
            if not same(one, other):
                wrong.append(f"truck {number}: {what}: {one} and {other}")
    none_of(wrong)
    assert {"oil_changes_per_year", "def_share_of_fuel", "engine_hours_per_week", "burn_time", "advised_drive_time"} <= shared
    assert len(shared) > 150 and len(compared) == 22


def agreeing(number: int, said: Mapping[str, Known]) -> Iterator[tuple[str, Any, Any]]:
    """What two calculators say by two names."""
    week, fluids, money, idle = said["regeneration"], said["fluid_cost"], said["diesel_or_gasoline"], said["idle_bill"]
    exhaust, water, fit, due = said["exhaust_fluid_use"], said["tank_water"], said["duty_fit"], said["service_due"]
    driving = (week["short_trip_time"] * week["short_trips_per_week"] + week["long_trip_time"] * week["long_trips_per_week"]) / 60
    miles = week["short_trip_distance_per_week"] + week["long_trip_distance_per_week"]
    yield "the week’s hours", fluids["engine_hours_per_week"], driving + week["idle_hours_per_week"]
    yield "the same for the service dates", due["engine_hours_per_week"], fluids["engine_hours_per_week"]
    yield "the year’s idling", idle["idle_hours_per_year"], week["idle_hours_per_week"] * fluids["working_weeks_per_year"]
    yield "the year’s miles", fluids["distance_per_year"], miles * fluids["working_weeks_per_year"]
    yield "DEF of the year", exhaust["def_per_year"], fluids["fuel_per_year"] * fluids["def_share_of_fuel"] / 100
    yield "DEF’s cost", exhaust["def_cost_per_year"], fluids["def_cost_per_year"]
    yield "a month’s fuel", water["fuel_per_month"] * 12, fluids["fuel_per_year"]
    yield "running costs", money["diesel_cost_per_year"], fluids["diesel_cost_per_year"]
    yield "idling’s share of the oil", idle["oil_life_used"], oil_used(idle, fluids)
    yield "trips", fit["trips_verdict"], week["verdict"]
    yield "weight", fit["weight_verdict"], said["axle_load"]["verdict"]
    yield "towing", fit["towing_verdict"], said["trailer_check"]["verdict"]
    yield "money", fit["money_calculated"], money["verdict"]
    yield "the worst of its reasons", fit["verdict"], ORDER[max(ORDER.index(reason.verdict) for reason in fit["reasons"])]
    yield "idling’s share of the hours", fit["idle_share"], week["idle_hours_per_week"] / fluids["engine_hours_per_week"] * 100
    yield "the first drive", said["sitting_truck"]["advised_drive_time"], week["advised_drive_time"]
    if said["trailer_check"]["trailer_weight"] > 0:
        yield "the rear axle", said["trailer_check"]["rear_axle_load"], said["axle_load"]["rear_axle_load"]
        yield "the whole truck", said["trailer_check"]["gross_margin"], said["axle_load"]["gross_margin"]
    hot = known(number, "exhaust_fluid_quality", storage_temperature=said["sitting_truck"]["highest_temperature"])
    yield "how long DEF keeps", said["sitting_truck"]["exhaust_fluid_shelf_life"], (hot or {})["shelf_life"]
    yield from oil_by_date(number, fluids)


def oil_used(idle: Known, fluids: Known) -> float:
    """By the schedule that the costs go by: as miles or by hours."""
    hours, miles = idle["idle_hours_per_year"], idle["idle_hours_per_year"] * idle["distance_per_idle_hour"]
    return float(max(miles / fluids["oil_distance_that_counts"], hours / fluids["oil_hours_allowed"]) * 100)


def oil_by_date(number: int, fluids: Known) -> Iterator[tuple[str, Any, Any]]:
    """The oil is changed today: the next is due by the limits that the costs go by, and as often as they count."""
    read = {name: truck(number)["facts"][name] for name in ("odometer", "engine_hours")}
    done = {f"done.engine_oil.{name}": value for name, value in (read | {"date": DAY}).items()}
    due = known(number, "service_due", **done)
    row = next(row for row in (due or {})["jobs"] if row["job"] == "engine_oil")
    yield "miles to the next oil", row["due_odometer"], float(read["odometer"]) + fluids["oil_distance_allowed"]
    yield "hours to the next oil", row["due_engine_hours"], float(read["engine_hours"]) + fluids["oil_hours_allowed"]
    often, days = fluids["oil_changes_per_year"], (row["days_left"], row["days_left"] + 1)  # its day is a whole one
    all_weeks = DAYS_PER_YEAR / 7 / fluids["working_weeks_per_year"]  # dates know no week without work, a year’s costs do
    soonest, latest = days[0] * (1 - A_MONTHS_DAYS), days[1] * all_weeks * (1 + A_MONTHS_DAYS)
    yield "days to the next oil", True, soonest <= DAYS_PER_YEAR / often <= latest


# A sentence says what its own results say -----------------------------------------------------------------------------------

NUMBER = re.compile(r"(?P<money>−?\$)?(?P<number>−?\d[\d,]*(?:\.\d+)?)(?P<large> (?:million|billion))?(?P<unit>% a year|%|°F| [a-zL]+)?")
UNITS = {"mile": "mi", "gallon": "gal", "day": "day", "week": "week", "month": "month", "year": "yr", "hour": "h", "minute": "min",
         "pound": "lb", "mL": "mL", "%": "%", "% a year": "%/yr", "°F": "degF", "gram": "g", "quart": "qt"}
NAMES_WITH_NUMBERS = ("No. 1",)


SPEAK = [name for name in calculators.NAMES if name not in ("own_records", "service_due", "wrong_fluid")]  # no book, no mistake is told


@MANY
@pytest.mark.parametrize("part", range(PARTS))
def test_every_number_in_a_sentence_is_one_of_its_own_values(part: int, many: int) -> None:
    wrong, found = [], 0
    for number in range(part, many, PARTS):
        for name in SPEAK:
            said = sentence(number, name)
            for one in numbers_in(said.text):
                found += 1
                if not any(rounds_to(value, unit, one) for value, unit in said.values):
                    wrong.append(f"truck {number}, {name}: {one} in “{said.text}”")
    none_of(wrong)
    assert found > many


class Sentence(NamedTuple):
    """What a truck hears, and the numbers it was made of, with their units."""

    text: str
    values: list[tuple[float, str]]


def sentence(number: int, calculator: str) -> Sentence:
    """The sentence as a page says it; nothing where that can't be asked."""
    try:
        said = calculators.answer(calculator, {}, truck(number), DAY, working=False)["answer"]
        made = compute(calculator, {}, truck(number), DAY)
    except Refused:
        return Sentence("", [])
    return Sentence(said, [(value, made.book.units.get(name, "")) for name, value in made.known.items()
                           if isinstance(value, int | float) and not isinstance(value, bool)])


class Said(NamedTuple):
    """A number of a sentence, its unit, and how far rounding may have moved it."""

    number: float
    unit: str
    within: float


def numbers_in(text: str) -> Iterator[Said]:
    """Every number of a sentence; a date is none, and neither is what bears a number as its name."""
    for name in NAMES_WITH_NUMBERS:
        text = text.replace(name, "")
    for found in NUMBER.finditer(text):
        digits = found["number"].replace(",", "").replace("−", "-")
        place = 10.0 ** -len(digits.partition(".")[2])
        times = {" million": 1e6, " billion": 1e9}.get(found["large"] or "", 1)
        word = (found["unit"] or "").strip()
        unit = "USD" if found["money"] else UNITS.get(word, UNITS.get(word.removesuffix("s"), "count"))
        value = float(digits) * times * (-1 if (found["money"] or "").startswith("−") else 1)
        yield Said(value, unit, coarse(value, unit, place * times / 2))


def coarse(value: float, unit: str, half_a_place: float) -> float:
    """In advice: gallons and years in halves, miles in tens and hundreds, dollars in tens over a thousand."""
    steps = {"gal": 0.25, "yr": 0.25, "mi": 50 if abs(value) >= 1000 else 5, "USD": 5 if abs(value) >= 1000 else 0.5}
    return max(half_a_place, steps.get(unit, 0) if abs(value) >= 1 else 0) * (1 + 1e-9)


def rounds_to(value: float, unit: str, said: Said) -> bool:
    """Whether this value is told so; years below one are told in months, a difference of degrees as degrees."""
    unit = {"delta_degF": "degF", "": "count"}.get(unit, unit if not unit.startswith("USD") else "USD")
    told = (value * 12, "month") if said.unit == "month" and unit == "yr" else (value, unit)
    alike = told[1] == said.unit or unit == "count" or (value == 0 and said.unit == "count")  # “Ballast: 0”; “every {…} days”
    return alike and abs(told[0] - said.number) <= said.within


# Which sentence stands, and when: each of them if and only if.
STANDS: list[tuple[str, str, Callable[[Known], object]]] = [
    ("axle_load", "^It fits: ", lambda now: now["verdict"] == "fits"),
    ("axle_load", "^It fits, but only just", lambda now: now["verdict"] == "watch"),
    ("axle_load", "^(Add|Take|Don’t)", lambda now: now["verdict"] == "against"),
    ("axle_load", "^Add .* of ballast", lambda now: not missing(now["ballast_needed"]) and now["ballast_needed"] > 0),
    ("trailer_check", "^(Hitch nothing|Look again)", lambda now: now["verdict"] == "watch"),
    ("trailer_check", "^It fits", lambda now: now["verdict"] == "fits" and has_trailer(now)),
    ("trailer_check", "^Don’t", lambda now: now["verdict"] == "against"),
    ("block_heater", "^Plug in on a timer", lambda now: now["heater_cost_per_year"] < now["idle_cost_per_year"]),
    ("diesel_or_gasoline", "take the diesel", lambda now: now["verdict"] == "fits" and now["diesel_total"] < now["gasoline_total"]),
    ("diesel_or_gasoline", "take the gasoline", lambda now: now["verdict"] == "against" and now["diesel_total"] > now["gasoline_total"]),
    ("diesel_or_gasoline", "Let the work decide", lambda now: now["verdict"] == "watch"),
    ("fluid_cost", "more than a gasoline truck", lambda now: now["diesel_cost_per_year"] > now["gasoline_cost_per_year"]),
    ("fluid_cost", "less than a gasoline truck", lambda now: now["diesel_cost_per_year"] <= now["gasoline_cost_per_year"]),
    ("duty_fit", "^Take a gasoline truck", lambda now: now["trips_verdict"] == "against"),
    ("duty_fit", "^This truck does not fit", lambda now: now["verdict"] == "against" and now["trips_verdict"] != "against"),
    ("duty_fit", "^A diesel can do this work", lambda now: now["verdict"] == "watch"),
    ("duty_fit", "^A diesel fits", lambda now: now["verdict"] == "fits"),
    ("duty_fit", "a gasoline truck costs less|A gasoline truck costs less",
     lambda now: now["money_calculated"] == "against" and now["verdict"] == "watch"),
    ("exhaust_fluid_quality", "^Don’t use it", lambda now: now["verdict"] == "against"),
    ("exhaust_fluid_quality", "Strength ok|strength ok", lambda now: now["within_limits"] is True and now["verdict"] != "against"
     and (now["water_added"] > 0 or (not missing(now["time_left"]) and now["time_left"] > 0))),
    ("exhaust_fluid_quality", "^Not tested", lambda now: missing(now["within_limits"]) and not now["water_added"]
     and not missing(now["time_left"]) and now["time_left"] > 0),
    ("exhaust_fluid_use", "^Fill DEF now", lambda now: now["def_level"] <= now["reserve_level"] or now["range_to_reserve"] < 100),
    ("exhaust_fluid_use", "^Fill DEF (today|within)", lambda now: now["def_level"] > now["reserve_level"] and now["range_to_reserve"] >= 100
     and now["days_left"] <= now["def_keeps"]),
    ("idle_bill", "pay for itself", lambda now: not missing(now["heater_payback"]) and now["heater_payback"] <= 5),
    ("idle_bill", "for the warmth, not", lambda now: not missing(now["heater_payback"]) and 5 < now["heater_payback"] <= 10),
    ("idle_bill", "don’t shut it off", lambda now: now["outside_temperature"] < 0 and now["idle_hours_without_work_per_day"] > 0),
    ("idle_bill", "all of it is work", lambda now: now["idle_hours_per_day"] == now["work_idle_hours_per_day"] > 0),
    ("protection_worth", "^Buy it", lambda now: now["verdict"] == "fits" and now["net_value"] > 0),
    ("protection_worth", "^Leave it", lambda now: now["verdict"] == "against"),
    ("regeneration", "keep (it|the filter) clean", lambda now: now["verdict"] == "fits"),
    ("regeneration", "[Aa]dd .* drives? (a week|every)", lambda now: now["verdict"] != "fits" and now["remedy"] in (
        "drives", "drive", "drive_now_and_then")),
    ("sitting_truck", "^Don’t start it yet", lambda now: now["verdict"] == "against"),
    ("sitting_truck", "^It sat a short time", lambda now: now["verdict"] == "fits" and now["time_parked"] < 1),
    ("tank_water", "^Drain it every month", lambda now: now["drain_every"] == 31 and not now["bowl_in_doubt"]),
    ("tank_water", r"^Drain it every \{", lambda now: 2 <= now["drain_every"] < 31),
    ("winter_fuel", "add nothing", lambda now: now["expected_low"] - now["cloud_point_margin"] >= now["summer_cloud_point"]),
    ("winter_fuel", "^Park it warm", lambda now: missing(now["winter_fuel_share"])),
    ("winter_fuel", "^(Add|Fill|Burn)", lambda now: not missing(now["winter_fuel_share"]) and now["winter_fuel_share"] > 0),
]


@MANY
@pytest.mark.parametrize("calculator", sorted({name for name, _, _ in STANDS}))
def test_a_sentence_stands_exactly_where_its_results_say_so(calculator: str, many: int) -> None:
    wrong, seen = [], set()
    rows = [(pattern, holds) for name, pattern, holds in STANDS if name == calculator]
    for number in range(many):
        if now := known(number, calculator):
            for pattern, holds in rows:
                stands = bool(re.search(pattern, now["answer"]))
                if stands != bool(holds(now)):
                    wrong.append(f"truck {number}: /{pattern}/ in “{now['answer']}”")
                seen.add((pattern, stands))
    none_of(wrong)
    assert seen == {(pattern, stands) for pattern, _ in rows for stands in (True, False)}


@MANY
def test_a_limit_that_is_named_is_the_tightest_and_as_tight_as_the_verdict_says(many: int) -> None:
    wrong, named = [], 0
    for number in range(many):
        for calculator in ("axle_load", "trailer_check"):
            now = known(number, calculator)
            if now and "{tightest_limit}" in now["answer"]:
                named += 1
                shares = {row.limit: row.share_left for row in now["limits"] if not missing(row.share_left)}
                share, tight = shares[now["tightest_limit"]], now["verdict"] == "watch" and now.get("cause", "tight") != "tongue"
                if share > min(shares.values()) or (tight and share >= 5):
                    wrong.append(f"truck {number}, {calculator}: {now['tightest_limit']} has {share:.3g} %, {shares}")
    none_of(wrong)
    assert named > many


# No advice is longer, heavier or dearer than it must be -----------------------------------------------------------------------


@MANY
def test_no_drive_is_advised_longer_than_a_burn_needs(many: int) -> None:
    """It ends a burn from cold; five minutes less, past the trade’s 40, would leave no tenth to spare."""
    longer = 0
    for number in range(many):
        now = known(number, "regeneration")
        if now is None or missing(now["advised_drive_time"]):
            continue
        advised = now["advised_drive_time"]
        on_it = known(number, "regeneration", long_trip_time=advised, long_trips_per_week=1)
        assert on_it is None or (on_it["long_trips_long_enough"] and on_it["trips_of_advised_time"]), number
        if advised > 40:
            longer += 1
            shorter = known(number, "regeneration", long_trip_time=(advised - 5) / 1.1 - 1e-6, long_trips_per_week=1)
            assert shorter is None or not shorter["long_trips_long_enough"], number
    assert longer


@MANY
def test_no_more_drives_are_advised_than_burn_the_week_s_soot(many: int) -> None:
    """Long trips as long as advised: with so many more nothing is lacking, with one fewer it is; where 20 days do, 21 would not."""
    more = now_and_then = 0
    for number in range(many):
        first = known(number, "regeneration")
        if first is None or missing(first["advised_drive_time"]):
            continue
        drive = {"long_trip_time": first["advised_drive_time"]}
        now = known(number, "regeneration", **drive)
        if now is None or missing(now["extra_long_trips_per_week"]) or not now["extra_long_trips_per_week"]:
            continue
        more += 1
        trips, wanted = now["long_trips_per_week"], now["extra_long_trips_wanted"]
        lacking = [known(number, "regeneration", **drive, long_trips_per_week=trips + count)
                   for count in (now["extra_long_trips_per_week"], now["extra_long_trips_per_week"] - 1)]
        if None not in lacking:
            assert [bool(then["extra_long_trips_wanted"] > 1e-9) for then in lacking if then] == [False, True], number
        if wanted <= 1:
            now_and_then += 1
            assert 7 / now["days_between_extra_trips"] >= wanted > 7 / (now["days_between_extra_trips"] + 1), number
    assert more and now_and_then


@MANY
def test_no_more_ballast_is_advised_than_lifts_the_front(many: int) -> None:
    """With it the front axle is within its rating and nothing else is over; with a pound less it is not."""
    advised = 0
    for number in range(many):
        now = known(number, "axle_load")
        if now and not missing(now["ballast_needed"]) and now["ballast_needed"] > 0:
            advised += 1
            ballast = now["ballast_weight"] + now["ballast_needed"]
            loaded = [known(number, "axle_load", ballast_weight=ballast + more) for more in (1e-6, -1)]
            assert [then and then["verdict"] == "against" for then in loaded] == [False, True], number
    assert advised


@MANY
def test_no_more_weight_is_taken_off_than_is_over(many: int) -> None:
    """A rating higher by what it is passed by is kept; a pound less is passed."""
    rating = {"front_axle": "front_axle_rating", "rear_axle": "rear_axle_rating", "whole_truck": "gross_rating"}
    over = 0
    for number in range(many):
        for calculator in ("axle_load", "trailer_check"):
            now = known(number, calculator)
            if now and now["passed_by"] > 0 and (name := rating.get(now["tightest_limit"], now["tightest_limit"])) in now:
                over += 1
                kept, passed = (known(number, calculator, **{name: now[name] + now["passed_by"] + more}) for more in (1e-6, -1))
                left = [next(row.margin for row in then["limits"] if row.limit == now["tightest_limit"]) for then in (kept, passed) if then]
                assert not left or left[0] >= 0 > left[1], (number, calculator)
    assert over


@MANY
def test_no_more_winter_fuel_is_advised_than_keeps_it_clear(many: int) -> None:
    """By the index of the blend, worked here: what is added clouds at the margin below the cold, a hundredth less clouds above it."""
    added = burned = 0
    for number in range(many):
        now = known(number, "winter_fuel")
        if not now or missing(now["winter_fuel_to_add"]) or now["winter_fuel_to_add"] <= 0:
            continue
        add = now["winter_fuel_to_add"]
        left = now["fuel_left_after_burning"] or now["fuel_tank_capacity"] - add  # an empty tank is filled with a blend
        target = now["expected_low"] - now["cloud_point_margin"]
        assert left + add <= now["fuel_tank_capacity"] * (1 + 1e-9), number
        assert clouds_at(now, left, add) <= target + 1e-6, number
        assert clouds_at(now, left, add * 0.99) > target, number
        added += 1
        if now["fuel_to_burn_first"] > 0:  # a tenth of a gallon less burned leaves no room for what that asks for
            burned += 1
            assert (left + 0.1) / (1 - now["winter_fuel_share"] / 100) > now["fuel_tank_capacity"], number
    assert added and burned


def clouds_at(now: Known, summer: float, winter: float) -> float:
    """A blend’s cloud point: each part’s absolute temperature to the exponent, by volume."""
    exponent = FIGURES["cloud_point_exponent"].value
    parts = ((summer, now["summer_cloud_point"]), (winter, now["winter_cloud_point"]))
    index = sum(part * (point + 459.67) ** exponent for part, point in parts) / (summer + winter)
    return float(index ** (1 / exponent) - 459.67)


@MANY
def test_nothing_is_filled_or_drained_later_or_sooner_than_it_must_be(many: int) -> None:
    """Whole days: a day more would be too late, a day less too soon; no more DEF than the tank has room for."""
    filled = drained = 0
    for number in range(many):
        if now := known(number, "exhaust_fluid_use"):
            filled += 1
            assert now["whole_days_to_reserve"] <= now["days_to_reserve"] < now["whole_days_to_reserve"] + 1, number
            assert now["refill_at_least"] <= now["def_tank_capacity"] * (100 - now["def_level"]) / 100 + 1e-9, number
        if now := known(number, "tank_water"):
            drained += now["drain_every"] < 31
            days, fills = now["whole_days_to_drain"], now["days_to_fill_bowl"]
            assert days <= 31 and (days <= fills / 2 or days == 1), number
            assert days == 31 or days + 1 > fills / 2, number
    assert filled and drained
