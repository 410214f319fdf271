"""Balance: the unbalance of the shifted chuck, and the speed up to which it keeps the grade."""

from __future__ import annotations

from math import isinf

from gcodegen.cautions import Caution, OffBalance, cautions
from gcodegen.design.decide import stated
from gcodegen.design.floating import float_needed
from gcodegen.design.mass import chuck_mass
from gcodegen.handbook import (
    BALANCE_SOURCE,
    allowed_offset_mm,
    centrifugal_n,
    grade_mm_s,
    speed_at_grade_rpm,
    unbalance_gmm,
)
from gcodegen.job import Job
from gcodegen.verdict import Decision, Verdict


def shift_reckoned(job: Job) -> float:
    """Return the shift that balance is reckoned with, mm: half the worst run-out as found.

    Where the chuck stood before, it is taken to have been in balance. A job without readings is taken at the whole
    travel wanted.
    """
    return job.adjustment.worst_run_out / 2 if job.adjustment.reading else float_needed(job)


def off_balance(job: Job) -> OffBalance | None:
    """Return up to which speed the shifted chuck keeps its grade, in whole rev/min; None where nothing is shifted."""
    shift, grade = shift_reckoned(job), job.adjustment.balance_grade
    speed = speed_at_grade_rpm(grade_mm_s(grade), shift)
    # Cut off, never rounded up: it is a limit.
    told = job.show(shift, 4 if job.unit == "in" else 3)
    return None if isinf(speed) else OffBalance(rpm=int(speed), grade=grade, shift=told)


def cautions_of(job: Job) -> tuple[Caution, ...]:
    """Return the cautions of a job's chuck, the gravest first; the lower of marked speed and balance is told first."""
    return cautions(job.chuck.speed_limit_rpm, off_balance(job))


def balance_decision(job: Job) -> Decision:
    """Return the decision about the speed at which the shifted chuck leaves the grade wished for."""
    shift = shift_reckoned(job)
    name, mass = job.adjustment.balance_grade, chuck_mass(job)
    speed = speed_at_grade_rpm(grade_mm_s(name), shift)
    if isinf(speed):
        return stated(
            "balance",
            f"speed up to which the shifted chuck keeps {name}",
            "any",
            "rev/min",
            "no run-out was found, so nothing is shifted",
            source=BALANCE_SOURCE,
        )
    marked = job.chuck.speed_limit_rpm
    above = marked is not None and marked > speed
    unbalance = unbalance_gmm(mass.kg, shift)
    return stated(
        "balance",
        f"speed up to which the shifted chuck keeps {name}",
        round(speed, 1),
        "rev/min",
        f"{mass.told}, shifted by {job.show(shift, 3)}, carries {unbalance:.0f} g mm, if it was in balance where it "
        f"stood{_at_marked(job, shift)}{_at_the_whole_float(job, shift)}",
        verdict=Verdict.CAUTION if above else Verdict.GOOD,
        do=f"run at most at {int(speed)} rev/min, or take {unbalance / job.chuck.radius:.1f} g off the rim on the side "
        "to which the chuck was pushed, and ask someone who balances rotors"
        if above
        else "",
        source=BALANCE_SOURCE,
    )


def _at_marked(job: Job, shift: float) -> str:
    marked = job.chuck.speed_limit_rpm
    if marked is None:
        return "; the speed marked on the body is not known"
    allowed = allowed_offset_mm(grade_mm_s(job.adjustment.balance_grade), marked)
    pull = centrifugal_n(chuck_mass(job).kg, shift, marked)
    return (
        f"; at the marked {marked:g} rev/min it pulls with {pull:.0f} N, and the grade allows a shift of "
        f"{job.show(allowed, 4)}"
    )


def _at_the_whole_float(job: Job, shift: float) -> str:
    whole = float_needed(job)
    if whole <= shift:
        return ""
    speed = speed_at_grade_rpm(grade_mm_s(job.adjustment.balance_grade), whole)
    return f"; pushed by all that is wanted, {job.show(whole, 3)}, up to {int(speed)} rev/min"
