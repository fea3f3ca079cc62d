"""A light is on: its entries as HTML, from the words in docs/includes/light.toml."""

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from macros.two_languages import Live, both, choice, each, keep, said, words
from pieces.markup import html, icon, join
from pieces.wording import LANGUAGES

ICONS = {"stop": "stop", "soon": "soon", "on": "on"}


def page(live: Live) -> Markup:
    """The page."""
    name = html("<h1>{}</h1>", each(words("light")["page"]["title"], "span", live))
    return html('<div class="light">{}{}{}<div class="lists"><div>{}{}</div>{}</div></div>',
                name, choice(), alarm(live) + jump(live), lists(live), keep(), call(live))


def alarm(live: Live) -> Markup:
    """What comes before all reading."""
    page = words("light")["page"]
    told = join(html('<p lang="{}"><b>{}</b>{}</p>', language, said(page["alarm"], language, live), said(page["alarm_do"], language, live))
                 for language in LANGUAGES)
    return html('<div class="rule">{}<div class="both">{}</div></div>', icon("stop"), told)


def jump(live: Live) -> Markup:
    """To each level, for a phone on which the next is far down."""
    levels = words("light")["levels"]
    row = join(html('<a class="{0}" href="#{0}">{1}</a>', level["id"], each(level["word"], "b", live)) for level in levels)
    return html('<nav class="jump" aria-label="{}">{}</nav>', words("light")["page"]["levels"]["en"], row)


def lists(live: Live) -> Markup:
    """All entries under their levels."""
    light = words("light")
    made = Markup()
    for level in light["levels"]:
        made += _level(level, live)
        made += join(_entry(entry, level, live) for entry in light["entries"] if entry["level"] == level["id"])
    return made + html('<p class="quiet">{}</p>', each(light["page"]["not_here"], "span", live))


def call(live: Live) -> Markup:
    """Whom to call, always the same."""
    page = words("light")["page"]
    told = join(html("<div lang=\"{}\"><p>{}</p><p>{}</p><p class=\"quiet\">{}</p></div>", language,
                     *(said(page[name], language, live) for name in ("call_first", "call_then", "photo"))) for language in LANGUAGES)
    return html('<aside class="dothis" aria-labelledby="call"><h2 id="call">{}</h2>{}</aside>', each(page["call_head"], "span", live), told)


def _level(level: Mapping[str, Any], live: Live) -> Markup:
    names = join(html('<span class="said" lang="{}"><span>{}</span> <small>{}</small></span>', language,
                      said(level["word"], language, live), said(level["why"], language, live)) for language in LANGUAGES)
    return html('<h2 class="lvlhead {0}" id="{0}">{1}{2}</h2>', level["id"], icon(ICONS[level["id"]]), names)


def _entry(entry: Mapping[str, Any], level: Mapping[str, Any], live: Live) -> Markup:
    names = join(html('<span class="said" lang="{}"><b>{}</b> <span>{}</span></span>', language,
                      said(entry["name"], language, live), said(entry["looks"], language, live)) for language in LANGUAGES)
    lamp = html('<svg class="lamp" aria-hidden="true"><use href="#l-{}"/></svg>', entry["lamp"])
    return html('<details class="tri {}" name="tri" id="{}"><summary>{}{}<i aria-hidden="true">+</i></summary>{}</details>',
                level["id"], entry["id"], lamp, names, both(lambda language: _told(entry, level, language, live)))


def _told(entry: Mapping[str, Any], level: Mapping[str, Any], language: str, live: Live) -> Markup:
    """Three actions, what to write down, whom to call, and who has the last word."""
    labels = words("light")["labels"]

    def tell(phrase: Mapping[str, str]) -> Markup:
        return said(phrase, language, live)

    actions = join(html("<li>{}</li>", tell(action)) for action in entry["first"])
    write = Markup(" ").join(tell(phrase) for phrase in (entry.get("write"), labels["always"]) if phrase)
    last = html("{} {}.", tell(labels["manual"]), tell(entry["manual"]))
    rows = {"write": write, "call": tell(entry.get("call", level["call"])), "last": last}
    told = join(html("<dt>{}</dt><dd>{}</dd>", tell(labels[name]), row) for name, row in rows.items())
    return html('<ol class="first">{}</ol><dl>{}</dl>', actions, told)
