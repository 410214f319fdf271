"""The lathe's sheet: zero, tool and passes of the backplate, in the X, the words and the feeds of its program."""

from __future__ import annotations

from dataclasses import dataclass

from gcodegen.design.result import Design
from gcodegen.operations import LathePass, LathePlan, LathePoint
from gcodegen.packet.figures import NBSP, Figures
from gcodegen.packet.table import Table
from gcodegen.post import lathe_steps, tool_word
from gcodegen.post.numbers import Numbers
from gcodegen.post.views import PassWords, Spindle


@dataclass(frozen=True, slots=True)
class LatheX:
    """Says X as the lathe's program counts it: a diameter, or a radius, then with one digit more."""

    design: Design

    @property
    def counts(self) -> str:
        """What X is: "diameter" or "radius"."""
        return self.design.job.lathe.dialect.x_values

    def of(self, diameter: float) -> str:
        """Return X of a diameter, mm, with its unit."""
        unit = self.design.job.unit
        if self.counts == "diameter":
            return Figures(unit).coordinate(diameter)
        return f"{Numbers(unit, self.design.job.lathe.dialect).across(diameter)}{NBSP}{unit}"


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
            f"X{NBSP}={NBSP}{LatheX(design).of(plate.spigot_diameter)}",
            _because_of_x(design),
        ),
    )
    return Table(caption="Touch-off values", head=("Axis", "Touch", "Set", "Because"), rows=rows)


def _because_of_x(design: Design) -> str:
    show, says = Figures(design.job.unit), LatheX(design)
    before, after = design.job.backplate.spigot_diameter, design.spigot.diameter
    if says.counts == "diameter":
        return (
            f"X is a diameter. Set what you measure, if it differs; after the work the spigot is "
            f"{show.coordinate(after)}"
        )
    return (
        f"X is a RADIUS in this program: half of the spigot's {show.coordinate(before)} across. Set half of what you "
        f"measure, if it differs, and see that the machine counts X in radius; after the work the spigot is "
        f"{show.coordinate(after)} across, X {says.of(after)}"
    )


def lathe_tool_table(design: Design, plan: LathePlan) -> Table:
    """Return the one tool of the lathe with what it must have."""
    show, tool = Figures(design.job.unit), plan.tool
    row = (
        tool_word(tool.number, design.job.lathe.dialect.tool_word),
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
    """Return the passes in the program's order, as it writes them; enough to work from by hand wheel."""
    rows: list[tuple[str, ...]] = []
    spindle: Spindle | None = None
    passes = iter(plan.passes)
    for step in lathe_steps(plan, design):
        match step:
            case Spindle():
                spindle = step
            case PassWords():
                this = next(passes)
                name = this.name.replace(" ", NBSP)
                speed, feed = _speed(spindle, step, design), _feed(this, step, design)
                rows.append((str(len(rows) + 1), name, _path(this, design), speed, feed))
    head = ("No.", "Pass", f"Cuts (X {LatheX(design).counts}, Z from the spigot's end)", "Speed", "Feed")
    word = tool_word(plan.tool.number, design.job.lathe.dialect.tool_word)
    return Table(caption=f"Passes of the lathe with {word}, in order", head=head, rows=tuple(rows))


def _path(pass_: LathePass, design: Design) -> str:
    """Return where the cutting begins and the points it goes through."""
    first = next(k for k, move in enumerate(pass_.moves) if move.cut is not None)
    points = [
        m.to for m in pass_.moves[max(first - 1, 0) :] if m.cut is not None or m is pass_.moves[max(first - 1, 0)]
    ]
    return ", then ".join(_point(p, design) for p in points)


def _point(point: LathePoint, design: Design) -> str:
    show = Figures(design.job.unit)
    numbers = Numbers(design.job.unit, design.job.lathe.dialect)
    in_diameter = design.job.lathe.dialect.x_values == "diameter"
    x = show.word(point.x) if in_diameter else numbers.across(point.x)
    return f"X{NBSP}{x}{NBSP}Z{NBSP}{show.word(point.z)}"


def _speed(spindle: Spindle | None, words: PassWords, design: Design) -> str:
    """Return the speeds of a pass in their order; under constant surface speed that one and its limit."""
    if spindle is None:
        return ""
    if spindle.surface is not None:
        per_minute = "m/min" if design.job.unit == "mm" else "ft/min"
        return f"G96, {spindle.surface}{NBSP}{per_minute}, at most {spindle.speed}{NBSP}rev/min"
    speeds = [spindle.speed, *(m.speed for m in words.moves if m.speed is not None)]
    return f"{', then '.join(_in_turn(speeds))}{NBSP}rev/min"


def _feed(pass_: LathePass, words: PassWords, design: Design) -> str:
    """Return the feeds of a pass as its program writes them, with the feed per turn that they are."""
    cut = next(move.cut for move in pass_.moves if move.cut is not None)
    per_turn = Figures(design.job.unit).feed_per_turn(cut.feed_per_turn)
    if design.job.lathe.dialect.feed_per_turn:
        return per_turn
    feeds = _in_turn([m.feed for m in words.moves if m.feed is not None])
    return f"{', then '.join(feeds)}{NBSP}{design.job.unit}/min ({per_turn})"


def _in_turn(texts: list[str]) -> list[str]:
    """Return the texts without those that are the same as the one before."""
    return [text for k, text in enumerate(texts) if k == 0 or text != texts[k - 1]]
