"""A calculator's rules, run in file order.

A rule is a public function of a calculator's module. Its parameters name figures, tables or
earlier rules; its annotations are units; its docstring's first line is its words.
"""

import ast
from collections.abc import Callable, Mapping
from functools import cache, cached_property
from importlib import import_module
from math import isfinite
from pathlib import Path
from types import FunctionType, MappingProxyType, ModuleType
from typing import Annotated, Any, NamedTuple, get_args

from calculators.engine.figures import IS_ASSUMED, IS_TOLD, TABLES, Figure, Missing, figure, per_row
from calculators.engine.look_over import look_over
from calculators.engine.mistakes import Mistake
from calculators.engine.units import unit_of

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")  # the four signal words, gravest first
SHARED = "week"  # the file of rules for facts that follow from others
Check = Annotated[bool, "check"]  # such a rule must hold between inputs; its docstring says what would do

_PACKAGE = Path(__file__).parent.parent
_SOURCES = {path.stem: path.read_text("utf-8") for path in sorted(_PACKAGE.glob("*.py")) if path.stem[0] != "_"}
NAMES = tuple(name for name, source in _SOURCES.items() if "\ndef answer(" in source)

# What a reader could follow on a line; a rule whose expression holds anything else prints no formula.
_PRINTABLE = (ast.BinOp, ast.UnaryOp, ast.BoolOp, ast.Compare, ast.IfExp, ast.Call, ast.Subscript, ast.Name, ast.Constant, ast.keyword,
              ast.operator, ast.unaryop, ast.boolop, ast.cmpop, ast.expr_context)


class Caution(NamedTuple):
    """A hazard beside the answer and what to do about it; both may hold names in braces."""

    signal: str
    hazard: str
    text: str


class Inner:
    """What rules hand to each other and no reader is shown: it has no words, no unit and no JSON."""


class Guess(Inner):
    """What measurements start from: they assume it, and bear no mark of it. The more is measured, the less it weighs."""


class Rule(NamedTuple):
    """One line of the sheet; ``columns`` are the units of a list result's cells."""

    name: str
    words: str
    unit: str
    needs: dict[str, Any]
    returns: Any
    run: Callable[..., Any]
    columns: Mapping[str, str] = MappingProxyType({})
    each: "Each | None" = None
    of: "Of | None" = None
    home: str = ""  # the file it stands in; "" for one that is made

    def __call__(self, known: Mapping[str, Any]) -> Any:
        """The rule's value, or the reason why one of its needs has none."""
        return self.value(known, self.strict)

    def value(self, known: Mapping[str, Any], strict: tuple[str, ...]) -> Any:
        """The same; ``strict``, its strict needs, are looked up once by who runs it often."""
        for need in strict:
            if isinstance(known[need], Missing):
                return known[need]
        value = self.run(**{need: known[need] for need in self.needs})
        return Missing("the numbers run out of range") if isinstance(value, float) and not isfinite(value) else value

    @property
    def strict(self) -> tuple[str, ...]:
        """The needs without whose values it has none; about the others it can say something."""
        return tuple(need for need, hint in self.needs.items() if Missing not in get_args(hint))

    @property
    def formula(self) -> ast.expr | None:
        """Its expression, if a reader could follow all of it; files are parsed only where a formula is shown."""
        return _formulas(self.home).get(self.name) if self.home else None

    def makes(self, kind: type) -> bool:
        """Whether its value is of a class of ours."""
        return isinstance(self.returns, type) and issubclass(self.returns, kind)

    @property
    def shown(self) -> bool:
        """Whether it is a result: not a check, a caution, the sentence, or what rules hand to each other."""
        if self.makes(Inner):
            return False
        return self.unit != "check" and Caution not in get_args(self.returns) and self.returns is not Caution and self.name != "answer"


