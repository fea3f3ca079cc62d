"""The guide's own words: each chapter's bones, no number typed by hand, plain language, and what a light asks for."""

import re
import subprocess
import sys
from calendar import month_name
from pathlib import Path
from statistics import median

import pytest
import textstat

import calculators
from macros import two_languages
from print import wording
from tools.ready import ROOT

DOCS = ROOT / "docs"
CHAPTERS = ("fuel", "exhaust", "def", "idling", "oil-and-service", "load-and-tow", "drivers", "money", "fit", "first-day", "wrong-fluid")
PAGES = (*CHAPTERS, "index", "light", "reference")
HIGHEST_GRADE = 8.0
HARDEST_SECTION = 10.0  # one hard section hides behind the median of easy ones
ENOUGH_WORDS = 40  # a section shorter than this has no grade of its own: one long word would decide it
LONGEST_SECTION = 420  # words between two headings: more is a section that wants cutting in two

# Where each calculator stands; drivers and first-day lead to those of other pages.
HOMES = {
    "records": ["own_records"],
    "fuel": ["tank_water"], "exhaust": ["regeneration"], "def": ["exhaust_fluid_use", "exhaust_fluid_quality"],
    "idling": ["winter_fuel", "block_heater", "idle_bill"], "oil-and-service": ["service_due", "sitting_truck"],
    "load-and-tow": ["axle_load", "trailer_check"], "drivers": [], "money": ["fluid_cost", "diesel_or_gasoline", "protection_worth"],
    "fit": ["duty_fit"], "first-day": [], "wrong-fluid": ["wrong_fluid"],
}

UNITS = (
    "mi mile miles km foot feet ft inch inches gal gallon gallons quart quarts qt cup cups pint pints mL liter liters mph mpg rpm "
    "second seconds minute minutes min hour hours h day days week weeks month months year years yr season seasons lb pound pounds "
    "ton tons ounce ounces g grams kg psi bar volt volts amp amps watt watts W kW kWh percent degree degrees Fahrenheit Celsius "
    "dollar dollars buck bucks cent cents g/mi ppm horsepower hp tank tanks"
).split()
SPELLED = (
    "zero two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty "
    "thirty forty fifty sixty seventy eighty ninety hundred thousand million half third quarter dozen couple"
).split()
BETWEEN = "of a an the more full good whole".split()  # may stand between a spelled number and its unit

# Digits that are names, not numbers of the trade: laws, standards, publications, dates and a phone number.
NAMED = [
    r"(?:40 CFR |; )261\.4\(b\)\(13\)", r"\b\d+ (?:CFR|USC) \d+(?:\.\d+(?:-\d+)?)?", r"section \d+(?:\.\d+|\(a\)\(\d\))",
    r"ISO 22241", r"\bNo\. 1\b", r"ANSI Z535\.4", r"Fact #\d+", r"letter IACD-2026-05", r"0851 1816-SDTDC", r"Trauma 20, 2006, page 503",
    r"Technology 39, 2005, page 4021",
    rf"\b(?:{'|'.join(month_name[1:])}) \d{{1,2}}, \d{{4}}", r"\b(?:19|20)\d\d\b", r"\b911\b", r"aiam3037",
]


def source(page: str) -> str:
    """A page's Markdown, with what it takes in, without its front matter and its Spanish, which test_spanish.py reads."""
    text = two_languages.english((DOCS / f"{page}.md").read_text("utf-8").split("---\n", 2)[2])
    return re.sub(r'^--8<-- "(.+)"$', lambda found: (DOCS / "includes" / found[1]).read_text("utf-8"), text, flags=re.MULTILINE)


def without_macros(text: str, in_place: str = "") -> str:
    """The author's own words: macros, comments, tags and link addresses gone."""
    text = re.sub(r'\{% call caution\("\w+", "(.*?)"\) %\}', r"\1", text)  # the hazard is read too
    text = re.sub(r"\{#.*?#\}|\{%.*?%\}", "", text, flags=re.DOTALL)
    text = re.sub(r"\{\{(?:[^{}]|\{[^{}]*\})*\}\}", in_place, text)
    text = re.sub(r"<[^>]*>", " ", text)
    return re.sub(r"\]\([^)]*\)", "]", text)


