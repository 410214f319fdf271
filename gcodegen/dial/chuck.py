"""What dialling in must know of the chuck as made: its float, its screws, its bolts."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.design import Design
from gcodegen.dial.turns import SCREWS_DEG, FourAngles
from gcodegen.handbook import cap_screw


@dataclass(frozen=True, slots=True, kw_only=True)
class ChuckAsMade:
    """What the design says of the chuck: float each way from the middle, mm, and its screws' angles.

    ``angles_deg`` may count from any mark, screw 1 first, the way the chuck frame runs. ``stopped_by`` is what
    ends the float. Torques in N*mm: ``safe_torque`` of a set screw, ``snug`` the most that the bolts may have
    while the screws move the chuck, ``full`` theirs for work; None where it is not known.
    """

    float_available: float
    angles_deg: FourAngles = SCREWS_DEG
    stopped_by: str = ""
    safe_torque: float | None = None
    bolt_count: int = 3
    snug: float | None = None
    full: float | None = None

    @property
    def from_screw_1(self) -> FourAngles:
        """Angles of the screws from screw 1, degrees, 0 to 360."""
        first, second, third, fourth = self.angles_deg
        return 0.0, (second - first) % 360, (third - first) % 360, (fourth - first) % 360


def chuck_as_made(design: Design) -> ChuckAsMade:
    """Return what a design says of the chuck, for dialling in."""
    bolts = design.job.backplate.bolts
    row = cap_screw(bolts.thread)
    push = next((d.value for d in design.decisions if d.id == "push"), None)
    return ChuckAsMade(
        float_available=design.float_room.available,
        angles_deg=design.layout.angles,
        stopped_by=design.float_room.governed_by,
        safe_torque=design.torque.safe,
        bolt_count=bolts.count,
        snug=push * 1000.0 if isinstance(push, float) else None,
        full=row.torque_nmm if row else None,
    )
