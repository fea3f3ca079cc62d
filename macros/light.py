"""A light is on: its entries as HTML, from the words in docs/includes/light.toml."""

from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup

from macros.two_languages import Live, both, choice, each, keep, said, words
from pieces.markup import html, icon, join
from pieces.wording import LANGUAGES

CALLED = ("service", "tow", "boss")  # the truck's identity holds their numbers as call_service and so on
ICONS = {"stop": "stop", "soon": "soon", "on": "on"}


def page(live: Live) -> Markup:
    """The page."""
    name = html("<h1>{}</h1>", each(words("light")["page"]["title"], "span", live))
    return html('<div class="light"><div class="headline">{}{}</div>{}{}<div class="lists"><div>{}{}</div>{}</div>{}</div>',
                name, choice(), alarm(live), grid(live), whole(live), keep(), call(live), foot(live))


def grid(live: Live) -> Markup:
    """What lights up, by its sign; then what is smelled, seen, heard or felt."""
    light = words("light")
    told, entries = light["grid"], {entry["id"]: entry for entry in light["entries"]}
    tiles = join(_tile(number, lamp, entries, live) for number, lamp in enumerate(light["lamps"]))
    rows = join(_row(f"which-{sign['id']}", sign["name"], sign["what"], live) for sign in light["signs"])
    rows += _row("wrong-fluid.html", told["fluid"], told["fluid_what"], live)
    choices = [(f"which-{number}", lamp) for number, lamp in enumerate(light["lamps"]) if len(lamp["entries"]) > 1]
    choices += [(f"which-{sign['id']}", sign) for sign in light["signs"]]
    return html(
        '<p class="key">{}</p><p class="signs-name heard" id="which">{}</p>'
        '<nav class="signs" aria-labelledby="which">{}</nav>{}<h2 class="ruled" id="no-light">{}</h2>'
        '<nav class="words" aria-labelledby="no-light">{}</nav>',
        join(html('<span><em class="{}" aria-hidden="true"></em>{}</span>', level["id"], each(level["word"], "span", live))
             for level in light["levels"]),
        each(told["which"], "span", live), tiles, join(_choice(at, part, entries, live) for at, part in choices),
        each(told["no_light"], "span", live), rows)


def _worst(names: Iterable[str], entries: Mapping[str, Any]) -> list[Any]:
    """Those entries, worst first; else as they are named."""
    order = [level["id"] for level in words("light")["levels"]]
    return sorted((entries[name] for name in names), key=lambda entry: order.index(entry["level"]))


def _tile(number: int, lamp: Mapping[str, Any], entries: Mapping[str, Any], live: Live) -> Markup:
    worst = _worst(lamp["entries"], entries)[0]
    level = next(level for level in words("light")["levels"] if level["id"] == worst["level"])
    place = worst["id"] if len(lamp["entries"]) == 1 else f"which-{number}"
    return html('<a class="{}" href="#{}"><svg class="lamp" aria-hidden="true"><use href="#l-{}"/></svg>'
                '<b>{}</b><span class="heard">{}</span></a>',
                worst["level"], place, lamp["lamp"], each(lamp["name"], "span", live), each(level["word"], "span", live))


def _row(place: str, name: Mapping[str, str], what: Mapping[str, str], live: Live) -> Markup:
    href = place if place.endswith(".html") else f"#{place}"
    return html('<a href="{}"><span><b>{}</b><span>{}</span></span>{}</a>', href, each(name, "span", live), each(what, "span", live),
                icon("go"))


def _choice(at: str, part: Mapping[str, Any], entries: Mapping[str, Any], live: Live) -> Markup:
    """What a sign may mean, worst first; shown once it is the place that the address names, so it needs no script."""
    rows = join(html('<a class="{}" href="#{}"><span><b>{}</b><span>{}</span></span>{}</a>', entry["level"], entry["id"],
                     each(entry["name"], "span", live), each(entry["looks"], "span", live), icon("go"))
                for entry in _worst(part["entries"], entries))
    return html('<nav class="which words" id="{0}" aria-labelledby="{0}-name"><h2 id="{0}-name">{1}<small>{2}</small></h2>{3}</nav>', at,
                each(part["name"], "span", live), each(words("light")["grid"]["means"], "span", live), rows)


def whole(live: Live) -> Markup:
    """Every entry, for those who know its name."""
    return html('<h2 class="ruled whole" id="whole">{}</h2>{}{}',
                each(words("light")["grid"]["whole"], "span", live), jump(live), lists(live))


def foot(live: Live) -> Markup:
    """Always in reach: whom to call. A jump and no call, so that a glove calls nobody."""
    told = words("light")
    return html('<div class="foot"><p>{}</p><a class="btn solid" href="#call">{}</a></div>',
                each(told["grid"]["hurt"], "span", live), each(told["page"]["call_head"], "span", live))


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
    """All entries under their levels, whose heads leave the screen with them."""
    light = words("light")
    made = Markup()
    for level in light["levels"]:
        entries = (_entry(entry, level, live) for entry in light["entries"] if entry["level"] == level["id"])
        made += html("<section>{}{}</section>", _level(level, live), join(entries))
    return made + html('<p class="quiet">{}</p>', each(light["page"]["not_here"], "span", live))


def call(live: Live) -> Markup:
    """Whom to call, always the same."""
    page = words("light")["page"]
    told = join(html("<div lang=\"{}\"><p>{}</p><p>{}</p><p class=\"quiet\">{}</p></div>", language,
                     *(said(page[name], language, live) for name in ("call_first", "call_then", "photo"))) for language in LANGUAGES)
    rows = join(html('<a class="number" href="my-truck.html#who-to-call" data-call="{0}"><b>{1}</b><span data-number>{2}</span></a>',
                     who, each(page[f"call_{who}"], "span", live), each(page["write_number"], "span", live)) for who in CALLED)
    numbers = html('<nav class="call" aria-labelledby="call"><a class="number" href="tel:911"><b>911</b><span>{}</span></a>{}</nav>',
                   each(page["hurt"], "span", live), rows)
    return html('<aside class="dothis" aria-labelledby="call"><h2 id="call">{}</h2>{}{}</aside>'
                '<script src="assets/light.js" defer></script>', each(page["call_head"], "span", live), numbers, told)


def steps(ident: str, live: Live) -> str:
    """The actions of one entry as Markdown, in English."""
    entry = next((entry for entry in words("light")["entries"] if entry["id"] == ident), None)
    if entry is None:
        raise LookupError(f"no light is called {ident!r}")
    return "\n".join(f"{row}. {said(action, 'en', live)}" for row, action in enumerate(entry["first"], 1))


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
