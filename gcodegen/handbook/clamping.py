"""How mounting bolts clamp: preload, seat under the head, slip of a seat on its friction, drills to open a hole."""

from __future__ import annotations

import math

from gcodegen.handbook.capscrews import CapScrew, cap_screw
from gcodegen.handbook.cutting import Factor
from gcodegen.handbook.drills import DRILLS
from gcodegen.handbook.threads import Thread
from gcodegen.verdict import Source, memory_of

PRELOAD_SHARE = Factor(
    value=0.75,
    why="of the proof load, for a joint that is taken apart again",
    source=Source("Shigley's Mechanical Engineering Design, 9th edition", "section 8-9, reused connections"),
)
PROOF_STRESS = memory_of("ISO 898-1 and SAE J429", "proof stress 580 MPa of class 8.8, 586 MPa of grade 5")
_PROOF_MPA = {"metric": 580.0, "unified": 586.0}

HEAD_BEARING = memory_of("ISO 4762", "least diameter dw of the face under the head")
_BEARING_MM = {"M6": 9.38, "M8": 12.33, "M10": 15.33, "M12": 17.23, "M16": 23.17}
_BEARING_SHARE = 0.93  # of the head where no dw is at hand: less than any metric head has

BOLT_GROUP = Source(
    "Shigley's Mechanical Engineering Design",
    "section 8-12, primary and secondary shear of a bolt group, from memory; here each bolt's friction carries it",
)


def bolt_preload_n(row: Thread) -> float:
    """Return the preload in N of a class 8.8 (inch: grade 5) bolt at full torque: 0.75 of its proof load."""
    listed = cap_screw(row.name)
    proof = listed.proof_load_n if listed else _PROOF_MPA[row.system] * row.stress_area_mm2
    return PRELOAD_SHARE.value * proof


def head_bearing_mm(bolt: CapScrew) -> float:
    """Return the least diameter of the face under a socket head, mm."""
    return _BEARING_MM.get(bolt.thread, _BEARING_SHARE * bolt.head_diameter_mm)


def ring_pressure_mpa(load_n: float, outer_mm: float, inner_mm: float) -> float:
    """Return the mean pressure in MPa on a flat ring; infinite when the hole is as large as the head."""
    area = math.pi / 4.0 * (outer_mm**2 - inner_mm**2)
    return load_n / area if outer_mm > inner_mm else math.inf


def slip_use(force_n: float, torque_nmm: float, circle_mm: float, holds_n: float) -> float:
    """Return the share of a seat's friction that a force across it and a torque take together; 1 slips.

    The worst bolt of the circle takes F/n of the force and T/(n r) of the torque in one direction;
    ``holds_n`` is what the friction under all bolts holds.

    Raises
    ------
    ValueError
        When the circle or what is held is not above zero.
    """
    if min(circle_mm, holds_n) <= 0.0:
        raise ValueError("bolt circle and what the seat holds must be above zero")
    return (force_n + torque_nmm / (circle_mm / 2.0)) / holds_n


def next_drill_mm(least_mm: float, unit: str) -> float | None:
    """Return the smallest drill that is made, at or above a diameter, in mm; None when none is so large.

    Inch drills are those of the number, letter and fraction tables; metric ones are the preferred diameters of
    ISO 235 (from memory): 0.1 mm steps to 14 mm, 0.25 to 32, 0.5 to 50.
    """
    if unit == "in":
        return min((d.diameter_mm for d in DRILLS if d.diameter_mm >= least_mm - 1e-6), default=None)
    for step, largest in ((0.1, 14.0), (0.25, 32.0), (0.5, 50.0)):
        size = round(math.ceil(least_mm / step - 1e-6) * step, 6)
        if size <= largest + 1e-9:
            return size
    return None


HEAD_PRESSURE_SHARE = Factor(
    value=0.8,
    why="mean pressure under a bolt's head, as a share of the iron's compressive strength",
    source=memory_of("VDI 2230", "limiting surface pressure of EN-GJL-250, 850 MPa, near its compressive strength"),
)
