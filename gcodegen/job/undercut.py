"""The undercut in the corner of spigot and seat, so that a sharp recess mouth does not ride up on a fillet.

After the undercuts of DIN 509: shape E goes into the round face alone, shape F into both, with a run-out of 15 degrees
along the round face (from memory) and 8 degrees along the flat one (what the widths of its table give). Two things
differ. The depth comes from the tool's nose, so that the corner itself is cleared, which a standard's depth
leaves to a chamfer on the other part. And a run-out is never steeper than the tool's own edge clears.

The programmed tip of a nose r stands (r, r) short of the nose's centre. A run-out of angle a that begins where the
tip is x off the corner shows on the metal at x + r + r tan(a / 2): the two lines that the nose touches meet there.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, radians, sqrt, tan

from gcodegen.job.machines import LatheTool

RUN_OUT_SPIGOT_DEG = 15.0
RUN_OUT_SEAT_DEG = 8.0
LEAST_RUN_OUT_DEG = 1.0
CLEARED = 0.05
"""How far the corner itself is cleared, mm (own choice)."""
_ROUND = 0.01


@dataclass(frozen=True, slots=True, kw_only=True)
class Undercut:
    """An undercut's depths below spigot and seat, mm, and the angles of its run-outs, degrees.

    ``nose`` is the radius of the tool that turns it, and of the fillet at its bottom. Shape E leaves the seat whole:
    ``into_seat`` is 0.
    """

    nose: float
    into_spigot: float
    into_seat: float
    spigot_deg: float
    seat_deg: float

    @property
    def shape(self) -> str:
        """Its shape's letter in DIN 509."""
        return "F" if self.into_seat > 0 else "E"

    @property
    def run_out_spigot(self) -> float:
        """From the bottom of the undercut to the end of its run-out, as the tool's tip goes along the spigot, mm."""
        return self.into_spigot / tan(radians(self.spigot_deg))

    @property
    def run_out_seat(self) -> float:
        """The same along the seat, mm; 0 for shape E."""
        return self.into_seat / tan(radians(self.seat_deg)) if self.into_seat > 0 else 0.0

    @property
    def along_spigot(self) -> float:
        """From the seat to where the spigot is whole, mm."""
        return self.run_out_spigot - self.into_seat + self.nose * (1 + tan(radians(self.spigot_deg) / 2))

    @property
    def along_seat(self) -> float:
        """From the spigot, radially, to where the seat is whole, mm; 0 for shape E."""
        if self.into_seat <= 0:
            return 0.0
        return self.run_out_seat - self.into_spigot + self.nose * (1 + tan(radians(self.seat_deg) / 2))


def undercut_of(tool: LatheTool) -> Undercut | None:
    """Return the undercut that a tool can turn; None where its edges leave no room for a run-out, or it has no nose.

    Notes
    -----
    Shape E needs the whole nose radius below the spigot, or its fillet would reach past the corner. Shape F moves
    the fillet by the same step into both faces: the corner is cleared by m when its centre, then
    (r - t) sqrt(2) from the corner, is no farther than r - m.
    """
    nose, along_spigot, along_seat = tool.nose_radius, tool.spigot_clearance_deg, tool.seat_clearance_deg
    if nose <= 0 or along_seat < 0:  # below 0 the edge never lets the nose come into the corner
        return None
    if along_spigot >= RUN_OUT_SPIGOT_DEG:
        deep = _up(nose + CLEARED)
        return Undercut(nose=nose, into_spigot=deep, into_seat=0.0, spigot_deg=RUN_OUT_SPIGOT_DEG, seat_deg=0.0)
    if min(along_spigot, along_seat) < LEAST_RUN_OUT_DEG:
        return None
    deep = _up(nose - max(nose - CLEARED, 0.0) / sqrt(2))
    return Undercut(
        nose=nose,
        into_spigot=deep,
        into_seat=deep,
        spigot_deg=along_spigot,
        seat_deg=min(along_seat, RUN_OUT_SEAT_DEG),
    )


def _up(mm: float) -> float:
    return round(ceil(mm / _ROUND - 1e-9) * _ROUND, 6)
