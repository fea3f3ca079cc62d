"""A light is on and Wrong fluid in Spanish: whole, next to their English, and in step with it."""

import itertools
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from markupsafe import Markup

import calculators
import pieces
from calculators.engine import view
from calculators.engine.figures import WHOSE
from macros import emergency, two_languages
from macros.pages import Pages
from pieces.wording import number
from print import wording
from tools.ready import ROOT

FLUID = (ROOT / "docs" / "wrong-fluid.md").read_text("utf-8")
TERMS = tomllib.loads(Path(__file__).with_name("terms.toml").read_text("utf-8"))
SHEETS = sorted(path.stem for path in wording.SHEETS.glob("*.toml") if path.stem.startswith("emergency-") or path.stem == "driver-sheet")
BY_SCRIPTS = ("The answer above is the last that worked.", "Starting the calculator…", "Loading")
WORKED = re.compile(r'<span class="f">= [^<]*</span>')
KIND = re.compile(r'<span class="kind">([^<]*)</span>')
IN_LIGHTS = ("drive_to_finish_a_burn", "burn_message_to_shop_after", "def_refill_at_least", "water_to_tow", "fuel_after_running_dry",
             "crank_at_most", "crank_tries_at_most")  # the numbers of A light is on
SAME = {"DEF", "no", "gal"}  # what is the same word in both


def parts(name: str) -> Iterator[tuple[str, Any]]:
    """Each part of a words file that says of which English its Spanish is, by its place."""
    for key, found in two_languages.words(name).items():
        for each in found if isinstance(found, list) else [found]:
            if "of" in each:
                yield f"{name}.toml, {key} {each.get('id', '')}".strip(), each


