"""Draws the pictures of the page on dialling in: readings with their curve, and the lobes that no screw can mend."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from pathlib import Path

from gcodegen.dial.reading_file import load_readings
from gcodegen.packet.svg import Drawing, Point

DOCS = Path(__file__).resolve().parent
LEFT, RIGHT = 18.0, 152.0


def readings() -> Iterator[Drawing]:
    """Yield the drawings."""
    yield _curve()
    yield _lobes()


def _curve() -> Drawing:
    """Return the readings of the tutorial's first round and the sinus through them."""
    found = [(r.angle_deg, r.value) for r in load_readings(DOCS / "tutorial" / "round-1.csv", "mm").readings]
    n = len(found)
    mean = sum(v for _, v in found) / n
    a = 2 / n * sum(v * math.cos(math.radians(t)) for t, v in found)
    b = 2 / n * sum(v * math.sin(math.radians(t)) for t, v in found)
    e, p = math.hypot(a, b), math.degrees(math.atan2(b, a)) % 360.0
    d = Drawing("dial-readings", "Twelve readings and the curve through them", 184.0, 72.0)
    d.desc = f"Mean {mean:.3f} mm, off centre by e = {e:.3f} mm towards p = {p:.0f} degrees; full movement 2 e."
    top, low = 10.0, 58.0

    def at(degrees: float, value: float) -> Point:
        return LEFT + (RIGHT - LEFT) * degrees / 360.0, low - (low - top) * value / 0.12

    _frame(d, top, low, (0.0, 0.04, 0.08, 0.12), lambda v: at(0, v)[1])
    d.text((LEFT, top - 3), "reading, mm")
    d.line(at(0, mean), at(360, mean), "centre")
    d.polyline([at(t, mean + a * math.cos(math.radians(t)) + b * math.sin(math.radians(t))) for t in range(0, 361, 4)])
    for t, v in found:
        d.circle(at(t, v), 1.2, "visible", "paper", "reading")
    d.line(at(p, mean), at(p, mean + e), "thin")
    d.head(at(p, mean + e), 90.0)
    d.line(at(p, mean), (at(p, 0)[0], low), "hidden")
    d.text((at(p, 0)[0] + 1.5, at(p, mean + e / 2)[1]), "e", look="bold")
    d.text((at(p, 0)[0] + 1.5, low - 2), "p: high spot", look="bold")
    d.text((RIGHT + 2, at(0, mean)[1] + 1), "mean")
    d.text((RIGHT + 2, at(0, mean - e)[1] + 1), "mean - e")
    d.text((RIGHT + 2, at(0, mean + e)[1] + 1), "mean + e")
    return d


def _lobes() -> Drawing:
    """Return three curves: off centre, oval, three-lobed, with four readings of the last."""
    d = Drawing("dial-lobes", "Off centre, oval and three-lobed as an indicator shows them", 184.0, 82.0)
    d.desc = (
        "One wave a turn: off centre, which the screws mend. Two waves: an oval part. Three waves: squeezed by three "
        "jaws. Four readings of the three waves lie on one wave, too."
    )
    for row, (waves, count, name) in enumerate(
        ((1, "one wave a turn:", "off centre"), (2, "two:", "oval"), (3, "three:", "three-lobed"))
    ):
        middle = 14.0 + 25.0 * row

        def at(t: float, waves: int = waves, middle: float = middle) -> Point:
            return LEFT + (RIGHT - LEFT) * t / 360.0, middle - 9.0 * math.cos(math.radians(waves * t))

        d.line((LEFT, middle), (RIGHT, middle), "thin")
        d.polyline([at(t) for t in range(0, 361, 3)], "visible")
        d.text((RIGHT + 2, middle), count, look="bold")
        d.text((RIGHT + 2, middle + 4), name)
        if waves == 3:
            for t in (0, 90, 180, 270):
                d.circle(at(t), 1.2, "visible", "solid")
            d.polyline([at(t, 1) for t in range(0, 361, 3)], "hidden")
    d.text(
        (LEFT, 81.0),
        "Dots: four readings of three waves. They lie as well on the dashed curve, as if it were off centre.",
    )
    return d


def _frame(d: Drawing, top: float, low: float, marks: tuple[float, ...], y: Callable[[float], float]) -> None:
    d.polygon(((LEFT, top), (RIGHT, top), (RIGHT, low), (LEFT, low)), "thin")
    for value in marks:
        d.text((LEFT - 1.5, y(value) + 1), f"{value:.2f}", "end")
        d.line((LEFT, y(value)), (RIGHT, y(value)), "hatch")
    for degrees in range(0, 361, 90):
        x = LEFT + (RIGHT - LEFT) * degrees / 360.0
        d.line((x, low), (x, low + 1.5))
        name = f"screw {degrees // 90 + 1}, " if degrees < 360 else ""
        d.text((x, low + 5), f"{name}{degrees}\N{DEGREE SIGN}", "middle")
