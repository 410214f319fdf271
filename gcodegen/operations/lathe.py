"""Plans the lathe: face the seat back, turn the spigot down, one finishing pass over both, an undercut if wanted.

The programmed point is the tool's imaginary tip: the corner of the two lines that touch its nose on the
axis side (the X tangent) and on the headstock side (the Z tangent). The nose's centre therefore stands at
tip + (r, r) in (radius, z). Cuts along X or Z need no compensation; a 45 degree edge does.

The edge. A break of c on a spigot of radius R lies on the line ``radius + z = R - c``. The nose touches it
from outside when its centre lies r further out along the normal (1, 1)/sqrt 2, so on
``radius + z = R - c + r sqrt 2``; the tip is 2r less in the sum: ``radius + z = R - c - r (2 - sqrt 2)``.
The tip thus meets the spigot's radius R at ``z = -(c + r (2 - sqrt 2))``. There the nose touches both the
edge's line and the cylinder, both past their common corner, so neither is cut short and neither is gouged.

A rounded edge of radius c has its centre at (R - c, -c); the nose's centre goes round it at c + r, and the tip,
(r, r) short of that, round ``(R - c - r, -c - r)`` at the same c + r, from the end face to the cylinder.

An undercut of depths a below the spigot and b below the seat: the tip leaves the spigot where its run-out begins,
goes down it to (R - a, seat - b), and out again along the seat's own run-out.
"""

from __future__ import annotations

import math
from itertools import pairwise

from gcodegen.design import Cut, Design
from gcodegen.design.rules import FACE_STOPS_SHORT
from gcodegen.errors import GcodegenError
from gcodegen.job import Undercut
from gcodegen.operations.steps import LatheMove, LathePass, LathePlan, LathePoint
from gcodegen.units import show_length

# Common practice, no source. Clear of the metal by 1 mm.
CLEAR = 1.0
NOTHING = 1e-6
EDGE_FACTOR = 2.0 - math.sqrt(2.0)


def plan_lathe(design: Design) -> LathePlan:
    """Return the lathe's passes; none when the plate already is as the design wants it.

    Parameters
    ----------
    design : Design
        With spigot and passes decided.

    Returns
    -------
    LathePlan
        ``x`` in diameter, ``z`` from the end of the spigot, mm. Each pass begins and ends clear.

    Raises
    ------
    GcodegenError
        When the edge to be broken is longer than the spigot.

    Notes
    -----
    Where nothing is faced back the seat is kept: the spigot is turned down to it exactly, and the floor where
    it stood is faced level with it. A given spigot
    that is larger or shorter than the one there is would ask for metal to be put on; the plan keeps what
    there is, and the design says stop.
    """
    faced = design.spigot.faced_back > NOTHING
    relieved = design.job.backplate.spigot_diameter - design.spigot.diameter > NOTHING
    wait = design.job.lathe.clear_distance
    safe = LathePoint(x=design.job.backplate.diameter + 2 * wait, z=wait)
    path = _Path(safe)
    if faced:
        _face(path, design)
    measure = _to_measure(design) if relieved else None
    if relieved:
        _turn(path, design, stop_clear=measure is not None)
    if faced or relieved:
        _finish(path, design, faced, measure)
        for number in range(1, design.job.lathe.spring_passes + 1):
            _finish(path, design, faced, name=f"spring {number}")
    if design.job.undercut:
        _undercut(path, design, design.job.undercut)
    return LathePlan(tool=design.lathe.tool, passes=tuple(path.passes), safe=safe)


class _Path:
    """Collects moves into passes; rapids go along one axis at a time, so no machine can bend them."""

    def __init__(self, start: LathePoint) -> None:
        self.at = self.safe = start
        self.passes: list[LathePass] = []
        self._moves: list[LatheMove] = []

    def rapid_x(self, x: float) -> None:
        self._go(x, self.at.z, None)

    def rapid_z(self, z: float) -> None:
        self._go(self.at.x, z, None)

    def cut(self, cut: Cut, *, x: float | None = None, z: float | None = None) -> None:
        self._go(self.at.x if x is None else x, self.at.z if z is None else z, cut)

    def round(self, cut: Cut, to: LathePoint, centre: LathePoint) -> None:
        self._moves.append(LatheMove(to=to, cut=cut, centre=centre))
        self.at = to

    def close(self, name: str, measure: float | None = None) -> None:
        self.passes.append(LathePass(name=name, moves=tuple(self._moves), measure=measure))
        self._moves = []

    def _go(self, x: float, z: float, cut: Cut | None) -> None:
        to = LathePoint(x=x, z=z)
        if to != self.at:
            self._moves.append(LatheMove(to=to, cut=cut))
            self.at = to


def _face(path: _Path, design: Design) -> None:
    """Rough the seat back, from outside in or from the spigot out."""
    old_seat = -design.job.backplate.spigot_length
    seats = [old_seat, *(old_seat - depth for depth in design.lathe.face_depths)]
    one_pass = _face_outward if design.job.lathe.facing == "outward" else _face_inward
    for number, (before, seat) in enumerate(pairwise(seats), start=1):
        one_pass(path, design, before, seat)
        path.close(f"face {number}")


def _face_inward(path: _Path, design: Design, _before: float, seat: float) -> None:
    inner, rough = _beside_spigot(design), design.lathe.rough
    path.rapid_x(_outside(design))
    path.rapid_z(seat)
    path.cut(rough, x=inner)
    path.cut(rough, x=inner + 2 * CLEAR, z=seat + CLEAR)
    path.rapid_x(_outside(design))


