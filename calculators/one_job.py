"""Each service job: when distance, engine hours or the calendar brings it due."""

from datetime import date

from calculators.engine.figures import Missing
from calculators.engine.meters import Dated
from calculators.engine.named import after_days, after_months, days_between, earliest, first_due, missing, not_before, since
from calculators.engine.units import Days, Hours, Miles, MilesPerHour, Months, Percent

HEADLINE = ("job", "due_date", "odometer_when_due", "due_engine_hours", "distance_left", "engine_hours_left", "days_left",
            "governed_by", "status", "section", "overdue", "recorded", "first_step", "clock_without_start", "by_usual_interval", "only_if",
            "due_odometer")


def fitted(job: str, it_plows: bool | Missing, four_wheel_drive: bool | Missing) -> bool:
    """Whether the truck can have this job: no plow, no plow fluid; two driven wheels, no transfer case."""
    return (it_plows if job == "plow_hydraulics" and not missing(it_plows)
            else four_wheel_drive if job == "transfer_case" and not missing(four_wheel_drive) else True)


def only_if(job: str, it_plows: bool | Missing, four_wheel_drive: bool | Missing) -> str | Missing:
    """On what it depends whether the truck has this job, where that is not told."""
    return ("if_it_plows" if job == "plow_hydraulics" and missing(it_plows)
            else "if_four_wheel_drive" if job == "transfer_case" and missing(four_wheel_drive) else Missing("it has it"))


def share_allowed(severe_use: bool, severe_interval_share: Percent) -> Percent:
    """Severe use shortens the usual miles and months, never your own."""
    return severe_interval_share if severe_use else 100


def hours_share_allowed(severe_use: bool, severe_hours_share: Percent) -> Percent:
    """Hours already count the idling, so severe use shortens them less."""
    return severe_hours_share if severe_use else 100


def severe_share_applied(job: str, severe_jobs: list[str], share_allowed: Percent) -> Percent:
    """Severe use shortens only the jobs that it wears on."""
    return share_allowed if job in severe_jobs else 100


def severe_hours_share_applied(job: str, severe_jobs: list[str], hours_share_allowed: Percent) -> Percent:
    """The same for its hours."""
    return hours_share_allowed if job in severe_jobs else 100


def distance_allowed(interval_distance: Miles | Missing, usual_intervals: dict[str, dict[str, float]], job: str,
                     severe_share_applied: Percent) -> Miles | Missing:
    """The maker’s miles that you entered; else the usual ones, shortened in severe use."""
    return (interval_distance if not missing(interval_distance)
            else usual_intervals["distance"][job] * severe_share_applied / 100 if job in usual_intervals["distance"]
            else Missing("this job has no such interval"))


def engine_hours_allowed(interval_engine_hours: Hours | Missing, usual_intervals: dict[str, dict[str, float]], job: str,
                         severe_hours_share_applied: Percent) -> Hours | Missing:
    """The maker’s engine hours that you entered; else the usual ones, shortened in severe use."""
    return (interval_engine_hours if not missing(interval_engine_hours)
            else usual_intervals["engine_hours"][job] * severe_hours_share_applied / 100 if job in usual_intervals["engine_hours"]
            else Missing("this job has no such interval"))


def time_allowed(interval_time: Months | Missing, usual_intervals: dict[str, dict[str, float]], job: str,
                 separator_drain_interval: Months, severe_share_applied: Percent) -> Months | Missing:
    """The maker’s months that you entered; else the usual ones, shortened in severe use; the drain is monthly always."""
    return (interval_time if not missing(interval_time) else separator_drain_interval if job == "separator_drain"
            else usual_intervals["time"][job] * severe_share_applied / 100 if job in usual_intervals["time"]
            else Missing("this job has no such interval"))


def by_usual_interval(job: str, interval_distance: Miles | Missing, interval_engine_hours: Hours | Missing,
                      interval_time: Months | Missing, usual_intervals: dict[str, dict[str, float]]) -> bool:
    """Whether one of its clocks goes by the trade’s usual interval: the manual wins."""
    return _usual(job, usual_intervals, distance=interval_distance, engine_hours=interval_engine_hours, time=interval_time)


