"""Runs a printed formula with pint's quantities instead of numbers: what it adds, compares and returns must be of one kind.

Both branches of a condition are run. Sizes don't matter (a rule's 60 and 100 turn minutes into hours and shares into percent), so each
quantity is one of its unit; a name that says per_week carries no week, as in the rules.
"""

import ast
import inspect
import operator
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from pint.errors import DimensionalityError, OffsetUnitCalculusError

from calculators.engine import named
from calculators.engine.units import UNITLESS, unit_of
from tests.unit.test_units import PINT, UnitRegistry

REGISTRY: Any = UnitRegistry()  # strict about degrees: twice 40 °F is nothing
REGISTRY.define("dollar = [money]")


class Wrong(Exception):
    """What is of two kinds."""


class Anything(NamedTuple):
    """What a table holds, of any kind; or the reason why a value can't exist."""

    why: str = ""


class Zero(NamedTuple):
    """Nothing of any kind."""


class Rows(NamedTuple):
    """A list of rows, by the units of its columns; ``unit`` is that of the one column which was taken."""

    columns: Mapping[str, str]
    unit: str = ""


_SAME_KIND: dict[type, Callable[[Any, Any], Any]] = {ast.Add: operator.add, ast.Sub: operator.sub}
_ANY_KIND: dict[type, Callable[[Any, Any], Any]] = {ast.Mult: operator.mul, ast.Div: operator.truediv, ast.Pow: operator.pow,
                                                    ast.FloorDiv: operator.floordiv, ast.Mod: operator.mod}
_OF_NO_KIND = ("exp", "log", "present_worth", "worth_today", "power")
_AS_THEY_COME = ("ceil", "floor", "abs", "round", "least", "greatest", "total", "first", "least_known", "least_of_all", "all_but_last")
_OF_ONE_KIND = ("min", "max", "tightest", "total_known")
_FROM_A_TABLE = ("between", "row_reaching")


def one(unit: str) -> Any:
    """One of a unit, as pint has it; of what has none, plain one. What is said of each year carries no year, as in the rules."""
    if unit in UNITLESS or unit in ("%", "%/yr"):
        return REGISTRY.Quantity(1.0, "")
    parts = re.findall(r"[^/.()]+", unit)
    first, *rest = (REGISTRY.Unit(PINT.get(part, part)) for part in parts)
    found = REGISTRY.Quantity(1.0, first)
    for part in rest:
        found = found / REGISTRY.Quantity(1.0, part)
    return found


def kind_of(node: ast.expr, units: Mapping[str, Any]) -> Any:
    """The quantity that an expression comes to; Wrong where it mixes kinds."""
    try:
        return _run(node, units)
    except (DimensionalityError, OffsetUnitCalculusError) as wrong:
        raise Wrong(f"{ast.unparse(node)}: {wrong}") from wrong


def must_be(found: Any, unit: str, said: str) -> None:
    """Wrong where a quantity is of another kind than the unit, or a difference of temperatures where one is meant."""
    if isinstance(found, Anything | Zero | Rows | bool | str):
        return
    meant = one(unit)
    if found.dimensionality != meant.dimensionality or _is_a_point(found) != _is_a_point(meant):
        raise Wrong(f"{said} is {found.units or 'a plain number'}, not {unit or 'a plain number'}")


def _is_a_point(found: Any) -> bool:
    """Whether it stands on a scale whose zero is not nothing, as 40 °F does."""
    return str(found.units) in ("degree_Fahrenheit", "degree_Celsius")


