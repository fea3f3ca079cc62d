"""English and Spanish next to each other: where their words stand, and how a pair of them reads as HTML.

The words of A light is on stand in docs/includes/light.toml, both languages of a phrase on one line. In a
chapter a Spanish block follows its English block. What calculators say has its Spanish in spanish.toml.
Each Spanish part tells by `of` which English it says: a digest that the tests compare.
"""

import hashlib
import re
import tomllib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cache, partial
from pathlib import Path
from typing import Any, NamedTuple

from markupsafe import Markup

import pieces
from calculators.engine import view
from pieces.markup import Both, html, join
from pieces.wording import AND, LANGUAGES, say
from print import wording

WORDS = Path(__file__).parent.parent / "docs" / "includes"
type Phrase = Mapping[str, str]
type Live = Callable[[str, str], Markup]

_BLOCK = re.compile(r'^<div lang="(en|es)" markdown>\n(.*?)^</div>\n', re.DOTALL | re.MULTILINE)
_FRAME = re.compile(r'^(?:<div (?:class="both"|lang="en") markdown>|</div>|\{\{ language_choice\(\) \}\})\n', re.MULTILINE)
_OF = re.compile(r"\{# of (\w+) #\}")


class NoSpanish(LookupError):
    """Some English has no Spanish yet."""


# Where the words stand ---------------------------------------------------------------------------


@cache
def words(name: str) -> dict[str, Any]:
    """A file of words, all languages."""
    return tomllib.loads((WORDS / f"{name}.toml").read_text("utf-8"))


def spanish(english: str) -> str:
    """Spanish for what a calculator or its card says."""
    found = view.spanish_of(english, _pairs())
    if not found:
        raise NoSpanish(f"docs/includes/spanish.toml has no Spanish for {english!r}")
    return found


@cache
def _pairs() -> dict[str, str]:
    signals = ((wording.words("_every", "en")[signal], wording.words("_every", "es")[signal]) for signal in pieces.SIGNALS)
    return {pair["en"]: pair["es"] for part in ("words", "card") for pair in words("spanish")[part]} | dict(signals)


def in_both(*english: str) -> str | Both:
    """Texts in a line, the Spanish beside them where it is another; one without any is refused where it is written."""
    if any(re.search(r"[^\W\d_]{2}", text) and not view.spanish_of(text, _pairs()) for text in english):
        return _Untold(view.as_it_stands(*english))
    told: str | Both = view.in_both(_pairs(), Both)(*english)
    return told


class _Untold(str):
    """English that has no Spanish."""

    def __html__(self) -> str:
        raise NoSpanish(f"docs/includes/spanish.toml has no Spanish for {self[:]!r}")

    __str__ = __html__


def phrases(part: Any) -> Iterator[Phrase]:
    """Every phrase in a part of a file."""
    if isinstance(part, list):
        part = dict(enumerate(part))
    if isinstance(part, dict):
        if set(part) & set(LANGUAGES):
            yield part
        else:
            for each in part.values():
                yield from phrases(each)


def digest(*english: str) -> str:
    """By what a Spanish part knows its English: line breaks and double spaces do not count."""
    return hashlib.sha256("\n".join(" ".join(text.split()) for text in english).encode()).hexdigest()[:8]


# Spanish in a chapter ------------------------------------------------------------------------------


def blocks(markdown: str) -> list[tuple[str, str]]:
    """The language and the Markdown of each block, in their order."""
    return [(found[1], found[2]) for found in _BLOCK.finditer(markdown)]


def english(markdown: str) -> str:
    """A chapter as if nobody had written Spanish into it."""
    without = _BLOCK.sub(lambda block: block[0] if block[1] == "en" else "", markdown)
    without = re.sub(r'<span lang="es">.*?</span>', "", without)
    return _FRAME.sub("", re.sub(r'<span lang="en">(.*?)</span> ?', r"\1", without))


def told_of(markdown: str) -> str:
    """The digest that a Spanish block names."""
    found = _OF.search(markdown)
    return found[1] if found else ""


# As HTML -------------------------------------------------------------------------------------------


def said(phrase: Phrase, language: str, live: Live) -> Markup:
    """A phrase in one language: **bold**, [a link](to.html) and {the.key.of.a.number} mean something."""
    text = say(phrase[language], lambda key: live(key, language))
    return Markup(re.sub(r"\[([^\]]+)\]\(([\w./#-]+)\)", r'<a href="\2">\1</a>', str(text)))


def each(phrase: Phrase, tag: str, live: Live) -> Markup:
    """A phrase in both languages, one after the other."""
    parts = (html("<{0} lang=\"{1}\">{2}</{0}>", Markup(tag), language, said(phrase, language, live)) for language in LANGUAGES)
    return Markup(" ").join(parts)


