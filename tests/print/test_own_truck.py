"""A truck of somebody's own: no sheet says more than its owner told."""

import io
import re

import pikepdf
import pypdfium2
import pytest

import calculators
import print as paper
from pieces.numbers import Numbers
from print import pdf, wording
from tests.print.paper import OWN, TODAY, numbers, said, visible

FORMAT = {"format": "diesel-handover-truck", "version": 1}
NAMELESS = FORMAT | {"name": "Mine", "facts": {}}
FIVE = FORMAT | {"name": "Big Red", "facts": {"distance_per_week": 300, "idle_hours_per_week": 8, "fuel_price": 4.1, "odometer": 87412,
                                             "plows": "yes"}}
TOLD = {key: Numbers(truck, TODAY) for key, truck in (("name", NAMELESS), ("five", FIVE))}


@pytest.mark.parametrize("sheet", OWN)
@pytest.mark.parametrize(("told", "truck"), [("name", NAMELESS), ("five", FIVE)])
def test_what_rests_on_the_example_is_a_blank_or_marked(sheet, told, truck):
    made = paper.render(sheet, truck, today=TODAY)
    for each in numbers(made):
        if not each.words or each.key == "today" or each.key.startswith("truck."):
            continue
        calculator, _, result = each.key.partition(".")
        if not result:
            assert calculators.facts(truck, TODAY)[each.key]["from"] != "example", each.key
        elif result == "answer":
            answer = TOLD[told].answer(calculator)
            assert answer.get("answer_rests_on") != "example", each.key
            assert (answer.get("answer_rests_on") == "partly") == each.marked, each.key
        else:
            value = TOLD[told][each.key]
            assert value.get("rests_on") != "example", each.key
            assert all(key.startswith("done.") for key in value.get("tell", ())), each.key
            assert (value.get("rests_on") == "partly") == each.marked, each.key


def test_five_facts_leave_the_plow_sheet_without_a_weight():
    """It printed "Front axle carries 5,839 pounds" from weights that nobody told."""
    shown = {each.key: each.words for each in numbers(paper.render("plow-on-off", FIVE, today=TODAY))}
    assert {words for key, words in shown.items() if key.startswith("axle_load.") and key != "axle_load.answer"} == {""}
    assert "No verdict yet" in shown["axle_load.answer"]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize(("sheet", "weighs"), [("plow-on-off", "plow_weight"), ("trailer-hook-up", "trailer_weight")])
def test_what_is_not_there_weighs_nothing_on_paper_but_is_a_blank(sheet, weighs, language):
    without, with_it = (FIVE | {"facts": {"plows": told, "tows": told} | more} for told, more in (("no", {}), ("yes", {weighs: "777 lb"})))
    pages = [said(pdf.write([pdf.lay_out(paper.render(sheet, truck, language, TODAY))])) for truck in (without, with_it)]
    assert calculators.facts(without, TODAY)[weighs]["value"] == 0
    assert re.findall(r"(?:0|777)(?:pounds|libras)", " ".join(pages)) == ["777pounds" if language == "en" else "777libras"]


@pytest.mark.parametrize(("sheet", "language", "says"), [
    ("glovebox-card", "en", "Drive till it is out: 40 minutes+."), ("handover-checklist", "en", "40 minutes"),
    ("cold-morning-card", "es", "40 minutos")])
def test_a_drive_to_finish_a_burn_is_never_a_blank(sheet, language, says):
    """It printed "Drive till it is out: ____+." for whoever sees the light; the trade's 40 minutes are nobody's example."""
    assert "".join(says.split()) in said(pdf.write([pdf.lay_out(paper.render(sheet, NAMELESS, language, TODAY))]))


def test_where_its_cold_is_told_a_drive_lasts_as_long_as_that_wants():
    """50 minutes at 30 below, and 40 from 20 °F up, as it was agreed."""
    for told, minutes in ((-30, "50 minutes"), (20, "40 minutes")):
        truck = FIVE | {"facts": FIVE["facts"] | {"outside_temperature": told}}
        shown = {each.key: each.words for each in numbers(paper.render("handover-checklist", truck, today=TODAY))}
        assert shown["regeneration.advised_drive_time"] == minutes


