"""Page, paper and command line say the same of a truck, to the last digit shown; for both example trucks.

The command line reads the truck from a file, as an owner's would be. The first truck's pages are those of the built site; the second's
cards come from the renderer that page and paper share, and its sheets from the program that prints them.
"""

import contextlib
import io
import json
from pathlib import Path
from typing import Any

import pytest
from lxml.html import HtmlElement, fromstring

import calculators
import pieces
from calculators.__main__ import main
from pieces.numbers import Numbers
from tests.print.paper import FLEET, LIVE, SHEETS, STATIC, TODAY, UNNUMBERED, numbers, page, printed, said

JUNIPER, TAMARACK = calculators.example_trucks()


def command_line(truck: str, today: str, folder: Path) -> dict[str, Any]:
    """What `python -m calculators NAME --json --truck FILE` says, by name."""
    file = folder / f"{truck}.json"
    file.write_text(json.dumps(calculators.example_truck(truck)), "utf-8")
    answers = {}
    for name in calculators.NAMES:
        day = [f"today={today}"] if calculators.goes_by_day(name) else []
        with contextlib.redirect_stdout(io.StringIO()) as out:
            assert main([name, "--json", "--truck", str(file), *day]) == 0
        answers[name] = json.loads(out.getvalue())
    return answers


@pytest.fixture(scope="module")
def pages(site: Path) -> dict[str, HtmlElement]:
    return {path.stem: fromstring(path.read_text("utf-8")) for path in sorted(site.glob("*.html"))}


@pytest.fixture(scope="module")
def built_for(pages: dict[str, HtmlElement]) -> str:
    """The day the site's numbers were computed for, as its own form says."""
    return next(value for root in pages.values() for value in root.xpath('//form[@id="service_due"]//input[@name="today"]/@value'))


