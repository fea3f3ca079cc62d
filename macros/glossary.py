"""Glossary words: the builder marks every one, a reader needs the first of each on a page."""

import re

_PIECES = re.compile(r"(<!--.*?-->|<script\b.*?</script>|<style\b.*?</style>|<[^>]*>)", re.DOTALL)
_TAG = re.compile(r"<(/?)([a-zA-Z][a-zA-Z0-9]*)")
_WHOLE = ("<script", "<style")  # split off with all that is in them
_VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
# Headings and boxes are read at a glance, and a hint on a link or a button hides what it does.
_PLAIN = {"h1", "h2", "h3", "h4", "a", "button", "caption", "label", "nav", "summary", "strong", "th"}
_PLAIN_BOX = 'class="dothis"'


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


def _step(inside: list[tuple[str, bool]], piece: str, name: str, *, ends: bool) -> None:
    if not ends:
        if name not in _VOID and not piece.endswith("/>"):
            inside.append((name, name in _PLAIN or _PLAIN_BOX in piece))
        return
    while any(name == other for other, _ in inside):  # its own end is that of what was left open in it
        if inside.pop()[0] == name:
            return
