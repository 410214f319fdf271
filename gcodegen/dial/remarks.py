"""What is said of readings and turns besides the figures: doubts, shape, tilt, float, each with what to do."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import assert_never

from gcodegen.dial.chuck import ChuckAsMade
from gcodegen.dial.doubts import Doubt, DoubtKind
from gcodegen.dial.fit import Fit, Wave
from gcodegen.dial.tilt import Tilt
from gcodegen.units import show_length

SURE_ERRORS = 2.0
"""What is less than so many standard errors is not told from nothing."""
TINY_MM = 1e-9  # keeps a figure met exactly from failing by the last bit of a float
FEW_TO_SPARE = 3
"""With fewer readings to spare the scatter itself is badly known (own choice)."""
JAWS_DRIFT_MM = 0.02
"""Drift over the planes read from which the jaws are to be seen to: 0.0008 in (common practice, no source)."""


def fine(mm: float, unit: str) -> str:
    """Return a length as the dial room shows it: tenths of a micrometre, or hundredths of a thousandth."""
    return show_length(mm, unit, places=5 if unit == "in" else 4)


def named(plane: float | None, unit: str) -> str:
    """Return the head of a message about a plane; nothing where there is but one."""
    return "" if plane is None else f"plane at {show_length(plane, unit)}: "


def of_step(resolution: float, unit: str) -> str:
    """Say which step of the indicator is reckoned with where none was told."""
    return f"the indicator is taken to be read to {fine(resolution, unit)}; tell its step with resolution"


def of_doubts(fits: Mapping[float | None, Fit], unit: str) -> list[str]:
    """Say which readings to take again, and what the answer would be without them."""
    return [named(p, unit) + _doubt(d, unit) for p, one in fits.items() for d in one.doubts]


def _doubt(doubt: Doubt, unit: str) -> str:
    by, at = fine(abs(doubt.by), unit), f"reading {doubt.place}, at {doubt.angle_deg:g} deg,"
    without = ""
    if doubt.without is not None:
        e = fine(math.hypot(*doubt.without), unit)
        without = f"; without that the part would stand {e} off centre"
    match doubt.kind:
        case DoubtKind.ALONE:
            return f"{at} stands {by} off the curve of the others: read it again before a screw is turned{without}"
        case DoubtKind.JUMP:
            return (
                f"from {at} on all readings stand {by} off: the indicator was bumped, or its clamp slipped; "
                f"read the whole turn again{without}"
            )
        case DoubtKind.RETURN:
            return (
                f"{at} was read before and does not repeat by {by}: the indicator or the part has moved; "
                "read the whole turn again"
            )
        case _:
            assert_never(doubt.kind)


def of_turns(nearest: Fit, chuck: ChuckAsMade, reach: float, unit: str) -> list[str]:
    """Say where the turns are less than they seem: no surer than chance, or cut to the float.

    ``reach`` is how far the chuck will go of the way wanted, mm.
    """
    says: list[str] = []
    off, error = nearest.eccentricity, nearest.standard_error
    if off < SURE_ERRORS * error:
        says.append(
            f"the eccentricity {fine(off, unit)} is less than twice its standard error"
            f" {fine(error, unit)}; read again before a screw is turned"
        )
    if off > reach + TINY_MM:
        stop = f"; what stops it is the {chuck.stopped_by}" if chuck.stopped_by else ""
        says.append(
            f"the chuck would have to move {fine(off, unit)}, and its float is"
            f" {fine(max(chuck.float_available, 0.0), unit)} each way from the middle: it goes {fine(reach, unit)}"
            f" and leaves {fine(2 * (off - reach), unit)} of run-out{stop}; the turns go no further than that"
        )
    return says


def of_reading_more(turns: int, unit: str, at: Fit) -> str:
    """Say that the figure wanted is finer than these readings, and what would tell it."""
    return (
        f"the readings are sure to {fine(at.sure_within, unit)} only, too little for the figure wanted:"
        f" read {turns} turns of the part and give them all together"
    )


def of_coarse(at: Fit, unit: str) -> str:
    """Say that the indicator's step is too large for the figure wanted."""
    return (
        f"an indicator read in steps of {fine(at.resolution, unit)} cannot tell the figure wanted: take a finer one,"
        " or be content with more"
    )


def of_shape(fits: Mapping[float | None, Fit], wanted: float, unit: str) -> list[str]:
    """Say what the part's or the jaws' shape leaves, which the screws cannot take out."""
    says: list[str] = []
    for plane, one in fits.items():
        seen = [w for w in one.waves if w.size > SURE_ERRORS * w.error and 2 * w.size > wanted / 2]
        says += [named(plane, unit) + _lobes(w, one.spare, unit) for w in seen]
        if one.rest > wanted + TINY_MM and not one.doubts:  # what is doubted is not the part's shape
            what = (
                "is the shape of the part or the jaws"
                if seen or one.spare < 1
                else "is neither eccentricity nor two or three lobes: a rough or dirty surface, or a shaky set-up"
            )
            says.append(
                f"{named(plane, unit)}{fine(one.rest, unit)} of the run-out {what}; the screws cannot remove it"
            )
    return says


def _lobes(wave: Wave, spare: int, unit: str) -> str:
    size, error = fine(wave.size, unit), fine(wave.error, unit)
    cause = {
        2: "two-lobed (oval): a bar that is not round, a bent one, or a thin part squeezed oval; turn the bar in the "
        "jaws and read again: what turns along is the bar",
        3: "three-lobed: a thin part squeezed by three jaws, or a bar ground three-lobed; clamp less hard, or bore "
        "the jaws to the part",
    }.get(wave.harmonic, f"{wave.harmonic}-lobed")
    unsure = "" if spare >= FEW_TO_SPARE else "; with so few readings to spare this is a guess: read at 12 places"
    return f"the part reads {cause} ({size} either way, standard error {error}); the screws cannot mend it{unsure}"


def of_tilt(fits: Mapping[float | None, Fit], lean: Tilt | None, wanted: float, unit: str) -> list[str]:
    """Say what a tilt leaves at the other planes when the one nearest to the jaws runs true."""
    if lean is None:
        return []
    if lean.um_per_100mm < SURE_ERRORS * lean.standard_error_um:
        return ["the tilt is less than twice its standard error: it is not told from nothing"]
    says: list[str] = []
    nearest = next(iter(fits.values()))
    for plane, one in fits.items():
        drift = math.hypot(one.x - nearest.x, one.y - nearest.y)
        if 2 * drift > wanted + TINY_MM:
            cure = "grind or bore the jaws" if drift >= JAWS_DRIFT_MM else "see to the jaws"
            says.append(
                f"{named(plane, unit)}tilt leaves {fine(2 * drift, unit)} of run-out there when the plane"
                f" nearest to the jaws runs true; the screws cannot remove it: {cure}, or look for dirt on the seat"
            )
    return says
