"""The page of a book: its sentences, the rows of its charts, what waits to be mended; and every picture drawn from them."""

import itertools
import json
from datetime import date, timedelta
from functools import cache
from typing import Any

import pytest

import calculators
from calculators.engine.book_view import book_view
from calculators.engine.owner import owner
from calculators.engine.records_view import CHANNELS, JOBS, records_view
from pieces import charts
from pieces.charts import draw
from pieces.records import KINDS, WIDTH, figure
from tests.unit.ask import DAY, ask

TODAY = date.fromisoformat(DAY)
MOST = 104  # points of a channel in a picture: two years of weekly tanks
LONG = 700  # tanks: more than a picture holds


def fill(ago: int, miles: float, hours: float, gallons: float, **told: Any) -> dict[str, Any]:
    return {"id": f"f{ago}", "date": str(TODAY - timedelta(days=ago)), "kind": "fuel", "odometer": miles, "idle_hours": hours,
            "fuel": gallons, "full": True, **told}


def fills(count: int, every: int = 7) -> list[dict[str, Any]]:
    return [fill(every * (count - place), 10_000 + 300 * place, 100 + 4 * place, 22.4) for place in range(count + 1)]


def view(*book: dict[str, Any], name: str = "Big Red") -> dict[str, Any]:
    truck = {"format": "diesel-handover-truck", "version": 2, "id": "t", "name": name, "facts": {"fuel_economy": "15 mi/gal"},
             "interval": {}, "book": list(book)}
    book_now = owner(truck, {}, DAY).book
    answered = calculators.with_words(ask("own_records", truck))
    return records_view(answered, name, book_now.entries, book_view(truck["book"], book_now.asked))  # type: ignore[arg-type]


@cache
def example(name: str) -> dict[str, Any]:
    truck = calculators.example_truck(name)
    return records_view(calculators.with_words(ask("own_records", name)), "Blue Heron", owner(truck, {}, DAY).book.entries, ())


def sentences(shown: dict[str, Any]) -> list[str]:
    return ["".join(one["parts"]) for one in shown["says"]]


def parts(chart: dict[str, Any], part: str) -> list[dict[str, Any]]:
    return [row for row in chart["rows"] if row["part"] == part]


def test_an_empty_book_says_after_how_much_it_will_speak() -> None:
    shown = view()
    assert shown["lede"] == "Nothing is in Big Red’s book yet."
    assert shown["charts"] == {} and shown["mend"] == []
    assert sentences(shown)[:3] == ["After a first fill to the top and 5 more full tanks this page says what it burns.",
                                    "After 9 more full tanks with engine or idle hours it notices when that goes up by a tenth.",
                                    "After 3 more drains it compares the jars."]
    assert [one["look"] for one in shown["says"]] == ["lacks"] * 3 + [""]


def test_three_entries_are_two_points_without_a_band() -> None:
    shown = view(*fills(2))
    assert shown["lede"] == "What Big Red’s own book says. 3 entries since Nov 11, 2026."
    assert set(shown["charts"]) == {"record_economy"}
    chart = shown["charts"]["record_economy"]
    assert [point["x"] for point in parts(chart, "point")] == [0.75, 1.0]  # 28 days at least, so a week is a quarter
    assert all(set(point) == {"part", "x", "y", "counted"} for point in parts(chart, "point"))
    assert [month["words"] for month in parts(chart, "month")] == ["Oct 28", "Nov 25"]
    assert "".join(chart["says"]) == "The last tank went 13.4 miles on a gallon."  # 300 miles, 22.4 gallons
    assert sentences(shown)[0] == "After 3 more full tanks this page says what it burns."


def test_a_year_with_a_drift_says_so_first_and_marks_where_it_began() -> None:
    shown = example("juniper")
    results = ask("own_records", "juniper")["results"]
    (alarm,) = results["alarms"]
    first = shown["says"][0]
    assert first["look"] == "alarm" and first["parts"][1] == calculators.show.words(date.fromisoformat(alarm["since"]["value"])).phrase
    assert f"{alarm['change']['value']:.0f}%" in first["parts"] and sentences(shown)[0].endswith(alarm["look_at"]["value"])
    assert "52 tanks" in shown["says"][1]["parts"] and len(shown["says"]) == 4
    chart = shown["charts"]["record_economy"]
    (mark,) = parts(chart, "alarm")
    began = next(place for place, row in enumerate(results["tanks"]) if row["date"]["value"] == alarm["since"]["value"])
    assert mark["x"] == parts(chart, "point")[began]["x"] and mark["stands"]
    assert "says" in shown["charts"][JOBS] and set(shown["charts"]) == {*CHANNELS, JOBS}


