"""What a radial screw hole could meet: the chuck's features and the tapped holes of its mounting bolts.

Angles are those of the chuck frame. An obstacle stands at one angle; a ring goes all the way round.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias, assert_never

from gcodegen.job import AxialHole, Box, Job, RadialHole, Ring, Slot

MOUNTING_BOLT = "mounting bolt"


@dataclass(frozen=True, slots=True, kw_only=True)
class AxialBore:
    """A cylinder along the chuck's axis at ``theta`` on ``circle_radius``, between two depths, mm."""

    name: str
    theta: float
    circle_radius: float
    radius: float
    from_depth: float
    to_depth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RadialBore:
    """A cylinder along a radius at ``theta``, its axis at ``depth``, from ``inner`` to ``outer`` radius, mm."""

    name: str
    theta: float
    radius: float
    depth: float
    inner: float
    outer: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """A parallel-sided slot or pocket along a radius at ``theta``, between two depths and two radii, mm."""

    name: str
    theta: float
    half_width: float
    from_depth: float
    to_depth: float
    inner: float
    outer: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundCavity:
    """A cavity all the way round between two radii and two depths, mm."""

    name: str
    inner: float
    outer: float
    from_depth: float
    to_depth: float


Placed: TypeAlias = AxialBore | RadialBore | Channel


@dataclass(frozen=True, slots=True)
class Obstacles:
    """All of them: those that stand at an angle, and those that do not depend on it."""

    placed: tuple[Placed, ...]
    round: tuple[RoundCavity, ...]


def obstacles(job: Job) -> Obstacles:
    """Return every obstacle in the body, the mounting bolts' tapped holes at their thread's crest included."""
    chuck, bolts = job.chuck, job.backplate.bolts
    placed: list[Placed] = [
        AxialBore(
            name=MOUNTING_BOLT,
            theta=theta,
            circle_radius=bolts.circle / 2,
            radius=bolts.row.major_mm / 2,
            from_depth=0.0,
            to_depth=bolts.thread_depth,
        )
        for theta in bolts.places_deg
    ]
    cavities: list[RoundCavity] = []
    for f in chuck.feature:
        if isinstance(f, Ring):
            cavities.append(
                RoundCavity(
                    name=f.name,
                    inner=f.inner_diameter / 2,
                    outer=f.outer_diameter / 2,
                    from_depth=f.from_depth,
                    to_depth=f.to_depth,
                )
            )
        else:
            placed.extend(_placed(f, theta, chuck.radius) for theta in f.places_deg)
    return Obstacles(tuple(placed), tuple(cavities))


def _placed(f: AxialHole | RadialHole | Slot | Box, theta: float, body_radius: float) -> Placed:
    match f:
        case AxialHole():
            return AxialBore(
                name=f.name,
                theta=theta,
                circle_radius=f.circle / 2,
                radius=f.diameter / 2,
                from_depth=f.from_depth,
                to_depth=f.to_depth,
            )
        case RadialHole():
            return RadialBore(
                name=f.name,
                theta=theta,
                radius=f.diameter / 2,
                depth=f.depth,
                inner=f.inner_radius,
                outer=body_radius,
            )
        case Slot() | Box():
            return Channel(
                name=f.name,
                theta=theta,
                half_width=f.width / 2,
                from_depth=f.from_depth,
                to_depth=f.to_depth,
                inner=f.inner_radius,
                outer=f.outer_radius if isinstance(f, Box) else body_radius,
            )
        case _:
            assert_never(f)