@pytest.fixture(scope="module")
def juniper(built_for: str, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    return command_line(JUNIPER, built_for, tmp_path_factory.mktemp("trucks"))


@pytest.fixture(scope="module")
def tamarack(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    return command_line(TAMARACK, TODAY, tmp_path_factory.mktemp("trucks"))


def cards(root: HtmlElement) -> list[HtmlElement]:
    return root.xpath('//section[contains(@class, "calc")][@data-calculator]')  # type: ignore[no-any-return]


def shown(element: HtmlElement) -> str:
    """What a reader sees of an element."""
    return " ".join(element.text_content().split())


def worded(value: dict[str, Any], in_the_working: bool = False) -> dict[str, Any]:
    """A value of the JSON with its words: in the working with the digits that a step needs."""
    answer = {"results": {"x": value}, "inputs": {}, "assumes": [], "yours": [], "working": [{"result": value}]}
    said = calculators.with_words(answer)
    found = said["working"][0]["result"] if in_the_working else said["results"]["x"]
    assert isinstance(found, dict)
    return found


def same(element: HtmlElement, value: dict[str, Any], where: str) -> None:
    """An element's unrounded value, its unit and its visible words are those of one value of the JSON."""
    told = element.get("data-value")
    plain = value["value"]
    expected = "" if plain is None else plain if isinstance(plain, str) else json.dumps(plain)
    assert told == expected, where
    assert element.get("data-unit", "") == value.get("unit", ""), where
    words = worded(value, in_the_working=bool(element.xpath("ancestor::ol[contains(@class, 'work')]")))
    if plain is None:
        assert shown(element) == "—" or value["why"].lower() in shown(element).lower(), (where, shown(element))
    else:
        assert shown(element).lower().startswith(words["number"].lower()), (where, shown(element), words["number"])
        assert words["unit_short"] in shown(element), where


def compare(card: HtmlElement, answer: dict[str, Any]) -> int:
    """How many values of a card are those of an answer; any other fails."""
    tried = 0
    for name, value in answer["results"].items():
        found = card.xpath(f'.//*[@data-result="{name}"]')
        if isinstance(value, list):
            tried += compare_list(found[0] if found else None, value, f"{answer['calculator']}.{name}")
            continue
        for element in found:
            same(element, value, f"{answer['calculator']}.{name}")
            tried += 1
    said = card.xpath(".//*[@data-answer]")[0]
    assert shown(said.xpath("*[@lang='en']")[0] if card.get("data-both") is not None else said) == answer["answer"]
    return tried


def compare_list(table: HtmlElement | None, rows: list[dict[str, Any]], where: str) -> int:
    assert table is not None, f"{where} stands nowhere"
    shown_rows = table.xpath(".//tbody/tr[.//*[@data-field]]")
    assert len(shown_rows) == len(rows), where
    tried = 0
    for number, (line, row) in enumerate(zip(shown_rows, rows, strict=True)):
        for cell in line.xpath(".//*[@data-field]"):
            same(cell, row[cell.get("data-field")], f"{where}[{number}].{cell.get('data-field')}")
            tried += 1
    return tried


def test_every_calculator_has_its_card_in_the_guide(pages: dict[str, HtmlElement]) -> None:
    found = {card.get("data-calculator") for root in pages.values() for card in cards(root)}
    assert found == set(calculators.NAMES)


@pytest.mark.parametrize("name", calculators.NAMES)
def test_a_card_on_a_page_says_what_the_command_line_says(name: str, pages: dict[str, HtmlElement], juniper: dict[str, Any]) -> None:
    found = [card for root in pages.values() for card in cards(root) if card.get("data-calculator") == name]
    assert found
    for card in found:
        numbers = sum(isinstance(value, dict) for value in juniper[name]["results"].values())
        assert compare(card, juniper[name]) >= numbers / 2


@pytest.mark.parametrize("name", calculators.NAMES)
def test_a_card_for_the_other_truck_says_what_the_command_line_says(name: str, tamarack: dict[str, Any]) -> None:
    worded = calculators.with_words(calculators.answer(name, truck=calculators.example_truck(TAMARACK), today=TODAY))
    card = fromstring(str(pieces.card(worded, calculators.form(name), truck="Tamarack")))
    numbers = sum(isinstance(value, dict) for value in tamarack[name]["results"].values())
    assert compare(card, tamarack[name]) >= numbers / 2


def phrase(key: str, answers: dict[str, Any]) -> str | None:
    """The words of a key's value, from the JSON alone; None for a fact that no calculator asks."""
    calculator, _, path = key.partition(".")
    if calculator not in answers:
        value = next((answer["inputs"][key] for answer in answers.values() if key in answer["inputs"]), None)
        if value is None:
            return None
        kind = {"results": {}, "inputs": {key: value}, "working": []}
        return str(calculators.with_words(kind)["inputs"][key]["phrase"])
    if path == "answer":
        return str(answers[calculator]["answer"])
    value = answers[calculator]["results"]
    for step in path.split("."):
        if isinstance(value, list):
            value = value[int(step)] if step.isdigit() else next(row for row in value if next(iter(row.values()))["value"] == step)
        else:
            value = value[step]
    return str(worded(value)["phrase"])


def test_numbers_in_sentences_are_the_command_lines(pages: dict[str, HtmlElement], juniper: dict[str, Any]) -> None:
    tried = set()
    for name, root in pages.items():
        for element in root.xpath('//*[contains(concat(" ", @class, " "), " live ")][@data-live]'):
            key = element.get("data-live")
            if element.get("data-given") or key.endswith(".spread"):
                continue
            if (expected := phrase(key, juniper)) is not None:
                assert shown(element) == " ".join(expected.split()), (name, key)
                tried.add(key)
    assert len(tried) >= 15
    assert any("." in key for key in tried), "no result stands in a sentence"


def test_the_slips_of_the_specimen_are_those_of_the_pages(pages: dict[str, HtmlElement]) -> None:
    def told(slip: HtmlElement) -> list[tuple[str, str | None, str]]:
        return [(one.tag, one.get("class"), (one.text or "").strip()) for one in slip.iter() if "data-show-example" not in one.attrib][1:]

    example, *own = pages["specimen"].xpath('//div[contains(@class, "slip static")]')
    (on_page,) = pages["idling"].xpath('//*[@id="slip-idle_bill-cost_per_year"]')
    assert told(example) == told(on_page)
    for slip, rests in zip(own, ("yours", "partly"), strict=True):
        assert slip.xpath('.//*[@class="num"]/@data-rests') == [rests]
        assert shown(slip.xpath(".//*[@data-origin]")[0]) == pieces.ORIGINS[f"made-{rests}"].format(truck="Tamarack")
        assert {what[:2] for what in told(example)} <= {what[:2] for what in told(slip)}
    assert [slip.xpath(".//*[@data-made]/li/@data-rests") for slip in own] == [["yours", "yours"], ["partly", "example"]]


def test_the_slip_of_a_number_says_the_same(pages: dict[str, HtmlElement], juniper: dict[str, Any]) -> None:
    """The working in a slip comes to the number in the sentence."""
    tried = 0
    for name, root in pages.items():
        for element in root.xpath('//*[contains(concat(" ", @class, " "), " live ")][@data-live]'):
            key = element.get("data-live")
            calculator, _, result = key.partition(".")
            if calculator not in juniper or result not in juniper[calculator]["results"]:
                continue
            slip = root.xpath(f'//*[@id="{element.get("popovertarget")}"]')
            assert slip, (name, key)
            assert worded(juniper[calculator]["results"][result])["number"] in shown(slip[0]), (name, key)
            tried += 1
    assert tried >= 5


def number(key: str, answers: dict[str, Any], truck: str, today: str) -> dict[str, Any]:
    """A number's value and words: from the JSON, else a fact that no calculator asks."""
    words = phrase(key, answers)
    value: dict[str, Any] = Numbers(calculators.example_truck(truck), today)[key]
    return value if words is None else {"value": value["value"], "phrase": words}


@pytest.mark.parametrize("sheet", SHEETS)
def test_paper_says_what_the_pages_say(sheet: str, tamarack: dict[str, Any]) -> None:
    """The other truck's sheet, as PDF: every number on it that a calculator makes."""
    on_paper = said(printed(sheet, TAMARACK))
    shown_there = numbers(page(sheet, TAMARACK))
    assert bool(shown_there) == (sheet not in (*STATIC, *UNNUMBERED)), "only these sheets hold no number"
    for each in shown_there:
        due = number(each.key, tamarack, TAMARACK, TODAY)
        assert each.words == each.meant(due["phrase"], due["value"]), each.key
        assert "".join(each.words.split()) in on_paper, each.key


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_sites_own_sheets_say_what_its_pages_say(sheet: str, site: Path, juniper: dict[str, Any], built_for: str) -> None:
    text = (site / "sheets" / f"{sheet}.html").read_text("utf-8")
    on_paper = said((site / "sheets" / f"{sheet}.pdf").read_bytes())
    found = numbers(text)
    assert len(LIVE.findall(text)) == text.count('<span class="number'), "a number that none of this compares"
    for each in found:
        due = number(each.key, juniper, JUNIPER, built_for)
        assert each.words == each.meant(due["phrase"], due["value"]), each.key
        assert "".join(each.words.split()) in on_paper, each.key
    made = {each.key for each in found if "." in each.key}
    assert bool(made) == (sheet not in (*STATIC, *UNNUMBERED, *FLEET)), "only these sheets hold no result"


def test_the_two_trucks_differ_everywhere(juniper: dict[str, Any], tamarack: dict[str, Any]) -> None:
    for name in ("idle_bill", "service_due", "regeneration", "fluid_cost", "exhaust_fluid_use", "axle_load", "trailer_check", "duty_fit"):
        assert juniper[name]["results"] != tamarack[name]["results"], name