def test_points_are_the_tanks_and_the_band_begins_after_those_that_are_only_learned_from() -> None:
    chart = example("juniper")["charts"]["record_economy"]
    tanks = ask("own_records", "juniper")["results"]["tanks"]
    assert [point["y"] for point in parts(chart, "point")] == [row["fuel_economy"]["value"] for row in tanks]
    assert ["low" in point for point in parts(chart, "point")] == [False] * 8 + [True] * (len(tanks) - 8)
    for point, row in zip(parts(chart, "point")[8:], tanks[8:], strict=True):
        assert row["expected_low"]["value"] == point["low"] < point["expected"] < point["high"] == row["expected_high"]["value"]
        assert row["distance"]["value"] / point["expected"] == pytest.approx(  # gallons: what was due lies in their middle
            (row["distance"]["value"] / point["low"] + row["distance"]["value"] / point["high"]) / 2)
    assert [row["date"] for row in chart["table"]] == [calculators.show.words(date.fromisoformat(row["date"]["value"])).phrase
                                                       for row in reversed(tanks)]


def test_a_long_book_shows_its_last_points_and_says_how_many_are_older() -> None:
    shown = view(*fills(LONG, every=3), {"id": "o", "date": str(TODAY - timedelta(days=2000)), "kind": "job", "job": "engine_oil"},
                 {"id": "p", "date": str(TODAY - timedelta(days=3)), "kind": "job", "job": "engine_oil"})
    chart = shown["charts"]["record_economy"]
    assert len(parts(chart, "point")) == len(chart["table"]) == MOST
    assert f"{LONG - MOST:,} older than the picture" in "".join(chart["says"])
    assert [row["x"] for row in parts(shown["charts"][JOBS], "tick")] == [round(1 - 1 / (MOST - 1), 4)]  # under the tank before the last
    assert len(json.dumps(shown)) < 40_000


def test_a_channel_that_was_given_up_long_ago_has_no_picture_and_spoils_none() -> None:
    """130 tanks, one in three days, and three burns more than two years before: none of those stands in any picture."""
    burns = [{"id": f"b{ago}", "date": str(TODAY - timedelta(days=ago)), "kind": "burn", "burn": "finished", "odometer": 9_900 - ago}
             for ago in (820, 860, 900)]
    assert set(view(*fills(130, every=3), *burns)["charts"]) == {"record_economy"}


def burned(*how: str, apart: int = 450) -> list[dict[str, Any]]:
    """Burns twenty days apart, the last one today."""
    return [{"id": f"b{place}", "date": str(TODAY - timedelta(days=20 * (len(how) - 1 - place))), "kind": "burn",
             "odometer": 90_000 + apart * place, "burn": one} for place, one in enumerate(how)]


@pytest.mark.parametrize(("how", "says"), [
    ((), "After 6 more burns with the odometer it says how often its filter cleans itself."),
    (("finished",) * 2, "Of 2 burns you saw, none was broken off."), (("broken_off",), "Of 1 burn you saw, 1 was broken off."),
    (("finished",) * 5 + ("broken_off",) * 2, "Of 7 burns you saw, 2 were broken off; one comes about every 450 miles."),
])
def test_burns_are_counted_in_words(how: tuple[str, ...], says: str) -> None:
    assert sentences(view(*fills(2), *burned(*how)))[-1] == says


def test_it_is_calm_only_about_what_is_watched() -> None:
    clocked, calm = fills(12), "Nothing drifts: the truck uses what it used before."
    unclocked = [{name: told for name, told in one.items() if name != "idle_hours"} for one in clocked]
    assert calm in sentences(view(*clocked))
    for book in (unclocked, burned(*["finished"] * 14), fills(4)):
        said = sentences(view(*book))
        assert calm not in said and any("with engine or idle hours it notices when it burns a tenth more." in one for one in said)
    assert "by its miles and idle hours. 9 of 10" in "".join(view(*clocked)["charts"]["record_economy"]["says"])
    assert "by its miles. 9 of 10" in "".join(view(*unclocked)["charts"]["record_economy"]["says"])


def test_its_week_is_told_as_far_as_its_meters_tell_it() -> None:
    clocked = fills(12)
    assert "It drives 300 miles and idles 4 hours in a usual week." in sentences(view(*clocked))
    unclocked = [{name: told for name, told in one.items() if name != "idle_hours"} for one in clocked]
    assert "It drives 300 miles in a usual week." in sentences(view(*unclocked))
    (one,) = (said for said in sentences(view(*fills(2))) if said.startswith("For its usual week it takes "))
    assert "reading" in one and " of it " not in one


