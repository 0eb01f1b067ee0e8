"""GTIN check digits: the last digit of a barcode's number proves the others."""

GTIN_LENGTHS = (8, 12, 13, 14)


def is_digits(text: str) -> bool:
    """Whether the text is made of the digits 0 to 9 only, and is not empty."""
    return text.isascii() and text.isdigit()


def check_digit(digits: str) -> int:
    """The check digit that belongs behind these digits: weights 3, 1, 3 … from the right, mod 10.

    Raises ValueError if the text holds anything but digits.
    Source: GS1 General Specifications, standard check digit calculation for GS1 data structures.

    >>> check_digit("629104150021"), check_digit("061414100003"), check_digit("978030640615")
    (3, 6, 7)
    """
    if not is_digits(digits):
        raise ValueError(f"not digits: {digits!r}")
    total = 3 * sum(map(int, digits[::-2])) + sum(map(int, digits[-2::-2]))
    return -total % 10


def is_gtin(text: str) -> bool:
    """Whether a text is a GTIN-8, -12, -13 or -14 with the right check digit.

    >>> is_gtin("416000336108"), is_gtin("416000336109"), is_gtin("41600033610")
    (True, False, False)
    """
    return len(text) in GTIN_LENGTHS and is_digits(text) and check_digit(text[:-1]) == int(text[-1])


def as_gtin_14(text: str) -> str:
    """The number padded to fourteen digits, under which all its lengths are one number.

    >>> as_gtin_14("416000336108") == as_gtin_14("0416000336108")
    True
    """
    return text.rjust(14, "0")


def unit_gtin(text: str) -> str:
    """The number [GTIN-14] of what lies in a case, by the number of the case; empty for any other.

    The first digit of a case's number, 1 to 8, says which case; the check digit is its own. Source:
    GS1 General Specifications, GTIN-14 with an indicator digit.

    >>> unit_gtin("12880000000188"), unit_gtin("2880000000181")
    ('02880000000181', '')
    """
    if len(text) != 14 or not is_gtin(text) or text[0] in "09":
        return ""
    return f"0{text[1:13]}{check_digit(f'0{text[1:13]}')}"


def retail_gtin(text: str) -> str:
    """A GTIN as a retail bar code holds it: 12 digits for UPC-A, 13 for EAN-13; empty where it is
    of another length, or none.

    Leading zeros of the longer lengths say nothing. A GTIN-8 and a GTIN-14 that names a case have
    codes of their own.

    >>> retail_gtin("0416000336108"), retail_gtin("02880000000181"), retail_gtin("96385074")
    ('416000336108', '2880000000181', '')
    """
    if not is_gtin(text) or len(text) < 12:  # the shortest that has one
        return ""
    plain = as_gtin_14(text)
    if plain.startswith("00"):
        return plain[2:]
    return plain[1:] if plain.startswith("0") else ""
