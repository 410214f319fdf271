"""The mill's sheet: touch-off values, the mark of screw 1, the four places, tools and operations.

Index, speeds and feeds are those that the program's own words give.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.design.result import Design
from gcodegen.job import MillTool
from gcodegen.operations import Drill, MillOperation, MillPlan, Spot, Tap
from gcodegen.packet.figures import NBSP, Figures, angle, signed, speed
from gcodegen.packet.table import Table
from gcodegen.post import mill_steps
from gcodegen.post.views import DrillWords, HandTap, SpotWords, Start, TapWords


def touch_offs(design: Design, plan: MillPlan) -> Table:
    """Return what to touch and which value to set for X, Y, Z and A."""
    show, mill, chuck = Figures(design.job.unit), design.job.mill, design.job.chuck
    half = mill.edge_finder / 2
    at_face = mill.rear_sign * half
    y_stand = chuck.radius + half
    letter = index_letter(design)
    turns = mill.rotary == "A"
    rotary = "the rotary's zero" if turns else "the stop's first place"
    rows = (
        (
            "X",
            f"Rear seating face, which looks to {signed(mill.rear_face)}, "
            f"with a {show.length(mill.edge_finder)} edge finder",
            f"X{NBSP}={NBSP}{show.coordinate(at_face)}",
            f"The spindle stands half the edge finder outside the face. X0 is the face itself; the holes lie at "
            f"X {show.coordinate(-mill.rear_sign * design.layout.setback)}",
        ),
        (
            "Y",
            "Both sides of the body at the height of its axis" + (", or the rotary's own centre" if turns else ""),
            "Y = 0 in the middle",
            f"By the sides: the spindle stands at Y {show.coordinate(-y_stand)} and {show.coordinate(y_stand)}, "
            f"{show.coordinate(2 * y_stand)} apart; another distance means another diameter: measure again",
        ),
        (
            "Z",
            "Crest of the body over the mark, each tool by itself",
            "Z = 0 on the crest",
            f"The axis lies {show.coordinate(chuck.radius)} lower. Take off the thickness of what you feel with. "
            f"Index and tool change at Z {show.coordinate(plan.clear)}",
        ),
        (letter, "Mark of screw 1 on top", f"{letter} = 0", f"Set {rotary} with the mark on the crest, then lock it"),
    )
    return Table(caption="Touch-off values", head=("Axis", "Touch", "Set", "Because"), rows=rows)


def mark_of_screw_1(design: Design) -> Table:
    """Return the way round the body from the first mounting bolt to the mark of screw 1, both ways."""
    show, chuck, bolts = Figures(design.job.unit), design.job.chuck, design.job.backplate.bolts
    reference = bolts.places_deg[0]
    ahead = (design.layout.angles[0] - reference) % 360.0
    ways = (("Counter-clockwise", ahead), ("Clockwise", (360.0 - ahead) % 360.0))
    rows = tuple(
        (
            f"{way} seen from the rear",
            angle(turn),
            show.length(chuck.radius * math.radians(turn)),
            # Over half a turn dividers would step off the other, shorter way.
            show.length(chuck.diameter * math.sin(math.radians(turn) / 2)) if turn <= 180 else "go the other way",
        )
        for way, turn in ways
    )
    return Table(
        caption=f"From the mounting bolt at {angle(reference)} "
        f"to the mark of screw 1 at {angle(design.layout.angles[0])}",
        head=("Way", "Angle", "Tape round the body", "Dividers, straight"),
        rows=rows,
    )


def place_table(design: Design, plan: MillPlan) -> Table:
    """Return the four places in the order of the index."""
    show = Figures(design.job.unit)
    places = {operation.place.number: operation.place for operation in plan.operations}
    rows = tuple(
        (
            str(p.number),
            index_text(p.index, design),
            f"screw {p.screw}",
            angle(p.theta),
            show.coordinate(p.x),
            show.coordinate(0.0),
        )
        for _, p in sorted(places.items())
    )
    head = ("Hole", "Index", "Is", "Chuck frame", "X", "Y")
    return Table(caption="The four places in the order of the index", head=head, rows=rows)


def tool_table(design: Design, plan: MillPlan) -> Table:
    """Return the mill's tools with what each must have."""
    show = Figures(design.job.unit)
    tools = {operation.tool.number: operation.tool for operation in plan.operations}
    rows = tuple(
        (
            f"T{tool.number}",
            _kind(tool, design),
            tool.material,
            _point(tool),
            _least(show, tool.flute_length),
            _out(show, tool.stick_out),
            "" if tool.holder_diameter is None else f"{show.length(tool.holder_diameter)} at most",
            "to be got: not in the job" if tool.number in design.mill.assumed_tools else "listed",
        )
        for tool in tools.values()
    )
    head = ("Tool", "Kind and size", "Of", "Point or lead", "Flutes", "Stick-out", "Holder", "In the job")
    return Table(caption="Tools of the mill: what each must have", head=head, rows=rows)