def said(page: str) -> str:
    """What a page says; the light page's words stand in a file of their own."""
    handed = two_languages.phrases(two_languages.words("light")) if page == "light" else ()
    return without_macros(source(page)) + "\n" + "\n".join(without_macros(phrase["en"]).replace("**", "") for phrase in handed)


def typed_numbers(text: str) -> list[str]:
    """Numbers an author typed: any digit that is not a name or a list's own, and spelled-out numbers with a unit."""
    text = re.sub(r"^\s*\d+\. ", "", text, flags=re.MULTILINE)
    for named in NAMED:
        text = re.sub(named, "", text)
    spelled = rf"\b(?:{'|'.join(SPELLED)})s?(?: (?:{'|'.join(BETWEEN)}))*[ -](?:{'|'.join(UNITS)})\b"
    return re.findall(r"[^\n]{0,30}[\d¼½¾⅓⅔][^\n]{0,20}", text) + re.findall(spelled, text, re.IGNORECASE)


def sentences(markdown: str) -> list[str]:
    """Running prose and list items, each ended like a sentence; headings, tables and labels left out."""
    text = without_macros(markdown, "a number")
    blocks = re.split(r"\n\s*\n|\n(?=\s*(?:- |\d+\. ))", text)
    kept = []
    for block in blocks:
        words = re.sub(r"^(?:- |\d+\. )", "", " ".join(block.split())).replace("**", "")
        if words and not words.startswith(("#", "|")) and len(words.split()) > 2:
            kept.append(words if words[-1] in ".?!" else f"{words}.")
    return kept


@pytest.mark.parametrize("chapter", CHAPTERS)
def test_a_chapter_has_its_bones_in_order(chapter: str) -> None:
    text = source(chapter).strip()
    marks = [r"\A# [^\n]+\n+\{% call do_this\(", r"^## Why ", r"^## (?:How|When) ", r"^## Common mistakes$",
             r"^## What does it cost to get it wrong\?$", r"\{\{ sources\(\) \}\}\Z"]
    found = [re.search(mark, text, re.MULTILINE) for mark in marks]
    assert all(found), [mark for mark, at in zip(marks, found, strict=True) if not at]
    places = [at.start() for at in found if at]
    assert places == sorted(places)


@pytest.mark.parametrize("chapter", CHAPTERS)
def test_a_chapter_holds_its_calculators_before_the_mistakes(chapter: str) -> None:
    body, mistakes = source(chapter).split("## Common mistakes")
    assert sorted(re.findall(r'\{\{ calculator\("(\w+)"(?:, both=True)?\) \}\}', body)) == sorted(HOMES[chapter])
    assert "calculator(" not in mistakes


def test_every_calculator_has_one_home() -> None:
    assert sorted(name for names in HOMES.values() for name in names) == sorted(calculators.NAMES)


def test_every_chapter_and_page_is_in_the_navigation() -> None:
    nav = (ROOT / "mkdocs.yml").read_text("utf-8").split("\nnav:\n")[1].split("\n\n")[0]
    named = re.findall(r"([\w-]+)\.md$", nav, re.MULTILINE)
    assert sorted(named) == sorted({path.stem for path in DOCS.glob("*.md")} - {"specimen"})


@pytest.mark.parametrize("chapter", CHAPTERS)
def test_do_this_has_up_to_three_steps_that_start_with_what_to_do(chapter: str) -> None:
    box = re.search(r"\{% call do_this\(.*?\) %\}\n(.*?)\n\{% endcall %\}", source(chapter), re.DOTALL)
    assert box
    steps = box[1].splitlines()
    assert 1 <= len(steps) <= 3
    assert all(re.match(rf"{number}\. (?:\*\*)?[A-Z]", step) for number, step in enumerate(steps, 1))


@pytest.mark.parametrize("page", PAGES)
def test_every_page_ends_with_its_sources(page: str) -> None:
    assert source(page).strip().endswith("{{ sources() }}")


@pytest.mark.parametrize("page", PAGES)
def test_no_number_of_the_trade_is_typed_by_hand(page: str) -> None:
    assert typed_numbers(said(page)) == []


