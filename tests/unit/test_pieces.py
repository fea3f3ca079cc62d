"""Pieces of an answer as HTML: whole, escaped, nothing twice, nothing a strict policy refuses."""

import json
import re
from html.parser import HTMLParser

import pytest
from markupsafe import Markup

import calculators
import pieces
from calculators.engine import view
from pieces import forms, my_truck
from pieces.markup import Both, html
from pieces.tables import MANY
from tests.unit.ask import values

TODAY = "2026-11-25"
HOSTILE = '<script>alert(1)</script>"\' onload=x & {0} {value}'


class Elements(HTMLParser):
    """Every start tag with its attributes, and the text."""

    def __init__(self, text):
        super().__init__()
        self.found, self.text = [], ""
        self.feed(str(text))

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))

    def handle_data(self, data):
        self.text += data

    def having(self, name):
        return [attributes for _, attributes in self.found if name in attributes]


def worded(name, **told):
    return calculators.with_words(calculators.answer(name, told, today=TODAY))


def card(name, answer=None):
    return pieces.card(answer or worded(name), calculators.form(name), truck="Juniper")


def truck_form():
    return my_truck.truck_form(calculators.truck_form(), calculators.facts(today=TODAY), "Juniper")


@pytest.fixture(params=calculators.NAMES)
def name(request):
    return request.param


def test_every_result_stands_in_the_card_once_and_unrounded(name):
    results = calculators.answer(name, today=TODAY)["results"]
    places = {}
    for element in Elements(card(name)).having("data-result"):
        assert element["data-result"] not in places, f"{element['data-result']} stands twice"
        places[element["data-result"]] = element
    assert set(places) == set(results)
    for result, value in results.items():
        if not isinstance(value, list):
            assert places[result]["data-unit"] == value.get("unit", "")
            shown = places[result]["data-value"]
            told = value["value"]
            assert shown == (told if isinstance(told, str) else "" if told is None else json.dumps(told))


def test_every_cell_of_a_list_is_unrounded(name):
    cells = [element for element in Elements(card(name)).having("data-field")]
    lists = [value for value in calculators.answer(name, today=TODAY)["results"].values() if isinstance(value, list)]
    rows = [row for value in sorted(lists, key=lambda rows: len(rows) > MANY) for row in value]  # the long ones stand last, closed
    told = [(field, cell) for row in rows for field, cell in row.items()]
    assert [(c["data-field"], c["data-value"]) for c in cells] == [(field, pieces.plain(cell["value"])) for field, cell in told]


def test_every_input_is_one_field_that_is_named_and_can_show_its_fault(name):
    page = Elements(card(name))
    asked = [attributes for tag, attributes in page.found if tag in ("input", "select") and "name" in attributes]
    assert sorted(field["name"] for field in asked) == sorted({field.name for field in calculators.form(name)})
    ids = [attributes["id"] for attributes in page.having("id")]
    assert len(ids) == len(set(ids))
    named = {attributes["for"] for attributes in page.having("for")}
    for field in asked:
        assert field["id"] in named and set(field["aria-describedby"].split()) <= set(ids)


def test_the_form_holds_what_the_answer_was_made_from(name):
    """Typed back into the calculator, what stands in the form gives the same answer, but for the rounding of derived facts."""
    answer = worded(name)
    held = {a["name"]: a.get("value", "") for tag, a in Elements(card(name)).found if tag == "input" and a.get("value")}
    given = {field: text for field, text in held.items() if answer["inputs"][field]["from"] == "example"}
    assert values(calculators.answer(name, given, today=TODAY)) == values(calculators.answer(name, today=TODAY))


def test_order_is_verdict_results_form_working_sources(name):
    text = card(name)
    places = [text.index(piece) for piece in ("data-verdict", 'class="results"', "<form", "data-working", "data-sources")]
    assert places == sorted(places)


def test_no_line_break_no_style_no_handler(name):
    text = card(name) + pieces.page_end(worded(name)["sources"], ()) + truck_form()
    assert "\n" not in text
    for tag, attributes in Elements(text).found:
        assert "style" not in attributes and not [a for a in attributes if a.startswith("on")], tag


def hostile(thing):
    """The same answer with every word in it turned into an attack."""
    if isinstance(thing, dict):
        return {key: value if key in ("name", "unit", "signal", "calculator", "value") else hostile(value) for key, value in thing.items()}
    if isinstance(thing, list):
        return [hostile(value) for value in thing]
    return HOSTILE if isinstance(thing, str) else thing


