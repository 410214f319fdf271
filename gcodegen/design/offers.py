"""What would do where a design is stopped: changes of the job, each tried by the same design and found to pass.

First come other values for what the job gives (as few of them as will do), then changes of the work in the
order of ``_HELPS``: what keeps the wishes before what lowers them. A wish for the least wall is never lowered
below what the job's rules allow at all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import combinations
from typing import Final

from gcodegen.design.changes import changed, told_down, told_length
from gcodegen.design.floating import choose_relief, least_relief
from gcodegen.design.placing import longest_faced_spigot, longest_spigot
from gcodegen.design.result import Design, Offer, Write
from gcodegen.job import Job
from gcodegen.job.rules.wishes import LEAST_WALL
from gcodegen.units import MM_PER_INCH
from gcodegen.verdict import Verdict

Decide = Callable[[Job], Design]
_SPACINGS_DEG: Final = (1.0, 2.0, 3.0, 5.0, 8.0, 12.0, 16.0, 20.0)
_HALVINGS = 7
_BOLT_STEP_MM, _BOLT_STEP_IN, _BOLT_STEPS = 5.0, 0.25, 4  # bolts are made in such lengths
_WIDEST_BOLT_HOLE = 1.3
"""Times the bolt's diameter: the widest hole that is offered; wider ones leave its head too little seat."""
_CHOICES: Final = {
    "angles": "other angles",
    "setback": "another setback",
    "screw_length": "another length of screw",
    "spigot_length": "another length of spigot",
    "relief": "another relief",
    "screw": "another screw",
}


def offers(job: Job, decide: Decide) -> tuple[Offer, ...]:
    """Return the changes that make a stopped job pass, best first; empty when none of those known does.

    Parameters
    ----------
    job : Job
        Whose design is stopped.
    decide : Callable
        The design itself, without offers.
    """
    found = list(_other_choices(job, decide))
    freed = _freed(job, _given(job)) if _given(job) and not found else None
    for helps in _HELPS:
        offer = helps(job, decide)
        if offer is None and freed is not None:
            offer = _with_choices(job, helps(freed, decide), decide)
        if offer is not None and offer.write not in [other.write for other in found]:
            found.append(offer)
    return tuple(found)


def _passes(job: Job, decide: Decide) -> Design | None:
    design = decide(job)
    return None if design.verdict is Verdict.STOP else design


def _offer(job: Job, what: str, writes: tuple[Write, ...], decide: Decide) -> Offer | None:
    """Return the offer when the job, written so, passes."""
    new = changed(job, writes)
    design = None if new is None else _passes(new, decide)
    if design is None:
        return None
    return Offer(what=what, write=writes, screw=design.screw.name, least_wall=design.layout.least_wall)


def _given(job: Job) -> tuple[str, ...]:
    """Return the choices that the job gives; angles stand for the first one too."""
    wish = job.adjustment
    return tuple(k for k in _CHOICES if (wish.screw_angles if k == "angles" else getattr(wish, k)) is not None)


def _freed(job: Job, names: tuple[str, ...]) -> Job | None:
    keys = [key for name in names for key in (("first_angle", "angles") if name == "angles" else (name,))]
    return changed(job, [Write(key=f"adjustment.{key}", value="choose") for key in keys])


def _other_choices(job: Job, decide: Decide) -> Iterator[Offer]:
    """Yield offers of other values for as few of the given choices as will do, then for all if the screw is larger."""
    given = _given(job)
    for count in range(1, len(given) + 1):
        few = [_chosen(job, names, "", (), decide) for names in combinations(given, count)]
        found = [offer for offer in few if offer is not None]
        yield from found
        if found:
            every = _chosen(job, given, "", (), decide) if count < len(given) else None
            if every is not None and every.screw not in [offer.screw for offer in found]:
                yield every
            return


def _chosen(job: Job, names: tuple[str, ...], what: str, before: tuple[Write, ...], decide: Decide) -> Offer | None:
    """Return the offer of the design's own values for these choices, on top of other writes."""
    start = changed(job, before)
    freed = None if start is None else _freed(start, names)
    design = None if freed is None else _passes(freed, decide)
    if design is None:
        return None
    others = " and ".join(_CHOICES[name] for name in names)
    writes = tuple(write for name in names for write in _as_decided(job, name, design))
    return _offer(job, f"{what}, with {others}" if what else others, (*before, *writes), decide)


def _as_decided(job: Job, name: str, design: Design) -> Iterator[Write]:
    wish = design.job.adjustment
    if name == "angles":
        angles, even = design.layout.angles, design.layout.uneven_deg == 0
        yield Write(key="adjustment.first_angle", value=angles[0] if even else "choose")
        yield Write(key="adjustment.angles", value="choose" if even else angles)
    elif name == "screw":
        yield Write(key="adjustment.screw", value=wish.screw)
    else:
        yield Write(key=f"adjustment.{name}", value=told_length(job, getattr(wish, name)))


def _with_choices(job: Job, offer: Offer | None, decide: Decide) -> Offer | None:
    """Return an offer that was found with every choice free as one for the job that gives some."""
    return None if offer is None else _chosen(job, _given(job), offer.what, offer.write, decide)


def _most_that_passes(
    job: Job, low: float, high: float, writes: Callable[[float], tuple[Write, ...]], decide: Decide
) -> tuple[Write, ...] | None:
    """Return the writes of the largest value between two that passes, where less passes more easily; mm."""

    def try_(mm: float) -> tuple[Write, ...] | None:
        new = changed(job, tried := writes(told_down(job, mm)))
        return tried if new is not None and _passes(new, decide) is not None else None

    if (best := try_(low)) is None:
        return None
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        found = try_(middle)
        low, high, best = (middle, high, found) if found is not None else (low, middle, best)
    return best


