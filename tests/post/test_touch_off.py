"""Touch-off values, by hand: a chuck set up somewhere on the table, touched as told, then bored as the program says.

Nothing of the design's frames is used here: vectors of the machine, the published sense of the rotary, and the job.
"""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from gcodegen.job import Mill
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.packet.lathe_sheet import lathe_touch_offs
from gcodegen.packet.mill_sheet import touch_offs
from gcodegen.post import write_mill
from tests.design.jobs import shipped
from tests.operations.designs import make_design, make_job

X, Z = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
PLACE = np.array([311.25, -87.5, 42.0])  # of the rear face's centre in the machine, any
FINDER = 6.0
EVEN = (17.0, 107.0, 197.0, 287.0)
UNEVEN = (17.0, 108.5, 196.0, 286.5)


def turned(vector: np.ndarray, axis: np.ndarray, degrees: float) -> np.ndarray:
    """Return a vector turned by the right-hand rule (Rodrigues)."""
    a = math.radians(degrees)
    return vector * math.cos(a) + np.cross(axis, vector) * math.sin(a) + axis * float(axis @ vector) * (1 - math.cos(a))


def told(text: str, pattern: str) -> list[float]:
    found = re.search(pattern, text)
    assert found is not None, pattern
    return [float(x) for x in found.groups()]


@pytest.mark.parametrize("angles", [EVEN, UNEVEN], ids=["even", "uneven"])
@pytest.mark.parametrize("rear", ["-X", "+X"])
@pytest.mark.outside("NISTIR 6556, 2.1.2.2: A counter-clockwise seen from +X, of the tool; vectors (Rodrigues)")
def test_a_chuck_touched_off_as_told_gets_its_holes_where_the_job_wants_them(rear, angles):
    d = make_design(job=make_job(mill={"rear_face": rear, "edge_finder": FINDER}), angles=angles)
    text = write_mill(plan_mill(d), d).replace(")\n(- ", " ")
    into = X if rear == "-X" else -X  # from the rear face into the body

    # Touch: the finder's centre stands half its diameter off the face, on the air's side; then the axis is set.
    (set_x,) = told(text, r"AGAINST THE REAR FACE: SET X (-?[\d.]+) MM")
    x_zero = float((PLACE - into * FINDER / 2) @ X) - set_x
    high, low = told(text, r"TWO SIDES OF THE BODY: SET Y (-?[\d.]+) MM AND (-?[\d.]+) MM")
    outside = d.job.chuck.diameter / 2 + FINDER / 2
    y_zeros = (PLACE[1] + outside - high, PLACE[1] - outside - low)
    assert y_zeros[0] == pytest.approx(y_zeros[1]) == pytest.approx(PLACE[1])
    assert x_zero == pytest.approx(float(PLACE @ X))

    # Bore: the tool comes down along -Z at the X of the program; the work stands turned by the rotary against A.
    for number, (index, screw) in enumerate(re.findall(r"HOLE \d AT (-?[\d.]+) DEG IS SCREW (\d)", text), start=1):
        x = told(text, rf"SPOT HOLE {number}, SCREW {screw}\)\n.*X(-?[\d.]+)")[0]
        bored = np.array([x + x_zero - PLACE[0], 0.0, 0.0]) + turned(Z, X, float(index)) * d.job.chuck.diameter / 2
        assert float(bored @ into) == pytest.approx(d.layout.setback, abs=5e-4)
        # Seen from the rear the eye looks along `into`, so counter-clockwise is the right-hand turn about minus that.
        away = angles[int(screw) - 1] - angles[0]
        radial = turned(Z, -into, away) * d.job.chuck.diameter / 2
        assert bored - into * float(bored @ into) == pytest.approx(radial, abs=2e-3)


@pytest.mark.parametrize("rear", ["-X", "+X"])
@pytest.mark.outside("closed form: a finder touches a face half its diameter outside of it")
def test_the_packet_tells_the_same_values_as_the_program(rear):
    base = shipped("chuck-160")
    mill = Mill.model_validate({k: getattr(base.job.mill, k) for k in Mill.model_fields} | {"rear_face": rear})
    d = make_design(job=base.job.model_copy(update={"mill": mill}))
    rows = {row[0]: " ".join(row).replace("\N{NO-BREAK SPACE}", " ") for row in touch_offs(d, plan_mill(d)).rows}
    side = -1 if rear == "-X" else 1
    half = mill.edge_finder / 2
    assert f"X = {side * half:.3f}".replace("-", "\N{MINUS SIGN}") in rows["X"].replace("-", "\N{MINUS SIGN}")
    assert f"{d.job.chuck.diameter / 2 + half:.3f}" in rows["Y"]
    holes = f"X {-side * d.layout.setback:.3f}".replace("-", "\N{MINUS SIGN}")
    assert holes in rows["X"].replace("-", "\N{MINUS SIGN}")


@pytest.mark.outside("by hand: the spigot's end is Z0 and is not cut; X is the diameter that the micrometer gives")
def test_the_lathe_is_touched_off_on_faces_that_are_there():
    d = shipped("chuck-160")
    rows = {r[0]: " ".join(r).replace("\N{NO-BREAK SPACE}", " ") for r in lathe_touch_offs(d).rows}
    assert "Z = 0" in rows["Z"]
    assert f"{d.job.backplate.spigot_diameter:.3f}" in rows["X"]
    # Nothing is cut off the end, so that it stays Z0: inside of the spigot no cut ends at Z0 or below.
    cuts = [m.to for p in plan_lathe(d).passes for m in p.moves if m.cut is not None and m.to.z <= 0]
    assert min(at.x for at in cuts) >= d.spigot.diameter - 1e-9