def chapter_pairs(markdown: str = FLUID) -> list[tuple[str, str]]:
    """The English and the Spanish blocks of the wrong-fluid page, two by two."""
    blocks = two_languages.blocks(markdown)
    assert [language for language, _ in blocks] == ["en", "es"] * (len(blocks) // 2), "each English block is followed by its Spanish one"
    texts = [text for _, text in blocks]
    return list(zip(texts[::2], texts[1::2], strict=True))


def all_pairs() -> list[tuple[str, str]]:
    """Every English of the two pages and the sheets with the Spanish beside it."""
    pairs = [(phrase["en"], phrase["es"]) for name in ("light", "spanish") for phrase in two_languages.phrases(two_languages.words(name))]
    sheets = [(phrase["en"], phrase["es"]) for sheet in SHEETS for phrase in two_languages.phrases(wording.read(sheet))]
    return [*pairs, *sheets, *chapter_pairs()]


def numbers(text: str) -> list[str]:
    """The numbers that a text asks for, and those it has as digits: the steps of a list are not among them."""
    asked = re.findall(r'live\("([\w.]+)"(?:, "es")?([^)]*)\)', text)
    plain = re.sub(r"\{\{.*?\}\}|^\d+\. ", "", text, flags=re.MULTILINE)
    digits = re.findall(r"\d+", re.sub(r"\{[^}]*\}", "", plain))
    return sorted([f"{key}{given}" for key, given in asked] + re.findall(r"\{[a-z_.]+\}", plain) + digits)


def shape(markdown: str) -> list[str]:
    """A block's lines by what they are: heading, step, point, paragraph, caution."""
    kinds = {r"#": "heading", r"\d+\. ": "step", r"- ": "point", r"\{% call (\w+)\(\"?(\w*)": "box", r"\{% endcall": "end"}
    found = []
    for line in re.sub(r"\{#.*?#\}", "", markdown).splitlines():
        if line.strip():
            kind = next(((name, match) for mark, name in kinds.items() if (match := re.match(mark, line))), None)
            found.append("paragraph" if not kind else f"{kind[0]} {' '.join(kind[1].groups())}".strip())
    return found


def differs(part: dict[str, Any], place: str) -> str:
    """What to do where the Spanish is of another English than stands there now; nothing where it is not."""
    now = two_languages.digest(*(phrase["en"] for phrase in two_languages.phrases(part)))
    return "" if part["of"] == now else f'{place}: the English changed. Make the Spanish say the same, then write of = "{now}"'


# Whole and in step ---------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["light", "spanish"])
def test_the_spanish_is_of_the_english_that_stands_there(name: str) -> None:
    assert [told for place, part in parts(name) if (told := differs(part, place))] == []


def test_every_entry_level_and_label_says_of_which_english_it_is() -> None:
    light = two_languages.words("light")
    assert all("of" in part for part in (*light["entries"], *light["levels"], light["page"], light["labels"]))
    assert len(list(parts("light"))) == sum(len(light[name]) for name in ("entries", "levels", "lamps", "signs")) + 3


def test_the_spanish_of_the_chapter_is_of_the_english_that_stands_there() -> None:
    for english, spanish in chapter_pairs():
        now = two_languages.digest(english)
        title = english.strip().splitlines()[0]
        renew = f"wrong-fluid.md, {title}: the English changed. Renew the Spanish, then write {{# of {now} #}}"
        assert two_languages.told_of(spanish) == now, renew


def test_a_changed_english_is_found_and_a_new_line_break_is_not() -> None:
    entry = next(entry for entry in two_languages.words("light")["entries"] if entry["id"] == "water")
    assert not differs(entry, "water")
    changed = {**entry, "first": [{"en": "Drive on.", "es": entry["first"][0]["es"]}, *entry["first"][1:]]}
    assert "the English changed" in differs(changed, "water")
    english = chapter_pairs()[1][0]
    assert two_languages.digest(english.replace(" the key", "\nthe  key")) == two_languages.digest(english)
    assert two_languages.digest(english.replace("No amount is safe", "No amount is good")) != two_languages.digest(english)


@pytest.mark.parametrize("name", ["light", "spanish"])
def test_every_phrase_has_both_languages_and_the_same_marks_numbers_and_links(name: str) -> None:
    for phrase in two_languages.phrases(two_languages.words(name)):
        english, spanish = phrase["en"], phrase["es"]
        assert set(phrase) == {"en", "es"} and english and spanish, phrase
        assert english != spanish or english in SAME, phrase
        assert english.count("**") == spanish.count("**"), phrase
        assert numbers(english) == numbers(spanish), phrase
        assert re.findall(r"\]\((.*?)\)", english) == re.findall(r"\]\((.*?)\)", spanish), phrase


def test_an_entry_has_three_actions_and_all_that_a_driver_asks() -> None:
    light = two_languages.words("light")
    levels = {level["id"] for level in light["levels"]}
    for entry in light["entries"]:
        assert len(entry["first"]) == 3, entry["id"]
        assert entry["level"] in levels
        assert {"name", "looks", "manual"} <= set(entry), entry["id"]


def test_a_block_of_the_chapter_has_the_same_steps_boxes_and_numbers_in_both() -> None:
    assert len(chapter_pairs()) >= 11
    for english, spanish in chapter_pairs():
        assert shape(english) == shape(spanish), english[:60]
        assert numbers(english) == numbers(spanish), english[:60]
        assert english.count("](") == spanish.count("](") and english.count("**") == spanish.count("**"), english[:60]


def test_a_step_that_is_missing_would_be_found() -> None:
    english, spanish = chapter_pairs()[0]
    assert shape(english) != shape(re.sub(r"^3\. .*\n", "", spanish, flags=re.MULTILINE))
    english, spanish = chapter_pairs()[-1]
    assert numbers(english) != numbers(spanish.replace('key_turned="yes"', 'key_turned="no"'))


def test_no_prose_of_the_chapter_stands_outside_the_pairs() -> None:
    rest = re.sub(r'^<div lang="(?:en|es)" markdown>\n.*?^</div>\n', "", FLUID.split("---\n", 2)[2], flags=re.DOTALL | re.MULTILINE)
    for line in rest.splitlines():
        words = re.sub(r"\{\{.*?\}\}|<[^>]*>|^# ", "", line).strip()
        assert not words or ('lang="en"' in line and 'lang="es"' in line), line


def told_by_the_calculator() -> Iterator[dict[str, Any]]:
    """Every answer in words: the example's, and each fluid, however far it got, with and without amounts."""
    yield calculators.with_words(calculators.answer("wrong_fluid", today="2026-11-25"))
    asked = next(field for field in calculators.form("wrong_fluid") if field.name == "mistake")
    pairs = [pair for pair in itertools.product(("", "yes", "no"), repeat=2) if pair != ("no", "yes")]
    far = [{name: text for name, text in zip(("key_turned", "engine_ran"), pair, strict=True) if text} for pair in pairs]
    amounts = [{}, {"amount": "2"}, {"amount": "2", "tank_contents": "20"}]
    for choice, stage, amount in itertools.product(asked.choices, far, amounts):
        given = {"mistake": choice, **stage, **amount}
        yield calculators.with_words(calculators.answer("wrong_fluid", given, today="2026-11-25"))


SUFFIXES = (", with the example’s numbers", ", partly with the example’s", ", with numbers from the link", ", changed")  # after a name
LISTED = ": "  # before the names of the values that are taken from a source
FROM = "from: "  # before the sources of a step


def card_texts() -> set[str]:
    """All that the card shows for any answer, made by the same pieces as the page."""
    fields = calculators.form("wrong_fluid")
    cards = [pieces.card(answer, fields, truck="Juniper") for answer in told_by_the_calculator()]
    return {text for card in cards for text in texts(WORKED.sub("", str(card)))}


def texts(markup: str) -> set[str]:
    """What a reader or a screen reader is told in words, the names of values and the sources of a step one by one."""
    kinds = {kind for line in KIND.findall(markup) for kind in line.split(", ")}
    told = re.findall(r'>([^<>]+)<| (?:aria-label|data-words)="([^"]*)"', KIND.sub("<i></i>", markup))
    found = {Markup(text).unescape().strip() for pair in told for text in pair}
    lists = {text for text in found if text.startswith(LISTED)}
    names = {name for text in lists for name in text.removeprefix(LISTED).split(", ")}
    names |= {source for text in found if text.startswith(FROM) for source in text.removeprefix(FROM).split("; ")}
    return names | kinds | {text for text in found - lists if re.search(r"[^\W\d_]{2}", text)}


def faults() -> set[str]:
    """What the form says to a bad entry, as forms.js words it."""
    bad = [{"amount": text} for text in ("-1", "twelve", "5 psi", "1e308", "3,5", "30 parsecs", "200")]
    told = set()
    for given in [*bad, {"tank_contents": "-1"}, {"key_turned": "no", "engine_ran": "yes"}]:
        with pytest.raises(calculators.Refused) as refused:
            calculators.answer("wrong_fluid", {"mistake": "def_in_fuel", **given}, today="2026-11-25")
        told |= {fault.do[0].upper() + fault.do[1:].rstrip(".") + "." for fault in refused.value.faults}
    return told


def by_scripts() -> set[str]:
    """What the scripts say in a card by themselves: each is, hole for hole, English that has its Spanish."""
    assets = ROOT / "docs/assets"
    runtime, forms = ((assets / name).read_text("utf-8") for name in ("runtime.js", "forms.js"))
    unable = [f"The calculators {what}." for what in re.findall(r'unable\("(.*?)"', runtime)]
    said = re.findall(r'(?:new Error\(|message: )"(\w.*?)"', runtime)
    whole = re.findall(r'COULD_NOT = "(.*?)"\n\s*\+ "(.*?)";', forms)
    starting = re.findall(r'"(Starting the calculator: .*?)"', forms)
    assert len(unable) >= 6 and len(said) >= 2 and len(whole) == len(starting) == 1
    told = {*unable, *said, "".join(whole[0]), *starting, *BY_SCRIPTS}
    assert told <= {pair["en"] for pair in two_languages.words("spanish")["card"]}
    return {text.replace("{}", "something") for text in told}


def page_ends() -> set[str]:
    """What the end of a page in both languages says."""
    pages = [(ROOT / "site" / f"{page}.html").read_text("utf-8") for page in ("light", "wrong-fluid")]
    ends = [page.partition('<div class="page-end">')[2].partition("</details>")[0] for page in pages]
    assert all(end.count('<span lang="es">') >= 4 for end in ends)
    english = (re.sub(r'<span lang="es">.*?</span>', "", end).replace(f'{LISTED}<span lang="en">', LISTED) for end in ends)
    return {text for end in english for text in texts(end)}


def test_every_text_of_the_card_has_its_spanish_and_no_other_spanish_lies_about() -> None:
    told = card_texts() | faults() | by_scripts() | page_ends()
    for text in sorted(told):
        assert two_languages.spanish(text), text
    pairs = [pair for part in ("words", "card") for pair in two_languages.words("spanish")[part]]
    assert len({pair["en"] for pair in pairs}) == len(pairs)
    constants = {calculators.figure(name).words for name in IN_LIGHTS}
    read = told | constants | {"for Juniper", *SUFFIXES, *WHOSE.values()}
    patterns = {pair["en"]: ".+".join(map(re.escape, pair["en"].split(view.HOLE))) for pair in pairs}
    assert [english for english, pattern in patterns.items() if not any(re.fullmatch(pattern, text) for text in read)] == []


def test_a_hole_takes_what_differs() -> None:
    assert two_languages.spanish("Write a value from 0.001 gal up to 150 gal.") == "Escriba un valor de 0.001 gal a 150 gal."
    assert two_languages.spanish("for Juniper") == "para Juniper"


def test_what_the_scripts_say_is_what_they_are_given_spanish_for() -> None:
    scripts = "".join((ROOT / "docs/assets" / name).read_text("utf-8") for name in ("forms.js", "cards.js", "page.js"))
    for words in (*BY_SCRIPTS, "for {}", "Back to {}", *SUFFIXES):
        assert words in scripts


def test_english_without_spanish_is_refused_by_name() -> None:
    with pytest.raises(two_languages.NoSpanish, match="Nobody wrote this"):
        two_languages.spanish("Nobody wrote this")


# Numbers and terms ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("shown", "unit", "said"), [
    ("30 a 40", "min", "30 a 40 minutos"), ("1", "gal", "1 galón"), ("2", "gal", "2 galones"), ("$4,000", "USD", "$4,000"),
    ("25", "mi", "25 millas"),
])
def test_a_number_reads_as_spanish_in_us_units(shown: str, unit: str, said: str) -> None:
    assert number(shown, unit, "es") == said


