"""Screw, setback, angles, seat and spigot at once: the first screw in order that passes every geometric check.

The setbacks at which a screw keeps its iron, its flat and its bolts form one window, worked out exactly. Inside
it only the walls are left. Between two setbacks no wall is larger than the larger of the two at its ends, for the
distance of two convex bodies is a convex function of how far one is moved. So a whole stretch of the window is
dismissed where even those larger walls leave too little at every angle; what is not is halved, from the middle of the
window to both ends, down to ``FINEST``. No place is overlooked whose wall is more than half of that over the wish.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

from gcodegen.design.arcs import Band, between, forbidden
from gcodegen.design.decide import stated
from gcodegen.design.geometry import Geometry, with_curve, work_out
from gcodegen.design.layout import even_layout, may_pass, screw_hole, uneven_layout
from gcodegen.design.obstacles import Obstacles, obstacles
from gcodegen.design.placing import preferred_setback, rounded_setback, window
from gcodegen.design.preference import TOLD, is_of_own_system, screws_in_order
from gcodegen.design.result import Layout, Rejected
from gcodegen.design.walls import wall_to_cavity
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
    missed: list[Geometry] = []  # the first of all, and those of the shop's own system
    for row in (set_screw(given),) if given is not None else screws_in_order(job):
        geometry = best_place(job, row, around)
        if not geometry.stops:
            return Found(with_curve(job, geometry), tuple(rejected))
        rejected.append(_rejected(job, row, geometry))
        if not missed or is_of_own_system(job, row):
            missed.append(geometry)
    return Found(with_curve(job, min(missed, key=_shortfall)), tuple(rejected))


def best_place(job: Job, row: SetScrew, around: Obstacles) -> Geometry:
    """Return the geometry of one screw at the passing setback nearest to the preferred one, evenly spaced first.

    When none passes, the geometry with the most wall that was met.
    """
    start = preferred_setback(job, window(job, row))
    first = work_out(job, row, even_layout(job, row, start, around))
    if {d.id for d in first.stops} != {LEAST_WALL}:
        return first
    along = _Window(job, row, around)
    if (found := along.nearest_that_passes(even_layout)) is not None:
        return work_out(job, row, found)
    most = along.most()
    if job.adjustment.spacing_tolerance_deg > 0 and job.adjustment.screw_angles is None:
        if (found := along.nearest_that_passes(uneven_layout)) is not None:
            return work_out(job, row, found)
        uneven = uneven_layout(job, row, most.setback, around)
        most = max(most, uneven, key=lambda layout: layout.least_wall)
    return work_out(job, row, most)


class _Window:
    """One screw's window, along which layouts are looked for."""

    def __init__(self, job: Job, row: SetScrew, around: Obstacles) -> None:
        self._job, self._row, self._around = job, row, around
        self._room = window(job, row)
        self._start = preferred_setback(job, self._room)
        given = job.adjustment.setback is not None
        self._ends = (self._start,) if given else (self._room.low.at, self._room.high.at)
        self._known: dict[float, _There] = {}

    def nearest_that_passes(self, lay: _Lay) -> Layout | None:
        """Return the layout that has the wall wished for nearest to the preferred setback; None: there is none."""
        if (there := self._passing(lay, self._start)) is not None:
            return there
        found = [layout for end in self._ends if (layout := self._between(lay, self._start, end)) is not None]
        nearest = min(found, key=lambda layout: abs(layout.setback - self._start), default=None)
        return None if nearest is None else self._on_round_figure(lay, nearest)

    def most(self) -> Layout:
        """Return the layout with the most wall, evenly spaced, at the preferred setback and at the window's ends."""
        layouts = (
            even_layout(self._job, self._row, at, self._around) for at in dict.fromkeys((self._start, *self._ends))
        )
        return max(layouts, key=lambda layout: layout.least_wall)

    def _between(self, lay: _Lay, near: float, far: float) -> Layout | None:
        """Return the first layout that passes on the way from ``near``, where none does, to ``far``."""
        if near == far or not self._may_pass(lay, near, far):
            return None
        if abs(far - near) <= FINEST:
            return self._passing(lay, far)
        middle = (near + far) / 2
        return self._between(lay, near, middle) or self._between(lay, middle, far)

    def _passing(self, lay: _Lay, at: float) -> Layout | None:
        layout = lay(self._job, self._row, at, self._around) if self._may_pass(lay, at, at) else None
        return layout if layout is not None and layout.least_wall >= self._job.adjustment.least_wall else None

    def _may_pass(self, lay: _Lay, near: float, far: float) -> bool:
        """Return whether any setback between two may have the wall wished for."""
        one, other = self._at(near), self._at(far)
        wish = self._job.adjustment.least_wall
        if any(max(walls) < wish for walls in zip(one.rings, other.rings, strict=True)):
            return False
        bands = one.bands if near == far else between(one.bands, other.bands)
        return may_pass(self._job, bands, uneven=lay is uneven_layout)

    def _at(self, setback: float) -> _There:
        if setback not in self._known:
            hole = screw_hole(self._job, self._row, setback)
            self._known[setback] = _There(
                tuple(wall_to_cavity(hole, cavity) for cavity in self._around.round),
                forbidden(hole, self._around.placed, self._job.adjustment.least_wall),
            )
        return self._known[setback]

    def _on_round_figure(self, lay: _Lay, layout: Layout) -> Layout:
        """Return the layout moved to the round figure next to it, where that still has the wall wished for."""
        return self._passing(lay, rounded_setback(self._job, self._room, layout.setback)) or layout


@dataclass(frozen=True, slots=True)
class _There:
    """What holds at one setback: the wall to each ring, mm, and what the other obstacles forbid."""

    rings: tuple[float, ...]
    bands: tuple[Band, ...]


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


def _none_passes(job: Job, found: Found) -> str:
    """Return why no screw passes: what the nearest one lacks, and how far each of the others is off, in short."""
    own = found.geometry.screw.row.thread
    nearest = next(r for r in found.rejected if r.thread == own)
    others = ", ".join(
        f"{r.thread} {job.show(r.short) if r.unit == 'mm' else f'{r.short:.2f} {r.unit}'}"
        for r in found.rejected
        if r.thread != own
    )
    why = f"{own}, the nearest of the shop's own sizes: {nearest.reasons[0]}"
    return f"{why}. All others fail too, each short of its worst check by: {others}" if others else why


def screw_decision(job: Job, found: Found) -> Decision:
    """Return the decision about the screw's size, with every one that was tried before it and what rejected it."""
    screw = found.geometry.screw
    name = f"{screw.name}, flat point"
    before = "; ".join(f"{r.thread}: {r.reasons[0]}" for r in found.rejected)
    source = f"{COMMON_PRACTICE}; {screw.row.source}"
    if job.adjustment.screw is not None:
        return stated("screw", "set screw", name, "", "as given; checked", source=screw.row.source)
    if found.geometry.stops:
        return stated(
            "screw",
            "set screw: none passes; nearest, still refused",
            name,
            "",
            _none_passes(job, found),
            verdict=Verdict.STOP,
            do="a chuck with a deeper recess or a thicker rim, a thinner cover, or a smaller wish for travel",
            source=source,
        )
    why = f"the first standard one that passes every check; {TOLD}"
    if before:
        why += f". Before it: {before}"
    return stated("screw", "set screw", name, "", why, source=source)