@pytest.mark.parametrize("slip", [
    "Drive 40 minutes.", "It costs $900.", "Wait ten minutes.", "12 °F", "half a gallon", "5%", "Take 20.",
    "at twenty below zero Fahrenheit", "It lasts ten years.", "a couple of miles", "half the tank", "a three-month rest",
    "Fill a quarter of the tank.", "two more gallons",
    "½ gal", "thousands of dollars", "three full tanks", '{% call caution("WARNING", "It burns for 10 feet.") %}',
])
def test_a_typed_number_would_be_found(slip: str) -> None:
    assert typed_numbers(without_macros(slip))


@pytest.mark.parametrize("name", ["40 CFR 279", "1. Park level.", "Call 911.", "true in 2024", "{{ live('fuel_price') }} a gallon"])
def test_a_name_is_not_taken_for_a_typed_number(name: str) -> None:
    assert not typed_numbers(without_macros(name))


@pytest.mark.parametrize("page", PAGES)
def test_a_page_reads_at_eighth_grade_or_below(page: str) -> None:
    lines = sentences(source(page))
    if page == "light":
        lines = [f"{line.rstrip('.')}." for line in said(page).splitlines() if len(line.split()) > 2]
    assert textstat.flesch_kincaid_grade(" ".join(lines)) <= HIGHEST_GRADE


def sections(page: str) -> list[str]:
    """The Markdown of each section, from one heading to the next."""
    return re.split(r"^(?=#{1,2} )", source(page), flags=re.MULTILINE)


def prose(markdown: str) -> str:
    """Running prose alone: no heading, list, table or box of steps, which are shorter than speech and would hide a hard paragraph."""
    text = without_macros(re.sub(r"\{% call do_this.*?endcall %\}", "", markdown, flags=re.DOTALL), "a number")
    blocks = [" ".join(block.split()).replace("**", "") for block in re.split(r"\n\s*\n", text)]
    return " ".join(block for block in blocks if len(block.split()) > 8 and not re.match(r"#|\||- |\d+\. ", block))


@pytest.mark.parametrize("chapter", CHAPTERS)
def test_the_prose_of_a_chapter_reads_at_eighth_grade_or_below(chapter: str) -> None:
    told = [words for words in map(prose, sections(chapter)) if len(words.split()) >= ENOUGH_WORDS]
    assert len(told) >= 2
    grades = [textstat.flesch_kincaid_grade(words) for words in told]
    assert median(grades) <= HIGHEST_GRADE
    assert max(grades) <= HARDEST_SECTION, [round(grade, 1) for grade in grades]


def test_hard_words_would_be_found() -> None:
    hard = "The subsequent application of catalytically active preparations necessitates extraordinarily careful deliberation."
    assert textstat.flesch_kincaid_grade(prose(hard)) > HIGHEST_GRADE


@pytest.mark.parametrize("chapter", CHAPTERS)
def test_a_chapter_is_long_enough_to_help_and_its_sections_short_enough_to_read(chapter: str) -> None:
    assert len(" ".join(sentences(source(chapter))).split()) >= 500
    assert max(len(" ".join(sentences(section)).split()) for section in sections(chapter)) <= LONGEST_SECTION


def test_words_for_injuries_stand_where_the_hurt_is() -> None:
    bites = {
        "fuel": ("High-pressure fuel goes through skin", "catch fire", "jack"),
        "exhaust": ("closed space kills", "set the ground on fire", "burn skin"),
        "def": ("eyes",),
        "idling": ("closed space kills", "Starting fluid", "damaged cord", "Gasoline or alcohol"),
        "oil-and-service": ("jack", "Hot oil", "sprays"),
        "load-and-tow": ("falls can crush", "swing"),
        "drivers": ("closed space kills",),
        "money": ("jack",),
        "first-day": ("jack",),
        "wrong-fluid": ("Gasoline vapor explodes", "Drained fuel burns", "eyes"),
    }
    for chapter, hazards in bites.items():
        cautions = " ".join(re.findall(r'\{% call caution\("\w+", "(.*?)"\) %\}', source(chapter)))
        assert all(hazard in cautions for hazard in hazards), chapter


def entries() -> dict[str, tuple[str, str]]:
    """The light page's entries: id -> (level, all their words)."""
    found = two_languages.words("light")["entries"]
    assert len({entry["id"] for entry in found}) == len(found)
    return {entry["id"]: (entry["level"], " ".join(phrase["en"] for phrase in two_languages.phrases(entry))) for entry in found}