@pytest.mark.parametrize(("unit", "language"), [("date", "es"), ("min", "fr")])
def test_a_unit_that_has_no_spanish_is_refused(unit: str, language: str) -> None:
    with pytest.raises(LookupError):
        number("7", unit, language)


@pytest.mark.parametrize("key", ["idle_bill.cost_per_year", "fuel_price"])
def test_a_number_that_differs_from_truck_to_truck_is_refused_in_spanish(key: str) -> None:
    with pytest.raises(ValueError, match="differs from truck to truck"):
        Pages(ROOT / "docs").live("a.md", key, "es")


def test_no_number_is_typed_in_the_spanish() -> None:
    for _, spanish in all_pairs()[: -len(chapter_pairs())]:
        assert set(re.findall(r"\d+", re.sub(r"\{[^}]*\}", "", spanish))) <= {"911"}, spanish
    for _, spanish in chapter_pairs():
        assert not re.findall(r"\d", re.sub(r"\{\{.*?\}\}|\{#.*?#\}|^\d+\. ", "", spanish, flags=re.MULTILINE))


def off_terms(english: str, spanish: str) -> list[str]:
    """Terms that the English has and the Spanish calls otherwise, and words that it never uses."""
    plain_en, plain_es = (re.sub(r"\{[{%#].*?[}%#]\}|\]\([^)]*\)|\*\*", " ", text) for text in (english, spanish))
    asked = [term for term in TERMS["terms"] if re.search(term["en"], plain_en)]
    missing = [term["en"] for term in asked if not re.search(term["es"], plain_es, re.IGNORECASE)]
    return missing + [word for word in TERMS["never"] if re.search(word, plain_es, re.IGNORECASE)]


