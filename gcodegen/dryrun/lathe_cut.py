"""What each cut of a lathe program means for the tool and the machine: depth, speed, feed."""

from __future__ import annotations

import math

from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_stock import deepest_width
from gcodegen.dryrun.lathe_time import speed_at
from gcodegen.dryrun.lathe_tool import Shape
from gcodegen.dryrun.notebook import Notebook
from gcodegen.handbook import cutting_speed, feed
from gcodegen.handbook.cutting import Operation
from gcodegen.job import Job, LatheTool
from gcodegen.rs274.motions import FeedUnit, Kind, Turning

OVER = 1.1
FAR_OVER = 1.5
UNDER = 0.5
FAR_UNDER = 0.25  # of a feed's low end, then a stop
NOSE_OVER = 1.01  # a feed rounded in inches is not larger than the nose
DEPTH_OVER = 1.1
DEPTH_FAR_OVER = 2.0
_TURNING: tuple[Operation, Operation] = ("turn rough", "turn finish")


def check_depth(book: Notebook, job: Job, stroke: Stroke, removed: Shape) -> None:
    """Hold the depth of a cut against the lathe's largest; of an arc, the mean along its path."""
    limit = job.lathe.max_depth_of_cut
    if stroke.straight:
        (z0, r0), (z1, r1) = stroke.path
        if (z0, r0) == (z1, r1):
            return
        depth = deepest_width(removed, (z0, r0), (z1, r1), limit * DEPTH_OVER)
    else:
        steps = stroke.path[1:] - stroke.path[:-1]
        depth = removed.area / float(sum(math.hypot(*step) for step in steps))
    if depth <= limit * DEPTH_OVER:
        return
    code = "lathe-too-deep-cut" if depth > limit * DEPTH_FAR_OVER else "lathe-deep-cut"
    says = f"the pass is {depth:.2f} mm deep; the job allows {limit:.2f} mm"
    book.add(code, stroke.line, says, "Take it in more passes.")


class Rates:
    """Judges speeds and feeds, each combination of words and tool once, at the line where it is worst."""

    def __init__(self, book: Notebook, job: Job) -> None:
        self.book = book
        self.job = job
        self.worst: dict[tuple[str, object], tuple[float, int, str, str]] = {}

    def meet(self, stroke: Stroke, tool: LatheTool, removed: Shape) -> None:
        """Judge the speed and feed of a cut from the largest diameter of the metal it takes."""
        state = stroke.first.state
        diameter = 2 * float(removed.bounds[3])
        speed = speed_at(state, diameter, self.job.lathe.max_speed_rpm)
        if not speed:
            return
        surface = math.pi * diameter * speed / 1000
        self._surface(stroke, tool, diameter, surface)
        per_turn = _per_turn(stroke, speed)
        if per_turn:
            self._feed(stroke, tool, per_turn)

    def running(self, stroke: Stroke) -> None:
        """Hold the spindle's speed during any move against the speed marked on the chuck."""
        limit = self.job.chuck.speed_limit_rpm
        if limit is None or stroke.first.state.spindle is Turning.OFF:
            return
        ends = [abs(2 * float(r)) for r in stroke.path[:, 1]]
        least = 0.0 if float(stroke.path[:, 1].min()) <= 0 else min(ends)
        speed = speed_at(stroke.first.state, least, self.job.lathe.max_speed_rpm)
        if speed is not None and speed > limit * (1 + 1e-9):
            says = f"the spindle turns at {speed:.0f} rev/min; the chuck is marked {limit:.0f} rev/min"
            self._keep("lathe-over-marked-speed", stroke, speed, says, "Lower S, or clamp the speed.")

    def write(self) -> None:
        """Write the findings into the notebook."""
        for (code, _), (_, line, says, do) in self.worst.items():
            self.book.add(code, line, says, do)

    def _surface(self, stroke: Stroke, tool: LatheTool, diameter: float, surface: float) -> None:
        hardness = self.job.backplate.hardness
        try:
            rows = [cutting_speed(name, tool.material, hardness) for name in _TURNING]
        except ValueError:
            says = f"no turning speeds are known for iron of {hardness:.0f} HB; the speed was not judged"
            self._keep("lathe-no-speed-figure", stroke, 0.0, says, "Ask the maker of the tool.")
            return
        low, high = min(r.speed_m_min[0] for r in rows), max(r.speed_m_min[1] for r in rows)
        kind = _outside(surface, low, high)
        if kind:
            says = f"{surface:.1f} m/min at X{diameter:.1f}; figures for {tool.material} in this iron"
            says += f": {low:.0f} to {high:.0f}"
            do = f"Set S for {low:.0f} to {high:.0f} m/min at the largest diameter."
            self._keep(f"lathe-speed-{kind}", stroke, _sign(kind) * surface, says, do)

    def _feed(self, stroke: Stroke, tool: LatheTool, per_turn: float) -> None:
        rows = [feed(name) for name in _TURNING]
        low, high = min(r.feed_mm_rev[0] for r in rows), max(r.feed_mm_rev[1] for r in rows)
        kind = "far-low" if per_turn < FAR_UNDER * low else _outside(per_turn, low, high)
        if kind:
            says = f"the feed is {per_turn:.3f} mm a turn; figures for turning iron: {low:.2f} to {high:.2f}"
            self._keep(f"lathe-feed-{kind}", stroke, _sign(kind) * per_turn, says, "Check F, G94 and G95.")
        if 0 < tool.nose_radius * NOSE_OVER < per_turn:
            says = f"the feed is {per_turn:.3f} mm a turn; the nose radius is {tool.nose_radius:.2f} mm"
            self._keep("lathe-feed-over-nose", stroke, per_turn, says, "Lower F.")

    def _keep(self, code: str, stroke: Stroke, value: float, says: str, do: str) -> None:
        key = code, (stroke.first.state, stroke.first.feed)
        if key not in self.worst or value > self.worst[key][0]:
            self.worst[key] = value, stroke.line, says, do


def _per_turn(stroke: Stroke, speed: float) -> float | None:
    """Return the feed per turn in mm at a speed; None when the text does not give one."""
    motion = stroke.first
    if motion.feed is None:
        return None
    if motion.kind is Kind.THREAD or motion.state.feed_unit is FeedUnit.PER_TURN:
        return motion.feed
    if motion.state.feed_unit is FeedUnit.PER_MINUTE:
        return motion.feed / speed
    lengths = stroke.path[1:] - stroke.path[:-1]
    return motion.feed * float(sum(math.hypot(*step) for step in lengths)) / speed


def _outside(value: float, low: float, high: float) -> str:
    if value > FAR_OVER * high:
        return "far-high"
    if value > OVER * high:
        return "high"
    return "low" if value < UNDER * low else ""


def _sign(kind: str) -> int:
    return -1 if kind.endswith("low") else 1
