"""Quantiles where they can be had by hand."""

from collections.abc import Callable
from math import log, pi, sqrt, tan

import pytest

from calculators.engine.chance import chi_square, student_t

SHARES = pytest.mark.parametrize("share", [0.01, 0.05, 0.3, 0.5, 0.9, 0.975, 0.9999])


@SHARES
def test_student_t_with_one_degree_is_cauchys(share: float) -> None:
    assert student_t(share, 1) == pytest.approx(tan(pi * (share - 0.5)), rel=1e-9, abs=1e-12)


@SHARES
def test_student_t_with_two_degrees(share: float) -> None:
    """(2p - 1) / sqrt(2p(1 - p))."""
    assert student_t(share, 2) == pytest.approx((2 * share - 1) / sqrt(2 * share * (1 - share)), rel=1e-9, abs=1e-12)


@SHARES
def test_chi_square_with_two_degrees_is_exponential(share: float) -> None:
    assert chi_square(share, 2) == pytest.approx(-2 * log(1 - share), rel=1e-12)


@pytest.mark.parametrize("degrees", [1, 5, 30, 2000, 1e6])
def test_more_is_rarer(degrees: float) -> None:
    for quantile in (student_t, chi_square):
        found = [quantile(share, degrees) for share in (0.001, 0.2, 0.5, 0.8, 0.999)]
        assert found == sorted(set(found))


@pytest.mark.parametrize("quantile", [student_t, chi_square])
@pytest.mark.parametrize("share", [0, 1, 1.02, -0.1])
def test_a_chance_that_is_none_is_refused_and_not_searched_for(quantile: Callable[[float, float], float], share: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        quantile(share, 5)
