"""A rule's own expression as a reader sees it: with names, with numbers, and why it took its branch."""

import ast
import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from types import CodeType
from typing import Any, NamedTuple

from calculators.engine.rules import Rule
from calculators.engine.show import spoken

PRINTED = {  # how a named function reads; another prints by its own name
    "ceil": "round up ({0})", "log": "ln({0})", "exp": "e^({0})",
    "min": "least of ({all})", "max": "greatest of ({all})",
    "power": "({0})^({1})", "present_worth": "(1 − (1 + {0} ÷ 100)^(−{1})) ÷ ({0} ÷ 100)",
    "kelvin": "({0} in K)", "kilojoules": "({0} in kJ/gal)", "rankine": "({0} in °R)", "fahrenheit": "({0} in °F)",
    "milliliters": "({0} in mL)", "water_per_gallon": "({0} in mL/gal)", "days_between": "days from {0} to {1}",
    "after_days": "({1}) days after {0}", "after_months": "{1} after {0}", "runs_out": "({1}) days after {0}",
    "not_before": "{0}, not before {1}",
    "earliest": "earliest of ({all})", "first_due": "first of ({all})",
}
_SIGNS = {" * ": " × ", " / ": " ÷ ", " - ": " − ", " ** ": "^", " >= ": " ≥ ", " <= ": " ≤ ", " == ": " = ", " != ": " is not "}
_LEADING_MINUS = re.compile(r"(?<![\w)}])-(?=[\w({])")
_OPPOSITE = {ast.Lt: ast.GtE, ast.GtE: ast.Lt, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}


class Line(NamedTuple):
    """A rule's printed line for one way through its conditions, with every need as a hole: {idle_hours} × {fuel_price}."""

    way: tuple[tuple[ast.expr, bool], ...]  # the conditions looked at, and how each turned out
    text: str
    why: tuple[str, ...]  # what decided for this way
    used: tuple[str, ...]  # the needs that stand in it
    named: tuple[str, str]  # text and why with the needs' names

    def printed(self, said: Mapping[str, str]) -> dict[str, str]:
        """The line with names, with numbers as ``said``, and why it took its branch."""
        formula, reason = self.named
        worked, numbers = _filled(self.text, self.why, said)
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

    def line(self) -> Line:
        text = self._print(self.rule.formula or ast.Constant(""))
        used = tuple(dict.fromkeys(self.used))
        named = _filled(text, self.why, {need: spoken(need) for need in used})
        return Line(tuple(self.way), text, tuple(self.why), used, named)

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
            return ast.Name(f"there is no {spoken(ast.unparse(node.args[0]))}")
        parts = [ast.unparse(self.visit(part)) for part in (*node.args, *(named.value for named in node.keywords))]
        return ast.Name(PRINTED.get(name, name.replace("_", " ").strip() + " ({all})").format(*parts, all=", ".join(parts)))

    def visit_UnaryOp(self, node: ast.UnaryOp) -> ast.AST:
        """What is not missing is there."""
        if isinstance(node.op, ast.Not) and isinstance(node.operand, ast.Call) and _called(node.operand) == "missing":
            return ast.Name(f"there is {spoken(ast.unparse(node.operand.args[0]))}")
        return self.generic_visit(node)

    def visit_Name(self, node: ast.Name) -> ast.AST:
        """A need as a hole."""
        if node.id not in self.rule.needs:
            return node
        self.used.append(node.id)
        return ast.Name(f"{{{node.id}}}")

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        """A word without quotes."""
        return ast.Name(node.value.replace("_", " ")) if isinstance(node.value, str) else node

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
                self._because(part)
        elif isinstance(test, ast.UnaryOp):
            self._because(test.operand)
        elif _called(test) != "missing" or holds:
            self.why.append(self._print(test if holds else _negated(test)))


def _filled(text: str, why: Iterable[str], said: Mapping[str, str]) -> tuple[str, str]:
    return text.format_map(said), " and ".join(dict.fromkeys(part.format_map(said) for part in why))


def _holds(test: ast.expr, rule: Rule, known: Mapping[str, Any]) -> bool:
    scope = {name: known[name] for name in rule.needs}
    return bool(eval(_compiled(test), rule.run.__globals__, scope))  # our own rule's condition, never a reader's text


@cache
def _compiled(test: ast.expr) -> CodeType:
    return compile(ast.fix_missing_locations(ast.Expression(test)), "a rule’s condition", "eval")


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
