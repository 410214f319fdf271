"""The answer: what the readings mean for this chuck, and the turns that follow."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.dial.chuck import ChuckAsMade
from gcodegen.dial.doubts import Doubt
from gcodegen.dial.fit import Fit, fit
from gcodegen.dial.follow import Followed, Round, followed
from gcodegen.dial.readings import ReadingSet
from gcodegen.dial.remarks import (
    SURE_ERRORS,
    TINY_MM,
    named,
    of_coarse,
    of_doubts,
    of_reading_more,
    of_shape,
    of_step,
    of_tilt,
    of_turns,
)
from gcodegen.dial.spots import fit_spots
from gcodegen.dial.tilt import Tilt, tilt
from gcodegen.dial.turns import Turn, Way, plan_turns, shift_wanted
from gcodegen.errors import ReadingError
from gcodegen.handbook import thread
from gcodegen.job import Job
from gcodegen.job.rules.wishes import LARGEST_RUN_OUT
from gcodegen.units import LARGEST_LENGTH_MM

WANTED_MM = 0.01
"""Full indicator movement that counts as true (common practice, no source)."""

NEAR_FIGURES = 2.0
"""Closer than so many figures wanted, the readings must be good enough to tell the figure (own choice)."""
SURE_SHARE = 1 / 8
"""Good enough is an eccentricity that is sure (95 in 100) to this share of the figure (own choice)."""
GUARD = 1.68
"""What is sure on one side in 95 of 100 (0.84 of what is on both), kept from the figure on both sides of the turn."""
MOST_READ_TURNS = 4
COARSE_SHARE = 1 / 2
"""An indicator read in steps of more than this share of the figure cannot tell it (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the readings mean: mm and degrees from screw 1; ``at`` is the plane nearest to the jaws.

    ``run_out`` is the largest of the planes' full movements as read, ``wanted`` what it is held against.
    ``turns`` is empty when ``done``, and when the centre stands within the figure as far as the readings can
    tell. ``shift`` is how far the turns move the chuck. ``read_turns`` is how many turns of the part it would
    take, read and given together, to tell the figure wanted; 1 when these readings do.
    """

    at: Fit
    tilt: Tilt | None
    run_out: float
    wanted: float
    shift: tuple[float, float]
    turns: tuple[Turn, ...]
    done: bool
    read_turns: int
    assumed_step: bool
    doubts: tuple[Doubt, ...]
    warnings: tuple[str, ...]

    @property
    def round(self) -> Round:
        """What the next round compares with."""
        return Round(x=self.at.x, y=self.at.y, turns=self.turns)

    def as_json(self) -> dict[str, object]:
        """Return the answer as plain values for a JSON document, rounded to nanometres and 0.001 degrees."""
        at, lean = self.at, self.tilt
        return {
            "eccentricity_mm": _mm(at.eccentricity),
            "direction_deg": _degrees(at.direction_deg),
            "standard_error_mm": round(at.standard_error, 9),
            "sure_within_mm": _mm(at.sure_within),
            "direction_error_deg": round(at.direction_error_deg, 3),
            "harmonics": {"2": _mm(at.second), "3": _mm(at.third)},
            "tilt": None if lean is None else _tilt(lean),
            "run_out_mm": _mm(self.run_out),
            "wanted_mm": _mm(self.wanted),
            "resolution_mm": _mm(at.resolution),
            "resolution_assumed": self.assumed_step,
            "read_turns": self.read_turns,
            "turns": [_turn(t) for t in self.turns],
            "done": self.done,
            "read_again": [
                {"reading": d.place, "angle_deg": round(d.angle_deg, 3), "off_mm": _mm(d.by), "why": d.kind.value}
                for d in self.doubts
            ],
            "warnings": list(self.warnings),
        }


def _refuse_no_figures(taken: ReadingSet) -> None:
    """Refuse figures that no indicator shows: a file's are held at its door, a program's own come as they are."""
    for r in taken.readings:
        told = (r.angle_deg, r.value, r.weight, r.plane or 0.0, taken.resolution or 0.0, taken.lever_angle_deg)
        if not all(map(math.isfinite, told)) or abs(r.value) > LARGEST_LENGTH_MM or r.weight <= 0:
            raise ReadingError(
                f"{r.value:g} mm at {r.angle_deg:g} degrees, weight {r.weight:g}, is no reading of an indicator",
                do="Leave out what was not read",
            )


def _refuse_no_run_out(taken: ReadingSet, job: Job) -> None:
    """Refuse readings that no chuck in working order gives: turns reckoned from another unit would do harm."""
    for plane in {reading.plane for reading in taken.readings}:
        values = [reading.value for reading in taken.readings if reading.plane == plane]
        if max(values) - min(values) > LARGEST_RUN_OUT:
            raise ReadingError(
                f"the readings lie {job.show(max(values) - min(values))} apart, and no chuck in working order runs out "
                f"by more than {job.show(LARGEST_RUN_OUT)}",
                do=f"Write them in {job.unit}: hundredths or thousandths want their decimal point",
            )


def dial_answer(
    job: Job,
    chuck: ChuckAsMade,
    taken: ReadingSet,
    *,
    wanted_mm: float = WANTED_MM,
    before: Round | None = None,
    moved: tuple[float, float] = (0.0, 0.0),
) -> Answer:
    """Return what the readings mean, and how to turn the screws.

    Parameters
    ----------
    job : Job
        The settled job: its screw is chosen.
    chuck : ChuckAsMade
        Float, screws and bolts of the design.
    taken : ReadingSet
        One plane, or several that each can be fitted; the turns set the plane nearest to the jaws true.
    wanted_mm : float
        Full indicator movement that counts as done, mm.
    before : Round, optional
        The round before, to see whether the chuck followed.
    moved : (float, float)
        How far the chuck stood from the middle of its float in the round before, mm; what it has gone since is
        the way of the part's centre.

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
    _refuse_no_figures(taken)
    _refuse_no_run_out(taken, job)
    fits = _fits(taken, job.unit, job.chuck.jaws)
    at = next(iter(fits.values()))
    lean = tilt({plane: one for plane, one in fits.items() if plane is not None})
    run_out = max(one.run_out for one in fits.values())
    # Few readings can miss both spots, so the movement of the fitted circle counts as well.
    done = max(run_out, *(2 * one.eccentricity for one in fits.values())) <= wanted_mm + TINY_MM
    settled = done or _settled(at, wanted_mm)
    stands = moved if before is None else (moved[0] + at.x - before.x, moved[1] + at.y - before.y)
    shift = (0.0, 0.0) if settled else shift_wanted(at.x, at.y, chuck.float_available, stands)
    answered = followed(before, at, chuck.from_screw_1, job.unit) if before is not None else Followed()
    turns = plan_turns(shift, thread(job.adjustment.screw).pitch_mm, chuck.from_screw_1)
    says = [*of_doubts(fits, job.unit), *(() if done else answered.says), *_of_fits(fits, job.unit)]
    says += [] if settled else of_turns(at, chuck, math.hypot(*shift), job.unit)
    says += _of_readings(at, wanted_mm, job.unit)
    says += [] if done else [*of_shape(fits, wanted_mm, job.unit), *of_tilt(fits, lean, wanted_mm, job.unit)]
    says += [of_step(at.resolution, job.unit)] if taken.resolution is None else []
    return Answer(
        at=at,
        tilt=lean,
        run_out=run_out,
        wanted=wanted_mm,
        shift=shift,
        turns=_without_easing(turns, answered.stuck),
        done=done,
        read_turns=_turns_to_read(at, wanted_mm),
        assumed_step=taken.resolution is None,
        doubts=tuple(d for one in fits.values() for d in one.doubts),
        warnings=tuple(says),
    )


def _of_fits(fits: dict[float | None, Fit], unit: str) -> list[str]:
    """Say what each plane's readings cannot tell."""
    return [named(plane, unit) + says for plane, one in fits.items() for says in one.warnings]


def _of_readings(at: Fit, wanted: float, unit: str) -> list[str]:
    """Say where the readings or the indicator are too poor for the figure wanted."""
    if at.resolution > COARSE_SHARE * wanted:
        return [of_coarse(at, unit)]
    again = _turns_to_read(at, wanted)
    return [of_reading_more(again, unit, at)] if again > 1 else []


def _fits(taken: ReadingSet, unit: str, jaws: int) -> dict[float | None, Fit]:
    """Return the fit of each plane, the nearest to the jaws first."""
    square, step = taken.square, taken.step(unit)
    suspects = sorted({2, 3, jaws})
    fits: dict[float | None, Fit] = {}
    refused: list[str] = []
    for plane in sorted({r.plane for r in square}, key=lambda p: -1.0 if p is None else p):
        readings = [r for r in square if r.plane == plane]
        try:
            if any(r.spot for r in readings):
                fits[plane] = fit_spots(readings, resolution=step)
            else:
                fits[plane] = fit(readings, resolution=step, suspects=suspects)
        except ReadingError as error:
            refused.append(f"{named(plane, unit)}{error}")
    if refused or not fits:
        raise ReadingError("; ".join(refused) or "there are no readings")
    return fits


def _turns_to_read(at: Fit, wanted: float) -> int:
    """Return how many turns of the part to read together: near the figure, until the error is a share of it."""
    if at.eccentricity > NEAR_FIGURES * wanted or at.resolution > COARSE_SHARE * wanted or not at.waves:
        return 1  # far off; or more turns of the same would not tell more
    enough = (n for n in range(1, MOST_READ_TURNS) if at.sure_with(n) <= SURE_SHARE * wanted)
    return next(enough, MOST_READ_TURNS)


def _settled(at: Fit, wanted: float) -> bool:
    """Return whether the screws have no more to give: the circle is within the figure, and what is left is not.

    Even then they are worth turning where the eccentricity is sure and without it the figure would be met.
    """
    e = at.eccentricity
    if 2 * e + GUARD * at.sure_within > wanted:
        return False
    return e <= SURE_ERRORS * at.standard_error or at.rest > wanted


def _without_easing(turns: tuple[Turn, ...], stuck: tuple[int, ...]) -> tuple[Turn, ...]:
    """Leave out the easing opposite a screw that pushed nothing: its fellow is eased already."""
    opposite = {(s + 1) % 4 + 1 for s in stuck}
    return tuple(t for t in turns if not (t.screw in opposite and t.way is Way.EASE))


def _turn(turn: Turn) -> dict[str, object]:
    part = turn.part_of_turn
    return {
        "order": turn.order,
        "screw": turn.screw,
        "way": turn.way.value,
        "degrees": round(turn.degrees, 3),
        "travel_mm": _mm(turn.travel),
        "part_of_turn": str(part) if part else None,
        "bites": turn.bites,
    }


def _tilt(lean: Tilt) -> dict[str, float]:
    return {
        "um_per_100mm": round(lean.um_per_100mm, 3),
        "direction_deg": _degrees(lean.direction_deg),
        "standard_error_um_per_100mm": round(lean.standard_error_um, 3),
    }


def _mm(value: float | None) -> float | None:
    return None if value is None else round(value, 6) + 0.0


def _degrees(value: float) -> float:
    return round(value, 3) % 360.0
