"""Charts as the build draws them: the answer's own words and true lengths, small, without a style, black on paper."""

import hashlib
import io
import itertools
import os
import re
import subprocess
import sys
from typing import Any
from xml.etree import ElementTree

import pikepdf
import pytest
import weasyprint

import calculators
from macros import chart_script
from pieces import charts
from pieces.charts import draw
from tools.ready import ROOT

TODAY = "2026-11-25"
TRUCKS = ("juniper", "tamarack")
CHARTED = tuple(entry["calculator"] for entry in charts.KINDS.values() if "calculator" in entry)
LARGEST = 12_000  # bytes of one picture
EVERY_JOB = {f"done.{job}.{what}": told for job in ("engine_oil", "fuel_filters", "separator_drain", "air_filter", "particulate_filter")
             for what, told in (("date", "2025-01-01"), ("odometer", "39000"), ("engine_hours", "1200"))}
CASES = [
    *((name, truck, {}) for name in CHARTED for truck in TRUCKS),
    ("axle_load", None, {"plow_weight": "1400", "cargo_weight": "2500", "cargo_ahead": "-40", "tongue_weight": "1500",
                         "ballast_weight": "600", "ballast_behind": "60"}),
    ("axle_load", None, {"wheelbase": "90", "plow_ahead": "90", "tongue_weight": "8000", "tongue_behind": "90"}),
    ("axle_load", None, {"plow_weight": "0", "occupants_weight": "0"}),
    ("regeneration", None, {"long_trips_per_week": "0"}),
    ("regeneration", None, {"short_trips_per_week": "0", "long_trips_per_week": "0", "idle_hours_per_week": "0"}),
    ("regeneration", None, {"outside_temperature": "-40", "temperature_rise": "300"}),
    ("diesel_or_gasoline", None, {"ownership_time": "30"}),
    ("diesel_or_gasoline", None, {"ownership_time": "1"}),
    ("protection_worth", None, {"failure_chance": "0", "protection_time": "1"}),
    ("fluid_cost", None, {"distance_per_year": "0"}),
    ("service_due", None, EVERY_JOB),
]  # fmt: skip
NAMES = [f"{name} {truck or ' '.join(given)[:40]}" for name, truck, given in CASES]


def answer(name: str, truck: str | None = None, given: dict[str, str] | None = None) -> dict[str, Any]:
    told = calculators.example_truck(truck) if truck else None
    return calculators.with_words(calculators.answer(name, given or {}, told, TODAY))


def picture(answered: dict[str, Any], **how: bool) -> ElementTree.Element:
    return ElementTree.fromstring(charts.svg(charts.chart_of(answered["calculator"]), answered, **how))


def words(drawn: ElementTree.Element) -> list[str]:
    return ["".join(text.itertext()) for text in drawn.iter("text")]


def place(element: ElementTree.Element) -> tuple[float, float]:
    x, y = re.fullmatch(r"translate\((.+),(.+)\)", element.get("transform", "")).groups()  # type: ignore[union-attr]
    return float(x), float(y)


def bars(drawn: ElementTree.Element, **look: str) -> list[float]:
    """How long the bars of one look are."""
    found = [path for path in drawn.iter("path") if all(path.get(key.replace("_", "-")) == told for key, told in look.items())]
    return [float(re.search(r"h(-?[\d.]+)v", path.get("d", ""))[1]) for path in found if "h" in path.get("d", "")]  # type: ignore[index]


def points(path: ElementTree.Element) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in re.findall(r"[ML]([-\d.]+),([-\d.]+)", path.get("d", ""))]


@pytest.mark.parametrize(("name", "truck", "given"), CASES, ids=NAMES)
def test_a_picture_is_small_plain_and_says_what_it_shows(name, truck, given):
    answered = answer(name, truck, given)
    text = charts.svg(charts.chart_of(name), answered)
    assert len(text.encode()) < LARGEST
    for bad in ("style", "NaN", "undefined", "null", "Infinity", "http", "<rect", "<image", "<script"):
        assert bad not in text
    drawn = ElementTree.fromstring(text)
    assert drawn.get("role") == "img"
    assert drawn.get("viewBox", "").startswith("0 0 360 ")
    assert drawn.get("aria-label", "").endswith(answered["answer"])
    assert {one.get("font-size") for one in drawn.iter("text")} == {"14"}


@pytest.mark.parametrize(("name", "truck", "given"), CASES, ids=NAMES)
def test_paper_gets_black_and_white_only(name, truck, given):
    drawn = picture(answer(name, truck, given), paper=True)
    colors = {element.get(key) for element in drawn.iter() for key in ("fill", "stroke")}
    assert colors <= {None, "none", "#000", "#fff"}
    assert "#000" in colors


