"""The machines at hand, their tools, and how they want their programs."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field, ValidationInfo, model_validator

from gcodegen.handbook import THREADS
from gcodegen.job.dialect import Dialect, DialectField, leaves_all_to_the_operator
from gcodegen.job.fields import (
    Feed,
    Number,
    PlainDrillSize,
    PlainLength,
    PlainLengthOrZero,
    Power,
    Section,
    Speed,
    Switch,
    ThreadName,
    is_thread,
    unit_of,
)
from gcodegen.job.limits import MOST_KEEP_OUTS, LatheKeepOut, LatheTravel, MillKeepOut, MillTravel
from gcodegen.units import length_mm

_SAME_MM = 0.02  # a tap's diameter as written against the thread's
ToolKind: TypeAlias = Literal["spot drill", "drill", "tap"]
ToolNumber: TypeAlias = Annotated[int, Field(ge=1, le=99, strict=True)]
PointAngle: TypeAlias = Annotated[float, Field(ge=60, le=180, allow_inf_nan=False), Number]


class MillTool(Section):
    """A tool of the mill; what is left out, the design states as what the tool must have."""

    number: ToolNumber
    """Number of the tool in the machine, 1 to 99."""
    kind: ToolKind
    """What it is."""
    diameter: PlainDrillSize | None = None
    """Cutting diameter, file's unit, or a drill such as "#29"; on a tap its thread may stand here, or the diameter
    of a coarse one."""
    thread: ThreadName | None = None
    """Thread of a tap, such as "M6" or "#8-32"."""
    point_angle_deg: PointAngle | None = None
    """Included angle of a drill's or spot drill's point, degrees."""
    material: Literal["HSS", "carbide"] = "HSS"
    """What it is made of."""
    flute_length: PlainLength | None = None
    """Length of its flutes, file's unit."""
    stick_out: PlainLength | None = None
    """From the holder's face to the tip, file's unit."""
    holder_diameter: PlainLength | None = None
    """Largest diameter of the holder near the tool, file's unit."""
    lead_threads: Annotated[float, Field(ge=1, le=12, allow_inf_nan=False), Number] | None = None
    """Threads in a tap's lead; fewer reach deeper."""

    @model_validator(mode="before")
    @classmethod
    def _thread_of_tap(cls, raw: object, info: ValidationInfo) -> object:
        """Take a tap's thread from where its diameter stands, as people write it: "M6", or 6 for the coarse one."""
        if not isinstance(raw, dict) or raw.get("kind") != "tap" or "thread" in raw:
            return raw
        written = raw.get("diameter")
        name = written if isinstance(written, str) and is_thread(written) else _coarse(written, info)
        if name is None:
            return raw
        return {key: value for key, value in raw.items() if key != "diameter"} | {"thread": name}


def _coarse(diameter: object, info: ValidationInfo) -> str | None:
    """Return the coarse thread of a diameter; a thread named without its pitch is the coarse one (ISO 965-1)."""
    try:
        mm = length_mm(diameter, unit_of(info))
    except ValueError:
        return None
    return next((row.name for row in THREADS if row.coarse and abs(row.major_mm - mm) < _SAME_MM), None)


