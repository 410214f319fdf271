"""How the holes that a program makes differ from those that the settled job wants."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_depths import (
    CHAMFER_WIDE,
    DRILL_BEYOND,
    TAP_BEYOND_PITCHES,
    chamfer_diameter,
    through,
    told_depth,
)
from gcodegen.dryrun.mill_holes import DRILL_SPARE, Hole, show_where
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.report import Difference, Limit

LEAST_TOLD = 0.005  # mm; finer than any of these holes is measured
_MOST_UNASKED = 20


def differences(holes: Iterable[Hole], strays: Iterable[HoleCut], setup: MillSetup) -> tuple[Difference, ...]:
    """Return what differs, screw by screw, then the holes that nobody asked for.

    A cut that is beside its place by less than the screw's diameter counts as that hole, at a wrong place.
    """
    meant = {hole.place.screw: Hole(place=hole.place, cuts=list(hole.cuts)) for hole in holes}
    unasked = []
    for cut in strays:
        hole = min(meant.values(), key=lambda one: max(setup.away(one.place.where, cut.where)))
        if max(setup.away(hole.place.where, cut.where)) < setup.screw.major_mm:
            hole.cuts.append(cut)
        else:
            unasked.append(cut)
    rows = [row for screw in sorted(meant) for row in _of_hole(meant[screw], setup)]
    for cut in unasked[:_MOST_UNASKED]:
        what = f"cut of {cut.tool.name} where no hole belongs, its depth"
        rows.append(Difference(where=show_where(cut.where), what=what, wanted=None, found=cut.depth))
    return tuple(rows)


def _of_hole(hole: Hole, setup: MillSetup) -> Iterator[Difference]:
    where = f"screw {hole.place.screw}"
    yield from _of_place(hole, where, setup)
    yield from _of_chamfer(hole, where, setup)
    yield from _of_drilling(hole, where, setup)
    yield from _of_thread(hole, where, setup)


def _of_place(hole: Hole, where: str, setup: MillSetup) -> Iterator[Difference]:
    deep = [cut for cut in hole.cuts if cut.tool.kind != "spot drill"] or hole.cuts
    if not deep:
        return
    wanted = hole.place.where
    found = max((cut.where for cut in deep), key=lambda at: max(setup.away(wanted, at)))
    along, across, around = setup.away(wanted, found)
    names = ("place along X", "place across, in Y", "index")
    apart = (along, across, around)
    pairs = ((wanted.x, found.x), (wanted.y, found.y), (wanted.turn, found.turn % 360.0))
    for name, off, (want, have), unit in zip(names, apart, pairs, ("mm", "mm", "deg"), strict=True):
        if off > LEAST_TOLD:
            yield Difference(where=where, what=name, wanted=want, found=have, unit=unit)


def _of_chamfer(hole: Hole, where: str, setup: MillSetup) -> Iterator[Difference]:
    spot, major = hole.by("spot drill"), setup.screw.major_mm
    found = None if spot is None else chamfer_diameter(spot.depth, spot.tool, setup.radius)
    yield from _between(where, "mouth chamfer, across the axis", (major, major + CHAMFER_WIDE), found)


def _of_drilling(hole: Hole, where: str, setup: MillSetup) -> Iterator[Difference]:
    drill, wanted = hole.by("drill"), setup.screw.tap_drill_mm
    need = through(wanted / 2, setup)
    if drill is None:
        yield Difference(where=where, what="drilled depth to full diameter", wanted=need, found=None, limit=Limit.LEAST)
        return
    found = 2 * drill.tool.radius
    if abs(found - wanted) > DRILL_SPARE:
        yield Difference(where=where, what="drilled diameter", wanted=wanted, found=found)
    need, full = through(drill.tool.radius, setup), drill.depth - drill.tool.point
    yield from _between(where, "drilled depth to full diameter", (need, need + DRILL_BEYOND), full)


def _of_thread(hole: Hole, where: str, setup: MillSetup) -> Iterator[Difference]:
    tap, screw = hole.by("tap"), setup.screw
    need = through(screw.major_mm / 2, setup)
    found = None
    if tap is not None:
        row = tap.tool.thread
        if row is not None and row != screw:
            yield Difference(
                where=where,
                what=f"thread {row.name} for {screw.name}, its pitch",
                wanted=screw.pitch_mm,
                found=row.pitch_mm,
            )
        depth = told_depth(tap, setup) if tap.by_hand else tap.depth
        found = None if depth is None else depth - tap.tool.lead
    most = need + TAP_BEYOND_PITCHES * screw.pitch_mm
    yield from _between(where, "depth of full thread", (need, most), found)


def _between(where: str, what: str, ends: tuple[float, float], found: float | None) -> Iterator[Difference]:
    least, most = ends
    if found is None or found < least - LEAST_TOLD:
        yield Difference(where=where, what=what, wanted=least, found=found, limit=Limit.LEAST)
    elif found > most + LEAST_TOLD:
        yield Difference(where=where, what=what, wanted=most, found=found, limit=Limit.MOST)