def operation_table(design: Design, plan: MillPlan) -> Table:
    """Return the mill's operations in the program's order; enough to work from by hand wheel."""
    rows = tuple(
        (
            str(number),
            f"T{o.tool.number} {_does(o)}",
            f"{o.place.number}, screw{NBSP}{o.place.screw}",
            index_text(o.place.index, design),
            _depth(o, design),
            speed(float(words.speed)) if words.speed else "spindle stopped",
            _feed(o, words, design),
        )
        for number, (o, words) in enumerate(zip(plan.operations, _written(plan, design), strict=True), start=1)
    )
    head = ("No.", "Tool, what", "Hole", "Index", "Tip below the crest", "Speed", "Feed")
    return Table(caption="Operations of the mill, in order", head=head, rows=rows)


def _kind(tool: MillTool, design: Design) -> str:
    if tool.kind == "tap":
        return f"tap {tool.thread or design.screw.row.thread}"
    size = "" if tool.diameter is None else f" {Figures(design.job.unit).length(tool.diameter)}"
    return f"{tool.kind}{size}"


def _point(tool: MillTool) -> str:
    if tool.kind == "tap":
        return "" if tool.lead_threads is None else f"lead {tool.lead_threads:g} threads at most"
    return "" if tool.point_angle_deg is None else f"{tool.point_angle_deg:g}\N{DEGREE SIGN} point"


def _least(show: Figures, mm: float | None) -> str:
    return "" if mm is None else f"{show.length(mm)} at least"


def _out(show: Figures, mm: float | None) -> str:
    return "" if mm is None else f"{show.length(mm)} from the holder"


def _does(operation: MillOperation) -> str:
    match operation:
        case Spot():
            return "spot"
        case Drill():
            return "drill"
        case Tap():
            return f"tap {operation.thread}"


def _depth(operation: MillOperation, design: Design) -> str:
    show = Figures(design.job.unit)
    text = show.coordinate(operation.depth)
    if isinstance(operation, Drill) and operation.peck is not None:
        return f"{text}, pecks of {show.length(operation.peck)}"
    if isinstance(operation, Spot):
        return f"{text}, dwell {operation.dwell:.2f} s"
    return text


@dataclass(frozen=True, slots=True)
class _Written:
    """The speed and the feed that the program's words give one operation; "" where it has none."""

    speed: str = ""
    feed: str = ""


def _written(plan: MillPlan, design: Design) -> list[_Written]:
    """Return the words of each operation, in their order."""
    out: list[_Written] = []
    running = ""
    for step in mill_steps(plan, design):
        match step:
            case Start():
                running = step.speed
            case SpotWords() | DrillWords() | TapWords():
                out.append(_Written(running, step.feed))
            case HandTap():
                out.append(_Written())
    return out


def _feed(operation: MillOperation, words: _Written, design: Design) -> str:
    show = Figures(design.job.unit)
    per_turn = show.feed_per_turn(operation.pitch if isinstance(operation, Tap) else operation.cut.feed_per_turn)
    if not words.feed:
        return f"by hand, {per_turn}"
    feed = f"{words.feed}{NBSP}{design.job.unit}/min"
    if not isinstance(operation, Tap):
        return f"{feed} ({per_turn})"
    how = {"synchronised": "in step", "floating holder": "in a floating holder"}
    return f"{how[design.job.mill.tapping]}, {feed} (pitch {per_turn})"


def index_letter(design: Design) -> str:
    """Return what the index is called: the rotary's letter as the program has it, or that it is an index."""
    mill = design.job.mill
    return mill.dialect.rotary_letter if mill.rotary == "A" else "Index"


def index_text(degrees: float, design: Design) -> str:
    """Return the index as the program has it: its letter, and its sign where the rotary counts the other way."""
    mill = design.job.mill
    if mill.rotary == "by hand":
        return f"{degrees:.3f}\N{DEGREE SIGN}"
    sign = -1.0 if mill.dialect.rotary_sense == "reversed" else 1.0
    return f"{mill.dialect.rotary_letter}{NBSP}{sign * degrees + 0.0:.3f}"
