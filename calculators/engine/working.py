"""A rule's own expression as a reader sees it: with names, with numbers, and why it took its branch."""

import ast
import re
from collections import ChainMap
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from itertools import groupby
from types import CodeType
from typing import Any, NamedTuple

from calculators.engine.figures import Missing
from calculators.engine.rules import Rule
from calculators.engine.show import Digits, comes_to, spoken, words

PRINTED = {  # how a named function reads; another prints by its own name
    "ceil": "round up ({0})", "floor": "round down ({0})", "round": "round ({0})", "log": "ln({0})", "exp": "e^({0})",
    "min": "least of ({all})", "max": "greatest of ({all})",
    "power": "({0})^({1})", "present_worth": "(1 − (1 + {0} ÷ 100)^(−{1})) ÷ ({0} ÷ 100)",
    "next_up": "the one of ({0}) that is overdue, or comes first of ({1})", "date_of": "{0}: {1}: {2}",
    "has_reading": "there is a reading of {1}",
    "kelvin": "({0} in K)", "kilojoules": "({0} in kJ/gal)", "rankine": "({0} in °R)", "fahrenheit": "({0} in °F)",
    "milliliters": "({0} in mL)", "water_per_gallon": "({0} in mL/gal)", "days_between": "days from {0} to {1}",
    "after_days": "({1}) days after {0}", "after_months": "{1} after {0}", "runs_out": "({1}) days after {0}",
    "not_before": "{0}, not before {1}",
    "earliest": "earliest of ({all})", "first_due": "first of ({all})",
    "total": "sum of ({0})", "how_many": "how many of ({0}) are {1}", "least": "least of ({0})", "greatest": "greatest of ({0})",
    "earliest_of": "earliest of ({0})", "whose_is_earliest": "the one of ({0}) that comes first of ({1})", "first": "first of ({0})",
    "least_known": "least of ({0})", "least_of_all": "least of ({0})", "beside_least": "the one of ({0}) beside the least of ({1})",
    "total_known": "sum of ({all})",
    "all_but_last": "({0}) without the last", "between": "{0} read straight between the points ({1}) as ({2})",
    "row_reaching": "row that reaches {0} in ({1})", "saturation_pressure": "saturation pressure of water vapor at {0}",
    "saturated_at": "temperature at which {0} is the saturation pressure of water vapor",
    "column": "{0}: {1}", "lacking": "{0}", "column_where": "{0}: {1} where {2}", "row_says": "{0}: {1}: {2}",
}
_LOOKED_UP = ("column", "column_where", "row_says", "date_of")  # what these give is read from a table, not computed
_SIGNS = {" * ": " × ", " / ": " ÷ ", " - ": " − ", " ** ": "^", " >= ": " ≥ ", " <= ": " ≤ ", " == ": " = ", " != ": " is not "}
_LEADING_MINUS = re.compile(r"(?<![\w)}])-(?=[\w({])")
_OPPOSITE = {ast.Lt: ast.GtE, ast.GtE: ast.Lt, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}


class Cell(NamedTuple):
    """A part of a line that is read from a table: its place, with needs as holes, the expression that reads it, the table or list."""

    place: str
    read: ast.expr
    of: str


class Line(NamedTuple):
    """A rule's printed line for one way through its conditions, with every need as a hole: {idle_hours} × {fuel_price}."""

    way: tuple[tuple[ast.expr, bool], ...]  # the conditions looked at, and how each turned out
    text: str
    why: tuple[str, ...]  # what decided for this way
    used: tuple[str, ...]  # the needs that stand in it
    cells: dict[str, Cell]  # what is read from tables, by its hole
    named: tuple[str, str]  # text and why with the needs' names

    def comes_to(self, rule: Rule, shown: dict[str, Any], value: Any) -> bool:
        """Whether the numbers as they are shown go the same way and come to what is shown of the value."""
        try:
            return all(_holds(test, rule, shown) is held for test, held in self.way) and comes_to(rule(shown), value)
        except (ArithmeticError, ValueError):
            return False

    def printed(self, rule: Rule, known: Mapping[str, Any], said: dict[str, str], digits: Callable[[str], Digits]) -> dict[str, str]:
        """The line with names, with numbers as ``said``, those of lists with as many ``digits``, and why it took its branch."""
        formula, reason = self.named
        cells = _with_cells(self.cells, said, lambda cell: _numbers(_evaluated(cell.read, rule, known), digits(cell.of)))
        worked, numbers = _filled(self.text, self.why, cells)
        told_apart = numbers != reason and any(sign.isdigit() for sign in numbers)
        because = {"because": reason + (f" ({numbers})" if told_apart else "")} if reason else {}
        return {"formula": formula, "worked": worked} | because


