"""One way to make the conversion, with all its geometric decisions: a screw, its place, spigot, float, length."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gcodegen.design.angles import margin_curve
from gcodegen.design.floating import choose_relief, float_room
from gcodegen.design.geometry_checks import (
    bolt_decisions,
    float_decisions,
    layout_decisions,
    screw_decisions,
    setback_decisions,
    spigot_decisions,
    surface_radius,
)
from gcodegen.design.layout import screw_hole
from gcodegen.design.obstacles import obstacles
from gcodegen.design.placing import spigot_length, window
from gcodegen.design.result import Float, Layout, Screw, Spigot
from gcodegen.design.rules import SUNK
from gcodegen.handbook import SetScrew, thread
from gcodegen.job import Job
from gcodegen.verdict import Decision, Verdict


@dataclass(frozen=True, slots=True)
class Geometry:
    """A complete set of choices with the decisions about them."""

    screw: Screw
    layout: Layout
    spigot: Spigot
    float_room: Float
    decisions: tuple[Decision, ...]

    @property
    def stops(self) -> tuple[Decision, ...]:
        """The decisions that say stop."""
        return tuple(d for d in self.decisions if d.verdict is Verdict.STOP)


def work_out(job: Job, row: SetScrew, layout: Layout) -> Geometry:
    """Return the conversion with this screw in this layout, every other choice made, and how it stands."""
    spigot = _spigot(job, row, layout.setback)
    room = float_room(job, spigot.relief)
    screw = Screw(row=row, thread=thread(row.thread), length=_length(job, row, spigot, room))
    decisions = (
        *layout_decisions(job, layout),
        *setback_decisions(job, row, layout.setback, window(job, row), spigot),
        *spigot_decisions(job, row, layout.setback, spigot),
        *bolt_decisions(job, spigot),
        *float_decisions(job, room),
        *screw_decisions(job, screw, spigot, room),
    )
    return Geometry(screw, layout, spigot, room, decisions)


def with_curve(job: Job, geometry: Geometry) -> Geometry:
    """Return the geometry with its margin curve, which only the one that is taken needs."""
    layout = geometry.layout
    hole = screw_hole(job, geometry.screw.row, layout.setback)
    curve = margin_curve(hole, obstacles(job), layout.angles)
    return replace(geometry, layout=replace(layout, curve=curve))


def _spigot(job: Job, row: SetScrew, setback: float) -> Spigot:
    relief = choose_relief(job)
    length = spigot_length(job, row, setback)
    return Spigot(
        diameter=job.backplate.spigot_diameter - relief,
        length=length,
        faced_back=max(0.0, round(length - job.backplate.spigot_length, 6)),
        relief=relief,
        edge_break=job.adjustment.edge_break,
    )


def _length(job: Job, row: SetScrew, spigot: Spigot, room: Float) -> float:
    if job.adjustment.screw_length is not None:
        return job.adjustment.screw_length
    longest = surface_radius(job, row) - spigot.diameter / 2 - max(room.available, 0.0) - SUNK
    fitting = [length for length in row.lengths_mm if length <= longest + 1e-9]
    return max(fitting, default=min(row.lengths_mm))