def test_no_word_becomes_markup():
    calm = Elements(card("idle_bill"))
    answer = hostile(worded("idle_bill")) | {"headline": worded("idle_bill")["headline"]}
    for value in answer["results"].values():
        value["shown"] += " h"
    text = pieces.card(answer, calculators.form("idle_bill"), truck=HOSTILE)
    assert {tag for tag, _ in Elements(text).found} == {tag for tag, _ in calm.found}
    assert HOSTILE in Elements(text).text
    slip = pieces.slip("a.b", HOSTILE, HOSTILE, answer["working"], HOSTILE, "")
    assert "<script" not in slip + pieces.live(HOSTILE, HOSTILE) + pieces.caution("DANGER", HOSTILE, HOSTILE)


def step(name, *needs):
    return {"name": name, "numbers": [{"name": need} for need in needs]}


def test_a_slip_shows_only_the_steps_that_lead_to_its_number():
    steps = [step("a", "given"), step("b"), step("c", "a"), step("d", "b"), step("e", "c", "a")]
    assert [s["name"] for s in view.steps_to("e", steps)] == ["a", "c", "e"]
    assert view.steps_to("unknown", steps) == []


def test_a_slip_begins_with_what_its_number_is_made_of():
    """At most three rows, what is somebody's first; what has no value, a list and a bare constant are none."""
    def told(what, **more):
        return {"label": what, "value": 1, "shown": f"{what} 1", **more}
    usual = {"question": "Usual?", "value": 2, "shown": "2", "from": "example", "kind": "common practice", "whose": "usual"}
    answered = {"inputs": {"usual": usual,
                           "given": {"question": "Told?", "value": 3, "shown": "3", "from": "truck", "whose": "yours"}},
                "results": {"half": told("Half", rests_on="partly", whose="partly yours"), "rows": [],
                            "none": told("None") | {"value": None}, "fixed": told("Fixed")}}
    yours = {"what": "Told?", "shown": "3", "rests_on": "yours", "lines": ["yours"]}
    partly = {"what": "Half", "shown": "Half 1", "rests_on": "partly", "lines": ["partly yours"]}
    usual = {"what": "Usual?", "shown": "2", "lines": ["usual"]}
    assert view.made_of(step("e", "usual", "none", "rows", "constant", "given", "half"), answered) == [yours, partly, usual]
    assert view.made_of(step("e", "usual", "given", "half", "fixed"), answered) == [yours, partly, {"what": "and 2 more, in the working"}]
    assert view.made_of(step("e", "constant"), answered) == []


def test_a_slip_shows_its_rows_and_folds_its_working():
    answer = worded("idle_bill")
    steps = view.steps_to("cost_per_year", answer["working"])
    slip = str(pieces.slip("a.b", "$702", "Cost", steps, "", "", made=view.made_of(steps[-1], answer)))
    before, folded = slip.split("<details")
    assert before.count("<li>") == 2 and "What you pay for diesel" in before and "÷" not in before and "×" not in before
    assert "fuel per year × fuel price" in folded


@pytest.mark.parametrize(("told", "big"), [
    ({"value": 35.2, "number": "35", "shown": "35 min", "phrase": "35 minutes"}, "35 <small>min</small>"),
    ({"value": 3.9, "number": "$3.90", "shown": "$3.90/gal", "phrase": "$3.90 a gallon"}, "$3.90<small>/gal</small>"),
    ({"value": 702.0, "number": "$702", "shown": "$702", "phrase": "$702"}, "$702"),
    ({"value": None, "number": "—", "shown": "—", "phrase": "it never pays back"}, "it never pays back"),
])
def test_a_value_standing_large(told, big):
    assert str(pieces.large(told)) == big


@pytest.mark.parametrize(("value", "look"), [
    (3.5, ""), (0, ""), (None, "why"), ("2026-11-30", "when"), ("distance", "words"), (True, "words")])
def test_the_look_of_a_value(value, look):
    assert view.look({"value": value}) == look


def test_a_view_says_whose_its_values_are():
    answer = worded("regeneration", long_trips_per_week=2)
    made = view.view(answer)
    for name in ("own", "rests", "answer_rests_on", "answer_whose", "yours", "assumes", "turns"):
        assert made[name] == answer[name]
    assert {(cell["rests_on"], cell["whose"]) for cell in made["results"].values() if isinstance(cell, dict) and "rests_on" in cell} == {
        ("example", "example"), ("partly", "partly yours")}
    assert made["inputs"]["long_trips_per_week"]["whose"] == "yours"


@pytest.mark.parametrize(("verdict", "look", "sign"), [
    ("fits", "fits", "on"), ("watch", "watch", "soon"), ("against", "against", "against"), (None, "plain", "")])
