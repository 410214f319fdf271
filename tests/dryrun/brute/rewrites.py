"""Rewrites that change a program's text and not what it does: nothing in them may be called a harm."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

from gcodegen.job import Job
from tests.dryrun.brute.judge import run_of

Rewrite = Callable[[str, Job, str, random.Random], str]
_PARTS = re.compile(r"(\([^()]*\))")
_WORD = re.compile(r"([A-Z])([+-]?\d*\.?\d+\.?)")


def _outside_comments(line: str, change: Callable[[str], str]) -> str:
    return "".join(part if part.startswith("(") else change(part) for part in _PARTS.split(line))


def _each_line(text: str, change: Callable[[str], str]) -> str:
    return "\n".join(_outside_comments(line, change) for line in text.split("\n"))


def renumbered(text: str, _job: Job, _on: str, chance: random.Random) -> str:
    """New N words, each ten or so more than the last."""
    number, out = 0, []
    for line in text.split("\n"):
        bare = re.sub(r"^N\d+ ?", "", line)
        number += chance.randint(1, 20)
        out.append(f"N{number} {bare}" if bare.strip() and bare[0] not in "(%" else bare)
    return "\n".join(out)


def spaced(text: str, _job: Job, _on: str, chance: random.Random) -> str:
    """Blanks and tabs between words, and between a letter and its number."""
    return _each_line(
        text, lambda part: re.sub(r"(?<=[A-Z])|(?<=\d)(?=[A-Z])", lambda _: " " * chance.randint(0, 2), part)
    )


def closed_up(text: str, _job: Job, _on: str, _chance: random.Random) -> str:
    """No blanks at all outside of comments."""
    return _each_line(text, lambda part: part.replace(" ", ""))


def lower_case(text: str, _job: Job, _on: str, _chance: random.Random) -> str:
    """Small letters outside of comments."""
    return _each_line(text, str.lower)


def leading_noughts(text: str, _job: Job, _on: str, _chance: random.Random) -> str:
    """G01 for G1, M03 for M3."""
    return _each_line(text, lambda part: re.sub(r"\b([GM])(\d)(?![\d.])", r"\g<1>0\2", part))


def longer_figures(text: str, _job: Job, _on: str, _chance: random.Random) -> str:
    """Noughts behind the last decimal."""
    return _each_line(text, lambda part: re.sub(r"([XYZARQF]-?\d*\.\d+)", r"\g<1>00", part))


def plus_signs(text: str, _job: Job, _on: str, _chance: random.Random) -> str:
    """A sign before every positive coordinate."""
    return _each_line(text, lambda part: re.sub(r"([XYZAR])(?=[\d.])", r"\1+", part))


def other_order(text: str, _job: Job, _on: str, chance: random.Random) -> str:
    """Words of a line in another order, which the language leaves free."""

    def shuffled(line: str) -> str:
        pieces = _PARTS.split(line)
        words = [m[0] for m in _WORD.finditer(pieces[0])]
        if len(pieces) > 3 or not words or words[0][0] == "N" or "".join(words) != pieces[0].replace(" ", ""):
            return line
        chance.shuffle(words)
        return " ".join(words) + (" " if len(pieces) > 1 else "") + "".join(pieces[1:])

    return "\n".join(shuffled(line) for line in text.split("\n"))


def comments_between(text: str, _job: Job, _on: str, chance: random.Random) -> str:
    """Empty lines and lines with a comment, never before a stop, whose message it would become."""
    out: list[str] = []
    lines = text.split("\n")
    for line, after in zip(lines, [*lines[1:], ""], strict=True):
        out.append(line)
        if chance.random() < 0.3 and "M0" not in after and not line.startswith("("):
            out.append(chance.choice(("", "(NOTE)", "   ")))
    return "\n".join(out)


def percent_lines(text: str, _job: Job, _on: str, _chance: random.Random) -> str:
    """Percent signs round the program."""
    return text if text.startswith("%") else f"%\n{text}%\n"


def other_line_ends(text: str, _job: Job, _on: str, _chance: random.Random) -> str:
    """Carriage return and line feed."""
    return text.replace("\r\n", "\n").replace("\n", "\r\n")


def in_other_unit(text: str, _job: Job, _on: str, _chance: random.Random) -> str:
    """Every length in the other unit, rounded to a tenth of a micron; G20 and G21 changed over."""
    inch = "G20" in text
    by = 25.4 if inch else 1 / 25.4

    def changed(part: str) -> str:
        if "G96" in part:  # metres or feet a minute
            speed = 0.3048 if inch else 1 / 0.3048
            part = re.sub(r"S([\d.]+)", lambda m: f"S{float(m[1]) * speed:.3f}", part)
        part = re.sub(r"G2[01]", "G21" if inch else "G20", part)
        return re.sub(r"([XYZIKRQF])(-?\d*\.\d*)", lambda m: f"{m[1]}{float(m[2]) * by:.6f}", part)

    return _each_line(text, changed)


def incremental(text: str, job: Job, on: str, _chance: random.Random) -> str:
    """Straight moves down and up as steps from where the tool stands, G90 again after each."""
    starts = {m.line: m for m in run_of(text, job, on).moves if not m.cycle}
    factor = 25.4 if "G20" in text else 1.0
    out = []
    for number, line in enumerate(text.split("\n"), start=1):
        move = starts.get(number)
        found = re.fullmatch(r"(?:N\d+ )?(G[01]) Z(-?[\d.]+)( F[\d.]+)?", line)
        if move is None or found is None or move.start[2] > 300:
            out.append(line)
            continue
        step = (move.end[2] - move.start[2]) / factor
        out += [f"G91 {found[1]} Z{step:.6f}{found[3] or ''}", "G90"]
    return "\n".join(out)


def spots_long_hand(text: str, job: Job, on: str, _chance: random.Random) -> str:
    """A spotting cycle written out: rapid to its level, feed, dwell, rapid back."""
    out = []
    for line in text.split("\n"):
        found = re.fullmatch(r"(?:N\d+ )?(?:G98 )?G82 X(\S+) Y(\S+) Z(\S+) R(\S+) P(\S+) F(\S+)", line)
        if found is None:
            out.append(line)
            continue
        x, y, z, r, dwell, feed = found.groups()
        clear = job.mill.clear_height / (25.4 if "G20" in text else 1.0)
        out += [f"G0 X{x} Y{y}", f"G0 Z{r}", f"G1 Z{z} F{feed}", f"G4 P{dwell}", f"G0 Z{clear:.4f}"]
    return "\n".join(out)


REWRITES: tuple[Rewrite, ...] = (
    renumbered,
    spaced,
    closed_up,
    lower_case,
    leading_noughts,
    longer_figures,
    plus_signs,
    other_order,
    comments_between,
    percent_lines,
    other_line_ends,
    in_other_unit,
    incremental,
    spots_long_hand,
)
