"""A second small reader of our programs, written apart from the project's own: it shares no line with it.

It takes the few words that a program of this work may hold and nothing else, with plain dictionaries and
regular expressions, and tells what is cut: strokes at each place on the mill, paths on the lathe.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

INCH = 25.4
_WORD = re.compile(r"([A-Z])([+-]?\d*\.?\d*)")
_MOVES = {"0", "1", "2", "3", "81", "82", "83", "84"}
_QUIET = {"17", "18", "40", "43", "49", "54", "80", "90", "94", "95", "96", "97", "98", "4"}


@dataclass
class Cut:
    """The deepest stroke of one tool at one place, in mm and degrees; by hand: bottom is None."""

    tool: int
    index: float
    x: float
    bottom: float | None


@dataclass
class Told:
    """What a program does: cuts in order, and on a lathe the paths of its feeds as (z, radius) points."""

    cuts: list[Cut] = field(default_factory=list)
    paths: list[list[tuple[float, float]]] = field(default_factory=list)
    spindle_at_cut: set[str] = field(default_factory=set)
    ended: bool = False


def tell(text: str, switches: dict[str, object], *, lathe: bool) -> Told:
    """Read a text; ``switches`` are those of its dialect that the text does not tell."""
    told, unit = Told(), 1.0
    at = {"X": 300.0, "Z": 300.0, "A": 0.0, "Y": 0.0}
    mode, tool, index, spindle, clamp = "0", 0, 0.0, "M5", False
    notes: list[str] = []
    own_g = str(switches.get("speed_clamp", "none")).removesuffix(" S").removeprefix("G")
    for raw in text.replace("\r\n", "\n").strip("\n").split("\n"):
        if raw == "%" or re.fullmatch(r"O\d+", raw):
            continue
        assert not told.ended, raw
        words, comment = split(raw, switches)
        if comment is not None:
            notes.append(comment)
        pairs = _WORD.findall(words)
        assert "".join(a + b for a, b in pairs) == words, raw
        if not pairs:
            continue
        codes = [b.lstrip("0") or "0" for a, b in pairs if a == "G"]
        stops = {b.lstrip("0") or "0" for a, b in pairs if a == "M"}
        values = {a: float(b) for a, b in pairs if a not in "GMN"}
        unit = INCH if "20" in codes else 1.0 if "21" in codes else unit
        home = "28" in codes or "53" in codes
        for code in codes:
            assert code in _MOVES | _QUIET | {"20", "21", "28", "53"} or code == own_g, raw
        if "T" in values:
            tool = int(values["T"])
            tool = tool // 100 if switches.get("tool_word") == "tool and offset" and lathe else tool
        if own_g in codes:
            assert set(values) == {"S"}
            clamp = True
        if "96" in codes:
            assert clamp or "D" in values
        # By the order of execution the spindle's words act before the move.
        spindle = next((f"M{s}" for s in ("3", "4", "5") if s in stops), spindle)
        mode = next((c for c in codes if c in _MOVES), mode)
        goal = _goal(values, at, unit, switches, lathe=lathe)
        if home:
            at = goal | dict.fromkeys([a for a in "XZ" if a in values], 300.0)
        elif mode in ("81", "82", "83", "84") and "Z" in values:
            assert spindle == "M3"
            _deeper(told, Cut(tool, index_of(goal, index, switches), goal["X"], goal["Z"]))
            at = goal | {"Z": at["Z"]}
        elif {"X", "Z", "Y", switches.get("rotary_letter", "A")} & set(values) and "92" not in codes:
            if mode != "0":
                told.spindle_at_cut.add(spindle)
                _feed(told, at, goal, mode, values, unit, tool, index_of(goal, index, switches), lathe=lathe)
            elif lathe:
                told.paths.append([])
            at = goal
        message = " ".join(notes) or by_number(raw)
        if "0" in stops:
            found = re.search(r"INDEX WORK TO (\d+\.\d+)", message)
            index = float(found[1]) if found else index
            if "BY HAND" in message and "TAP HOLE" in message:
                told.cuts.append(Cut(tool, index_of(at, index, switches), at["X"], None))
        notes.clear()
        told.ended = bool(stops & {"2", "30"})
    told.paths = [p for p in told.paths if len(p) > 1]
    return told


def split(raw: str, switches: dict[str, object]) -> tuple[str, str | None]:
    """Return a line's words without blanks, and its comment."""
    if switches.get("comments") == "semicolon":
        words, mark, comment = raw.partition(";")
    else:
        words, mark, comment = raw.partition("(")
        comment = comment.removesuffix(")")
        assert "(" not in comment
    return re.sub(r"^N\d+", "", words.replace(" ", "")), comment.strip() if mark else None


