"""Limits of the fits by which chucks are located: hole H7 with shafts h6, g6 and f7 (ISO 286-2)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from gcodegen.verdict import Source

ShaftFit: TypeAlias = Literal["h6", "g6", "f7"]
SHAFT_FITS: tuple[ShaftFit, ...] = get_args(ShaftFit)

_ISO_286 = Source("ISO 286-2", "limit deviations of H7, h6, g6, f7")
_ISO_286_PART = Source("ISO 286-2", "limit deviations of H7, h6, g6; f7 from memory")


@dataclass(frozen=True, slots=True, kw_only=True)
class FitRow:
    """Limit deviations of one range of basic sizes, above ``over_mm`` up to ``to_mm``; micrometres."""

    over_mm: float
    to_mm: float
    hole_h7_um: float
    shafts_um: dict[ShaftFit, tuple[float, float]]
    source: Source

    def clearance_mm(self, shaft: ShaftFit) -> tuple[float, float]:
        """Return the least and the greatest clearance on diameter of H7 with a shaft, mm."""
        upper, lower = self.shafts_um[shaft]
        return -upper / 1000, (self.hole_h7_um - lower) / 1000


def _row(
    over: float,
    to: float,
    h7: float,
    h6: float,
    g6: tuple[float, float],
    f7: tuple[float, float],
    source: Source = _ISO_286,
) -> FitRow:
    shafts: dict[ShaftFit, tuple[float, float]] = {"h6": (0.0, -h6), "g6": g6, "f7": f7}
    return FitRow(over_mm=over, to_mm=to, hole_h7_um=h7, shafts_um=shafts, source=source)


FIT_ROWS = (
    _row(30, 50, 25, 16, (-9, -25), (-25, -50), _ISO_286_PART),
    _row(50, 80, 30, 19, (-10, -29), (-30, -60)),
    _row(80, 120, 35, 22, (-12, -34), (-36, -71)),
    _row(120, 180, 40, 25, (-14, -39), (-43, -83)),
    _row(180, 250, 46, 29, (-15, -44), (-50, -96)),
    _row(250, 315, 52, 32, (-17, -49), (-56, -108)),
    _row(315, 400, 57, 36, (-18, -54), (-62, -119)),
    _row(400, 500, 63, 40, (-20, -60), (-68, -131)),
)


def fit_row(diameter_mm: float) -> FitRow | None:
    """Return the row of a basic size in mm, or None outside of 30 to 500 mm."""
    return next((row for row in FIT_ROWS if row.over_mm < diameter_mm <= row.to_mm), None)
