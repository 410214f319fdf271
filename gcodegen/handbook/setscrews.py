"""Flat-point socket set screws of alloy steel, 45H: sockets, points, lengths and seating torques."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.handbook.inch import mm, nmm
from gcodegen.handbook.threads import thread
from gcodegen.verdict import Source

_ISO_4026 = Source("ISO 4026 (DIN 913)", "flat point: key s, point dp, depth t; lengths from memory")
_B18_3 = Source("ASME B18.3", "flat point: key J, point, least key engagement; lengths from memory")
_METRIC_TORQUE = Source("a maker's catalogue figure", "seating torque, metric set screws")
_INCH_TORQUE = Source("a maker's catalogue figure", "seating torque, inch; the lower where makers differ")
_INCH_TORQUE_BY_SIZE = Source("a maker's catalogue figure", "seating torque of the size, either pitch")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetScrew:
    """One size of flat-point set screw; lengths in mm, torque in N mm.

    ``socket_depth_mm`` is the least depth at which the key gets its full hold; lengths below
    ``full_socket_from_mm`` are made with the short socket and carry less torque.
    """

    thread: str
    key_mm: float
    tip_min_mm: float
    tip_max_mm: float
    socket_depth_mm: float
    short_socket_depth_mm: float
    full_socket_from_mm: float
    lengths_mm: tuple[float, ...]
    seating_torque_nmm: float
    source: Source
    torque_source: Source

    def socket_depth_for_mm(self, length_mm: float) -> float:
        """Return the least socket depth of a screw of this length, in mm."""
        return self.socket_depth_mm if length_mm >= self.full_socket_from_mm else self.short_socket_depth_mm


_ISO_LENGTHS_MM = (3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0)
_INCH_LENGTHS_IN = (0.125, 0.1875, 0.25, 0.3125, 0.375, 0.5, 0.625, 0.75, 1.0)


def _metric(
    name: str,
    key: float,
    tip: tuple[float, float],
    socket: tuple[float, float],
    longest: float,
    torque_nm: float,
) -> SetScrew:
    # Shortest length = major diameter; that one has the short socket: M8 and M10 read, as ISO 4029 has it for the cup
    # point; the others from memory of ISO 4026.
    major = thread(name).major_mm
    lengths = tuple(x for x in _ISO_LENGTHS_MM if major <= x <= longest)
    return SetScrew(
        thread=name,
        key_mm=key,
        tip_min_mm=tip[0],
        tip_max_mm=tip[1],
        socket_depth_mm=socket[1],
        short_socket_depth_mm=socket[0],
        full_socket_from_mm=lengths[1],
        lengths_mm=lengths,
        seating_torque_nmm=torque_nm * 1000.0,
        source=_ISO_4026,
        torque_source=_METRIC_TORQUE,
    )


def _inch(
    name: str,
    key_in: float,
    tip_in: tuple[float, float],
    socket_in: float,
    lengths_in: tuple[float, float],
    torque_in_lb: float,
    torque_source: Source = _INCH_TORQUE,
) -> SetScrew:
    # The lists start at the shortest length with the full socket depth (ASME B18.3, from memory).
    lengths = tuple(mm(x) for x in _INCH_LENGTHS_IN if lengths_in[0] <= x <= lengths_in[1])
    return SetScrew(
        thread=name,
        key_mm=mm(key_in),
        tip_min_mm=mm(tip_in[0]),
        tip_max_mm=mm(tip_in[1]),
        socket_depth_mm=mm(socket_in),
        short_socket_depth_mm=mm(socket_in),
        full_socket_from_mm=lengths[0],
        lengths_mm=lengths,
        seating_torque_nmm=nmm(torque_in_lb),
        source=_B18_3,
        torque_source=torque_source,
    )


_ROWS = (
    _metric("M3", 1.5, (1.75, 2.00), (1.2, 2.0), 16, 0.92),
    _metric("M4", 2.0, (2.25, 2.50), (1.5, 2.5), 20, 2.2),
    _metric("M5", 2.5, (3.20, 3.50), (2.0, 3.0), 25, 4.0),
    _metric("M6", 3.0, (3.70, 4.00), (2.0, 3.5), 30, 7.2),
    _metric("M8", 4.0, (5.20, 5.50), (3.0, 5.0), 40, 17.0),
    _metric("M10", 5.0, (6.64, 7.00), (4.0, 6.0), 50, 33.0),
    _inch("#4-40", 0.050, (0.051, 0.061), 0.070, (0.1875, 0.5), 5.0),
    _inch("#6-32", 1 / 16, (0.064, 0.074), 0.080, (0.1875, 0.5), 10.0),
    _inch("#8-32", 5 / 64, (0.076, 0.087), 0.090, (0.1875, 0.75), 15.0),
    _inch("#10-24", 3 / 32, (0.088, 0.102), 0.100, (0.1875, 1.0), 25.0),
    _inch("#10-32", 3 / 32, (0.088, 0.102), 0.100, (0.1875, 1.0), 25.0, _INCH_TORQUE_BY_SIZE),
    _inch("1/4-20", 1 / 8, (0.118, 0.132), 0.125, (0.25, 1.0), 87.0),
    _inch("1/4-28", 1 / 8, (0.118, 0.132), 0.125, (0.25, 1.0), 87.0, _INCH_TORQUE_BY_SIZE),
    _inch("5/16-18", 5 / 32, (0.156, 0.172), 0.156, (0.3125, 1.0), 165.0),
    _inch("3/8-16", 3 / 16, (0.194, 0.212), 0.188, (0.375, 1.0), 290.0),
)


def _size_key(screw: SetScrew) -> tuple[float, float]:
    row = thread(screw.thread)
    return row.major_mm, row.pitch_mm


# Largest first, and coarse before fine of one size: the order in which a choice tries them.
SET_SCREWS = tuple(sorted(_ROWS, key=_size_key, reverse=True))
_BY_THREAD = {screw.thread: screw for screw in SET_SCREWS}


def set_screw(thread_name: str) -> SetScrew:
    """Return the set screw of a thread, in any spelling that :func:`thread` takes.

    Raises
    ------
    ValueError
        When the text is no thread, or a thread with no flat-point set screw in the table.
    """
    name = thread(thread_name).name
    if name not in _BY_THREAD:
        raise ValueError(f"no flat-point set screw {name} in the table; allowed: {', '.join(_BY_THREAD)}")
    return _BY_THREAD[name]
