"""The dry run of a lathe program: every move against the metal that is there at that moment.

The job must be settled: its relief and its spigot length are numbers, and it has a turning tool.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
import shapely

from gcodegen.dryrun.lathe_codes import LATHE_CODES
from gcodegen.dryrun.lathe_cut import Rates, check_depth
from gcodegen.dryrun.lathe_path import Stroke, strokes
from gcodegen.dryrun.lathe_stock import FAR, Plate, depth_in, edge_legs, leftovers, plate_frame
from gcodegen.dryrun.lathe_time import minutes
from gcodegen.dryrun.lathe_tool import Outline, Points, Shape, body_first, offset, outline, swept
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import Job, LatheTool
from gcodegen.rs274.machine import Reading
from gcodegen.rs274.motions import Dwell, Motion, Stop, ToolChange, Turning
from gcodegen.verdict import Finding

GOUGE = 0.005  # normal depth below a finished face that counts, mm
LEFT = 0.01  # thickness left on a finished face that counts, mm
TOUCH = 0.002  # a rapid that goes no deeper slides along the surface, mm
SLIDE = 1.0  # contact at rapid that counts, beyond that of the nose in a corner, mm
BODY_TOUCH = 0.01  # depth of the body in metal that is let pass, mm
EDGE_OVER = 0.1  # what the edge may be broken more than wished without a word, mm
_DUST = 1e-9  # mm2: areas below come from rounding


def check_lathe(reading: Reading, job: Job) -> tuple[list[Finding], float]:
    """Return the findings about a lathe program and the minutes of its moves and dwells.

    Parameters
    ----------
    reading : Reading
        The program as read with ``Machine(lathe=True)``.
    job : Job
        A settled job.
    """
    book = Notebook(lines=reading.lines, kinds={row.code: row for row in LATHE_CODES})
    limits = {"rapid": job.lathe.rapid, "max_rpm": job.lathe.max_speed_rpm}
    moves = math.fsum(minutes(s, **limits) for s in reading.steps if isinstance(s, Motion))
    waits = math.fsum(s.seconds for s in reading.steps if isinstance(s, Dwell)) / 60
    frame = plate_frame(job)
    turning = [tool for tool in job.lathe.tool if tool.kind == "turning"]
    if frame is None or not turning:
        says = "the job has no turning tool" if frame else "the job's relief or spigot length does not fit"
        book.add("lathe-job-unsettled", 1, says, "Settle the job with the design first.")
        return book.findings, moves + waits
    largest = max(tool.nose_radius for tool in job.lathe.tool)
    plate = Plate(frame, turning[0].nose_radius, largest, GOUGE)
    _Walk(book, job, plate, turning[0]).run(reading)
    return book.findings, moves + waits


@dataclass(frozen=True, slots=True)
class _Fitted:
    """A tool's outline, the whole of it shrunk and grown by ``TOUCH``, its body shrunk by ``BODY_TOUCH``."""

    shape: Outline
    shrunk: Points
    grown: Points
    body: Points


@lru_cache(maxsize=64)
def _fitted(tool: LatheTool) -> _Fitted:
    shape = outline(tool)
    whole = shape.whole
    return _Fitted(shape, offset(whole, -TOUCH), offset(whole, TOUCH), offset(shape.body, -BODY_TOUCH))