def test_one_thing_has_one_spanish_name_on_pages_and_sheets() -> None:
    assert [(found, english[:70], spanish[:70]) for english, spanish in all_pairs() if (found := off_terms(english, spanish))] == []


def test_another_name_would_be_found() -> None:
    assert off_terms("Drain the tank.", "Vacíe el depósito.") == [r"\btank\b", r"\bdepósito"]


@pytest.mark.parametrize("term", [term["en"] for term in TERMS["terms"]])
def test_every_term_is_one_that_somebody_reads(term: str) -> None:
    assert any(re.search(term, english) for english, _ in all_pairs())


# The built pages -----------------------------------------------------------------------------------


@pytest.mark.parametrize("page", ["light.html", "wrong-fluid.html", emergency.NAME])
def test_each_english_has_its_spanish_partner_in_the_built_page(site: Path, page: str) -> None:
    tree = emergency.read((site / page).read_text("utf-8"))
    pairs = [element for element in emergency.all_of(tree, "both")]
    assert len(pairs) >= (11 if page == "wrong-fluid.html" else 42)
    for pair in pairs:
        assert [side.get("lang") for side in pair] == ["en", "es"]
        english, spanish = ("".join(side.itertext()) for side in pair)
        assert re.findall(r"\d+(?:,\d{3})*", english) == re.findall(r"\d+(?:,\d{3})*", spanish), english
        for tag in ("li", "dt", "tr", "h3"):
            counted = [len(list(side.iter(tag))) + (len(list(side.iter("h2"))) if tag == "h3" else 0) for side in pair]
            assert counted[0] == counted[1], (tag, english[:80])


@pytest.mark.parametrize("page", ["light.html", "wrong-fluid.html"])
def test_no_english_hint_stands_on_a_spanish_word(site: Path, page: str) -> None:
    tree = emergency.read((site / page).read_text("utf-8"))
    spanish = [element for element in tree.iter() if element.get("lang") == "es"]
    assert spanish
    assert [hint.get("title") for element in spanish for hint in element.iter("abbr")] == []


def test_every_answer_of_the_calculator_stands_in_both(site: Path) -> None:
    tree = emergency.read((site / "wrong-fluid.html").read_text("utf-8"))
    answers = emergency.found(tree, "answers")
    asked = next(field for field in calculators.form("wrong_fluid") if field.name == "mistake")
    heads = ["".join(head.itertext()) for head in answers.iter("h3")]
    assert heads == [said for label in asked.choice_labels for said in (label, two_languages.spanish(label))]
    for choice, label in zip(asked.choices, asked.choice_labels, strict=True):
        given = {"mistake": choice, "key_turned": "no", "engine_ran": "no"}
        low = calculators.answer("wrong_fluid", given, today="2026-11-25")["results"]["exposure_low"]
        told = ["".join(side.itertext()) for side in answers.iter("div") if side.get("lang") == "es"]
        side = next(words for words in told if words.startswith(two_languages.spanish(label)))
        assert f"${low['value']:,}" in side
