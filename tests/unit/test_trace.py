"""What a value rests on: the inputs that were looked at, and no others. Rules made here, so that it is known by thought."""

import ast
import math
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from calculators.engine import named
from calculators.engine.figures import Missing
from calculators.engine.named import beside_least, column, earliest, first_due, missing
from calculators.engine.rules import Book, Rule
from calculators.engine.trace import names_of, plain_of, trace
from tests.unit.ask import ask, module
from tests.unit.test_rules import FILES

TABLE = {"ball": 10.0, "fifth_wheel": 15.0}


class Row(NamedTuple):
    item: str
    cost: float


def rule(function: Callable[..., Any]) -> Rule:
    needs = {name: hint for name, hint in function.__annotations__.items() if name != "return"}
    return Rule(function.__name__, "", "", needs, float, function)


def traced(known: dict[str, Any], *functions: Callable[..., Any]) -> dict[str, Any]:
    """The trace of those rules; every input rests on itself."""
    return trace(Book({f.__name__: rule(f) for f in functions}), known, {name: frozenset([name]) for name in known})


def rests(function: Callable[..., Any], **known: Any) -> set[str]:
    return set(names_of(traced(known, function)[function.__name__]))


def both(a: float, b: float) -> float:
    return a * 2 + b


def branch(a: float, b: float, c: float) -> float:
    return b if a > 1 else c


def passed_on(a: float) -> float:
    return a


def measured_wins(told: float | Missing, worked_out: float) -> float:
    return worked_out if missing(told) else told


def of_nothing(weight: float, distance: float) -> float:
    return 0 if weight == 0 else weight * distance


def either(a: bool, b: bool) -> bool:
    return a or b


def functions(a: float, b: float) -> float:
    return math.exp(-a) + math.fsum([b, 1]) + math.ceil(a) + round(b)


def words(hitch: str) -> float:
    return TABLE[hitch]


def days(start: date, end: date) -> int:
    return (end - start).days


def soonest(first: date | Missing, second: date | Missing) -> date | Missing:
    return earliest(first=first, second=second)


def which(a: float, b: float) -> str:
    return beside_least(["one", "two"], [a, b])


@pytest.mark.parametrize(("function", "known", "expected"), [
    (both, {"a": 1.0, "b": 2.0}, {"a", "b"}),
    (branch, {"a": 2.0, "b": 1.0, "c": 1.0}, {"a", "b"}),
    (branch, {"a": 0.0, "b": 1.0, "c": 1.0}, {"a", "c"}),
    (passed_on, {"a": 1.0}, {"a"}),
    (measured_wins, {"told": 3.0, "worked_out": 2.0}, {"told"}),
    (measured_wins, {"told": Missing("not told"), "worked_out": 2.0}, {"told", "worked_out"}),
    (of_nothing, {"weight": 0.0, "distance": 20.0}, {"weight"}),
    (either, {"a": True, "b": False}, {"a"}),
    (either, {"a": False, "b": False}, {"a", "b"}),
    (functions, {"a": 1.0, "b": 2.0}, {"a", "b"}),
    (words, {"hitch": "ball"}, {"hitch"}),
    (days, {"start": date(2026, 1, 1), "end": date(2026, 1, 3)}, {"start", "end"}),
    (soonest, {"first": date(2026, 1, 1), "second": Missing("x")}, {"first", "second"}),
    (which, {"a": 1.0, "b": 2.0}, {"a", "b"}),
])
def test_what_was_looked_at_counts(function: Callable[..., Any], known: dict[str, Any], expected: set[str]) -> None:
    assert rests(function, **known) == expected


def test_a_rule_rests_on_what_the_rules_before_it_rest_on() -> None:
    def made(a: float) -> float:
        return a + 1

    def last(made: float, b: float) -> float:
        return made if b > 0 else b

    seen = traced({"a": 1.0, "b": 1.0}, made, last)
    assert (names_of(seen["made"]), names_of(seen["last"])) == ({"a"}, {"a", "b"})
    seen = traced({"a": 1.0, "b": -1.0}, made, last)
    assert names_of(seen["last"]) == {"b"}


