"""A small greedy generator of pairwise combinations, and the switches that are combined."""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable, Mapping, Sequence

Row = dict[str, object]
Axes = Mapping[str, Sequence[object]]

WORDS: Axes = {
    "percent_lines": (False, True),
    "program_number": (0, 7, 9999),
    "block_numbers": (0, 1, 10, 100),
    "mm_decimals": (3, 4, 5),
    "inch_decimals": (5, 6),
    "trailing_zeros": (False, True),
    "plus_signs": (False, True),
    "spaces": (True, False),
    "line_ends": ("lf", "crlf"),
    "comments": ("brackets", "semicolon", "left out"),
    "stop_text": ("comment", "message"),
    "line_length": (80, 100, 256),
    "end_word": ("M30", "M2"),
    "last_line_end": (True, False),
    "safe_return": ("clear height", "machine zero", "reference"),
    "cycles": (True, False),
}
MILL: Axes = WORDS | {
    "pecks": ("full retract", "chip break"),
    "rotary_letter": ("A", "B", "C"),
    "rotary_sense": ("as published", "reversed"),
    "length_offset": ("word", "touch off"),
    "floating_feed_share": (0.9, 0.97, 1.0),
    "rotary": ("A", "by hand"),
    "tool_change": ("by hand", "automatic"),
    "tapping": ("by hand", "synchronised", "floating holder"),
    "grouping": ("by tool", "by hole"),
    "proof_pass": (False, True),
    "rear_face": ("-X", "+X"),
}
LATHE: Axes = WORDS | {
    "feed_per_turn": (True, False),
    "speed_clamp": ("none", "G92 S", "G50 S", "G96 D", "G26 S"),
    "surface_speed": (False, True),
    "speed_steps": (False, True),
    "tool_word": ("tool alone", "tool and offset", "tool, then offset"),
    "x_values": ("diameter", "radius"),
    "arcs": ("centre", "radius", "chords"),
    "edge": ("chamfer", "round"),
    "spring_passes": (0, 1, 2),
    "measuring_stop": (False, True),
    "tool_post": ("front", "rear"),
    "tool_face": ("up", "down"),
    "held": ("own nose", "fixture"),
    "facing": ("inward", "outward"),
    "corner": ("fillet", "undercut"),
    "shank": ("across", "along"),
    "hand": (None, "right", "left"),
    "edges": ((95, 5), (93, 32), (108, 18)),
}
JOB_KEYS = frozenset(
    {
        "rotary", "tool_change", "tapping", "grouping", "proof_pass", "rear_face",
        "surface_speed", "edge", "spring_passes", "measuring_stop", "tool_post", "tool_face", "held",
        "facing", "corner", "shank", "hand", "edges",
    }
)  # fmt: skip


def allowed(row: Mapping[str, object]) -> bool:
    """Whether a row, also one that is not full yet, may stand: what the rules refuse is left out."""
    touched = row.get("length_offset") == "touch off" and row.get("tool_change") == "automatic"
    places = {"tool_post", "tool_face", "shank"}
    wrong_hand = row.get("hand") and places <= row.keys() and row["hand"] != hand_wanted(row)
    told = row.get("stop_text") == "message" and row.get("comments") in ("semicolon", "left out")
    return not (touched or told or wrong_hand)


def hand_wanted(row: Mapping[str, object]) -> str:
    """Return the hand that goes with post, face and shank: each of the three turned over wants the other one."""
    turns = [row["tool_post"] == "rear", row["tool_face"] == "down", row["shank"] == "along"]
    return "left" if sum(turns) % 2 else "right"


def pairwise(axes: Axes, seed: int = 0, fits: Callable[[Row], bool] = allowed) -> list[Row]:
    """Return rows in which each allowed pair of values of any two axes stands at least once.

    Greedy: each row begins with a pair that is still missing and takes, axis by axis in a shuffled order,
    the value that brings the most missing pairs.
    """
    chance = random.Random(seed)
    names = list(axes)
    missing = {
        frozenset({(a, x), (b, y)})
        for a, b in itertools.combinations(names, 2)
        for x in axes[a]
        for y in axes[b]
        if fits({a: x, b: y})
    }
    rows: list[Row] = []
    while missing:
        row: Row = dict(min(missing, key=lambda pair: (sorted(map(repr, pair)), chance.random())))
        order = [n for n in names if n not in row]
        chance.shuffle(order)
        for name in order:
            values = [v for v in axes[name] if fits(row | {name: v})]
            chance.shuffle(values)
            row[name] = max(values, key=lambda v: sum(frozenset({(name, v), pair}) in missing for pair in row.items()))
        missing -= {frozenset(pair) for pair in itertools.combinations(row.items(), 2)}
        rows.append(row)
    return rows


def parted(row: Row) -> tuple[Row, Row]:
    """Return the keys of the job's machine, and the switches of the dialect."""
    return (
        {k: v for k, v in row.items() if k in JOB_KEYS},
        {k: v for k, v in row.items() if k not in JOB_KEYS},
    )
