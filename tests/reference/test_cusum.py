"""The detector's sum against two publications."""

from math import inf
from random import Random

import pytest

from calculators.engine.learner import DOWN, UP, Sum, Watch, guess

# NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3: target 325, k 0.3175, h 4.1959
SERIES = [324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600, 324.625, 325.150, 328.325, 327.250,
          327.825, 328.500, 326.675, 327.775, 326.875, 328.350]
FIT = guess((1.0,), (1.0,), 1.0, 1)


def watch(band: float, limit: float) -> Watch:
    return Watch(band, limit, clip=inf, lag=0, silent=0, least_noise=0, most_noise=inf, gate=inf, gate_noises=0, run=1)


def test_the_handbooks_series() -> None:
    """S_hi is 3.0075 at 13, 4.94 at 14, which is the first alarm, and 19.035 at the end."""
    high, alarmed = Sum(UP, watch(0.3175, inf)), Sum(UP, watch(0.3175, 4.1959))
    sums = []
    for place, value in enumerate(SERIES, 1):
        high.add(place, value - 325, 1.0, FIT)
        alarmed.add(place, value - 325, 1.0, FIT)
        sums.append(high.sum)
    assert sums[12:14] == pytest.approx([3.0075, 4.94])
    assert sums[-1] == pytest.approx(19.035)
    assert [(alarm.since, alarm.noticed) for alarm in alarmed.found] == [(13, 14)]


def run_length(chance: Random, limit: float, shift: float) -> int:
    sums, place = [Sum(side, watch(0.5, limit)) for side in (UP, DOWN)], 0
    while not any(one.found for one in sums):
        place += 1
        value = chance.gauss(shift, 1)
        for one in sums:
            one.add(place, value, 1.0, FIT)
    return place


# Montgomery and Runger, Applied Statistics and Probability for Engineers, table 16-9; k 0.5, both sides
@pytest.mark.parametrize(("limit", "shift", "length"), [
    (4, 0, 168), (4, 0.5, 26.6), (4, 1, 8.38), (4, 1.5, 4.75), (4, 2, 3.34), (4, 3, 2.19),
    (5, 0.5, 38.0), (5, 1, 10.4), (5, 1.5, 5.75), (5, 2, 4.01), (5, 3, 2.57),
])
def test_run_lengths(limit: float, shift: float, length: float) -> None:
    chance = Random(f"{limit} {shift}")
    runs = 1200 if shift < 1 else 4000
    lengths = [run_length(chance, limit, shift) for _ in range(runs)]
    assert sum(lengths) / runs == pytest.approx(length, rel=0.09 if shift < 1 else 0.03)
