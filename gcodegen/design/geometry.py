"""One way to make the conversion, with all its geometric decisions: a screw, its place, spigot, float, length."""

from __future__ import annotations

from dataclasses import dataclass, replace

from gcodegen.design.angles import best_angle, margin_curve, screw_walls
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
from gcodegen.design.obstacles import Obstacles, obstacles
from gcodegen.design.placing import spigot_length, window
from gcodegen.design.result import Float, Layout, Screw, Spigot
from gcodegen.design.rules import SUNK
from gcodegen.design.walls import ScrewHole
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


def work_out(job: Job, row: SetScrew, setback: float) -> Geometry:
    """Return the conversion with this screw at this setback, every other choice made, and how it stands."""
    around = obstacles(job)
    layout = _layout(job, row, setback, around)
    spigot = _spigot(job, row, setback)
    room = float_room(job, spigot.relief)
    screw = Screw(row=row, thread=thread(row.thread), length=_length(job, row, spigot, room))
    decisions = (
        *layout_decisions(job, layout),
        *setback_decisions(job, row, setback, window(job, row), spigot),
        *spigot_decisions(job, setback, spigot),
        *bolt_decisions(job, spigot),
        *float_decisions(job, room),
        *screw_decisions(job, screw, spigot, room),
    )
    return Geometry(screw, layout, spigot, room, decisions)


def with_curve(job: Job, geometry: Geometry) -> Geometry:
    """Return the geometry with its margin curve, which only the one that is taken needs."""
    hole = _hole(job, geometry.screw.row, geometry.layout.setback)
    return replace(geometry, layout=replace(geometry.layout, curve=margin_curve(hole, obstacles(job))))


def _hole(job: Job, row: SetScrew, setback: float) -> ScrewHole:
    return ScrewHole(setback, thread(row.thread).major_mm / 2, job.chuck.recess_radius, job.chuck.radius)


def _layout(job: Job, row: SetScrew, setback: float, around: Obstacles) -> Layout:
    hole = _hole(job, row, setback)
    first, second, third, fourth = job.adjustment.screw_angles or _best_cross(hole, around)
    angles = (first, second, third, fourth)
    walls = screw_walls(hole, around, angles)
    governing = min(walls, key=lambda w: w.wall)
    return Layout(
        angles=angles,
        setback=setback,
        least_wall=governing.wall,
        feature=governing.feature,
        per_screw=(walls[0].wall, walls[1].wall, walls[2].wall, walls[3].wall),
        curve=(),
    )


def _best_cross(hole: ScrewHole, around: Obstacles) -> tuple[float, ...]:
    first = round(best_angle(hole, around.placed).first_angle, 3)
    return tuple((first + 90 * k) % 360 for k in range(4))


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
