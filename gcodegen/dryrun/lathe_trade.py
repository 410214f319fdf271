"""What each cut of a lathe program means for tool, machine and work: speed, feed, chip, power, finish."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from gcodegen.dryrun.lathe_cut import held_width, largest_across
from gcodegen.dryrun.lathe_metal import Taken
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_stock import PlateFrame
from gcodegen.dryrun.lathe_time import speed_at
from gcodegen.dryrun.lathe_tool import Fitted
from gcodegen.dryrun.notebook import Notebook
from gcodegen.handbook import (
    INTERRUPTED_CUT_FACTOR,
    cutting_power_kw,
    cutting_speed,
    feed,
    kienzle,
    turning_force_n,
)
from gcodegen.handbook.cutting import Operation
from gcodegen.job import Job, LatheTool
from gcodegen.rs274.motions import FeedUnit, Kind, Turning

OVER = 1.1
FAR_OVER = 1.5
UNDER = 0.5
FAR_UNDER = 0.25  # of a feed's low end, then a stop
NOSE_SHARE = 0.8  # of the nose radius that a feed may be: more leaves a thread (common practice)
ROUNDED = 1.01  # a feed rounded in inches is not over its limit
THIN_CHIP = 0.005  # mean thickness under which an edge rubs instead of cutting, mm (common practice)
DRAG_DEPTH = 0.3  # depth that an edge lying along the feed should not take, mm (common practice)
DRAG_ANGLE_DEG = 15.0  # between such an edge and the feed
INTERRUPTED_NOSE = 0.5  # feed over nose radius that an edge bears when it strikes holes (common practice)
ROUGHEST_UM = 3.2  # Ra of a face that locates, micrometres (common practice)
FAR_TOO_ROUGH_UM = 6.3  # the next grade of the preferred series, then a stop (common practice)
ON_FACE = 0.005  # mm: a cut that comes so near to a finished face makes it
_TURNING: tuple[Operation, Operation] = ("turn rough", "turn finish")


@dataclass(frozen=True, slots=True, kw_only=True)
class Chip:
    """What one stroke takes at its heaviest: ``depth`` square to the feed, ``edge`` in engagement, no shorter, mm.

    ``largest`` and ``smallest`` are the diameters between which it cuts, ``per_turn`` its feed, mm.
    """

    depth: float
    edge: float
    largest: float
    smallest: float
    speed: float
    per_turn: float

    @property
    def angle_deg(self) -> float:
        """Mean angle between the edge in engagement and the feed."""
        return math.degrees(math.asin(self.depth / self.edge))

    @property
    def thickness(self) -> float:
        """Mean thickness of the chip, mm: what passes in a turn, spread over the edge."""
        return self.per_turn * self.depth / self.edge

    @property
    def surface(self) -> float:
        """Surface speed at the largest diameter, m/min."""
        return math.pi * self.largest * self.speed / 1000


class Rates:
    """Judges speeds and feeds, each combination of words once, at the line where it is worst."""

    def __init__(self, book: Notebook, job: Job, frame: PlateFrame) -> None:
        self.book = book
        self.job = job
        self.frame = frame
        self.worst: dict[tuple[str, object], tuple[float, int, str, str]] = {}
        rows = [feed(name).feed_mm_rev for name in _TURNING]
        self.hardness = job.backplate.hardness
        self.force = kienzle(self.hardness)
        self.feeds = min(low for low, _ in rows), max(high for _, high in rows)
        self.ran = 0  # line of the first move with the spindle on
        bolts = job.backplate.bolts
        self.holes = (bolts.circle - bolts.hole_diameter) / 2, (bolts.circle + bolts.hole_diameter) / 2

    def meet(self, stroke: Stroke, tool: LatheTool, fitted: Fitted, removed: Taken) -> None:
        """Judge a cut by the metal it takes."""
        chip = self._chip(stroke, fitted, removed)
        if chip is None:
            return
        self._surface(stroke, tool, chip, removed)
        self._feed(stroke, tool, chip.per_turn)
        self._power(stroke, chip, removed)
        self._edge(stroke, chip, removed)
        self._holes(stroke, tool, chip, removed)
        self._finish(stroke, tool, chip, removed)

    def running(self, stroke: Stroke) -> None:
        """Hold the spindle's speed during any move against the speeds marked on chuck and holding."""
        state = stroke.first.state
        if state.spindle is Turning.OFF:
            return
        least = max(0.0, 2 * stroke.box[1])
        speed = speed_at(state, least, self.job.lathe.max_speed_rpm)
        if speed is None:
            return
        self.ran = self.ran or stroke.line
        for code, limit, what in (
            ("lathe-over-marked-speed", self.job.chuck.speed_limit_rpm, "the chuck is marked"),
            ("lathe-over-holding-speed", self.job.lathe.holding_limit_rpm, "what holds the plate is marked"),
        ):
            if limit is not None and speed > limit * (1 + 1e-9):
                says = f"the spindle turns at {speed:.0f} rev/min; {what} {limit:.0f} rev/min"
                self._keep(
                    code, stroke, speed, says, "Lower S, or clamp the speed.", (state.speed_rpm, state.surface_m_min)
                )

    def write(self) -> None:
        """Write the findings into the notebook."""
        if self.job.chuck.speed_limit_rpm is None and self.job.lathe.holding_limit_rpm is None and self.ran:
            says = "no marked speed is known, of the chuck or of what holds the plate"
            self.book.add("lathe-no-marked-speed", self.ran, says, "Look for the mark and put it into the job.")
        for (code, _), (_, line, says, do) in self.worst.items():
            self.book.add(code, line, says, do)

    def _chip(self, stroke: Stroke, fitted: Fitted, removed: Taken) -> Chip | None:
        _, smallest, _, largest = (2 * side for side in removed.box)
        speed = speed_at(stroke.first.state, largest, self.job.lathe.max_speed_rpm)
        if not speed:
            return None
        arc = stroke.first.arc
        if arc is not None and not stroke.straight:  # as if the edge stood square to the arc
            low, high = 0.0, largest_across(arc, removed)
            edge = high
        elif removed.along is not None:
            low, high = removed.tracks
            edge = fitted.front(removed.along, low, high)
        else:
            return None
        return Chip(
            depth=high - low,
            edge=max(edge, high - low, 1e-9),
            largest=largest,
            smallest=smallest,
            speed=speed,
            per_turn=_per_turn(stroke, speed),
        )

    def _surface(self, stroke: Stroke, tool: LatheTool, chip: Chip, removed: Taken) -> None:
        figures = _speeds(tool.material, self.hardness)
        if figures is None:
            says = f"no turning speeds are known for iron of {self.hardness:.0f} HB"
            says += "; the speed was not judged"
            self._keep("lathe-no-speed-figure", stroke, 0.0, says, "Ask the maker of the tool.")
            return
        low, high = figures
        kind = _outside(chip.surface, low, high)
        if kind:
            says = f"{chip.surface:.1f} m/min at X{chip.largest:.1f}; figures for {tool.material} in this iron"
            says += f": {low:.0f} to {high:.0f}"
            do = f"Set S for {low:.0f} to {high:.0f} m/min at the largest diameter."
            self._keep(f"lathe-speed-{kind}", stroke, _extreme(kind, chip.surface), says, do)
        elif self._strikes(chip, removed) and chip.surface > OVER * INTERRUPTED_CUT_FACTOR.value * high:
            most = INTERRUPTED_CUT_FACTOR.value * high
            says = f"{chip.surface:.1f} m/min across the bolt holes; at most {most:.0f} for {tool.material}"
            self._keep("lathe-interrupted-fast", stroke, chip.surface, says, "Lower S.")

    def _feed(self, stroke: Stroke, tool: LatheTool, per_turn: float) -> None:
        low, high = self.feeds
        kind = "far-low" if per_turn < FAR_UNDER * low else _outside(per_turn, low, high)
        if kind:
            says = f"the feed is {per_turn:.3f} mm a turn; figures for turning iron: {low:.2f} to {high:.2f}"
            self._keep(f"lathe-feed-{kind}", stroke, _extreme(kind, per_turn), says, "Check F, G94 and G95.")
        most = NOSE_SHARE * tool.nose_radius
        if 0 < most * ROUNDED < per_turn:
            says = f"the feed is {per_turn:.3f} mm a turn; a nose of {tool.nose_radius:.2f} mm bears {most:.3f} mm"
            self._keep("lathe-feed-over-nose", stroke, per_turn, says, f"Lower F: at most {most:.3f} mm a turn.")

    def _power(self, stroke: Stroke, chip: Chip, removed: Taken) -> None:
        """Hold the power that the handbook's cutting force asks of the motor against the lathe's."""
        has = self.job.lathe.power_kw

        def needed(depth: float) -> float:
            if depth <= 0:
                return 0.0
            force = turning_force_n(depth, chip.per_turn, self.force, max(chip.angle_deg, 1.0))
            return cutting_power_kw(force, chip.surface)

        if needed(chip.depth) <= has * OVER:
            return
        depth = held_width(stroke, removed)  # what is met only in passing asks for no power
        power = needed(depth)
        if power > has * OVER:
            code = "lathe-power-far-high" if power > has * FAR_OVER else "lathe-power-high"
            says = f"{depth:.2f} mm deep at {chip.per_turn:.3f} mm a turn and {chip.surface:.0f} m/min asks"
            says += f" {power:.2f} kW; the lathe has {has:.2f} kW"
            self._keep(code, stroke, power, says, "Take less depth, feed or speed.")

    def _edge(self, stroke: Stroke, chip: Chip, removed: Taken) -> None:
        """Look for an edge that lies along the feed, and for a chip too thin to form."""
        if chip.thickness < THIN_CHIP:
            says = f"the chip is {1000 * chip.thickness:.1f} micrometres thick:"
            says += f" {chip.per_turn:.3f} mm a turn, the edge {chip.angle_deg:.0f} degrees to the feed"
            self._keep("lathe-chip-thin", stroke, -chip.thickness, says, "Feed more, or turn the edge to the feed.")
        if chip.angle_deg >= DRAG_ANGLE_DEG or chip.depth <= DRAG_DEPTH:
            return
        depth = held_width(stroke, removed)
        if depth > DRAG_DEPTH:
            says = f"{depth:.2f} mm are taken by an edge that lies {chip.angle_deg:.0f} degrees to the feed"
            self._keep("lathe-edge-drags", stroke, depth, says, "Cut the other way, or take less at a time.")

    def _strikes(self, chip: Chip, removed: Taken) -> bool:
        """Return whether a cut crosses the bolt holes: they open into the seat."""
        on_seat = removed.box[0] < self.frame.old_seat
        return on_seat and chip.smallest / 2 < self.holes[1] and chip.largest / 2 > self.holes[0]

    def _holes(self, stroke: Stroke, tool: LatheTool, chip: Chip, removed: Taken) -> None:
        """Hold the feed of a cut that strikes the bolt holes against what the nose bears."""
        most = max(INTERRUPTED_NOSE * tool.nose_radius, self.feeds[0])
        if tool.nose_radius and chip.per_turn > most * OVER and self._strikes(chip, removed):
            says = f"{chip.per_turn:.3f} mm a turn across the bolt holes; a nose of {tool.nose_radius:.2f} mm"
            says += f" bears {most:.2f} mm there"
            self._keep("lathe-interrupted-feed", stroke, chip.per_turn, says, "Lower F, or use a larger nose.")

    def _finish(self, stroke: Stroke, tool: LatheTool, chip: Chip, removed: Taken) -> None:
        """Hold the finish that feed and nose leave on spigot and seat against that of a face that locates."""
        z0, r0, _, r1 = removed.box
        on_seat = z0 < self.frame.new_seat + ON_FACE and r1 > self.frame.new_spigot + tool.nose_radius
        if not (on_seat or r0 < self.frame.new_spigot + ON_FACE):
            return
        rough = roughness_um(chip.per_turn, tool)
        if rough > ROUGHEST_UM * OVER:
            code = "lathe-far-too-rough" if rough > FAR_TOO_ROUGH_UM * OVER else "lathe-rough-finish"
            face = "seat" if on_seat else "spigot"
            says = f"{chip.per_turn:.3f} mm a turn leaves Ra {rough:.1f} micrometres on the {face}"
            says += f"; a face that locates wants {ROUGHEST_UM:g}"
            most = feed_for(ROUGHEST_UM, tool)
            self._keep(code, stroke, rough, says, f"Finish with at most {most:.3f} mm a turn.")

    def _keep(self, code: str, stroke: Stroke, value: float, says: str, do: str, words: object = None) -> None:
        """Keep a finding if it is the worst under its words: those of speed and feed, unless others are given."""
        key = code, words or (stroke.first.state, stroke.first.feed)
        if key not in self.worst or value > self.worst[key][0]:
            self.worst[key] = value, stroke.line, says, do


