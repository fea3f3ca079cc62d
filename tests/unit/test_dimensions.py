"""Every printed formula is run once with pint's quantities: what it adds, compares and returns is of one kind."""

import ast
from typing import Any

import pytest

import calculators
from calculators.engine.figures import TABLES
from calculators.engine.rules import Book, Rule, rules
from tests.unit.ask import module, row_modules
from tests.unit.dimensions import Anything, Rows, Wrong, kind_of, must_be, one

BOOKS = {name: rules(module(name)) for name in ("week", *calculators.NAMES)} | {
    f"{name}’s row": rules(row) for name, row in row_modules().items()}
PRINTED = [(name, rule) for name, book in BOOKS.items() for rule in book.values()
           if rule.formula is not None and (rule.shown or rule.unit == "check")]


EVERY_UNIT = {need: unit for book in BOOKS.values() for need, unit in book.units.items()}  # a row takes what the whole list makes
# Constants and facts of a mixed kind: what they mean where the unit alone says less.
MEANT = {
    "distance_per_idle_hour": "mi/h",  # miles of wear for each hour
}
# The same in one rule: where a period that a name tells is counted, and where periods are numbers; a 1 that is one of something.
MEANT_IN = {
    ("heater_payback", "heater_saving_per_year"): "USD/yr",
    ("oil_changes_by_time", "months_per_year"): "month",
    ("chance_of_any_failure", "protection_time"): "count",  # the chance is that of each year, and every year is another try
    ("def_keeps", "days_per_month"): "day/month",
    ("loan_worth", "loan_time"): "count", ("share_owed_at_sale", "months_left_at_sale"): "count",  # payments
    ("present_worth_of_a_dollar_a_year", "ownership_time"): "count", ("present_worth_of_a_dollar_a_year", "protection_time"): "count",
    ("whole_days_to_drain", "1"): "day",
}


# What is read from a table of the data file, of the kind that its column says.
FROM_A_TABLE = {
    "usual_oil_interval", "urea", "density_of_this_fluid", "shelf_life", "exhaust_fluid_shelf_life", "tongue_share_low",
    "tongue_share_high",
    "tightest_margin", "distance_allowed", "engine_hours_allowed",
}


def quantity(rule: Rule, need: str, book: Book) -> Any:
    """What a rule needs, as one of its unit; a list by its columns; a table, a word or a day as it comes."""
    if need in TABLES or need in ("job", "mistake", "book"):
        return Anything()
    if (made := book.get(need)) and made.columns:
        return Rows(made.columns)
    unit = MEANT_IN.get((rule.name, need)) or MEANT.get(need) or EVERY_UNIT[need]
    return Anything() if unit in ("date", "word", "yes/no") else one(unit)


def told_of(rule: Rule, book: Book) -> dict[str, Any]:
    literals = {literal: one(unit) for (name, literal), unit in MEANT_IN.items() if name == rule.name and literal.isdecimal()}
    return {need: quantity(rule, need, book) for need in rule.needs} | literals


@pytest.mark.parametrize(("name", "rule"), PRINTED, ids=lambda told: told if isinstance(told, str) else told.name)
def test_a_formula_is_of_one_kind(name: str, rule: Rule) -> None:
    assert rule.formula is not None
    found = kind_of(rule.formula, told_of(rule, BOOKS[name]))
    if rule.unit == "check":
        return
    must_be(found, rule.unit, f"what {rule.name} returns")
    if isinstance(found, Anything) and rule.unit:
        assert rule.name in FROM_A_TABLE, "of any kind, as nothing in it says of which"


