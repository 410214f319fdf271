"""The largest standard set screw that passes every geometric check, and why each larger one does not."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.design.decide import stated
from gcodegen.design.geometry import Geometry, with_curve, work_out
from gcodegen.design.placing import candidate_setbacks, window
from gcodegen.handbook import SET_SCREWS, SetScrew, set_screw, thread
from gcodegen.job import Job
from gcodegen.verdict import COMMON_PRACTICE, Decision, Verdict


@dataclass(frozen=True, slots=True)
class Rejected:
    """A screw that was tried and does not do, with what speaks against it."""

    thread: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """The geometry taken, and the screws that were tried before it."""

    geometry: Geometry
    rejected: tuple[Rejected, ...]


def search(job: Job) -> Found:
    """Return the first screw, largest first, that passes; when none does, the one that misses by least.

    A screw given in the job is the only one tried.
    """
    rejected: list[Rejected] = []
    best: Geometry | None = None
    for row in _screws(job):
        geometry = _best_place(job, row)
        if not geometry.stops:
            return Found(with_curve(job, geometry), tuple(rejected))
        rejected.append(Rejected(row.thread, tuple(_against(job, d) for d in geometry.stops)))
        if best is None or _shortfall(geometry) < _shortfall(best):
            best = geometry
    if best is None:  # the handbook's table is never empty
        raise AssertionError("no set screw rows")
    return Found(with_curve(job, best), tuple(rejected))


def _screws(job: Job) -> tuple[SetScrew, ...]:
    """Return the screws to try, largest first: coarse threads of the job's own system of units."""
    if job.adjustment.screw is not None:
        return (set_screw(job.adjustment.screw),)
    system = "metric" if job.unit == "mm" else "unified"
    rows = [r for r in SET_SCREWS if thread(r.thread).system == system and thread(r.thread).coarse]
    return tuple(sorted(rows, key=lambda r: -thread(r.thread).major_mm))


def _best_place(job: Job, row: SetScrew) -> Geometry:
    """Return the geometry at the first setback that passes, else at the one that misses by least."""
    tries = [work_out(job, row, s) for s in candidate_setbacks(job, window(job, row))[:1]]
    if tries[0].stops:
        tries += [work_out(job, row, s) for s in candidate_setbacks(job, window(job, row))[1:]]
    passing = [g for g in tries if not g.stops]
    return passing[0] if passing else min(tries, key=_shortfall)


def _shortfall(geometry: Geometry) -> float:
    return sum(-(d.margin or 0.0) for d in geometry.stops)


def _against(job: Job, d: Decision) -> str:
    value, limit = (
        job.show(float(x)) if d.unit == "mm" else f"{float(x):.2f}" for x in (d.value or 0.0, d.limit or 0.0)
    )
    return f"{d.what} {value} against {limit}"


def screw_decision(job: Job, found: Found) -> Decision:
    """Return the decision about the screw's size, with every larger one that was tried and what rejected it."""
    screw = found.geometry.screw
    name = f"{screw.name}, flat point"
    larger = "; ".join(f"{r.thread}: {r.reasons[0]}" for r in found.rejected)
    if job.adjustment.screw is not None:
        return stated("screw", "set screw", name, "", "as given; checked", source=screw.row.source)
    if found.geometry.stops:
        why = f"each standard screw fails. {larger}"
        return stated(
            "screw",
            "set screw: none passes; nearest, still refused",
            name,
            "",
            why,
            verdict=Verdict.STOP,
            do="a chuck with a deeper recess or a thicker rim, a thinner cover, or a smaller wish for travel",
            source=COMMON_PRACTICE,
        )
    why = "the largest standard one that passes every check"
    if larger:
        why += f". Larger ones: {larger}"
    return stated("screw", "set screw", name, "", why, source=COMMON_PRACTICE)