def test_a_light_is_on_covers_the_lights_and_groups_them_by_urgency() -> None:
    levels = [level for level, _ in entries().values()]
    assert len(levels) >= 35
    assert levels == sorted(levels, key=["stop", "soon", "on"].index)


@pytest.mark.parametrize(("entry", "level", "says"), [
    ("oil-pressure", "stop", "towed"),
    ("too-hot", "stop", "Don’t open a cap"),
    ("water", "stop", "Drain the separator"),
    ("wrong-fluid", "stop", "Don’t turn the key"),
    ("engine-flashing", "stop", "Engine off"),
    ("burning", "stop", "911"),
    ("exhaust-in-cab", "stop", "911"),
    ("races", "stop", "No hands near the intake"),
    ("gelled", "stop", "No alcohol"),
    ("filter-almost-full", "soon", "drive_to_finish_a_burn"),
    ("filter-full", "soon", "Unhitch"),
    ("power-cut", "soon", "straight to a shop"),
    ("oil-too-high", "soon", "Don’t tow"),
    ("charging", "soon", "Stop now"),
    ("def-low", "on", "small, marked DEF"),
    ("burn-running", "on", "Keep driving"),
    ("water", "stop", "Still water after {water_to_tow}, or the light comes back: tow"),
    ("wrong-fluid", "stop", "Step away from the filler, then call"),
    ("wrong-fluid", "stop", "tow driver leaves the key alone"),
    ("milky-oil", "stop", "on the dipstick"),
    ("oil-foam", "on", "Pull the dipstick"),
    ("oil-foam", "on", "coolant"),
    ("oil-too-high", "soon", "last change overfill"),
    ("out-of-fuel", "soon", "key steps"),
    ("out-of-fuel", "soon", "stop and call"),
    ("no-crank", "soon", "No starting fluid"),
])
def test_a_light_asks_for_the_right_thing(entry: str, level: str, says: str) -> None:
    found_level, words = entries()[entry]
    assert found_level == level
    assert says in words


def test_the_water_lights_steps_are_written_once() -> None:
    """In the chapter by a macro, on the card by its rows: what to do, and after how much water to tow."""
    light = next(entry for entry in two_languages.words("light")["entries"] if entry["id"] == "water")
    assert '{{ light_steps("water") }}' in source("fuel") and '{{ light_steps("out-of-fuel") }}' in source("fuel")
    card = wording.read("emergency-water-light")["steps"]
    assert [step for step in card if step in light["first"]] == light["first"][1:]
    for language in ("en", "es"):
        said = [step[language] if isinstance(step, dict) else step for step in wording.words("emergency-water-light", language)["steps"]]
        assert any({"en": "1 cup", "es": "1 taza"}[language] in step for step in said)


def test_a_number_on_a_card_stands_in_its_language() -> None:
    """Two gallons of DEF, and forty minutes of the trade's rule."""
    for language, numbers in (("en", ("2 gallons", "40 minutes")), ("es", ("2 galones", "40 minutos"))):
        told = str(wording.words("driver-sheet", language))
        assert all(number in told for number in numbers) and "{" not in told.replace("{'", "")


def test_the_cost_of_a_ruined_system_agrees_everywhere() -> None:
    """One number, told as itself or as the least that an engine run on DEF may cost."""
    least = calculators.answer("wrong_fluid", {"mistake": "def_in_fuel", "engine_ran": "yes"})["results"]["exposure_low"]["value"]
    assert calculators.figure("fuel_system_cost_over").value == least


def test_first_aid_for_a_doctors_eyes_holds_nothing_from_memory() -> None:
    card = str(wording.read("emergency-injected-fuel"))
    assert "†" not in card and "memor" not in card.lower()
    assert all(source in card for source in ("J Orthop Trauma", "Medscape", "Fluid Power"))


