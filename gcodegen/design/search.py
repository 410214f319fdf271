"""Screw, setback, angles, seat and spigot at once: the first screw in order that passes every geometric check.

The setbacks at which a screw keeps its iron, its flat and its bolts form one window, worked out exactly. Inside
it only the walls are left. A wall cannot grow by more than the screw is moved: where it is short by d, no place
nearer than d passes. So the search goes from the middle of the window to both ends in steps of what is missing,
at least ``FINEST`` each; evenly spaced it overlooks no place whose wall is more than half of that over the wish,
unevenly spaced none that is more than 0.02 mm over it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from gcodegen.design.decide import stated
from gcodegen.design.geometry import Geometry, with_curve, work_out
from gcodegen.design.layout import even_layout, most_at_any_angle, uneven_layout
from gcodegen.design.obstacles import Obstacles, obstacles
from gcodegen.design.placing import preferred_setback, rounded_setback, window
from gcodegen.design.preference import TOLD, is_of_own_system, screws_in_order
from gcodegen.design.result import Layout, Rejected
from gcodegen.handbook import SetScrew, set_screw
from gcodegen.job import Job
from gcodegen.verdict import COMMON_PRACTICE, Decision, Verdict

FINEST = 0.01
"""Least step of the search along the window, mm."""
LEAST_WALL = "least-wall"
_Lay: TypeAlias = Callable[[Job, SetScrew, float, Obstacles], Layout]


@dataclass(frozen=True, slots=True)
class Found:
    """The geometry taken, and the screws that were tried before it."""

    geometry: Geometry
    rejected: tuple[Rejected, ...]


def search(job: Job) -> Found:
    """Return the first screw in order that passes; when none does, the one of its own system that misses by least.

    A screw given in the job is the only one tried.
    """
    around = obstacles(job)
    given = job.adjustment.screw
    rejected: list[Rejected] = []
    best: Geometry | None = None
    for row in (set_screw(given),) if given is not None else screws_in_order(job):
        geometry = best_place(job, row, around)
        if not geometry.stops:
            return Found(with_curve(job, geometry), tuple(rejected))
        rejected.append(_rejected(job, row, geometry))
        if best is None or (is_of_own_system(job, row) and _shortfall(geometry) < _shortfall(best)):
            best = geometry
    if best is None:  # the handbook's table is never empty
        raise AssertionError("no set screw rows")
    return Found(with_curve(job, best), tuple(rejected))


def best_place(job: Job, row: SetScrew, around: Obstacles) -> Geometry:
    """Return the geometry of one screw at the passing setback nearest to the preferred one, evenly spaced first.

    When none passes, the geometry with the most wall that was met.
    """
    start = preferred_setback(job, window(job, row))
    first = work_out(job, row, even_layout(job, row, start, around))
    if {d.id for d in first.stops} != {LEAST_WALL}:
        return first
    lays: list[_Lay] = [even_layout]
    if job.adjustment.spacing_tolerance_deg > 0 and job.adjustment.screw_angles is None:
        lays.append(uneven_layout)
    best = first.layout
    for lay in lays:
        found = _Window(job, row, around, lay).nearest_that_passes()
        if found.least_wall >= job.adjustment.least_wall:
            return work_out(job, row, found)
        best = max(best, found, key=lambda layout: layout.least_wall)
    return work_out(job, row, best)


class _Window:
    """One screw's window, along which layouts of one kind of spacing are looked for."""

    def __init__(self, job: Job, row: SetScrew, around: Obstacles, lay: _Lay) -> None:
        self._job, self._row, self._around, self._lay = job, row, around, lay
        self._room = window(job, row)
        self._wish = job.adjustment.least_wall
        self._start = preferred_setback(job, self._room)
        self._most, self._best_at = float("-inf"), self._start

    def nearest_that_passes(self) -> Layout:
        """Return the layout that has the wall wished for nearest to the preferred setback, else one with the most."""
        ends = (self._room.low.at, self._room.high.at) if self._job.adjustment.setback is None else (self._start,)
        passing = [found for end in ends if (found := self._towards(end)) is not None]
        if passing:
            return min(passing, key=lambda layout: abs(layout.setback - self._start))
        return self._at(self._best_at)

    def _towards(self, end: float) -> Layout | None:
        at = self._start
        while True:
            wall, layout = self._look(at)
            if layout is not None and wall >= self._wish:
                return self._on_round_figure(layout)
            if at == end:
                return None
            step = max(self._wish - wall, FINEST)
            at = max(end, at - step) if end < at else min(end, at + step)

    def _look(self, at: float) -> tuple[float, Layout | None]:
        """Return the most wall at a setback, with its layout unless a cavity all round leaves too little by itself."""
        wall, layout = most_at_any_angle(self._job, self._row, at, self._around), None
        if wall >= self._wish:
            layout = self._at(at)
            wall = layout.least_wall
        if wall > self._most:
            self._most, self._best_at = wall, at
        return wall, layout

    def _on_round_figure(self, layout: Layout) -> Layout:
        """Return the layout moved to the round figure next to it, where that still has the wall wished for."""
        rounded = self._at(rounded_setback(self._job, self._room, layout.setback))
        return rounded if rounded.least_wall >= self._wish else layout

    def _at(self, setback: float) -> Layout:
        return self._lay(self._job, self._row, setback, self._around)


def _shortfall(geometry: Geometry) -> float:
    return sum(-(d.margin or 0.0) for d in geometry.stops)


def _rejected(job: Job, row: SetScrew, geometry: Geometry) -> Rejected:
    # Where the place itself fails, walls at that place say little.
    placed = [d for d in geometry.stops if d.id != LEAST_WALL]
    worst = max(placed or geometry.stops, key=lambda d: -(d.margin or 0.0))
    return Rejected(
        thread=row.thread,
        by=worst.id,
        short=-(worst.margin or 0.0),
        unit=worst.unit,
        reasons=tuple(_against(job, d) for d in geometry.stops),
    )


def _against(job: Job, d: Decision) -> str:
    value, limit, short = (
        job.show(float(x)) if d.unit == "mm" else f"{float(x):.2f}"
        for x in (d.value or 0.0, d.limit or 0.0, -(d.margin or 0.0))
    )
    return f"{d.what} {value} against {limit}, short by {short}"


def screw_decision(job: Job, found: Found) -> Decision:
    """Return the decision about the screw's size, with every one that was tried before it and what rejected it."""
    screw = found.geometry.screw
    name = f"{screw.name}, flat point"
    before = "; ".join(f"{r.thread}: {r.reasons[0]}" for r in found.rejected)
    if job.adjustment.screw is not None:
        return stated("screw", "set screw", name, "", "as given; checked", source=screw.row.source)
    if found.geometry.stops:
        return stated(
            "screw",
            "set screw: none passes; nearest, still refused",
            name,
            "",
            f"each standard screw fails. {before}",
            verdict=Verdict.STOP,
            do="a chuck with a deeper recess or a thicker rim, a thinner cover, or a smaller wish for travel",
            source=COMMON_PRACTICE,
        )
    why = f"the first standard one that passes every check; {TOLD}"
    if before:
        why += f". Before it: {before}"
    return stated("screw", "set screw", name, "", why, source=COMMON_PRACTICE)
