"""Short ways to ask a calculator, for the tests."""

from importlib import import_module
from types import ModuleType
from typing import Any

import calculators
from calculators.engine.rules import Each

DAY = "2026-11-25"
TRUCKS = calculators.example_trucks()


def ask(name: str, truck: str | dict[str, Any] | None = None, today: str = DAY, **given: object) -> dict[str, Any]:
    """A calculator's answer; a double underscore in a name stands for a dot, ``truck`` may be an example's name, None is untold."""
    as_told = {name: value if value is None or isinstance(value, int | float) else str(value) for name, value in given.items()}
    told = {name.replace("__", "."): value for name, value in as_told.items()}
    return calculators.answer(name, told, calculators.example_truck(truck) if isinstance(truck, str) else truck, today)


def results(name: str, truck: str | dict[str, Any] | None = None, today: str = DAY, **given: object) -> dict[str, Any]:
    """The plain values of a calculator's results."""
    answered = ask(name, truck, today, **given)["results"]
    return {result: told if isinstance(told, list) else told["value"] for result, told in answered.items()}


def values(answered: dict[str, Any]) -> dict[str, Any]:
    """All that an answer's results say, without what they rest on."""
    def plain(value: dict[str, Any]) -> dict[str, Any]:
        return {part: told for part, told in value.items() if part not in ("rests_on", "tell")}
    return {name: [{n: plain(cell) for n, cell in row.items()} for row in told] if isinstance(told, list) else plain(told)
            for name, told in answered["results"].items()}


def faults(name: str, truck: dict[str, Any] | None = None, today: str = DAY, **given: object) -> dict[str, str]:
    """What would do, by field, of everything a calculator refuses; empty if it answers."""
    try:
        ask(name, truck, today, **given)
    except calculators.Refused as refused:
        return {fault.field: fault.do for fault in refused.faults}
    return {}


def job(key: str, truck: str | dict[str, Any] | None = None, today: str = DAY, **given: object) -> dict[str, Any]:
    """One job's plain values of service_due."""
    rows = ask("service_due", truck, today, **given)["results"]["jobs"]
    return next({name: cell["value"] for name, cell in row.items()} for row in rows if row["job"]["value"] == key)


def module(name: str) -> ModuleType:
    """The file of rules by that name."""
    return import_module(f"calculators.{name}")


def row_modules() -> dict[str, ModuleType]:
    """The files of rules that are run once a row, by the name of the calculator whose list they make."""
    return {name: thing.row for name in calculators.NAMES for thing in vars(module(name)).values() if isinstance(thing, Each)}
