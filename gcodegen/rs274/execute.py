"""Carry out one block in the order of NISTIR 6556, section 3.8, Table 8."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

from gcodegen.rs274.arcs import arc
from gcodegen.rs274.blocks import Block, whole
from gcodegen.rs274.cycles import cycle
from gcodegen.rs274.forms import own_letters, published_words
from gcodegen.rs274.groups import AXIS_LETTERS, CLAIMED_LETTERS, CLAIMS, CYCLES, g_name
from gcodegen.rs274.motions import Dwell, End, Motion, Stop, ToolChange, Turning
from gcodegen.rs274.offsets import retract_in_machine, return_home, select_system, set_length, set_unit, shift_origin
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import set_feed, set_feed_unit, set_speed, set_speed_mode, set_spindle, turn
from gcodegen.rs274.state import Modes
from gcodegen.rs274.straight import cut, rapid, thread
from gcodegen.rs274.tokens import column_of

Act: TypeAlias = Callable[[Modes, Block], None]
Mover: TypeAlias = Callable[[Modes, Block, int], None]

_NO_CLAIM: Final[frozenset[str]] = frozenset()
# The codes of group 0, of those followed here, that take the axis words for themselves.
_USES_AXES: Final = frozenset({100, 280, 920})
MOVERS: Final[dict[int, Mover]] = {
    0: rapid,
    10: cut,
    20: arc,
    30: arc,
    330: thread,
    **dict.fromkeys(CYCLES, cycle),
}


def execute(modes: Modes, block: Block, message: str) -> bool:
    """Carry out a block and return whether it ended the program.

    A block that is refused makes no motion; modes it set before the refusal stay set, so that one fault does
    not bring forth others.
    """
    mark, before = len(modes.steps), modes.position
    try:
        return _execute(modes, block, message)
    except Refusal as no:
        modes.steps[mark:] = [step for step in modes.steps[mark:] if not isinstance(step, Motion)]
        modes.position = before
        column = no.column or (column_of(block.raw, no.word) if no.word else 1)
        modes.faults.add(no.code, no.says, line=block.line, column=column, do=no.do)
        return False


def _execute(modes: Modes, block: Block, message: str) -> bool:
    words, codes = block.words, block.codes
    if modes.machine.own_words:
        published_words(block, modes.machine)
    motion = _motion_of(modes, block)
    if not CLAIMED_LETTERS.isdisjoint(words):
        _check_claims(modes, block, motion)
    if codes:
        for key, act in ORDER:
            if key in codes or key in words:
                act(modes, block)
    else:
        for key, act in WORDS_ALONE:
            if key in words:
                act(modes, block)
    if motion is not None:
        _move(modes, block, motion)
    if "stop" in codes:
        return _stop(modes, block, message)
    return False


def _motion_of(modes: Modes, block: Block) -> int | None:
    """Return the motion code that this line carries out, None when it moves nothing (section 3.4)."""
    explicit = block.codes.get("motion")
    once = block.codes.get("once")
    moves = not AXIS_LETTERS.isdisjoint(block.words)
    if once in _USES_AXES and moves:
        if explicit not in (None, 800):
            both = f"{g_name(explicit or 0)} and {g_name(once or 0)}"
            raise Refusal("modal-conflict", f"{both} both take the axis words of the line", word=g_name(once or 0))
        return explicit
    if explicit is None:
        if once == 530 and not moves:
            raise Refusal("missing-axis", "G53 names no axis", word="G53")
        if not moves:
            return None
        explicit = modes.motion
        if explicit == 800:
            axis = next(letter for letter in block.words if letter in AXIS_LETTERS)
            raise Refusal("no-motion-mode", f"{axis} is given and no motion code is in force", word=axis)
    elif explicit == 800 and moves:
        raise Refusal("no-motion-mode", "G80 ends all motion and axes are given on its line", word="G80")
    return explicit


def _check_claims(modes: Modes, block: Block, motion: int | None) -> None:
    """Refuse a word that no code of the line uses, or that two would use."""
    users = [motion, block.codes.get("once"), block.codes.get("length")]
    claims = [CLAIMS.get(user, _NO_CLAIM) for user in users if user is not None]
    for letter in (block.words.keys() & CLAIMED_LETTERS) - own_letters(block, modes.machine):
        using = sum(letter in claim for claim in claims)
        if using == 0:
            raise Refusal("extra-word", f"nothing on the line uses {letter}", word=letter)
        if using > 1:
            raise Refusal("ambiguous-word", f"two codes of the line would use {letter}", word=letter)


def _move(modes: Modes, block: Block, motion: int) -> None:
    if motion != modes.motion:
        modes.sticky = None
    if motion == 800:
        modes.motion = motion
        return
    if not modes.unit_stated:
        modes.unit_stated = True  # said once; millimetres are then assumed
        says = "the first motion comes before G20 or G21 has stated the unit"
        modes.faults.add("unit-not-stated", says, line=block.line)
    modes.motion = motion  # before the move: a fault in it must not turn the next lines into another motion
    if block.codes.get("once") == 530:
        retract_in_machine(modes, block, motion)
    else:
        MOVERS[motion](modes, block, motion)
        modes.moved = True


def _dwell(modes: Modes, block: Block) -> None:
    code = block.codes["once"]
    if code != 40:
        return
    seconds = block.words.get("P")
    if seconds is None:
        raise Refusal("missing-word", "G4 has no P word with the seconds", word="G4")
    if seconds < 0:
        raise Refusal("bad-number", f"a dwell of {seconds:g} seconds", word="P")
    modes.steps.append(Dwell(block.line, seconds, modes.state()))


def _name_tool(modes: Modes, block: Block) -> None:
    number = whole(block.words["T"], "T", "T")
    if number < 0:
        raise Refusal("bad-number", f"T{number} is no tool", word="T")
    modes.named_tool = number


def _change_tool(modes: Modes, block: Block) -> None:
    """Take M6: the spindle stops, then the named tool comes; ``state`` is that before the word acted."""
    if modes.named_tool is None:
        raise Refusal("missing-word", "M6 changes the tool and no T word has named one", word="M6")
    before = modes.state()
    turn(modes, block, Turning.OFF)
    modes.steps.append(ToolChange(block.line, modes.named_tool, modes.position, before))
    modes.tool = modes.named_tool
    modes.touch()


def _set_plane(modes: Modes, block: Block) -> None:
    plane = block.codes["plane"]
    if plane != modes.plane:
        modes.plane = plane
        modes.sticky = None


def _set_distance(modes: Modes, block: Block) -> None:
    absolute = block.codes["distance"] == 900
    if absolute != modes.absolute:
        modes.absolute = absolute
        modes.sticky = None


def _set_return(modes: Modes, block: Block) -> None:
    code = block.codes["return"]
    if modes.machine.lathe and modes.plane != 170:
        says = f"{g_name(code)} without cycles is a feed mode on some lathes; no standard settles it"
        raise Refusal("not-standardised", says, word=g_name(code))
    modes.to_near = code == 990


def _stop(modes: Modes, block: Block, message: str) -> bool:
    code = block.codes["stop"]
    state = modes.state()
    if code in (2, 30):
        turn(modes, block, Turning.OFF)
        modes.steps.append(End(block.line, modes.position, state))
        return True
    modes.steps.append(Stop(block.line, message, modes.position, state, modes.named_tool or 0, optional=code == 1))
    return False


# Table 8. Coolant, overrides, radius compensation off and path mode change nothing that is told here.
ORDER: Final[tuple[tuple[str, Act], ...]] = (
    ("feed mode", set_feed_unit),
    ("F", set_feed),
    ("speed mode", set_speed_mode),
    ("S", set_speed),
    ("T", _name_tool),
    ("tool", _change_tool),
    ("spindle", set_spindle),
    ("once", _dwell),
    ("plane", _set_plane),
    ("unit", set_unit),
    ("length", set_length),
    ("system", select_system),
    ("distance", _set_distance),
    ("return", _set_return),
    ("once", shift_origin),
    ("once", return_home),
)
WORDS_ALONE: Final = tuple((key, act) for key, act in ORDER if len(key) == 1)