def test_an_apostrophe_is_curly_in_prose_and_in_what_the_calculators_say(site: Path) -> None:
    """Prose and answers stand side by side; one of them with typewriter marks looks pasted in."""
    straight = re.compile(r"\w+(?:'|&#39;|&#x27;)[a-z]+")
    told = {path.name: re.sub(r"<(script|style|code)\b.*?</\1>|<[^>]*>", " ", path.read_text("utf-8"), flags=re.DOTALL)
            for path in [*site.glob("*.html"), *site.glob("sheets/*.html")]}
    assert {name: found for name, text in told.items() if (found := straight.findall(text))} == {}


def test_no_name_of_a_maker_or_a_program_stands_anywhere() -> None:
    check = ROOT.parent / "shared" / "tools" / "names_check.py"
    if not check.exists():
        pytest.skip("the list of names lives beside the project's own repository")
    found = subprocess.run([sys.executable, str(check)], cwd=ROOT, capture_output=True, text=True, check=False)
    assert (found.returncode, found.stdout) == (0, "")


def test_the_wrong_fluid_page_says_stop_before_anything_else() -> None:
    first = re.search(r"\{% call do_this\(.*?\) %\}\n1\. (.*)", source("wrong-fluid"))
    assert first
    assert first[1].startswith("**Don’t turn the key.**")


def of_amounts(text: str) -> list[str]:
    """Sentences that speak of an amount, or of a little, together with safety."""
    said_safe, of_some = re.compile(r"\b(?:safe|harmless|fine)\b"), re.compile(r"\b(?:amount|little|drops?)\b")
    return [one for one in re.split(r"(?<=[.!?])\s", text) if said_safe.search(one) and of_some.search(one)]


@pytest.mark.parametrize("page", PAGES)
def test_no_amount_of_a_wrong_fluid_is_called_safe(page: str) -> None:
    assert all("No amount is safe" in sentence for sentence in of_amounts(said(page)))


def test_a_safe_amount_would_be_found() -> None:
    assert of_amounts("A little DEF is fine. Drive on.") == ["A little DEF is fine."]


# The phrases by which issue 7's list of what must be covered is found again in each chapter.
COVERED = {
    "fuel": (
        "two guards", "Prime", "Air is the usual trouble", "Leave the job to a shop", "busy station", "receipt", "Return line",
        "judged by", "biodiesel", "runs dry", "a bound and no date",
    ),
    "exhaust": (
        "Exhaust gas recirculation", "oil turn black", "Passive", "Active", "Parked", "In the shop", "Ash", "cuts a burn short", "IACD",
        "against federal law",
    ),
    "def": (
        "light-duty truck", "nobody has tested", "distilled water", "reserve", "buy and store", "Top it up", "refractometer", "freezes",
        "white crust", "wrong tank",
    ),
    "idling": (
        "power take-off", "body builder’s switches", "blend from the pump", "fast idle", "block heater", "gelled", "batteries",
        "cloud point",
    ),
    "oil-and-service": (
        "condensation", "overfilled at the last change", "top up what the new filter took", "grade", "standard", "life of the oil",
        "sat",
    ),
    "load-and-tow": (
        "Tow mode", "exhaust brake", "Wheel nuts again", "hard pull", "weight distribution", "rear axle that speaks", "door", "Ballast",
        "tires", "scale", "tongue",
    ),
    "drivers": ("Labels", "key", "train", "gasoline", "new crew"),
    "money": ("Emission parts", "line in your calendar", "warranty", "insurance", "service record", "used one", "sell it on"),
    "fit": ("gasoline truck is the better choice",),
    "first-day": (
        "shop to switch on", "start yourself", "hour meter", "block heater cord", "Both fillers, by touch", "second fuel filter",
        "high-pressure pump", "exhaust parts", "Winter in", "Winter out",
    ),
}


@pytest.mark.parametrize("chapter", COVERED)
def test_a_chapter_covers_what_it_owes_its_reader(chapter: str) -> None:
    text = source(chapter)
    assert [words for words in COVERED[chapter] if words not in text] == []


def glossary() -> dict[str, str]:
    return dict(re.findall(r"^\*\[(.+?)\]: (.+)$", (DOCS / "includes" / "glossary.md").read_text("utf-8"), re.MULTILINE))


def test_the_glossary_is_in_order_and_ends_its_sentences() -> None:
    words = list(glossary())
    assert words == sorted(words, key=str.lower)
    assert all(meaning.endswith(".") for meaning in glossary().values())


