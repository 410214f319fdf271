"""The quick way: only the high and the low spot, found by turning the chuck until the needle turns back."""

from __future__ import annotations

import math
from collections.abc import Sequence

from gcodegen.dial.fit import Fit
from gcodegen.dial.model import direction_deg
from gcodegen.dial.readings import Reading, Spot, assumed_resolution
from gcodegen.errors import ReadingError

LEAST_SPOT_ERROR_DEG = 3.0
"""A spot is not found by hand to better than this (common practice, no source)."""
UNLIKE_DEG = 40.0
"""Spots further from opposite than this are said to be no sign of an eccentricity alone (own choice)."""
_SPOTS_DO = "Mark both turning points of the needle, the high and the low one, or give full sets of readings"


def fit_spots(readings: Sequence[Reading], *, resolution: float | None = None) -> Fit:
    """Return what the high and the low spot of one plane say; a spot found more than once is averaged.

    Raises
    ------
    ReadingError
        When one of the two is missing, a reading is neither, or the high spot reads less than the low one.

    Notes
    -----
    The eccentricity is half the full movement, so lobes count into it. Near a spot the needle stands still:
    a step q is not passed within sqrt(q / e) of it, which is how badly the direction is known.
    """
    high = [r for r in readings if r.spot is Spot.HIGH]
    low = [r for r in readings if r.spot is Spot.LOW]
    if not high or not low or len(high) + len(low) != len(readings):
        raise ReadingError("some readings are spots, and they are not high and low spot alone", do=_SPOTS_DO)
    step = resolution if resolution is not None else assumed_resolution([r.value for r in readings])
    top, bottom = _mean(high), _mean(low)
    if top < bottom:
        raise ReadingError(
            f"the high spot reads {bottom - top:.4f} mm less than the low one",
            do="A value is positive where the part pushes the stylus outward: exchange the two",
        )
    high_at, low_at = _pointer(high), _pointer(low)
    x, y = high_at[0] - low_at[0], high_at[1] - low_at[1]
    apart = math.degrees(math.acos(max(-1.0, min(1.0, high_at[0] * low_at[0] + high_at[1] * low_at[1]))))
    e, towards = (top - bottom) / 2, math.radians(direction_deg(x, y))
    error = step * math.sqrt(1 / 12 / 2)
    swing = max(math.radians(LEAST_SPOT_ERROR_DEG), math.sqrt(min(1.0, step / e) / 6) if e > 0 else math.pi)
    across = e * swing if e > 0 else error
    c, s = math.cos(towards), math.sin(towards)
    return Fit(
        x=e * c,
        y=e * s,
        eccentricity=e,
        direction_deg=direction_deg(x, y),
        standard_error=error,
        direction_error_deg=math.degrees(swing),
        sure_within=step,
        spread=(
            (error * c) ** 2 + (across * s) ** 2,
            (error * s) ** 2 + (across * c) ** 2,
            (error**2 - across**2) * c * s,
        ),
        waves=(),
        run_out=top - bottom,
        rest=0.0,
        spare=0,
        resolution=step,
        doubts=(),
        warnings=_warnings(apart, math.degrees(swing)),
    )


def _warnings(apart: float, swing: float) -> tuple[str, ...]:
    says = [
        "two spots cannot tell a lobed part from a displaced one, and a spot is flat: its direction is known to"
        f" about {swing:.0f} degrees; take 8 or 12 readings before you trust the last hundredth"
    ]
    if 180 - apart > UNLIKE_DEG:
        says.append(
            f"high and low spot stand {apart:.0f} degrees apart, and 180 is what a displaced part shows:"
            " the part is not round, or a spot was missed"
        )
    return tuple(says)


def _mean(spots: Sequence[Reading]) -> float:
    return sum(r.value * r.weight for r in spots) / sum(r.weight for r in spots)


def _pointer(spots: Sequence[Reading]) -> tuple[float, float]:
    """Return the mean direction of the spots as a unit vector; refuse places that cancel."""
    x = sum(r.weight * math.cos(math.radians(r.angle_deg)) for r in spots)
    y = sum(r.weight * math.sin(math.radians(r.angle_deg)) for r in spots)
    length = math.hypot(x, y)
    if length < 0.5 * sum(r.weight for r in spots):
        raise ReadingError("the places of one spot lie all round the turn", do=_SPOTS_DO)
    return x / length, y / length
