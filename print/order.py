"""What is asked of a pack, and how its file asks to be printed: all that is known before anything is laid out."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from print import wording

PAPERS = ("letter", "a4")


class Order(NamedTuple):
    """Which sheets a pack holds, and how."""

    sheets: tuple[str, ...]
    paper: str
    language: str
    today: str
    title: str = ""


class Wishes(NamedTuple):
    """How a file asks to be printed, beside its true size: on one side only, so many times."""

    one_side: bool = False
    copies: int = 1

    def on(self, _: Any, made: Any) -> None:
        """Tell a viewer; a fold and a label come out right at their true size alone."""
        told = {"PrintScaling": "/None", "Duplex": "/Simplex" if self.one_side else None,
                "NumCopies": self.copies if self.copies > 1 else None}
        made.catalog["ViewerPreferences"] |= {wish: value for wish, value in told.items() if value}


PLAIN = Wishes()


def wishes(sheets: Sequence[str]) -> Wishes:
    """How a file of these sheets asks to be printed."""
    copies = max(wording.read(name).get("print_copies", 1) for name in sheets) if len(sheets) == 1 else 1
    return Wishes(any(wording.read(name).get("one_side", False) for name in sheets), copies)
