"""Motions as they are drawn: with the turn of the work and the tool that is fitted, and the operator's stops."""

from __future__ import annotations

from gcodegen.dryrun.trace import trace
from tests.dryrun.lathe_jobs import mm_job
from tests.dryrun.mill_jobs import AUTOMATIC


def test_a_lathe_s_motions_carry_the_tool_that_was_fitted_before_them() -> None:
    text = (
        "G21 G18 G90 G95 G54\nG0 X300.0 Z50.0\nT3 M0 ( FIT TOOL 3 )\nG0 X200.0\nT1\nG0 X210.0\n/G0 X220.0\n"
        "M0 (MEASURE)\nG0 X230.0\nT3 M1 (AS YOU LIKE)\nG0 X240.0\nM30\n"
    )
    found = trace(text, mm_job(), "lathe")
    assert [(m.motion.end.x, m.tool, m.turn) for m in found.motions] == [
        (300.0, 0, 0.0),
        (200.0, 3, 0.0),
        (210.0, 3, 0.0),
        (220.0, 3, 0.0),
        (230.0, 1, 0.0),
        (240.0, 1, 0.0),
    ]
    assert found.stops == ((3, "FIT TOOL 3"), (8, "MEASURE"), (10, "AS YOU LIKE"))
    assert found.lines == tuple(text.splitlines())


def test_a_mill_s_motions_carry_the_index_and_the_tool() -> None:
    text = (
        "G21 G17 G90 G94 G54 G40 G49 G80\nG0 Z50.0\nT2 M6\nG0 G43 Z40.0 H2\nG0 A90.0\nG0 X5.0\nM0 ( LOOK )\n"
        "/G0 A180.0\nG0 X6.0\nT1 M6\nG0 G43 Z45.0 H1\nM30\n"
    )
    found = trace(text, AUTOMATIC, "mill")
    assert [(m.motion.line, m.tool, m.turn) for m in found.motions] == [
        (2, 0, 0.0),
        (4, 2, 0.0),
        (5, 2, 90.0),
        (6, 2, 90.0),
        (8, 2, 180.0),
        (9, 2, 180.0),
        (11, 1, 180.0),
    ]
    assert found.stops == ((7, "LOOK"),)
    assert found.lines == tuple(text.splitlines())
