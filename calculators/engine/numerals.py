"""A number as people write it: 87,412, 87 412, 12 1/2, ½, 1:30. What could mean two things is told as both. Knows no units."""

import re
from typing import NamedTuple

_ALIKE = str.maketrans({
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2212\ufe63\uff0d", "-"), **dict.fromkeys("\u00ba\u02da", "°"),
    **dict.fromkeys("\u2018\u2019\u2032\u00b4", "'"), **dict.fromkeys("\u201c\u201d\u2033", '"'),
    "\u2044": "/", "\u2103": "°C", "\u2109": "°F",
    "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3", "⅛": " 1/8", "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
})
_FRACTION = re.compile(r"(?:([0-9]+)[ -])?([0-9]+)/([0-9]+)(?![0-9.,:/])")
_CLOCK = re.compile(r"([0-9]{1,4}):([0-5][0-9])(?![0-9.,:/])")
_RUN = re.compile(r"([0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?(?![0-9.,])|[0-9][0-9.,]*|\.[0-9]+)(e[+-]?[0-9]+)?(k(?![a-z]))?", re.I)
_PLAIN = re.compile(r"[0-9]+\.?[0-9]*|\.[0-9]+")
_EITHER = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")  # a mark that ends thousands here and begins decimals elsewhere, or the other way
_COMMAS = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]*)?")
_OTHER_WAY = re.compile(r"[0-9]+,[0-9]+|[1-9][0-9]{0,2}(?:(?:\.[0-9]{3})+,[0-9]+|(?:\.[0-9]{3}){2,})")  # 3,5 and 1.234,5


class Number(NamedTuple):
    """A number at the head of a text, and what follows it; ``mark`` is what makes it unsure, ``other`` what it means then."""

    value: float
    rest: str
    mark: str = ""  # "," read as thousands, "." as decimals, ":" as the sixtieth part
    other: float = 0.0

    @property
    def readings(self) -> tuple[float, ...]:
        """All that it can mean."""
        return (self.value, self.other) if self.mark else (self.value,)

    def times(self, sign: int) -> "Number":
        """The same, or below zero."""
        return self._replace(value=self.value * sign, other=self.other * sign)


def tidy(text: str) -> str:
    """The text with one sign for each thing: a dash is a minus, ½ is 1/2, any space is a space."""
    return " ".join(text.translate(_ALIKE).replace("''", '"').split())


def number(text: str) -> Number | None:
    """The number that a tidy text begins with; None where it begins with none, ValueError where it is written the other way."""
    if found := _FRACTION.match(text):
        whole, over, under = (float(part or 0) for part in found.groups())
        return Number(whole + over / under, text[found.end():].strip()) if under else None
    if found := _CLOCK.match(text):
        larger, smaller = float(found[1]), float(found[2])
        return Number(larger + smaller / 60, text[found.end():].strip(), ":", larger * 60 + smaller)
    if found := _RUN.match(text):
        return _of_run(found[1].replace(" ", ""), found[2] or ("e3" if found[3] else ""), text[found.end():].strip())
    return None


def unsure(digits: str) -> bool:
    """Whether a reader could take these digits for another number: 41.200."""
    return bool(_EITHER.fullmatch(digits))


def _of_run(digits: str, power: str, rest: str) -> Number | None:
    if unsure(digits):
        thousands, decimals = (float(re.sub("[.,]", between, digits) + power) for between in ("", "."))
        return Number(thousands, rest, ",", decimals) if "," in digits else Number(decimals, rest, ".", thousands)
    if _PLAIN.fullmatch(digits) or _COMMAS.fullmatch(digits):
        return Number(float(digits.replace(",", "") + power), rest)
    if _OTHER_WAY.fullmatch(digits):
        raise ValueError(f"write it as {digits.replace('.', '').replace(',', '.')}{power}{' ' if rest else ''}{rest}")
    return None