@pytest.mark.parametrize("name", CHARTED)
def test_a_picture_holds_only_what_the_page_would_take_from_storage(name):
    script = (ROOT / "docs/assets/charts.js").read_text("utf-8")
    allowed = {which: set(re.findall(r'"([\w-]+)"', re.search(rf"{which} = new Set\(\[(.*?)\]\)", script, re.DOTALL)[1]))
               for which in ("ELEMENTS", "ATTRIBUTES")}
    drawn = picture(answer(name, "tamarack"))
    assert {element.tag for element in drawn.iter()} <= allowed["ELEMENTS"]
    assert {key for element in drawn.iter() for key in element.keys()} - {"role", "aria-label"} <= allowed["ATTRIBUTES"]


@pytest.mark.parametrize("name", CHARTED)
@pytest.mark.parametrize("truck", TRUCKS)
def test_the_table_under_a_chart_holds_every_row_of_its_list(name, truck):
    answered = answer(name, truck)
    figure = str(charts.figure(answered))
    for listed in charts.lists(name):
        assert f'data-result="{listed}"' in figure
        cells = re.findall(r'data-field="(\w+)" data-value="([^"]*)"', figure)
        due = [(field, "" if cell["value"] is None else str(cell["value"]).replace("True", "true").replace("False", "false"))
               for row in answered["results"][listed] for field, cell in row.items()]
        assert cells == due
    if not charts.lists(name):
        told = dict(re.findall(r'data-from="([\w.]+)">([^<]*)<', figure))
        assert told["results.front_axle_load"] == draw.shown(answered["results"]["front_axle_load"])
        assert told["inputs.front_axle_rating"] == draw.shown(answered["inputs"]["front_axle_rating"])
        assert len(told) == 9


def test_a_calculator_without_a_chart_has_an_empty_figure():
    assert charts.figure(answer("idle_bill")) == ""
    assert charts.lists("idle_bill") == ()


@pytest.mark.parametrize("paper", [False, True])
def test_a_truck_whose_weights_nobody_told_has_no_picture_of_them(paper):
    """Axles without a distance between them, and a bar "of undefined", were drawn."""
    own = {"format": "diesel-handover-truck", "version": 1, "name": "Mine", "facts": {"plows": "yes"}}
    answer = calculators.with_words(calculators.answer("axle_load", truck=own, today=TODAY))
    assert charts.figure(answer, paper=paper) == ""


@pytest.mark.parametrize("given", [{}, {"long_trips_per_week": "0"}, {"long_trips_per_week": "12"}])
def test_filter_load_is_drawn_day_by_day_on_one_scale(given):
    answered = answer("regeneration", None, given)
    rows = answered["results"]["filter_load"]
    lines = {path.get("stroke-width"): points(path) for path in picture(answered).iter("path") if len(points(path)) == len(rows)}
    now, more = lines["3.5"], lines["2"]
    top = max(105, *(row[which]["value"] for row in rows for which in ("load", "load_with_one_more")))
    for (x, y), (other_x, other_y), row in zip(now, more, rows, strict=True):
        assert x == other_x == pytest.approx(46 + 300 * row["day"]["value"] / rows[-1]["day"]["value"], abs=0.02)
        assert y == pytest.approx(94 - 68 * row["load"]["value"] / top, abs=0.02)
        assert other_y == pytest.approx(202 - 68 * row["load_with_one_more"]["value"] / top, abs=0.02)


@pytest.mark.parametrize("given", [{}, {"long_trips_per_week": "0"}, {"long_trips_per_week": "20", "long_trip_time": "120"},
                                   {"long_trips_per_week": "8"}, {"long_trips_per_week": "0.01", "short_trips_per_week": "20"}])
def test_the_first_burn_is_the_day_on_which_the_filter_gets_emptier(given):
    """A burn may come on the very day on which the filter gets full, so that no row of the table is at 100 %."""
    answered = answer("regeneration", None, given)
    loads = [row["load"]["value"] for row in answered["results"]["filter_load"]]
    emptier = [day for day in range(1, len(loads)) if loads[day] < loads[day - 1]]
    full = [day for day, load in enumerate(loads) if load >= 100]
    finishes = answered["results"]["share_of_trips_long_enough"]["value"]
    told = [text for text in words(picture(answered)) if "burn" in text or "full" in text]
    assert told == ([f"first burn: day {emptier[0]}"] if emptier
                    else [f"{'full' if finishes else 'no burn; full'}: day {full[0]}"] if full else [])


