"""Socket head cap screws as mounting bolts: heads, clearance holes, proof loads and tightening torques."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.handbook.inch import mm, newtons, nmm
from gcodegen.handbook.threads import thread
from gcodegen.units import MM_PER_INCH
from gcodegen.verdict import Source

_ISO_4762 = Source("ISO 4762 (DIN 912)", "head diameter, head height, key")
_ISO_273 = Source("ISO 273", "clearance holes: fine, medium, coarse")
_ISO_898 = Source("ISO 898-1", "proof load of property class 8.8")
_TORQUE_8_8 = Source("a maker's catalogue figure", "tightening torque of class 8.8 at friction 0.14")
_B18_3 = Source("ASME B18.3", "head diameter, head height, key")
_B18_2_8 = Source("ASME B18.2.8", "clearance holes: close, normal, loose")
_J429 = Source("SAE J429", "proof load of grade 5, 85 000 psi on the stress area; the near equal of class 8.8")
_TORQUE_INCH = Source(
    "worked from Shigley's Mechanical Engineering Design",
    "T = K F d, K 0.20 (Table 8-15), F 0.75 of proof load",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CapScrew:
    """One mounting bolt; mm, N and N mm.

    Proof load and torque are those of class 8.8 (inch: grade 5), because the thread it pulls on is cut in
    iron: a stronger bolt gains nothing there.
    """

    thread: str
    head_diameter_mm: float
    head_height_mm: float
    key_mm: float
    clearance_fine_mm: float
    clearance_medium_mm: float
    clearance_coarse_mm: float
    proof_load_n: float
    torque_nmm: float
    source: Source
    clearance_source: Source
    proof_source: Source
    torque_source: Source


def _metric(
    name: str,
    head: tuple[float, float, float],
    hole: tuple[float, float, float],
    proof_kn: float,
    torque_nm: float,
) -> CapScrew:
    return CapScrew(
        thread=name,
        head_diameter_mm=float(head[0]),
        head_height_mm=float(head[1]),
        key_mm=float(head[2]),
        clearance_fine_mm=hole[0],
        clearance_medium_mm=hole[1],
        clearance_coarse_mm=hole[2],
        proof_load_n=proof_kn * 1000.0,
        torque_nmm=torque_nm * 1000.0,
        source=_ISO_4762,
        clearance_source=_ISO_273,
        proof_source=_ISO_898,
        torque_source=_TORQUE_8_8,
    )


def _inch(
    name: str, head_in: tuple[float, float, float], hole_in: tuple[float, float, float], proof_lb: float
) -> CapScrew:
    head = tuple(mm(x) for x in head_in)
    hole = tuple(mm(x) for x in hole_in)
    major_in = thread(name).major_mm / MM_PER_INCH
    return CapScrew(
        thread=name,
        head_diameter_mm=head[0],
        head_height_mm=head[1],
        key_mm=head[2],
        clearance_fine_mm=hole[0],
        clearance_medium_mm=hole[1],
        clearance_coarse_mm=hole[2],
        proof_load_n=newtons(proof_lb),
        torque_nmm=nmm(0.20 * 0.75 * proof_lb * major_in),
        source=_B18_3,
        clearance_source=_B18_2_8,
        proof_source=_J429,
        torque_source=_TORQUE_INCH,
    )


CAP_SCREWS = (
    _metric("M6", (10, 6, 5), (6.4, 6.6, 7.0), 11.6, 10),
    _metric("M8", (13, 8, 6), (8.4, 9.0, 10.0), 21.2, 25),
    _metric("M10", (16, 10, 8), (10.5, 11.0, 12.0), 33.7, 49),
    _metric("M12", (18, 12, 10), (13.0, 13.5, 14.5), 48.9, 85),
    _metric("M16", (24, 16, 14), (17.0, 17.5, 18.5), 91.0, 210),
    _inch("1/4-20", (0.375, 0.250, 3 / 16), (17 / 64, 9 / 32, 19 / 64), 2700),
    _inch("5/16-18", (0.469, 0.312, 1 / 4), (21 / 64, 11 / 32, 23 / 64), 4450),
    _inch("3/8-16", (0.562, 0.375, 5 / 16), (25 / 64, 13 / 32, 27 / 64), 6600),
    _inch("1/2-13", (0.750, 0.500, 3 / 8), (17 / 32, 9 / 16, 39 / 64), 12050),
)
_BY_THREAD = {bolt.thread: bolt for bolt in CAP_SCREWS}


def cap_screw(thread_name: str) -> CapScrew | None:
    """Return the mounting bolt of a thread, or None when the table has none of that size.

    Raises
    ------
    ValueError
        When the text is no thread.
    """
    return _BY_THREAD.get(thread(thread_name).name)
