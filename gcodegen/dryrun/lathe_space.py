"""Where the tool may be at all: the axis, the machine's travel, the headstock's side, the job's keep-out zones."""

from __future__ import annotations

import numpy as np
import shapely

from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_stock import FAR, Plate
from gcodegen.dryrun.lathe_sweep import swept
from gcodegen.dryrun.lathe_tool import DUST, Box, Fitted, Points
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import Job
from gcodegen.job.limits import LatheKeepOut

PAST_AXIS = 0.01  # mm past the axis that are let pass
BEHIND = 1.0  # mm behind the plate that are let pass beside it (own choice)
SPARE = 1e-3  # of a limit: programs are rounded to a few digits, mm


class Space:
    """Looks at every move, in metal or not."""

    def __init__(self, book: Notebook, job: Job, plate: Plate) -> None:
        self.book = book
        self.travel = job.lathe.travel
        self.plate = plate
        self.headstock: Box = plate.keep_out.bounds
        self.zones = [(zone.name, _ring(zone)) for zone in job.lathe.keep_out]

    def check(self, stroke: Stroke, fitted: Fitted) -> None:
        """Look at one move, the place that it begins at left out where that is only taken for granted."""
        self._axis(stroke)
        path, box = stroke.path, stroke.box
        if stroke.from_start:
            end = path[-1]
            path, box = np.array([end, end]), (*end.tolist(), *end.tolist())
        self._travel(stroke, path)
        self._behind(stroke, fitted, path, box)
        self._zones(stroke, fitted, path, box)

    def _axis(self, stroke: Stroke) -> None:
        least = stroke.box[1]
        if least < -PAST_AXIS:
            says = f"the tool goes to X{2 * least:.2f}, past the axis"
            self.book.add("lathe-past-axis", stroke.line, says, "Check the sign of X.")

    def _travel(self, stroke: Stroke, path: Points) -> None:
        for letter, limits, column, by in (("X", self.travel.x, 1, 2), ("Z", self.travel.z, 0, 1)):
            if limits is None:
                continue
            values = by * path[:, column]
            if values.min() == values.max() and not stroke.from_start:
                continue  # an axis that stands was looked at when it came there
            least, largest = float(values[1:].min()), float(values[1:].max())
            for far, over in ((least, limits[0] - least), (largest, largest - limits[1])):
                if over > SPARE:
                    says = f"the tool is sent to {letter}{far:.2f}; the lathe goes from {letter}{limits[0]:.2f}"
                    says += f" to {letter}{limits[1]:.2f}"
                    self.book.add("lathe-travel", stroke.line, says, "Check the figure, or move the zero.")

    def _behind(self, stroke: Stroke, fitted: Fitted, path: Points, box: Box) -> None:
        rear = self.plate.frame.rear
        if (lowest := box[0]) < rear - BEHIND:
            # Beside the plate it is no less the headstock's side: nothing of this job is done there.
            says = f"the tool goes to Z{lowest:.2f}, {rear - lowest:.2f} mm behind the rear of the plate"
            self.book.add("lathe-behind-plate", stroke.line, says, f"Keep in front of Z{rear:.2f}.")
            return
        if not fitted.meets_box(box, self.headstock):
            return
        whole = swept(fitted.shape.whole, path)
        if self.plate.keep_out.intersection(whole).area > DUST:
            says = f"the tool goes {rear - float(whole.bounds[0]):.2f} mm behind the rear of the plate"
            self.book.add("lathe-behind-plate", stroke.line, says, f"Keep in front of Z{rear:.2f}.")

    def _zones(self, stroke: Stroke, fitted: Fitted, path: Points, box: Box) -> None:
        for name, ring in self.zones:
            if not fitted.meets_box(box, ring.bounds):
                continue
            met = ring.intersection(swept(fitted.shape.whole, path, ring))
            if met.area > DUST:
                says = f"the tool goes into the keep-out zone {name}, {where(met)}"
                self.book.add("lathe-keep-out", stroke.line, says, "Go round it, or correct the zone in the job.")


def where(shape: shapely.Geometry) -> str:
    """Return the place of a shape in the program's own words."""
    z0, r0, z1, r1 = shape.bounds
    return f"X{2 * r0:.2f} to X{2 * r1:.2f}, Z{z0:.2f} to Z{z1:.2f}"


def _ring(zone: LatheKeepOut) -> shapely.Geometry:
    """Return a zone in the half plane; a solid one goes on past the axis."""
    inner = zone.x[0] / 2 if zone.x[0] > 0 else -FAR
    return shapely.box(zone.z[0], inner, zone.z[1], zone.x[1] / 2)
