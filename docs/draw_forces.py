"""Draws the pictures of the page on forces: what acts at the seat, how the rim gives, how run-outs subtract."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from gcodegen.packet.svg import Drawing, Point, polar

SHOWN_BEND = 60.0
"""How much the bending is drawn larger than the load W R^3 / E I of 1 mm on paper."""


def forces() -> Iterator[Drawing]:
    """Yield the drawings."""
    yield _seat()
    yield _rings()
    yield _arrows()


def inward(degrees: float) -> float:
    """Return how far a thin ring moves inward under two opposed loads at 0 and 180 degrees, in W R^3 / E I.

    Notes
    -----
    [sin t + (pi/2 - t) cos t - 4/pi] / 4 for t from 0 to pi: the shape that bending alone gives (from memory of Roark's
    Formulas for Stress and Strain, Table 9.2, case 1).
    """
    t = math.radians(degrees % 180.0)
    return (math.sin(t) + (math.pi / 2 - t) * math.cos(t) - 4 / math.pi) / 4


def inward_by_four(degrees: float) -> float:
    """Return the same under four even loads: two pairs, a quarter turn apart."""
    return inward(degrees) + inward(degrees + 90.0)


def _seat() -> Drawing:
    d = Drawing("forces-seat", "What acts on the chuck while a screw moves it", 150.0, 100.0)
    d.desc = (
        "Section with the axis level: the plate with its spigot on the left, the chuck on the right. A screw through "
        "the top of the rim bears on the spigot. Bolts pull the chuck against the seat; weight and friction act down."
    )
    axis = 52.0
    _box(d, (30, 14), (48, 90), "plate")
    _box(d, (48, 35), (62, 69), "spigot")
    _box(d, (48, 14), (110, 28), "rim", "none")
    _box(d, (48, 76), (110, 90), "rim", "none")
    _box(d, (70, 28), (110, 76), "body", "none")
    d.line((22, axis), (118, axis), "centre")
    d.text((119, axis + 1), "axis")
    _box(d, (53, 20), (57, 35), "screw", "solid")
    d.arrow((55, 2), (55, 13))
    d.text((57, 5.5), "a screw is tightened: its tip bears on the spigot,", look="bold")
    d.text((57, 10), "the rim, and the chuck with it, goes up with F")
    d.arrow((85, 27), (85, 15))
    d.text((87, 22), "F", look="bold")
    d.line((24, 83), (92, 83), "hidden")
    d.arrow((94, 83), (80, 83))
    d.arrow((22, 83), (36, 83))
    d.text((96, 84), "Fv", look="bold")
    d.text((113, 84), "Fv: what a bolt pulls")
    for top in (15.0, 77.0):
        d.arrow((50.5, top), (50.5, top + 12))
    d.text((28, 74), "friction mu n Fv", "end")
    d.line((28.5, 73), (50, 78), "thin")
    d.arrow((88, 56), (88, 69))
    d.text((90, 63), "weight m g")
    d.text((2, 98), "The push must beat friction and weight: F > mu n Fv + m g. No part of it lies along a bolt.")
    return d


def _box(d: Drawing, a: Point, b: Point, what: str, fill: str = "grey") -> None:
    corners = (a, (b[0], a[1]), b, (a[0], b[1]))
    d.polygon(corners, "visible", "grey" if fill == "grey" else "solid" if fill == "solid" else "none", what)


def _rings() -> Drawing:
    d = Drawing("forces-rings", "How a ring gives under two opposed loads and under four", 166.0, 74.0)
    ratio = inward(0.0) / inward_by_four(0.0)
    d.desc = (
        "Two rings with their bent shapes drawn much too large. Two opposed loads press the ring oval; under each of "
        f"four even loads of the same size it goes in 1/{ratio:.1f} as far."
    )
    for centre, angles, shape, title in (
        ((38.0, 36.0), (90.0, 270.0), lambda t: inward(t - 90.0), "two opposed screws"),
        ((124.0, 36.0), (0.0, 90.0, 180.0, 270.0), lambda t: inward_by_four(t - 90.0), "four, evenly tight"),
    ):
        _ring(d, centre, angles, shape)
        d.text((centre[0], 70.0), title, "middle", "bold")
    d.text((78.0, 37.0), f"1 : {ratio:.0f}", "middle", "large")
    return d


def _ring(d: Drawing, centre: Point, loads: tuple[float, ...], shape: Callable[[float], float]) -> None:
    radius = 22.0
    d.circle(centre, radius, "hidden")
    bent = [polar(centre, radius - SHOWN_BEND * shape(t), t) for t in range(0, 360, 3)]
    d.polygon(bent, "visible", what="bent")
    for t in loads:
        tip = polar(centre, radius - SHOWN_BEND * shape(t) + 0.6, t)
        d.arrow(polar(tip, 9.0, t), tip)


def _arrows() -> Drawing:
    d = Drawing("forces-arrows", "Run-outs as arrows: what drift is", 170.0, 62.0)
    d.desc = (
        "Two arrows from the axis: half the run-out near the jaws towards its high spot, and half that read further "
        "out. From tip to tip goes the arrow that no screw can mend."
    )
    base = (30.0, 48.0)
    near, far = polar(base, 38.0, 20.0), polar(base, 44.0, 62.0)
    d.line((20, base[1]), (120, base[1]), "centre")
    d.line((base[0], 4), (base[0], 56), "centre")
    d.arrow(base, near, "visible")
    d.arrow(base, far, "visible")
    d.arrow(near, far)
    d.text((near[0] + 2, near[1] + 3), "e near the jaws: half the run-out, towards its high spot", look="bold")
    d.text((far[0] + 2, far[1] + 1), "e further out", look="bold")
    middle = ((near[0] + far[0]) / 2 + 3, (near[1] + far[1]) / 2)
    d.text(middle, "drift: e further out less e near the jaws")
    d.text((base[0] + 2, base[1] + 8), "axis of the spindle, seen along it")
    return d
