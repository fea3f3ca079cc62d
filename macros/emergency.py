"""site/emergency.html: A light is on and Wrong fluid in one file that needs no other, to keep on a phone or to send.

It is made from the two built pages, so that no word and no number stands twice. It holds no script;
what a page folds away lies open here, for old phones and for paper.
"""

import base64
import re
from collections.abc import Iterable, Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from xml.etree.ElementTree import Element, TreeBuilder, tostring

from markupsafe import Markup

import calculators
from macros.two_languages import choice, each, no_number, said, words
from pieces.markup import html, join
from pieces.wording import LANGUAGES
from print import wording
from print.day import build_day

NAME = "emergency.html"
STYLE = Path(__file__).with_name("emergency.css")
TOKENS = Path(__file__).parent.parent / "docs" / "assets" / "tokens.css"
FONT = "assets/fonts/ibm-plex-sans-condensed-latin-700-normal.woff2"
HERE = {"light.html": "#list", "wrong-fluid.html": "#fluid"}  # pages that this file holds

_VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
_GONE = {"script", "style", "template", "form"}
_GONE_CLASSES = {"sprite", "calc", "page-end", "headerlink", "languages", "keep-it", "slip", "truckbar", "elsewhere", "whole", "jump"}
_KEPT = {"class", "id", "lang", "href", "scope", "role", "d", "cx", "cy", "r", "x", "y", "width", "height", "points", "transform",
         "text-anchor", "fill", "fill-rule", "stroke", "stroke-width", "stroke-linejoin", "stroke-linecap"}
_FLUID_HEADS = {"h1": "h2", "h2": "h3"}


def place(site: Path) -> None:
    """Write the file into a site whose pages are built."""
    (site / NAME).write_text(page(site), "utf-8")


def page(site: Path) -> str:
    """The whole file."""
    light, fluid = (read((site / name).read_text("utf-8")) for name in HERE)
    told = words("spanish")["emergency"]
    body = (
        html('<header><h1>{}</h1><p class="quiet">{}</p></header>', *(each(told[name], "span", no_number) for name in ("title", "what"))),
        choice(remember=Markup()),
        _as_html(found(light, "rule")),
        _signs(light),
        _list(light, fluid),
        html('<div class="told">{}{}<article id="fluid">{}</article><a class="up" href="#list">{}</a></div>',
             _as_html(found(found(light, "lists"), "", "div")), _as_html(found(light, "dothis")),
             join(_as_html(part, heads=_FLUID_HEADS) for part in found(fluid, "md-content__inner")), each(told["back"], "span", no_number)),
        _numbers((light, fluid), told),
        _foot(told),
    )
    head = html('<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<title>{}</title>\n'
                '<meta name="viewport" content="width=device-width, initial-scale=1">\n<meta name="color-scheme" content="light dark">\n'
                "<style>{}</style>\n</head>\n", said(told["title"], "en", no_number), Markup(style(site)))
    main = join((_symbols(body, light), html("<main>{}</main>", Markup("\n").join(part for part in body))))
    return f"{head}<body>\n{main}\n</body>\n</html>\n"


# The built pages -----------------------------------------------------------------------------------


