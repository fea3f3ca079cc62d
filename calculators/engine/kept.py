"""What a page keeps of a truck beside its answers: its jobs by day, its book in words, what of it travels in a link."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from calculators.engine.book_view import book_view
from calculators.engine.days import Later, On
from calculators.engine.link import travelling
from calculators.engine.owner import owner
from calculators.engine.truck import upgraded


def kept(truck: Mapping[str, Any], today: date, answers: dict[str, Any], on: On) -> dict[str, Any]:
    """Beside all answers of a truck; its service answer gets what changes on later days, which ``on`` tells."""
    book = upgraded(truck)["book"]
    asked = owner(truck, {}, today.isoformat()).book.asked
    made = {"entries": book_view(book, asked), "link": travelling(truck, today)}
    if "service_due" not in answers:  # what is told is refused
        return made | {"jobs": [], "reading": [], "until": (today + date.resolution).isoformat()}
    later = Later(answers["service_due"], today, on)
    answers["service_due"] = later.answer()
    return made | {"jobs": later.jobs(), "reading": later.reading(), "until": later.until.isoformat()}
