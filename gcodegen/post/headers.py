"""The comments at the head of a program: what it is, where zero is, what tools must have, the cautions."""

from __future__ import annotations

from collections.abc import Iterable

from gcodegen.design import Design
from gcodegen.design.balance import cautions_of
from gcodegen.job import Dialect, MillTool
from gcodegen.operations import LathePlan, MillPlan
from gcodegen.post.comment import safe
from gcodegen.post.lines import noted
from gcodegen.post.numbers import Numbers
from gcodegen.verdict import Verdict

_SHANK = {
    "across": "shank across the axis, main edge to the headstock",
    "along": "shank along the axis, main edge to the axis",
}
_HELD = {"own nose": "on its own spindle nose", "fixture": "on a fixture"}


def refusals(design: Design) -> tuple[str, ...]:
    """Return what each decision that says stop is about; none when the design may be run."""
    stops = (d for d in design.decisions if d.verdict is Verdict.STOP)
    return tuple(f"{d.what}. {d.why}" if d.why else d.what for d in stops)


def mill_header(plan: MillPlan, design: Design) -> tuple[str, ...]:
    """Return the head of the mill program as comment texts."""
    numbers, mill = Numbers(design.job.unit, design.job.mill.dialect), design.job.mill
    by_hand = "is turned by hand at each stop, always in one sense"
    turned = f"{mill.dialect.rotary_letter}0" if mill.rotary == "A" else "First hole"
    rotary = f"turns with the {mill.dialect.rotary_letter} word" if mill.rotary == "A" else by_hand
    notes = [
        f"gcodegen mill program: {safe(design.job.title) or 'UNTITLED'}",
        f"Units {design.job.unit}. X0 rear seating face, it looks to {mill.rear_face}. Y0 on the axis of the body",
        f"Z0 crest of the body. {turned} with the mark of screw 1 on top",
        f"The work {rotary}",
        *_touch_offs(design, numbers),
        *_places(plan, numbers),
        f"Set screw {thread_text(design)}, length {numbers.show(design.screw.length)}",
        *(_tool_note(tool, design) for tool in _tools(plan)),
    ]
    if mill.tapping == "synchronised" and not mill.dialect.cycles:
        notes.append("Tapping keeps its cycle word: the published words have no long form of it")
    if mill.rotary == "A" and mill.dialect.rotary_sense == "reversed":
        notes.append("The rotary counts against the published sense: its numbers are written with the other sign")
    if plan.uneven:
        notes.append("Spacing is uneven: as the index grows the work must turn clockwise seen from +X")
    return _texts([*notes, *_cautions(design)], mill.dialect)


def lathe_header(plan: LathePlan, design: Design) -> tuple[str, ...]:
    """Return the head of the lathe program as comment texts."""
    numbers, spigot, plate = Numbers(design.job.unit), design.spigot, design.job.backplate
    lathe, tool = design.job.lathe, plan.tool
    notes = [
        f"gcodegen lathe program: {safe(design.job.title) or 'UNTITLED'}",
        f"Units {design.job.unit}. X is a {lathe.dialect.x_values}. Z0 end of the spigot, + away from the headstock",
        f"Work: the backplate {_HELD[lathe.held]}, no chuck. Outside {numbers.show(plate.diameter)}",
        f"Spigot from {numbers.show(plate.spigot_diameter)} to {numbers.show(spigot.diameter)} diameter, "
        f"from {numbers.show(plate.spigot_length)} to {numbers.show(spigot.length)} long",
        f"Tool {tool.number}: {lathe.hand_of(tool)}-hand {tool.kind} tool, {_SHANK[tool.shank]}, {tool.material}",
        f"Nose radius {numbers.show(tool.nose_radius)}, "
        f"entering angle {tool.entering_angle_deg:g} deg, end angle {tool.end_angle_deg:g} deg",
        "Touch off in X and Z: the programmed point is the corner of the two lines that touch the nose",
        *_lathe_notes(plan, design),
    ]
    if design.lathe.assumed_tool:
        notes.append("The job names no such tool: check that yours has what stands above")
    return _texts([*notes, *_cautions(design)], lathe.dialect)


def tool_text(tool: MillTool, design: Design, *, follower: bool = False) -> str:
    """Return a tool in few words: ``SPOT DRILL 6.0 MM``, ``TAP M5X0.8``."""
    if follower:
        return f"TAP FOLLOWER FOR {thread_text(design)}"
    if tool.kind == "tap":
        return f"TAP {thread_text(design)}"
    size = Numbers(design.job.unit).show(tool.diameter) if tool.diameter is not None else "SIZE NOT GIVEN"
    return f"{tool.kind.upper()} {size}"