def test_a_picture_is_marked_as_its_sentence_is_and_there_is_none_of_the_examples():
    assert '<figcaption class="number" data-rests="partly">' in paper.render("owners-summary", FIVE, today=TODAY)
    assert "<figure" not in paper.render("owners-summary", NAMELESS, today=TODAY)
    assert "data-rests" not in paper.render("owners-summary", None, today=TODAY)


@pytest.mark.parametrize(("sheet", "language"), [("trucks-record", "en"), ("service-log", "en"), ("service-log", "es")])
def test_a_job_that_it_may_not_have_says_on_what_that_depends(sheet, language):
    """Nobody told of four-wheel drive or a plow: no sheet knows of a transfer case."""
    oil, fluid, case, plow = {"en": ("Differentialoil", "Plowhydraulicfluid", "Transfercaseoil,iffour-wheeldrive", ",ifitplows"),
                              "es": ("Aceitedeldiferencial", "Fluidohidráulicodelquitanieves",
                                     "Aceitedelacajadetransferencia,sitienedobletracción", ",sillevaquitanieves")}[language]

    def text(**facts):
        truck = NAMELESS | {"facts": facts}
        return said(pdf.write([pdf.lay_out(paper.render(sheet, truck, language, TODAY), "letter")]))

    unknown, told = text(), text(four_wheel_drive="yes", plows="yes")
    assert case in unknown and fluid + plow in unknown and oil + "," not in unknown
    assert case.partition(",")[0] in told and fluid in told and case not in told and plow not in told


@pytest.mark.parametrize(("language", "now"), [("en", "do it now"), ("es", "hágalo ya")])
def test_a_drain_record_without_a_record_starts_now_and_leaves_its_dates_to_the_pen(language, now):
    """The first row says what the page says of the job; nobody reads the same words twelve times."""
    made = paper.render("monthly-walk-round", NAMELESS, language, TODAY)
    rows = re.findall(r'<th scope="row">(.*?)</th>', visible(made), re.S)
    assert [" ".join(re.sub("<[^>]+>", "", row).split()) for row in rows] == [now, *[""] * 11]
    assert said(pdf.write([pdf.lay_out(made, "letter")])).count("".join(now.split())) == 1


PLOWS = {"monthly-walk-round": ({"en": "Frontandplow", "es": "Frenteyquitanieves"}, {"en": "Front", "es": "Frente"},
                                {"en": "Plowpinsandbolts", "es": "Pasadores,tornillos"}),
         "cold-morning-card": ({"en": "Plow,lights,loads", "es": "Quitanieves,luces,cargas"},
                               {"en": "Lights,loads", "es": "Luces,cargas"}, None)}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("sheet", PLOWS)
def test_a_truck_told_not_to_plow_has_no_plow_on_its_sheets(sheet, language):
    """Words, boxes and drawing; where nobody told, it may plow, and its points keep their numbers either way."""
    with_it, without, row = PLOWS[sheet]
    made = {}
    for told, facts in (("untold", {}), ("yes", {"plows": "yes"}), ("no", {"plows": "no"}), ("weighs nothing", {"plow_weight": "0 lb"})):
        data = pdf.write([pdf.lay_out(paper.render(sheet, NAMELESS | {"facts": facts}, language, TODAY), "letter")])
        text = said(data)
        plows = told in ("untold", "yes")
        assert (with_it[language] in text) is plows and (without[language] in text.replace(with_it[language], "")) is not plows, told
        assert row is None or (row[language] in text) is plows, told
        assert all(text.count(str(number)) for number in range(1, len(wording.read(sheet)["stops"]) + 1))
        with pikepdf.open(io.BytesIO(data)) as opened:
            made[plows] = len(opened.Root.AcroForm.Fields), data
    assert made[True][0] - made[False][0] == (1 if row else 0)
    if row:  # the blade is drawn in front of the second point, left of everything else
        blade = [pypdfium2.PdfDocument(data)[0].render(scale=4).to_pil().convert("L").crop((180, 500, 245, 800)).histogram()[0]
                 for _, data in (made[True], made[False])]
        assert blade[0] > blade[1]
