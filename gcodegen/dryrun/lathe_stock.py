"""The backplate before and after the lathe's work, as outlines in the (z, r) half plane.

z runs along the spindle, positive away from the headstock, 0 on the spigot's end; r is a radius. The bolt
holes are taken as full of metal: a rapid may not go through where one happens to pass.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from gcodegen.dryrun.lathe_tool import Points, Shape
from gcodegen.job import Job, Undercut

GOUGE = 0.005  # normal depth below a finished face that counts, mm
LEFT = 0.01  # thickness left on a finished face that counts, mm
FAR = 1000.0  # mm, beyond any plate
EDGE_ROOM = 0.3  # what the edge may be broken more than wished before that counts as a gouge, mm
ARC_STEPS = 64  # chords of a quarter of the corner's fillet: 0.24 um at a radius of 3.2 mm
_SPACING = 0.1  # of the points at which a depth is measured, mm
_BESIDE = 1e-4
_BELOW = 0.002  # how far under a surface its ends are sought, and twice that, mm


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateFrame:
    """Places of the backplate's faces: ``z`` from the spigot's end, radii from the axis, mm."""

    rear: float
    old_seat: float
    new_seat: float
    bore: float
    old_spigot: float
    new_spigot: float
    rim: float
    edge: float


def plate_frame(job: Job) -> PlateFrame | None:
    """Return the frame of a settled job; None when it is not settled or asks for metal to be put on."""
    plate, wish = job.backplate, job.adjustment
    if wish.relief is None or wish.spigot_length is None:
        return None
    frame = PlateFrame(
        rear=-(plate.spigot_length + plate.thickness),
        old_seat=-plate.spigot_length,
        new_seat=-wish.spigot_length,
        bore=plate.bore / 2,
        old_spigot=plate.spigot_diameter / 2,
        new_spigot=(plate.spigot_diameter - wish.relief) / 2,
        rim=plate.diameter / 2,
        edge=wish.edge_break,
    )
    sound = frame.rear < frame.new_seat <= frame.old_seat and frame.bore < frame.new_spigot < frame.rim
    return frame if sound and frame.new_spigot <= frame.old_spigot else None


class Plate:
    """The backplate's metal: ``stock`` as it comes, and what must and what may be left of it.

    Parameters
    ----------
    frame : PlateFrame
        Places of the faces, mm.
    nose_radius : float
        Of the job's turning tool: the fillet that it leaves in the corner of spigot and seat is allowed.
    largest_nose : float
        Of any of the job's tools: so far from spigot and seat the corner reaches.
    gouge : float
        Normal depth of a cut into the finished plate that is let pass, mm.
    undercut : Undercut, optional
        That of the corner of spigot and seat, where one is wanted.
    """

    def __init__(
        self,
        frame: PlateFrame,
        nose_radius: float,
        largest_nose: float,
        gouge: float,
        undercut: Undercut | None = None,
    ) -> None:
        self.frame = frame
        self.nose = nose_radius
        self.gouge = gouge
        self.undercut = undercut
        corner = max(nose_radius, largest_nose)
        self.along_spigot = max(corner, undercut.along_spigot if undercut else 0.0)
        self.along_seat = max(corner, undercut.along_seat if undercut else 0.0)

    @cached_property
    def stock(self) -> Shape:
        """The plate before the work."""
        f = self.frame
        return _stepped(f.rear, f.old_seat, f.bore, f.old_spigot, f.rim, 0.0)

    @cached_property
    def must_stay(self) -> Shape:
        """What no cut may touch: the finished plate, its edge broken as far as is still let pass."""
        f = self.frame
        most = min(f.edge + EDGE_ROOM, -f.new_seat, f.new_spigot - f.bore)
        return _stepped(f.rear, f.new_seat, f.bore, f.new_spigot, f.rim, most).difference(self._cut_under)

    @cached_property
    def core(self) -> Shape:
        """What lies deeper in ``must_stay`` than a cut is let pass."""
        return self.must_stay.buffer(-self.gouge)

    @cached_property
    def may_stay(self) -> Shape:
        """The finished plate with its edge sharp, and in the corner what the nose cannot reach."""
        f = self.frame
        body = _stepped(f.rear, f.new_seat, f.bore, f.new_spigot, f.rim, 0.0).difference(self._cut_under)
        if self.nose == 0:
            return body
        free = shapely.box(f.new_seat, f.new_spigot, 4 * FAR, 4 * FAR).union(self._cut_under)
        reached = free.buffer(-self.nose, quad_segs=ARC_STEPS).buffer(self.nose, quad_segs=ARC_STEPS)
        # Away from the corner the box of free room ends by itself: nothing there is the plate's.
        near = shapely.box(-FAR, -FAR, 2 * FAR, 2 * FAR)
        return body.union(free.difference(reached).intersection(near))

    @cached_property
    def _cut_under(self) -> Shape:
        """What the undercut takes below spigot and seat, its bottom sharp."""
        f, u = self.frame, self.undercut
        if u is None:
            return shapely.Polygon()
        seat, spigot = f.new_seat, f.new_spigot
        deep_z, deep_r = seat - u.into_seat, spigot - u.into_spigot
        corners = [
            (seat + u.along_spigot, spigot),
            (seat + u.along_spigot - u.run_out_spigot, deep_r),
            (deep_z, deep_r),
            (deep_z, max(spigot + u.along_seat - u.run_out_seat, deep_r)),
            (seat, spigot + u.along_seat),
            (seat, spigot),
        ]
        return shapely.Polygon(corners)

    @cached_property
    def keep_out(self) -> Shape:
        """Where the headstock side begins: behind the plate's rear, out to 1 mm over its rim."""
        return shapely.box(-FAR, -FAR, self.frame.rear, self.frame.rim + 1.0)


