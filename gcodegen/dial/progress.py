"""What a record shows: the run-out round by round, and before and after at each clamped diameter."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gcodegen.dial.record import SAME_DIAMETER_MM, Entry
from gcodegen.dial.remarks import fine
from gcodegen.job import Job
from gcodegen.units import show_length

_WIDTH = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One set of readings as a point of a chart: its number from 1, and lengths in mm."""

    number: int
    run_out: float
    eccentricity: float
    standard_error: float
    wanted: float
    clamped_diameter: float | None
    done: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """Run-out before and after at one clamped diameter, mm; None where it was not read.

    ``current`` is false when the screws were turned after the last set: another setting holds now.
    """

    clamped_diameter: float | None
    before: float | None
    after: float | None
    wanted: float
    met: bool
    current: bool


def points(entries: Sequence[Entry]) -> tuple[Point, ...]:
    """Return the record as points of a chart, the oldest first."""
    return tuple(
        Point(
            number=number,
            run_out=e.run_out,
            eccentricity=e.eccentricity,
            standard_error=e.standard_error,
            wanted=e.wanted,
            clamped_diameter=e.clamped_diameter,
            done=e.done,
        )
        for number, e in enumerate(entries, 1)
    )


def acceptance(job: Job, entries: Sequence[Entry], wanted: float) -> tuple[Acceptance, ...]:
    """Return run-out before and after at each clamped diameter, the smallest first.

    Before is the run-out as found in the job file, else the first set of the record; after is the last set, when
    it came later than the first or the job file told the run-out as found.
    """
    found = {r.clamped_diameter: r.run_out for r in job.adjustment.reading}
    diameters: list[float | None] = []
    for d in [*found, *(e.clamped_diameter for e in entries)]:
        if not any(_same(d, known) for known in diameters):
            diameters.append(d)
    ordered = sorted(diameters, key=lambda d: math.inf if d is None else d)
    return tuple(_row(d, found, entries, wanted) for d in ordered)


def _row(d: float | None, found: Mapping[float, float], entries: Sequence[Entry], wanted: float) -> Acceptance:
    mine = [i for i, e in enumerate(entries) if _same(e.clamped_diameter, d)]
    told = next((run_out for known, run_out in found.items() if _same(known, d)), None)
    before = told if told is not None else (entries[mine[0]].run_out if mine else None)
    last = entries[mine[-1]] if mine else None
    # A set that told turns, and was followed by another set, was followed by the turns.
    turned_since = bool(mine) and any(e.turns for e in entries[mine[-1] : -1])
    return Acceptance(
        clamped_diameter=d,
        before=before,
        after=last.run_out if last and (len(mine) > 1 or told is not None) else None,
        wanted=last.wanted if last else wanted,
        met=last is not None and last.done,
        current=last is not None and not turned_since,
    )


def _same(a: float | None, b: float | None) -> bool:
    return a is b if a is None or b is None else abs(a - b) < SAME_DIAMETER_MM


def chart(shown: Sequence[Point], unit: str) -> list[str]:
    """Return the run-outs as bars on a logarithmic scale, the figure wanted as an upright stroke."""
    if not shown:
        return ["nothing is recorded yet"]
    least = min(min(p.wanted, max(p.run_out, 1e-6)) for p in shown) / 2
    most = max(max(p.run_out, p.wanted) for p in shown)

    def column(mm: float) -> int:
        return round(_WIDTH * math.log(max(mm, least) / least) / math.log(most / least))

    lines = ["set   run-out as read (each step to the right is a like factor; | is the figure wanted)"]
    for p in shown:
        bar = list("=" * column(p.run_out) + " " * (_WIDTH + 1 - column(p.run_out)))
        bar[column(p.wanted)] = "|"
        at = "" if p.clamped_diameter is None else f"  at {show_length(p.clamped_diameter, unit)}"
        said = "within" if p.done else ""
        lines.append(f"{p.number:>3} {fine(p.run_out, unit):>12}  {''.join(bar)} {said}{at}".rstrip())
    return lines


def table(rows: Sequence[Acceptance], unit: str) -> list[str]:
    """Return the run-outs before and after as a table for people."""
    lines = ["clamped diameter   before       after        wanted       stands"]
    for r in rows:
        d = "not told" if r.clamped_diameter is None else show_length(r.clamped_diameter, unit)
        before, after = ("not read" if v is None else fine(v, unit) for v in (r.before, r.after))
        stands = "within" if r.met else ("read it" if r.after is None else "not within")
        if r.met and not r.current:
            stands = "within at an earlier setting: the screws were turned since"
        lines.append(f"{d:<18} {before:<12} {after:<12} {fine(r.wanted, unit):<12} {stands}")
    if sum(r.after is not None for r in rows) < 2:
        lines.append("One setting holds for one clamped diameter: read at each that you work at.")
    return lines
