"""Kinds of slip that a person makes in an editor, applied at every place where each fits."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

_CODE = re.compile(r"\([^()]*\)")
_WORD = re.compile(r"([A-Z])([+-]?\d*\.?\d+\.?)")


@dataclass(frozen=True)
class Mutant:
    """One changed text: the kind of slip, the line it was made on, and the text."""

    kind: str
    line: int
    text: str


def _words(line: str) -> Iterator[re.Match[str]]:
    """Return the words of a line outside of its comments."""
    blank = _CODE.sub(lambda m: " " * len(m[0]), line)
    yield from _WORD.finditer(blank)


def _scaled(value: str, by: float) -> str:
    return f"{float(value) * by:.6f}".rstrip("0")


_VALUE: dict[str, Callable[[str], str]] = {
    "sign flipped": lambda v: v[1:] if v.startswith("-") else f"-{v.lstrip('+')}",
    "point one to the right": lambda v: _scaled(v, 10),
    "point one to the left": lambda v: _scaled(v, 0.1),
    "point lost": lambda v: v.replace(".", ""),
    "first figure lost": lambda v: re.sub(r"\d", "", v, count=1) if len(re.sub(r"\D", "", v)) > 1 else v,
    "first figure doubled": lambda v: re.sub(r"(\d)", r"\1\1", v, count=1),
    "inch for mm": lambda v: _scaled(v, 25.4),
    "mm for inch": lambda v: _scaled(v, 1 / 25.4),
    "nought": lambda _: "0.",
}
_SWAPS = {"X": "Z", "Z": "X", "Y": "X", "A": "X", "F": "S", "S": "F", "R": "Z", "Q": "R", "H": "T", "T": "H"}
_G = {
    "G0": ("G1", "G2"),
    "G1": ("G0", "G2"),
    "G21": ("G20",),
    "G20": ("G21",),
    "G17": ("G18",),
    "G18": ("G17",),
    "G90": ("G91",),
    "G94": ("G95",),
    "G95": ("G94",),
    "G98": ("G99",),
    "G82": ("G81", "G83"),
    "G83": ("G81",),
    "G84": ("G81",),
    "G43": ("G49",),
    "G54": ("G55",),
    "G97": ("G96",),
    "G96": ("G97",),
    "M3": ("M4", "M5"),
    "M5": ("M3", "M4"),
    "M0": ("M1",),
    "M30": ("M0", "M5"),
    "M6": ("M5",),
}


def mutants(text: str) -> Iterator[Mutant]:
    """Yield every mutant of a program, kind by kind and place by place."""
    lines = text.rstrip("\n").split("\n")
    code = [n for n, line in enumerate(lines) if _CODE.sub("", line).strip()]

    def made(kind: str, n: int, *new: str) -> Mutant:
        return Mutant(kind, n + 1, "\n".join([*lines[:n], *new, *lines[n + 1 :]]) + "\n")

    for n in code:
        line = lines[n]
        yield made("line lost", n)
        yield made("line doubled", n, line, line)
        yield made("line skipped by a slash", n, f"/{line}")
        yield made("line made a comment", n, f"({_CODE.sub('', line).strip()})")
        yield made("G91 put before", n, "G91", line)
        yield Mutant("cut short", n + 1, "\n".join(lines[:n]) + "\n")
        if n + 1 < len(lines):
            yield Mutant("lines swapped", n + 1, "\n".join([*lines[:n], lines[n + 1], line, *lines[n + 2 :]]) + "\n")
        for word in _words(line):
            letter, value = word[1], word[2]
            before, after = line[: word.start()], line[word.end() :]
            yield made(f"{letter} lost", n, before + after)
            for new in _G.get(f"{letter}{value}", ()):
                yield made(f"{letter}{value} to {new}", n, before + new + after)
            if letter in "XYZARQFSPHT":
                for kind, change in _VALUE.items():
                    try:
                        changed = change(value)
                    except ValueError:
                        continue
                    if changed != value and changed not in ("", "-", "."):
                        yield made(f"{letter}: {kind}", n, f"{before}{letter}{changed}{after}")
                if letter in _SWAPS:
                    yield made(f"{letter} for {_SWAPS[letter]}", n, f"{before}{_SWAPS[letter]}{value}{after}")
            if letter in "XZA" and "." in value:
                for off in (5.0, -5.0):
                    yield made(f"{letter} off by {off:g}", n, f"{before}{letter}{float(value) + off:.4f}{after}")
            if letter in "HT":
                yield made(f"{letter}: another number", n, f"{before}{letter}{int(float(value)) % 3 + 1}{after}")