def test_what_is_usual_is_drawn_where_own_records_says_it_is() -> None:
    results = ask("own_records", "tamarack")["results"]
    usual = {"record_def": "def_share_measured", "record_burns": "distance_between_burns", "record_water": "water_per_fuel"}
    for kind, name in usual.items():
        assert [row["y"] for row in parts(example("tamarack")["charts"][kind], "usual")] == [results[name]["value"]], kind


@pytest.mark.parametrize(("drains", "usual"), [(2, ""), (3, " 22 mL is usual.")])
def test_what_water_is_usual_is_said_from_the_third_drain_on(drains: int, usual: str) -> None:
    """20 mL after four tanks of 22.4 gallons each: 22.3 mL of 100. The first drain measures nothing; the standard allows 189 mL."""
    water = [{"id": f"w{place}", "date": str(TODAY - timedelta(days=7 * (12 - 4 * place))), "kind": "drain",
              "odometer": 10_000 + 1200 * place, "jar": "water", "water": "20 mL"} for place in range(drains)]
    says = "".join(view(*fills(12), *water)["charts"]["record_water"]["says"])
    assert says == f"Of 100 gallons burned the last drain brought 22 mL; the standard allows 189 mL.{usual}"


@pytest.mark.parametrize(("many", "then"), [(3, " After {} it says what is usual."), (7, " {} is usual, by 6 {}.")])
def test_what_is_usual_of_def_and_burns_is_said_once_it_is_known(many: int, then: str) -> None:
    """1.344 gallons of DEF after every two tanks of 22.4 are 3 %; a burn every 600 miles."""
    own = {"def": {"def": "1.344 gal"}, "burn": {"burn": "finished"}}
    book = [{"id": f"{kind}{place}", "date": str(TODAY - timedelta(days=14 * (6 - place))), "kind": kind, "odometer": 10_000 + 600 * place,
             **told} for kind, told in own.items() for place in range(many)]
    charts = view(*fills(12), *book)["charts"]
    more = {"def": "3 more fills of DEF, between full tanks", "burn": "3 more burns with the odometer"}
    for kind, last, usual in (("def", "The last fill was 3% of the fuel burned since the one before.", "3%"),
                              ("burn", "The last came 600 miles after the one before.", "600 miles")):
        told = then.format(more[kind]) if many == 3 else then.format(usual, {"def": "fills", "burn": "burns"}[kind])
        assert "".join(charts[{"def": "record_def", "burn": "record_burns"}[kind]]["says"]) == last + told


def test_six_jobs_have_a_lane_those_done_most_often() -> None:
    names = ("engine_oil", "fuel_filters", "air_filter", "coolant", "transmission", "chassis_grease", "brake_check")
    jobs = [{"id": f"{job}{time}", "date": str(TODAY - timedelta(days=30 * time + place)), "kind": "job", "job": job}
            for place, job in enumerate(names) for time in range(1 if job == "coolant" else 2)]
    lanes = [row["words"] for row in parts(view(*jobs)["charts"][JOBS], "lane")]
    assert lanes == [calculators.show.words(job).phrase for job in names if job != "coolant"]


def test_alarms_close_together_bear_one_date() -> None:
    dips = [{"id": f"d{ago}", "date": str(TODAY - timedelta(days=ago)), "kind": "oil", "oil_level": level}
            for ago, level in ((300, "0.7 qt"), (297, "0 qt"), (293, "0.7 qt"), (200, "0 qt"), (7, "0.7 qt"))]
    dates = [row["words"] for row in parts(view(*dips)["charts"][JOBS], "alarm")]
    assert [bool(one) for one in dates] == [True, False, True]


def test_hollow_ones_are_explained_where_there_are_any() -> None:
    book = fills(20)
    assert "Hollow" not in "".join(view(*book)["charts"]["record_economy"]["says"])
    book[12]["fuel"] = 60
    assert " Hollow ones are left out; those far off stand at the edge." in "".join(view(*book)["charts"]["record_economy"]["says"])


def test_what_is_left_out_waits_with_why_but_hard_work_does_not() -> None:
    book = fills(20)
    book[12]["fuel"] = 60  # far beyond what was due
    book[16]["hard"] = True
    book[16]["fuel"] = 50
    (waits,) = view(*book)["mend"]
    assert waits["id"] == book[12]["id"] and waits["what"] == "Fuel filled: 60 gallons"
    assert waits["why"] == "60.0 gal where about 22 were due: towing, or a typing error?"
    hollow = [point["y"] for point in parts(view(*book)["charts"]["record_economy"], "point") if not point["counted"]]
    assert hollow == pytest.approx([300 / 22.4 * 0.6] * 2)  # both are seen, as far down as pictures go: 300 / 60 would be 5