def _run(node: ast.expr, units: Mapping[str, Any]) -> Any:
    match node:
        case ast.Constant() if str(node.value) in units:
            return units[str(node.value)]
        case ast.Constant():
            return Zero() if node.value == 0 and not isinstance(node.value, bool) else (
                node.value if isinstance(node.value, str | bool) else one(""))
        case ast.Name():
            return units[node.id]
        case ast.UnaryOp():
            found = _run(node.operand, units)
            return True if isinstance(node.op, ast.Not) else found
        case ast.BoolOp():
            for part in node.values:
                _run(part, units)
            return True
        case ast.Compare():
            _all_alike([_run(part, units) for part in (node.left, *node.comparators)], ast.unparse(node))
            return True
        case ast.IfExp():
            _run(node.test, units)
            branches = [branch for branch in (node.body, node.orelse) if not _is_the_reason(branch, node.test)]
            return _all_alike([_run(branch, units) for branch in branches], ast.unparse(node))
        case ast.BinOp():
            return _of_two(node, _run(node.left, units), _run(node.right, units))
        case ast.Subscript():
            return _run(node.value, units)
        case ast.Call():
            return _called(node, units)
    raise NotImplementedError(ast.dump(node))


def _is_the_reason(branch: ast.expr, test: ast.expr) -> bool:
    """Whether a branch only hands on why a need has no value: ``price if missing(price) else …``."""
    return isinstance(branch, ast.Name) and f"missing({branch.id})" in ast.unparse(test)


def _of_two(node: ast.BinOp, left: Any, right: Any) -> Any:
    if isinstance(left, Anything) or isinstance(right, Anything):
        return Anything()
    left, right = (one("") if part is True else part for part in (left, right))  # a yes is counted
    if type(node.op) in _SAME_KIND:
        if isinstance(left, Zero) or isinstance(right, Zero):
            return right if isinstance(left, Zero) else left
        return _one_of(_SAME_KIND[type(node.op)](left, right))
    if isinstance(left, Zero):
        return left
    if isinstance(right, Zero):
        return one("")
    if isinstance(node.op, ast.Pow):
        must_be(right, "", ast.unparse(node.right))
        power = node.right.value if isinstance(node.right, ast.Constant) else None
        if power is None:
            must_be(left, "", f"{ast.unparse(node.left)}, to a power that is told,")
            return one("")
        return _one_of(left ** power)
    return _one_of(_ANY_KIND[type(node.op)](left, right))


def _one_of(found: Any) -> Any:
    """The size doesn't matter, and must not become zero."""
    return REGISTRY.Quantity(1.0, found.units)


def _all_alike(found: Sequence[Any], said: str) -> Any:
    """Of what must be of one kind, one that says which."""
    quantities = [one("") if part is True else part for part in found if not isinstance(part, Anything | Zero | str)]
    for part in quantities[1:]:
        if isinstance(part, Rows) or isinstance(quantities[0], Rows) or not hasattr(part, "dimensionality"):
            continue
        if hasattr(quantities[0], "dimensionality") and (
                part.dimensionality != quantities[0].dimensionality or _is_a_point(part) != _is_a_point(quantities[0])):
            raise Wrong(f"{said}: {part.units or 'a plain number'} beside {quantities[0].units or 'a plain number'}")
    return quantities[0] if quantities else found[0] if found else Anything()


def _called(node: ast.Call, units: Mapping[str, Any]) -> Any:
    name = ast.unparse(node.func)
    said = ast.unparse(node)
    if name == "Missing":
        return Anything("why")
    if name == "missing":
        return True
    told = [_run(part, units) for part in node.args]
    by_name = {part.arg: _run(part.value, units) for part in node.keywords}
    if name in _OF_NO_KIND:
        for part in (*told, *by_name.values()):
            must_be(part, "", said)
        return one("")
    if name in _FROM_A_TABLE:
        return Anything()
    if name in _AS_THEY_COME:
        return one(told[0].unit) if isinstance(told[0], Rows) else told[0]
    if name in _OF_ONE_KIND:
        return _all_alike([*told, *by_name.values()], said)
    if name in ("column", "column_where"):
        return told[0]._replace(unit=told[0].columns.get(told[1], "")) if isinstance(told[0], Rows) else Anything()
    function = getattr(named, name)
    hints = dict(inspect.get_annotations(function))
    returned = hints.pop("return")
    for part, hint in [*zip(told, hints.values(), strict=False), *((by_name[key], hints[key]) for key in by_name if key in hints)]:
        if unit_of(hint):
            must_be(part, unit_of(hint), said)
    return one(unit_of(returned)) if unit_of(returned) or returned is float else Anything()