def _usual(job: str, usual: dict[str, dict[str, float]], **entered: float | Missing) -> bool:
    return any(missing(one) and (job in usual[clock] or (clock == "time" and job == "separator_drain")) for clock, one in entered.items())


def _since(book: Dated, meter: str, done_on: date | Missing, done: float, read_on: date, shown: float, limit: float) -> date | Missing:
    return since(book, meter, done_on, done, read_on, shown, limit)


def due_odometer(done_odometer: Miles, distance_allowed: Miles) -> Miles | Missing:
    """Due at the odometer when last done, and the interval."""
    return done_odometer + distance_allowed


def due_engine_hours(done_engine_hours: Hours, engine_hours_allowed: Hours) -> Hours | Missing:
    """Due at the engine hours when last done, and the interval."""
    return done_engine_hours + engine_hours_allowed


def idle_distance(engine_hours_at_reading: Hours, done_engine_hours: Hours | Missing, odometer: Miles, done_odometer: Miles | Missing,
                  average_speed: MilesPerHour | Missing, engine_hours_allowed: Hours | Missing, distance_per_idle_hour: Miles) -> Miles:
    """Idling since then, told as miles, only for a job that has no hour interval."""
    return (0 if not missing(engine_hours_allowed) or missing(done_engine_hours) or missing(done_odometer) or missing(average_speed)
            else max(0, engine_hours_at_reading - done_engine_hours - (odometer - done_odometer) / average_speed) * distance_per_idle_hour)


def wear_per_week(distance_per_week: Miles, idle_hours_per_week: Hours, distance_per_idle_hour: Miles,
                  engine_hours_allowed: Hours | Missing) -> Miles:
    """Miles a week; idling counts as miles only where the job has no hour interval."""
    return distance_per_week + idle_hours_per_week * distance_per_idle_hour if missing(engine_hours_allowed) else distance_per_week


def distance_left_when_read(due_odometer: Miles, odometer: Miles, idle_distance: Miles) -> Miles | Missing:
    """Miles left on the day of the reading."""
    return due_odometer - odometer - idle_distance


def idle_distance_ahead(distance_left_when_read: Miles, distance_per_week: Miles, wear_per_week: Miles) -> Miles:
    """What idling will use up of the miles left."""
    return (max(0, distance_left_when_read) * (wear_per_week - distance_per_week) / wear_per_week if wear_per_week > 0 else 0)


def odometer_when_due(due_odometer: Miles, idle_distance: Miles, idle_distance_ahead: Miles, done_odometer: Miles) -> Miles | Missing:
    """What the odometer shows on the day the miles run out: where idling counts as miles, less than the limit."""
    return max(done_odometer, due_odometer - idle_distance - idle_distance_ahead)


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


def due_by_distance(book: Dated, done_date: date | Missing, done_odometer: Miles, odometer: Miles, read_on: date,
                    due_odometer: Miles, idle_distance: Miles, distance_left_when_read: Miles, wear_per_week: Miles,
                    days_per_week: Days) -> date | Missing:
    """The day the miles run out, counted from the reading; of what had run out by then, the day on the line between readings."""
    return (_since(book, "odometer", done_date, done_odometer, read_on, odometer, due_odometer - idle_distance)
            if distance_left_when_read <= 0
            else after_days(read_on, distance_left_when_read * days_per_week / wear_per_week) if wear_per_week > 0
            else Missing("the truck stands still"))


def due_by_engine_hours(book: Dated, done_date: date | Missing, done_engine_hours: Hours, engine_hours: Hours,
                        engine_hours_read_on: date, due_engine_hours: Hours, engine_hours_left_when_read: Hours,
                        engine_hours_per_week: Hours, days_per_week: Days) -> date | Missing:
    """The day the engine hours run out, likewise."""
    return (_since(book, "engine_hours", done_date, done_engine_hours, engine_hours_read_on, engine_hours, due_engine_hours)
            if engine_hours_left_when_read <= 0
            else after_days(engine_hours_read_on, engine_hours_left_when_read * days_per_week / engine_hours_per_week)
            if engine_hours_per_week > 0
            else Missing("the engine never runs"))


def due_by_time(done_date: date, time_allowed: Months) -> date | Missing:
    """The same day that many calendar months later, or the month’s last."""
    return after_months(done_date, time_allowed)


