"""The wall between one screw hole and one obstacle, exactly, in mm; negative: how far one cuts into the other.

A screw hole is a cylinder along a radius, over the crests of its thread, from the recess wall to the rim. Cut
it by planes square to the chuck's axis: each slice is a rectangle, the obstacle's slice a disc or a rectangle,
and the distance in that plane has a closed form. The wall is the least of the slices' distances; bodies are
convex, so that is the minimum of a convex function of the slice. Where an obstacle spans the hole's axis plane
the widest slices face each other and no search is needed.

The hole ends where iron ends. Inside, the recess wall of radius a cuts the slice of half width h at
sqrt(a^2 - h^2), which is where its corners lie; the slice's straight end holds a sliver of the recess's air.
Outside it ends flat at the rim's radius, a sliver of air as well. So a wall is never given too large, and both
slivers face away from anything that lies in the body's iron.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import asin, cos, hypot, pi, radians, remainder, sin, sqrt
from typing import TypeAlias, assert_never

from gcodegen.design.flat import Strip, corners_apart, point_to_strip, strips_apart
from gcodegen.design.least import least, least_of_wave
from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore, RoundCavity

Flat: TypeAlias = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class ScrewHole:
    """A screw hole: axis ``setback`` behind the rear face, ``radius``, from ``inner`` to ``outer`` radius, mm.

    ``through_recess``: it comes out in the recess, wall of radius ``inner``; else it ends flat at ``inner``.
    """

    setback: float
    radius: float
    inner: float
    outer: float
    through_recess: bool = True

    def half_width(self, t: float) -> float:
        """Half width of the slice ``t`` mm from the axis plane."""
        square = self.radius * self.radius - t * t
        return sqrt(square) if square > 0 else 0.0

    def slice(self, t: float) -> Strip:
        """Return the slice ``t`` mm from the axis plane."""
        half = self.half_width(t)
        return self.start(half), self.outer, half

    def start(self, half: float) -> float:
        """Return where the slice of half width ``half`` begins, mm from the chuck's axis."""
        if not self.through_recess:
            return self.inner
        square = self.inner * self.inner - half * half
        return sqrt(square) if square > 0 else 0.0


def wall_at(hole: ScrewHole, obstacle: Placed, apart_deg: float) -> float:
    """Return the wall between the hole and an obstacle ``apart_deg`` degrees round from it, mm."""
    angle = _turn(apart_deg)
    match obstacle:
        case AxialBore():
            return _axial(hole, obstacle, angle)
        case Channel():
            return _channel(hole, obstacle, angle)
        case RadialBore():
            return _radial(hole, obstacle, angle)
        case _:
            assert_never(obstacle)


def _turn(apart_deg: float) -> float:
    """Return an angle as one of 0 to pi radians: walls do not depend on its sense."""
    return radians(abs(remainder(apart_deg, 360.0)))


def wall_at_least(hole: ScrewHole, obstacle: Placed, apart_deg: float) -> float:
    """Return a quick lower bound of ``wall_at``, mm: the widest slices at the nearest depths."""
    angle = _turn(apart_deg)
    match obstacle:
        case AxialBore():
            x, y = obstacle.circle_radius * cos(angle), obstacle.circle_radius * sin(angle)
            flat = point_to_strip(x, y, hole.slice(0.0)) - obstacle.radius
            deep = _axial_gap(hole, obstacle.from_depth, obstacle.to_depth)
        case Channel():
            strip = (obstacle.inner, obstacle.outer, obstacle.half_width)
            flat = strips_apart(hole.slice(0.0), strip, angle)
            deep = _axial_gap(hole, obstacle.from_depth, obstacle.to_depth)
        case RadialBore():
            strip = (obstacle.inner, obstacle.outer, obstacle.radius)
            flat = strips_apart(hole.slice(0.0), strip, angle)
            deep = abs(hole.setback - obstacle.depth) - hole.radius - obstacle.radius
        case _:
            assert_never(obstacle)
    return _joined(flat, deep)


def wall_to_cavity(hole: ScrewHole, cavity: RoundCavity) -> float:
    """Return the wall to a cavity that goes all the way round, mm: the same at every angle."""
    flat = max(hole.inner - cavity.outer, cavity.inner - hole.outer)
    return _joined(flat, _axial_gap(hole, cavity.from_depth, cavity.to_depth))


def _joined(flat: float, deep: float) -> float:
    """Join the gap in the slice's plane with the gap along the axis; both negative: they overlap."""
    if flat > 0 and deep > 0:
        return hypot(flat, deep)
    return max(flat, deep)


def _axial_gap(hole: ScrewHole, from_depth: float, to_depth: float) -> float:
    return max(from_depth - hole.setback - hole.radius, hole.setback - hole.radius - to_depth)


def _axial(hole: ScrewHole, bore: AxialBore, angle: float) -> float:
    x, y = bore.circle_radius * cos(angle), bore.circle_radius * sin(angle)
    reach = max(bore.from_depth - hole.setback, hole.setback - bore.to_depth, 0.0)
    if hole.inner <= x <= hole.outer:
        # The foot lies on the hole's flank in every slice: a point beside a round bar, or over it.
        from_axis = hypot(max(y - bore.radius, 0.0), reach)
        if from_axis > hole.radius:
            return from_axis - hole.radius

    def flat(half: float) -> float:
        return point_to_strip(x, y, (hole.start(half), hole.outer, half)) - bore.radius

    return _over_depths(hole, flat, flat, bore.from_depth, bore.to_depth)


