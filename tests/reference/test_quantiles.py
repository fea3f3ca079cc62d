"""Student's t and chi-square against scipy, from two degrees of freedom to a lifetime of tanks."""

import pytest
from scipy import stats

from calculators.engine.chance import chi_square, student_t

SHARES = (0.0001, 0.025, 0.05, 0.3, 0.5, 0.9, 0.95, 0.975, 0.995)
DEGREES = (0.5, 1, 2, 3, 6, 7.5, 11, 30, 166, 2006, 1e5)


@pytest.mark.parametrize("degrees", DEGREES)
def test_student_t(degrees: float) -> None:
    for share in SHARES:
        assert student_t(share, degrees) == pytest.approx(stats.t.ppf(share, degrees), rel=1e-8, abs=1e-12)


@pytest.mark.parametrize("degrees", DEGREES)
def test_chi_square(degrees: float) -> None:
    for share in SHARES:
        assert chi_square(share, degrees) == pytest.approx(stats.chi2.ppf(share, degrees), rel=1e-8)
