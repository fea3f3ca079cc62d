"""What holds for every file of rules: one small expression each, with words, units that meet, and needs that exist."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import calculators
from calculators.engine import working
from calculators.engine.entries import Entry
from calculators.engine.figures import TABLES, Missing, figure
from calculators.engine.meters import Dated
from calculators.engine.rules import SHARED, Each, Rule, rules
from calculators.engine.units import UNITLESS, unit_of
from tests.unit.ask import module, row_modules

FILES = sorted({*calculators.NAMES, SHARED, "oil", *(row.__name__.rpartition(".")[2] for row in row_modules().values())})
KNOWN_FIRST = rules(module(SHARED))


def around(name: str) -> dict[str, Rule]:
    """The rules that run before those of a file: the shared ones and, for a row, its calculator's."""
    owner = [calculator for calculator, row in row_modules().items() if row is module(name)]
    return KNOWN_FIRST | {n: r for one in owner for n, r in rules(module(one)).items()}


def statements(name: str) -> Iterator[ast.FunctionDef]:
    """The public functions of a file."""
    tree = ast.parse(Path(str(module(name).__file__)).read_text("utf-8"))
    yield from (node for node in tree.body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"))


@pytest.mark.parametrize("name", FILES)
def test_a_parameter_has_the_unit_of_what_it_names(name: str) -> None:
    made = around(name) | rules(module(name))
    for rule in rules(module(name)).values():
        for need, hint in rule.needs.items() if rule.returns not in (list, Any) else ():
            if need in TABLES or ((row := row_modules().get(name)) and need in rules(row)):
                continue
            if need in ("job", "book"):  # the row; and a truck's entries, which the engine hands over
                assert hint in {"job": (str,), "book": (tuple[Entry, ...], Dated)}[need]
                continue
            declared = made[need].unit if need in made else getattr(figure(need), "unit", None)
            assert declared is not None, f"{rule.name} needs {need}, which nobody makes"
            assert unit_of(hint) == ("" if declared in UNITLESS else declared), f"{rule.name}({need})"


@pytest.mark.parametrize("name", FILES)
def test_a_rule_is_words_and_one_returned_expression(name: str) -> None:
    for function in statements(name):
        words = ast.get_docstring(function) or ""
        assert words.splitlines()[0].endswith((".", ")")), function.name
        if not returns_rows(name, function.name):
            assert len(function.body) == 2, f"{function.name} is more than one return"
        assert isinstance(function.body[-1], ast.Return), function.name
        assert function.returns is not None


def returns_rows(name: str, rule: str) -> bool:
    """Whether a rule makes a list of rows; such a one may take a few lines."""
    return bool(rules(module(name))[rule].columns)


@pytest.mark.parametrize("name", FILES)
def test_a_rule_takes_only_what_it_uses(name: str) -> None:
    for function in statements(name):
        used = {node.id for node in ast.walk(function) if isinstance(node, ast.Name)}
        unused = [argument.arg for argument in function.args.args if argument.arg not in used]
        spoken = set(re.findall(r"\{(\w+)\}", ast.unparse(function)))
        assert set(unused) <= spoken, f"{function.name} does not use {unused}"


@pytest.mark.parametrize("name", FILES)
def test_a_rule_stands_after_what_it_needs(name: str) -> None:
    book = rules(module(name))
    order = list(book)
    for rule in book.values():
        late = [need for need in rule.needs if need in book and order.index(need) >= order.index(rule.name)]
        assert late == [], f"{rule.name} needs {late}"


@pytest.mark.parametrize("name", FILES)
def test_a_name_is_whole_words(name: str) -> None:
    for rule in rules(module(name)).values():
        assert re.fullmatch(r"[a-z]+(_[a-z0-9]+)*", rule.name)
        assert re.match(r"[A-Z0-9a-z]", rule.words)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_a_calculator_has_a_sentence_and_a_headline_of_its_own_results(name: str) -> None:
    book = rules(module(name))
    assert not book["answer"].shown
    headline = getattr(module(name), "HEADLINE", ())
    assert 0 < len(headline) <= 6
    assert [result for result in headline if result not in book or not book[result].shown] == []


@pytest.mark.parametrize("name", calculators.NAMES)
def test_names_in_braces_are_known(name: str) -> None:
    known = {**KNOWN_FIRST, **rules(module(name))}
    for function in statements(name):
        spoken = {word for node in ast.walk(function) if isinstance(node, ast.Constant) and isinstance(node.value, str)
                  for word in re.findall(r"\{(\w+)\}", node.value)}
        for word in spoken:
            assert word in known or word in rules(module(name)).needs, f"{function.name} says {{{word}}}"


@pytest.mark.parametrize("name", calculators.NAMES)
def test_a_caution_has_a_signal_word_and_a_hazard(name: str) -> None:
    for function in statements(name):
        for node in ast.walk(function):
            if isinstance(node, ast.Call) and ast.unparse(node.func) == "Caution":
                signal, hazard, text = (part.value for part in node.args if isinstance(part, ast.Constant))
                assert signal in ("DANGER", "WARNING", "CAUTION", "NOTICE")
                assert str(hazard).endswith(".") and str(text).endswith(".")


@pytest.mark.parametrize("name", FILES)
def test_a_rule_that_may_have_no_value_says_so(name: str) -> None:
    for function in statements(name):
        makes = any(isinstance(node, ast.Call) and ast.unparse(node.func) == "Missing" for node in ast.walk(function))
        assert not makes or "Missing" in ast.unparse(function.returns or ast.Constant("")), function.name


@pytest.mark.parametrize("name", FILES)
def test_only_public_functions_stand_in_a_printed_formula(name: str) -> None:
    """A helper's name or a loop would say nothing to a reader: such a rule prints its words alone."""
    for rule in rules(module(name)).values():
        called = [ast.unparse(node.func) for node in ast.walk(rule.formula) if isinstance(node, ast.Call)] if rule.formula else []
        own = not rule.shown
        assert own or {name for name in called if name not in ("Missing", "missing")} <= set(working.PRINTED), rule.name


def test_a_rule_passes_on_why_a_need_has_no_value() -> None:
    def spare(load: float) -> float:
        """Twice the load."""
        return load * 2

    rule = Rule("spare", "Twice the load.", "lb", {"load": float}, float, spare)
    assert rule({"load": 3.0}) == 6.0
    assert rule({"load": Missing("nobody weighed it")}) == Missing("nobody weighed it")


def test_a_rule_that_can_speak_about_a_gap_is_asked() -> None:
    def said(load: float | Missing) -> str:
        """Whether it was weighed."""
        return "unknown" if isinstance(load, Missing) else "known"

    rule = Rule("said", "Whether it was weighed.", "word", {"load": float | Missing}, str, said)
    assert rule({"load": Missing("nobody weighed it")}) == "unknown"


@pytest.mark.parametrize("value", [float("inf"), float("-inf"), float("nan")])
def test_a_number_without_a_value_becomes_a_gap(value: float) -> None:
    def far(load: float) -> float:
        """Too far."""
        return load * value

    assert Rule("far", "Too far.", "lb", {"load": float}, float, far)({"load": 1.0}) == Missing("the numbers run out of range")


@pytest.mark.parametrize("name", calculators.NAMES)
def test_lists_of_rows_run_once_for_each_row_of_their_table(name: str) -> None:
    for result, thing in vars(module(name)).items():
        if isinstance(thing, Each):
            answered: Any = calculators.answer(name)["results"][result]
            assert [row[thing.table]["value"] for row in answered] == TABLES[thing.table]
