"""The plate after the last move of a lathe program, held against what the job wants of it."""

from __future__ import annotations

from gcodegen.dryrun.lathe_stock import LEFT, Plate, edge_legs, leftovers, seat_bottom
from gcodegen.dryrun.lathe_tool import Shape
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import Job

EDGE_OVER = 0.1  # what the edge may be broken more than wished without a word, mm
LEAST_UNDER_HEAD = 0.75  # plate under a bolt's head, in bolt diameters (common practice)


def look_over(book: Notebook, job: Job, plate: Plate, stock: Shape, line: int) -> None:
    """Report what is left on the plate, and what is no longer there; ``line`` is that of the last cut."""
    frame, left = plate.frame, leftovers(plate, stock, LEFT)
    if left.spigot > LEFT:
        says = f"{left.spigot:.3f} mm is left on the spigot's radius"
        book.add("lathe-spigot-large", line, says, f"Turn it to X{2 * frame.new_spigot:.3f}.")
    if left.seat > LEFT:
        inner_clean = left.seat_from > frame.new_spigot + plate.corner + LEFT
        step = inner_clean and left.seat_to > frame.rim - LEFT
        code = "lathe-seat-step" if step else "lathe-seat-high"
        place = f"X{2 * left.seat_from:.2f} to X{2 * left.seat_to:.2f}"
        says = f"{left.seat:.3f} mm is left on the seat, {place}"
        book.add(code, line, says, f"Face to Z{frame.new_seat:.3f}, out past X{2 * frame.rim:.2f}.")
    _look_at_thickness(book, job, plate, stock, line)
    if left.spigot > LEFT:
        return
    if left.corner > LEFT and left.seat <= LEFT:
        says = f"{left.corner:.3f} mm is left over a fillet of {plate.nose:.2f} mm in the corner"
        book.add("lathe-corner-full", line, says, "Go right into the corner, or use a smaller nose.")
    _look_at_edge(book, plate, stock, line)


def _look_at_edge(book: Notebook, plate: Plate, stock: Shape, line: int) -> None:
    wish, legs = plate.frame.edge, edge_legs(plate, stock)
    says = f"the spigot's edge is broken {legs[0]:.2f} by {legs[1]:.2f} mm; the job says {wish:.2f} mm"
    if min(legs) < wish / 2 - LEFT:
        book.add("lathe-edge-sharp", line, says, "Break it by the program, or say edge_break = 0.")
    if max(legs) > wish + EDGE_OVER + LEFT:
        book.add("lathe-edge-large", line, says, "Check the moves of the chamfer.")


def _look_at_thickness(book: Notebook, job: Job, plate: Plate, stock: Shape, line: int) -> None:
    """Report a plate that is too thin under the heads of the mounting bolts, as it was cut."""
    bolts, frame = job.backplate.bolts, plate.frame
    inner, outer = (bolts.circle - bolts.hole_diameter) / 2, (bolts.circle + bolts.hole_diameter) / 2
    faced = frame.old_seat - seat_bottom(stock, inner, outer)
    under, least = max(0.0, bolts.under_head - faced), LEAST_UNDER_HEAD * bolts.row.major_mm
    if under < least - LEFT:
        says = f"{under:.2f} mm of plate is left under the bolts' heads; {bolts.thread} wants {least:.2f} mm"
        book.add("lathe-plate-thin", line, says, "Leave the seat where the job says, or take a thicker plate.")
