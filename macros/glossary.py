"""Glossary words: the builder marks every one, a reader needs the first of each on a page.

Pointed at, a word shows its meaning as a hint; touched, or reached by the keyboard, it opens a slip
as a number does, without a script.
"""

import re
from html import unescape

from markupsafe import Markup

from pieces.markup import html, ident, join

_PIECES = re.compile(r"(<!--.*?-->|<script\b.*?</script>|<style\b.*?</style>|<[^>]*>)", re.DOTALL)
_TAG = re.compile(r"<(/?)([a-zA-Z][a-zA-Z0-9]*)")
_WHOLE = ("<script", "<style")  # split off with all that is in them
_VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
# Headings and boxes are read at a glance, and a hint on a link or a button hides what it does.
_PLAIN = {"h1", "h2", "h3", "h4", "a", "button", "caption", "label", "nav", "summary", "strong", "th"}
_PLAIN_BOXES = ('class="dothis"', 'class="light"')
_MARK = re.compile(r'<abbr title="([^"]*)">([^<]*)</abbr>([.,;:!?)]*)')
_END = re.compile(r"(?:<p>)?<span data-page-end>")  # what pieces.page_end closes a page with; the builder may set it in a paragraph
_GLOSSARY = "reference.html#glossary"


def first_words_only(text: str) -> str:
    """The page with only the first mark of each word, and none where it would be in the way."""
    inside: list[tuple[str, bool]] = []  # the elements around, and whether each stays plain
    kept: list[bool] = []  # of the marks around, whether each stays
    seen = set()
    made = []
    for piece in _PIECES.split(text):
        tag = _TAG.match(piece)
        if piece.startswith("<abbr "):
            kept.append(piece not in seen and not any(plain for _, plain in inside))
            if kept[-1]:
                seen.add(piece)
                made.append(piece)
        elif piece == "</abbr>":
            if kept.pop():
                made.append(piece)
        else:
            made.append(piece)
            if tag and not piece.startswith(_WHOLE):
                _step(inside, piece, tag[2].lower(), ends=bool(tag[1]))
    return "".join(made)


def words_that_open(text: str) -> str:
    """The page with each marked word as a button, and what the buttons open at the page's end."""
    end = _END.search(text)
    if not end:
        return text
    slips: list[Markup] = []

    def button(mark: re.Match[str]) -> str:
        meaning, word = unescape(mark[1]), unescape(mark[2])
        name = ident("word", word)
        slips.append(_slip(name, word, meaning))
        opens = html('<abbr title="{}"><button class="term" type="button" popovertarget="{}">{}</button></abbr>', meaning, name, word)
        # A line may break after a button, and a full stop would start the next one alone.
        return html('<span class="keep">{}{}</span>', opens, mark[3]) if mark[3] else opens

    return f"{_MARK.sub(button, text[: end.start()])}{join(slips)}{text[end.start() :]}"


def _slip(name: str, word: str, meaning: str) -> Markup:
    return html(
        '<div class="slip" id="{}" popover data-search-exclude>'
        '<button class="x" type="button" aria-label="Close" popovertarget="{}">✕</button>'
        '<h2>{}</h2><p>{}</p><p><a href="{}">All words</a></p></div>', name, name, word[:1].upper() + word[1:], meaning, _GLOSSARY)


def _step(inside: list[tuple[str, bool]], piece: str, name: str, *, ends: bool) -> None:
    if not ends:
        if name not in _VOID and not piece.endswith("/>"):
            inside.append((name, name in _PLAIN or any(box in piece for box in _PLAIN_BOXES)))
        return
    while any(name == other for other, _ in inside):  # its own end is that of what was left open in it
        if inside.pop()[0] == name:
            return