def thread_text(design: Design) -> str:
    """Return the screw's thread as a comment may hold it; a coarse metric one with its pitch."""
    row = design.screw.thread
    name = row.name if row.system == "unified" or "x" in row.name.lower() else f"{row.name}x{row.pitch_mm:g}"
    return safe(name)


def _tools(plan: MillPlan) -> Iterable[MillTool]:
    """Return each tool once, in the order of use."""
    return {operation.tool.number: operation.tool for operation in plan.operations}.values()


def _tool_note(tool: MillTool, design: Design) -> str:
    """Return a line on a tool: number, size, and what it must have."""
    numbers = Numbers(design.job.unit)
    parts = [f"T{tool.number} {tool_text(tool, design)}", tool.material]
    if tool.point_angle_deg is not None and tool.kind != "tap":
        parts.append(f"point {tool.point_angle_deg:g} deg")
    if tool.lead_threads is not None and tool.kind == "tap":
        parts.append(f"lead {tool.lead_threads:g} threads")
    lengths = {"flutes": tool.flute_length, "out": tool.stick_out, "holder dia": tool.holder_diameter}
    # The design fills in each of them.
    parts += [f"{what} {numbers.show(length)}" for what, length in lengths.items() if length is not None]
    if tool.number in design.mill.assumed_tools:
        parts.append("not in the job: check that yours has this")
    return ", ".join(parts)


def _places(plan: MillPlan, numbers: Numbers) -> list[str]:
    """Return lines on the places, two a line: index, screw. One hole by itself is said to be alone."""
    places = list({o.place.number: o.place for o in plan.operations}.values())
    told = [f"Hole {p.number} at {numbers.angle(p.index)} deg is screw {p.screw}" for p in places]
    lines = [". ".join(told[k : k + 2]) for k in range(0, len(told), 2)]
    return (
        [f"Hole {places[0].number} alone. The other holes have programs of their own", *lines]
        if len(places) == 1
        else lines
    )


def _touch_offs(design: Design, numbers: Numbers) -> list[str]:
    """Return what to touch and what the axis reads then; the finder stands half its diameter outside a face."""
    mill, chuck = design.job.mill, design.job.chuck
    half = mill.edge_finder / 2
    x, y = numbers.show(mill.rear_sign * half), numbers.show(chuck.radius + half)
    return [
        f"Edge finder {numbers.show(mill.edge_finder)} against the rear face: set X {x}",
        f"Against the two sides of the body: set Y {y} and -{y}",
    ]


def _lathe_notes(plan: LathePlan, design: Design) -> list[str]:
    """Return what differs from the usual: the way the spindle turns, X in radius, the stop to measure."""
    lathe = design.job.lathe
    notes: list[str] = []
    if lathe.turns == "M4":
        notes.append(f"Tool post at the {lathe.tool_post}, cutting face {lathe.tool_face}: the spindle turns by M4")
    if lathe.facing == "outward":
        notes.append("The seat is roughed outward: the edge leaves the rim last, where grey iron can break out")
    if undercut := design.job.undercut:
        numbers = Numbers(design.job.unit)
        notes.append(
            f"The corner is undercut, shape {undercut.shape}: {numbers.show(undercut.into_spigot)} below the spigot, "
            + (
                f"{numbers.show(undercut.into_seat)} below the seat"
                if undercut.into_seat > 0
                else "the seat stays whole"
            )
        )
    if lathe.dialect.x_values == "radius":
        notes.append("X counts in radius in this program: see that the machine is set so")
    if lathe.held == "fixture":
        notes.append("Indicate register and seat true on the fixture before the first cut, and clamp clear of both")
    if lathe.measuring_stop and not any(p.measure is not None for p in plan.passes):
        notes.append("No stop to measure: the finishing pass alone takes all that there is off the spigot")
    return notes


def caution_texts(design: Design, dialect: Dialect) -> tuple[str, ...]:
    """Return the cautions as comment texts; no program is without them."""
    return _texts(_cautions(design), dialect)


def _cautions(design: Design) -> list[str]:
    return [line for caution in cautions_of(design.job) for line in caution.short]


def _texts(notes: Iterable[str], dialect: Dialect) -> tuple[str, ...]:
    return tuple(line for note in notes for line in noted(note, dialect))
