"""40 CFR 86.004-25 (2015 edition): the earliest a maker may require exhaust filter service is 100,000 mi or 3,000 h (light heavy-duty),
150,000 mi or 4,500 h (medium and heavy heavy-duty). Not a filter's life; the examples' ash checks must not come before it.
"""

from calculators.engine.figures import FIGURES, TABLES


def test_the_figures() -> None:
    assert FIGURES["filter_service_distance_earliest"].value == 100_000
    assert FIGURES["filter_service_hours_earliest"].value == 3_000


def test_the_examples_are_not_before_the_earliest() -> None:
    for job in ("particulate_filter", "exhaust_fluid_filter"):
        assert TABLES["usual_intervals"]["distance"][job] == 150_000
        assert TABLES["usual_intervals"]["engine_hours"][job] == 4_500
