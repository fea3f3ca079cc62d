"""Which letters a truck's name may have on paper: those that the sheets' own faces draw."""

import unicodedata
from functools import cache
from pathlib import Path

from fontTools.ttLib import TTFont

HERE = Path(__file__).parent
FACES = (
    HERE.parent / "docs/assets/fonts/ibm-plex-sans-condensed-latin-700-normal.woff2",
    *sorted((HERE / "fonts").glob("*.woff2")),
)


def drawn(name: str) -> str:
    """A name as paper can show it: without a picture among its letters; empty where letters would be boxes, so that it is written in."""
    whole = unicodedata.normalize("NFC", name)
    return "" if lacking(whole) else " ".join("".join(filter(_is_drawn, whole)).split())


def fitting(text: str, most: int) -> str:
    """A short text as paper can show it: letters that no face has are left out, and what is too long ends in an ellipsis."""
    shown = " ".join("".join(letter for letter in unicodedata.normalize("NFC", text) if letter.isspace() or _is_drawn(letter)).split())
    return shown if len(shown) <= most else f"{shown[: most - 1].rstrip()}…"


def lacking(name: str) -> str:
    """The letters of a name that no face of ours has, each once."""
    letters = filter(str.isalnum, unicodedata.normalize("NFC", name))
    return "".join(dict.fromkeys(letter for letter in letters if not _is_drawn(letter)))


def note(name: str) -> str:
    """What to say of a name that is left blank; empty for one that prints."""
    return f"{lacking(name)!r} can’t be printed, so the truck’s name is left blank, to write in by hand" if lacking(name) else ""


def _is_drawn(letter: str) -> bool:
    return ord(letter) in _drawn()


@cache
def _drawn() -> frozenset[int]:
    return frozenset(letter for face in FACES for letter in TTFont(face).getBestCmap())