def roughness_um(per_turn: float, tool: LatheTool) -> float:
    """Return the theoretical Ra, micrometres, that a feed leaves: f^2 / (32 r).

    A pointed tool leaves a saw-tooth f / (cot entering + cot end) high; its Ra is a quarter of that height.
    """
    if tool.nose_radius:
        return per_turn**2 / (32 * tool.nose_radius) * 1000
    entering, end = math.radians(tool.entering_angle_deg), math.radians(tool.end_angle_deg)
    height = per_turn * math.sin(entering) * math.sin(end) / math.sin(entering + end)
    return height / 4 * 1000


def feed_for(rough: float, tool: LatheTool) -> float:
    """Return the feed per turn, mm, that leaves a theoretical Ra in micrometres."""
    if tool.nose_radius:
        return math.sqrt(32 * tool.nose_radius * rough / 1000)
    return rough / roughness_um(1.0, tool)


@lru_cache(maxsize=16)
def _speeds(material: Literal["HSS", "carbide"], hardness: float) -> tuple[float, float] | None:
    """Return the slowest and the fastest figure for turning, m/min; None for iron that has none."""
    try:
        rows = [cutting_speed(name, material, hardness).speed_m_min for name in _TURNING]
    except ValueError:
        return None
    return min(low for low, _ in rows), max(high for _, high in rows)


def _per_turn(stroke: Stroke, speed: float) -> float:
    """Return the feed per turn of a cut, mm, at a speed."""
    motion = stroke.first
    feed = motion.feed or 0.0  # the reader makes no cut without one
    if motion.kind is Kind.THREAD or motion.state.feed_unit is FeedUnit.PER_TURN:
        return feed
    if motion.state.feed_unit is FeedUnit.PER_MINUTE:
        return feed / speed
    lengths = stroke.path[1:] - stroke.path[:-1]
    return feed * float(sum(math.hypot(*step) for step in lengths)) / speed


def _outside(value: float, low: float, high: float) -> str:
    if value > FAR_OVER * high:
        return "far-high"
    if value > OVER * high:
        return "high"
    return "low" if value < UNDER * low else ""


def _extreme(kind: str, value: float) -> float:
    """Return what grows as a value gets worse: of what is too low the smallest is the worst."""
    return -value if kind.endswith("low") else value
