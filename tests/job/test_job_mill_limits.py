"""The mill's limits in the job file: travel, zones to keep out of, what quill and spindle can bear."""

from __future__ import annotations

import pytest

from gcodegen.errors import JobError
from gcodegen.job import read_job
from gcodegen.job.schema import job_schema
from tests.job.job_text import changed

_ZONE = {"name": "rotary table", "x": [80, "8 in"], "y": [-90, 90], "z": [-200, 10]}


def test_limits_are_read_in_the_unit_of_the_file_and_held_in_mm() -> None:
    travel = {"x": ["-8 in", 300], "a": [-180, 180]}
    mill = read_job(changed({"mill.travel": travel, "mill.keep_out": [_ZONE], "mill.max_torque_nm": 20})).mill
    assert mill.travel.x == pytest.approx((-203.2, 300.0))
    assert mill.travel.a == (-180.0, 180.0)
    assert mill.travel.y is None
    assert mill.travel.z is None
    assert mill.keep_out[0].name == "rotary table"
    assert mill.keep_out[0].x == pytest.approx((80.0, 203.2))
    assert mill.max_torque_nm == 20
    assert mill.max_thrust_n is None


@pytest.mark.parametrize(
    ("key", "value", "where", "says"),
    [
        ("mill.travel", {"x": [300, -200]}, "mill.travel.x", "does not rise"),
        ("mill.travel", {"x": [300]}, "mill.travel.x", "not a pair"),
        ("mill.travel", {"a": ["-180 deg", 180]}, "mill.travel.a", "not a plain number"),
        ("mill.travel", {"b": [0, 1]}, "mill.travel.b", "nearest known key"),
        ("mill.keep_out", [_ZONE | {"z": [10, 10]}], "mill.keep_out[1].z", "does not rise"),
        ("mill.keep_out", [{"name": "vice"}], "mill.keep_out[1].x", "missing"),
        ("mill.keep_out", [_ZONE | {"name": " "}], "mill.keep_out[1].name", "empty"),
        ("mill.max_thrust_n", 0, "mill.max_thrust_n", "0"),
    ],
)
def test_a_limit_that_is_none_is_refused(key: str, value: object, where: str, says: str) -> None:
    with pytest.raises(JobError) as caught:
        read_job(changed({key: value}))
    assert where in [problem.key for problem in caught.value.problems]
    assert says in str(caught.value)


def test_the_schema_describes_every_limit() -> None:
    models = job_schema()["$defs"]
    assert isinstance(models, dict)
    for model in ("MillTravel", "MillKeepOut"):
        for key, row in models[model]["properties"].items():
            assert row.get("description"), f"{model}.{key}"