def _stepped(rear: float, seat: float, bore: float, spigot: float, rim: float, edge: float) -> Shape:
    corners = [(rear, bore), (0.0, bore), (0.0, spigot - edge), (-edge, spigot)]
    corners += [(seat, spigot), (seat, rim), (rear, rim)]
    return shapely.Polygon(corners)


def depth_in(part: Shape, whole: Shape) -> float:
    """Return how deep ``part``, a piece of ``whole``, reaches below the surface of ``whole``, mm.

    Measured square to the surface at points along the edge of ``part``, at most ``_SPACING`` apart.
    """
    return _farthest(part, whole.boundary) if part.area > 0 else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Leftovers:
    """Metal that should be gone, mm: thickness on the spigot, on the seat and in the corner.

    ``seat_from`` and ``seat_to`` are the radii between which metal is left on the seat.
    """

    spigot: float
    seat: float
    seat_from: float
    seat_to: float
    corner: float


def leftovers(plate: Plate, stock: Shape, allowed: float) -> Leftovers:
    """Return what is left on the faces of the finished plate; ``allowed`` is the thickness let pass, mm."""
    f = plate.frame
    left = stock.difference(plate.may_stay)
    past_z, past_r = f.new_seat + plate.along_spigot + 1e-4, f.new_spigot + plate.along_seat + 1e-4
    # What was spigot before counts as spigot, what was plate as seat, each beyond the corner's reach.
    sleeve = shapely.box(past_z, f.new_spigot, FAR, f.old_spigot)
    spigot = _reach(left.intersection(sleeve), 3) - f.new_spigot
    on_seat = left.intersection(shapely.box(f.new_seat, past_r, FAR, FAR)).difference(sleeve)
    seat = _reach(on_seat, 2) - f.new_seat
    high = on_seat.intersection(shapely.box(f.new_seat + allowed, past_r, FAR, FAR))
    corner = left.intersection(shapely.box(-FAR, -FAR, past_z, past_r))
    return Leftovers(
        spigot=max(spigot, 0.0),
        seat=max(seat, 0.0),
        seat_from=f.rim if high.is_empty else float(high.bounds[1]),
        seat_to=f.rim if high.is_empty else float(high.bounds[3]),
        corner=_farthest(corner, plate.may_stay),
    )


def _reach(shape: Shape, side: int) -> float:
    return -FAR if shape.is_empty else float(shape.bounds[side])


def _farthest(shape: Shape, other: Shape) -> float:
    points = shapely.points(shapely.get_coordinates(shapely.segmentize(shape, _SPACING)))
    return float(shapely.distance(points, other).max(initial=0.0))


def tops(stock: Shape, inner: float, outer: float) -> Points:
    """Return the Z to which the metal stands at radii between two, mm: just beside every corner of its outline."""
    return _reaches(stock.intersection(shapely.box(-FAR, inner, FAR, outer)), 1)


def radii(stock: Shape, behind: float, before: float) -> Points:
    """Return the radius out to which the metal goes between two Z, mm: just beside every corner of its outline."""
    return _reaches(stock.intersection(shapely.box(behind, -FAR, before, FAR)), 0)


def _reaches(band: Shape, across: int) -> Points:
    """Return how far a band of metal reaches, at tracks across it: a straight face is extreme at its corners."""
    places = shapely.get_coordinates(band)[:, across]
    if not len(places):
        return np.array([-FAR])
    beside = np.concatenate([places - _BESIDE, places + _BESIDE])
    tracks = np.unique(beside[(beside > places.min()) & (beside < places.max())].round(9))
    if not len(tracks):  # the metal only touches the band
        return np.array([-FAR])
    ends = np.array([[-FAR, FAR]] * len(tracks))
    held = np.repeat(tracks[:, None], 2, axis=1)
    lines = shapely.linestrings(np.stack([ends, held] if across else [held, ends], axis=-1))
    reach = shapely.bounds(shapely.intersection(lines, band))[:, 2 if across else 3]
    return np.where(np.isnan(reach), -FAR, reach)


def edge_legs(plate: Plate, stock: Shape) -> tuple[float, float] | None:
    """Return how far the spigot's end edge is broken: along the end face and along the spigot, mm.

    None when one of the two is no longer there.
    """
    f = plate.frame
    # From the faces as they were cut: they may lie a little under those that are wanted.
    middle = (f.new_seat + plate.along_spigot - f.edge) / 2
    side_r = min(f.new_spigot, _reach(stock.intersection(shapely.LineString([(middle, -FAR), (middle, FAR)])), 3))
    face_r = (f.bore + f.new_spigot) / 2
    face_z = min(0.0, _reach(stock.intersection(shapely.LineString([(-FAR, face_r), (FAR, face_r)])), 2))
    legs = []
    for below in (_BELOW, 2 * _BELOW):
        z, r = face_z - below, side_r - below
        face = stock.intersection(shapely.LineString([(z, -FAR), (z, FAR)]))
        side = stock.intersection(shapely.LineString([(f.new_seat, r), (FAR, r)]))
        if face.length == 0 or side.length == 0:
            return None
        legs.append((side_r - _reach(face, 3), face_z - _reach(side, 2)))
    (face_near, side_near), (face_deep, side_deep) = legs
    # Straight on from two places under the surfaces to the surfaces themselves.
    return max(0.0, 2 * face_near - face_deep), max(0.0, 2 * side_near - side_deep)
