"""What the settled job says about the mill's work: where the four holes belong, and the tools at hand.

Mill frame: the chuck's axis along X with X0 on the rear face, Y0 on the rotary axis, Z0 on the crest, A0 with
the mark of screw 1 on top. Lengths in mm, angles in degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from gcodegen.dryrun.solids import ToolPart
from gcodegen.errors import GcodegenError
from gcodegen.handbook import Thread, ToolMaterial, thread
from gcodegen.job import Job, MillTool
from gcodegen.job.machines import ToolKind

HOLDER_TOP = 100.0  # mm above its nose; everything higher is clear of the work by far
_TURN = 360.0


class Where(NamedTuple):
    """Where a stroke goes in: turn of the work (the index, degrees), X and Y."""

    turn: float
    x: float
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a hole belongs: ``number`` in the order of the index, its screw, its angle in the chuck frame."""

    number: int
    screw: int
    index: float
    x: float
    theta: float

    @property
    def where(self) -> Where:
        """Where the strokes of its tools go in."""
        return Where(self.index, self.x, 0.0)

    def __str__(self) -> str:
        """Return the place in words."""
        return f"hole {self.number} (screw {self.screw}, index {self.index:g} deg)"


@dataclass(frozen=True, slots=True, kw_only=True)
class CutTool:
    """A complete tool in the spindle: ``radius`` of what it cuts, ``point`` the length of its cone, mm."""

    number: int
    kind: ToolKind
    radius: float
    point: float
    point_angle_deg: float | None
    flute_length: float
    cutter: ToolPart
    holder: ToolPart
    thread: Thread | None
    lead: float
    material: ToolMaterial

    @property
    def name(self) -> str:
        """Return the tool in words."""
        size = self.thread.name if self.thread else f"{2 * self.radius:g} mm"
        return f"T{self.number} ({self.kind} {size})"

    @property
    def pitch(self) -> float:
        """Return the pitch of the thread that the tool cuts, mm; 0 when it cuts none."""
        return self.thread.pitch_mm if self.thread else 0.0


@dataclass(frozen=True)
class MillSetup:
    """The mill's side of a settled job.

    Raises
    ------
    GcodegenError
        When something that the program must be held against was left to choose.
    """

    job: Job
    only_hole: int | None = None

    def __post_init__(self) -> None:
        wish = self.job.adjustment
        for key, value in (("screw", wish.screw), ("setback", wish.setback), ("first_angle", wish.screw_angles)):
            if value is None:
                raise GcodegenError(
                    f"adjustment.{key} is not settled, so no program can be held against it",
                    do="Give it, or let the design choose it first",
                )

    @cached_property
    def screw(self) -> Thread:
        """The thread of the set screw."""
        return thread(self.job.adjustment.screw or "")

    @cached_property
    def setback(self) -> float:
        """From the rear face to the screws' axes, mm."""
        return self.job.adjustment.setback or 0.0

    @cached_property
    def radius(self) -> float:
        """Outside radius of the body, mm."""
        return self.job.chuck.radius

    @cached_property
    def recess(self) -> float:
        """Radius of the recess wall, mm."""
        return self.job.chuck.recess_radius

    @cached_property
    def clear(self) -> float:
        """Height above the crest for index and tool change, mm."""
        return self.job.mill.clear_height

    @cached_property
    def body(self) -> tuple[float, float]:
        """X of the body's two ends."""
        length = self.job.chuck.length
        return (0.0, length) if self.job.mill.rear_face == "-X" else (-length, 0.0)

    @cached_property
    def places(self) -> tuple[Place, ...]:
        """The four places, in the order of the index; the one that is asked for, where one is.

        A positive index turns the tool counter-clockwise round the work, seen from +X. The chuck's angles
        run counter-clockwise seen from the rear: against the index where the rear looks to -X.
        """
        inwards = -self.job.mill.rear_sign
        found = sorted(
            (round(-inwards * (theta - self.angles[0]) % _TURN, 6) % _TURN, screw, theta)
            for screw, theta in enumerate(self.angles, start=1)
        )
        return tuple(
            Place(number=number, screw=screw, index=index, x=inwards * self.setback, theta=theta)
            for number, (index, screw, theta) in enumerate(found, start=1)
            if self.only_hole in (None, number)
        )

    @cached_property
    def angles(self) -> tuple[float, ...]:
        """Angles of the four screws in the chuck frame, degrees in 0 to 360, screw 1 first."""
        return self.job.adjustment.screw_angles or ()

    def theta(self, index: float) -> float:
        """Return the angle in the chuck frame that is on top at an index, 0 to 360 degrees."""
        return (self.angles[0] + self.job.mill.rear_sign * index) % _TURN

    def depth(self, x: float) -> float:
        """Return the depth behind the rear face at an X, mm."""
        return -self.job.mill.rear_sign * x

    def across(self, y: float) -> float:
        """Return how far a tool at Y stands beside the chuck's axis, towards growing angle, mm."""
        return -self.job.mill.rear_sign * y

    def away(self, a: Where, b: Where) -> tuple[float, float, float]:
        """Return how far apart two strokes are along X, across in Y, and round the rim, mm."""
        apart = abs((a.turn - b.turn + _TURN / 2) % _TURN - _TURN / 2)
        return (abs(a.x - b.x), abs(a.y - b.y), math.radians(apart) * self.radius)

    def tool(self, number: int) -> CutTool | None:
        """Return a tool of the job; None when it has none of that number, or it is not complete."""
        found = next((t for t in self.job.mill.tool if t.number == number), None)
        return None if found is None else _complete(found)

    @cached_property
    def numbers(self) -> tuple[int, ...]:
        """Tool numbers of the job."""
        return tuple(t.number for t in self.job.mill.tool)


def _complete(tool: MillTool) -> CutTool | None:
    flute, out, holder = tool.flute_length, tool.stick_out, tool.holder_diameter
    row = thread(tool.thread) if tool.kind == "tap" and tool.thread else None
    diameter = row.major_mm if row else tool.diameter
    pointed = tool.kind != "tap"
    if diameter is None or flute is None or out is None or holder is None:
        return None
    if pointed and tool.point_angle_deg is None:
        return None
    if not pointed and (row is None or tool.lead_threads is None):
        return None
    angle = tool.point_angle_deg if pointed else None
    return CutTool(
        number=tool.number,
        kind=tool.kind,
        radius=diameter / 2,
        point=diameter / 2 / math.tan(math.radians(angle) / 2) if angle else 0.0,
        point_angle_deg=angle,
        flute_length=flute,
        cutter=ToolPart(diameter / 2, 0.0, out),
        holder=ToolPart(holder / 2, out, out + HOLDER_TOP),
        thread=row,
        lead=tool.lead_threads * row.pitch_mm if row and tool.lead_threads else 0.0,
        material=tool.material,
    )
