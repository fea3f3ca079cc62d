"""The largest truck that is taken: no number runs into the one beside it."""

import json
from itertools import pairwise

import pypdfium2
import pytest

import calculators
import print as paper
from print import pdf
from print.order import PAPERS

READINGS = {"odometer": "1494500 mi", "engine_hours": "49800 h"}
DONE = {"date": "2026-11-01", "odometer": "1494000", "engine_hours": "49790"}


@pytest.fixture(scope="module")
def largest():
    truck = calculators.example_truck("juniper") | {"book": []}
    truck["facts"] |= READINGS | {"idle_hours_per_week": "140 h", "working_weeks_per_year": "52"}
    truck["done"] = {job: dict(DONE) for job in ("engine_oil", "fuel_filters", "coolant")}
    whole, faults = calculators.read_truck(json.dumps(truck))
    assert not faults
    return whole


@pytest.mark.parametrize("size", PAPERS)
@pytest.mark.parametrize("sheet", ["service-log", "fleet-overview"])  # in whose tables numbers stand side by side
def test_no_number_runs_into_the_next(sheet, size, largest):
    for page in pypdfium2.PdfDocument(pdf.write([pdf.lay_out(paper.render(sheet, largest, today="2026-11-25"), size)])):
        letters = page.get_textpage()
        boxes = [letters.get_charbox(at) for at in range(letters.count_chars()) if letters.get_text_range(at, 1).strip()]
        beside = [(one, other) for one, other in pairwise(boxes) if abs(one[1] - other[1]) < 3 and one[0] < other[0]]
        assert beside
        assert not [one for one, other in beside if one[2] > other[0] + 1]