class Book(dict[str, Rule]):
    """Rules by name, in the order in which they run."""

    @cached_property
    def needs(self) -> tuple[str, ...]:
        """What the rules need and none of them makes, in order of first use: the calculator's form."""
        return tuple(dict.fromkeys(need for rule in self.values() for need in rule.needs if need not in self))

    @cached_property
    def inputs(self) -> dict[str, Figure]:
        """The inputs the rules ask, by need."""
        return {name: entry for name in (*self.needs, *self) if (entry := figure(name)) and entry.question}

    @cached_property
    def units(self) -> dict[str, str]:
        """The unit of every value that the rules need or make."""
        needed = {need: entry.unit for need in self.needs if (entry := figure(need))}
        return needed | {name: rule.unit for name, rule in self.items()}

    @cached_property
    def strict(self) -> dict[str, tuple[str, ...]]:
        """Each rule's strict needs."""
        return {name: rule.strict for name, rule in self.items()}

    @cached_property
    def bounded(self) -> dict[str, Rule]:
        """The rules that may find what was told unfit: checks, and values that have bounds."""
        return {name: rule for name, rule in self.items() if rule.unit == "check" or figure(name)}

    @cached_property
    def binds(self) -> dict[str, list[str]]:
        """The needs whose bounds are another's value, by that other."""
        ends = [(need, {entry.low, entry.high}) for need in self.needs if need not in TABLES and (entry := figure(need))]
        return {other: [need for need, bounds in ends if other in bounds] for other in self.needs}

    @cached_property
    def _paths(self) -> dict[tuple[str, str], tuple[Rule, ...]]:
        return {}

    def between(self, need: str, target: str) -> tuple[Rule, ...]:
        """The rules that a need reaches on the way to ``target`` and to what is checked, in the order in which they run."""
        if (need, target) not in self._paths:
            reached, wanted = {need, f"{need}{IS_TOLD}", f"{need}{IS_ASSUMED}"}, {target, *self.bounded}
            for name, rule in self.items():
                reached |= {name} if reached & rule.needs.keys() else set()
            for name, rule in reversed(self.items()):
                wanted |= set(rule.needs) if name in wanted else set()
            self._paths[need, target] = tuple(rule for name, rule in self.items() if name in reached & wanted)
        return self._paths[need, target]


class Of(NamedTuple):
    """One result of another calculator, as a rule of this one."""

    module: ModuleType
    result: str

    def rule(self, name: str) -> Rule:
        """A rule that needs whatever the other calculator needs."""
        book = rules(self.module)
        hints = {n: Any | Missing for n in book.needs}
        return Rule(name, (self.module.__doc__ or "").splitlines()[0], "", hints, Any, self.run, of=self)

    def run(self, **known: Any) -> Any:
        """That result, for what this calculator knows."""
        return run(followed(self.module, self.result), known)[self.result]


class Each(NamedTuple):
    """A list result: the rules of module ``row`` for each key of a table.

    The working shows one row, the one that rule ``governs`` names.
    """

    row: ModuleType
    table: str
    governs: str
    where: str = ""  # the row's rule that says whether it belongs in the list

    @property
    def book(self) -> Book:
        """The rules of a row."""
        return rules(self.row)

    def rule(self, name: str) -> Rule:
        """The list as one rule that needs what its rows need."""
        hints = {n: Any | Missing for n in self.book.needs if n != self.table}
        words = (self.row.__doc__ or "").splitlines()[0]
        columns = {self.table: "word"} | {n: r.unit for n, r in self.book.items()}
        return Rule(name, words, "", hints, list, self.run, columns, each=self)

    def run(self, **known: Any) -> list[dict[str, Any]]:
        """Every row's results, by name."""
        shared = {n: v for n, v in known.items() if not per_row(n)}
        own = {n: v for n, v in known.items() if n not in shared}
        rows = [{self.table: key} | run(self.book, {**shared, **self.pick(key, own)}) for key in TABLES[self.table]]
        return [row for row in rows if not self.where or row[self.where]]

    def pick(self, key: str, known: dict[str, Any]) -> dict[str, Any]:
        """What one row knows."""
        return {n: v[key] if per_row(n) else v for n, v in known.items()} | {self.table: key}