def by_number(raw: str) -> str:
    """Return what a stop's block number stands for, where the four holes are 90 degrees apart; "" for others."""
    found = re.match(r"N([789])\d\d0([1-4])(?!\d)", raw)
    if found is None:
        return ""
    turn = f"{90 * (int(found[2]) - 1)}.0"
    return {"9": f"INDEX WORK TO {turn}", "8": "TAP HOLE BY HAND", "7": "LOOK"}[found[1]]


def index_of(at: dict[str, float], by_hand: float, switches: dict[str, object]) -> float:
    return round((at["A"] + by_hand) % 360.0, 3) % 360.0


def _goal(
    values: dict[str, float], at: dict[str, float], unit: float, switches: dict[str, object], *, lathe: bool
) -> dict[str, float]:
    goal = dict(at)
    for axis in "XYZ":
        if axis in values:
            goal[axis] = values[axis] * unit
    if lathe and "X" in values:
        goal["X"] *= 1.0 if switches.get("x_values") == "radius" else 0.5
    letter = str(switches.get("rotary_letter", "A"))
    if not lathe and letter in values:
        goal["A"] = values[letter] * (-1 if switches.get("rotary_sense") == "reversed" else 1)
    return goal


def _feed(
    told: Told,
    at: dict[str, float],
    goal: dict[str, float],
    mode: str,
    values: dict[str, float],
    unit: float,
    tool: int,
    index: float,
    *,
    lathe: bool,
) -> None:
    if not lathe:
        if goal["Z"] < at["Z"]:
            _deeper(told, Cut(tool, index, goal["X"], goal["Z"]))
        return
    path = told.paths[-1]
    path = path or [(at["Z"], at["X"])]
    if mode == "3":
        path += _arc((at["Z"], at["X"]), (goal["Z"], goal["X"]), values, unit)
    path.append((goal["Z"], goal["X"]))
    told.paths[-1] = path


def _arc(
    a: tuple[float, float], b: tuple[float, float], values: dict[str, float], unit: float
) -> list[tuple[float, float]]:
    """Points of a counter-clockwise arc in (z, radius), by centre or by radius up to half a turn."""
    if "R" in values:
        r, chord = values["R"] * unit, math.dist(a, b)
        h = math.sqrt(max(r * r - chord * chord / 4, 0.0))
        nz, nx = -(b[1] - a[1]) / chord, (b[0] - a[0]) / chord
        centre = ((a[0] + b[0]) / 2 + h * nz, (a[1] + b[1]) / 2 + h * nx)
    else:
        centre = (a[0] + values["K"] * unit, a[1] + values["I"] * unit)
    r = math.dist(centre, a)
    first = math.atan2(a[1] - centre[1], a[0] - centre[0])
    sweep = (math.atan2(b[1] - centre[1], b[0] - centre[0]) - first) % (2 * math.pi)
    turns = [first + sweep * k / 200 for k in range(1, 200)]
    return [(centre[0] + r * math.cos(t), centre[1] + r * math.sin(t)) for t in turns]


def _deeper(told: Told, cut: Cut) -> None:
    """Note a stroke; a stroke deeper at the place of the last cut goes on with that."""
    last = told.cuts[-1] if told.cuts else None
    if last and (last.tool, last.index, last.x) == (cut.tool, cut.index, cut.x) and last.bottom is not None:
        assert cut.bottom is not None
        last.bottom = min(last.bottom, cut.bottom)
        return
    told.cuts.append(cut)
