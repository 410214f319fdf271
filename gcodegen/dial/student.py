"""Student's t: how many standard errors hold a stated share of all sets of readings."""

from __future__ import annotations

import math
from functools import cache


def t_share(t: float, spare: int) -> float:
    """Return the share of Student's t within plus and minus ``t``, ``spare`` readings to spare, 0 to 1.

    Notes
    -----
    The finite sums for a whole number of degrees of freedom: Abramowitz and Stegun, Handbook of Mathematical
    Functions, 26.7.3 and 26.7.4, from memory.
    """
    angle = math.atan(abs(t) / math.sqrt(spare))
    square = math.cos(angle) ** 2
    odd = spare % 2 == 1
    term = total = math.cos(angle) if odd else 1.0
    for k in range(3 if odd else 2, spare - 1, 2):
        term *= square * (k - 1) / k
        total += term
    if not odd:
        return math.sin(angle) * total
    return 2 / math.pi * (angle + (math.sin(angle) * total if spare > 1 else 0.0))


@cache
def t_within(share: float, spare: int) -> float:
    """Return the t whose plus and minus hold ``share`` of all cases, with ``spare`` readings to spare.

    Raises
    ------
    ValueError
        When the share is not between 0 and 1, or no reading is to spare.
    """
    if not 0 < share < 1 or spare < 1:
        raise ValueError(f"share {share:g}, {spare} to spare; allowed: between 0 and 1, at least 1")
    low, high = 0.0, 1.0
    while t_share(high, spare) < share:
        low, high = high, 2 * high
    while low < (middle := (low + high) / 2) < high:
        low, high = (middle, high) if t_share(middle, spare) < share else (low, middle)
    return high
