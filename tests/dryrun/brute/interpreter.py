"""A second, plain interpreter of programs: slow, short, and without a line from gcodegen.

It knows the words that the shipped programs use (from memory of NISTIR 6556 and ISO 6983-1) and refuses all else
as unclear. Lengths come out in mm, X of a lathe as a diameter.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from tests.dryrun.brute.arcs import chords
from tests.dryrun.brute.shop import HOME, Shop
from tests.dryrun.brute.words import Unclear, lines_of

_GROUPS = (
    {0, 1, 2, 3, 80, 81, 82, 83, 84, 86, 33},
    {17, 18, 19},
    {90, 91},
    {93, 94, 95},
    {20, 21},
    {40},
    {43, 49},
    {98, 99},
    {54, 55, 56, 57, 58, 59},
    {96, 97},
)
_M_GROUPS = ({0, 1, 2, 30}, {3, 4, 5}, {6})
_CYCLES = (81, 82, 83, 84)


@dataclass(frozen=True)
class Move:
    """One straight or round move between two places ("XYZA" as mm and degrees)."""

    line: int
    rapid: bool
    start: tuple[float, float, float, float]
    end: tuple[float, float, float, float]
    feed: float  # mm/min; 0 for a rapid
    rpm: float
    way: int  # 1 clockwise, -1 the other way, 0 stands
    tool: int
    offset: int
    turn: float  # of the work
    in_step: bool = False
    cycle: bool = False


@dataclass(frozen=True)
class Halt:
    """A stop for the operator."""

    line: int
    says: str
    place: tuple[float, float, float, float]
    way: int
    turn: float
    tool: int


@dataclass
class Run:
    """All that a program does."""

    moves: list[Move] = field(default_factory=list)
    halts: list[Halt] = field(default_factory=list)
    changes: list[tuple[int, int, float, int]] = field(default_factory=list)  # line, tool, z, spindle's way
    ended: bool = False
    way_at_end: int = 0
    clamp: float | None = None


@dataclass
class _Machine:
    shop: Shop
    at: list[float]
    run: Run = field(default_factory=Run)
    unit: float = 1.0
    absolute: bool = True
    motion: int = 1
    feed: float = 0.0
    feed_mode: int = 94
    rpm: float = 0.0
    surface: float = 0.0
    way: int = 0
    selected: int = 0
    tool: int = 0
    offset: int = 0
    retract_old: bool = True
    turn: float = 0.0
    plane: int = 17
    sticky: dict[str, float] = field(default_factory=dict)


def interpret(text: str, shop: Shop) -> Run:
    """Return what a program does; Unclear where this interpreter cannot tell."""
    m = _Machine(shop, list(HOME))
    if shop.lathe:
        m.feed_mode, m.plane = 95, 18
    for line in lines_of(text, shop):
        _block(m, line.number, line.words, line.comment)
        if m.run.ended:
            break
    m.run.way_at_end = m.way
    return m.run


def _block(m: _Machine, line: int, words: list[tuple[str, float]], comment: str) -> None:
    g = [v for a, v in words if a == "G"]
    mm = [v for a, v in words if a == "M"]
    rest = [(a, v) for a, v in words if a not in "GM"]
    letters = [a for a, _ in rest]
    if len(letters) != len(set(letters)):
        raise Unclear("twice the same word")
    for groups, found in ((_GROUPS, g), (_M_GROUPS, mm)):
        for group in groups:
            if len(group & set(found)) > 1 or any(found.count(c) > 1 for c in group):
                raise Unclear("two words of one group")
    known = set().union(*_GROUPS) | {4, 28, 50, 92}
    if set(g) - known or set(mm) - set().union(*_M_GROUPS) - {8, 9}:
        raise Unclear("unknown word")
    w = dict(rest)
    if set(w) - set("XYZAFSTHRQPIJKL") or ((4 in g) and "P" not in w):
        raise Unclear("unknown letter")
    _modes(m, g, w)
    if 50 in g or 92 in g:
        if not m.shop.lathe or set(w) != {"S"}:
            raise Unclear("offset")
        m.run.clamp = w["S"]
        return
    if "F" in w:
        m.feed = w["F"] * m.unit
    if "S" in w:
        if 96 in g or (m.surface and 97 not in g):
            m.surface = w["S"] * (1.0 if m.unit == 1.0 else 0.3048)
        else:
            m.rpm, m.surface = w["S"], 0.0
    if "T" in w:
        m.selected = _tool(m, w["T"])
    if 6 in mm:
        m.run.changes.append((line, m.selected, m.at[2], 0))  # M6 stops the spindle itself
        m.tool, m.way = m.selected, 0
    for code, way in ((3, 1), (4, -1), (5, 0)):
        if code in mm:
            m.way = way
    if 43 in g:
        if "H" not in w:
            raise Unclear("no H")
        m.offset = int(w["H"])
    if 49 in g:
        m.offset = 0
    if 28 in g:
        _home(m, line, w)
    elif 4 not in g:
        _motion(m, line, w, g)
    if 0 in mm or 1 in mm:
        _halt(m, line, comment)
    if 2 in mm or 30 in mm:
        m.run.ended, m.way = True, 0


def _modes(m: _Machine, g: list[float], w: dict[str, float]) -> None:
    for code in g:
        match int(code):
            case 20 | 21:
                m.unit = 25.4 if code == 20 else 1.0
            case 90 | 91:
                m.absolute = code == 90
            case 93:
                raise Unclear("inverse time")
            case 94 | 95:
                if m.feed_mode != code:
                    m.feed_mode, m.feed = int(code), 0.0
            case 98 | 99:
                m.retract_old = code == 98
            case 17 | 18 | 19:
                m.plane = int(code)
            case 96 | 97:
                if code == 96 and "S" not in w:
                    raise Unclear("no S")
                if code == 97 and m.surface and "S" not in w:
                    raise Unclear("speed left over")
                m.surface = 1.0 if code == 96 else 0.0
            case 0 | 1 | 2 | 3 | 80 | 81 | 82 | 83 | 84 as motion:
                m.motion = motion
                m.sticky = {}
            case _:
                pass


def _motion(m: _Machine, line: int, w: dict[str, float], g: list[float]) -> None:
    axes = [a for a in "XYZA" if a in w]
    if not axes:
        if any(int(c) in (0, 1, 2, 3, *_CYCLES) for c in g):
            raise Unclear("no axis")
        return
    if m.motion == 80 or (m.shop.lathe and ("Y" in w or "A" in w)) or (m.shop.hand_rotary and "A" in w):
        raise Unclear("axis not here")
    if m.motion in _CYCLES:
        _cycle(m, line, w)
        return
    if {"R", "Q", "P", "L", "I", "J", "K"} & set(w) and m.motion not in (2, 3):
        raise Unclear("word without use")
    end = _end(m, w)
    if m.motion in (2, 3):
        _arc(m, line, w, end)
    else:
        _go(m, line, end, rapid=m.motion == 0)


def _end(m: _Machine, w: dict[str, float]) -> list[float]:
    end = list(m.at)
    for k, a in enumerate("XYZA"):
        if a in w:
            value = w[a] * (1.0 if a == "A" else m.unit) * (2.0 if a == "X" and m.shop.x_radius else 1.0)
            end[k] = value if m.absolute else m.at[k] + value
    return end


def _arc(m: _Machine, line: int, w: dict[str, float], end: list[float]) -> None:
    if not m.shop.lathe or m.plane != 18 or {"Q", "P", "L", "J"} & set(w):
        raise Unclear("arc")
    start = m.at[2], m.at[0] / 2
    for z, r in chords(start, (end[2], end[0] / 2), clockwise=m.motion == 2, words=w, unit=m.unit):
        _go(m, line, [2 * r, m.at[1], z, m.at[3]], rapid=False)


def _home(m: _Machine, line: int, w: dict[str, float]) -> None:
    """G28: by the place named, then all axes home (NISTIR 6556, section 3.5.8)."""
    named = set("XYZA") & set(w)
    if not m.shop.clear_home or not named or (m.shop.lathe and named - set("XZ")):
        raise Unclear("reference")
    _go(m, line, _end(m, w), rapid=True)
    home = list(HOME)
    if m.shop.hand_rotary:
        home[3] = m.at[3]
    _go(m, line, home, rapid=True)


def _tool(m: _Machine, value: float) -> int:
    if not m.shop.offset_digits or value == 0:
        return int(value)
    if value < 100:
        raise Unclear("no digits for the offset")
    return int(value) // 100


def _go(m: _Machine, line: int, end: list[float], *, rapid: bool, in_step: bool = False, cycle: bool = False) -> None:
    if not rapid and m.feed <= 0:
        raise Unclear("no feed")
    rpm = m.rpm
    if m.surface:
        rpm = 1000 * m.surface / (3.14159265 * max(abs(end[0]), 1.0))
        if m.run.clamp:
            rpm = min(rpm, m.run.clamp)
    feed = 0.0 if rapid else m.feed * (rpm if m.feed_mode == 95 else 1.0)
    if end[3] != m.at[3]:
        m.turn = end[3]
    m.run.moves.append(
        Move(line, rapid, tuple(m.at), tuple(end), feed, rpm, m.way, m.tool, m.offset, m.turn, in_step, cycle)  # type: ignore[arg-type]  # always four places
    )
    m.at = list(end)


def _cycle(m: _Machine, line: int, w: dict[str, float]) -> None:
    if m.shop.lathe or m.plane != 17 or not m.absolute or "A" in w or w.get("L", 1) != 1:
        raise Unclear("cycle")
    m.sticky.update({a: w[a] for a in "ZRQP" if a in w})
    s = m.sticky
    if "Z" not in s or "R" not in s or (m.motion == 83 and s.get("Q", 0) <= 0) or (m.motion == 82 and "P" not in s):
        raise Unclear("cycle word missing")
    z, r, old = s["Z"] * m.unit, s["R"] * m.unit, m.at[2]
    if r < z:
        raise Unclear("R below Z")
    x = w["X"] * m.unit if "X" in w else m.at[0]
    y = w["Y"] * m.unit if "Y" in w else m.at[1]
    if old < r:
        _go(m, line, [m.at[0], m.at[1], r, m.at[3]], rapid=True, cycle=True)
    _go(m, line, [x, y, m.at[2], m.at[3]], rapid=True, cycle=True)
    _go(m, line, [x, y, r, m.at[3]], rapid=True, cycle=True)
    _go(m, line, [x, y, z, m.at[3]], rapid=False, in_step=m.motion == 84, cycle=True)
    if m.motion == 84:
        _go(m, line, [x, y, r, m.at[3]], rapid=False, in_step=True, cycle=True)
    back = max(old, r) if m.retract_old else r
    _go(m, line, [x, y, back, m.at[3]], rapid=True, cycle=True)


def _halt(m: _Machine, line: int, comment: str) -> None:
    m.run.halts.append(Halt(line, comment, tuple(m.at), m.way, m.turn, m.tool))  # type: ignore[arg-type]  # always four places
    indexed = re.search(r"INDEX WORK TO (-?[\d.]+)", comment)
    if indexed and m.shop.hand_rotary:
        m.turn = float(indexed[1])
    elif m.selected not in (0, m.tool) and (m.shop.lathe or m.shop.hand_change):
        m.run.changes.append((line, m.selected, m.at[2], m.way))
        m.tool = m.selected