def test_the_look_of_a_verdict(verdict, look, sign):
    answer = worded("duty_fit")
    answer["results"]["verdict"]["value"] = verdict
    made = view.view(answer)
    assert (made["look"], made["sign"]) == (look, sign)


@pytest.mark.parametrize(("mistake", "look"), [("def_in_fuel", "stop"), ("water_in_def", "watch")])
def test_the_look_of_a_stop_level(mistake, look):
    assert view.view(worded("wrong_fluid", mistake=mistake))["look"] == look


def jobs(*sections):
    return [{"job": f"job{place}", "name": f"Job {place}", "section": section, "head": section.title(), "dated": section != "ask",
             "when": "Tue, Dec 1", "said": "this week, by the calendar", "usual": False, "due": ["by Tuesday", "Dec 1"],
             "brought_by": "by the calendar"}
            for place, section in enumerate(sections)]


def test_the_table_has_a_head_for_each_section():
    table = str(pieces.job_table(jobs("overdue", "overdue", "later")))
    assert [head for head in re.findall(r'colspan="4">([^<]*)<', table)] == ["Overdue", "Later"]
    assert re.findall(r'<tr data-section="(\w+)"', table) == ["overdue", "overdue", "later"]
    assert '<td class="when">Tue, Dec 1</td><td class="words">by the calendar</td>' in table


def test_jobs_without_a_record_come_last_and_are_counted():
    short = pieces.next_jobs(jobs("later", "ask", "ask"), 4)
    assert short.count("<li ") == 2 and "2 more without a record" in short
    none = pieces.next_jobs(jobs("ask", "ask", "ask"), 2)
    assert none.count("<li ") == 3 and "1 more without a record" in none
    assert "without a record" not in pieces.next_jobs(jobs("later"), 4)


def test_a_date_slip_holds_both_its_lines():
    assert "<span>by Tuesday</span><b>Dec 1</b>" in pieces.date_slip(jobs("this_week")[0], "Juniper")


def test_what_may_fall_below_nothing_gets_a_keypad_with_a_minus_sign():
    fields = {field.name: field for field in calculators.form("regeneration")}
    cold = forms.cell("f", fields["outside_temperature"], "20")
    short = forms.cell("f", fields["short_trip_time"], "20")
    assert 'inputmode="text"' in cold and 'inputmode="decimal"' in short


def test_my_truck_asks_every_fact_once_and_nothing_stands_in_it():
    page = Elements(truck_form())
    names = [a["name"] for tag, a in page.found if tag in ("input", "select") and "name" in a]
    facts = {field.name for field in calculators.truck_form() if not (field.source.record or field.kind == "date")}
    proxies = {a["name"] for tag, a in page.found if "data-sets" in a and "name" in a}  # they set a field of the form, and are none
    names = [name for name in names if name not in proxies]
    entries = {name for name in names if name.startswith(("delivery.", "oil.", "identity."))}  # what was done on a day stands in the book
    assert len(names) == len(set(names)) and set(names) - entries == {"name"} | facts
    assert not [a for tag, a in page.found if tag == "input" and a.get("value") and "data-sets" not in a]


def test_templates_are_the_rows_themselves():
    """Words put into a template's holes give what the row function gives."""
    made = dict(re.findall(r'<template data-row="([\w-]+)">(.*?)</template>', pieces.templates()))
    told = {"signal": "WARNING", "hazard": "It burns.", "text": "Keep off."}
    assert made["caution-WARNING"].format(**told) == pieces.caution(*told.values())
    row = view.step(worded("idle_bill")["working"][0])
    row["lines"] = row["lines"][:1]
    words = {"what": row["what"], "kinds": row["kinds"], "shown": row["result"]["shown"], "lines": row["lines"][0]}
    assert Markup(made["step"]).format(**words) == pieces.work_row(row)
    line = view.source_lines(worded("idle_bill")["sources"])[0]
    assert Markup(made["source"]).format(**line) == pieces.source_row(line)


def test_both_languages_stand_beside_each_other_and_in_a_line_where_nothing_but_text_can():
    both = Both(en="Stop & look", es="Pare y mire")
    assert html("<b>{}</b>", both) == '<b><span lang="en">Stop &amp; look</span> <span lang="es">Pare y mire</span></b>'
    assert str(both) == "Stop & look · Pare y mire"


def test_not_to_know_when_a_job_was_done_is_an_answer():
    assert "Leave empty what you don’t know" in card("service_due") and "Leave empty" not in card("idle_bill")
