"""What the text of a program cannot say about the machine, and what reading it gives."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, Literal, TypeAlias

from gcodegen.errors import GcodegenError
from gcodegen.rs274.groups import G_GROUP, NOT_STANDARDISED
from gcodegen.rs274.motions import Point, Step
from gcodegen.rs274.refusal import Fault

# Where the tool is taken to stand before the first move: generously clear of any work of this trade.
MILL_START = Point(0.0, 0.0, 300.0, 0.0)
LATHE_START = Point(300.0, 0.0, 300.0, 0.0)

SPEED_CLAMPS: Final = ("none", "G92 S", "G50 S", "G96 D")
_OWN_CLAMP: Final = re.compile(r"G([0-9]{1,3}) S")
ToolWord: TypeAlias = Literal["tool alone", "tool and offset", "tool, then offset"]


def clamp_code(text: str) -> int | None:
    """Return ten times the number of the G code whose S limits the spindle ("G50 S" is 500); None: it is none.

    A code that the published language uses otherwise, or that machines read in several ways, is none; G92 is, for
    under the published language G92 with S alone is an error and moves nothing.
    """
    found = _OWN_CLAMP.fullmatch(text)
    tenths = 10 * int(found[1]) if found else None
    if tenths is None or (tenths != 920 and (tenths in G_GROUP or tenths in NOT_STANDARDISED)):
        return None
    return tenths


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """The switches of the machine that will run the program.

    Parameters
    ----------
    lathe : bool
        Axes X and Z, X in diameter, start plane G18; else a mill with X, Y, Z and A.
    speed_clamp : str
        Which words limit the spindle under constant surface speed: "none", "G92 S", "G50 S", "G96 D" (a
        D word on the line of G96), or another code of the machine's own, "G26 S". No standard settles it.
    block_delete : bool
        The switch that skips lines beginning with a slash.
    start : Point, optional
        Where the tool stands before the first move, mm and degrees; left out: generously clear.
    longest_line : int
        Characters a line may have (NISTIR 6556, section 3.3).
    origins : mapping of int to Point
        The origins of the coordinate systems in machine coordinates, by number 1 to 9, mm and degrees; those
        left out are not known, and moves that need them are refused or marked.
    tool_lengths : mapping of int to float
        The tool length offsets by their H number, mm; those left out are not known.
    home, second_home : Point, optional
        The reference points of G28 and G30 in machine coordinates, mm and degrees.
    parameters : mapping of int to float
        Values of the parameters 1 to 5060 that the machine holds when the program begins; those above
        are places, which the other switches give.
    x_radius : bool
        A lathe's X words count in radius. What the reader tells is a diameter all the same.
    tool_word : str
        A lathe's tool word: T1; T0101, tool and offset in one; or T1 D1.
    rotary_letter : str
        The letter of a mill's rotary axis, told as A all the same; ``rotary_reversed``: its sense is against
        the published one. ``rotary_by_hand``: there is none, so that a return to the reference cannot turn it.
    program_number : bool
        The first line with words may begin with O and a number, which is passed over. Further on such a number
        would begin another program: it is refused.
    semicolon_comments : bool
        A semicolon begins a comment to the line's end.
    home_clear : bool
        The machine's own zero and its reference point are clear of all work: G53 to zero, and G28, lead to
        where the tool stands before the first move. Else their places are known only by ``origins``, ``home``.

    Raises
    ------
    GcodegenError
        When ``speed_clamp`` is none of these, or a number of an origin or a parameter is none.
    """

    lathe: bool = False
    speed_clamp: str = "none"
    block_delete: bool = False
    start: Point | None = None
    longest_line: int = 256
    origins: Mapping[int, Point] = field(default_factory=dict)
    tool_lengths: Mapping[int, float] = field(default_factory=dict)
    home: Point | None = None
    second_home: Point | None = None
    parameters: Mapping[int, float] = field(default_factory=dict)
    x_radius: bool = False
    tool_word: ToolWord = "tool alone"
    rotary_letter: Literal["A", "B", "C"] = "A"
    rotary_reversed: bool = False
    rotary_by_hand: bool = False
    program_number: bool = False
    semicolon_comments: bool = False
    home_clear: bool = False

    def __post_init__(self) -> None:
        if self.speed_clamp not in SPEED_CLAMPS and clamp_code(self.speed_clamp) is None:
            raise GcodegenError(
                f'"{self.speed_clamp}" is no way to limit the spindle',
                do=f"Say one of: {', '.join(SPEED_CLAMPS)}",
            )
        _need_numbers("coordinate system", self.origins, 9)
        _need_numbers("parameter that may be given", self.parameters, 5060)

    @property
    def first_point(self) -> Point:
        """Return where the tool stands before the first move."""
        if self.start is not None:
            return self.start
        return LATHE_START if self.lathe else MILL_START

    @property
    def own_words(self) -> bool:
        """Whether words have forms of the machine's own."""
        if self.lathe:
            return self.x_radius or self.tool_word != "tool alone"
        return self.rotary_reversed or self.rotary_letter != "A"

    @property
    def clamp_code(self) -> int | None:
        """Ten times the number of the G code that limits the spindle by its S; None: no code does."""
        return clamp_code(self.speed_clamp)

    @property
    def axes(self) -> str:
        """Return the letters of the axes the machine has."""
        return "XZ" if self.lathe else "XYZA"


def _need_numbers(what: str, given: Mapping[int, object], most: int) -> None:
    wrong = next((number for number in given if not 1 <= number <= most), None)
    if wrong is not None:
        raise GcodegenError(f"{wrong} is no number of a {what}", do=f"They are numbered 1 to {most}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a program does and what is wrong with its text.

    ``blocks`` counts the lines that hold words; ``ended`` is true when an M2 or M30 was carried out.
    """

    blocks: int
    steps: Sequence[Step]
    faults: tuple[Fault, ...]
    ended: bool
    text: str = field(repr=False, compare=False)

    @property
    def lines(self) -> tuple[str, ...]:
        """Return the text cut at its line ends, so that ``lines[fault.line - 1]`` is the line of a fault."""
        return tuple(line.removesuffix("\r") for line in self.text.removesuffix("\n").split("\n"))
