"""The fit and the detector, by hand sums; what books look like is tested with the channels."""

from math import inf, log, sqrt

import pytest

from calculators.engine.chance import student_t
from calculators.engine.learner import (
    DOWN,
    UP,
    Followed,
    Seen,
    Watch,
    follow,
    guess,
    learned,
    learned_together,
    rate_interval,
    ratio_interval,
)

PLAIN = Watch(band=0.05, limit=3.5, clip=2.5, lag=3, silent=8, least_noise=0.025, most_noise=0.5, gate=0.35, gate_noises=1, run=3)
START = guess((0.1,), (0.025,), 0.05, 6)
QUIET = guess((0.1,), (0.025,), 0.005, 6)  # so little noise that the least stands for it


def same(times: int, amount: float = 10.0) -> list[Seen]:
    """So many tanks of 100 miles."""
    return [Seen((100.0,), amount)] * times


def followed(seen: list[Seen], sides: tuple[int, ...] = (UP,), **changed: float) -> Followed:
    return follow(seen, START, PLAIN._replace(**changed), sides)


def test_a_guess_is_as_good_as_its_spread() -> None:
    """A tenth of a gallon a mile, within a quarter: t with 6 degrees of freedom, 1.943 at 95 %."""
    assert START.interval(0, 0.9) == pytest.approx((0.1 - 1.943 * 0.025, 0.1 + 1.943 * 0.025), rel=1e-3)
    assert (START.noise, START.degrees, START.expects((100.0,))) == (pytest.approx(0.05), 6, 10)


def test_one_measurement_by_hand() -> None:
    """Guess 1 with a weight of (0.1/0.5)^2 = 0.04, then 1.2 with a weight of 1: (0.04 + 1.2)/1.04; the rest is noise."""
    fit = learned(guess((1.0,), (0.5,), 0.1, 6), Seen((1.0,), 1.2))
    assert fit.rates[0] == pytest.approx(1.24 / 1.04)
    unexplained = 0.04 + 1.44 - 1.24**2 / 1.04
    assert fit.noise == pytest.approx(sqrt((6 * 0.01 + unexplained) / 7))
    assert fit.open_noise == pytest.approx(fit.noise), "nothing was held to the clip"
    half = student_t(0.95, 7) * fit.noise / sqrt(1.04)
    assert fit.interval(0, 0.9) == pytest.approx((1.24 / 1.04 - half, 1.24 / 1.04 + half))


def test_a_large_tank_weighs_no_more_than_a_small_one() -> None:
    """Noise goes with the amount: 1.1 of 1 and 90 of 100 are off alike, so they cancel."""
    fit = guess((1.0,), (1e3,), 0.1, 6)
    for causes, amount in ((1.0, 1.1), (100.0, 90.0)):
        fit = learned(fit, Seen((causes,), amount), around=guess((1.0,), (1e3,), 0.1, 6))
    assert fit.rates[0] == pytest.approx(1.0)


def test_an_average_of_four_weighs_as_four() -> None:
    around = guess((1.0,), (1e3,), 0.1, 6)
    fit = learned(learned(around, Seen((1.0,), 1.5, 0.5), around=around), Seen((1.0,), 1.0), around=around)
    assert fit.rates[0] == pytest.approx((4 * 1.5 + 1.0) / 5, rel=1e-6)


def test_two_rates_are_told_apart() -> None:
    """15 miles a gallon and 0.6 gallons an hour, without noise; the guess was far off."""
    seen = [Seen((miles, hours), miles / 15 + 0.6 * hours) for miles, hours in ((300, 5), (200, 20), (400, 1), (100, 30), (250, 12)) * 8]
    fit = follow(seen, guess((1 / 10, 1.0), (0.025, 0.5), 0.05, 6), PLAIN, (UP,)).fit
    assert 1 / fit.rates[0] == pytest.approx(15, rel=0.01)
    assert fit.rates[1] == pytest.approx(0.6, rel=0.02)


def test_no_rate_is_below_zero() -> None:
    """Tanks that idled more took less: idling is held at nothing, and the miles explain what they can."""
    seen = [Seen((200.0, hours), 20 - hours / 4) for hours in (0.0, 10.0, 20.0, 30.0)]
    fit = learned_together(seen, guess((0.1, 0.5), (1.0, 5.0), 0.05, 6), inf)
    assert fit.rates[1] == 0 < fit.rates[0]
    assert fit.rates[0] == pytest.approx(sum(one.amount for one in seen) / 800, rel=0.05)
    assert fit.interval(1, 0.9)[0] == 0


