"""Arcs: G2 and G3 in centre and radius form (NISTIR 6556, section 3.5.3).

In-plane coordinates are in mm; on a lathe X is halved first, so that circles are circles.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Final

from gcodegen.rs274.blocks import Block
from gcodegen.rs274.groups import g_name
from gcodegen.rs274.motions import Arc, Kind, Motion, Point
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import feed_for
from gcodegen.rs274.state import OFFSETS, PLANES, Modes
from gcodegen.units import MM_PER_INCH
from gcodegen.verdict import Severity

Pair = tuple[float, float]

MISMATCH_MM: Final = 0.002  # section 3.5.3.2, millimetres in force
MISMATCH_INCH_MM: Final = 0.0002 * MM_PER_INCH  # the same, inches in force
SAME_POINT_MM: Final = 1e-6  # only rounding of sums: far below any machine's smallest step
_NAMES: Final = {170: "xy", 180: "zx", 190: "yz"}
_LETTERS: Final = {170: ("X", "Y"), 180: ("Z", "X"), 190: ("Y", "Z")}
# Section 3.5.3.1 calls arcs up to 165 and from 195 to 345 degrees safe in radius form.
_ILL: Final = ((165.0, 195.0), (345.0, 360.0))


def arc(modes: Modes, block: Block, code: int) -> None:
    """Take G2 or G3."""
    words = block.words
    first, second = _LETTERS[modes.plane]
    if modes.machine.lathe and modes.plane != 180:
        name = g_name(code)
        raise Refusal("no-such-axis", f"{name} in a plane that this machine has not", word=name)
    if first not in words and second not in words:
        name = g_name(code)
        raise Refusal("missing-axis", f"{name} names neither {first} nor {second}", word=name)
    modes.need_known()
    start, end = modes.position, modes.target(words)
    shape = circle(modes, words, block.line, end, code)
    feed = feed_for(modes, block)
    modes.steps.append(Motion(block.line, Kind.ARC, start, end, modes.state(), feed, shape))
    modes.position = end


def circle(modes: Modes, words: Mapping[str, float], line: int, end: Point, code: int) -> Arc:
    """Return the circle from the present place to ``end`` by the words I, J, K and R of its line.

    Raises
    ------
    Refusal
        When no circle, or more than one, follows from them.
    """
    here, there = _in_plane(modes, modes.position), _in_plane(modes, end)
    turn = 1 if code == 30 else -1
    by = _by_radius if "R" in words else _by_centre
    return by(modes, words, line, here, there, turn)


def _in_plane(modes: Modes, point: Point) -> Pair:
    first, second, _ = PLANES[modes.plane]
    if not modes.machine.lathe:
        return point[first], point[second]
    return point[first] * (0.5 if first == 0 else 1.0), point[second] * (0.5 if second == 0 else 1.0)


def _by_centre(modes: Modes, words: Mapping[str, float], line: int, here: Pair, there: Pair, turn: int) -> Arc:
    first, second, third = OFFSETS[modes.plane]
    if third in words:
        raise Refusal("extra-word", f"{third} is no offset in this plane", word=third)
    if first not in words and second not in words:
        raise Refusal("missing-word", f"the arc has neither R nor {first} nor {second}", word="G")
    centre = (here[0] + words.get(first, 0.0) * modes.scale, here[1] + words.get(second, 0.0) * modes.scale)
    radius, radius_at_end = math.dist(centre, here), math.dist(centre, there)
    allowed = MISMATCH_INCH_MM if modes.inch else MISMATCH_MM
    gap = abs(radius - radius_at_end)
    if gap > allowed or radius == 0:
        says = f"the arc begins {radius:.4f} mm and ends {radius_at_end:.4f} mm from its centre"
        word = first if first in words else second
        raise Refusal("arc-mismatch", f"{says}; {allowed:.4f} mm may lie between", word=word)
    chord = math.dist(here, there)
    if SAME_POINT_MM <= chord < allowed:
        says = f"the arc ends {chord:.4f} mm from where it begins: is it a full turn or none"
        modes.faults.add("arc-nearly-closed", says, line=line)
    return Arc(_NAMES[modes.plane], centre, radius, _sweep(centre, here, there, turn, chord))


def _by_radius(modes: Modes, words: Mapping[str, float], line: int, here: Pair, there: Pair, turn: int) -> Arc:
    for letter in "IJK":
        if letter in words:
            raise Refusal("extra-word", f"an arc has R or {letter}, not both", word=letter)
    radius = words["R"] * modes.scale
    chord = math.dist(here, there)
    if chord < SAME_POINT_MM:
        says = "an arc by R ends where it begins: no circle follows from that"
        raise Refusal("arc-mismatch", says, word="R")
    allowed = MISMATCH_INCH_MM if modes.inch else MISMATCH_MM
    size = abs(radius)
    if chord / 2 - size > allowed or radius == 0:
        says = f"a radius of {size:.4f} mm cannot span the {chord:.4f} mm from start to end"
        raise Refusal("arc-mismatch", says, word="R")
    size = max(size, chord / 2)
    height = math.sqrt(size * size - chord * chord / 4)
    # To the left of the chord for a counter-clockwise arc of up to half a turn, else to the right.
    side = turn if radius > 0 else -turn
    ux, uy = (there[0] - here[0]) / chord, (there[1] - here[1]) / chord
    centre = ((here[0] + there[0]) / 2 - side * height * uy, (here[1] + there[1]) / 2 + side * height * ux)
    half = math.degrees(2 * math.asin(chord / 2 / size))
    sweep = half if radius > 0 else 360 - half
    if any(low < sweep < high for low, high in _ILL):
        says = f"an arc by R over {sweep:.1f} degrees: a small rounding moves its centre far"
        modes.faults.add("arc-by-radius", says, line=line, severity=Severity.CAUTION)
    return Arc(_NAMES[modes.plane], centre, size, turn * sweep)


def _sweep(centre: Pair, here: Pair, there: Pair, turn: int, chord: float) -> float:
    """Return the signed sweep in degrees; a full turn where start and end are one place."""
    if chord < SAME_POINT_MM:
        return turn * 360.0
    begin = math.atan2(here[1] - centre[1], here[0] - centre[0])
    end = math.atan2(there[1] - centre[1], there[0] - centre[0])
    sweep = math.degrees(turn * (end - begin)) % 360.0
    return turn * (sweep or 360.0)
