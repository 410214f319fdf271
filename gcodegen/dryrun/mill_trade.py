"""Speeds, feeds and habits against the handbook's ranges."""

from __future__ import annotations

import math

from gcodegen.dryrun.mill_cuts import HoleCut, feed_per_turn
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.handbook import Operation, cutting_speed, feed
from gcodegen.rs274.motions import Motion

OVER = 1.10  # of a range's high end, then a caution
FAR_OVER = 1.5  # then a stop
UNDER = 0.5  # of its low end
FAR_UNDER = 0.25  # of a feed's low end, then a stop
AT_LIMIT = 0.98  # of the machine's own limit: it cannot do better
PECK_FROM = 4.0  # diameters at one stroke
_OPERATION: dict[str, Operation] = {"spot drill": "spot", "drill": "drill", "tap": "tap"}


def check_trade(cut: HoleCut, setup: MillSetup, book: Notebook) -> None:
    """Hold one cut's speed, feed, pecking and dwell against the trade's figures."""
    if cut.by_hand or not cut.motions:
        return
    for motion in {(m.state.speed_rpm, feed_per_turn(m)): m for m in reversed(cut.motions)}.values():
        _check_speed(cut, motion, setup, book)
        if cut.tool.kind != "tap":
            _check_feed(cut, motion, book)
    diameter = 2 * cut.tool.radius
    longest = max(cut.strokes)
    if cut.tool.kind == "drill" and longest > PECK_FROM * diameter:
        says = f"{cut.tool.name} drills {longest:.1f} mm at one stroke, {longest / diameter:.1f} diameters"
        book.add("no-peck", cut.line, says, "Peck: retract every diameter or so and clear the dust.")
    if cut.tool.kind == "spot drill" and not cut.dwelt:
        says = f"{cut.tool.name} does not dwell at the bottom"
        book.add("no-dwell", cut.line, says, "Let it dwell a turn or two, so that the chamfer is round.")


def _check_speed(cut: HoleCut, motion: Motion, setup: MillSetup, book: Notebook) -> None:
    speed, mill = motion.state.speed_rpm, setup.job.mill
    if not speed:
        return
    try:
        row = cutting_speed(_OPERATION[cut.tool.kind], cut.tool.material, setup.job.chuck.hardness)
    except ValueError:
        return  # an iron outside the handbook: the design says so
    low, high = row.speed_m_min
    surface = math.pi * _widest(cut) * speed / 1000
    allowed = f"the range is {low:.1f} to {high:.1f} m/min"
    says = f"{cut.tool.name} cuts at {surface:.1f} m/min (S{speed:.0f}); {allowed}"
    if surface > FAR_OVER * high:
        book.add("speed-far-high", motion.line, says, "Lower S.")
    elif surface > OVER * high:
        book.add("speed-high", motion.line, says, "Lower S.")
    elif surface < UNDER * low and speed < AT_LIMIT * mill.max_speed_rpm:
        book.add("speed-low", motion.line, says, "Raise S.")


def _widest(cut: HoleCut) -> float:
    """Return the largest diameter at which a cut's tool cuts, mm: a spot drill works with part of its cone."""
    angle = cut.tool.point_angle_deg
    cone = 2 * cut.depth * math.tan(math.radians(angle) / 2) if angle is not None and angle < 180 else math.inf
    return min(cone, 2 * cut.tool.radius)


def _check_feed(cut: HoleCut, motion: Motion, book: Notebook) -> None:
    step, diameter = feed_per_turn(motion), 2 * cut.tool.radius
    if step is None:
        return
    try:
        low, high = feed(_OPERATION[cut.tool.kind], diameter).feed_mm_rev
    except ValueError:
        return  # a tool larger or smaller than the handbook's: wrong-drill says so
    says = f"{cut.tool.name} is fed {step:.3f} mm per turn; the range is {low:.3f} to {high:.3f} mm"
    if step > FAR_OVER * high:
        book.add("feed-far-high", motion.line, says, "Lower F.")
    elif step > OVER * high:
        book.add("feed-high", motion.line, says, "Lower F.")
    elif step < FAR_UNDER * low:
        book.add("feed-far-low", motion.line, says, "Raise F, and see that F counts per minute.")
    elif step < UNDER * low:
        book.add("feed-low", motion.line, says, "Raise F: a tool that rubs goes blunt.")
