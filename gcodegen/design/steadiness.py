"""What four screws cannot mend: drift along a bar, and the jaws' error from one clamped diameter to another."""

from __future__ import annotations

from cmath import rect
from dataclasses import dataclass
from itertools import combinations
from math import radians

from gcodegen.design.decide import stated
from gcodegen.design.rules import CANNOT_MEND
from gcodegen.handbook import SHAFT_FITS, fit_row
from gcodegen.job import Job, Reading
from gcodegen.verdict import COMMON_PRACTICE, Decision, Source, Verdict

_TWICE = Source("closed form: an eccentric circle reads twice its eccentricity", "eccentricities subtract as arrows")


@dataclass(frozen=True, slots=True)
class Change:
    """Change of run-out, full movement, mm, between two readings: at least and at most; equal where it is known."""

    least: float
    most: float

    @property
    def known(self) -> bool:
        """Whether both high spots were told, so that the change is one figure."""
        return self.least == self.most


@dataclass(frozen=True, slots=True)
class Drift:
    """How far the axis of a clamped bar goes off along its length: change over ``span``, mm."""

    diameter: float
    span: float
    change: Change

    @property
    def um_per_100mm(self) -> float:
        """Drift of the bar's axis, at least, micrometres over 100 mm: half the change of run-out."""
        return self.change.least / 2 * 1000 * 100 / self.span


def change_between(one: Reading, other: Reading) -> Change:
    """Return the change of run-out from one reading to another, as arrows where both high spots are known."""
    if one.high_spot_deg is None or other.high_spot_deg is None:
        return Change(abs(one.run_out - other.run_out), one.run_out + other.run_out)
    exact = abs(rect(one.run_out, radians(one.high_spot_deg)) - rect(other.run_out, radians(other.high_spot_deg)))
    return Change(exact, exact)


def drifts(job: Job) -> list[Drift]:
    """Return the changes along a bar among readings of one clamped diameter, the largest first."""
    found = [
        Drift(a.clamped_diameter, abs(a.from_jaws - b.from_jaws), change_between(a, b))
        for a, b in combinations(job.adjustment.reading, 2)
        if a.from_jaws is not None
        and b.from_jaws is not None
        and abs(a.clamped_diameter - b.clamped_diameter) < 1e-6
        and abs(a.from_jaws - b.from_jaws) > 1e-6
    ]
    return sorted(found, key=lambda d: -d.change.least)


def nearest_the_jaws(job: Job) -> tuple[Reading, ...]:
    """Return one reading for each clamped diameter, that nearest the jaws, smallest diameter first."""
    best: dict[float, Reading] = {}
    for reading in job.adjustment.reading:
        key = round(reading.clamped_diameter, 6)
        if key not in best or (reading.from_jaws or 0.0) < (best[key].from_jaws or 0.0):
            best[key] = reading
    return tuple(best[key] for key in sorted(best))


def steadiness_decisions(job: Job) -> tuple[Decision, ...]:
    """Return the decisions that say what the screws cannot mend."""
    return _register_decision(job), _drift_decision(job), _diameter_decision(job)


def _drift_decision(job: Job) -> Decision:
    found = drifts(job)
    if not found:
        return stated(
            "drift",
            "drift of the work's axis along its length",
            "not known",
            "",
            "the screws move the chuck sideways and cannot take out a tilt. Read the run-out of one bar near the jaws "
            "and again further out, and give both with from_jaws",
            source=COMMON_PRACTICE,
        )
    drift = found[0]
    change, over = drift.change, drift.change.least >= CANNOT_MEND - 1e-9
    told = job.show(change.least, 3) if change.known else f"at least {job.show(change.least, 3)}"
    most = "" if change.known else f" (at most {job.show(change.most, 3)}; give high_spot_deg to know it)"
    return stated(
        "drift",
        "drift of the work's axis along its length",
        round(drift.um_per_100mm, 3),
        "um/100 mm",
        f"on {job.show(drift.diameter)} the run-out changes by {told}{most} over {job.show(drift.span)}. The screws "
        f"move the chuck sideways and leave all of it; from {job.show(CANNOT_MEND, 3)} it is more than they help with",
        verdict=Verdict.CAUTION if over else Verdict.GOOD,
        do="grind the jaws true at the diameter that matters, clean the seat and look for a burr or chip under it, and "
        "face the plate in place if the seat runs out"
        if over
        else "",
        source=_TWICE,
    )


def _diameter_decision(job: Job) -> Decision:
    readings = nearest_the_jaws(job)
    if len(readings) < 2:
        only = f"at {job.show(readings[0].clamped_diameter)}" if readings else "at the diameter it is dialled in at"
        return stated(
            "other-diameters",
            "run-out left at other clamped diameters",
            "not known",
            "",
            f"one setting is true {only} and for no other: scroll and jaws err anew at each. Read more diameters to "
            "know what is left, and dial in again where it matters",
            source=COMMON_PRACTICE,
        )
    left = {at: {o: change_between(at, o) for o in readings if o is not at} for at in readings}
    best = min(readings, key=lambda at: max(c.least for c in left[at].values()))
    worst = max(c.least for c in left[best].values())
    over = worst >= CANNOT_MEND - 1e-9
    return stated(
        "other-diameters",
        f"run-out left at other clamped diameters, set true at {job.show(best.clamped_diameter)}: at least",
        round(worst, 6),
        "mm",
        "; ".join(_left_when_set(job, at, left[at]) for at in readings)
        + ". One setting serves one clamped diameter: scroll and jaws err anew at each",
        verdict=Verdict.CAUTION if over else Verdict.GOOD,
        do="dial in again at each diameter that matters, or grind the jaws; soft jaws bored in place serve one diameter"
        if over
        else "",
        source=_TWICE,
    )


def _left_when_set(job: Job, at: Reading, left: dict[Reading, Change]) -> str:
    parts = [f"{_told(job, c)} at {job.show(other.clamped_diameter)}" for other, c in left.items()]
    return f"set true at {job.show(at.clamped_diameter)} it leaves {', '.join(parts)}"


def _told(job: Job, change: Change) -> str:
    least = job.show(change.least, 3)
    return least if change.known else f"{least} to {job.show(change.most, 3)}"


def _register_decision(job: Job) -> Decision:
    """Say how the old register fits: a loose one may have left some of the run-out as found by itself."""
    recess, spigot = job.chuck.recess_diameter, job.backplate.spigot_diameter
    loose = recess - spigot
    row = fit_row(recess)
    if row is None:
        return stated(
            "register-fit", "clearance of the old register, on diameter", loose, "mm", "no table for this diameter"
        )
    close = next((f for f in SHAFT_FITS if loose <= row.clearance_mm(f)[1] + 1e-9), None)
    says = (
        f"no more than H7/{close} can have"
        if close
        else f"more than H7/f7 can have, {job.show(row.clearance_mm('f7')[1], 3)}: it never placed the chuck, which "
        "may have been knocked about on its bolts; the run-out as found goes with the place it had that day"
    )
    return stated("register-fit", "clearance of the old register, on diameter", loose, "mm", says, source=row.source)