class Mill(Section):
    """The mill on which the chuck's rim is drilled and tapped."""

    min_speed_rpm: Speed = 100
    """Slowest spindle speed, rev/min."""
    max_speed_rpm: Speed
    """Fastest spindle speed, rev/min."""
    power_kw: Power
    """Power at the spindle, kilowatts."""
    max_feed: Feed
    """Fastest feed, file's unit a minute."""
    rapid: Feed
    """Rapid, file's unit a minute."""
    rear_face: Literal["-X", "+X"] = "-X"
    """Where the chuck's rear face looks."""
    rotary: Literal["A", "by hand"] = "A"
    """A rotary axis, or indexing by hand at a stop."""
    rotary_step_deg: Annotated[float, Field(ge=1e-5, le=90, allow_inf_nan=False), Number] = 0.001
    """Smallest step of the rotary, degrees."""
    tool_change: Literal["by hand", "automatic"] = "by hand"
    """Who changes the tools."""
    tapping: Literal["by hand", "synchronised", "floating holder"] = "by hand"
    """By hand with a follower, with the feed in step with the spindle, or in a holder that floats along its axis."""
    grouping: Literal["by tool", "by hole"] = "by tool"
    """One tool at all four places first, or all tools at one place."""
    proof_pass: Switch = False
    """Before the cuts: the tip above each place, spindle stopped, with a stop for the eye."""
    single_holes: Switch = False
    """A program for each hole by itself too, mill-hole-1.nc and so on."""
    restart_map: Switch = False
    """A sheet too that says from which block each cut can be taken up again, mill-restart.txt."""
    dialect: DialectField = Dialect()
    """How the machine wants its words: a name, or a table of switches."""
    edge_finder: PlainLength = 5.0
    """Diameter of the touch-off tool, file's unit; left out: 5 mm."""
    clear_height: PlainLength = 25.0
    """Height above the crest for index and tool change, file's unit; left out: 25 mm."""
    max_thrust_n: Annotated[float, Field(gt=0, le=100_000, allow_inf_nan=False), Number] | None = None
    """Largest push of the quill or head along the tool, newtons; left out: not known."""
    max_torque_nm: Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False), Number] | None = None
    """Largest torque at the spindle, newton-metres; left out: not known."""
    travel: MillTravel = MillTravel()
    """How far the mill can go, where that is known."""
    keep_out: tuple[MillKeepOut, ...] = Field(default=(), max_length=MOST_KEEP_OUTS)
    """Boxes that the tool must not meet."""
    tool: tuple[MillTool, ...] = Field(default=(), max_length=99)
    """Tools at hand; for what is left out the program states what the tool must have."""

    @model_validator(mode="before")
    @classmethod
    def _hands(cls, raw: object) -> object:
        """Take the operator for index, tool change and tapping where the dialect leaves all to him."""
        if not isinstance(raw, dict) or not leaves_all_to_the_operator(raw.get("dialect")):
            return raw
        return dict.fromkeys(("rotary", "tool_change", "tapping"), "by hand") | raw

    @property
    def rear_sign(self) -> int:
        """Sign of X on the side of the rear face's outside: -1 when it looks to -X."""
        return -1 if self.rear_face == "-X" else 1


class LatheTool(Section):
    """A tool of the lathe."""

    number: ToolNumber
    """Number of the tool in the machine, 1 to 99."""
    kind: Literal["turning", "chamfer"] = "turning"
    """What it does: turns the spigot and faces the seat, or breaks the edge."""
    nose_radius: PlainLengthOrZero = 0.4
    """Radius of its nose, file's unit; left out: 0.4 mm."""
    entering_angle_deg: Annotated[float, Field(ge=45, le=110, allow_inf_nan=False), Number] = 95.0
    """Between the cutting edge and the direction of feed, degrees."""
    end_angle_deg: Annotated[float, Field(ge=0, le=60, allow_inf_nan=False), Number] = 5.0
    """Clearance of the minor edge against the turned surface, degrees."""
    edge_length: PlainLength = 10.0
    """Length of the cutting edge, file's unit; left out: 10 mm."""
    material: Literal["HSS", "carbide"] = "carbide"
    """What it is made of."""
    shank: Literal["across", "along"] = "across"
    """How its shank lies: across the spindle's axis, the main edge towards the headstock, or along the axis, the main
    edge towards the axis."""
    hand: Literal["right", "left"] | None = None
    """Right-hand or left-hand tool; left out: the one whose edge then looks the right way."""

    @property
    def spigot_clearance_deg(self) -> float:
        """Angle between the spigot and the edge that follows the nose along it."""
        return self.end_angle_deg if self.shank == "across" else self.entering_angle_deg - 90.0

    @property
    def seat_clearance_deg(self) -> float:
        """Angle between the seat and the edge beside it; below 0 the nose does not come into the corner."""
        return self.entering_angle_deg - 90.0 if self.shank == "across" else self.end_angle_deg


