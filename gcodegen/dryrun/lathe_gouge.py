"""What a cut takes off the finished plate: the spigot, its edge, and the plate behind them."""

from __future__ import annotations

import shapely

from gcodegen.dryrun.lathe_metal import Taken
from gcodegen.dryrun.lathe_path import Stroke
from gcodegen.dryrun.lathe_space import where
from gcodegen.dryrun.lathe_stock import FAR, GOUGE, Plate, depth_in
from gcodegen.dryrun.lathe_tool import Shape
from gcodegen.dryrun.notebook import Notebook


def check_gouge(book: Notebook, plate: Plate, stroke: Stroke, removed: Taken) -> None:
    """Report what a cut takes off the spigot and off the plate behind it apart."""
    frame = plate.frame
    z0, r0, _, _ = removed.box
    if z0 >= frame.new_seat - GOUGE and r0 >= frame.new_spigot - GOUGE:
        return  # wholly outside of what must stay, or no deeper in it than is let pass
    taken = removed.shape.intersection(plate.must_stay)
    before_seat = shapely.box(frame.new_seat, -FAR, FAR, FAR)
    spigot, seat = taken.intersection(before_seat), taken.difference(before_seat)
    if spigot.intersection(plate.core).area > 0:
        _report_spigot(book, plate, stroke, spigot)
    if seat.intersection(plate.core).area > 0:
        _report_seat(book, plate, stroke, seat)


def _report_spigot(book: Notebook, plate: Plate, stroke: Stroke, spigot: Shape) -> None:
    frame, deep = plate.frame, depth_in(spigot, plate.must_stay)
    most = frame.edge + 1.0
    edge = spigot.bounds[0] > -most and spigot.bounds[1] > frame.new_spigot - most
    code, what = ("lathe-gouge-edge", "end edge") if edge else ("lathe-gouge-spigot", "surface")
    says = f"the cut goes {deep:.3f} mm below the finished spigot's {what}, {where(spigot)}"
    book.add(code, stroke.line, says, f"The finished spigot is X{2 * frame.new_spigot:.3f}.")


def _report_seat(book: Notebook, plate: Plate, stroke: Stroke, seat: Shape) -> None:
    frame = plate.frame
    if seat.bounds[0] <= frame.rear + GOUGE:
        says = f"the cut goes through the plate to its rear at Z{frame.rear:.2f}, {where(seat)}"
        book.add("lathe-plate-cut-through", stroke.line, says, f"Stop at Z{frame.new_seat:.3f}.")
        return
    deep = depth_in(seat, plate.must_stay)
    says = f"the cut goes {deep:.3f} mm into the finished plate, {where(seat)}"
    book.add("lathe-gouge-seat", stroke.line, says, f"The seat ends at Z{frame.new_seat:.3f}.")