def test_the_glossary_holds_only_words_that_the_guide_uses() -> None:
    text = " ".join(source(page) for page in PAGES).lower()
    assert [word for word in glossary() if word.split(" (")[0].lower() not in text] == []


@pytest.mark.parametrize("drawing", sorted(path.stem for path in (DOCS / "drawings").glob("*.svg") if path.stem != "lamps"))
def test_a_drawing_is_told_to_those_who_cannot_see_it_and_leaves_color_to_the_page(drawing: str) -> None:
    text = (DOCS / "drawings" / f"{drawing}.svg").read_text("utf-8")
    assert f'aria-labelledby="{drawing}-title {drawing}-words"' in text
    assert re.search(rf'<title id="{drawing}-title">[^<]{{10,}}</title>', text)
    assert re.search(rf'<desc id="{drawing}-words">[^<]{{40,}}</desc>', text)
    assert not re.search(r"\b(?:style|fill|stroke|on\w+)=", text)
    assert [word for label in re.findall(r'<text class="(?!dotn)[^>]*>([^<]*)<', text) for word in typed_numbers(label)] == []
    assert any(f'drawing("{drawing}")' in source(page) for page in PAGES)


# Whoever is named as having ruled, measured or advised; the paragraph that names them must say where it stands.
AUTHORITIES = re.compile(
    r"\b(?:EPA|NHTSA|ISO|ANSI|US Department|Forest Service|Air Resources|Petroleum Institute|[Oo]il industry|federal (?:law|rule|agency)|"
    r"[Tt]he (?:law|standard) (?:lets|says|allows|asks|forbids)|[Ll]aboratories|[Pp]ublished figures)\b"
)


def slug(heading: str) -> str:
    return re.sub(r"[^\w]+", "-", heading.lower().replace("’", "")).strip("-")


def section_at(address: str) -> str:
    """The Markdown of the section that a link of ours leads to."""
    page, _, anchor = address.partition("#")
    parts = re.split(r"^(?=#{2,3} )", source(page.removesuffix(".md")), flags=re.MULTILINE)
    return next((part for part in parts if slug(part.splitlines()[0].lstrip("# ")) == anchor), "")


def has_source(block: str) -> bool:
    """A law or publication by name, a year, or a number whose slip shows its source; or a link to a section that has one."""
    if any(re.search(named, block) for named in NAMED if named != r"\b911\b"):
        return True
    names = re.findall(r'live\("(\w+)', block)
    if any(calculators.figure(name) and calculators.figure(name).kind in ("standard", "handbook") for name in names):
        return True
    if any(name in calculators.NAMES for name in names):
        return True
    return any(has_source(section_at(address)) for address in re.findall(r"\]\(([\w-]+\.md#[\w-]+)\)", block))


def claims_without_source(text: str) -> list[str]:
    """Sentences, list items and cautions that lean on somebody and do not say where that stands."""
    blocks = re.split(r"\n\s*\n|\n(?=\s*(?:- |\d+\. |\|))|(?<=endcall %\})|(?<=[.?!]) (?=[A-Z“])", text)
    return [block for block in blocks if AUTHORITIES.search(without_macros(block)) and not has_source(block)]


@pytest.mark.parametrize("page", PAGES)
def test_a_claim_that_leans_on_somebody_says_where_it_stands(page: str) -> None:
    assert claims_without_source(source(page)) == []


@pytest.mark.parametrize("claim", [
    "Under a federal rule the tank must last.", "The EPA forbids it.", "- Published figures run far apart.",
    "It is [against federal law](exhaust.md#common-mistakes).", "ISO says so, at {{ live(\"parked_burn_time\") }}.",
])
def test_a_claim_without_a_source_would_be_found(claim: str) -> None:
    assert claims_without_source(claim) == [claim]


@pytest.mark.parametrize("claim", [
    "It is against federal law (Clean Air Act, section 203(a)(3)).",
    "It is [against federal law](exhaust.md#why-not-just-take-the-filter-out).",
    "The standard lets it hold {{ live(\"water_in_fuel_limit\") }}.", "The US Forest Service warned of it in 2010.",
])
def test_a_claim_with_its_source_passes(claim: str) -> None:
    assert claims_without_source(claim) == []
