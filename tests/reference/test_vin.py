"""The check digit of a VIN, 49 CFR 565.15 (c): the sample of table VI and sums by hand after tables III and IV."""

import string

import pytest

from calculators.engine import vin

SAMPLE = "1G4AH59H45G118341"  # table VI: the sum is 411, the remainder 4


def test_the_regulation_s_own_sample() -> None:
    assert vin.check_digit(SAMPLE) == "4" and vin.fault(SAMPLE) == ""


# By hand: seventeen ones weigh 8+7+6+5+4+3+2+10+0+9+8+7+6+5+4+3+2 = 89 = 8 x 11 + 1; 1M8GDM9A.KP042788 sums to 351 = 31 x 11 + 10.
@pytest.mark.parametrize(("number", "digit"), [("1" * 17, "1"), ("1M8GDM9AXKP042788", "X"), ("0" * 17, "0"), ("3" * 17, "3")])
def test_sums_by_hand(number: str, digit: str) -> None:
    assert vin.check_digit(number) == digit


@pytest.mark.parametrize(("letters", "value"), [("AJ", 1), ("BKS", 2), ("CLT", 3), ("DMU", 4), ("ENV", 5), ("FW", 6), ("GPX", 7), ("HY", 8),
                                                ("RZ", 9)])
def test_letters_stand_for_digits(letters: str, value: int) -> None:
    """Table III: alone in the last place, which weighs 2."""
    for letter in letters:
        assert vin.check_digit("0" * 16 + letter) == vin.check_digit("0" * 16 + str(value)) == "0123456789X"[2 * value % 11]


@pytest.mark.parametrize(("place", "weight"), list(enumerate([8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2])))
def test_places_weigh_what_table_four_says(place: int, weight: int) -> None:
    number = "0" * place + "1" + "0" * (16 - place)
    assert vin.check_digit(number) == ("X" if weight == 10 else str(weight))


def test_slips_of_one_sign_are_noticed_mostly() -> None:
    """A wrong sign passes only where the products agree modulo 11; no more than a sixth do."""
    signs = [sign for sign in string.digits + string.ascii_uppercase if sign not in "IOQ"]
    slips = [SAMPLE[:at] + sign + SAMPLE[at + 1:] for at in range(17) if at != 8 for sign in signs if sign != SAMPLE[at]]
    assert 0 < sum(vin.fault(each) == "" for each in slips) < len(slips) / 6


@pytest.mark.parametrize(("told", "said"), [
    ("1g4ah59h4-5g 118341", ""), ("1G4AH59H55G118341", "check digit"), ("1G4AH59H45G11834I", "1, not I"),
    ("12345", "here stand 5"), ("", "here stand 0"),
])
def test_what_is_said(told: str, said: str) -> None:
    assert said in vin.fault(told) and bool(vin.fault(told)) == bool(said)
