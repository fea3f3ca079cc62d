"""What repeated measurements say, and when they drift: one fit, one detector, for every channel of a book. Knows nothing of trucks."""

from collections.abc import Sequence
from functools import lru_cache
from math import hypot, inf, log, sqrt, sumprod
from statistics import median
from typing import NamedTuple

from calculators.engine.chance import chi_square, student_t

Row = tuple[float, ...]

UP, DOWN = 1, -1
_REMEMBERED = 8  # channels: those of a truck or two
_ROUNDS = 3  # after which what is held to the noise moves no more than matters
_SHORT, _TOGETHER = 1 / 3, 1 / 2  # of the gate: how far one must fall short, and how near two must come, to count as one


class Seen(NamedTuple):
    """One measurement: what it should follow from, the amount, and its noise against the usual (of an average of four: a half)."""

    causes: Row
    amount: float
    size: float = 1.0


class Watch(NamedTuple):
    """How a channel is learned and watched; shares, not percent."""

    band: float  # what may be more or less without harm
    limit: float  # an alarm is raised where the sum passes it
    clip: float  # no measurement counts for more than this many times the noise
    lag: int  # so many measurements late is the fit that predicts
    silent: int  # so many are learned before the first may count
    least_noise: float
    most_noise: float  # too irregular to judge beyond it
    gate: float  # so far from the prediction a measurement is left out
    gate_noises: float  # or so many times the noise, where that is more
    run: int  # so many in a row on one side are no slip of the pen: they count


class Fit(NamedTuple):
    """Rates by weighted Bayesian least squares: amount = causes by rates, with noise in proportion to the amount."""

    rates: Row
    inverse: tuple[Row, ...]  # of the precision: times the noise squared it is the rates' covariance
    moment: Row
    squares: float
    strays: float  # the same of what was not held to the clip, against what was expected then
    seen: int
    prior_noise: float
    prior_count: float

    @property
    def degrees(self) -> float:
        """Degrees of freedom of the noise."""
        return self.prior_count + self.seen

    @property
    def noise(self) -> float:
        """The noise of one measurement, as a share of it."""
        unexplained = max(self.squares - sumprod(self.rates, self.moment), 0.0)
        return sqrt((self.prior_count * self.prior_noise**2 + unexplained) / self.degrees)

    @property
    def open_noise(self) -> float:
        """The same of what was not held to the clip: for intervals."""
        return sqrt((self.prior_count * self.prior_noise**2 + self.strays) / self.degrees)

    def expects(self, causes: Row) -> float:
        """The amount that follows from the causes."""
        return sumprod(self.rates, causes)

    def spread(self, causes: Row, size: float = 1.0) -> float:
        """How far, as a share, a measurement may lie off what is expected: by its own noise and by that of the rates."""
        amount = self.expects(causes)
        relative = tuple(cause / amount for cause in causes)
        return self.noise * sqrt(size**2 + sumprod(relative, _times(self.inverse, relative)))

    def interval(self, which: int, share: float) -> tuple[float, float]:
        """The ends between which a rate lies with the chance ``share``."""
        half = student_t((1 + share) / 2, self.degrees) * self.open_noise * sqrt(self.inverse[which][which])
        return max(self.rates[which] - half, 0.0), self.rates[which] + half


class Point(NamedTuple):
    """A measurement against what was expected of it then; one that was joined counts together with its neighbor."""

    expected: float
    spread: float
    counted: bool
    joined: bool = False


class Alarm(NamedTuple):
    """A drift: which measurement followed the last calm one, which raised the alarm, how far it went (as a share), whether it lasts."""

    side: int
    since: int
    noticed: int
    change: float
    stands: bool


class Followed(NamedTuple):
    """A channel's measurements, followed one after another."""

    fit: Fit
    points: tuple[Point, ...]
    alarms: tuple[Alarm, ...]


def guess(rates: Row, spreads: Row, noise: float, count: float) -> Fit:
    """A fit that has seen nothing: rates as guessed, each within a spread, noise as if seen in ``count`` measurements."""
    width = [(spread / noise) ** 2 for spread in spreads]
    inverse = tuple(tuple(width[i] if i == j else 0.0 for j in range(len(rates))) for i in range(len(rates)))
    moment = tuple(rate / own for rate, own in zip(rates, width, strict=True))
    return Fit(rates, inverse, moment, sumprod(rates, moment), 0.0, 0, noise, count)