class Lathe(Section):
    """The lathe on which the backplate is faced back and its spigot relieved."""

    min_speed_rpm: Speed = 60
    """Slowest spindle speed, rev/min."""
    max_speed_rpm: Speed
    """Fastest spindle speed, rev/min."""
    power_kw: Power
    """Power at the spindle, kilowatts."""
    max_feed: Feed
    """Fastest feed, file's unit a minute."""
    rapid: Feed
    """Rapid, file's unit a minute."""
    surface_speed: Switch = False
    """Whether the lathe can keep the surface speed constant."""
    clear_distance: PlainLength = 5.0
    """How far off the work the tool is fitted and waits, along X and Z, file's unit; left out: 5 mm."""
    max_depth_of_cut: PlainLength = 0.5
    """Largest depth of one pass, radially, file's unit; left out: 0.5 mm."""
    facing: Literal["inward", "outward"] = "inward"
    """Which way the seat is roughed; the finishing pass always goes outwards."""
    edge: Literal["chamfer", "round"] = "chamfer"
    """How the spigot's edge is broken: at 45 degrees, or rounded with that radius."""
    spring_passes: Annotated[int, Field(ge=0, le=3, strict=True)] = 0
    """How often the finishing pass is run again at the same size."""
    measuring_stop: Switch = False
    """A stop before the finishing pass, to measure the spigot and correct the tool's offset."""
    tool_post: Literal["front", "rear"] = "front"
    """Where the tool stands: on the operator's side of the axis, or behind it."""
    tool_face: Literal["up", "down"] = "up"
    """Which way the tool's cutting face looks; with the tool post it sets the way the spindle turns."""
    held: Literal["own nose", "fixture"] = "own nose"
    """What holds the backplate: the spindle nose it belongs to, or a fixture on which it is indicated true."""
    holding_limit_rpm: Speed | None = None
    """Speed marked on what holds the plate while it is turned, rev/min; left out: not known."""
    travel: LatheTravel = LatheTravel()
    """How far the lathe can go, where that is known."""
    keep_out: tuple[LatheKeepOut, ...] = Field(default=(), max_length=MOST_KEEP_OUTS)
    """Rings that the tool must not meet."""
    dialect: DialectField = Dialect()
    """How the machine wants its words: a name, or a table of switches."""
    tool: tuple[LatheTool, ...] = Field(default=(), max_length=99)
    """Tools at hand."""

    @property
    def turns(self) -> Literal["M3", "M4"]:
        """The word that turns the work against the cutting edge.

        The tip on the operator's side with its face up wants the work to come down on it, which is M3: clockwise
        seen along +Z (from memory of ISO 841). Behind the axis, or with its face down, it is the other way; with both,
        M3 again.
        """
        return "M3" if (self.tool_post == "front") == (self.tool_face == "up") else "M4"

    @property
    def turning_tool(self) -> LatheTool:
        """The tool that turns the spigot and faces the seat: the first listed, else a usual one as number 1."""
        return next((t for t in self.tool if t.kind == "turning"), LatheTool(number=1))

    def hand_of(self, tool: LatheTool) -> Literal["right", "left"]:
        """Return the hand that a tool must have in this post, its face and shank as they are.

        With its face up in the front post a right-hand tool's main edge looks to the headstock, its shank across the
        axis. Turned face down, or moved behind the axis face up, that edge would look away from it: there the other
        hand is wanted, as there the spindle turns the other way. A shank along the axis turns the edge a quarter
        further, and wants the other hand again.
        """
        return "right" if (self.turns == "M3") == (tool.shank == "across") else "left"
