"""Single cuts of a lathe as they are judged by speed, feed, chip, power and finish; metal is given as plain shapes."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

import shapely

from gcodegen.dryrun.lathe_metal import taken
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_stock import plate_frame
from gcodegen.dryrun.lathe_tool import fitted
from gcodegen.dryrun.lathe_trade import Rates
from gcodegen.job import Job, LatheTool
from gcodegen.verdict import Finding
from tests.dryrun.lathe_cuts import empty_book, stroke
from tests.dryrun.lathe_jobs import mm_job

SEAT, NEW_SEAT = -4.0, -7.5  # of the job's plate, before and after
SPIGOT, RIM = 61.985, 80.0  # radii of the relieved spigot and of the rim
HOLES = 64.5, 75.5  # radii between which the bolt holes open into the seat
SQUARE = LatheTool(number=1, nose_radius=0, entering_angle_deg=90, end_angle_deg=0)
"""A pointed tool whose edge stands square to the axis: turning, its chip is as wide as the cut is deep."""
LEANING = LatheTool(number=1, nose_radius=0, entering_angle_deg=95, end_angle_deg=5)
"""A pointed tool whose edge lies 5 degrees to the feed when it faces outwards."""


class Cut(NamedTuple):
    """A stroke and the metal that it takes."""

    stroke: Stroke
    metal: shapely.Geometry


def along(radius: float, depth: float, z: tuple[float, float] = (-2.0, -1.0), **words: Any) -> Cut:
    """Return a cut towards the headstock that leaves a radius."""
    low, high = z
    made = stroke((2 * radius, high + 1), (2 * radius, low), **words)
    return Cut(made, shapely.box(low, radius, high, radius + depth))


def away(radius: float, depth: float, z: tuple[float, float] = (-2.0, -1.0), **words: Any) -> Cut:
    """Return the same cut away from the headstock: the edge beside the nose makes it."""
    low, high = z
    made = stroke((2 * radius, low - 1), (2 * radius, high), **words)
    return Cut(made, shapely.box(low, radius, high, radius + depth))


def inwards(z: float, depth: float, radii: tuple[float, float] = (50.0, 60.0), **words: Any) -> Cut:
    """Return a facing cut towards the axis that leaves a face at ``z``."""
    low, high = radii
    return Cut(stroke((2 * high + 2, z), (2 * low, z), **words), shapely.box(z, low, z + depth, high))


def outwards(z: float, depth: float, radii: tuple[float, float] = (50.0, 60.0), **words: Any) -> Cut:
    """Return the same cut away from the axis."""
    low, high = radii
    return Cut(stroke((2 * low, z), (2 * high, z), **words), shapely.box(z, low, z + depth, high))


def lathe_job(hardness: float | None = None, marked: float | None = 2500.0, **lathe: Any) -> Job:
    """Return the mm job with another hardness of the plate, speed marked on the chuck, or keys of its lathe."""
    job = mm_job()
    return job.model_copy(
        update={
            "lathe": job.lathe.model_copy(update=lathe),
            "chuck": job.chuck.model_copy(update={"speed_limit_rpm": marked}),
            "backplate": job.backplate.model_copy(update={"hardness_hb": hardness}),
        }
    )


def judged(*cuts: Cut, tool: LatheTool = SQUARE, job: Job | None = None) -> list[Finding]:
    """Return what is found in cuts, made one after the other."""
    job, book = job or lathe_job(), empty_book()
    frame = plate_frame(job)
    assert frame is not None
    rates = Rates(book, job, frame)
    for cut in cuts:
        rates.meet(cut.stroke, tool, fitted(tool), taken(cut.stroke, cut.metal))
    rates.write()
    return book.findings


def codes(found: Iterable[Finding], about: str = "lathe-") -> set[str]:
    """Return the codes that begin with some letters."""
    return {f.code for f in found if f.code.startswith(about)}