def test_where_no_burn_ever_finishes_no_label_lies_on_another():
    """Six weeks of soot squeeze a full filter down to the ground."""
    given = {"long_trips_per_week": "0", "short_trip_time": "9", "short_trips_per_week": "39", "idle_hours_per_week": "41"}
    drawn = picture(answer("regeneration", None, given))
    marks = [place(one) for one, text in zip(drawn.iter("text"), words(drawn), strict=True) if text.endswith("%")]
    assert marks and all(abs(one[1] - other[1]) >= 14 for one, other in itertools.combinations(marks, 2))


@pytest.mark.parametrize("truck", TRUCKS)
def test_the_timeline_shows_recorded_jobs_first_by_date_in_the_engines_words(truck):
    answered = answer("service_due", truck)
    jobs = sorted(answered["results"]["jobs"], key=lambda row: (not row["recorded"]["value"], row["due_date"]["value"]))[:8]
    drawn = picture(answered)
    at = {text: place(one) for one, text in zip(drawn.iter("text"), words(drawn), strict=True)}
    assert [text for text, _ in sorted(at.items(), key=lambda item: item[1][1]) if text in {job["job"]["number"] for job in jobs}] \
        == [job["job"]["number"] for job in jobs]
    for job in jobs:
        when = job["due_date"]["number"] if job["recorded"]["value"] else job["governed_by"]["number"]
        assert when in words(drawn)
    left = [job["days_left"]["value"] for job in jobs if job["recorded"]["value"]]
    solid = sorted((line for line in drawn.iter("line") if line.get("stroke-width") == "3.5"), key=lambda line: place(line)[1])
    ends = [float(line.get("x2", "0")) for line in solid]
    assert ends == pytest.approx([344 * days / max(90, *left) for days in left], abs=0.02)


def test_an_overdue_job_says_so():
    assert any(text.startswith("was due ") for text in words(picture(answer("service_due", None, EVERY_JOB))))


@pytest.mark.parametrize("truck", TRUCKS)
def test_cost_bars_are_as_long_as_the_money_they_name(truck):
    answered = answer("fluid_cost", truck)
    lines = answered["results"]["lines"]
    drawn = picture(answered)
    most = max(line[which]["value"] for line in lines for which in ("diesel", "gasoline"))
    solid = bars(drawn, fill="var(--filled,var(--ink))")
    assert solid == pytest.approx([210 * line["diesel"]["value"] / most for line in lines], abs=0.02)
    assert bars(drawn, stroke="var(--ink)") == pytest.approx([210 * line["gasoline"]["value"] / most for line in lines], abs=0.02)
    assert {f"{line['diesel']['number']} diesel" for line in lines} <= set(words(drawn))


@pytest.mark.parametrize(("name", "given", "first", "second"), [
    *(("diesel_or_gasoline", {"ownership_time": years}, "diesel", "gasoline") for years in ("1", "6", "30")),
    ("protection_worth", {}, "with_protection", "without"),
])  # fmt: skip
def test_cash_flow_bars_keep_their_proportions_on_both_sides_of_the_line(name, given, first, second):
    answered = answer(name, None, given)
    rows = answered["results"]["cash_flow"]
    tall = {}
    for which, look in ((first, {"fill": "var(--filled,var(--ink))"}), (second, {"stroke": "var(--ink)"})):
        paths = [path.get("d") for path in picture(answered).iter("path") if all(path.get(k) == v for k, v in look.items())]
        sides = [re.search(r"h[\d.]+v([\d.]+)h", d) for d in paths if d]
        tall[which] = [float(side[1]) for side in sides if side][: len(rows)]
    share = tall[first][0] / rows[0][first]["value"]
    for which, drawn in tall.items():
        assert drawn == pytest.approx([abs(row[which]["value"]) * share for row in rows], abs=0.05)


@pytest.mark.parametrize("wheelbase", ["120", "160", "250"])
def test_weights_stand_to_scale_between_the_axles(wheelbase):
    answered = answer("axle_load", None, {"wheelbase": wheelbase, "cargo_weight": "700", "cargo_ahead": "30", "tongue_weight": "900",
                                          "tongue_behind": "50", "plow_ahead": "45", "occupants_ahead": "60"})  # fmt: skip
    drawn = picture(answered)
    rear, front = sorted(place(path)[0] for path in drawn.iter("path") if "A" in path.get("d", ""))
    scale = (front - rear) / float(wheelbase)
    arrows = sorted(place(line)[0] for line in drawn.iter("line") if line.get("stroke") == "var(--filled,var(--ink))")
    assert arrows == pytest.approx([rear + scale * ahead for ahead in (-50, 30, 60, float(wheelbase) + 45)], abs=0.05)
    told = words(drawn)
    for weight in ("tongue 900 lb", "cargo 700 lb", "people 400 lb", "plow 850 lb"):
        assert weight in told
    for axle in ("front", "rear"):
        assert f"{axle} axle: {draw.shown(answered['results'][f'{axle}_axle_load'])}" in told


