"""Questions, bounds, answers and sources are those that were kept; `python -m tests.unit.keep` renews them."""

import pytest

import calculators
from tests.unit import keep
from tests.unit.ask import TRUCKS

RENEW = "if this change was meant: python -m tests.unit.keep"
KEPT = [name for name in calculators.NAMES if (keep.FOLDER / f"{name}.help.txt").exists()]


def old(file: str) -> str:
    return (keep.FOLDER / file).read_text("utf-8")


@pytest.mark.parametrize("truck", TRUCKS)
@pytest.mark.parametrize("name", KEPT)
def test_an_answer_is_as_it_was_kept(name: str, truck: str) -> None:
    assert keep.answered(name, truck) == old(f"{name}.{truck}.json"), RENEW


@pytest.mark.parametrize("name", KEPT)
def test_what_is_asked_is_as_it_was_kept(name: str) -> None:
    assert keep.helped(name) == old(f"{name}.help.txt"), RENEW


def test_nothing_is_kept_of_what_is_no_more() -> None:
    files = {f"{name}.help.txt" for name in KEPT} | {f"{name}.{truck}.json" for name in KEPT for truck in TRUCKS}
    assert {path.name for path in keep.FOLDER.iterdir()} == files


@pytest.mark.audit
def test_every_calculator_is_kept() -> None:
    assert list(calculators.NAMES) == KEPT, RENEW
