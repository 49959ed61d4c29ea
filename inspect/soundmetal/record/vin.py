"""Vehicle identification numbers of 17 characters (ISO 3779) and their check digit.

The check digit (place 9) is demanded in North America (49 CFR 565.15(c)) and in China; other countries leave the
place free. So a digit that does not fit is something to look at again, not an error; a letter that no such number can
hold is one.
"""

from __future__ import annotations

#: Values of letters, weights of places: 49 CFR 565.15(c), tables III and IV (from memory). I, O, Q are never used.
_VALUES = {c: i for i, c in enumerate("0123456789")} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", [*range(1, 9), *range(1, 6), 7, 9, *range(2, 10)], strict=True)
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)


def check_digit(identification: str) -> str:
    """Compute the character that belongs at place 9 of a 17-character number: 0 to 9, or X for ten.

    Give it only numbers that `readable_identification` let through; others raise KeyError or ValueError.

    >>> check_digit("11111111111111111")
    '1'
    """
    total = sum(_VALUES[c.upper()] * w for c, w in zip(identification, _WEIGHTS, strict=True))
    return "0123456789X"[total % 11]


def check_digit_fits(identification: str) -> bool | None:
    """Tell whether place 9 is the check digit; None where the number does not have 17 characters."""
    if len(identification) != 17:
        return None
    return identification[8].upper() == check_digit(identification)


def readable_identification(identification: str) -> str:
    """Give the number back, or raise ValueError if it has 17 characters and one of them cannot be.

    >>> readable_identification("D10-2281")
    'D10-2281'
    """
    if len(identification) == 17:
        # One at a time: some letters become two in upper case.
        wrong = [c for c in identification if c.upper() not in _VALUES]
        if wrong:
            raise ValueError(
                f'identification has 17 characters but "{wrong[0]}" is never one of them '
                "(ISO 3779 leaves out I, O and Q): read it again"
            )
    return identification
