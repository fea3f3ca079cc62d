"""A vehicle identification number: tidied, and what its own check digit says (49 CFR 565.15). A fault is a warning, never a refusal:
trailers, trucks from before 1981 and some imported ones have numbers of their own."""

from calculators.engine.figures import TABLES

_TABLE = TABLES["vin_check"]
_VALUES = {letter: value for value, letters in enumerate(_TABLE["letters"]) for letter in letters}
_LIKE_DIGITS = {"I": "1", "O": "0", "Q": "0"}


def tidy(told: str) -> str:
    """As it stands on the plate: capitals, no spaces or dashes."""
    return "".join(sign for sign in told.upper() if sign.isalnum())


def fault(told: str) -> str:
    """What is wrong with a number; empty where its check digit fits."""
    vin = tidy(told)
    if letters := [sign for sign in vin if sign in _LIKE_DIGITS]:
        digits = " and ".join(dict.fromkeys(f"{_LIKE_DIGITS[sign]}, not {sign}" for sign in letters))
        return f"a VIN has no I, O or Q: compare it with the truck’s plate ({digits}?)"
    if len(vin) != len(_TABLE["weights"]) or not set(vin) <= set(_VALUES):
        return f"a VIN has {len(_TABLE['weights'])} letters and digits, here stand {len(vin)}: compare it with the truck’s plate"
    if vin[_TABLE["weights"].index(0)] != check_digit(vin):
        return "its check digit does not fit, so a letter or digit is most likely wrong: compare it with the truck’s plate"
    return ""


def check_digit(vin: str) -> str:
    """The remainder of the weighted sum, X for the largest."""
    total = sum(_VALUES[sign] * weight for sign, weight in zip(vin, _TABLE["weights"], strict=True))
    remainder: int = total % _TABLE["divisor"][0]
    return "X" if remainder == _TABLE["divisor"][0] - 1 else str(remainder)