class _Reader(HTMLParser):
    """A page as a tree."""

    def __init__(self) -> None:
        super().__init__()
        self.tree = TreeBuilder()
        self.tree.start("page", {})

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tree.start(tag, {name: value or "" for name, value in attrs})
        if tag in _VOID:
            self.tree.end(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tree.start(tag, {name: value or "" for name, value in attrs})
        self.tree.end(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in _VOID:
            self.tree.end(tag)

    def handle_data(self, data: str) -> None:
        self.tree.data(data)


def read(text: str) -> Element:
    """A page of ours as a tree; our own pages close what they open."""
    reader = _Reader()
    reader.feed(text)
    reader.close()
    reader.tree.end("page")
    return reader.tree.close()


def all_of(tree: Element, name: str, tag: str = "") -> Iterator[Element]:
    """Every element of a class, or of a tag where no class is named."""
    for element in tree.iter(tag or None):
        if not name or name in element.get("class", "").split():
            yield element


def found(tree: Element, name: str, tag: str = "") -> Element:
    """The first of them."""
    first = next((element for element in all_of(tree, name, tag) if element is not tree), None)
    if first is None:
        raise LookupError(f"{NAME}: the built page has no {tag}.{name}")
    return first


# What is kept of them --------------------------------------------------------------------------------


def _as_html(element: Element, heads: dict[str, str] | None = None) -> Markup:
    kept = Element("kept")
    _keep(element, kept, heads or {})
    inner = "".join(tostring(each, "unicode", method="html") for each in kept)
    return Markup(inner.replace(" viewbox=", " viewBox="))


def _keep(element: Element, into: Element, heads: dict[str, str]) -> None:
    """Copy an element without what a file of its own can't use."""
    classes = set(element.get("class", "").split())
    if element.tag in _GONE or classes & _GONE_CLASSES or (element.tag == "i" and element.get("aria-hidden")):
        return
    tag = {"details": "section", "summary": "h3", "button": "b"}.get(element.tag, element.tag)
    href = _address(element.get("href", ""))
    inside = into
    if not (tag == "abbr" or (tag == "a" and not href) or (tag == "b" and element.tag == "button" and "live" not in classes)):
        inside = Element(heads.get(tag, tag), _attributes(element, href))
        into.append(inside)
    _text(inside, element.text)
    for child in element:
        _keep(child, inside, heads)
        _text(inside, child.tail)


def _attributes(element: Element, href: str) -> dict[str, str]:
    kept = {name: value for name, value in element.attrib.items() if name in _KEPT or name.startswith("aria-") or name == "viewbox"}
    return kept | ({"href": href} if href else {})


def _text(element: Element, text: str | None) -> None:
    """Text after all that stands in an element so far."""
    if not text:
        return
    if len(element):
        element[-1].tail = (element[-1].tail or "") + text
    else:
        element.text = (element.text or "") + text


def _address(href: str) -> str:
    """Where a link leads in this file; nothing if its page stays behind."""
    name, _, place = href.partition("#")
    if name in HERE:
        return f"#{place}" if place else HERE[name]
    return href if (not name and place) or href.startswith("tel:") else ""


# What only this file has -------------------------------------------------------------------------------


def _list(light: Element, fluid: Element) -> Markup:
    """Every entry by name, under its level."""
    groups: list[Markup] = []
    for head in all_of(light, "lvlhead"):
        level = head.get("id", "")
        rows = join(html('<li><a href="#{}">{}</a></li>', entry.get("id"), _names(entry)) for entry in all_of(light, level, "details"))
        groups.append(html('<section class="group {0}"><h3><a href="#{0}">{1}</a></h3><ul>{2}</ul></section>', level, _names(head), rows))
    heads = (found(fluid, "", "h1"), found(light, "dothis"))
    places = zip(("fluid", "call"), heads, strict=True)
    more = join(html('<li><a href="#{}">{}</a></li>', place, _names(head)) for place, head in places)
    return html('<nav id="list"><h2>{}</h2>{}<ul class="more">{}</ul></nav>',
                each(words("light")["grid"]["whole"], "span", no_number), join(groups), more)


def _signs(light: Element) -> Markup:
    """The grid of signs, what each may mean, and what is smelled, seen, heard or felt: by anchors."""
    plain = (part for part in all_of(light, "words") if "which" not in part.get("class", ""))
    signs = (next(all_of(light, name)) for name in ("foot", "key", "signs-name", "signs"))
    parts = [*signs, *all_of(light, "which"), next(all_of(light, "ruled")), *plain]
    return join(map(_as_html, parts))


def _names(element: Element) -> Markup:
    """What an element is called, in both languages."""
    parts = [next(part for part in element.iter() if part.get("lang") == language) for language in LANGUAGES]
    return Markup(" ").join(html('<span lang="{}">{}</span>', part.get("lang"), _first_words(part)) for part in parts)


def _first_words(element: Element) -> str:
    """The name alone, without what stands small behind it."""
    for part in element.iter():
        if part.text and part.text.strip():
            return part.text.strip()
    raise LookupError(f"{NAME}: an element without words")


def _numbers(pages: Iterable[Element], told: dict[str, dict[str, str]]) -> Markup:
    """Each number of the two pages with its source, once."""
    rows: dict[Markup, None] = {}
    slips = (slip for page in pages for slip in all_of(page, "slip"))
    for slip in (slip for slip in slips if list(all_of(slip, "num"))):  # a glossary word's slip holds none
        number, label = (_plain(part) for part in found(slip, "", "h2"))
        kinds = ", ".join(dict.fromkeys(_plain(part) for part in all_of(slip, "kind"))).removesuffix(", example")
        origin = " ".join(part.text or "" for part in slip.iter("p")).strip()  # without the kind, which stands in an element of its own
        source = origin if kinds.lower() in origin.lower() else f"{origin} {kinds}"
        rows[html('<li lang="{}"><b>{}</b> {} <small>{}</small></li>', slip.get("lang", "en"), number, label, source.strip())] = None
    return html('<section class="numbers"><h2>{}</h2><ul>{}</ul></section>', each(told["numbers"], "span", no_number), join(rows))


def _plain(element: Element) -> str:
    return " ".join("".join(element.itertext()).split())


def _foot(told: dict[str, dict[str, str]]) -> Markup:
    made = f"{wording.words("_every", "en")["guide"]} {calculators.__version__} · {calculators.show.words(build_day())}"
    return html("<footer><p><b>{}</b></p><p>{}</p><p>{}</p></footer>", each(told["manual"], "span", no_number),
                each(told["guide"], "span", no_number), made)


def _symbols(body: Iterable[Markup], light: Element) -> Markup:
    """The signs that the file uses."""
    used = dict.fromkeys(re.findall(r'<use href="#([\w-]+)"', "".join(body)))
    known = {symbol.get("id"): symbol for symbol in light.iter("symbol")}
    kept = Element("defs")
    for name in used:
        _keep(known[name], kept, {})
    drawn = tostring(kept, "unicode", method="html").replace(" viewbox=", " viewBox=")
    return html('<svg class="sprite" width="0" height="0" aria-hidden="true">{}</svg>', Markup(drawn))


# Its look ------------------------------------------------------------------------------------------------


def style(site: Path) -> str:
    """The tokens of the site, the bold narrow face, and the rules of this file alone."""
    tokens = TOKENS.read_text("utf-8")
    tokens = re.sub(r"/\*.*?\*/", "", tokens, flags=re.DOTALL)
    face = re.compile(r"@font-face \{[^}]*\}")
    faces, rest = face.findall(tokens), face.sub("", tokens)
    rest = re.sub(r'(\[data-md-color-scheme="slate"\] \{.*?\n\})', r"@media (prefers-color-scheme: dark) {\n\1\n}", rest, flags=re.DOTALL)
    rest = rest.replace(':root, [data-md-color-scheme="default"]', ":root").replace(', [data-md-color-scheme="slate"]', "")
    rest = rest.replace('[data-md-color-scheme="slate"]', ":root")
    narrow = next(one for one in faces if "Narrow" in one)
    data = base64.b64encode((site / FONT).read_bytes()).decode()
    narrow = re.sub(r"url\([^)]*\)", f"url(data:font/woff2;base64,{data})", narrow)
    return "\n".join(re.sub(r"\s*\n\s*", "\n", part.strip()) for part in (narrow, rest, _own()))


@cache
def _own() -> str:
    return re.sub(r"/\*.*?\*/", "", STYLE.read_text("utf-8"), flags=re.DOTALL)
