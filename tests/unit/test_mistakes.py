"""What whoever adds to the guide may write wrong is told when it is loaded: one sentence with file, name and what would do."""

from types import ModuleType
from typing import Any

import pytest

from calculators.engine.figures import FIGURES, Figure, _look_for_the_named, checked
from calculators.engine.mistakes import Mistake, meant
from calculators.engine.rules import rules

TOY = '''"""How far on what is left?"""

from calculators import one_job
from calculators.engine.figures import Missing
from calculators.engine.rules import Each
from calculators.engine.units import Gallons, Miles, MilesPerGallon, Pounds

HEADLINE = ("range",)
ASKS = ("fuel_in_tank", "fuel_economy")


def range(fuel_in_tank: Gallons, fuel_economy: MilesPerGallon) -> Miles:
    """Fuel times economy."""
    return fuel_in_tank * fuel_economy


def answer(range: Miles) -> str:
    """The sentence that says what to do."""
    return "Fill up within {range}."
'''


def load(source: str) -> None:
    toy = ModuleType("calculators.toy")
    exec(compile(source, "toy.py", "exec"), vars(toy))
    rules(toy)


def test_what_is_right_is_loaded() -> None:
    load(TOY)


@pytest.mark.parametrize(("right", "wrong", "said"), [
    ("answer(range: Miles)", "answer(rangee: Miles)",
     "answer needs rangee, which no rule makes and figures.toml does not hold; did you mean range"),
    ("fuel_in_tank: Gallons", "fuel_in_tnak: Gallons",
     "range needs fuel_in_tnak, which no rule makes and figures.toml does not hold; did you mean fuel_in_tank"),
    ("range: Miles", "zzzz: Miles", "answer needs zzzz, which no rule makes and figures.toml does not hold; add it to either"),
    ("fuel_in_tank: Gallons", "fuel_in_tank: Pounds",
     "range takes fuel_in_tank in lb, but it comes in gal; annotate it with the type of that in units.py"),
    ("answer(range: Miles)", "answer(range: Gallons)",
     "answer takes range in gal, but it comes in mi; annotate it with the type of that in units.py"),
    ("fuel_in_tank: Gallons", "fuel_in_tank: float",
     "range takes fuel_in_tank without a unit, but it comes in gal; annotate it with the type of that in units.py"),
    ("{range}", "{rnage}", "answer says {rnage}, which no rule here makes or needs; did you mean range"),
    ('return "Fill up within {range}."', 'return _SAYS["soon"]\n\n\n_SAYS = {"soon": "Fill up within {rnage}."}',
     "_SAYS says {rnage}, which no rule here makes or needs; did you mean range"),
    ('return "Fill up within {range}."', 'return _soon(range)\n\n\ndef _soon(range):\n    return "Within {rnage}."',
     "_soon says {rnage}, which no rule here makes or needs; did you mean range"),
    ("{range}", "{fuel_price}", "answer says {fuel_price}, which no rule here makes or needs; write one that is"),
    ('HEADLINE = ("range",)', 'HEADLINE = ("rangee",)', "HEADLINE names rangee, which is no result; did you mean range"),
    ('HEADLINE = ("range",)', 'HEADLINE = ("answer",)', "HEADLINE names answer, which is no result; take it out"),
    ('"fuel_economy")', '"fuel_econmy")', "ASKS names fuel_econmy, which is no need of a rule; did you mean fuel_economy"),
    ("    \"\"\"Fuel times economy.\"\"\"\n", "", "the rule range lacks a docstring: one sentence for the reader"),
    (" -> Miles", "", "the rule range lacks what it returns: -> Gallons"),
    ("fuel_in_tank: Gallons", "fuel_in_tank", "the rule range lacks the unit of fuel_in_tank: fuel_in_tank: Gallons"),
    ("(fuel_in_tank: Gallons, ", "(fuel_in_tank: Gallons, later: Miles, ", "range needs later, which stands below it; move it up"),
    ("def range(", 'jobs = Each(one_job, "jobb", governs="range")\n\n\ndef range(',
     "jobs has a row for each jobb, which is no table; did you mean job"),
])
def test_what_is_wrong_in_a_file_of_rules(right: str, wrong: str, said: str) -> None:
    later = "\n\ndef later(range: Miles) -> Miles:\n    \"\"\"The same.\"\"\"\n    return range\n"
    with pytest.raises(Mistake) as mistake:
        load(TOY.replace(right, wrong, 1) + later)
    assert str(mistake.value) == f"toy.py: {said}"


RIGHT = {"unit": "gal", "kind": "example", "value": 20, "question": "What is in the tank", "group": "Fuel", "low": 0, "high": 100}


@pytest.mark.parametrize(("change", "said"), [
    ({"unit": "gall"}, "has the unit 'gall', which no rule can take; did you mean gal"),
    ({"unit": "furlong"}, "has the unit 'furlong', which no rule can take; add its type to units.py"),
    ({"qestion": "What"}, "has a 'qestion', which no entry has; did you mean question"),
    ({"zzz": 1}, "has a 'zzz', which no entry has; take it out"),
    ({"kind": "handbok"}, "has the kind 'handbok'; write one of standard, handbook, common practice, from memory, example, ours"),
    ({"kind": "standard"}, "has no title and no year and no clause"),
    ({"told_only": True}, "has no tell"),
])
def test_what_is_wrong_in_an_entry_of_the_data_file(change: dict[str, Any], said: str) -> None:
    assert checked("tank", RIGHT).low == 0
    with pytest.raises(Mistake) as mistake:
        checked("tank", RIGHT | change)
    assert str(mistake.value) == f"figures.toml: [tank] {said}"


@pytest.mark.parametrize(("change", "said"), [
    ({"high": "fuel_tank_capcity"}, "has its high by 'fuel_tank_capcity', which is no figure; did you mean fuel_tank_capacity"),
    ({"low": "zzz"}, "has its low by 'zzz', which is no figure; write the name of one"),
    ({"settled": (("plow", False, 0),)}, "has its settled by 'plow', which is no figure; did you mean plows"),
    ({"each": "jobs"}, "is asked for each 'jobs', which is no table; did you mean job"),
])
def test_an_entry_that_names_what_is_not_there(change: dict[str, Any], said: str) -> None:
    entry = Figure("tank", "gal", "example", 20)
    with pytest.raises(Mistake) as mistake:
        _look_for_the_named({**FIGURES, "tank": entry._replace(**change)})
    assert str(mistake.value) == f"figures.toml: [tank] {said}"


def test_a_name_far_from_all_is_no_slip_of_the_pen() -> None:
    assert meant("fuel_price", ["fuel_pric", "other"], "none") == "did you mean fuel_pric"
    assert meant("fuel_price", ["abc", "xyz"], "none") == "none"
