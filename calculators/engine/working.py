"""A rule's own expression as a reader sees it: with names, with numbers, and why it took its branch."""

import ast
import re
from collections.abc import Callable
from functools import cache
from types import CodeType
from typing import Any

from calculators.engine.rules import Rule
from calculators.engine.show import spoken

PRINTED = {  # how a named function reads; another prints by its own name
    "ceil": "round up ({0})", "log": "ln({0})", "exp": "e^({0})",
    "min": "least of ({all})", "max": "greatest of ({all})",
    "power": "({0})^({1})", "present_worth": "(1 − (1 + {0} ÷ 100)^(−{1})) ÷ ({0} ÷ 100)",
    "kelvin": "({0} in K)", "kilojoules": "({0} in kJ/gal)", "rankine": "({0} in °R)", "fahrenheit": "({0} in °F)",
    "milliliters": "({0} in mL)", "water_per_gallon": "({0} in mL/gal)", "days_between": "days from {0} to {1}",
    "after_days": "({1}) days after {0}", "after_months": "{1} after {0}",
    "earliest": "earliest of ({all})", "first_due": "first of ({all})",
}
_SIGNS = {" * ": " × ", " / ": " ÷ ", " - ": " − ", " ** ": "^", " >= ": " ≥ ", " <= ": " ≤ ", " == ": " = ", " != ": " is not "}
_LEADING_MINUS = re.compile(r"(?<![\w)])-(?=[\w(])")
_OPPOSITE = {ast.Lt: ast.GtE, ast.GtE: ast.Lt, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}


class Working(ast.NodeTransformer):
    """The printed line of a rule; ``write`` prints a name, ``used`` are the names that stand in it."""

    def __init__(self, rule: Rule, known: dict[str, Any], write: Callable[[str], str]) -> None:
        self.rule, self.known, self.write = rule, known, write
        self.used: list[str] = []
        self.why: list[str] = []
        self.text = _signs(ast.unparse(self.visit(_copy(rule.formula or ast.Constant("")))))
        self.because = _signs(" and ".join(dict.fromkeys(self.why)))

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
        parts = [ast.unparse(self.visit(a)) for a in node.args]
        parts += [ast.unparse(self.visit(k.value)) for k in node.keywords]
        return ast.Name(PRINTED.get(name, name.replace("_", " ").strip() + " ({all})").format(*parts, all=", ".join(parts)))

    def visit_UnaryOp(self, node: ast.UnaryOp) -> ast.AST:
        """What is not missing is there."""
        if isinstance(node.op, ast.Not) and isinstance(node.operand, ast.Call) and _called(node.operand) == "missing":
            return ast.Name(f"there is {spoken(ast.unparse(node.operand.args[0]))}")
        return self.generic_visit(node)

    def visit_Name(self, node: ast.Name) -> ast.AST:
        """A need as ``write`` prints it."""
        if node.id not in self.rule.needs:
            return node
        self.used.append(node.id)
        return ast.Name(self.write(node.id))

    def visit_Constant(self, node: ast.Constant) -> ast.AST:
        """A word without quotes."""
        return ast.Name(node.value.replace("_", " ")) if isinstance(node.value, str) else node

    def _holds(self, test: ast.expr) -> bool:
        scope = {n: self.known[n] for n in self.rule.needs}
        code = _compiled(getattr(test, "original", test))  # our own rule's condition, never a reader's text
        return bool(eval(code, self.rule.run.__globals__, scope))

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
            flipped = test if holds else _negated(test)
            self.why.append(ast.unparse(self.visit(_copy(flipped))))


def _copy(node: Any) -> Any:
    """A tree to print from, each node knowing its original; several times quicker than deepcopy, most of an answer's time."""
    if isinstance(node, list):
        return [_copy(part) for part in node]
    if not isinstance(node, ast.AST):
        return node
    made = type(node)(**{name: _copy(value) for name, value in ast.iter_fields(node)})
    made.original = getattr(node, "original", node)  # type: ignore[attr-defined]
    return made


@cache
def _compiled(test: ast.expr) -> CodeType:
    return compile(ast.fix_missing_locations(ast.Expression(test)), "a rule's condition", "eval")


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
