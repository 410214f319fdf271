"""What can be and yet looks like a slip: it is told and refuses nothing."""

from __future__ import annotations

import pytest

from gcodegen.job import read_job
from tests.job.job_text import changed

DOUBTED: list[tuple[dict[str, object], str, str]] = [
    # keys changed, key doubted, a part of what it may have been
    ({"backplate.thickness": 81}, "backplate.thickness", "Are thickness and diameter exchanged?"),
    ({"adjustment.travel": 1.51}, "adjustment.travel", "decimal point in the right place?"),
    ({"adjustment.relief": 4.1}, "adjustment.relief", "what comes off the diameter"),
    ({"adjustment.reading[1].run_out": 0.9}, "adjustment.reading[1].run_out", "hundredths or thousandths?"),
    ({"chuck.feature[1].circle": 67}, "chuck.feature[1].circle", "Is circle a radius?"),
    ({"chuck.feature[2].diameter": 37}, "chuck.feature[2].diameter", "Are diameter and depth exchanged?"),
    ({"chuck.feature[3].outer_diameter": 79}, "chuck.feature[3].outer_diameter", "Is it a radius?"),
    ({"mill.rapid": 59, "mill.max_feed": 30}, "mill.rapid", 'Write "59 in"'),
    ({"lathe.rapid": 59, "lathe.max_feed": 30}, "lathe.rapid", 'Write "59 in"'),
    ({"mill.power_kw": 41}, "mill.power_kw", "1 horsepower is 0.746 kW"),
    ({"lathe.power_kw": 41}, "lathe.power_kw", "1 horsepower is 0.746 kW"),
    ({"lathe.tool[1].nose_radius": 0.0156}, "lathe.tool[1].nose_radius", "Is it in inches?"),
    ({"mill.tool[1].stick_out": 1.75, "mill.tool[1].flute_length": 0.8}, "mill.tool[1].stick_out", "Is it in inches?"),
]


@pytest.mark.parametrize(("changes", "key", "part"), DOUBTED, ids=lambda v: v if isinstance(v, str) else "")
def test_a_value_that_looks_like_a_slip_is_told_with_its_place(changes: dict[str, object], key: str, part: str) -> None:
    text = changed(changes)
    (doubt,) = read_job(text).doubts
    assert doubt.key == key
    assert part in str(doubt)
    assert doubt.line is not None
    assert text.split("\n")[doubt.line - 1].startswith(key.split(".")[0])


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"backplate.thickness": 80},
        {"adjustment.travel": 1.5},
        {"adjustment.relief": 4},
        {"mill.power_kw": 40},
        {"lathe.tool[1].nose_radius": 0},
        {"lathe.tool[1].nose_radius": 0.05},
        {"mill.rapid": 60, "mill.max_feed": 30},
        {"mill.tool[1].stick_out": 8, "mill.tool[1].flute_length": 8, "mill.tool[1].diameter": 8},
    ],
)
def test_what_lies_at_the_limit_is_not_doubted(changes: dict[str, object]) -> None:
    assert read_job(changed(changes)).doubts == ()
