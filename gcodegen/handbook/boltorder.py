"""In which order the bolts of a circle are tightened, and how that is told. Common practice, no source."""

from __future__ import annotations

import math

STEPS = "a third, two thirds, then"


def cross_order(count: int) -> tuple[int, ...]:
    """Return the order in which to tighten ``count`` bolts on a circle, from 1: each far from the one before.

    Notes
    -----
    Up to three go round; with an even count opposite ones follow each other, with an odd one every second
    (common practice, no source). Where four divides the count, four that stand square follow each other, as the
    cross pattern of ASME PCC-1 has it (from memory of that table).
    """
    if count < 4:
        return tuple(range(1, count + 1))
    if count % 2:
        return tuple(1 + (k * (count // 2)) % count for k in range(count))
    half = count // 2
    if count % 4 == 0:
        starts = cross_order(count // 4)
        return tuple(s + turn for s in starts for turn in (0, half, half // 2, half + half // 2))
    # From one opposed pair to the next, about a quarter turn on, each pair once.
    step = max(k for k in range(1, half // 2 + 1) if math.gcd(k, half) == 1)
    return tuple(1 + (k * step) % half + h for k in range(half) for h in (0, half))


def order_in_words(count: int) -> str:
    """Return the way round and the order: ``in turn, 1-2-3`` or ``in a cross, 1-3-2-4``."""
    order = "-".join(map(str, cross_order(count)))
    return f"in a cross, {order}" if count > 3 else f"in turn, {order}"
