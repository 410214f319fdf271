"""Lists for the bench: clean and put together, and the form to fill in by hand. Common practice, no source."""

from __future__ import annotations

import math

from gcodegen.design.result import Design
from gcodegen.dial import chuck_as_made
from gcodegen.dial.procedure import full_torque, tightening
from gcodegen.packet.figures import Figures, angle
from gcodegen.packet.table import Table

# Common practice, no source: run-out of a seat that a chuck is to sit square on, mm.
SEAT_RUN_OUT = 0.01


def bench_steps(design: Design) -> tuple[str, ...]:
    """Return what is done between the machines and the first turn of the spindle, in order."""
    unit, screw = design.job.unit, design.screw
    show = Figures(unit)
    torque = show.torque(design.torque.safe)
    return (
        "Before drilling: take the chuck apart, or plug the scroll chamber and the bores so that no chip gets in.",
        "Deburr every hole, outside and in the recess, by hand with a scraper; take off no more than the burr.",
        "Run the thread through once more with the tap by hand; blow nothing: use a brush and a vacuum cleaner.",
        "Wash all parts, dry them, oil scroll and jaws as their maker says. No grit on the seat, no paint, no burr.",
        f"Try a set screw in each hole: it goes in by hand over its whole length ({show.length(screw.length)}).",
        "Stone the seat of the plate and the rear face of the chuck lightly; wipe both with a clean hand.",
        "Set the chuck on the plate with the screws backed out. It slides a little every way: that is the float.",
        "Nip the mounting bolts so that the chuck can still be pushed, true it with the screws, opposite ones in turn: "
        f"ease one before its opposite is tightened, never more than {torque}.",
        f"Tighten the mounting bolts {tightening(chuck_as_made(design), unit)}; bring all four screws to like contact "
        "and read once more.",
        "Every screw head under the surface, keys out, guard closed. First run slow, nobody in the chuck's plane.",
    )


def inspection(design: Design) -> Table:
    """Return the form: what to measure, what the design wants, and room for the pen."""
    rows = tuple((*row, "", "") for row in (*_chuck_rows(design), *_plate_rows(design), *_together_rows(design)))
    head = ("Measure", "Wanted", "Limit", "Found", "Good?")
    return Table(caption="Inspection form, to be filled in by hand", head=head, rows=rows, fill_in=True)


def _chuck_rows(design: Design) -> list[tuple[str, str, str]]:
    show, layout, chuck = Figures(design.job.unit), design.layout, design.job.chuck
    rows = [_first_mark(design)]
    gaps = zip(layout.angles, [*layout.angles[1:], layout.angles[0] + 360.0], strict=True)
    for n, (a, b) in enumerate(gaps, start=1):
        tape = show.length(chuck.radius * math.radians((b - a) % 360.0))
        rows.append((f"Tape from screw {n} to screw {n % 4 + 1}, round the body", tape, ""))
    rows += [(f"Hole of screw {n}: rear face to axis", show.length(layout.setback), "") for n in range(1, 5)]
    rows.append((f"Thread {design.screw.row.thread}: gauge or new screw, all four", "goes in by hand", ""))
    chamfer = show.length(design.depths.spot_diameter)
    rows.append(("Chamfer at the crest, across the axis, all four", chamfer, ""))
    rows.append(("Recess wall and bottom", "no nick, no burr", ""))
    return rows


def _first_mark(design: Design) -> tuple[str, str, str]:
    """Return the row of screw 1 from the first mounting bolt, the shorter way round."""
    reference = design.job.backplate.bolts.places_deg[0]
    ahead = (design.layout.angles[0] - reference + 180.0) % 360.0 - 180.0
    way = "counter-clockwise" if ahead >= 0 else "clockwise"
    tape = Figures(design.job.unit).length(design.job.chuck.radius * math.radians(abs(ahead)))
    return (f"Tape from the bolt at {angle(reference)} to screw 1, {way} from the rear", tape, "")


def _plate_rows(design: Design) -> list[tuple[str, str, str]]:
    show, plate, spigot = Figures(design.job.unit), design.job.backplate, design.spigot
    return [
        ("Spigot diameter", show.coordinate(spigot.diameter), ""),
        ("Spigot length, seat to end", show.length(spigot.length), _limit(design, "spigot-gap", "at most")),
        (
            "Plate thickness, seat to rear",
            show.length(plate.thickness - spigot.faced_back),
            "",
        ),
        (
            "Iron under the bolts' heads",
            show.length(plate.bolts.under_head - spigot.faced_back),
            _limit(design, "plate-under-head", "at least"),
        ),
        ("Seat: run-out over one turn", "0", f"{show.coordinate(SEAT_RUN_OUT)} (common practice)"),
    ]


def _together_rows(design: Design) -> list[tuple[str, str, str]]:
    show = Figures(design.job.unit)
    sunk = next(d for d in design.decisions if d.id == "screw-sunk")
    return [
        (
            "Heads of the screws under the surface, chuck pushed over as far as it goes",
            show.amount(sunk.value, sunk.unit),
            _limit(design, "screw-sunk", "at least"),
        ),
        (
            "Float, pushed from side to side",
            show.length(2 * design.float_room.available),
            f"{show.length(2 * design.float_room.needed)} at least",
        ),
        ("Torque of the mounting bolts", full_torque(chuck_as_made(design), design.job.unit), ""),
        ("Run-out near the jaws, after tightening", "", ""),
        ("Run-out far from the jaws", "", ""),
    ]


def _limit(design: Design, decision: str, word: str) -> str:
    """Return a decision's limit with ``word`` before it; empty when the design has no such decision."""
    show = Figures(design.job.unit)
    found = next((d for d in design.decisions if d.id == decision and d.limit is not None), None)
    return "" if found is None else f"{show.amount(found.limit, found.unit)} {word}"
