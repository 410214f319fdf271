"""Holds the cuts against the four places: missing, wrong, twice, and in the right order."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_setup import MillSetup, Place, Where
from gcodegen.dryrun.notebook import Notebook

OFF_PLACE = 0.05  # mm along, across and round the rim; text is held finer than any shop cuts
GUIDE_SHARE = 0.5  # of the drill's diameter that the spot must have when the drill comes, common practice
DRILL_SPARE = 0.15  # mm on the tap drill's diameter: neighbours in a drill set, common practice
_DONE = {"spot drill": "spotted", "drill": "drilled", "tap": "tapped"}


@dataclass(slots=True, kw_only=True)
class Hole:
    """One hole that belongs to the job, with the cuts made there in their order."""

    place: Place
    cuts: list[HoleCut] = field(default_factory=list)

    def by(self, kind: str) -> HoleCut | None:
        """Return the first cut by a kind of tool; of several by the largest: smaller drills pilot it."""
        made = [cut for cut in self.cuts if cut.tool.kind == kind]
        return max(made, key=lambda cut: cut.tool.radius, default=None)


def check_holes(cuts: Iterable[HoleCut], setup: MillSetup, book: Notebook, last_line: int) -> tuple[Hole, ...]:
    """Return the four holes with their cuts; what does not fit goes into the book."""
    holes = tuple(Hole(place=place) for place in setup.places)
    made = list(cuts)
    if not made:
        book.add("nothing-cut", last_line, "the program cuts no metal", "Check the zero in Z and the depths.")
    for cut in made:
        _put(cut, holes, setup, book)
        for line in cut.repeats:
            _say_twice(cut, line, book)
    for hole in holes:
        for cut in hole.cuts:
            _check_size(hole, cut, setup, book)
            _check_order(hole, cut, book)
        lacks = [done for kind, done in _DONE.items() if hole.by(kind) is None]
        if lacks:
            says = f"{hole.place} at X{hole.place.x:.3f} Y0 (mm) is not {', not '.join(lacks)}"
            book.add("hole-missing", last_line, says, "Give the hole all three cuts.")
    return holes


def strays(cuts: Iterable[HoleCut], holes: Iterable[Hole]) -> tuple[HoleCut, ...]:
    """Return the cuts that belong to none of the holes."""
    placed = {id(cut) for hole in holes for cut in hole.cuts}
    return tuple(cut for cut in cuts if id(cut) not in placed)


def _put(cut: HoleCut, holes: tuple[Hole, ...], setup: MillSetup, book: Notebook) -> None:
    """Give a cut to its hole; say how far off it is where there is none."""
    nearest = min(holes, key=lambda hole: max(setup.away(hole.place.where, cut.where)))
    along, across, around = setup.away(nearest.place.where, cut.where)
    if max(along, across, around) > OFF_PLACE:
        says = (
            f"{cut.tool.name} cuts at {show_where(cut.where)}, where no hole belongs; the nearest is"
            f" {nearest.place}, {along:.3f} mm off in X, {across:.3f} mm in Y, {around:.3f} mm round the rim"
        )
        book.add("hole-wrong-place", cut.line, says, "Put the hole where the set-up sheet has it.")
        return
    if any(c.tool.number == cut.tool.number for c in nearest.cuts):
        _say_twice(cut, cut.line, book)
    nearest.cuts.append(cut)


def show_where(where: Where) -> str:
    """Return a place of the mill in words."""
    return f"index {where.turn:g} deg, X{where.x:z.3f} Y{where.y:z.3f}"


def _say_twice(cut: HoleCut, line: int, book: Notebook) -> None:
    says = f"{cut.tool.name} goes again where it was before, at {show_where(cut.where)}"
    book.add("hole-cut-twice", line, says, "Take the second stroke out, or check the index before it.")


def _check_size(hole: Hole, cut: HoleCut, setup: MillSetup, book: Notebook) -> None:
    screw, tool = setup.screw, cut.tool
    if cut is hole.by("drill") and abs(2 * tool.radius - screw.tap_drill_mm) > DRILL_SPARE:
        wants = f"{screw.tap_drill_mm:.2f} mm ({screw.tap_drill_name})"
        says = f"{tool.name} drills for {screw.name}, which wants {wants}"
        book.add("wrong-drill", cut.line, says, "Use the tap drill of the screw's thread.")
    if tool.thread not in (None, screw):
        says = f"{tool.name} taps for {screw.name} screws"
        book.add("wrong-tap", cut.line, says, f"Use a tap for {screw.name}.")


def _check_order(hole: Hole, cut: HoleCut, book: Notebook) -> None:
    before = hole.cuts[: hole.cuts.index(cut)]
    kinds = {c.tool.kind for c in before}
    if cut.tool.kind == "drill" and "spot drill" not in kinds:
        says = f"{hole.place} is drilled before it is spotted"
        book.add("drill-before-spot", cut.line, says, "Spot the hole first: a drill wanders on a round rim.")
    if cut.tool.kind == "drill":
        _check_guided(hole, cut, before, book)
    if cut.tool.kind == "tap" and "drill" not in kinds:
        says = f"{hole.place} is tapped before it is drilled"
        book.add("tap-without-hole", cut.line, says, "Drill the hole first.")


def depth_by(cut: HoleCut, place: int) -> float:
    """Return how deep the tip of a cut had been before a place in the program's steps, mm."""
    return max((-tip for when, tip in cut.reached if when < place), default=0.0)


def bored_by(hole: Hole, place: int) -> float:
    """Return the depth to full diameter that the drills had made before a place in the program's steps, mm."""
    drills = [cut for cut in hole.cuts if cut.tool.kind == "drill"]
    return max((depth_by(cut, place) - cut.tool.point for cut in drills), default=0.0)


def _check_guided(hole: Hole, cut: HoleCut, before: list[HoleCut], book: Notebook) -> None:
    """Check that the spot was wide enough, when the first drill came, to lead its point."""
    if any(c.tool.kind == "drill" for c in before):
        return
    spots = [c for c in before if c.tool.kind == "spot drill"]
    wide = max((2 * c.outline_at(depth_by(c, cut.place)) for c in spots), default=None)
    need = GUIDE_SHARE * 2 * cut.tool.radius
    if wide is not None and wide < need:
        says = f"{hole.place} is drilled when its spot is {wide:.2f} mm wide; a drill wants {need:.2f} mm to be led"
        book.add("drill-not-led", cut.line, says, "Spot to the full depth before the drill comes.")
