"""The tables of ``report_cases``: each text gives the steps, or the fault, that the report says."""

from __future__ import annotations

import pytest

from gcodegen.rs274 import Dwell, End, Motion, Reading, SpindleChange, Stop, ToolChange, Turning
from gcodegen.rs274.motions import Step
from tests.rs274.reading import LETTER, read_mill, stops
from tests.rs274.report_cases import CYCLES, FORMULAS, MOVES, TEXT

CASES = TEXT + FORMULAS + MOVES + CYCLES
TURNS = {Turning.OFF: "off", Turning.CLOCKWISE: "cw", Turning.COUNTER: "ccw"}


def number(value: float) -> str:
    """Return a number as the tables write it."""
    return f"{round(value, 6) + 0.0:g}"


def written(step: Step) -> str:
    """Return a step as the tables write it."""
    match step:
        case Motion():
            x, y, z, a = step.end
            text = f"{LETTER[step.kind]} {number(x)} {number(y)} {number(z)}" + (f" A{number(a)}" if a else "")
            if step.arc is None:
                return text
            first, second = step.arc.centre
            return f"{text} ({number(first)} {number(second)}) {number(step.arc.sweep_deg)}"
        case Dwell():
            return f"wait {number(step.seconds)}"
        case SpindleChange():
            return "orient" if step.oriented else TURNS[step.after]
        case Stop():
            return "maybe stop" if step.optional else "stop"
        case ToolChange():
            return f"tool {step.tool}"
        case End():
            return "end"


def trace(reading: Reading) -> str:
    """Return the steps of a fragment without those of the head and of the M30 put after it."""
    last = len(reading.lines)
    return ", ".join(written(step) for step in reading.steps if 2 < step.line < last)


@pytest.mark.outside("NISTIR 6556, the section in the name of each case; worked out by hand")
@pytest.mark.parametrize(("section", "text", "want"), CASES, ids=[f"{s}: {t}" for s, t, _ in CASES])
def test_the_text_does_what_the_report_says(section: str, text: str, want: str) -> None:
    reading = read_mill(text)
    if want.startswith("! "):
        assert stops(reading) == [want[2:]], section
        bad = reading.faults[-1].line if len(reading.faults) == 1 else 0
        assert all(step.line != bad for step in reading.steps if isinstance(step, Motion))
    else:
        assert stops(reading) == []
        assert trace(reading) == want


def test_the_tables_hold_no_case_twice() -> None:
    texts = [text for _, text, _ in CASES]
    assert len(texts) == len(set(texts)) >= 150