@pytest.mark.parametrize(("load", "full"), [("3000", 120 * 3000 / 7000), ("8000", 120 * 8000 / 7000), ("15000", 160)])
def test_an_axle_passes_the_mark_of_its_rating_when_it_is_over_it(load, full):
    empty = {"plow_weight": "0", "occupants_weight": "0", "rear_axle_weight": load, "front_axle_weight": "3000"}
    drawn = picture(answer("axle_load", None, empty))
    assert bars(drawn, fill="var(--filled,var(--ink))")[0] == pytest.approx(full, abs=0.02)


@pytest.mark.parametrize("name", ["regeneration", "axle_load", "trailer_check"])
def test_what_moves_the_answer_shows_the_six_widest_in_order(name):
    moved = calculators.sensitivity(name, {}, None, TODAY)
    fold = str(charts.sensitivity(answer(name), moved))
    drawn = ElementTree.fromstring(re.search(r"<svg.*?</svg>", fold)[0])  # type: ignore[index]
    rows = moved["rows"][:6]
    told = " ".join(words(drawn)).replace("\u00a0", " ")
    long = bars(drawn, fill="var(--filled,var(--ink))")
    spans = [abs(row["result_at_high"]["value"] - row["result_at_low"]["value"]) for row in rows]
    assert long == sorted(long, reverse=True)
    assert [one / long[0] for one in long] == pytest.approx([span / spans[0] for span in spans], abs=0.01)
    for row in rows:
        assert draw.shown(row["result_at_low"]) in told
        assert draw.shown(row["result_at_high"]) in told
        assert row["input"]["phrase"].split()[0] in told
    assert fold.count('data-move="result_at_high"') == len(rows)
    assert f'<p>Tried: {moved["tried"]}.</p>' in fold
    assert " °F" not in told and " %" not in told


def test_nothing_is_shown_where_nothing_moves_the_answer():
    assert charts.sensitivity(answer("wrong_fluid"), calculators.sensitivity("wrong_fluid", {}, None, TODAY)) == ""


def test_words_keep_every_digit_and_sign():
    told = {"diesel": (1.5, "$1.2345"), "gasoline": (1, "<&>"), "item": ("x", "x")}
    rows = [draw.flat({name: {"value": value, "phrase": phrase} for name, (value, phrase) in told.items()})]
    drawn = draw.picture("cost", rows)
    assert "$1.2345 diesel" in drawn
    assert "&lt;&amp;&gt; gasoline" in drawn


@pytest.mark.parametrize("name", CHARTED)
def test_a_pdf_says_what_a_chart_shows(name):
    answered = answer(name)
    figure = charts.figure(answered, paper=True, with_table=False)
    pdf = weasyprint.HTML(string=f"<html lang=en><title>x</title>{figure}").write_pdf(pdf_variant="pdf/ua-1", pdf_tags=True)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        said = [str(one["/Alt"]) for one in opened.objects if isinstance(one, pikepdf.Dictionary) and "/Alt" in one]
    assert [words for words in said if words.endswith(answered["answer"])]


def test_the_same_bytes_in_another_process():
    code = ("import hashlib, calculators; from macros import chart_script; from pieces import charts; "
            "a = calculators.with_words(calculators.answer('regeneration', {}, None, '2026-11-25')); "
            "print(hashlib.sha256((str(charts.figure(a)) + chart_script.script()).encode()).hexdigest())")
    elsewhere = {**os.environ, "PYTHONHASHSEED": "7", "PYTHONPATH": str(ROOT), "TZ": "Asia/Tokyo"}
    other = subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=elsewhere, capture_output=True, text=True, check=True)
    here = hashlib.sha256((str(charts.figure(answer("regeneration"))) + chart_script.script()).encode()).hexdigest()
    assert other.stdout.strip() == here


def test_the_script_for_the_page_asks_nobody_and_needs_no_eval():
    script = chart_script.script()
    assert set(re.findall(r"https?://([\w.-]+)", script)) == {"www.w3.org"}  # names of XML, never fetched
    assert "import(" not in script
    assert "University of Washington" in script
    for kind in charts.KINDS:
        assert f'"{draw.spec_of(kind)}":' in script
