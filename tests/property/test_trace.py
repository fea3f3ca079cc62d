"""Two passes over the rules, one for the values and one for what they rest on: they agree, whatever is told."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import calculators
from calculators import Refused
from calculators.engine.answer import compute
from calculators.engine.figures import figure, keys, per_row
from calculators.engine.rules import Book, Guess, run
from calculators.engine.trace import Names, names_of, plain_of, trace
from tests.property.inputs import told
from tests.unit.ask import DAY, TRUCKS

EVERY = pytest.mark.parametrize("name", calculators.NAMES)
TOLD_TRUCKS = st.sampled_from([None, *map(calculators.example_truck, TRUCKS), calculators.example_truck("juniper") | {"facts": {}}])


def all_named(needs: Any) -> dict[str, Names]:
    """Every input rests on itself."""
    return {key: frozenset([key]) for need in needs if (entry := figure(need)) and entry.question for key in keys(need).values()}


def flat(value: Any) -> Any:
    """A value of either pass without names; rows as their cells."""
    plain = plain_of(value)
    if isinstance(plain, list):
        return [flat(one) for one in plain]
    if isinstance(plain, dict):
        return {name: flat(cell) for name, cell in plain.items()}
    return tuple(map(flat, plain)) if isinstance(plain, tuple) else plain


def guessed_from(book: Book) -> set[str]:
    """What guesses are made of, from which measurements start."""
    found: set[str] = set()
    for rule in reversed(book.values()):
        if rule.makes(Guess) or rule.name in found:
            found |= rule.needs.keys()
    return found


@EVERY
@given(data=st.data(), truck=TOLD_TRUCKS)
def test_both_passes_give_equal_values(name: str, data: st.DataObject, truck: Any) -> None:
    try:
        made = compute(name, data.draw(told(name)), truck, DAY)
    except Refused:
        return
    seen = trace(made.book, made.got.known, all_named(made.got.known))
    assert {rule: flat(seen[rule]) for rule in made.book} == {rule: flat(made.known[rule]) for rule in made.book}


@EVERY
@given(data=st.data())
def test_what_took_no_part_moves_nothing(name: str, data: st.DataObject) -> None:
    """Run again with another value of one input: a rule that does not rest on it makes what it made."""
    typed = data.draw(told(name))
    try:
        made = compute(name, typed, None, DAY)
    except Refused:
        return
    seen = trace(made.book, made.got.known, all_named(made.got.known))
    guessed = guessed_from(made.book)
    fields = {key: need for need in made.got.known if (entry := figure(need)) and entry.question for key in keys(need).values()}
    for key, text in data.draw(told(name, most=2)).items():
        if (need := fields.get(key)) is None or need in guessed:  # it follows from others; or measurements start from it, and forget it
            continue
        read = figure(need).read(text)  # type: ignore[union-attr]
        moved = {**made.got.known[need], key.split(".")[1]: read} if per_row(need) else read
        try:
            again = run(made.book, {**made.got.known, need: moved})
        except (ArithmeticError, ValueError):  # such a value is refused before any rule sees it
            continue
        for rule in again:
            if key not in names_of(seen[rule]) and not isinstance(plain_of(seen[rule]), list):
                assert again[rule] == made.known[rule], (rule, key)