class _Walk:
    """One walk through a program; ``stock`` is the metal that is left."""

    def __init__(self, book: Notebook, job: Job, plate: Plate, usual: LatheTool) -> None:
        self.book = book
        self.job = job
        self.plate = plate
        self.usual = usual
        self.tools = {tool.number: tool for tool in job.lathe.tool}
        self.stock: Shape = plate.stock
        self.rates = Rates(book, job)
        self.last_cut = 0

    def run(self, reading: Reading) -> None:
        """Walk through all strokes, then look at what is left."""
        self._check_changes(reading)
        for stroke in strokes(reading.steps):
            self.rates.running(stroke)
            if stroke.known and self._in_plane(stroke):
                self._move(stroke)
            elif not stroke.known:
                says = "where this move begins or ends is not known in the work's coordinates"
                self.book.add("lathe-place-unknown", stroke.line, says, "Prove this move by hand.")
        self.rates.write()
        self._look_over(self.last_cut or max(1, len(reading.lines)))

    def _check_changes(self, reading: Reading) -> None:
        fitted = 0
        for step in reading.steps:
            if isinstance(step, ToolChange):
                fitted = step.tool
            elif isinstance(step, Stop) and step.named_tool not in (0, fitted) and not step.optional:
                fitted = step.named_tool
                if step.state.spindle is not Turning.OFF:
                    says = f"tool {fitted} is fitted while the spindle turns"
                    self.book.add("lathe-change-spindle-on", step.line, says, "Put M5 before the stop.")

    def _in_plane(self, stroke: Stroke) -> bool:
        arc = stroke.first.arc
        if arc is None or arc.axes == "zx":
            return True
        says = f"an arc in the plane of {' and '.join(arc.axes.upper())}"
        self.book.add("lathe-other-plane", stroke.line, says, "Give G18 before the arc.")
        return False

    def _move(self, stroke: Stroke) -> None:
        self._check_axis(stroke)
        tool = self.tools.get(stroke.tool)
        fitted = _fitted(tool or self.usual)
        whole, rear = swept(fitted.shape.whole, stroke.path), self.plate.frame.rear
        if whole.bounds[0] < rear and self.plate.keep_out.intersection(whole).area > _DUST:
            says = f"the tool goes {rear - float(whole.bounds[0]):.2f} mm behind the rear of the plate"
            self.book.add("lathe-behind-plate", stroke.line, says, f"Keep in front of Z{rear:.2f}.")
        if stroke.rapid:
            self._rapid(stroke, fitted, whole)
        elif self.stock.intersects(whole):
            self._cut(stroke, tool, fitted, whole)

    def _check_axis(self, stroke: Stroke) -> None:
        least = float(stroke.path[:, 1].min())
        if least < -LEFT:
            says = f"the tool goes to X{2 * least:.2f}, past the axis"
            self.book.add("lathe-past-axis", stroke.line, says, "Check the sign of X.")

    def _rapid(self, stroke: Stroke, fitted: _Fitted, whole: Shape) -> None:
        near = swept(fitted.grown, stroke.path)
        if not self.stock.intersects(near):
            return
        hit = self.stock.intersection(swept(fitted.shrunk, stroke.path))
        if hit.area > _DUST:
            deep = depth_in(hit, self.stock) + TOUCH
            says = f"a rapid goes up to {deep:.2f} mm into metal, {_where(hit)}"
            self.book.add("lathe-rapid-in-metal", stroke.line, says, "Move clear first, or feed.")
            self.stock = self.stock.difference(whole)
            return
        touched = self.stock.intersection(near)
        if touched.area > 0:
            z0, r0, z1, r1 = touched.bounds
            slide = max(z1 - z0, r1 - r0)
            if slide > SLIDE + 2 * fitted.shape.nose_radius:
                says = f"a rapid slides {slide:.1f} mm along the metal, {_where(touched)}"
                self.book.add("lathe-rapid-drags", stroke.line, says, "Feed off the surface first.")

    def _cut(self, stroke: Stroke, tool: LatheTool | None, fitted: _Fitted, whole: Shape) -> None:
        removed = self.stock.intersection(whole)
        if removed.area <= _DUST:
            return
        if tool is None:
            name = f"T{stroke.tool} is not a tool of the job" if stroke.tool else "no tool is fitted"
            self.book.add("lathe-tool-unknown", stroke.line, name, "Fit a tool of the job at a stop.")
        self.last_cut = stroke.line
        self._check_body(stroke, fitted)
        self._check_gouge(stroke, removed)
        check_depth(self.book, self.job, stroke, removed)
        self.rates.meet(stroke, tool or self.usual, removed)
        self.stock = self.stock.difference(whole)

    def _check_body(self, stroke: Stroke, fitted: _Fitted) -> None:
        """Report metal that the body meets before the cutting edges have been there."""
        stock = self.stock
        for start, end in pairwise(stroke.path):
            piece = np.array([start, end])
            met = stock.intersection(swept(fitted.body, piece))
            if met.area > _DUST and (end != start).any():
                met = met.intersection(body_first(fitted.shape, start, end))
            if met.area > _DUST:
                deep = depth_in(met, self.stock) + BODY_TOUCH
                says = f"the tool's body goes {deep:.2f} mm into metal, {_where(met)}"
                self.book.add("lathe-body-in-metal", stroke.line, says, "Take less at a time.")
                return
            if not stroke.straight:
                stock = stock.difference(swept(fitted.shape.cutting, piece))

    def _check_gouge(self, stroke: Stroke, removed: Shape) -> None:
        """Report what a cut takes off the finished plate, the spigot and the plate behind it apart."""
        target, core, frame = self.plate.must_stay, self.plate.core, self.plate.frame
        taken = removed.intersection(target)
        if taken.area == 0:
            return
        cut_line = shapely.box(frame.new_seat, -FAR, FAR, frame.new_spigot + GOUGE)
        spigot, seat = taken.intersection(cut_line), taken.difference(cut_line)
        if spigot.intersection(core).area > 0:
            deep = depth_in(spigot, target)
            most = frame.edge + 1.0
            edge = spigot.bounds[0] > -most and spigot.bounds[1] > frame.new_spigot - most
            code, what = ("lathe-gouge-edge", "end edge") if edge else ("lathe-gouge-spigot", "surface")
            says = f"the cut goes {deep:.3f} mm below the finished spigot's {what}, {_where(spigot)}"
            self.book.add(code, stroke.line, says, f"The finished spigot is X{2 * frame.new_spigot:.3f}.")
        if seat.intersection(core).area > 0:
            self._report_seat(stroke, seat, depth_in(seat, target))

    def _report_seat(self, stroke: Stroke, seat: Shape, deep: float) -> None:
        frame = self.plate.frame
        if seat.bounds[0] <= frame.rear + GOUGE:
            says = f"the cut goes through the plate to its rear at Z{frame.rear:.2f}, {_where(seat)}"
            self.book.add("lathe-plate-cut-through", stroke.line, says, f"Stop at Z{frame.new_seat:.3f}.")
            return
        says = f"the cut goes {deep:.3f} mm into the finished plate, {_where(seat)}"
        self.book.add("lathe-gouge-seat", stroke.line, says, f"The seat ends at Z{frame.new_seat:.3f}.")

    def _look_over(self, line: int) -> None:
        """Look at the plate after the last move."""
        if not self.last_cut:
            says = "no move of the program takes metal off the plate"
            self.book.add("lathe-nothing-cut", line, says, "Check signs and zero: Z0 is the spigot's end.")
        frame, left = self.plate.frame, leftovers(self.plate, self.stock, LEFT)
        if left.spigot > LEFT:
            says = f"{left.spigot:.3f} mm is left on the spigot's radius"
            self.book.add("lathe-spigot-large", line, says, f"Turn it to X{2 * frame.new_spigot:.3f}.")
        if left.seat > LEFT:
            inner_clean = left.seat_from > frame.new_spigot + self.plate.corner + LEFT
            step = inner_clean and left.seat_to > frame.rim - LEFT
            code = "lathe-seat-step" if step else "lathe-seat-high"
            place = f"X{2 * left.seat_from:.2f} to X{2 * left.seat_to:.2f}"
            says = f"{left.seat:.3f} mm is left on the seat, {place}"
            self.book.add(code, line, says, f"Face to Z{frame.new_seat:.3f}, out past X{2 * frame.rim:.2f}.")
        if left.spigot > LEFT:
            return
        if left.corner > LEFT and left.seat <= LEFT:
            says = f"{left.corner:.3f} mm is left over a fillet of {self.plate.nose:.2f} mm in the corner"
            self.book.add("lathe-corner-full", line, says, "Go right into the corner, or use a smaller nose.")
        self._look_at_edge(line)

    def _look_at_edge(self, line: int) -> None:
        wish, legs = self.plate.frame.edge, edge_legs(self.plate, self.stock)
        says = f"the spigot's edge is broken {legs[0]:.2f} by {legs[1]:.2f} mm; the job says {wish:.2f} mm"
        if min(legs) < wish / 2 - LEFT:
            self.book.add("lathe-edge-sharp", line, says, "Break it by the program, or say edge_break = 0.")
        if max(legs) > wish + EDGE_OVER + LEFT:
            self.book.add("lathe-edge-large", line, says, "Check the moves of the chamfer.")


def _where(shape: Shape) -> str:
    """Return the place of a piece of metal in the program's own words."""
    z0, r0, z1, r1 = shape.bounds
    return f"X{2 * r0:.2f} to X{2 * r1:.2f}, Z{z0:.2f} to Z{z1:.2f}"
