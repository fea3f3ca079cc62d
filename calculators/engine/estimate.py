"""What a truck's meters should show on a day: by its readings, and by what is usual since the last one."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from calculators.engine.answer import Refused, compute
from calculators.engine.book import METERS
from calculators.engine.figures import ENTRY
from calculators.engine.meters import at
from calculators.engine.owner import owner
from calculators.engine.units import digits

_A_WEEK = {"odometer": "distance_per_week", "engine_hours": "engine_hours_per_week", "idle_hours": "idle_hours_per_week"}


def estimate(truck: Mapping[str, Any], today: date, day: date) -> dict[str, str]:
    """Each meter that was ever read, as it would be typed: whole miles and hours. Nothing where nothing can be said."""
    try:
        known = compute("service_due", {}, truck, today.isoformat()).known
    except Refused:
        return {}
    entries = owner(truck, {}, today.isoformat()).book.entries
    lines = {meter: [(reading.date, reading.value) for reading in entries.readings(meter).kept] for meter in METERS}
    return {meter: f"{digits(round(at(line, day, known[_A_WEEK[meter]])), ENTRY[meter].unit)} {ENTRY[meter].unit}"
            for meter, line in lines.items() if line}
