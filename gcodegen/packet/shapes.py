"""Shapes of an axial section: (w, r) in mm, w from the new seat towards the jaws, r from the axis.

The chuck sits on the seat, so its rear face lies at w = 0. What was there before the work is drawn in the
same frame: the end of the spigot stays where it is, the seat goes back to 0.
"""

from __future__ import annotations

import math

from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from gcodegen.design.obstacles import obstacles
from gcodegen.design.result import Design
from gcodegen.handbook import cap_screw
from gcodegen.job import Job
from gcodegen.packet.svg import Point

_FILLET_STEPS = 12
# A capped head is 1.5 d wide and 1 d high (ISO 4762, from memory) where the handbook has no row.
_HEAD_WIDE, _HEAD_HIGH = 1.5, 1.0
_COUNTERBORE_ROOM = 1.0
_MINOR_SHARE = 0.83


def plate_rear(design: Design) -> float:
    """Return w of the rear of the plate after the work, mm."""
    return -(design.job.backplate.thickness - design.spigot.faced_back)


def plate_after(design: Design) -> Polygon:
    """Return the upper half of the plate after the work: its corner as the tool's nose leaves it, and broken edge."""
    plate, spigot = design.job.backplate, design.spigot
    rear, outside, r, nose = (
        plate_rear(design),
        plate.diameter / 2,
        spigot.diameter / 2,
        design.lathe.tool.nose_radius,
    )
    edge = spigot.edge_break
    deep_w, deep_r = (-cut.into_seat, r - cut.into_spigot) if (cut := design.job.undercut) else (0.0, r)
    fillet = [
        (deep_w + nose + nose * math.cos(t), deep_r + nose + nose * math.sin(t))
        for t in (math.pi + math.pi / 2 * k / _FILLET_STEPS for k in range(_FILLET_STEPS + 1))
    ]
    if cut:
        fillet = [(0.0, r + cut.along_seat), *fillet, (cut.along_spigot, r)]
    end = [(spigot.length - edge, r), (spigot.length, r - edge), (spigot.length, plate.bore / 2)]
    return Polygon([(rear, plate.bore / 2), (rear, outside), (0.0, outside), *fillet, *end])


def plate_before(design: Design) -> list[Point]:
    """Return the old outline of the plate from its outside at the seat to the bore at the spigot's end."""
    plate, seat = design.job.backplate, design.spigot.faced_back
    end, r = seat + plate.spigot_length, plate.spigot_diameter / 2
    return [(seat, plate.diameter / 2), (seat, r), (end, r), (end, plate.bore / 2)]


def spigot_before(design: Design) -> list[Point]:
    """Return the old outline of the spigot alone, from the old seat to its end and down to the new spigot."""
    _, corner, end, _ = plate_before(design)
    return [corner, end, (end[0], design.spigot.diameter / 2)]


def chuck_body(job: Job) -> BaseGeometry:
    """Return the upper half of the chuck's body without recess, its mouth's chamfer, and cavities."""
    chuck = job.chuck
    body: BaseGeometry = box(0.0, 0.0, chuck.length, chuck.radius)
    body = body.difference(box(-1.0, -1.0, chuck.recess_depth, chuck.recess_radius))
    c, r = chuck.recess_chamfer, chuck.recess_radius
    if c > 0:
        body = body.difference(Polygon([(0.0, r - 1.0), (0.0, r + c), (c, r), (c, r - 1.0)]))
    for cavity in obstacles(job).round:
        body = body.difference(box(cavity.from_depth, cavity.inner, cavity.to_depth, cavity.outer))
    return body


def cover(job: Job) -> BaseGeometry | None:
    """Return the cover that stays in the recess; None when there is none."""
    chuck = job.chuck
    if chuck.cover is None or chuck.cover.remaining <= 0:
        return None
    return box(chuck.floor_depth, 0.0, chuck.recess_depth, chuck.recess_radius)


