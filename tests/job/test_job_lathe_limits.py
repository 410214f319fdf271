"""The lathe's limits in the job file: travel, rings to keep out of, the speed marked on what holds the plate."""

from __future__ import annotations

import pytest

from gcodegen.design import design
from gcodegen.errors import JobError
from gcodegen.job import read_job
from tests.job.job_text import changed

_RING = {"name": "tailstock", "x": [0, "2 in"], "z": [180, 400]}


def test_limits_are_read_in_the_unit_of_the_file_and_held_in_mm() -> None:
    text = changed({"lathe.travel": {"z": ["-2 in", 300]}, "lathe.keep_out": [_RING], "lathe.holding_limit_rpm": 900})
    lathe = read_job(text).lathe
    assert lathe.travel.z == pytest.approx((-50.8, 300.0))
    assert lathe.travel.x is None
    assert lathe.keep_out[0].name == "tailstock"
    assert lathe.keep_out[0].x == pytest.approx((0.0, 50.8))
    assert lathe.holding_limit_rpm == 900


@pytest.mark.parametrize(
    ("key", "value", "where", "says"),
    [
        ("lathe.travel", {"x": [300, -200]}, "lathe.travel.x", "does not rise"),
        ("lathe.travel", {"z": 300}, "lathe.travel.z", "not a pair"),
        ("lathe.travel", {"z": [0, True]}, "lathe.travel.z", "not a length"),
        ("lathe.travel", {"z": [0, float("inf")]}, "lathe.travel.z", "not a finite number"),
        ("lathe.travel", {"z": [0, 9000]}, "lathe.travel.z", "far too large"),
        ("lathe.travel", {"y": [0, 1]}, "lathe.travel.y", "the nearest key here"),
        ("lathe.keep_out", [_RING | {"x": [-1, 60]}], "lathe.keep_out[1].x", "negative diameter"),
        ("lathe.keep_out", [_RING | {"z": [4, 4]}], "lathe.keep_out[1].z", "does not rise"),
        ("lathe.keep_out", [_RING, {"name": "jaws"}], "lathe.keep_out[2].x", "missing"),
        ("lathe.keep_out", _RING, "lathe.keep_out", "not a list"),
        ("lathe.holding_limit_rpm", 10, "lathe.holding_limit_rpm", "slower than the lathe"),
    ],
)
def test_a_limit_that_cannot_be_is_refused_at_its_key(key: str, value: object, where: str, says: str) -> None:
    with pytest.raises(JobError) as caught:
        read_job(changed({key: value}))
    assert where in {problem.key for problem in caught.value.problems}
    assert says in str(caught.value)


def test_the_least_of_the_marked_speeds_counts() -> None:
    keys = {"lathe.max_speed_rpm": 2000, "chuck.speed_limit_rpm": 1800, "lathe.holding_limit_rpm": 1500}
    assert read_job(changed(keys)).lathe_limit_rpm == 1500
    assert read_job(changed(keys | {"lathe.holding_limit_rpm": 1900})).lathe_limit_rpm == 1800
    assert read_job(changed(keys | {"lathe.max_speed_rpm": 1200})).lathe_limit_rpm == 1200


def test_the_design_turns_no_faster_than_what_holds_the_plate_may() -> None:
    keys = {"lathe.min_speed_rpm": 20, "lathe.tool[1].material": "carbide"}
    free, slow = (design(read_job(changed(keys | more))).lathe for more in ({}, {"lathe.holding_limit_rpm": 25}))
    assert max(slow.rough.speed_rpm, slow.finish.speed_rpm) <= 25
    assert min(free.rough.speed_rpm, free.finish.speed_rpm) > 25
