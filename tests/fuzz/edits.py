"""Edits of a text such as a slip of the hand or a broken program makes, and a way to try many of them."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Sequence
from typing import TypeVar

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from gcodegen.errors import GcodegenError

PHASES = (Phase.explicit, Phase.generate, Phase.shrink)  # why it fails is for a person to find out
MOST_SECONDS = 2.0  # of one processor, for one file
FIGURE = re.compile(r"-?\d+(?:\.\d+)?")
ODD = [
    *("nan", "inf", "-inf", "1e308", "-1e308", "1e-308", "1e400", "0", "-0.0", "0x7f", "1_000", "9" * 400, "1.", ".5"),
    *("true", '""', '"1/3"', '"1/0 in"', '"3 1/2 in"', "[]", "{}", "[1, 2]", '"choose"', "1979-05-27", "1,5", "\u0664"),
]
SIGNS = [
    '"',
    "[",
    "]",
    "=",
    "#",
    "\n",
    "{",
    "}",
    ",",
    ";",
    "\\",
    "\0",
    "\x1b[2J",
    "\ufeff",
    "\u202e",
    "é",
    "\u2028",
    "%}",
]

T = TypeVar("T")
VALUE = re.compile(r"(?<== )-?\d+(?:\.\d+)?")


@st.composite
def edited(draw: st.DrawFn, texts: Sequence[str]) -> str:
    """Return one of the texts after one to four edits."""
    text = draw(st.sampled_from(texts))
    for _ in range(draw(st.integers(1, 4))):
        text = draw(st.sampled_from(_EDITS))(draw, text)
    return text


@st.composite
def nudged(draw: st.DrawFn, texts: Sequence[str]) -> str:
    """Return one of the texts with one to six of its values a little larger or smaller, now and then much."""
    text = draw(st.sampled_from(texts))
    for _ in range(draw(st.integers(1, 6))):
        share = draw(st.sampled_from([0.5, 0.9, 0.97, 0.99, 0.999, 1.001, 1.01, 1.03, 1.1, 1.5]))
        text = _a_figure(draw, text, lambda figure, share=share: f"{float(figure) * share:.6g}", VALUE)
    return text


def _a_figure_scaled(draw: st.DrawFn, text: str) -> str:
    def scaled(figure: str) -> str:
        share = draw(st.sampled_from([-1, 0, 0.1, 0.5, 0.9, 0.99, 1.01, 1.1, 2, 10, 25.4, 1 / 25.4, 1000, 1e6]))
        return f"{float(figure) * share:.6g}"

    return _a_figure(draw, text, scaled)


def _an_odd_figure(draw: st.DrawFn, text: str) -> str:
    return _a_figure(draw, text, lambda _: draw(st.sampled_from(ODD)))


def _a_figure_of_another_place(draw: st.DrawFn, text: str) -> str:
    return _a_figure(draw, text, lambda _: draw(st.sampled_from(FIGURE.findall(text))))


def _a_figure(draw: st.DrawFn, text: str, other: Callable[[str], str], figure: re.Pattern[str] = FIGURE) -> str:
    found = list(figure.finditer(text))
    if not found:
        return text
    one = draw(st.sampled_from(found))
    return text[: one.start()] + other(one[0]) + text[one.end() :]


def _a_line_lost(draw: st.DrawFn, text: str) -> str:
    lines = text.splitlines(keepends=True)
    return "".join(_without(lines, draw(st.integers(0, len(lines) - 1)))) if lines else text


def _a_line_twice(draw: st.DrawFn, text: str) -> str:
    lines = text.splitlines(keepends=True)
    if lines:
        lines.insert(draw(st.integers(0, len(lines))), draw(st.sampled_from(lines)))
    return "".join(lines)


def _a_value_of_another_line(draw: st.DrawFn, text: str) -> str:
    lines = text.splitlines(keepends=True)
    told = [number for number, line in enumerate(lines) if " = " in line]
    if told:
        one, other = draw(st.sampled_from(told)), draw(st.sampled_from(told))
        lines[one] = lines[one].split(" = ")[0] + " = " + lines[other].split(" = ", 1)[1]
    return "".join(lines)


def _a_sign_put_in(draw: st.DrawFn, text: str) -> str:
    at = draw(st.integers(0, len(text)))
    return text[:at] + draw(st.sampled_from(SIGNS)) + text[at:]


def _a_piece_cut_out(draw: st.DrawFn, text: str) -> str:
    at = draw(st.integers(0, len(text)))
    return text[:at] + text[at + draw(st.integers(1, 60)) :]


def _without(lines: list[str], number: int) -> list[str]:
    return lines[:number] + lines[number + 1 :]


_EDITS = (
    *(_a_figure_scaled,) * 4,
    *(_an_odd_figure, _a_figure_of_another_place, _a_line_lost, _a_line_twice),
    *(_a_value_of_another_line, _a_sign_put_in, _a_piece_cut_out),
)


def is_plain(error: GcodegenError) -> None:
    """Hold a refusal to what a person can read: something said, not without end, nothing that moves a terminal."""
    told = str(error)
    assert told.strip()
    assert len(told) < 20_000
    assert all(sign.isprintable() or sign == "\n" for sign in told), ascii(told)


def try_out(examples: int, values: st.SearchStrategy[T], act: Callable[[T], None]) -> None:
    """Do something with many values, the same every time; none may take longer than a person waits."""

    @settings(
        max_examples=examples, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck), phases=PHASES
    )
    @given(values)
    def tried(value: T) -> None:
        begin = time.process_time()
        act(value)
        assert time.process_time() - begin < MOST_SECONDS

    tried()