def _thinner_cover(job: Job, decide: Decide) -> Offer | None:
    cover = job.chuck.cover
    if cover is None:
        return None

    def writes(left: float) -> tuple[Write, ...]:
        return Write(key="chuck.cover.plan", value="thinned"), Write(key="chuck.cover.thickness_after", value=left)

    least = cover.thickness / 4  # thinner is left out sooner than cut
    best = _most_that_passes(job, least, cover.remaining, writes, decide) if least < cover.remaining else None
    return None if best is None else _offer(job, "a thinner cover", best, decide)


def _no_cover(job: Job, decide: Decide) -> Offer | None:
    cover = job.chuck.cover
    if cover is None or cover.remaining <= 0:
        return None
    writes = [Write(key="chuck.cover.plan", value="left out")]
    if cover.thickness_after is not None:
        writes.append(Write(key="chuck.cover.thickness_after", value=None))
    return _offer(job, "the cover left out", tuple(writes), decide)


def _uneven(job: Job, decide: Decide) -> Offer | None:
    if job.adjustment.screw_angles is not None:
        return None
    for tolerance in _SPACINGS_DEG:
        if tolerance > job.adjustment.spacing_tolerance_deg:
            writes = (Write(key="adjustment.spacing_tolerance_deg", value=tolerance),)
            if (offer := _offer(job, "uneven spacing", writes, decide)) is not None:
                return offer
    return None


def _wider_bolt_holes(job: Job, decide: Decide) -> Offer | None:
    now, most = job.backplate.bolts.hole_diameter, _WIDEST_BOLT_HOLE * job.backplate.bolts.row.major_mm
    if most <= now:
        return None

    def writes(narrower: float) -> tuple[Write, ...]:
        return (Write(key="backplate.bolts.hole_diameter", value=round(told_length(job, most) - narrower, 4)),)

    best = _most_that_passes(job, 0.0, most - now, writes, decide)
    return None if best is None else _offer(job, "wider bolt holes in the plate", best, decide)


def _stops(job: Job, decide: Decide) -> set[str]:
    return {d.id for d in decide(job).decisions if d.verdict is Verdict.STOP}


def _other_bolts(job: Job, decide: Decide) -> Offer | None:
    """Return the offer of bolts of the nearest length that does, longer ones first; None where bolts are not at fault.

    They may also be what keeps the spigot short: then they would bottom after more facing.
    """
    kept_short = longest_faced_spigot(job) < longest_spigot(job)
    if not kept_short and not _stops(job, decide) & {"bolt-engagement", "bolt-thread", "bolt-reach"}:
        return None
    now, step = job.backplate.bolts.length, _BOLT_STEP_MM if job.unit == "mm" else _BOLT_STEP_IN * MM_PER_INCH
    for steps in range(1, _BOLT_STEPS + 1):
        for what, length in (("longer bolts", now + steps * step), ("shorter bolts", now - steps * step)):
            writes = (Write(key="backplate.bolts.length", value=told_length(job, length)),)
            if length > 0 and (offer := _offer(job, what, writes, decide)) is not None:
                return offer
    return None


def _less_relief(job: Job, decide: Decide) -> Offer | None:
    """Return the offer of less relief than is usual, where that is what takes too much of the spigot's wall."""
    if job.adjustment.relief is not None or "spigot-wall" not in _stops(job, decide):
        return None

    def writes(relief: float) -> tuple[Write, ...]:
        return (Write(key="adjustment.relief", value=relief),)

    best = _most_that_passes(job, least_relief(job) + 0.02, choose_relief(job), writes, decide)
    return None if best is None else _offer(job, "less relief off the spigot", best, decide)


def _less_travel(job: Job, decide: Decide) -> Offer | None:
    travel = job.adjustment.travel
    if not travel:
        return None

    def writes(left: float) -> tuple[Write, ...]:
        return (Write(key="adjustment.travel", value=left),)

    best = _most_that_passes(job, 0.0, travel, writes, decide)
    return None if best is None else _offer(job, "a smaller wish for travel", best, decide)


def _thinner_wall(job: Job, decide: Decide) -> Offer | None:
    wish = job.adjustment.least_wall

    def writes(left: float) -> tuple[Write, ...]:
        return (Write(key="adjustment.least_wall", value=left),)

    if wish <= LEAST_WALL:
        return None
    lowest = LEAST_WALL + 0.02  # rounded down it is still allowed
    best = _most_that_passes(job, lowest, wish, writes, decide)
    what = "a smaller wish for the least wall"
    found = None if best is None else _offer(job, what, best, decide)
    if found is None:
        return None
    # The halving ends a little short; the wall that was found is what may be wished for.
    return _offer(job, what, writes(told_down(job, min(wish, found.least_wall))), decide) or found


def _larger_screw_with_thinner_wall(job: Job, decide: Decide) -> Offer | None:
    if job.adjustment.least_wall <= LEAST_WALL:
        return None
    lowest = changed(job, [Write(key="adjustment.least_wall", value=told_length(job, LEAST_WALL))])
    design = None if lowest is None else _passes(lowest, decide)
    if design is None or design.layout.least_wall >= job.adjustment.least_wall:
        return None
    writes = (Write(key="adjustment.least_wall", value=told_down(job, design.layout.least_wall)),)
    return _offer(job, "a still smaller wish for the least wall, and a larger screw", writes, decide)


_HELPS: Final = (
    _thinner_cover,
    _no_cover,
    _uneven,
    _wider_bolt_holes,
    _other_bolts,
    _less_relief,
    _less_travel,
    _thinner_wall,
    _larger_screw_with_thinner_wall,
)