def both(tell: Callable[[str], Markup]) -> Markup:
    """A block in both languages, level with each other where there is room."""
    return html('<div class="both">{}</div>', join(html('<div lang="{}">{}</div>', language, tell(language)) for language in LANGUAGES))


# Set before the rest of the page is read, so that no frame shows the other language: kept choice, else the device's language.
# Without a script both stand. macros.finish adds its hash to the page's policy.
REMEMBER = Markup(
    '<script>(()=>{const key="diesel-handover-language";let kept=null;try{kept=localStorage.getItem(key)}catch{}'
    'const known=/^(both|en|es)$/.exec(kept??"")??/^(en|es)/.exec(navigator.language);'
    'const pick=document.getElementById(`language-${known?known[1]:"both"}`);pick.checked=true;'
    'pick.closest("fieldset").addEventListener("change",({target})=>{'
    'try{localStorage.setItem(key,target.id.replace("language-",""))}catch{}})})()</script>')


def choice(remember: Markup = REMEMBER) -> Markup:
    """Both languages or one; without ``remember`` there is no script, and both stand first."""
    pieces = words("spanish")["pieces"]
    offered = {"both": " · ".join(pieces["both"].values()), "en": "English", "es": "Español"}
    row = '<label{}><input type="radio" name="language" id="language-{}"{}><span>{}</span></label>'
    picks = join(html(row, Markup(' lang="es"' if key == "es" else ""), key, Markup(" checked" if key == "both" else ""), name)
                 for key, name in offered.items())
    head = html('{} · <span lang="es">{}</span>', *pieces["choose"].values())
    return html('<fieldset class="languages"><legend>{}</legend>{}</fieldset>{}', head, picks, remember)


def keep() -> Markup:
    """Where the one file is that holds both pages."""
    return html('<p class="keep-it">{}</p>', each(words("spanish")["pieces"]["keep"], "span", no_number))


def slip(ident: str, phrase: str, label: str, told: str, kinds: Iterable[str], language: str) -> Markup:
    """Where a number comes from, and what was ``told`` for it, in another language than the page's own."""
    close = words("spanish")["pieces"]["close"][language]
    return html(
        '<div class="slip" id="{0}" popover lang="{1}" data-search-exclude>'
        '<button class="x" type="button" aria-label="{2}" popovertarget="{0}">✕</button>'
        '<h2><span class="num">{3}</span> <span>{4}</span></h2><p data-origin>{5} {6}</p></div>',
        ident, language, close, phrase, spanish(label), told, join(html('<span class="kind">{}</span> ', spanish(kind)) for kind in kinds))


class Answered(NamedTuple):
    """What a calculator says to one choice, and what it costs for how far it got: the stage, the least and the most."""

    choice: str
    stop_rule: str
    actions: list[list[str]]
    costs: list[tuple[str, str, str]]


def every_answer(answers: Sequence[Answered]) -> Markup:
    """What a calculator says to each choice, for those who can't or won't fill in its form."""
    pieces = words("spanish")["pieces"]

    def tell(answer: Answered, language: str) -> Markup:
        tr: Callable[[str], str] = spanish if language == "es" else str
        acts = join(html("<li><b>{}</b> {}</li>", tr(act), tr(why)) for act, why in answer.actions)
        cost = join(html('<tr><td class="words">{}</td><td>{} {} {}</td></tr>', pieces[stage][language], low, AND[language], high)
                    for stage, low, high in answer.costs)
        return html('<h3>{}</h3><p><b>{}</b></p><ol>{}</ol><table class="nums"><thead><tr><th scope="col" class="words">{}</th>'
                    '<th scope="col">{}</th></tr></thead><tbody>{}</tbody></table>', tr(answer.choice), tr(answer.stop_rule), acts,
                    pieces["how_far"][language], pieces["it_may_cost"][language], cost)

    parts = join(both(partial(tell, answer)) for answer in answers)
    return html('<details class="fold answers" id="every-answer"><summary>{} <i aria-hidden="true">+</i></summary>{}</details>',
                each(pieces["every_answer"], "span", no_number), parts)


def pairs() -> Markup:
    """English and its Spanish, for the script that fills a card in both languages anew."""
    return html("<template data-spanish>{}</template>", join(html('<p data-of="{}">{}</p>', *pair) for pair in _pairs().items()))


def no_number(key: str, language: str) -> Markup:
    """For words that may hold no number."""
    raise LookupError(f"{key!r}: no number may stand here")
