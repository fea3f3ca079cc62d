"""Diesel Handover's calculators: small pure rules, one file a calculator, every number in figures.toml."""

from calculators.engine import show, vin
from calculators.engine.answer import Refused
from calculators.engine.call import (
    alarms,
    answer,
    calendar,
    call,
    facts,
    fields_of,
    fleet_calendar,
    goes_by_day,
    sensitivity,
    service_jobs,
    warm,
    with_words,
)
from calculators.engine.facts import Fault
from calculators.engine.figures import LABELS, Figure, Missing, figure
from calculators.engine.form import Field, form, truck_form
from calculators.engine.rules import NAMES, question
from calculators.engine.truck import example_name, example_truck, example_trucks, truck_of
from calculators.engine.truck_file import read_truck

__version__ = "0.2.0"
__all__ = [
    "LABELS", "NAMES", "Fault", "Field", "Figure", "Missing", "Refused", "alarms", "answer", "calendar", "call", "example_name",
    "example_truck", "example_trucks", "facts", "fields_of", "figure", "fleet_calendar", "form", "goes_by_day", "question",
    "read_truck", "sensitivity", "service_jobs", "show", "truck_form", "truck_of", "vin", "warm", "with_words",
]