def recorded(due_odometer: Miles | Missing, due_engine_hours: Hours | Missing, due_by_time: date | Missing) -> bool:
    """Whether anything is on record to count from."""
    return not missing(due_odometer) or not missing(due_engine_hours) or not missing(due_by_time)


def due_date(recorded: bool, done_date: date | Missing, due_by_distance: date | Missing, due_by_engine_hours: date | Missing,
             due_by_time: date | Missing) -> date | Missing:
    """Whichever comes first, but not before the job was last done; of an overdue job the day since which."""
    return (Missing("no record yet") if not recorded
            else Missing("no date while it stands: it goes by the miles or hours beside it")
            if missing(due_by_distance) and missing(due_by_engine_hours) and missing(due_by_time)
            else earliest(distance=due_by_distance, engine_hours=due_by_engine_hours, time=due_by_time) if missing(done_date)
            else not_before(earliest(distance=due_by_distance, engine_hours=due_by_engine_hours, time=due_by_time), done_date))


def governed_by(recorded: bool, due_odometer: Miles | Missing, due_by_distance: date | Missing, due_by_engine_hours: date | Missing,
                due_by_time: date | Missing) -> str | Missing:
    """Which of the three that is; with no date, what it waits for."""
    return ("not_recorded" if not recorded
            else first_due(distance=due_by_distance, engine_hours=due_by_engine_hours, time=due_by_time)
            if not missing(due_by_distance) or not missing(due_by_engine_hours) or not missing(due_by_time)
            else "engine_hours" if missing(due_odometer) else "distance")


def carried_on(governed_by: str | Missing, distance_left_when_read: Miles | Missing,
               engine_hours_left_when_read: Hours | Missing) -> bool:
    """Whether that day is carried on from a reading at the week’s pace: not of the calendar, and not passed when it was read."""
    return (distance_left_when_read >= 0 if governed_by == "distance" and not missing(distance_left_when_read)
            else engine_hours_left_when_read >= 0 if governed_by == "engine_hours" and not missing(engine_hours_left_when_read)
            else False)


def days_left(due_date: date, today: date) -> Days | Missing:
    """Days from today."""
    return days_between(today, due_date)


def overdue(recorded: bool, distance_left: Miles | Missing, engine_hours_left: Hours | Missing,
            days_left: Days | Missing) -> bool | Missing:
    """Overdue when any of what is left is below nothing."""
    return (Missing("no record yet") if not recorded else True if not missing(distance_left) and distance_left < 0
            else True if not missing(engine_hours_left) and engine_hours_left < 0
            else True if not missing(days_left) and days_left < 0 else False)


def status(recorded: bool, overdue: bool | Missing, days_left: Days | Missing, due_soon: Days) -> str:
    """Overdue, due within a month, ahead, or unknown for want of a record."""
    return ("unknown" if not recorded else "overdue" if overdue
            else "ahead" if missing(days_left) else "due" if days_left <= due_soon else "ahead")


def section(status: str, days_left: Days | Missing, days_per_week: Days) -> str | Missing:
    """Where it stands in a list by time."""
    return (Missing("no record yet") if status == "unknown" else "overdue" if status == "overdue" else "later" if status == "ahead"
            else "this_week" if not missing(days_left) and days_left <= days_per_week else "this_month")


def first_step(recorded: bool, job: str, first_steps: dict[str, list[str]]) -> str | Missing:
    """What to do first about a job without a record."""
    return (Missing("it has a record") if recorded else "do_now" if job in first_steps["do_now"]
            else "look" if job in first_steps["look"] else "ask")


def clock_without_start(recorded: bool, done_odometer: Miles | Missing, distance_allowed: Miles | Missing,
                        done_engine_hours: Hours | Missing, engine_hours_allowed: Hours | Missing, done_date: date | Missing,
                        time_allowed: Months | Missing) -> str | Missing:
    """The clock that its record does not start."""
    return (Missing("it has no record") if not recorded
            else "odometer" if missing(done_odometer) and not missing(distance_allowed)
            else "engine_hours" if missing(done_engine_hours) and not missing(engine_hours_allowed)
            else "date" if missing(done_date) and not missing(time_allowed)
            else Missing("each clock has its start"))
