"""Calendar sums against `dateutil.relativedelta`, leap years too; and the separator's monthly drain (common practice)."""

from datetime import date, timedelta

import pytest
from dateutil.relativedelta import relativedelta

from calculators.engine.named import after_days, after_months
from tests.unit.ask import job

STARTS = [date(2023, 1, 31), date(2024, 1, 31), date(2024, 2, 29), date(2000, 2, 29), date(1900, 2, 28), date(2026, 12, 31),
          date(2026, 8, 30), date(2026, 11, 1), date(2099, 10, 31)]


@pytest.mark.parametrize("start", STARTS, ids=str)
@pytest.mark.parametrize("months", [0, 1, 2, 6, 11, 12, 13, 24, 48, 60, 120])
def test_months_later(start: date, months: int) -> None:
    assert after_months(start, months) == start + relativedelta(months=months)


@pytest.mark.parametrize("days", [0, 0.99, 1, 59.5, 366, -1, -0.5, -30.25])
def test_days_later(days: float) -> None:
    whole = int(days // 1)
    assert after_days(date(2024, 2, 28), days) == date(2024, 2, 28) + timedelta(days=whole)


@pytest.mark.parametrize(("done", "months", "due"), [
    ("2024-01-31", 1, "2024-02-29"), ("2023-01-31", 1, "2023-02-28"), ("2023-08-31", 6, "2024-02-29"), ("2024-02-29", 12, "2025-02-28"),
    ("2000-02-29", 48, "2004-02-29"), ("2026-12-31", 2, "2027-02-28"),
])
def test_due_dates_keep_to_the_calendar(done: str, months: int, due: str) -> None:
    """Cut to the month's last day: Jan 31 and one month is Feb 28 or 29."""
    said = job("battery_test", today="2026-12-31", done__battery_test__date=done, interval__battery_test__time=months)
    assert said["due_date"] == due
    assert said["due_date"] == str(date.fromisoformat(done) + relativedelta(months=months))
    assert said["days_left"] == (date.fromisoformat(due) - date(2026, 12, 31)).days


def test_the_drain_is_monthly() -> None:
    assert job("separator_drain", done__separator_drain__date="2026-10-31")["due_date"] == "2026-11-30"
