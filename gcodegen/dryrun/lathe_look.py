"""The plate after the last move of a lathe program, held against what the job wants of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gcodegen.dryrun.lathe_stock import FAR, LEFT, Leftovers, Plate, edge_legs, leftovers, radii, tops
from gcodegen.dryrun.lathe_tool import Shape
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.report import Difference, Limit
from gcodegen.job import Job

EDGE_OVER = 0.1  # what the edge may be broken more than wished without a word, mm
LEAST_UNDER_HEAD = 0.75  # plate under a bolt's head, in bolt diameters (common practice)
DIFFERS = 0.005  # mm: what is nearer to its figure is as wanted
EDGE_DIFFERS = 0.1  # of the edge's break: a rounded one runs out flat, and measures less than it is
_WHERE = "backplate"
_CLEAR = 0.02  # beside a chamfer or a fillet, where a face is measured, mm


@dataclass(frozen=True, slots=True)
class Looked:
    """What was measured on the plate: ``left`` on its faces, the ``legs`` of its edge, mm; None: it is gone."""

    left: Leftovers
    legs: tuple[float, float] | None


def look_over(book: Notebook, job: Job, plate: Plate, stock: Shape, line: int) -> tuple[Difference, ...]:
    """Report what is left on the plate and what is no longer there; return the dimensions that differ.

    ``line`` is that of the last cut.
    """
    looked = Looked(leftovers(plate, stock, LEFT), edge_legs(plate, stock))
    _look_at_faces(book, plate, looked.left, line)
    _look_at_thickness(book, job, plate, stock, line)
    if looked.left.spigot <= LEFT:
        _look_at_edge(book, plate, looked.legs, line)
    return _differences(plate, stock, looked)


def _look_at_faces(book: Notebook, plate: Plate, left: Leftovers, line: int) -> None:
    frame = plate.frame
    if left.spigot > LEFT:
        says = f"{left.spigot:.3f} mm is left on the spigot's radius"
        book.add("lathe-spigot-large", line, says, f"Turn it to X{2 * frame.new_spigot:.3f}.")
    if left.seat > LEFT:
        inner_clean = left.seat_from > frame.new_spigot + plate.along_seat + LEFT
        step = inner_clean and left.seat_to > frame.rim - LEFT
        code = "lathe-seat-step" if step else "lathe-seat-high"
        place = f"X{2 * left.seat_from:.2f} to X{2 * left.seat_to:.2f}"
        says = f"{left.seat:.3f} mm is left on the seat, {place}"
        book.add(code, line, says, f"Face to Z{frame.new_seat:.3f}, out past X{2 * frame.rim:.2f}.")
    if left.corner > LEFT and max(left.seat, left.spigot) <= LEFT:
        if plate.undercut:
            says = f"{left.corner:.3f} mm is left in the undercut of the corner of spigot and seat"
            book.add("lathe-undercut-full", line, says, "Turn the undercut that the job wants, after the finish.")
            return
        says = f"{left.corner:.3f} mm is left over a fillet of {plate.nose:.2f} mm in the corner"
        book.add("lathe-corner-full", line, says, "Go right into the corner, or use a smaller nose.")


def _look_at_edge(book: Notebook, plate: Plate, legs: tuple[float, float] | None, line: int) -> None:
    wish = plate.frame.edge
    if legs is None:
        says = "nothing of the spigot's end edge is left"
        book.add("lathe-edge-large", line, says, "Check the moves of the chamfer.")
        return
    says = f"the spigot's edge is broken {legs[0]:.2f} by {legs[1]:.2f} mm; the job says {wish:.2f} mm"
    if min(legs) < wish / 2 - LEFT:
        book.add("lathe-edge-sharp", line, says, "Break it by the program, or say edge_break = 0.")
    if max(legs) > wish + EDGE_OVER + LEFT:
        book.add("lathe-edge-large", line, says, "Check the moves of the chamfer.")


def _look_at_thickness(book: Notebook, job: Job, plate: Plate, stock: Shape, line: int) -> None:
    """Report a plate that is too thin under the heads of the mounting bolts, as it was cut."""
    bolts, frame = job.backplate.bolts, plate.frame
    inner, outer = (bolts.circle - bolts.hole_diameter) / 2, (bolts.circle + bolts.hole_diameter) / 2
    faced = frame.old_seat - float(tops(stock, inner, outer).min())
    under, least = max(0.0, bolts.under_head - faced), LEAST_UNDER_HEAD * bolts.row.major_mm
    if under < least - LEFT:
        says = f"{under:.2f} mm of plate is left under the bolts' heads; {bolts.thread} wants {least:.2f} mm"
        book.add("lathe-plate-thin", line, says, "Leave the seat where the job says, or take a thicker plate.")


def _differences(plate: Plate, stock: Shape, looked: Looked) -> tuple[Difference, ...]:
    """Return the dimensions of the plate that are not as the job wants them, surface by surface."""
    f = plate.frame
    # What was spigot before counts as spigot, what was plate as seat.
    seat = tops(stock, max(f.new_spigot + plate.along_seat, f.old_spigot) + _CLEAR, f.rim)
    edge = f.edge + EDGE_DIFFERS * f.edge + _CLEAR  # what is let pass of the edge is no fault of a face beside it
    spigot = np.minimum(radii(stock, f.new_seat + plate.along_spigot + _CLEAR, -edge), f.old_spigot)
    relief = 2 * (f.old_spigot - spigot.max())
    end = tops(stock, f.bore, f.new_spigot - edge)
    along_face, along_spigot = looked.legs or (None, None)
    blunt = DIFFERS + EDGE_DIFFERS * f.edge
    found = (
        _length("seat, Z at its highest", f.new_seat, seat.max()),
        _length("seat, Z at its lowest", f.new_seat, seat.min()),
        _length("plate, thickness at its least", f.new_seat - f.rear, seat.min() - f.rear, Limit.LEAST),
        _length("spigot, largest diameter", 2 * f.new_spigot, 2 * spigot.max()),
        _length("spigot, least diameter", 2 * f.new_spigot, 2 * spigot.min()),
        _length("relief on the diameter", 2 * (f.old_spigot - f.new_spigot), relief, Limit.LEAST),
        _length("spigot's end, Z at its lowest", 0.0, end.min()),
        _length("edge, broken along the end", f.edge, along_face, differs=blunt),
        _length("edge, broken along the spigot", f.edge, along_spigot, differs=blunt),
        _length(
            "corner, metal left in the undercut" if plate.undercut else "corner, metal over the nose's fillet",
            0.0,
            looked.left.corner,
            Limit.MOST,
        ),
    )
    return tuple(one for one in found if one is not None)


def _length(
    what: str, wanted: float, found: float | None, limit: Limit = Limit.EQUAL, differs: float = DIFFERS
) -> Difference | None:
    """Return a dimension if it is not as wanted; what lies beyond any plate is taken as gone."""
    if found is None or abs(found) > FAR / 2:
        return Difference(where=_WHERE, what=what, wanted=wanted, found=None, limit=limit)
    over = float(found) - wanted
    off = {Limit.EQUAL: abs(over), Limit.LEAST: -over, Limit.MOST: over}[limit]
    if off <= differs:
        return None
    return Difference(where=_WHERE, what=what, wanted=wanted, found=float(found), limit=limit)
