"""What a mill program does to the chuck, by brute force, and whether that is harm against the good program.

Only clear harm counts: limits here are wider than those of any checker, so that nothing is in doubt.
"""

from __future__ import annotations

import math
import re
from collections import defaultdict
from dataclasses import dataclass, field

from tests.dryrun.brute.interpreter import Move, Run

Place = tuple[float, float]  # index of the work, x
_DEEP = 0.1
_TAP = re.compile(r"\bTAP HOLE \d")


@dataclass
class Chuck:
    """What brute force must know of the work: radius, ends of the body in X, clear height, pitch of the tap."""

    radius: float
    x0: float
    x1: float
    clear: float
    pitch: float
    taps: tuple[int, ...]
    touched_off: bool  # each tool's own Z0 is set as it is fitted


@dataclass
class Metal:
    """Depth of each tool at each place, in the order in which they came, and what went wrong on the way."""

    holes: dict[Place, dict[int, float]] = field(default_factory=lambda: defaultdict(dict))
    wrong: list[str] = field(default_factory=list)
    cutting: dict[int, list[Move]] = field(default_factory=lambda: defaultdict(list))


def machined(run: Run, chuck: Chuck) -> Metal:
    """Follow every move; note holes, and rapids or side moves in metal."""
    metal = Metal()
    for move in run.moves:
        steps = max(2, min(200, int(math.dist(move.start[:3], move.end[:3]) / 0.5)))
        for k in range(1, steps + 1):
            x, y, z = (move.start[i] + (move.end[i] - move.start[i]) * k / steps for i in range(3))
            if not (chuck.x0 <= x <= chuck.x1 and abs(y) < chuck.radius):
                continue
            under = math.sqrt(chuck.radius**2 - y**2) - chuck.radius - z
            if under <= _DEEP:
                continue
            upright = move.start[:2] == move.end[:2] and move.start[3] == move.end[3]
            here = metal.holes.get(_place(move, x), {})
            inside = upright and max(here.values(), default=0.0) >= under - _DEEP
            if move.rapid and not inside:
                metal.wrong.append(f"{move.line}: rapid in metal")
                break
            if not upright:
                metal.wrong.append(f"{move.line}: sideways in metal")
                break
        if not move.rapid and move.end[2] < -_DEEP and move.start[:2] == move.end[:2]:
            if abs(move.end[1]) > 0.3:
                metal.wrong.append(f"{move.line}: beside the axis")
            place = metal.holes[_place(move, move.end[0])]
            place[move.tool] = max(place.get(move.tool, 0.0), -move.end[2])
            if move.end[2] < move.start[2]:
                metal.cutting[move.tool].append(move)
    return metal


def _place(move: Move, x: float) -> Place:
    return round(move.turn % 360.0, 1) % 360.0, round(x, 1)


def harm(run: Run, good: Run, wanted: Metal, chuck: Chuck) -> str:
    """Return what clear harm a program does where the good one, which makes what is wanted, does none."""
    metal = machined(run, chuck)
    if metal.wrong:
        return metal.wrong[0]
    return _holes(metal, wanted) or _cutting(run, metal, wanted, chuck) or _handling(run, good, chuck)


def _holes(metal: Metal, wanted: Metal) -> str:
    near: dict[Place, Place] = {}
    for place in wanted.holes:
        match = [
            p for p in metal.holes if abs((p[0] - place[0] + 180) % 360 - 180) <= 0.3 and abs(p[1] - place[1]) <= 0.3
        ]
        if not match:
            return f"no hole at {place}"
        near[place] = match[0]
    extra = [p for p in metal.holes if p not in near.values()]
    clearly = [
        p
        for p in extra
        if all(abs((p[0] - q[0] + 180) % 360 - 180) > 0.6 or abs(p[1] - q[1]) > 0.6 for q in near.values())
    ]
    if clearly:
        return f"a hole too many at {clearly[0]}"
    for place, tools in wanted.holes.items():
        found = metal.holes[near[place]]
        if list(found) != list(tools):
            return f"tools {list(found)} at {place}, wanted {list(tools)}"
        for tool, depth in tools.items():
            if abs(found[tool] - depth) > max(1.5, 0.45 * depth):
                return f"depth {found[tool]:.2f} at {place} by T{tool}, wanted {depth:.2f}"
    return ""


def _cutting(run: Run, metal: Metal, wanted: Metal, chuck: Chuck) -> str:
    for tool, moves in metal.cutting.items():
        usual = wanted.cutting[tool][0]
        for move in moves:
            if move.way != usual.way or not move.rpm:
                return f"{move.line}: spindle {move.way} in the cut"
            if not usual.rpm / 20 <= move.rpm <= usual.rpm * 3:
                return f"{move.line}: {move.rpm} rev/min, usual {usual.rpm}"
            if not usual.feed / 15 <= move.feed <= usual.feed * 4:
                return f"{move.line}: feed {move.feed}, usual {usual.feed}"
            if tool in chuck.taps and abs(move.feed / move.rpm / chuck.pitch - 1) > 0.1:
                return f"{move.line}: tap out of step"
            if not chuck.touched_off and move.offset != tool:
                return f"{move.line}: H{move.offset} with T{tool}"
    return ""


def _handling(run: Run, good: Run, chuck: Chuck) -> str:
    for line, tool, z, way in run.changes:
        if z < chuck.clear - 1.0:
            return f"{line}: T{tool} changed at Z{z}"
        if way:
            return f"{line}: T{tool} changed by hand with the spindle on"
    for before, move in zip(run.moves, run.moves[1:], strict=False):
        if move.turn != before.turn and move.end[2] < 1.0:
            return f"{move.line}: indexed at Z{move.end[2]}"
    for halt in run.halts:
        if halt.way and ("INDEX" in halt.says or "TAP" in halt.says):
            return f"{halt.line}: hands at the work, spindle on"
    taps = [round(h.turn % 360, 1) for h in run.halts if _TAP.search(h.says)]
    wanted = [round(h.turn % 360, 1) for h in good.halts if _TAP.search(h.says)]
    silent = any(not h.says and h.tool in chuck.taps for h in run.halts)  # perhaps a tapping: not clear
    if set(taps) != set(wanted) and not silent:
        return f"hand taps at {taps}, wanted {wanted}"
    return "" if run.ended or not run.way_at_end else "ends with the spindle on"
