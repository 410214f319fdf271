"""Rewrites of the moves that do the same: arcs in other forms, steps for places, cycles long hand and back."""

from __future__ import annotations

import math
import random
import re
from collections.abc import Iterator
from itertools import pairwise

from gcodegen.job import Job
from tests.dryrun.brute.interpreter import Move, Run
from tests.dryrun.brute.judge import run_of, shop_of

_WORD = re.compile(r"([A-Z])([+-]?\d*\.?\d+\.?)")
_GAP = 0.3  # mm over the last depth, where a peck feeds on
_MM = 25.4
Words = dict[str, str]


def _words(line: str) -> Words | None:
    """Return the words of a line without a comment, its number left out; None where one letter comes twice."""
    found = _WORD.findall(line)
    if not found or "".join(a + b for a, b in found) != line.replace(" ", "").strip():
        return None
    kept = [(a, b) for a, b in found if a != "N"]
    return dict(kept) if len(kept) == len(dict(kept)) else None


def _lines(text: str) -> Iterator[tuple[int, str, Words]]:
    for number, line in enumerate(text.split("\n"), start=1):
        yield number, line, _words(line) or {}


def _unit(text: str) -> float:
    return _MM if "G20" in text else 1.0


def _by_line(run: Run) -> dict[int, list[Move]]:
    found: dict[int, list[Move]] = {}
    for move in run.moves:
        found.setdefault(move.line, []).append(move)
    return found


# arcs


def _arcs(text: str, job: Job, on: str, form: str) -> str:
    """Return the text with each of a lathe's arcs written in another form."""
    if on != "lathe":
        return text
    moves, unit = _by_line(run_of(text, job, on)), _unit(text)
    across = (1.0 if shop_of(job, on).x_radius else 2.0) / unit  # X for each mm of radius
    out = []
    for number, line, words in _lines(text):
        if words.get("G") not in ("2", "3"):
            out.append(line)
            continue
        chords = moves[number]
        places = [(chords[0].start[2], chords[0].start[0] / 2)] + [(m.end[2], m.end[0] / 2) for m in chords]
        feed, code = f" F{words['F']}" if "F" in words else "", f"G{words['G']}"
        out += _written(places, across, unit, code, feed, form)
    return "\n".join(out)


