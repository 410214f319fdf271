"""The chuck as measured, with everything that a radial hole could meet."""

from __future__ import annotations

import math
from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from gcodegen.job.casting import Casting
from gcodegen.job.fields import (
    Angle,
    DrillSize,
    IronName,
    Length,
    LengthOrZero,
    Mass,
    Name,
    Section,
    Speed,
)

Count: TypeAlias = Annotated[int, Field(ge=1, le=24, strict=True)]


class Cover(Section):
    """The plate in the recess over the scroll."""

    thickness: Length
    """Thickness as it is now, file's unit."""
    plan: Literal["kept", "thinned", "left out"] = "kept"
    """What is done with it."""
    thickness_after: Length | None = None
    """Thickness that stays when it is thinned, file's unit."""

    @property
    def remaining(self) -> float:
        """Thickness that stays in the recess, mm."""
        match self.plan:
            case "left out":
                return 0.0
            case "thinned":
                return self.thickness_after or 0.0
            case _:
                return self.thickness


def places_deg(angles: tuple[float, ...] | None, first: float, count: int) -> tuple[float, ...]:
    """Return the angles of holes as given, else ``count`` equal steps from the first, 0 to 360 degrees."""
    if angles is None:
        angles = tuple(first + 360 * k / count for k in range(count))
    return tuple(a % 360 for a in angles)


class _Placed(Section):
    """A feature that stands at one angle or several."""

    name: Name
    """What people call it; findings and drawings name it so."""
    count: Count | None = None
    """How many, at equal steps; left out: 1."""
    angle: Angle | None = None
    """Angle of the first, degrees, chuck frame; left out: 0."""
    angles: tuple[Angle, ...] | None = Field(default=None, min_length=1, max_length=24)
    """Angle of each, degrees, instead of count and angle."""

    @property
    def places_deg(self) -> tuple[float, ...]:
        """Angles at which it stands, chuck frame, 0 to 360 degrees."""
        return places_deg(self.angles, self.angle or 0.0, self.count or 1)


class AxialHole(_Placed):
    """A hole along the chuck's axis, from one depth to another (mm from the rear seating face)."""

    kind: Literal["axial hole"]
    """A hole along the chuck's axis."""
    circle: Length
    """Diameter of the circle that the holes stand on, file's unit."""
    diameter: DrillSize
    """Diameter of the hole, file's unit, or a drill such as "#29" or "F"."""
    from_depth: LengthOrZero = 0.0
    """Where it begins, from the rear seating face, file's unit."""
    to_depth: Length
    """Where it ends, from the rear seating face, file's unit."""


class RadialHole(_Placed):
    """A bore square to the axis, its own axis ``depth`` from the rear face, open at the rim."""

    kind: Literal["radial hole"]
    """A bore square to the chuck's axis, open at the rim."""
    diameter: DrillSize
    """Diameter of the bore, file's unit, or a drill such as "#29" or "F"."""
    depth: Length
    """Of the bore's axis, from the rear seating face, file's unit."""
    inner_radius: LengthOrZero = 0.0
    """Radius at which the bore ends inside the body, file's unit."""


class Slot(_Placed):
    """A parallel-sided slot open at the rim, such as a jaw way."""

    kind: Literal["slot"]
    """A parallel-sided slot open at the rim."""
    width: Length
    """Width between its flanks, file's unit."""
    from_depth: LengthOrZero = 0.0
    """Where it begins, from the rear seating face, file's unit."""
    to_depth: Length
    """Where it ends, from the rear seating face, file's unit."""
    inner_radius: LengthOrZero = 0.0
    """Radius at which the slot ends inside the body, file's unit."""


class Box(_Placed):
    """A closed right-angled pocket along a radius, such as a hole for a lug or a clearance milled for a latch."""

    kind: Literal["box"]
    """A closed right-angled pocket: a hole for a lug, a milled clearance."""
    width: Length
    """Across the radius, between its two sides, file's unit."""
    from_depth: LengthOrZero = 0.0
    """Where it begins, from the rear seating face, file's unit."""
    to_depth: Length
    """Where it ends, from the rear seating face, file's unit."""
    inner_radius: LengthOrZero = 0.0
    """Radius of its straight inner end, at the middle, file's unit."""
    outer_radius: Length
    """Radius of its straight outer end, at the middle, file's unit."""

    @property
    def corner_radius(self) -> float:
        """Radius at which its outer corners lie, mm."""
        return math.hypot(self.outer_radius, self.width / 2)


class Ring(Section):
    """A cavity all the way round, such as the scroll chamber."""

    kind: Literal["ring"]
    """A cavity all the way round."""
    name: Name
    """What people call it; findings and drawings name it so."""
    inner_diameter: LengthOrZero = 0.0
    """Inner diameter of the cavity, file's unit; 0 when it has no core."""
    outer_diameter: Length
    """Outer diameter of the cavity, file's unit."""
    from_depth: LengthOrZero = 0.0
    """Where it begins, from the rear seating face, file's unit."""
    to_depth: Length
    """Where it ends, from the rear seating face, file's unit."""


Feature: TypeAlias = Annotated[AxialHole | RadialHole | Slot | Box | Ring, Field(discriminator="kind")]


class Chuck(Casting):
    """The chuck, measured from its rear seating face."""

    diameter: Length
    """Outside of the body, file's unit."""
    length: Length
    """From the rear seating face to the front of the body, file's unit."""
    recess_diameter: Length
    """The register recess in the rear face, file's unit."""
    recess_depth: Length
    """From the rear seating face to the bottom of the recess, under the cover, file's unit."""
    recess_chamfer: LengthOrZero = 0.0
    """Leg of the chamfer at the recess mouth, file's unit; 0, or left out, is sharp."""
    material: IronName = "EN-GJL-250"
    """Grey iron of the body, such as "EN-GJL-250" or "A48 class 35"."""
    speed_limit_rpm: Speed | None = None
    """Speed marked on the body, rev/min; left out when it is not known."""
    mass_kg: Mass | None = None
    """Mass of the chuck, kilograms."""
    jaws: Annotated[int, Field(ge=2, le=8, strict=True)] = 3
    """Number of jaws."""
    cover: Cover | None = None
    """The plate in the recess over the scroll, if there is one."""
    feature: tuple[Feature, ...] = Field(default=(), max_length=200)
    """Everything that a radial hole could meet, but the mounting bolts."""

    @property
    def radius(self) -> float:
        """Outside radius of the body, mm."""
        return self.diameter / 2

    @property
    def recess_radius(self) -> float:
        """Radius of the register recess, mm."""
        return self.recess_diameter / 2

    @property
    def rim(self) -> float:
        """Radial thickness of the rim round the recess, mm."""
        return self.radius - self.recess_radius

    @property
    def floor_depth(self) -> float:
        """Depth of what lies first behind the rear face inside the recess: its bottom, or the cover, mm."""
        return self.recess_depth - (self.cover.remaining if self.cover else 0.0)
