"""What whoever adds to the guide may have written wrong, told when it is loaded: the file, the name, what would do."""

import re
from collections.abc import Iterable


class Mistake(ValueError):
    """Something written wrong in a file of ours, in one sentence."""


def meant(name: str, names: Iterable[str], otherwise: str = "") -> str:
    """The name that was most likely meant; ``otherwise`` where none is near."""
    from difflib import get_close_matches  # only a slip of the pen needs it

    close = get_close_matches(name, sorted(names), 1)
    return f"did you mean {close[0]}" if close else otherwise


def in_braces(text: str) -> list[str]:
    """The names whose values are filled into a sentence."""
    return re.findall(r"\{(\w+)\}", text)