def test_most_formulas_are_looked_at_and_every_exception_is_needed() -> None:
    assert len(PRINTED) > 200
    names = {rule.name for _, rule in PRINTED}
    assert names >= FROM_A_TABLE
    for need in MEANT:
        assert any(need in rule.needs for _, rule in PRINTED), need
    for (name, need), _ in MEANT_IN.items():
        rules_of_it = [(book, rule) for book, rule in PRINTED if rule.name == name and (need.isdecimal() or need in rule.needs)]
        assert rules_of_it, (name, need)
        for book, rule in rules_of_it:
            assert rule.formula is not None
            known = told_of(rule, BOOKS[book])
            without = known | {need: one(EVERY_UNIT.get(need, ""))}
            with pytest.raises(Wrong):
                must_be(kind_of(rule.formula, without), rule.unit, name)


# Planted faults: each is what a slip of the pen would leave.
UNITS = {"fuel": "gal", "weight": "lb", "distance": "mi", "hours": "h", "minutes": "min", "speed": "mi/h", "economy": "mi/gal",
         "price": "USD/gal", "cold": "degF", "warm": "degF", "rise": "delta_degF", "share": "%", "trucks": "count", "heat": "W",
         "heat_price": "USD/kWh", "density": "kg/L", "energy": "kJ/mol", "gas_constant": "kJ/(mol.K)", "rate": "1/s"}


@pytest.mark.parametrize(("formula", "unit"), [
    ("fuel + weight", "gal"), ("distance", "h"), ("distance / speed", "mi"), ("distance / economy", "mi"), ("fuel * economy", "gal"),
    ("fuel * price", "USD/gal"), ("fuel * price + hours", "USD"), ("cold * 2", "degF"), ("warm + cold", "degF"), ("warm - cold", "degF"),
    ("cold + rise", "delta_degF"), ("log(warm)", ""), ("exp(-energy / gas_constant)", ""), ("min(fuel, weight)", "gal"),
    ("max(0, distance - hours)", "mi"), ("fuel if weight > 0 else weight", "gal"), ("fuel if fuel > weight else fuel", "gal"),
    ("heat * hours", "USD"), ("heat * heat_price", "USD"), ("share * trucks", "gal"), ("fuel * density", "gal"),
    ("kelvin(rise)", "K"), ("rankine(kelvin(cold))", "degR"), ("milliliters(weight)", "mL"), ("distance ** trucks", "mi"),
    ("hours / 60 + distance", "h"), ("total_known(one=fuel, other=weight)", "gal"), ("trucks", "gal"),
    ("fuel > 0 and fuel < distance", "check"),
    ("rate", "h"), ("present_worth(fuel, trucks)", ""), ("Missing('nothing') if fuel < 0 else weight", "gal"),
])
def test_a_rule_that_mixes_kinds_fails(formula: str, unit: str) -> None:
    with pytest.raises(Wrong):
        found = kind_of(ast.parse(formula, mode="eval").body, {name: one(of) for name, of in UNITS.items()})
        must_be(found, unit, formula)


@pytest.mark.parametrize(("formula", "unit"), [
    ("fuel + fuel", "gal"), ("distance / speed", "h"), ("distance / speed * 60", "min"), ("minutes / 60 + hours", "h"),
    ("fuel * economy", "mi"),
    ("fuel * price", "USD"), ("warm - cold", "delta_degF"), ("cold + rise", "degF"), ("log(rise / (warm - cold))", ""),
    ("kelvin(cold)", "K"),
    ("exp(-energy / (gas_constant * kelvin(cold)))", ""), ("max(0, distance - speed * hours)", "mi"),
    ("heat / 1000 * hours * heat_price", "USD"),
    ("fuel * density", "lb"), ("share * trucks / 100", "%"), ("fuel if missing(weight) else fuel * 2", "gal"),
    ("weight if missing(weight) else fuel", "gal"),
    ("1 / rate", "h"), ("fuel > 0 and trucks > 2", "check"), ("ceil(distance)", "mi"), ("rankine(cold)", "degR"),
])
def test_a_rule_that_does_not_mix_them_passes(formula: str, unit: str) -> None:
    found = kind_of(ast.parse(formula, mode="eval").body, {name: one(of) for name, of in UNITS.items()})
    if unit != "check":
        must_be(found, unit, formula)