def _face_outward(path: _Path, design: Design, before: float, seat: float) -> None:
    """Go down to the seat as it is, in beside the spigot, and out past the rim."""
    inner, rough = _beside_spigot(design), design.lathe.rough
    path.rapid_z(CLEAR)
    path.rapid_x(inner + 2 * CLEAR)
    path.rapid_z(before + CLEAR)
    path.cut(rough, x=inner, z=before)
    path.cut(rough, z=seat)
    path.cut(rough, x=_outside(design))
    path.rapid_z(CLEAR)


def _to_measure(design: Design) -> float | None:
    """Return the spigot's diameter at the measuring stop: that of the last roughing pass; None: no such stop."""
    if not design.job.lathe.measuring_stop or not design.lathe.turn_diameters:
        return None
    return design.lathe.turn_diameters[-1]


def _turn(path: _Path, design: Design, *, stop_clear: bool) -> None:
    """Rough the spigot down, from its end to the seat less the allowance; end well clear if one is to measure."""
    seat = _seat(design) + design.lathe.finish_allowance
    rough = design.lathe.rough
    for number, diameter in enumerate(design.lathe.turn_diameters, start=1):
        path.rapid_z(CLEAR)
        path.rapid_x(diameter)
        path.cut(rough, z=seat)
        path.cut(rough, x=diameter + 2 * CLEAR, z=seat + CLEAR)
        path.rapid_z(CLEAR)
        if stop_clear and number == len(design.lathe.turn_diameters):
            path.rapid_x(path.safe.x)
            path.rapid_z(path.safe.z)
        path.close(f"turn {number}")


def _finish(path: _Path, design: Design, faced: bool, measure: float | None = None, *, name: str = "finish") -> None:
    """Break the edge, go down the spigot to the seat, and out along it if it was faced."""
    finish = design.lathe.finish
    diameter = min(design.spigot.diameter, design.job.backplate.spigot_diameter)
    seat = _seat(design)
    path.rapid_z(CLEAR)
    _edge(path, design, diameter, seat)
    path.cut(finish, z=seat)
    if faced:
        path.cut(finish, x=_outside(design))
    else:
        # The floor where the old spigot stood is new; only past it may the tool lift off the seat that stays.
        past = max(diameter, design.job.backplate.spigot_diameter) + 4 * FACE_STOPS_SHORT
        path.cut(finish, x=past)
        path.cut(finish, x=past + 2 * CLEAR, z=seat + CLEAR)
    path.rapid_z(CLEAR)
    path.close(name, measure)


def _undercut(path: _Path, design: Design, undercut: Undercut) -> None:
    """Turn the undercut, in as many passes as the depth of cut asks for; begin and end clear of the faces."""
    finish, seat = design.lathe.finish, _seat(design)
    diameter = min(design.spigot.diameter, design.job.backplate.spigot_diameter)
    deepest = undercut.into_spigot + undercut.into_seat  # at the corner the tip bites into both
    count = math.ceil(deepest / design.job.lathe.max_depth_of_cut - 1e-9)
    for number in range(1, count + 1):
        part = number / count
        into_spigot, into_seat = part * undercut.into_spigot, part * undercut.into_seat
        begin = seat - into_seat + part * undercut.run_out_spigot
        out = diameter + 2 * (part * undercut.run_out_seat - into_spigot)
        path.rapid_z(CLEAR)
        path.rapid_x(diameter + 2 * CLEAR)
        path.rapid_z(begin + CLEAR)
        path.cut(finish, x=diameter, z=begin)
        path.cut(finish, x=diameter - 2 * into_spigot, z=seat - into_seat)
        past = max(out, diameter)
        path.cut(finish, x=past, z=seat)
        path.cut(finish, x=past + 2 * CLEAR, z=seat + CLEAR)
        path.rapid_z(CLEAR)
        path.close("undercut" if count == 1 else f"undercut {number}")


def _edge(path: _Path, design: Design, diameter: float, seat: float) -> None:
    """Break the spigot's edge as the job wants it, and end on its diameter."""
    edge, nose, finish = design.spigot.edge_break, design.lathe.tool.nose_radius, design.lathe.finish
    rounded = design.job.lathe.edge == "round"
    corner = edge_corner(edge, nose, rounded=rounded)
    if corner <= seat:
        unit = design.job.unit
        raise GcodegenError(
            f"an edge of {show_length(edge, unit)} with this tool's nose reaches "
            f"{show_length(-corner, unit)} down a spigot of {show_length(-seat, unit)}",
            where="adjustment.edge_break",
            do="Break less of the edge or take a tool with a smaller nose",
        )
    if edge <= 0:
        path.rapid_x(diameter)
    elif rounded:
        path.rapid_x(diameter + 2 * corner)
        path.cut(finish, z=0.0)
        path.round(finish, LathePoint(x=diameter, z=corner), centre=LathePoint(x=diameter + 2 * corner, z=corner))
    else:
        path.rapid_x(diameter - 2 * (CLEAR - corner))
        path.cut(finish, x=diameter, z=corner)


def edge_corner(edge_break: float, nose_radius: float, *, rounded: bool = False) -> float:
    """Return z of the tip, mm, where its path along the edge meets that along the spigot; derived above."""
    factor = 1.0 if rounded else EDGE_FACTOR
    return -(edge_break + nose_radius * factor) if edge_break > 0 else 0.0


def _beside_spigot(design: Design) -> float:
    """Return the diameter at which facing keeps just off the old spigot."""
    return design.job.backplate.spigot_diameter + 2 * FACE_STOPS_SHORT


def _outside(design: Design) -> float:
    """Return the diameter at which the tip is clear of the plate."""
    return design.job.backplate.diameter + 2 * CLEAR


def _seat(design: Design) -> float:
    """Return z of the seat after the work; not in front of the one that is there: no metal is put on."""
    return -max(design.spigot.length, design.job.backplate.spigot_length)
