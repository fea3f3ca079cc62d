"""The clocks of the engine oil: how many changes a year brings, the same that the service dates go by."""

from calculators.engine.figures import Missing
from calculators.engine.units import Count, Hours, Miles, Months, Percent
from calculators.one_job import distance_allowed as _distance_allowed
from calculators.one_job import engine_hours_allowed as _engine_hours_allowed
from calculators.one_job import hours_share_allowed as hours_share_allowed
from calculators.one_job import share_allowed as share_allowed
from calculators.one_job import time_allowed as _time_allowed


def oil_interval_is_another(oil_interval: Miles, usual_oil_interval: Miles, same_distance_within: Miles) -> bool:
    """Whether you gave another distance than the service dates go by: then miles alone count."""
    return not -same_distance_within < oil_interval - usual_oil_interval < same_distance_within


def oil_distance_allowed(interval__engine_oil__distance: Miles | Missing, usual_intervals: dict[str, dict[str, float]],
                         share_allowed: Percent) -> Miles | Missing:
    """Miles between oil changes: the maker’s that you entered; else the usual ones, shortened in severe use."""
    return _distance_allowed(interval__engine_oil__distance, usual_intervals, "engine_oil", share_allowed)


def oil_distance_that_counts(oil_interval_is_another: bool, oil_interval: Miles, oil_distance_allowed: Miles) -> Miles:
    """Those, or what you gave here."""
    return oil_interval if oil_interval_is_another else oil_distance_allowed


def oil_hours_allowed(interval__engine_oil__engine_hours: Hours | Missing, usual_intervals: dict[str, dict[str, float]],
                      hours_share_allowed: Percent) -> Hours | Missing:
    """Engine hours between them, likewise."""
    return _engine_hours_allowed(interval__engine_oil__engine_hours, usual_intervals, "engine_oil", hours_share_allowed)


def oil_time_allowed(interval__engine_oil__time: Months | Missing, usual_intervals: dict[str, dict[str, float]],
                     separator_drain_interval: Months, share_allowed: Percent) -> Months | Missing:
    """Months between them, likewise."""
    return _time_allowed(interval__engine_oil__time, usual_intervals, "engine_oil", separator_drain_interval, share_allowed)


def engine_hours_per_year(engine_hours_per_week: Hours, working_weeks_per_year: Count) -> Hours:
    """The week’s engine hours in every working week."""
    return engine_hours_per_week * working_weeks_per_year


def oil_changes_by_engine_hours(engine_hours_per_year: Hours, oil_hours_allowed: Hours) -> Count:
    """Oil changes that its engine hours bring."""
    return engine_hours_per_year / oil_hours_allowed


def oil_changes_by_time(months_per_year: Count, oil_time_allowed: Months) -> Count:
    """Oil changes that the calendar brings."""
    return months_per_year / oil_time_allowed


def oil_changes_at_least(oil_interval_is_another: bool, oil_changes_by_engine_hours: Count, oil_changes_by_time: Count) -> Count:
    """However few the miles: by hours or the calendar; none where you gave an interval here, which counts by miles alone."""
    return 0 if oil_interval_is_another else max(oil_changes_by_engine_hours, oil_changes_by_time)


def oil_changes_per_year(distance_per_year: Miles, oil_distance_that_counts: Miles, oil_changes_at_least: Count) -> Count:
    """Whichever clock runs fastest, a rate and not rounded."""
    return max(distance_per_year / oil_distance_that_counts, oil_changes_at_least)
