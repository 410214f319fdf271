"""The backplate and the bolts that hold the chuck to it."""

from __future__ import annotations

from typing import Any

from pydantic import ConfigDict, Field, model_validator

from gcodegen.handbook import Thread, thread
from gcodegen.job.casting import Casting
from gcodegen.job.chuck import Count, places_deg
from gcodegen.job.fields import (
    Angle,
    DrillSize,
    IronName,
    Length,
    LengthOrZero,
    Section,
    ThreadName,
)


def _count_or_angles(schema: dict[str, Any]) -> None:
    """Say in the schema that uneven places tell the count."""
    schema["required"].remove("count")
    schema["anyOf"] = [{"required": ["count"]}, {"required": ["angles"]}]


class Bolts(Section):
    """Mounting bolts, put in from the rear of the plate into tapped holes of the chuck."""

    model_config = ConfigDict(json_schema_extra=_count_or_angles)

    circle: Length
    """Diameter of the bolt circle, file's unit."""
    count: Count
    """How many bolts."""
    angle: Angle = 0.0
    """Angle of the first, degrees, chuck frame."""
    angles: tuple[Angle, ...] | None = Field(default=None, min_length=1, max_length=24)
    """Angle of each, degrees, where the steps are not equal."""
    thread: ThreadName
    """Thread of the bolts, such as "M10" or "1/4-20"."""
    hole_diameter: DrillSize
    """Clearance hole in the plate, file's unit, or a drill such as "F"."""
    length: Length
    """Length of a bolt under its head, file's unit."""
    under_head: Length
    """Iron under the head before the work, from its seat to the face the chuck sits on, file's unit."""
    thread_depth: Length
    """Full thread in the chuck, from its rear face, file's unit."""
    position_error: LengthOrZero | None = None
    """How far the hole circle and the bolts may miss each other, radially, file's unit."""

    @model_validator(mode="before")
    @classmethod
    def _count_of_angles(cls, raw: object) -> object:
        """Take the count from uneven places, where it would only be said twice."""
        if isinstance(raw, dict) and "count" not in raw and isinstance(raw.get("angles"), list | tuple):
            return {**raw, "count": len(raw["angles"])}
        return raw

    @property
    def row(self) -> Thread:
        """The handbook row of the bolts' thread."""
        return thread(self.thread)

    @property
    def places_deg(self) -> tuple[float, ...]:
        """Angles of the bolts, chuck frame, 0 to 360 degrees."""
        return places_deg(self.angles, self.angle, self.count)


class Backplate(Casting):
    """The backplate as it is before the work; Z0 of its program is the end of the spigot."""

    material: IronName = "EN-GJL-200"
    """Grey iron of the plate, such as "EN-GJL-200" or "A48 class 30"."""
    diameter: Length
    """Outside of the plate, file's unit."""
    thickness: Length
    """From the seat to the rear of the plate, file's unit."""
    spigot_diameter: Length
    """The register of the plate, file's unit."""
    spigot_length: Length
    """How far the spigot stands in front of the seat, file's unit."""
    bore: LengthOrZero = 0.0
    """Through bore of the plate, file's unit; 0 when it has none."""
    bolts: Bolts
    """The mounting bolts, put in from the rear."""
