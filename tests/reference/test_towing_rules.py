"""Tongue weights: trailer owners' manuals (common practice): 10-15 % on a ball, 15-25 % on a fifth wheel.

49 CFR 390.5: 10,001 lb makes a commercial vehicle in interstate commerce. 49 CFR 383.5: 26,001 lb with a trailer over 10,000 lb.
"""

import pytest

from tests.unit.ask import results

ROOMY = {"truck_weight": 8000, "hitch_rating": 30_000, "tongue_rating": 6000, "tow_rating": 30_000, "gross_rating": 16_000,
         "combined_rating": 40_000, "trailer_rating": 30_000}


@pytest.mark.parametrize(("hitch", "low", "high"), [("ball", 500, 750), ("fifth_wheel", 750, 1250)])
def test_a_5_000_pound_trailer(hitch: str, low: float, high: float) -> None:
    for tongue, verdict in ((low, "fits"), (high, "fits"), (low - 1, "watch"), (high + 1, "watch")):
        said = results("trailer_check", **ROOMY, trailer_weight=5000, hitch=hitch, tongue_weight=tongue)
        assert said["verdict"] == verdict, tongue
        assert said["tongue_share"] == pytest.approx(tongue / 50)


@pytest.mark.parametrize(("gross", "trailer", "commercial"), [(6000, 4000, False), (6000, 4001, True), (9000, 1000, False),
                                                              (9001, 1000, True)])
def test_10_001_pounds_with_the_trailer(gross: float, trailer: float, commercial: bool) -> None:
    told = ROOMY | {"truck_weight": 5000, "gross_rating": gross, "trailer_rating": trailer, "trailer_weight": 500, "tongue_weight": 50}
    assert results("trailer_check", **told)["commercial_vehicle"] is commercial


@pytest.mark.parametrize(("truck", "commercial"), [(9500, False), (9501, True)])
def test_weights_count_where_they_are_more_than_the_ratings(truck: float, commercial: bool) -> None:
    told = ROOMY | {"truck_weight": truck, "gross_rating": 8000, "trailer_rating": 1000, "trailer_weight": 500, "tongue_weight": 50}
    assert results("trailer_check", **told)["commercial_vehicle"] is commercial


@pytest.mark.parametrize(("gross", "trailer", "asked"), [(16_000, 10_000, False), (15_999, 10_001, False), (16_000, 10_001, True),
                                                         (20_000, 10_000, False)])
def test_26_001_pounds_and_a_trailer_over_10_000(gross: float, trailer: float, asked: bool) -> None:
    told = ROOMY | {"gross_rating": gross, "trailer_rating": trailer, "trailer_weight": 9000, "tongue_weight": 1000}
    assert results("trailer_check", **told)["license_class_question"] is asked


def test_the_tongue_counts_against_gross_and_not_against_combined() -> None:
    said = results("trailer_check", **ROOMY, trailer_weight=5000, tongue_weight=600)
    assert said["gross_margin"] == 16_000 - 8000 - 600
    assert said["combined_margin"] == 40_000 - 8000 - 5000
