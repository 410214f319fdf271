"""Programs of any length, seeded, that stand for what people write."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable

from tests.dryrun.generated import shipped

MILL_HEAD = ["G21 G17 G90 G94 G40 G49 G80 G98 G54", "T1 M6", "G43 H1 G0 Z25.0", "S720 M3", "F100.0"]
LATHE_HEAD = ["G21 G18 G90 G95 G40 G54", "T1 M0", "G97 S100 M3 F0.1", "G0 X170.0 Z5.0"]


def straight(blocks: int) -> str:
    """Return straight moves, each to a place of its own."""
    c = random.Random(1)
    return _text(f"G1 X{c.uniform(0, 90):.3f} Y{c.uniform(0, 90):.3f} Z{c.uniform(-9, 9):.3f}" for _ in range(blocks))


def arcs(blocks: int) -> str:
    """Return arcs to and fro, half circles by their centre and flatter ones by their radius."""
    c = random.Random(1)
    ways = (lambda r: f"G2 X{2 * r:.3f} Y0. I{r:.3f} J0.", lambda r: f"G3 X0. Y0. R{1.2 * r:.3f}")
    radii = [round(c.uniform(1, 40), 3) for _ in range((blocks + 1) // 2)]
    return _text(["G0 X0.0 Y0.0", *(ways[n % 2](radii[n // 2]) for n in range(blocks))])


def comments(blocks: int) -> str:
    """Return straight moves with a block number and a comment each."""
    return _text(f"N{n % 99999} G1 X{n % 97}.5 Y{n % 89}.25 (ROW {n})" for n in range(blocks))


def holes(blocks: int) -> str:
    """Return one drilling cycle made at a new place by each block: three or four motions a block."""
    c = random.Random(1)
    first = ["G0 Z5.0", "G81 X1.0 Y1.0 Z-3.0 R2.0 F80.0"]
    return _text([*first, *(f"X{c.uniform(0, 90):.3f} Y{c.uniform(0, 90):.3f}" for _ in range(blocks))])


def formulas(blocks: int) -> str:
    """Return moves to places reckoned by the program itself."""
    return _text(["#1=0", *(f"#1=[#1+0.5] G1 X[#1*2.0] Y[SIN[#1]*{n % 89}.25]" for n in range(blocks))])


def mill_moves(count: int) -> str:
    """Return a shipped mill program with moves anywhere in and about the chuck put in, rapids and feeds."""
    c = random.Random(1)
    made = shipped("chuck-160").mill
    before, after = made.split("S720 M3\n", 1)
    moves = "".join(
        f"{c.choice(['G0', 'G1'])} X{c.uniform(-60, 120):.3f} Y{c.uniform(-120, 120):.3f} Z{c.uniform(-90, 30):.3f}\n"
        for _ in range(count)
    )
    return f"{before}S720 M3\nF100.0\n{moves}G0 Z25.0\n{after}"


def lathe_moves(count: int) -> str:
    """Return moves anywhere about the backplate: rapids, feeds and arcs."""
    c = random.Random(1)
    lines = list(LATHE_HEAD)
    for _ in range(count):
        place = f"X{c.uniform(110, 175):.3f} Z{c.uniform(-9, 6):.3f}"
        arc = f"G{c.choice([2, 3])} {place} R{c.uniform(60, 90):.3f}"
        lines.append(arc if c.random() < 0.15 else f"G{c.choice([0, 1, 1, 1])} {place}")
    return "\n".join([*lines, "M5", "M30", ""])


def lathe_cuts(count: int) -> str:
    """Return passes across the seat, each a hair deeper than the last, so that every one of them cuts."""
    c = random.Random(2)
    lines = [*LATHE_HEAD, "G0 X162.0", "G0 Z-4.0"]
    for k in range(count):
        x = c.uniform(126, 135) if k % 2 == 0 else c.uniform(155, 161)
        lines.append(f"G1 X{x:.3f} Z{-4.0 - 3.4 * (k + 1) / count:.4f}")
    return "\n".join([*lines, "M5", "M30", ""])


def _text(lines: Iterable[str]) -> str:
    return "\n".join([*MILL_HEAD, *lines, "M5", "M30", ""])


KINDS: dict[str, Callable[[int], str]] = {
    "straight moves": straight,
    "arcs": arcs,
    "moves with number and comment": comments,
    "drilling cycles, 3 motions a block": holes,
    "formulas with parameters": formulas,
}
