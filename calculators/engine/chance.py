"""Quantiles of Student's t and of chi-square, for intervals; plain Python, since the browser's has no scipy."""

from collections.abc import Callable
from functools import cache
from math import exp, lgamma, log, sqrt
from statistics import NormalDist

_ENOUGH = 1e-14  # where a sum or a search stops
_TINY = 1e-300  # stands for nothing where nothing would be divided by


@cache
def student_t(share: float, degrees: float) -> float:
    """The value that Student's t with ``degrees`` of freedom stays below with the chance ``share``, which lies between 0 and 1."""
    _look_at(share)
    if share < 0.5:
        return -student_t(1 - share, degrees)
    return _search(lambda t: 1 - _beta_below(degrees / (degrees + t * t), degrees / 2, 0.5) / 2, share, 0.0, 1.0)


@cache
def chi_square(share: float, degrees: float) -> float:
    """The value that chi-square with ``degrees`` of freedom stays below with the chance ``share``, which lies between 0 and 1."""
    _look_at(share)
    spread = 2 / (9 * degrees)
    guess = degrees * max(1 - spread + NormalDist().inv_cdf(share) * sqrt(spread), 0.0) ** 3  # Wilson and Hilferty, to begin near
    return _search(lambda value: _gamma_below(value / 2, degrees / 2), share, 0.0, 2 * guess + 1)


def _look_at(share: float) -> None:
    if not 0 < share < 1:  # the search for it would never end
        raise ValueError(f"a chance lies between 0 and 1, not at {share}")


def _search(below: Callable[[float], float], share: float, low: float, high: float) -> float:
    """Where a growing chance reaches ``share``: by doubling, then by halving."""
    while below(high) < share:
        low, high = high, 2 * high
    while high - low > _ENOUGH * high and low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if below(middle) < share else (low, middle)
    return high


def _gamma_below(x: float, a: float) -> float:
    """The regularized lower incomplete gamma function, as a series."""
    if x <= 0:
        return 0.0
    if x > a + 1:
        return 1 - _gamma_above(x, a)
    term = total = 1 / a
    n = a
    while term > total * _ENOUGH:
        n += 1
        term *= x / n
        total += term
    return total * exp(a * log(x) - x - lgamma(a))


def _gamma_above(x: float, a: float) -> float:
    """Its upper half, as a continued fraction."""
    b = x + 1 - a
    return exp(a * log(x) - x - lgamma(a)) / _fraction(b, lambda n: -n * (n - a), lambda n: b + 2 * n)


def _beta_below(x: float, a: float, b: float) -> float:
    """The regularized incomplete beta function, as a continued fraction where that is quick."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - _beta_below(1 - x, b, a)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log(1 - x)) / a

    def above(n: int) -> float:
        m = n // 2
        return (m * (b - m) * x / ((a + n - 1) * (a + n)) if n % 2 == 0 else -(a + m) * (a + b + m) * x / ((a + n - 1) * (a + n)))

    return front / _fraction(1.0, above, lambda n: 1.0)


def _fraction(first: float, above: Callable[[int], float], below: Callable[[int], float]) -> float:
    """first + above(1)/(below(1) + above(2)/(below(2) + …)), by Lentz's way."""
    value = c = first or _TINY
    d, step, n = 0.0, 0.0, 0
    while abs(step - 1) > _ENOUGH:
        n += 1
        d = 1 / (below(n) + above(n) * d or _TINY)
        c = below(n) + above(n) / c or _TINY
        step = c * d
        value *= step
    return value
