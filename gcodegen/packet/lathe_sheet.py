"""The lathe's sheet: zero, tool and passes of the backplate."""

from __future__ import annotations

from gcodegen.design.result import Design
from gcodegen.operations import LathePass, LathePlan
from gcodegen.packet.figures import NBSP, Figures, speed
from gcodegen.packet.table import Table
from gcodegen.post.numbers import whole_speed


def lathe_touch_offs(design: Design) -> Table:
    """Return what to touch and which value to set for X and Z of the lathe."""
    show, plate, spigot = Figures(design.job.unit), design.job.backplate, design.spigot
    rows = (
        (
            "Z",
            "End of the spigot, as it is",
            "Z = 0",
            f"Seat now at Z {show.coordinate(-plate.spigot_length)}, after at Z {show.coordinate(-spigot.length)}. "
            "The end is not cut: both lengths count from it",
        ),
        (
            "X",
            "Spigot as it is, measured with a micrometer",
            f"X{NBSP}={NBSP}{show.coordinate(plate.spigot_diameter)}",
            f"X is a diameter. Set what you measure, if it differs; after the work the spigot is "
            f"{show.coordinate(spigot.diameter)}",
        ),
    )
    return Table(caption="Touch-off values", head=("Axis", "Touch", "Set", "Because"), rows=rows)


def lathe_tool_table(design: Design, plan: LathePlan) -> Table:
    """Return the one tool of the lathe with what it must have."""
    show, tool = Figures(design.job.unit), plan.tool
    row = (
        f"T{tool.number}",
        f"{tool.kind}, {design.job.lathe.hand_of(tool)}-hand",
        f"{tool.shank} the axis",
        tool.material,
        show.length(tool.nose_radius),
        f"{tool.entering_angle_deg:g}\N{DEGREE SIGN}",
        f"{tool.end_angle_deg:g}\N{DEGREE SIGN}",
        f"{show.length(tool.edge_length)} at least",
        "not in the job: check that yours has this" if design.lathe.assumed_tool else "listed",
    )
    head = ("Tool", "Kind", "Shank", "Of", "Nose radius", "Entering angle", "End angle", "Edge", "In the job")
    return Table(caption="Tool of the lathe: what it must have", head=head, rows=(row,))


def pass_table(design: Design, plan: LathePlan) -> Table:
    """Return the passes in the program's order; enough to work from by hand wheel."""
    rows = tuple(
        (str(number), p.name.replace(" ", NBSP), _path(p, design), *_cut(p, design))
        for number, p in enumerate(plan.passes, start=1)
    )
    head = ("No.", "Pass", "Cuts (X diameter, Z from the spigot's end)", "Speed", "Feed")
    return Table(caption=f"Passes of the lathe with T{plan.tool.number}, in order", head=head, rows=rows)


def _path(pass_: LathePass, design: Design) -> str:
    """Return where the cutting begins and the points it goes through."""
    show = Figures(design.job.unit)
    first = next(k for k, move in enumerate(pass_.moves) if move.cut is not None)
    points = [
        m.to for m in pass_.moves[max(first - 1, 0) :] if m.cut is not None or m is pass_.moves[max(first - 1, 0)]
    ]
    return ", then ".join(f"X{NBSP}{show.word(p.x)}{NBSP}Z{NBSP}{show.word(p.z)}" for p in points)


def _cut(pass_: LathePass, design: Design) -> tuple[str, str]:
    show = Figures(design.job.unit)
    cut = next(move.cut for move in pass_.moves if move.cut is not None)
    lathe = design.job.lathe
    rpm = whole_speed(cut.speed_rpm, lathe.min_speed_rpm, lathe.max_speed_rpm)
    return speed(rpm), show.feed_per_turn(cut.feed_per_turn)
