"""Questions, bounds, answers and sources are those that were kept; `python -m tests.unit.keep` renews them."""

import pytest

import calculators
from tests.unit import keep
from tests.unit.ask import TRUCKS

RENEW = "if this change was meant: python -m tests.unit.keep"


def old(file: str) -> str:
    path = keep.FOLDER / file
    assert path.exists(), f"{file} was never kept; {RENEW}"
    return path.read_text("utf-8")


@pytest.mark.parametrize("truck", TRUCKS)
@pytest.mark.parametrize("name", calculators.NAMES)
def test_an_answer_is_as_it_was_kept(name: str, truck: str) -> None:
    assert keep.answered(name, truck) == old(f"{name}.{truck}.json"), RENEW


@pytest.mark.parametrize("name", calculators.NAMES)
def test_what_is_asked_is_as_it_was_kept(name: str) -> None:
    assert keep.helped(name) == old(f"{name}.help.txt"), RENEW


def test_nothing_is_kept_of_what_is_no_more() -> None:
    files = {f"{name}.help.txt" for name in calculators.NAMES}
    files |= {f"{name}.{truck}.json" for name in calculators.NAMES for truck in TRUCKS}
    assert {path.name for path in keep.FOLDER.iterdir()} == files
