"""A calculator's rules, run in file order.

A rule is a public function of a calculator's module. Its parameters name figures, tables or
earlier rules; its annotations are units; its docstring's first line is its words.
"""

import ast
from collections.abc import Callable
from dataclasses import dataclass, field, fields, is_dataclass
from functools import cache
from importlib import import_module
from math import isfinite
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Annotated, Any, get_args

from calculators.engine.figures import TABLES, Missing, per_row

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")  # the four signal words, gravest first
Check = Annotated[bool, "check"]  # such a rule must hold between inputs; its docstring says what would do

_PACKAGE = Path(__file__).parent.parent
_SOURCES = {path.stem: path.read_text("utf-8") for path in sorted(_PACKAGE.glob("*.py")) if path.stem[0] != "_"}
NAMES = tuple(name for name, source in _SOURCES.items() if "\ndef answer(" in source)

# What a reader could follow on a line; a rule whose expression holds anything else prints no formula.
_PRINTABLE = (ast.BinOp, ast.UnaryOp, ast.BoolOp, ast.Compare, ast.IfExp, ast.Call, ast.Name, ast.Constant, ast.keyword,
              ast.operator, ast.unaryop, ast.boolop, ast.cmpop, ast.expr_context)


@dataclass(frozen=True)
class Caution:
    """A hazard beside the answer and what to do about it; both may hold names in braces."""

    signal: str
    hazard: str
    text: str


@dataclass(frozen=True)
class Rule:
    """One line of the sheet; ``columns`` are the units of a list result's cells."""

    name: str
    words: str
    unit: str
    needs: dict[str, Any]
    returns: Any
    run: Callable[..., Any]
    columns: dict[str, str] = field(default_factory=dict)
    each: "Each | None" = None
    home: str = ""  # the file it stands in; "" for one that is made

    def __call__(self, known: dict[str, Any]) -> Any:
        """The rule's value, or the reason why one of its needs has none."""
        told = {need: known[need] for need in self.needs}
        gaps = (v for n, v in told.items() if isinstance(v, Missing) and Missing not in get_args(self.needs[n]))
        value = next(gaps, None) or self.run(**told)
        return Missing("the numbers run out of range") if isinstance(value, float) and not isfinite(value) else value

    @property
    def formula(self) -> ast.expr | None:
        """Its expression, if a reader could follow all of it; files are parsed only where a formula is shown."""
        return _formulas(self.home).get(self.name) if self.home else None

    @property
    def shown(self) -> bool:
        """Whether it is a result: not a check, a caution or the sentence."""
        return self.unit != "check" and Caution not in get_args(self.returns) and self.returns is not Caution and self.name != "answer"


@dataclass(frozen=True)
class Of:
    """One result of another calculator, as a rule of this one."""

    module: ModuleType
    result: str

    def rule(self, name: str) -> Rule:
        """A rule that needs whatever the other calculator needs."""
        book = rules(self.module)
        hints = {n: Any | Missing for n in needs(book)}
        return Rule(name, (self.module.__doc__ or "").splitlines()[0], "", hints, Any, self.run)

    def run(self, **known: Any) -> Any:
        """That result, for what this calculator knows."""
        return run(rules(self.module), known)[self.result]


@dataclass(frozen=True)
class Each:
    """A list result: the rules of module ``row`` for each key of a table.

    The working shows one row, the one that rule ``governs`` names.
    """

    row: ModuleType
    table: str
    governs: str

    def rule(self, name: str) -> Rule:
        """The list as one rule that needs what its rows need."""
        book = rules(self.row)
        hints = {n: Any | Missing for n in needs(book) if n != self.table}
        words = (self.row.__doc__ or "").splitlines()[0]
        columns = {self.table: "word"} | {n: r.unit for n, r in book.items()}
        return Rule(name, words, "", hints, list, self.run, columns=columns, each=self)

    def run(self, **known: Any) -> list[dict[str, Any]]:
        """Every row's results, by name."""
        return [{self.table: key} | run(rules(self.row), self.pick(key, known)) for key in TABLES[self.table]]

    def pick(self, key: str, known: dict[str, Any]) -> dict[str, Any]:
        """What one row knows."""
        return {n: v[key] if per_row(n) else v for n, v in known.items()} | {self.table: key}


