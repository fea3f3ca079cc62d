"""What a truck's sheets show that can change because a day has passed, without laying anything out: a night asks this of every truck."""

import calculators
from pieces.numbers import Numbers, Value

STILL: Value = {"value": 0, "phrase": "", "number": "", "unit_short": "", "label": "", "why": ""}


class OfTheDay(Numbers):
    """Only what goes by the day is asked; everything else, and the printed day itself, is the same for every day."""

    whole = False

    def answer(self, calculator: str) -> Value:
        return super().answer(calculator) if calculators.goes_by_day(calculator) else _Still()

    def __getitem__(self, key: str) -> Value:
        calculator, _, rest = key.partition(".")
        if rest and calculator in calculators.NAMES and not calculators.goes_by_day(calculator):
            return STILL
        return super().__getitem__(key)

    def _told(self, key: str) -> Value | None:
        """A fact is of the day where the day's own calculators take it in: a reading, and what follows from it."""
        inputs = self.answer("service_due")["inputs"]
        return STILL if key == "today" else inputs.get(key, STILL)


class _Still(dict[str, Value]):
    """An answer of which nothing is looked at."""

    def __missing__(self, key: str) -> Value:
        return STILL if key != "results" else _Still()