def test_an_entry_that_is_asked_about_waits_too() -> None:
    shown = view(*fills(3), {"id": "later", "date": str(TODAY + timedelta(days=3)), "kind": "note", "note": "?"})
    assert [(one["id"], one["why"]) for one in shown["mend"]] == [
        ("later", "It is dated after today, and counts for nothing until then.")]


def test_jobs_have_a_lane_each_and_the_oils_alarm_its_own() -> None:
    dips = [{"id": f"d{ago}", "date": str(TODAY - timedelta(days=ago)), "kind": "oil", "oil_level": "0.7 qt"} for ago in (40, 10)]
    jobs = [{"id": f"j{ago}", "date": str(TODAY - timedelta(days=ago)), "kind": "job", "job": job}
            for ago, job in ((100, "engine_oil"), (60, "fuel_filters"), (50, "chassis_grease"), (9, "chassis_grease"))]
    chart = view(*dips, *jobs)["charts"][JOBS]
    names = [row["words"] for row in parts(chart, "lane")]
    assert chart["lanes"] == 4 and names[-1] == "Oil too high" and len(parts(chart, "alarm")) >= 1
    assert {row["job"]: row["times"] for row in chart["table"]}[calculators.show.words("chassis_grease").phrase] == "2"
    assert "".join(chart["says"]).endswith("Nov 16, 2026.") and "oil" not in "".join(chart["says"])
    alone = view(*dips)
    assert alone["charts"][JOBS]["lanes"] == 1 and alone["charts"][JOBS]["says"] == [""]
    assert alone["says"][0]["look"] == "alarm"  # said though there is no tank yet


def test_months_are_named_apart_and_a_years_first_by_its_year() -> None:
    for weeks in (3, 9, 20, 53, 104):
        months = parts(view(*fills(weeks))["charts"]["record_economy"], "month")
        assert 2 <= len(months) <= 6, weeks
        assert all(later["x"] - one["x"] > 0.1 for one, later in itertools.pairwise(months)), weeks
    assert "2026" in [month["words"] for month in months]


@pytest.mark.parametrize("name", calculators.example_trucks())
def test_every_picture_is_drawn_whole_at_both_widths(name: str) -> None:
    shown = example(name)
    json.dumps(shown, allow_nan=False)
    for kind in KINDS:
        chart = shown["charts"][kind]
        made = str(figure(kind, chart))
        assert "NaN" not in made and "undefined" not in made and "style=" not in made
        assert made.count('role="img"') == 1 and draw.KINDS[kind]["caption"] in made
        assert made.count("<tr>") == len(chart["table"]) + 1


def test_small_books_are_drawn_too() -> None:
    for book in (fills(1), fills(2), fills(9), [fill(0, 10_000, 10, 20), {**fill(0, 10_300, 12, 21), "id": "same day"}]):
        for kind, chart in view(*book)["charts"].items():
            drawn = draw.picture(kind, chart["rows"], width=WIDTH, lanes=chart.get("lanes", 0))
            assert "NaN" not in drawn and "undefined" not in drawn


def test_told_text_is_no_markup() -> None:
    hostile = "<img src=x onerror=alert(1)>"
    shown = view(*fills(2), name=hostile)
    assert hostile in shown["lede"]  # a page puts it in as text
    assert "<img" not in str(figure("record_economy", {**shown["charts"]["record_economy"], "says": [hostile]}))


def test_a_page_gets_the_records_with_all_answers_and_an_excuse_where_they_are_refused() -> None:
    truck = {"format": "diesel-handover-truck", "version": 2, "id": "t", "name": "Larch", "facts": {}, "interval": {}, "book": fills(9)}
    kept = json.loads(calculators.call(json.dumps({"do": "all", "truck": truck, "today": DAY})))["records"]
    assert set(kept["charts"]) == {"record_economy"} and "9 tanks" in kept["says"][0]["parts"]
    truck["facts"] = {"fuel_economy": "no number"}
    kept = json.loads(calculators.call(json.dumps({"do": "all", "truck": truck, "today": DAY})))["records"]
    assert (kept["says"], kept["charts"], kept["mend"]) == ([], {}, []) and "Larch" in kept["lede"]
    assert not charts.chart_of("own_records")
