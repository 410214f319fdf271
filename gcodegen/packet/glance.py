"""The job at a glance: what a machinist asks first, in one table."""

from __future__ import annotations

from gcodegen.design.balance import off_balance
from gcodegen.design.result import Design
from gcodegen.job import Job
from gcodegen.packet.figures import Figures, angle, speed
from gcodegen.packet.table import Table

NOT_KNOWN = "NOT KNOWN - ask the maker; do not run the chuck before"


def glance(design: Design) -> Table:
    """Return chuck, screws, spigot, float, torque and speed in the job's unit."""
    show, job = Figures(design.job.unit), design.job
    screw, layout, spigot, room = design.screw, design.layout, design.spigot, design.float_room
    chuck, plate = job.chuck, job.backplate
    head = chuck.radius - plate_end(design)
    rows = (
        (
            "Chuck",
            f"{show.length(chuck.diameter)} diameter, {show.length(chuck.length)} long, {chuck.jaws} jaws, "
            f"{chuck.material}; recess {show.length(chuck.recess_diameter)} diameter, "
            f"{show.length(chuck.recess_depth)} deep; rim {show.length(chuck.rim)}",
        ),
        ("Cover", _cover(design)),
        (
            "Speed marked on the body",
            NOT_KNOWN if chuck.speed_limit_rpm is None else f"{int(chuck.speed_limit_rpm)} rev/min at most, ever",
        ),
        ("Speed that balance allows", _balance(job)),
        (
            "Set screws",
            f"4 off {screw.row.thread}, {show.length(screw.length)} long, flat point, "
            f"key {show.length(screw.row.key_mm)}; head {show.length(head)} under the surface, chuck centred",
        ),
        ("Angles of screws 1 to 4", ", ".join(angle(a) for a in layout.angles)),
        ("Setback: rear face to screw axis", show.length(layout.setback)),
        ("Least wall", f"{show.length(layout.least_wall)}, to {layout.feature}"),
        (
            "Spigot diameter",
            f"{show.length(plate.spigot_diameter)} to {show.length(spigot.diameter)} "
            f"(off: {show.length(spigot.relief)})",
        ),
        (
            "Spigot length",
            f"{show.length(plate.spigot_length)} to {show.length(spigot.length)} "
            f"(seat faced back {show.length(spigot.faced_back)})",
        ),
        (
            "Float each way",
            f"{show.coordinate(room.available)} there, {show.coordinate(room.needed)} needed; "
            f"governed by {room.governed_by}",
        ),
        (
            "Safe torque of a set screw",
            f"{show.torque(design.torque.safe)}; governed by {design.torque.governed_by}",
        ),
        (
            "Mounting bolts",
            f"{plate.bolts.count} off {plate.bolts.thread} on a {show.length(plate.bolts.circle)} circle",
        ),
    )
    return Table(caption="The job at a glance", head=("What", "Figure"), rows=rows)


def _balance(job: Job) -> str:
    off, marked = off_balance(job), job.chuck.speed_limit_rpm
    if off is None:
        return "nothing is shifted"
    told = f"{speed(off.rpm)}, pushed off by {off.shift}; grade {off.grade}"
    return told if marked is not None and marked <= off.rpm else f"{told}: this is the lower one"


def plate_end(design: Design) -> float:
    """Return the radius at which the heads of the screws lie with the chuck centred, mm."""
    return design.spigot.diameter / 2 + design.screw.length


def _cover(design: Design) -> str:
    show, cover = Figures(design.job.unit), design.job.chuck.cover
    if cover is None:
        return "none"
    match cover.plan:
        case "left out":
            return f"{show.length(cover.thickness)} thick, left out: see that nothing but chips needs it"
        case "thinned":
            return f"thinned from {show.length(cover.thickness)} to {show.length(cover.remaining)}"
        case _:
            return f"{show.length(cover.thickness)} thick, kept"