def learned(fit: Fit, seen: Seen, clip: float | None = None, around: Fit | None = None) -> Fit:
    """The fit with one measurement more, held to ``clip`` times the noise around what it or another fit expects."""
    by = around or fit
    weight = by.expects(seen.causes) * seen.size
    if weight <= 0:
        return fit
    causes = tuple([cause / weight for cause in seen.causes])
    amount, middle = seen.amount / weight, 1 / seen.size
    stray = amount - middle
    if clip is not None:
        reach = clip * by.noise
        amount = min(max(amount, middle - reach), middle + reach)
    toward = _times(fit.inverse, causes)  # one measurement changes the inverse by a product (Sherman and Morrison)
    growth = 1 + sumprod(causes, toward)
    inverse = _less(fit.inverse, toward, growth)
    moment = tuple([old + cause * amount for old, cause in zip(fit.moment, causes, strict=True)])
    return Fit(_not_below_zero(_times(inverse, moment), inverse), inverse, moment, fit.squares + amount**2,
               fit.strays + stray**2 / growth, fit.seen + 1, fit.prior_noise, fit.prior_count)


def learned_together(seen: Sequence[Seen], start: Fit, clip: float) -> Fit:
    """The first few at once: each held around what all of them say, so that one bad fill among them does no more harm than a later one."""
    plain = start
    for one in seen:
        plain = learned(plain, one)
    fit = plain
    for _ in range(_ROUNDS):
        around, fit = fit, start
        for one in seen:
            fit = learned(fit, one, clip, around)
    return fit._replace(strays=plain.strays)


def follow(measured: Sequence[Seen], start: Fit, watch: Watch, sides: Sequence[int]) -> Followed:
    """Learn one measurement after another and notice where they leave what was expected, on the sides that harm.

    Remembered: an answer, what it rests on and what its book tells other answers all follow the same.
    """
    return _follow(tuple(measured), start, watch, tuple(sides))


@lru_cache(maxsize=_REMEMBERED)
def _follow(measured: tuple[Seen, ...], start: Fit, watch: Watch, sides: tuple[int, ...]) -> Followed:
    follower = _Follower(measured, start, watch, sides)
    for place in range(len(measured)):
        follower.take(place)
    return Followed(follower.fits[-1], tuple(follower.points), _told(follower.sums, measured, follower.points))


class _Follower:
    """What is known after each measurement."""

    def __init__(self, measured: Sequence[Seen], start: Fit, watch: Watch, sides: Sequence[int]) -> None:
        self.measured, self.start, self.watch = measured, start, watch
        self.fits, self.points, self.opening = [start], list[Point](), list[Seen]()
        self.sums = {side: Sum(side, watch) for side in sides}
        begun = [one.amount / start.expects(one.causes) for one in measured[: watch.silent] if start.expects(one.causes) > 0]
        self.scale = median(begun) if begun else 1.0
        self.off = 0

    @property
    def early(self) -> bool:
        """Whether it still only learns."""
        return len(self.opening) < self.watch.silent

    def take(self, place: int) -> None:
        """Learn from one measurement, or leave it out."""
        one = self.measured[place]
        late = self.start if self.early else self.fits[-1 - self.watch.lag]
        expected = late.expects(one.causes) * (self.scale if self.early else 1)
        if expected <= 0:
            self.points.append(Point(0.0, self.watch.least_noise, False))
            return
        spread = max(late.spread(one.causes, one.size), self.watch.least_noise)
        side = _outside(one.amount / expected, max(self.watch.gate, self.watch.gate_noises * spread))
        self.points.append(Point(expected, spread, self._is_no_slip(side)))
        if side == UP and self._makes_up_for_the_one_before(place):
            self._join(place)
        elif self.points[place].counted:
            self._watch(place, one.amount / expected, spread, late)
            self._learn(one)

    def _is_no_slip(self, side: int) -> bool:
        """Whether it lies within the gate, or as one of many in a row on the same side of it."""
        self.off = self.off + side if side and side * self.off >= 0 else side
        return abs(self.off) not in range(1, self.watch.run)

    def _watch(self, place: int, ratio: float, spread: float, late: Fit) -> None:
        for one_sum in self.sums.values() if not self.early else ():
            one_sum.add(place, log(ratio) if ratio > 0 else -inf, spread, late)

    def _learn(self, one: Seen) -> None:
        if self.early:
            self.opening.append(one)
            self.fits.append(learned_together(self.opening, self.start, self.watch.clip))
        else:
            self.fits.append(learned(self.fits[-1], one, self.watch.clip))

    def _makes_up_for_the_one_before(self, place: int) -> bool:
        """Whether one before was short and both together are as expected: a tank not full, and the next that filled it."""
        if not place or not (before := self.points[place - 1]).expected:
            return False
        both = (self.measured[place - 1].amount + self.measured[place].amount) / (before.expected + self.points[place].expected)
        short = self.measured[place - 1].amount / before.expected
        return short < 1 - self.watch.gate * _SHORT and not _outside(both, self.watch.gate * _TOGETHER)

    def _join(self, place: int) -> None:
        """Learn the two as one, and what was learned of the first by itself not at all."""
        if self.points[place - 1].counted:
            self.fits.pop()
            if len(self.fits) <= self.watch.silent:
                self.opening.pop()
        self.points[place - 1 :] = [point._replace(counted=False, joined=True) for point in self.points[place - 1 :]]
        self.off = 0
        self._learn(_both(self.measured[place - 1], self.measured[place], *(point.expected for point in self.points[place - 1 :])))