def test_what_is_far_off_is_held_to_the_clip() -> None:
    fit = follow(same(20), START, PLAIN, ()).fit
    held, far = (learned(fit, Seen((100.0,), amount), 2.5) for amount in (10 * (1 + 2.5 * fit.noise), 13.0))
    assert far.rates == pytest.approx(held.rates)
    assert far.open_noise > held.open_noise, "an interval does not forget it"


def test_one_bad_fill_among_the_first_does_no_more_harm() -> None:
    seen = [*same(3), Seen((100.0,), 13.0), *same(3)]
    plain = START
    for one in seen:
        plain = learned(plain, one)
    assert 0.1 < learned_together(seen, START, 2.5).rates[0] < plain.rates[0]


def test_beyond_the_gate_it_is_left_out() -> None:
    found = followed([*same(10), Seen((100.0,), 13.6), Seen((100.0,), 13.4), *same(2), Seen((100.0,), 6.4)])
    assert [point.counted for point in found.points[10:]] == [False, True, True, True, False]


def test_the_gate_is_wider_where_the_noise_is() -> None:
    seen = [*same(4), *same(4, 12.0), Seen((100.0,), 15.5)]
    assert not followed(seen).points[-1].counted
    assert followed(seen, gate_noises=9).points[-1].counted


def test_a_guess_far_off_shuts_nothing_out() -> None:
    """The first are compared with each other, not with what was told."""
    found = followed(same(12, 20.0))
    assert all(point.counted for point in found.points)
    assert 1 / found.fit.rates[0] == pytest.approx(5, rel=0.1)


def test_three_in_a_row_are_no_slip() -> None:
    found = followed([*same(12), *same(6, 15.0)])
    assert [point.counted for point in found.points[12:]] == [False, False, True, True, True, True]
    assert [alarm.since for alarm in found.alarms] == [14]
    assert not any(point.counted for point in followed([*same(12), *same(2, 15.0)]).points[12:])


def test_a_tank_not_full_and_the_next_count_as_one() -> None:
    short = followed([*same(10), Seen((100.0,), 7.0), Seen((100.0,), 13.6), *same(1)])
    assert [(point.counted, point.joined) for point in short.points[9:]] == [(True, False), (False, True), (False, True), (True, False)]
    assert short.fit.seen == 12
    assert short.fit.rates[0] == pytest.approx(followed(same(13)).fit.rates[0], rel=0.005)


def test_two_that_do_not_make_up_for_each_other_are_not_joined() -> None:
    found = followed([*same(10), Seen((100.0,), 5.0), Seen((100.0,), 20.0)])
    assert not any(point.joined for point in found.points)
    near = followed([*same(10), Seen((100.0,), 9.0), Seen((100.0,), 13.6)])
    assert not any(point.joined for point in near.points), "a little short is no tank left open"


def test_also_among_the_first() -> None:
    found = followed([*same(3), Seen((100.0,), 6.0), Seen((100.0,), 14.0), *same(5)])
    assert [point.joined for point in found.points[:6]] == [False, False, False, True, True, False]
    assert found.fit.seen == 9
    assert found.fit.rates[0] == pytest.approx(0.1, rel=1e-3)


def test_an_alarm_by_hand() -> None:
    """After 20 tanks without noise it is the least, 2.5 %. 10 % more is 3.8 of it, counts as 2.5, less the band's 2: half a step a tank.
    So the sum passes 3.5 at the eighth, and says since the first."""
    found = follow([*same(20), *same(10, 11.0)], QUIET, PLAIN, (UP,))
    assert [(alarm.side, alarm.since, alarm.noticed, alarm.stands) for alarm in found.alarms] == [(UP, 20, 27, True)]
    assert found.alarms[0].change == pytest.approx(0.1, rel=0.02)


@pytest.mark.parametrize(("changed", "noticed"), [
    ({"limit": 2.9}, 25), ({"band": 0.0375}, 23), ({"clip": 3.0}, 23), ({"least_noise": 0.04}, 23),
    ({"band": 0.1}, None), ({"limit": 6}, None),
])
def test_each_setting_does_its_part(changed: dict[str, float], noticed: int | None) -> None:
    """By hand as above: a step is min(ln 1.1/noise, clip) less band/noise, the noise 2.5 % or the least."""
    found = follow([*same(20), *same(10, 11.0)], QUIET, PLAIN._replace(**changed), (UP,))
    assert [alarm.noticed for alarm in found.alarms] == ([noticed] if noticed else [])
    settings = PLAIN._replace(**changed)
    step = min(log(1.1) / settings.least_noise, settings.clip) - settings.band / settings.least_noise
    assert noticed is None or (noticed - 19) * step > settings.limit >= (noticed - 20) * step


