"""What a program does, step by step: the records that everything after the reader uses.

Positions are program coordinates in the active system at that moment (what the operator's display would
show), always in millimetres and degrees and always absolute; on a lathe ``x`` is a DIAMETER. The reader
gives them in the order in which a machine would act, each with the 1-based line it came from.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple, TypeAlias


class Point(NamedTuple):
    """A place of the controlled point: mm, degrees; on a lathe ``x`` is a diameter and y, a stay 0."""

    x: float
    y: float
    z: float
    a: float


class Kind(StrEnum):
    """How a motion goes."""

    RAPID = "rapid"
    FEED = "feed"
    ARC = "arc"
    THREAD = "thread"


class Turning(StrEnum):
    """What the spindle does."""

    OFF = "off"
    CLOCKWISE = "clockwise"
    COUNTER = "counter-clockwise"


class FeedUnit(StrEnum):
    """What F counts."""

    PER_MINUTE = "per minute"
    PER_TURN = "per turn"
    INVERSE_TIME = "inverse time"


@dataclass(frozen=True, slots=True)
class State:
    """The modal state in which a motion was made; shared by all motions made in it.

    ``speed_rpm`` is None until an S word was given; under constant surface speed ``surface_m_min`` is set,
    ``speed_rpm`` is None and ``clamp_rpm`` is the limit the program set (None: it set none).
    ``tool_length_offset`` is the H number in force, 0 when none is; ``system`` is "G54" and so on;
    ``offsets_unknown`` says that an origin shift is in force, so positions are not those of the set-up.
    ``unknown`` holds the letters of the axes ("z") whose place the text did not tell when the motion began:
    after a move in machine coordinates or a new length offset, until the axis is given absolutely.
    ``machine_coordinates`` says that it ends at a place in machine coordinates that is not known in the
    program's. ``origin`` is what to add to a place to have it in machine coordinates, None when the text and
    the machine's tables do not tell it.
    """

    tool: int
    tool_length_offset: int
    spindle: Turning
    speed_rpm: float | None
    surface_m_min: float | None
    clamp_rpm: float | None
    feed_unit: FeedUnit
    system: str
    offsets_unknown: bool
    machine_coordinates: bool
    unknown: str = ""
    mist: bool = False
    flood: bool = False
    origin: Point | None = None


class Arc(NamedTuple):
    """The circle of an arc motion.

    ``centre`` holds the two in-plane coordinates, in the order of ``axes`` ("xy", "zx" or "yz"; on a lathe
    x here is in RADIUS); ``sweep_deg`` is signed, positive from the first axis to the second.
    """

    axes: str
    centre: tuple[float, float]
    radius: float
    sweep_deg: float


class Motion(NamedTuple):
    """One movement of the tool, from ``start`` to ``end``; a tuple, because programs hold very many.

    ``feed`` is in the unit of ``state.feed_unit`` (mm/min, mm/turn, or 1/min), None for a rapid.
    ``cycle`` names the canned cycle this is a step of ("G81"), with ``step`` its part: "approach",
    "plunge", "retract", "return", "peck". ``synchronised`` is true while feed is locked to the spindle.
    """

    line: int
    kind: Kind
    start: Point
    end: Point
    state: State
    feed: float | None = None
    arc: Arc | None = None
    cycle: str = ""
    step: str = ""
    synchronised: bool = False


@dataclass(frozen=True, slots=True)
class Dwell:
    """The machine waits; ``seconds`` long."""

    line: int
    seconds: float
    state: State


@dataclass(frozen=True, slots=True)
class Stop:
    """The program stops for the operator (M0, M1, M60), who reads ``message``.

    ``message`` is the line's own last comment, else the comment lines directly before it.
    ``position`` is where the tool stands; ``optional`` is true for M1. ``named_tool`` is the last T word.
    """

    line: int
    message: str
    position: Point
    state: State
    named_tool: int
    optional: bool = False


@dataclass(frozen=True, slots=True)
class ToolChange:
    """M6: ``tool`` goes into the spindle while the machine stands at ``position``.

    ``state`` is the state just before M6 acted, also when M6 itself stops the spindle.
    """

    line: int
    tool: int
    position: Point
    state: State


@dataclass(frozen=True, slots=True)
class SpindleChange:
    """The spindle is started, stopped or turned round; ``position`` is where the tool stands.

    ``oriented`` is true when it stops at a fixed angle (the back boring cycle G87).
    """

    line: int
    before: Turning
    after: Turning
    position: Point
    oriented: bool = False


@dataclass(frozen=True, slots=True)
class End:
    """M2 or M30; ``state`` is the state just before it, ``position`` where the tool was left.

    ``after`` is the state that it leaves for the next program (NISTIR 6556, section 3.6.1).
    When it stops a turning spindle, that SpindleChange comes just before it.
    """

    line: int
    position: Point
    state: State
    after: State


Step: TypeAlias = Motion | Dwell | Stop | ToolChange | SpindleChange | End