def screw_hole(design: Design) -> BaseGeometry:
    """Return the tapped hole to the drill's diameter, with its chamfer at the crest."""
    chuck, s = design.job.chuck, design.layout.setback
    half = (design.mill.drill.diameter or design.screw.thread.tap_drill_mm) / 2
    wide = design.depths.spot_diameter / 2
    sink = chuck.radius - (wide - half)
    hole = box(s - half, chuck.recess_radius - 1.0, s + half, chuck.radius + 1.0)
    chamfer = [(s - half, sink), (s - wide, chuck.radius), (s + wide, chuck.radius), (s + half, sink)]
    return hole.union(Polygon(chamfer))


def screw(design: Design) -> Polygon:
    """Return the set screw with its flat point on the new spigot, the chuck centred."""
    s, tip, half = design.layout.setback, design.spigot.diameter / 2, design.screw.radius
    flat = design.screw.row.tip_max_mm / 2
    shoulder, head = tip + (half - flat), tip + design.screw.length
    right = [(s + flat, tip), (s + half, shoulder), (s + half, head)]
    left = [(s - half, head), (s - half, shoulder), (s - flat, tip)]
    return Polygon(right + left)


def screw_thread(design: Design) -> tuple[list[Point], list[Point]]:
    """Return the lines of the screw's roots, from its point to its head, on both sides."""
    s, tip, half = design.layout.setback, design.spigot.diameter / 2, design.screw.thread.minor_min_mm / 2
    return [(s - half, tip), (s - half, tip + design.screw.length)], [
        (s + half, tip),
        (s + half, tip + design.screw.length),
    ]


def screw_socket(design: Design) -> Polygon:
    """Return the socket of the set screw, as deep as the key needs."""
    s, head = design.layout.setback, design.spigot.diameter / 2 + design.screw.length
    deep, half = design.screw.row.socket_depth_for_mm(design.screw.length), design.screw.row.key_mm / 2
    return box(s - half, head - deep, s + half, head)


def head_seat(design: Design) -> float:
    """Return w of the face under the mounting bolt's head after the work, mm."""
    return -(design.job.backplate.bolts.under_head - design.spigot.faced_back)


def bolt_room(design: Design) -> BaseGeometry:
    """Return the hole of a mounting bolt in the plate, with the sunk seat of its head where it is sunk."""
    bolts, rear, seat = design.job.backplate.bolts, plate_rear(design), head_seat(design)
    r, half = bolts.circle / 2, bolts.hole_diameter / 2
    hole: BaseGeometry = box(rear - 1.0, r - half, 1.0, r + half)
    if seat > rear:
        wide = bolt_head(design)[0] / 2 + _COUNTERBORE_ROOM
        hole = hole.union(box(rear - 1.0, r - wide, seat, r + wide))
    return hole


def bolt_thread(design: Design) -> BaseGeometry:
    """Return the bore of the mounting bolt's tapped hole in the chuck, to its full thread."""
    bolts = design.job.backplate.bolts
    r, half = bolts.circle / 2, bolts.row.major_mm / 2 * _MINOR_SHARE
    return box(-1.0, r - half, bolts.thread_depth, r + half)


def bolt(design: Design) -> BaseGeometry:
    """Return a mounting bolt in its place: head on its seat, shank into the chuck."""
    bolts, seat = design.job.backplate.bolts, head_seat(design)
    r, half = bolts.circle / 2, bolts.row.major_mm / 2
    wide, high = bolt_head(design)
    head = box(seat - high, r - wide / 2, seat, r + wide / 2)
    return box(seat, r - half, seat + bolts.length, r + half).union(head)


def bolt_head(design: Design) -> tuple[float, float]:
    """Return diameter and height of the mounting bolt's head, mm."""
    bolts = design.job.backplate.bolts
    row = cap_screw(bolts.thread)
    major = bolts.row.major_mm
    return (row.head_diameter_mm, row.head_height_mm) if row else (_HEAD_WIDE * major, _HEAD_HIGH * major)