def line_of(rule: Rule, known: Mapping[str, Any]) -> Line:
    """The line of a rule for the way that its conditions turn out; each way is written once."""
    found = next((one for one in _lines(rule.run) if all(_holds(test, rule, known) is held for test, held in one.way)), None)
    if found is None:
        found = _Writer(rule, known).line()
        _lines(rule.run).append(found)
    return found


@cache
def _lines(_run: Callable[..., Any]) -> list[Line]:
    return []


class _Writer(ast.NodeVisitor):
    """Makes of a rule's expression another that prints as a reader sees it."""

    def __init__(self, rule: Rule, known: Mapping[str, Any]) -> None:
        self.rule, self.known = rule, known
        self.way: list[tuple[ast.expr, bool]] = []
        self.why: list[str] = []
        self.used: list[str] = []
        self.cells: dict[str, Cell] = {}

    def line(self) -> Line:
        text = self._print(self.rule.formula or ast.Constant(""))
        used = tuple(dict.fromkeys(self.used))
        named = _filled(text, self.why, _with_cells(self.cells, {need: spoken(need) for need in used}, lambda _: ""))
        return Line(tuple(self.way), text, tuple(self.why), used, self.cells, named)

    def generic_visit(self, node: ast.AST) -> ast.AST:
        """Any other part as it is, made of its parts as they print."""
        return type(node)(**{name: self._part(value) for name, value in ast.iter_fields(node)})

    def visit_IfExp(self, node: ast.IfExp) -> ast.AST:
        """Only the branch taken; why, unless the other one only says that a value can't exist."""
        taken, other = (node.body, node.orelse) if self._holds(node.test) else (node.orelse, node.body)
        if _called(other) != "Missing":
            self._because(node.test)
        shown: ast.AST = self.visit(taken)
        return shown

    def visit_Call(self, node: ast.Call) -> ast.AST:
        """A named function by its phrase."""
        name = _called(node)
        if name == "missing":
            return self._there_is("no ", node)
        parts = [ast.unparse(self.visit(part)) for part in (*node.args, *(named.value for named in node.keywords))]
        phrase = PRINTED.get(name, name.replace("_", " ").strip() + " ({all})").format(*parts, all=", ".join(parts))
        return self._cell(phrase, node) if name in _LOOKED_UP else ast.Name(phrase)

    def visit_Subscript(self, node: ast.Subscript) -> ast.AST:
        """A table's cell: the table, the row, the column."""
        return self._cell(f"{ast.unparse(self.visit(node.value))}: {ast.unparse(self.visit(node.slice))}", node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> ast.AST:
        """What is not missing is there."""
        if isinstance(node.op, ast.Not) and isinstance(node.operand, ast.Call) and _called(node.operand) == "missing":
            return self._there_is("", node.operand)
        return self.generic_visit(node)

    def visit_Name(self, node: ast.Name) -> ast.AST:
        """A need as a hole; a table or a list by its name."""
        if node.id not in self.rule.needs:
            return node
        self.used.append(node.id)
        return self._cell(spoken(node.id), node) if isinstance(self.known[node.id], list | dict) else ast.Name(f"{{{node.id}}}")

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        """A word without quotes, yes or no."""
        return ast.Name(str(words(node.value)).replace("_", " ")) if isinstance(node.value, str | bool) else node

    def _there_is(self, no: str, asked: ast.Call) -> ast.Name:
        need = ast.unparse(asked.args[0])
        self.used.append(need)
        return ast.Name(f"there is {no}{spoken(need)}")

    def _cell(self, place: str, node: ast.expr) -> ast.Name:
        hole = f"cell{len(self.cells)}"
        of = next(part.id for part in ast.walk(node) if isinstance(part, ast.Name) and part.id in self.rule.needs)
        self.cells[hole] = Cell(place, node, of)
        return ast.Name(f"{{{hole}}}")

    def _part(self, value: Any) -> Any:
        if isinstance(value, list):
            return [self._part(one) for one in value]
        return self.visit(value) if isinstance(value, ast.AST) else value

    def _print(self, node: ast.AST) -> str:
        return _signs(ast.unparse(self.visit(node)))

    def _holds(self, test: ast.expr) -> bool:
        held = _holds(test, self.rule, self.known)
        self.way.append((test, held))
        return held

    def _because(self, test: ast.expr) -> None:
        """Keep the parts of a condition that decided it, as they turned out."""
        holds = self._holds(test)
        if isinstance(test, ast.BoolOp):
            one_decides = isinstance(test.op, ast.Or) == holds  # and Python never looked at the parts after it
            decided = [next(p for p in test.values if self._holds(p) == holds)] if one_decides else test.values
            for part in decided:
                if one_decides and isinstance(part, ast.UnaryOp) and self._holds(part):  # that there is a value decided, so it is said
                    self.why.append(self._print(part))
                else:
                    self._because(part)
        elif isinstance(test, ast.UnaryOp):
            self._because(test.operand)
        elif _called(test) != "missing" or holds:
            self.why.append(self._print(test if holds else _negated(test)))


def _filled(text: str, why: Iterable[str], said: Mapping[str, str]) -> tuple[str, str]:
    return text.format_map(said), " and ".join(dict.fromkeys(part.format_map(said) for part in why))


def _with_cells(cells: Mapping[str, Cell], said: dict[str, str], read: Callable[[Cell], str]) -> Mapping[str, str]:
    """What is said of each hole: of a cell what ``read`` finds in it, or its place."""
    filled = ChainMap({}, said) if cells else said
    for hole, cell in cells.items():
        filled[hole] = read(cell) or cell.place.format_map(filled)
    return filled


def _numbers(value: Any, digits: Digits) -> str:
    """The numbers or days of a cell, a column or a table of them; nothing where it holds words."""
    if isinstance(value, list):
        rows = [" → ".join(_numbers(cell, digits) for cell in row) if isinstance(row, list) else _numbers(row, digits) for row in value]
        runs = [(row, len(list(same))) for row, same in groupby(rows)]
        return ", ".join(row if times == 1 else f"{row} ({times} times)" for row, times in runs) if all(rows) else ""
    return "" if isinstance(value, str | dict | tuple) and not isinstance(value, Missing) else str(words(value, exact=True, digits=digits))


def _holds(test: ast.expr, rule: Rule, known: Mapping[str, Any]) -> bool:
    return bool(_evaluated(test, rule, known))


def _evaluated(part: ast.expr, rule: Rule, known: Mapping[str, Any]) -> Any:
    scope = {name: known[name] for name in rule.needs}
    return eval(_compiled(part), rule.run.__globals__, scope)  # a part of our own rule, never a reader's text


@cache
def _compiled(part: ast.expr) -> CodeType:
    return compile(ast.fix_missing_locations(ast.Expression(part)), "a part of a rule", "eval")


def _signs(text: str) -> str:
    for sign, printed in _SIGNS.items():
        text = text.replace(sign, printed)
    return _LEADING_MINUS.sub("−", text)


def _called(node: ast.expr) -> str:
    return ast.unparse(node.func) if isinstance(node, ast.Call) else ""


def _negated(test: ast.expr) -> ast.expr:
    if isinstance(test, ast.Compare) and type(test.ops[0]) in _OPPOSITE:
        return ast.Compare(test.left, [_OPPOSITE[type(test.ops[0])]()], test.comparators)
    return ast.UnaryOp(ast.Not(), test)
