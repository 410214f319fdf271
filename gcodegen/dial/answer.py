"""The answer: what the readings mean for this chuck, and the turns that follow."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from gcodegen.dial.fit import Fit, fit
from gcodegen.dial.readings import Reading
from gcodegen.dial.tilt import Tilt, tilt
from gcodegen.dial.turns import SCREWS_DEG, FourAngles, Turn, plan_turns, shift_wanted
from gcodegen.errors import ReadingError
from gcodegen.handbook import thread
from gcodegen.job import Job
from gcodegen.units import show_length

WANTED_MM = 0.01
"""Full indicator movement that counts as true (common practice, no source)."""
_TINY_MM = 1e-9  # keeps a figure met exactly from failing by the last bit of a float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChuckAsMade:
    """What the design says of the chuck: float each way from the middle, mm, and its screws' angles.

    ``angles_deg`` may count from any mark, screw 1 first, the way the chuck frame runs.
    """

    float_available: float
    angles_deg: FourAngles = SCREWS_DEG

    @property
    def from_screw_1(self) -> FourAngles:
        """Angles of the screws from screw 1, degrees, 0 to 360."""
        first, second, third, fourth = self.angles_deg
        return 0.0, (second - first) % 360, (third - first) % 360, (fourth - first) % 360


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the readings mean: mm and degrees from screw 1; ``at`` is the plane nearest to the jaws.

    ``run_out`` is the largest of the planes' full movements as read. ``turns`` is empty when ``done``.
    """

    at: Fit
    tilt: Tilt | None
    run_out: float
    turns: tuple[Turn, ...]
    done: bool
    warnings: tuple[str, ...]

    def as_json(self) -> dict[str, object]:
        """Return the answer as plain values for a JSON document, rounded to nanometres and 0.001 degrees."""
        at, lean = self.at, self.tilt
        return {
            "eccentricity_mm": _mm(at.eccentricity),
            "direction_deg": _degrees(at.direction_deg),
            "standard_error_mm": _mm(at.standard_error),
            "harmonics": {"2": _mm(at.second), "3": _mm(at.third)},
            "tilt": None if lean is None else _tilt(lean),
            "run_out_mm": _mm(self.run_out),
            "turns": [
                {"order": t.order, "screw": t.screw, "way": t.way.value, "degrees": round(t.degrees, 3)}
                for t in self.turns
            ],
            "done": self.done,
            "warnings": list(self.warnings),
        }


def dial_answer(job: Job, chuck: ChuckAsMade, readings: Sequence[Reading], *, wanted_mm: float = WANTED_MM) -> Answer:
    """Return what the readings mean, and how to turn the screws.

    Parameters
    ----------
    job : Job
        The settled job: its screw is chosen.
    chuck : ChuckAsMade
        Float and angles of the design.
    readings : sequence of Reading
        One plane, or several that each can be fitted; the turns set the plane nearest to the jaws true.
    wanted_mm : float
        Full indicator movement that counts as done, mm.

    Raises
    ------
    ReadingError
        When a plane cannot be fitted, or ``wanted_mm`` is not more than zero.
    ValueError
        When the job's screw is not chosen.
    """
    if not (math.isfinite(wanted_mm) and wanted_mm > 0):
        raise ReadingError(f"the run-out wanted is {wanted_mm:g} mm; allowed: more than 0")
    if job.adjustment.screw is None:
        raise ValueError("the job's screw is not chosen yet: settle the job first")
    fits = _fits(readings, job.unit)
    nearest = next(iter(fits.values()))
    lean = tilt({plane: one for plane, one in fits.items() if plane is not None})
    run_out = max(one.run_out for one in fits.values())
    # Few readings can miss both spots, so the movement of the fitted circle counts as well.
    worst = max(run_out, *(2 * one.eccentricity for one in fits.values()))
    done = worst <= wanted_mm + _TINY_MM
    shift = shift_wanted(nearest.x, nearest.y, chuck.float_available)
    turns = plan_turns(shift, thread(job.adjustment.screw).pitch_mm, chuck.from_screw_1)
    return Answer(
        at=nearest,
        tilt=lean,
        run_out=run_out,
        turns=() if done else turns,
        done=done,
        warnings=(
            *(_named(plane, job.unit) + says for plane, one in fits.items() for says in one.warnings),
            *(() if done else _of_turns(nearest, chuck.float_available, job.unit)),
            *(() if done else _beyond_the_screws(fits, wanted_mm, job.unit)),
        ),
    )


def _fits(readings: Sequence[Reading], unit: str) -> dict[float | None, Fit]:
    """Return the fit of each plane, the nearest to the jaws first."""
    fits: dict[float | None, Fit] = {}
    refused: list[str] = []
    for plane in sorted({r.plane for r in readings}, key=lambda p: -1.0 if p is None else p):
        try:
            fits[plane] = fit([r for r in readings if r.plane == plane])
        except ReadingError as error:
            refused.append(f"{_named(plane, unit)}{error}")
    if refused or not fits:
        raise ReadingError("; ".join(refused) or "there are no readings")
    return fits


def _named(plane: float | None, unit: str) -> str:
    return "" if plane is None else f"plane at {show_length(plane, unit)}: "


def _of_turns(nearest: Fit, room: float, unit: str) -> list[str]:
    """Say where the turns are less than they seem: no surer than chance, or cut to the float."""
    says: list[str] = []
    off, error = nearest.eccentricity, nearest.standard_error
    if error is not None and off < 2 * error:
        says.append(
            f"the eccentricity {_shown(off, unit)} is less than twice its standard error"
            f" {_shown(error, unit)}; read again before a screw is turned"
        )
    if off > room:
        says.append(
            f"the chuck would have to move {_shown(off, unit)}, and its float is"
            f" {_shown(max(room, 0.0), unit)} each way from the middle; the turns go no further than that"
        )
    return says


def _beyond_the_screws(fits: dict[float | None, Fit], wanted: float, unit: str) -> list[str]:
    """Say what is left when the plane nearest to the jaws runs true, where that is more than wanted."""
    says = [
        f"{_named(plane, unit)}{_shown(one.rest, unit)} of the run-out is the shape of the part or the jaws;"
        " the screws cannot remove it"
        for plane, one in fits.items()
        if one.rest > wanted + _TINY_MM
    ]
    nearest = next(iter(fits.values()))
    for plane, one in fits.items():
        left = 2 * math.hypot(one.x - nearest.x, one.y - nearest.y)
        if left > wanted + _TINY_MM:
            says.append(
                f"{_named(plane, unit)}tilt leaves {_shown(left, unit)} of run-out there when the plane"
                " nearest to the jaws runs true; the screws cannot remove it: see to the jaws"
            )
    return says


def _shown(mm: float, unit: str) -> str:
    return show_length(mm, unit, places=5 if unit == "in" else 4)


def _tilt(lean: Tilt) -> dict[str, float]:
    return {"um_per_100mm": round(lean.um_per_100mm, 3), "direction_deg": _degrees(lean.direction_deg)}


def _mm(value: float | None) -> float | None:
    return None if value is None else round(value, 6) + 0.0


def _degrees(value: float) -> float:
    return round(value, 3) % 360.0