def test_an_input_that_carries_no_name_leaves_none() -> None:
    seen = trace(Book({"both": rule(both)}), {"a": 1.0, "b": 2.0}, {"a": frozenset(["a"])})
    assert names_of(seen["both"]) == {"a"}
    assert names_of(trace(Book({"both": rule(both)}), {"a": 1.0, "b": 2.0}, {})["both"]) == set()


def test_every_need_that_is_missing_counts_where_the_reason_is_passed_on() -> None:
    seen = traced({"a": Missing("no a"), "b": Missing("no b")}, both)["both"]
    assert (names_of(seen), plain_of(seen)) == ({"a", "b"}, Missing("no a"))
    seen = traced({"a": Missing("no a"), "b": 1.0}, both)["both"]
    assert names_of(seen) == {"a"}


def test_what_runs_out_of_range_is_explained_as_it_is_by_run() -> None:
    seen = traced({"a": 1e308, "b": 1e308}, both)["both"]
    assert plain_of(seen) == rule(both)({"a": 1e308, "b": 1e308})
    assert isinstance(plain_of(seen), Missing)


def test_the_cells_of_a_list_rest_on_their_own() -> None:
    def lines(fuel: float, oil: float, on: float) -> list[Row]:
        return [Row("fuel", fuel), Row("oil", oil), Row("none", 0.0)] if on > 0 else []

    def least(lines: list[Row]) -> float:
        return min(column(lines, "cost")[:2])

    seen = traced({"fuel": 1.0, "oil": 2.0, "on": 1.0}, lines, least)
    assert names_of(seen["lines"]) == {"on"}
    assert [names_of(row.cost) for row in plain_of(seen["lines"])] == [{"fuel"}, {"oil"}, set()]
    assert names_of(seen["least"]) == {"fuel", "oil", "on"}
    assert names_of(traced({"fuel": 1.0, "oil": 2.0, "on": 0.0}, lines)["lines"]) == {"on"}


def test_first_of_days_rests_on_all_that_were_compared() -> None:
    def brings(first: date, second: date) -> str | Missing:
        return first_due(first=first, second=second)

    assert rests(brings, first=date(2026, 1, 1), second=date(2025, 1, 1)) == {"first", "second"}


@pytest.mark.parametrize("name", [*FILES, "named"])
def test_no_rule_asks_what_a_trace_can_not_notice(name: str) -> None:
    path = Path(named.__file__ if name == "named" else str(module(name).__file__))
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Compare):
            assert not any(isinstance(op, ast.Is | ast.IsNot) for op in node.ops), f"{path.name}:{node.lineno}: use == or missing()"
        if isinstance(node, ast.Call):
            assert ast.unparse(node.func) not in ("type", "id"), f"{path.name}:{node.lineno}: use isinstance()"
        assert not isinstance(node, ast.Match), f"{path.name}: a match looks at types"


def test_nothing_rests_on_a_guess_that_measurements_start_from() -> None:
    """With tanks enough the fuel economy is the owner's, though the guess was the example's; the hours' speed took part where it did."""
    fills = [{"id": f"f{place}", "date": f"2026-0{1 + place // 4}-{1 + 7 * (place % 4):02}", "kind": "fuel", "odometer": 1000 + 300 * place,
              "idle_hours": 4 * place, "fuel": 22.4} for place in range(30)]
    truck = {"format": "diesel-handover-truck", "version": 2, "id": "t", "name": "T", "facts": {}, "book": fills}
    results = ask("own_records", truck)["results"]
    assert results["fuel_economy_measured"]["rests_on"] == "yours"
    by_engine = [{**{key: told for key, told in fill.items() if key != "idle_hours"}, "engine_hours": 14 * place}
                 for place, fill in enumerate(fills)]
    assert ask("own_records", truck | {"book": by_engine})["results"]["fuel_economy_measured"]["rests_on"] == "partly"
