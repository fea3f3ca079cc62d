"""Each service job: when distance, engine hours or the calendar brings it due."""

from datetime import date

from calculators.engine.figures import Missing
from calculators.engine.named import after_months, days_between, earliest, first_due, missing, not_before, runs_out
from calculators.engine.units import Days, Hours, Miles, MilesPerHour, Months, Percent

HEADLINE = ("job", "due_date", "due_odometer", "due_engine_hours", "distance_left", "engine_hours_left", "days_left",
            "governed_by", "overdue", "recorded")


def share_allowed(severe_use: bool, severe_interval_share: Percent) -> Percent:
    """Severe use shortens an example interval, never your own."""
    return severe_interval_share if severe_use else 100


def hours_share_allowed(severe_use: bool, severe_hours_share: Percent) -> Percent:
    """Hours already count the idling, so severe use shortens them less."""
    return severe_hours_share if severe_use else 100


def distance_allowed(interval_distance: Miles | Missing, example_intervals: dict[str, dict[str, float]], job: str,
                     share_allowed: Percent) -> Miles | Missing:
    """The maker’s miles that you entered; else the example’s, shortened in severe use."""
    return (interval_distance if not missing(interval_distance)
            else example_intervals["distance"][job] * share_allowed / 100 if job in example_intervals["distance"]
            else Missing("this job has no such interval"))


def engine_hours_allowed(interval_engine_hours: Hours | Missing, example_intervals: dict[str, dict[str, float]], job: str,
                         hours_share_allowed: Percent) -> Hours | Missing:
    """The maker’s engine hours that you entered; else the example’s, shortened in severe use."""
    return (interval_engine_hours if not missing(interval_engine_hours)
            else example_intervals["engine_hours"][job] * hours_share_allowed / 100 if job in example_intervals["engine_hours"]
            else Missing("this job has no such interval"))


def time_allowed(interval_time: Months | Missing, example_intervals: dict[str, dict[str, float]], job: str,
                 separator_drain_interval: Months, share_allowed: Percent) -> Months | Missing:
    """The maker’s months that you entered; else the example’s, shortened in severe use; the drain is monthly always."""
    return (interval_time if not missing(interval_time) else separator_drain_interval if job == "separator_drain"
            else example_intervals["time"][job] * share_allowed / 100 if job in example_intervals["time"]
            else Missing("this job has no such interval"))


def due_odometer(done_odometer: Miles, distance_allowed: Miles) -> Miles | Missing:
    """Due at the odometer when last done, and the interval."""
    return done_odometer + distance_allowed


def due_engine_hours(done_engine_hours: Hours, engine_hours_allowed: Hours) -> Hours | Missing:
    """Due at the engine hours when last done, and the interval."""
    return done_engine_hours + engine_hours_allowed


def idle_distance(engine_hours: Hours, done_engine_hours: Hours | Missing, odometer: Miles, done_odometer: Miles | Missing,
                  average_speed: MilesPerHour | Missing, engine_hours_allowed: Hours | Missing, distance_per_idle_hour: Miles) -> Miles:
    """Idling since then, told as miles, only for a job that has no hour interval."""
    return (0 if not missing(engine_hours_allowed) or missing(done_engine_hours) or missing(done_odometer) or missing(average_speed)
            else max(0, engine_hours - done_engine_hours - (odometer - done_odometer) / average_speed) * distance_per_idle_hour)


def wear_per_week(distance_per_week: Miles, idle_hours_per_week: Hours, distance_per_idle_hour: Miles,
                  engine_hours_allowed: Hours | Missing) -> Miles:
    """Miles a week; idling counts as miles only where the job has no hour interval."""
    return distance_per_week + idle_hours_per_week * distance_per_idle_hour if missing(engine_hours_allowed) else distance_per_week


def distance_left_when_read(due_odometer: Miles, odometer: Miles, idle_distance: Miles) -> Miles | Missing:
    """Miles left on the day of the reading."""
    return due_odometer - odometer - idle_distance


def engine_hours_left_when_read(due_engine_hours: Hours, engine_hours: Hours) -> Hours | Missing:
    """Engine hours left on the day of the reading."""
    return due_engine_hours - engine_hours


def distance_left(distance_left_when_read: Miles, wear_per_week: Miles, days_since_reading: Days, days_per_week: Days) -> Miles | Missing:
    """Miles left today: the reading carried forward at the week’s pace."""
    return distance_left_when_read - wear_per_week * days_since_reading / days_per_week


def engine_hours_left(engine_hours_left_when_read: Hours, engine_hours_per_week: Hours, days_since_hours_reading: Days,
                      days_per_week: Days) -> Hours | Missing:
    """Engine hours left today, carried forward likewise."""
    return engine_hours_left_when_read - engine_hours_per_week * days_since_hours_reading / days_per_week


def due_by_distance(read_on: date, distance_left_when_read: Miles, wear_per_week: Miles, days_per_week: Days) -> date | Missing:
    """The day the miles run out, counted from the reading."""
    return (runs_out(read_on, distance_left_when_read * days_per_week / wear_per_week) if wear_per_week > 0
            else read_on if distance_left_when_read < 0
            else Missing("the truck stands still"))


def due_by_engine_hours(engine_hours_read_on: date, engine_hours_left_when_read: Hours, engine_hours_per_week: Hours,
                        days_per_week: Days) -> date | Missing:
    """The day the engine hours run out, counted from the reading."""
    return (runs_out(engine_hours_read_on, engine_hours_left_when_read * days_per_week / engine_hours_per_week)
            if engine_hours_per_week > 0
            else engine_hours_read_on if engine_hours_left_when_read < 0
            else Missing("the engine never runs"))


def due_by_time(done_date: date, time_allowed: Months) -> date | Missing:
    """The same day that many calendar months later, or the month’s last."""
    return after_months(done_date, time_allowed)


def recorded(due_odometer: Miles | Missing, due_engine_hours: Hours | Missing, due_by_time: date | Missing) -> bool:
    """Whether anything is on record to count from."""
    return not missing(due_odometer) or not missing(due_engine_hours) or not missing(due_by_time)


def due_date(recorded: bool, today: date, done_date: date | Missing, due_by_distance: date | Missing,
             due_by_engine_hours: date | Missing, due_by_time: date | Missing) -> date | Missing:
    """Whichever comes first, but not before the job was last done; with nothing on record, today."""
    return (today if not recorded
            else earliest(distance=due_by_distance, engine_hours=due_by_engine_hours, time=due_by_time) if missing(done_date)
            else not_before(earliest(distance=due_by_distance, engine_hours=due_by_engine_hours, time=due_by_time), done_date))


def governed_by(recorded: bool, due_by_distance: date | Missing, due_by_engine_hours: date | Missing,
                due_by_time: date | Missing) -> str | Missing:
    """Which of the three that is."""
    return first_due(distance=due_by_distance, engine_hours=due_by_engine_hours, time=due_by_time) if recorded else "not_recorded"


def days_left(due_date: date, today: date) -> Days | Missing:
    """Days from today."""
    return days_between(today, due_date)


def overdue(recorded: bool, distance_left: Miles | Missing, engine_hours_left: Hours | Missing, days_left: Days | Missing) -> bool:
    """Overdue when any of what is left is below nothing."""
    return (False if not recorded else True if not missing(distance_left) and distance_left < 0
            else True if not missing(engine_hours_left) and engine_hours_left < 0
            else True if not missing(days_left) and days_left < 0 else False)