def test_the_first_are_only_learned() -> None:
    """From the ninth on a jump may count; one that is there from the fourth on is the truck as it is."""
    assert followed([*same(8), *same(20, 11.5)], clip=9).alarms[0].since == 8
    assert followed([*same(3), *same(20, 11.5)]).alarms == ()


def test_the_prediction_is_three_late() -> None:
    found = followed([*same(12), *same(4, 11.0)])
    assert found.points[12].expected == pytest.approx(found.points[11].expected)
    assert found.points[15].expected == pytest.approx(10, rel=1e-6), "it does not know the last three"
    now = followed([*same(12), *same(4, 11.0)], lag=0)
    assert now.points[15].expected > 10.05


def test_only_the_side_that_harms_is_watched() -> None:
    less = [*same(20), *same(10, 9.0)]
    assert followed(less).alarms == ()
    assert [alarm.side for alarm in followed(less, (UP, DOWN)).alarms] == [DOWN]
    assert followed(less, (DOWN,)).alarms[0].change == pytest.approx(-0.1, rel=0.02)


def test_an_alarm_is_raised_once_and_ends_when_all_is_as_before() -> None:
    lasting = followed([*same(20), *same(30, 11.0)])
    assert len(lasting.alarms) == 1 and lasting.alarms[0].stands
    mended = followed([*same(20), *same(10, 11.0), *same(10)])
    assert [alarm.stands for alarm in mended.alarms] == [False]
    again = followed([*same(20), *same(10, 11.0), *same(10), *same(12, 11.5)])
    assert [alarm.stands for alarm in again.alarms] == [False, True]


def test_an_alarm_says_how_far_it_went_until_it_ended() -> None:
    """Noticed at the eighth of 10 % more, it goes on to 20 %. As before again, each tank speaks by the band's 2 against it and a little
    by what was learned meanwhile: past 3.5 at the second. So eight at 11, eight at 12 and one at 10 count."""
    found = follow([*same(20), *same(8, 11.0), *same(8, 12.0), *same(10)], QUIET, PLAIN, (UP,))
    assert [(alarm.noticed, alarm.stands) for alarm in found.alarms] == [(27, False)]
    assert found.alarms[0].change == pytest.approx((8 * 11 + 8 * 12 + 10) / 170 - 1)


def test_what_is_too_irregular_is_not_judged() -> None:
    wild = [Seen((1.0,), amount) for amount in (20.0, 300.0, 50.0, 700.0) * 4] + [Seen((1.0,), 30.0)] * 20
    start = guess((200.0,), (600.0,), 0.4, 4)
    judged = PLAIN._replace(gate=9, band=0.35, limit=1.0)
    assert follow(wild, start, judged._replace(most_noise=9), (DOWN,)).alarms
    assert follow(wild, start, judged._replace(most_noise=0.6), (DOWN,)).alarms == ()


def test_nothing_seen_says_nothing() -> None:
    found = followed([])
    assert (found.fit, found.points, found.alarms) == (START, (), ())


def test_a_cause_of_nothing_is_left_out() -> None:
    found = followed([Seen((0.0,), 5.0), *same(3)])
    assert [point.counted for point in found.points] == [False, True, True, True]


def test_an_interval_of_sums_over_sums() -> None:
    """9, 10, 11 for 10 each: 1 on average, standard deviation 0.1, t with 2 degrees at 95 % 2.92."""
    low, high = ratio_interval([10, 10, 10], [9, 10, 11], 0.9)
    assert (low, high) == pytest.approx((1 - 2.92 * 0.1 / sqrt(3), 1 + 2.92 * 0.1 / sqrt(3)), rel=1e-3)


def test_gaps_alike_are_known_better_than_chance() -> None:
    by_chance, alike = rate_interval(20, 6000, 0.9), rate_interval(20, 6000, 0.9, 6.25)
    assert by_chance[0] < alike[0] < 300 < alike[1] < by_chance[1]
    assert alike[1] / alike[0] == pytest.approx(1.35, abs=0.03)  # about 1.645 x 0.4/sqrt(20) each way
