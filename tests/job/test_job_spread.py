"""How sure a measured length is: value into the job, spread beside it, in every unit a length may have."""

from __future__ import annotations

import tomllib

import jsonschema
import pytest

from gcodegen.errors import JobError
from gcodegen.job import Job, Spread, job_schema, read_job
from tests.job.job_text import changed

CHECK = jsonschema.Draft202012Validator(job_schema())
MEASURED = [
    *(f"chuck.{key}" for key in ("diameter", "length", "recess_diameter", "recess_depth", "recess_chamfer")),
    "chuck.cover.thickness",
    *(f"chuck.feature[1].{key}" for key in ("circle", "diameter", "to_depth")),
    *(f"chuck.feature[2].{key}" for key in ("diameter", "depth", "inner_radius")),
    *(f"chuck.feature[3].{key}" for key in ("inner_diameter", "outer_diameter", "from_depth", "to_depth")),
    *(f"chuck.feature[4].{key}" for key in ("width", "from_depth", "to_depth", "inner_radius")),
    *(f"backplate.{key}" for key in ("diameter", "thickness", "spigot_diameter", "spigot_length", "bore")),
    *(
        f"backplate.bolts.{key}"
        for key in ("circle", "hole_diameter", "length", "under_head", "thread_depth", "position_error")
    ),
    "adjustment.reading[1].run_out",
]


def nominal(key: str) -> object:
    node: object = tomllib.loads(changed({}))
    for part in key.replace("]", "").replace("[", ".").split("."):
        node = node[int(part) - 1] if part.isdigit() else node[part]  # type: ignore[index]
    return node


def with_spread(key: str, within: object, value: object = None) -> Job:
    return read_job(changed({key: {"value": nominal(key) if value is None else value, "within": within}}))


@pytest.mark.parametrize("key", MEASURED)
def test_every_measured_length_takes_a_spread_and_keeps_its_value(key: str) -> None:
    job = with_spread(key, 0.01)
    assert job.spread == (Spread(key=key, within=0.01),)
    plain = read_job(changed({}))
    assert plain.spread == ()
    assert job.model_dump() == plain.model_dump()


@pytest.mark.outside("NIST Special Publication 811, appendix B.6: 1 inch = 25.4 mm exactly (agreement of 1959)")
@pytest.mark.parametrize(
    ("value", "within", "mm"),
    [
        (9, 0.05, 0.05),
        ("9 mm", 0.05, 0.05),
        ("9", 0.05, 0.05),
        (9, "0.002 in", 0.0508),
        ("0.354 in", "0.05 mm", 0.05),
        ("23/64 in", "1/64 in", 0.396875),
        ("0.9 cm", "0.01 cm", 0.1),
    ],
)
def test_value_and_within_may_each_be_in_a_unit_of_their_own(value: object, within: object, mm: float) -> None:
    job = with_spread("chuck.recess_depth", within, value)
    assert job.spread[0].within == pytest.approx(mm, abs=1e-12)


@pytest.mark.outside("NIST Special Publication 811, appendix B.6: 1 inch = 25.4 mm exactly (agreement of 1959)")
def test_in_a_file_in_inches_a_plain_within_is_inches() -> None:
    from tests.design.jobs import text

    job = read_job(text({"chuck.recess_depth": {"value": 0.354, "within": 0.002}}, "chuck-6-hole-inch"))
    assert job.spread == (Spread(key="chuck.recess_depth", within=0.0508),)


def test_a_drill_by_name_may_be_off_too() -> None:
    job = with_spread("chuck.feature[1].diameter", 0.05, "#19")
    assert job.spread[0].within == 0.05
    assert job.chuck.feature[0].diameter == pytest.approx(0.166 * 25.4)  # type: ignore[union-attr]


def test_what_is_known_exactly_has_no_spread() -> None:
    assert with_spread("chuck.recess_depth", 0).spread == ()


def test_where_a_reading_was_taken_is_measured_and_where_the_heaviest_cut_is_taken_is_a_wish() -> None:
    out = {"adjustment.reading[1].from_jaws": {"value": 100, "within": 2}}
    assert read_job(changed(out)).spread == (Spread(key="adjustment.reading[1].from_jaws", within=2.0),)
    for key in ("least_wall", "edge_break", "heaviest_cut_diameter"):
        with pytest.raises(JobError, match=key):
            read_job(changed({f"adjustment.{key}": {"value": 90, "within": 0.1}}))


def test_spreads_stand_in_the_order_of_the_file_and_stay_on_a_copy() -> None:
    job = read_job(
        changed(
            {
                "backplate.bore": {"value": 40, "within": 0.2},
                "chuck.recess_depth": {"value": 9, "within": 0.05},
                "chuck.feature[2].depth": {"value": 36, "within": "0.5 mm"},
            }
        )
    )
    keys = ["chuck.recess_depth", "chuck.feature[2].depth", "backplate.bore"]
    assert [s.key for s in job.spread] == keys
    assert job.model_copy(update={"title": "another"}).spread == job.spread


@pytest.mark.outside("jsonschema (reference library): Draft202012Validator")
def test_the_schema_takes_a_spread_where_the_loader_does() -> None:
    good = {"value": "9 mm", "within": 0.05}
    assert CHECK.is_valid(tomllib.loads(changed({"chuck.recess_depth": good})))
    for key, value in [
        ("adjustment.least_wall", good),
        ("mill.edge_finder", good),
        ("chuck.recess_depth", {"value": 9}),
        ("chuck.recess_depth", {"value": 9, "within": -1}),
        ("chuck.recess_depth", {"value": 9, "within": 0.05, "sure": True}),
    ]:
        assert not CHECK.is_valid(tomllib.loads(changed({key: value}))), key