def _written(
    places: list[tuple[float, float]], across: float, unit: float, code: str, feed: str, form: str
) -> list[str]:
    centre, radius = _circle(places[0], places[len(places) // 2], places[-1])

    def end(place: tuple[float, float]) -> str:
        return f"X{place[1] * across:.6f} Z{place[0] / unit:.6f}"

    def by_centre(start: tuple[float, float]) -> str:
        return f"I{(centre[1] - start[1]) / unit:.6f} K{(centre[0] - start[0]) / unit:.6f}"

    if form == "radius":
        return [f"{code} {end(places[-1])} R{radius / unit:.6f}{feed}"]
    if form == "centre":
        return [f"{code} {end(places[-1])} {by_centre(places[0])}{feed}"]
    third = len(places) // 3
    marks = [places[0], places[third], places[2 * third], places[-1]]
    if form == "chunks":
        pairs = pairwise(marks)
        return [
            f"{code} {end(b)} " + (by_centre(a) if k % 2 else f"R{radius / unit:.6f}") + feed
            for k, (a, b) in enumerate(pairs)
        ]
    first, last = (math.atan2(p[1] - centre[1], p[0] - centre[0]) for p in (places[0], places[-1]))
    sweep = (last - first) % (2 * math.pi) if code == "G3" else -((first - last) % (2 * math.pi))
    count = math.ceil(abs(sweep) / (2 * math.acos(1 - 5e-4 / radius)))
    turns = [first + sweep * k / count for k in range(1, count)]
    along = [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in turns]
    return [f"G1 {end(p)}{feed}" for p in (*along, places[-1])]


def _circle(
    a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]
) -> tuple[tuple[float, float], float]:
    """Return the circle through three places."""
    (ax, ay), (bx, by), (cx, cy) = a, b, c
    d = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    x = ((ax**2 + ay**2) * (by - cy) + (bx**2 + by**2) * (cy - ay) + (cx**2 + cy**2) * (ay - by)) / d
    y = ((ax**2 + ay**2) * (cx - bx) + (bx**2 + by**2) * (ax - cx) + (cx**2 + cy**2) * (bx - ax)) / d
    return (x, y), math.dist((x, y), a)


def arcs_by_radius(text: str, job: Job, on: str, _chance: random.Random) -> str:
    """Each arc by its radius."""
    return _arcs(text, job, on, "radius")


def arcs_by_centre(text: str, job: Job, on: str, _chance: random.Random) -> str:
    """Each arc by its centre."""
    return _arcs(text, job, on, "centre")


def arcs_in_chunks(text: str, job: Job, on: str, _chance: random.Random) -> str:
    """Each arc in three, by radius and by centre in turn."""
    return _arcs(text, job, on, "chunks")


def arcs_in_chords(text: str, job: Job, on: str, _chance: random.Random) -> str:
    """Each arc in chords that leave it by half a thousandth of a millimetre."""
    return _arcs(text, job, on, "chords")


# steps for places


def all_in_steps(text: str, job: Job, on: str, _chance: random.Random) -> str:
    """Every straight move as a step from where the tool stands, G90 again after a run of them.

    On a lathe those in Z alone: a step in X is read in two ways, and so refused.
    """
    moves, unit = _by_line(run_of(text, job, on)), _unit(text)
    letters = "GXYZF" if on == "mill" else "GZF"
    out, steps = [], False
    for number, line, words in _lines(text):
        made = moves.get(number, [])
        plain = words.get("G") in ("0", "1") and set(words) <= set(letters) and len(made) == 1
        if plain and max(made[0].start[:3]) < 390:
            if not steps:
                out.append("G91")
            steps = True
            at = {"X": 0, "Y": 1, "Z": 2}
            by = {a: (made[0].end[k] - made[0].start[k]) / unit for a, k in at.items() if a in words}
            out.append(f"G{words['G']}" + "".join(f" {a}{v:.6f}" for a, v in by.items()))
            out[-1] += f" F{words['F']}" if "F" in words else ""
            continue
        if steps:
            out.append("G90")
        steps = False
        out.append(line)
    return "\n".join(out)


# cycles


def drillings_long_hand(text: str, job: Job, on: str, _chance: random.Random) -> str:
    """A pecking cycle written out: down by Q, out to its level, back to a little over the last depth."""
    unit = _unit(text)
    clear, gap = job.mill.clear_height / unit, _GAP / unit
    out = []
    for line in text.split("\n"):
        found = re.fullmatch(r"(?:N\d+)?(?:G98)?G83X(\S+?)Y(\S+?)Z(\S+?)R(\S+?)Q(\S+?)F(\S+)", line.replace(" ", ""))
        if found is None or on != "mill":
            out.append(line)
            continue
        x, y = found[1], found[2]
        bottom, level, peck = float(found[3]), float(found[4]), float(found[5])
        out += [f"G0 X{x} Y{y}", f"G0 Z{level:.5f}"]
        depth = level
        while depth > bottom:
            if depth < level:
                out += [f"G0 Z{level:.5f}", f"G0 Z{min(depth + gap, level):.5f}"]
            depth = max(depth - peck, bottom)
            out.append(f"G1 Z{depth:.5f} F{found[6]}")
        out.append(f"G0 Z{clear:.5f}")
    return "\n".join(out)


def long_hand_as_cycles(text: str, _job: Job, on: str, _chance: random.Random) -> str:
    """Spots and pecked holes that are written out, as cycles again."""
    if on != "mill":
        return text
    place = r"G0 X(\S+) Y(\S+)\n"
    spot = place + r"G0 Z(\S+)\nG1 Z(\S+) F(\S+)\nG4 P(\S+)\nG0 Z(\S+)\n"
    text = re.sub(spot, r"G98 G82 X\1 Y\2 Z\4 R\3 P\6 F\5\nG80\nG0 Z\7\n", text)
    drill = place + r"G0 Z(\S+)\n((?:G1 Z\S+ F\S+\nG0 Z\S+\nG0 Z\S+\n)+)G1 Z(\S+) F(\S+)\nG0 Z(\S+)\n"

    def as_cycle(found: re.Match[str]) -> str:
        first = re.match(r"G1 Z(\S+)", found[4])
        assert first
        peck = float(found[3]) - float(first[1])
        return f"G98 G83 X{found[1]} Y{found[2]} Z{found[5]} R{found[3]} Q{peck:.5f} F{found[6]}\nG80\nG0 Z{found[7]}\n"

    return re.sub(drill, as_cycle, text)


MOVES = (
    arcs_by_radius,
    arcs_by_centre,
    arcs_in_chunks,
    arcs_in_chords,
    all_in_steps,
    drillings_long_hand,
    long_hand_as_cycles,
)
