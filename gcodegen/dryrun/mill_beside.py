"""Moves below the crest that are not over the body: what stands there, the job does not say."""

from __future__ import annotations

from collections.abc import Iterable

from gcodegen.dryrun.mill_metal import Vec, paths
from gcodegen.dryrun.mill_scene import Moment
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274.motions import Motion

LOW = 0.01  # mm under the crest; programs are rounded


def check_beside(moments: Iterable[Moment], setup: MillSetup, book: Notebook) -> None:
    """Warn of moves that take the tip under the crest beside the body, or under its axis."""
    for moment in moments:
        motion = moment.step
        if not isinstance(motion, Motion) or motion.state.machine_coordinates or motion.state.unknown:
            continue
        if min(motion.start.z, motion.end.z) >= -LOW and motion.arc is None:
            continue
        radius = moment.tool.cutter.radius if moment.tool is not None else 0.0
        side = next((found for a, b in paths(motion) if (found := _side(a, b, radius, setup))), "")
        if side:
            low = min(motion.start.z, motion.end.z)
            boxes = "the job's boxes to keep out of were looked at" if setup.job.mill.keep_out else "the job names none"
            says = f"goes {-low:.1f} mm under the crest {side}, where anything may stand; {boxes}"
            do = "Go round at the clear height; if it must be, name what stands there as mill.keep_out and look first."
            book.add("below-crest-beside", motion.line, says, do)


def _side(start: Vec, end: Vec, radius: float, setup: MillSetup) -> str:
    """Return where a straight move leaves the block over the body while its tip is low; "" where it does not."""
    (first, last), reach = setup.body, setup.radius
    low = (start[2] + LOW, end[2] + LOW)
    ends = ("in front of the rear face", "beyond the jaws' end")
    to_minus, to_plus = ends if setup.job.mill.rear_face == "-X" else ends[::-1]
    sides = (
        (to_minus, 0, 1.0, first),
        (to_plus, 0, -1.0, -last),
        ("beside the body", 1, 1.0, -reach),
        ("beside the body", 1, -1.0, -reach),
    )
    for name, axis, sign, edge in sides:
        if _together((sign * start[axis] - edge + radius, sign * end[axis] - edge + radius), low):
            return name
    below = (start[2] + reach, end[2] + reach)
    return "lower than the chuck's axis" if min(below) < 0 else ""


def _together(one: tuple[float, float], other: tuple[float, float]) -> bool:
    """Return whether two figures that run straight from the first to the second are below 0 at one moment."""
    (a, b), (c, d) = _below(*one), _below(*other)
    return max(a, c) < min(b, d)


def _below(first: float, last: float) -> tuple[float, float]:
    """Return the part of the way, 0 to 1, on which a figure is below 0; (0, 0) for none."""
    if first < 0 and last < 0:
        return 0.0, 1.0
    if first >= 0 and last >= 0:
        return 0.0, 0.0
    turn = first / (first - last)
    return (0.0, turn) if first < 0 else (turn, 1.0)