def _channel(hole: ScrewHole, channel: Channel, angle: float) -> float:
    strip = (channel.inner, channel.outer, channel.half_width)
    c, s = cos(angle), sin(angle)

    def flat(half: float) -> float:
        return strips_apart((hole.start(half), hole.outer, half), strip, angle)

    def apart(half: float) -> float:
        return corners_apart((hole.start(half), hole.outer, half), strip, c, s)

    return _over_depths(hole, flat, apart, channel.from_depth, channel.to_depth)


def _over_depths(hole: ScrewHole, flat: Flat, apart: Flat, from_depth: float, to_depth: float) -> float:
    """Return the wall to an obstacle that looks the same in every slice between two depths.

    ``flat`` is its distance from a slice of half a width; ``apart`` does for those that are known not to meet it.
    """
    s, r = hole.setback, hole.radius
    reach = max(from_depth - s, s - to_depth)
    widest = flat(r)
    if reach <= 0:
        return max(widest, reach - r)
    if widest > 0:
        flat = apart  # narrower slices do not meet it either
    elif (there := flat(hole.half_width(reach))) <= 0:
        return max(there, reach - r)

    def gap(turn: float) -> float:
        return _joined(flat(r * cos(turn)), reach - r * sin(turn))

    # The slice's place as an angle round the hole: the slice's width has no steep end then.
    return least(gap, 0.0, pi / 2)


def _radial(hole: ScrewHole, bore: RadialBore, angle: float) -> float:
    apart = abs(hole.setback - bore.depth)
    strip = (bore.inner, bore.outer, bore.radius)
    deep = apart - hole.radius - bore.radius
    thin = (bore.inner, bore.outer, 0.0)
    if strips_apart(hole.slice(hole.radius), thin, angle) <= 0:
        # The axes cross in the rear view: nothing but the depth keeps the two apart.
        return _joined(strips_apart(hole.slice(0.0), strip, angle), deep)
    low, high = max(-hole.radius, apart - bore.radius), min(hole.radius, apart + bore.radius)
    if low < high and _widest_meet(hole, bore, angle, apart, (low, high)):
        both = _shared_slices(hole, bore, angle, apart, (low, high))
        if both <= 0:
            return max(both, deep)
    c, s = cos(angle), sin(angle)
    # How far each end must stay off the other's, at least; the end that is nearer is looked at first.
    edge = bore.inner - (hole.inner if c > 0 else hole.start(hole.radius)) * c - hole.radius * s
    end = hole.start(hole.radius) - bore.inner * c - bore.radius * s
    first, second, still = (_edge_to_bore, _end_to_flank, end) if edge < end else (_end_to_flank, _edge_to_bore, edge)
    wall = first(hole, bore, angle, apart)
    return wall if still >= wall else min(wall, second(hole, bore, angle, apart))


def _widest_meet(hole: ScrewHole, bore: RadialBore, angle: float, apart: float, shared: tuple[float, float]) -> bool:
    """Return whether the widest of the hole's slices meets the widest of the bore's, of those that lie in one plane."""
    low, high = shared
    aside = apart - min(high, apart)
    widest = (bore.inner, bore.outer, sqrt(bore.radius * bore.radius - aside * aside))
    return strips_apart(hole.slice(max(low, 0.0)), widest, angle) <= 0


def _shared_slices(hole: ScrewHole, bore: RadialBore, angle: float, apart: float, shared: tuple[float, float]) -> float:
    """Return the least distance of the two in a plane that cuts both, mm; negative: they meet there."""

    def flat(turn: float) -> float:
        t = hole.radius * sin(turn)
        other = (bore.inner, bore.outer, sqrt(max(0.0, bore.radius**2 - (apart - t) ** 2)))
        return strips_apart(hole.slice(t), other, angle)

    low, high = (asin(t / hole.radius) for t in shared)
    return least(flat, low, high)


def _edge_to_bore(hole: ScrewHole, bore: RadialBore, angle: float, apart: float) -> float:
    """Return the wall from the edge of the hole in the recess wall to a radial bore, mm.

    Two radial cylinders draw together inwards: unless they cross in the rear view, a nearest point lies at the
    inner end of one of them.
    """
    c, s = cos(angle), sin(angle)

    def wall(turn: float) -> float:
        t, half = hole.radius * sin(turn), hole.radius * cos(turn)
        start = hole.start(half)
        along, beside = start * c + half * s, start * s - half * c
        return _joined(hypot(beside, apart - t) - bore.radius, max(bore.inner - along, along - bore.outer))

    return least_of_wave(wall, 0.0, pi / 2)  # the half that is nearer in depth


def _end_to_flank(hole: ScrewHole, bore: RadialBore, angle: float, apart: float) -> float:
    """Return the wall from the inner end of a radial bore to the hole's flank, mm.

    Where the foot would lie past the hole's edge, a point of that edge is taken instead.
    """
    c, s = cos(angle), sin(angle)

    def wall(turn: float) -> float:
        u, half = bore.radius * sin(turn), bore.radius * cos(turn)
        x, y, t = bore.inner * c + half * s, bore.inner * s - half * c, apart - u
        out = hypot(y, t)
        half_there = hole.radius * abs(y) / out if out > hole.radius else hole.half_width(t)
        start = hole.start(half_there)
        return _joined(out - hole.radius, max(start - x, x - hole.outer))

    return least_of_wave(wall, 0.0, pi / 2)  # the half that is nearer in depth
