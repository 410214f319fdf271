"""Changes to a job file's values: by key as messages spell it, checked with the rest."""

from __future__ import annotations

import pytest

from gcodegen.errors import JobError
from gcodegen.job import load_job, read_job
from tests.job.job_text import JOBS

METRIC, INCH = JOBS / "chuck-160.toml", JOBS / "chuck-6-hole-inch.toml"


def test_a_value_is_changed_taken_out_and_put_in() -> None:
    before = load_job(METRIC)
    job = load_job(METRIC, {"adjustment.setback": 6, "chuck.speed_limit_rpm": None, "mill.travel.x": (-200, 300)})
    assert job.adjustment.setback == 6.0
    assert before.adjustment.setback is None
    assert (before.chuck.speed_limit_rpm, job.chuck.speed_limit_rpm) == (2500, None)
    assert job.mill.travel.x == (-200, 300)
    assert load_job(METRIC, {}) == load_job(METRIC, None) == before


def test_lists_count_from_one_as_in_messages() -> None:
    job = load_job(METRIC, {"chuck.feature[2].diameter": "7/8 in", "chuck.feature[1]": None})
    assert job.chuck.feature[0].diameter == 22.225
    assert len(job.chuck.feature) == len(load_job(METRIC).chuck.feature) - 1
    job = load_job(METRIC, {"mill.travel": {"x": [-200, 300]}, "mill.travel.x[2]": 250})
    assert job.mill.travel.x == (-200, 250)


def test_a_value_counts_in_the_file_s_unit() -> None:
    assert load_job(INCH, {"adjustment.setback": 0.2}).adjustment.setback == pytest.approx(5.08)
    assert load_job(INCH, {"adjustment.setback": "5 mm"}).adjustment.setback == 5.0


def test_what_is_known_of_a_length_may_be_put_in() -> None:
    job = load_job(METRIC, {"chuck.recess_depth": {"value": 9, "within": 0.2}})
    assert [(s.key, s.within) for s in job.spread] == [("chuck.recess_depth", 0.2)]


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("adjustment.setbak", 6, "adjustment.setbak: is not a key"),
        ("adjustment.setback", -6, "adjustment.setback: is too small"),
        ("adjustment.setback", object(), "adjustment.setback"),
        ("adjustment.setback", float("nan"), "adjustment.setback"),
        ("mill.tool[9].diameter", 4, "leads to no table"),
        ("mill.tool[0].diameter", 4, "is no key"),
        ("mill.tool.diameter", 4, "leads to no table"),
        ("chuck.diameter.value", 160, "leads to no table"),
        ("chuck.diameter.value.mm", 160, "leads to no table"),
        ("chuck.feature[12]", None, "is no entry of a list"),
        ("chuck.diameter[1]", 7, "is no entry of a list"),
        ("", 1, "is no key"),
        ("chuck..diameter", 1, "is no key"),
        ("chuck.diameter ", 1, "is no key"),
        (7, 1, "is no key"),
        ("unit", None, "unit"),
        ("unit", "ell", "unit"),
    ],
)
def test_a_wrong_change_is_told_as_a_wrong_file_is(key: str, value: object, says: str) -> None:
    with pytest.raises(JobError) as told:
        load_job(METRIC, {key: value})
    assert says in str(told.value)


def test_every_wrong_change_is_told_at_once() -> None:
    with pytest.raises(JobError) as told:
        read_job('unit = "mm"\n', changes={"a b": 1, "c d": 2})
    assert len(told.value.problems) == 2