def calculator(name: str) -> ModuleType:
    """The module of one calculator, or of one of the files its rows and facts stand in."""
    return import_module(f"calculators.{name}")


@cache
def question(name: str) -> str:
    """The question a calculator answers: the first line of its file."""
    return (calculator(name).__doc__ or "").splitlines()[0]


@cache
def rules(module: ModuleType) -> Book:
    """A module's rules in file order; one taken from another file brings the rules it follows from.

    Mistake where what it names isn't there, or is of another unit.
    """
    book, name = _rules(module), module.__name__.rpartition(".")[2]
    look_over(name, vars(module), book, {} if name == SHARED else rules(calculator(SHARED)))
    return book


def _rules(module: ModuleType) -> Book:
    book = Book()
    for name, thing in vars(module).items():
        if isinstance(thing, Each | Of):
            book[name] = thing.rule(name)
        elif isinstance(thing, FunctionType) and name[0] != "_":
            if thing.__module__ == module.__name__:
                book[name] = _rule(thing)
            elif (home := thing.__module__.removeprefix("calculators.")) in _SOURCES:
                book |= followed(calculator(home), name)
    return book


@cache
def followed(module: ModuleType, *names: str) -> Book:
    """Those of a module's rules that the named ones follow from, and these."""
    book = rules(module)
    wanted = set(names)
    for rule in reversed(book.values()):
        wanted |= set(rule.needs) if rule.name in wanted else set()
    return Book({name: rule for name, rule in book.items() if name in wanted})


def run(book: Book, known: dict[str, Any]) -> dict[str, Any]:
    """The value of every rule whose needs are known, by name."""
    made: dict[str, Any] = {}
    all_known = dict(known)
    whole = all(need in known for need in book.needs)
    for name, rule in book.items():
        if whole or rule.needs.keys() <= all_known.keys():
            made[name] = all_known[name] = rule.value(all_known, book.strict[name])
    return made


@cache
def _formulas(home: str) -> dict[str, ast.expr | None]:
    return {node.name: _printable(node.body[-1]) for node in ast.parse(_SOURCES[home]).body if isinstance(node, ast.FunctionDef)}


def _rule(function: FunctionType) -> Rule:
    home = function.__module__.rpartition(".")[2]
    hints = dict(function.__annotations__)
    returns = hints.pop("return", None)
    words = (function.__doc__ or "").strip().partition("\n")[0]
    untyped = [name for name in function.__code__.co_varnames[:function.__code__.co_argcount] if name not in hints]
    for lack in (*([] if words else ["a docstring: one sentence for the reader"]), *([] if returns else ["what it returns: -> Gallons"]),
                 *(f"the unit of {name}: {name}: Gallons" for name in untyped)):
        raise Mistake(f"{home}.py: the rule {function.__name__} lacks {lack}")
    return Rule(function.__name__, words, unit_of(returns), hints, returns, function, _columns(returns), home=home)


def _columns(returns: Any) -> dict[str, str]:
    """The units of a row's cells, where a rule returns a list of rows."""
    row = next((a for a in get_args(returns) if hasattr(a, "_fields") and a not in (Missing, Caution)), None)
    return {name: unit_of(hint) for name, hint in row.__annotations__.items()} if row else {}


def _printable(body: ast.stmt) -> ast.expr | None:
    """The returned expression, if a reader could follow all of it; else the docstring must do."""
    value = body.value if isinstance(body, ast.Return) else None
    return value if value and all(isinstance(n, _PRINTABLE) and not _hidden(n) for n in ast.walk(value)) else None


def _hidden(node: ast.AST) -> bool:
    """A call of a private helper, or of something by unpacking: a reader can't see into it."""
    if isinstance(node, ast.Call):
        return not isinstance(node.func, ast.Name) or node.func.id.startswith("_")
    return isinstance(node, ast.keyword) and node.arg is None