def calculator(name: str) -> ModuleType:
    """The module of one calculator, or of one of the files its rows and facts stand in."""
    return import_module(f"calculators.{name}")


@cache
def question(name: str) -> str:
    """The question a calculator answers: the first line of its file."""
    return (ast.get_docstring(ast.parse(_SOURCES[name])) or "").splitlines()[0]


@cache
def rules(module: ModuleType) -> dict[str, Rule]:
    """A module's rules in file order; one taken from another file brings the rules it follows from."""
    book: dict[str, Rule] = {}
    for name, thing in vars(module).items():
        if isinstance(thing, Each | Of):
            book[name] = thing.rule(name)
        elif isinstance(thing, FunctionType) and name[0] != "_":
            if thing.__module__ == module.__name__:
                book[name] = _rule(thing)
            elif (home := thing.__module__.removeprefix("calculators.")) in _SOURCES:
                book |= _with_what_it_follows_from(name, rules(calculator(home)))
    return book


def needs(book: dict[str, Rule]) -> list[str]:
    """What the rules need and none of them makes, in order of first use: the calculator's form."""
    return list(dict.fromkeys(n for rule in book.values() for n in rule.needs if n not in book))


def run(book: dict[str, Rule], known: dict[str, Any]) -> dict[str, Any]:
    """The value of every rule whose needs are known, by name."""
    made: dict[str, Any] = {}
    for name, rule in book.items():
        if all(n in made or n in known for n in rule.needs):
            made[name] = rule(known | made)
    return made


def unit_of(hint: Any) -> str:
    """The unit in an annotation: ``Gallons`` or ``Gallons | Missing``."""
    return next((m for h in (hint, *get_args(hint)) for m in getattr(h, "__metadata__", ())), "")


def _with_what_it_follows_from(name: str, book: dict[str, Rule]) -> dict[str, Rule]:
    wanted = {name}
    for rule in reversed(book.values()):
        wanted |= set(rule.needs) if rule.name in wanted else set()
    return {n: rule for n, rule in book.items() if n in wanted}


@cache
def _formulas(home: str) -> dict[str, ast.expr | None]:
    return {node.name: _printable(node.body[-1]) for node in ast.parse(_SOURCES[home]).body if isinstance(node, ast.FunctionDef)}


def _rule(function: FunctionType) -> Rule:
    hints = dict(function.__annotations__)
    returns = hints.pop("return")
    words = (function.__doc__ or "").splitlines()[0]
    home = function.__module__.rpartition(".")[2]
    return Rule(function.__name__, words, unit_of(returns), hints, returns, function, _columns(returns), home=home)


def _columns(returns: Any) -> dict[str, str]:
    """The units of a row's cells, where a rule returns a list of rows."""
    row = next((a for a in get_args(returns) if isinstance(a, type) and is_dataclass(a)), None)
    return {f.name: unit_of(f.type) for f in fields(row)} if row and row not in (Missing, Caution) else {}


def _printable(body: ast.stmt) -> ast.expr | None:
    """The returned expression, if a reader could follow all of it; else the docstring must do."""
    value = body.value if isinstance(body, ast.Return) else None
    return value if value and all(isinstance(n, _PRINTABLE) and not _hidden(n) for n in ast.walk(value)) else None


def _hidden(node: ast.AST) -> bool:
    """A call of a private helper, or of something by unpacking: a reader can't see into it."""
    if isinstance(node, ast.Call):
        return not isinstance(node.func, ast.Name) or node.func.id.startswith("_")
    return isinstance(node, ast.keyword) and node.arg is None