class Standing:
    """An alarm while it lasts."""

    def __init__(self, since: int, noticed: int, before: Fit) -> None:
        self.since, self.noticed, self.before = since, noticed, before
        self.calm = 0.0
        self.until: int | None = None


class Sum:
    """What a side's deviations add up to beyond the band."""

    def __init__(self, side: int, watch: Watch) -> None:
        self.side, self.watch = side, watch
        self.sum, self.since = 0.0, 0
        self.before: Fit | None = None
        self.found: list[Standing] = []

    def add(self, place: int, deviation: float, spread: float, fit: Fit) -> None:
        """Take one deviation (a logarithm) in; past the limit an alarm is raised, and lasts until as much speaks against it."""
        if spread > self.watch.most_noise:
            self.sum = 0.0
            return
        step = min(max(self.side * deviation / spread, -self.watch.clip), self.watch.clip)
        band = self.watch.band / spread
        if self.sum == 0:
            self.since, self.before = place, fit
        self.sum = max(0.0, self.sum + step - band)
        lasting = self.found[-1] if self.found and self.found[-1].until is None else None
        if lasting:
            lasting.calm = max(0.0, lasting.calm + band - step)
            if lasting.calm > self.watch.limit:
                lasting.until, self.sum = place, 0.0
        elif self.sum > self.watch.limit:
            self.found.append(Standing(self.since, place, self.before or fit))
            self.sum = 0.0


def _told(sums: dict[int, Sum], measured: Sequence[Seen], points: Sequence[Point]) -> tuple[Alarm, ...]:
    found = []
    for side, one_sum in sums.items():
        for alarmed in one_sum.found:
            reach = range(alarmed.since, len(measured) if alarmed.until is None else alarmed.until)
            taken = [measured[place] for place in reach if points[place].counted] or [measured[alarmed.noticed]]
            change = sum(one.amount for one in taken) / sum(alarmed.before.expects(one.causes) for one in taken) - 1
            found.append(Alarm(side, alarmed.since, alarmed.noticed, change, alarmed.until is None))
    return tuple(sorted(found, key=lambda alarm: alarm.noticed))


def _both(one: Seen, other: Seen, expected: float, more: float) -> Seen:
    """Two measurements as one; the noise of each is its own."""
    causes = tuple([a + b for a, b in zip(one.causes, other.causes, strict=True)])
    return Seen(causes, one.amount + other.amount, hypot(one.size * expected, other.size * more) / (expected + more))


def _outside(ratio: float, gate: float) -> int:
    return UP if ratio > 1 + gate else DOWN if ratio < 1 - gate else 0


def ratio_interval(causes: Sequence[float], amounts: Sequence[float], share: float) -> tuple[float, float]:
    """Between which ends the amount for each of the cause lies, by sums over sums; a mean of ratios would be off and noisier."""
    ratio, many = sum(amounts) / sum(causes), len(causes)
    off = sum((amount - ratio * cause) ** 2 for cause, amount in zip(causes, amounts, strict=True))
    half = student_t((1 + share) / 2, many - 1) * sqrt(off * many / (many - 1)) / sum(causes)
    return max(ratio - half, 0.0), ratio + half


def rate_interval(events: float, amount: float, share: float, regular: float = 1.0) -> tuple[float, float]:
    """Between which ends lies what comes between two events, on average: ``events`` were seen over ``amount``.

    ``regular`` is 1 for events that come by chance (NIST/SEMATECH e-Handbook 8.4.5.1), more where the gaps are alike:
    one over their squared coefficient of variation, the shape of the gamma distribution that has it.
    """
    tail, freedom = (1 - share) / 2, 2 * events * regular
    return 2 * amount * regular / chi_square(1 - tail, freedom + 2), 2 * amount * regular / chi_square(tail, freedom)


def _times(rows: tuple[Row, ...], column: Row) -> Row:
    return tuple([sumprod(row, column) for row in rows])


def _less(rows: tuple[Row, ...], column: Row, by: float) -> tuple[Row, ...]:
    """The rows less the column's product with itself, divided."""
    return tuple(tuple(cell - a * b / by for cell, b in zip(row, column, strict=True)) for row, a in zip(rows, column, strict=True))


def _not_below_zero(rates: Row, inverse: tuple[Row, ...]) -> Row:
    """The best rates of which none is below zero: the lowest is held at zero, and the others follow it."""
    held = min(range(len(rates)), key=rates.__getitem__)
    if rates[held] >= 0:
        return rates
    column = tuple(row[held] for row in inverse)
    others = tuple(rate - cell * rates[held] / column[held] for rate, cell in zip(rates, column, strict=True))
    return _not_below_zero(tuple(0.0 if i == held else rate for i, rate in enumerate(others)), _less(inverse, column, column[held]))
