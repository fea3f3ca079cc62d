"""The day a build speaks of."""

import os
import subprocess
from datetime import UTC, date, datetime


class WrongDay(SystemExit):
    """What was told as the day is none; it ends a build in a line."""


def build_day() -> date:
    """The day the build is told, else that of the last commit, else the real one: built twice, the same bytes."""
    commit = "" if os.environ.get("SOURCE_DATE_EPOCH") else _last_commit()
    return told_day() or (_day_of(commit) if commit else datetime.now().astimezone().date())


def told_day() -> date | None:
    """The day that a repeatable run is told; WrongDay where it is none."""
    told = os.environ.get("SOURCE_DATE_EPOCH")
    return _day_of(told) if told else None


def _day_of(told: str) -> date:
    try:
        return datetime.fromtimestamp(int(told), UTC).date()
    except (ValueError, OverflowError, OSError):
        raise WrongDay(f"SOURCE_DATE_EPOCH: {told[:60]!r}: write the seconds since 1970 as a whole number, or leave it unset") from None


def _last_commit() -> str:
    try:
        asked = subprocess.run(["git", "log", "-1", "--format=%ct"], capture_output=True, text=True, check=False)
    except OSError:  # a copy without git
        return ""
    return asked.stdout.strip()
