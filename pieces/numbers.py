"""Any number a sheet or a page shows, by the key that names it everywhere (`idle_bill.cost_per_year`)."""

from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import Any

import calculators
from calculators.engine.truck import is_example

type Value = Mapping[str, Any]  # one number with its words, or a whole answer: the contract's JSON
type Row = Mapping[str, Value]

NOT_TOLD: Value = {"value": None, "phrase": ""}


class UnknownNumber(KeyError):
    """No calculator and no fact goes by this key."""

    def __str__(self) -> str:
        return f"no number is named {self.args[0]!r}"


class Numbers:
    """What the calculators say about one truck on one day; each calculator answers once.

    What rests on the example alone is for an own truck a blank to write in, not the example's number, or what it is never less than.
    """

    whole = True  # with its working, and with what moves it

    def __init__(self, truck: Mapping[str, Any] | None = None, today: str | None = None) -> None:
        self._truck, self._today = truck, today
        self._answers: dict[str, Value] = {}

    def answer(self, calculator: str) -> Value:
        """A calculator's answer, with words."""
        if calculator not in self._answers:
            self._answers[calculator] = calculators.with_words(
                calculators.answer(calculator, truck=self._truck, today=self._today, working=self.whole, assumed=self.whole)
            )
        return self._answers[calculator]

    def __getitem__(self, key: str) -> Value:
        calculator, _, rest = key.partition(".")
        found: object
        if not rest:
            found = self._told(key)
        elif calculator in calculators.NAMES and rest == "answer":
            found = _sentence(self.answer(calculator))
        elif calculator in calculators.NAMES:
            found = _inside(self.answer(calculator)["results"], rest.split("."))
        else:
            found = None
        if not (isinstance(found, dict) and "phrase" in found):
            raise UnknownNumber(key)
        return found.get("least", NOT_TOLD) if self.is_own and "example" in (found.get("rests_on"), found.get("from")) else found

    def _told(self, key: str) -> Value | None:
        """A fact as told, or the example's."""
        return self._facts.get(key)

    @cached_property
    def is_own(self) -> bool:
        """Whether it is a truck of somebody’s own, and no example."""
        return self._truck is not None and not is_example(self._truck)

    @cached_property
    def _facts(self) -> Mapping[str, Value]:
        return calculators.facts(truck=self._truck, today=self._today)


def _sentence(answer: Value) -> Value:
    """What to do, as the calculator says it."""
    return {"value": answer["answer"], "phrase": answer["answer"], "rests_on": answer.get("answer_rests_on")}


def _inside(results: Mapping[str, Any], path: Sequence[str]) -> Any:
    """Follow a path; a row of a list goes by its first cell (a job) or by its position."""
    found: Any = results
    for step in path:
        if isinstance(found, list):
            found = _row(found, step)
        else:
            found = found.get(step) if isinstance(found, dict) else None
    return found


def _row(rows: Sequence[Row], step: str) -> Row | None:
    if step.isdigit():
        return rows[int(step)] if int(step) < len(rows) else None
    return next((row for row in rows if next(iter(row.values()))["value"] == step), None)
