"""The job files that come with the program."""

from __future__ import annotations

from pathlib import Path

import pytest

from gcodegen.job import Job, load_job
from tests.job.job_text import JOBS

FILES = sorted(JOBS.glob("*.toml"))
METRIC = {
    80: (56, 67, "M6"),
    100: (70, 83, "M8"),
    125: (95, 108, "M8"),
    160: (125, 140, "M10"),
    200: (160, 176, "M10"),
    250: (200, 224, "M12"),
}


def _all() -> list[Job]:
    return [load_job(file) for file in FILES]


def test_thirteen_jobs_are_there() -> None:
    assert [file.stem for file in FILES] == [
        *("bolts-too-close", "chuck-100", "chuck-125", "chuck-130-unsure", "chuck-160", "chuck-200", "chuck-250"),
        *("chuck-315", "chuck-6-hole-inch", "chuck-8-inch", "chuck-80", "clamp-in-the-way", "too-thin"),
    ]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_shipped_job_is_read(file: Path) -> None:
    assert load_job(file).title


@pytest.mark.outside("from memory of DIN 6350, register, bolt circle and bolts by size")
@pytest.mark.parametrize("size", METRIC)
def test_a_metric_job_has_the_register_of_its_standard(size: int) -> None:
    job = load_job(JOBS / f"chuck-{size}.toml")
    bolts = job.backplate.bolts
    assert (job.chuck.recess_diameter, bolts.circle, bolts.thread) == METRIC[size]
    assert (job.chuck.diameter, bolts.count) == (size, 3)


def test_a_job_in_inches_is_held_in_millimetres() -> None:
    job = load_job(JOBS / "chuck-6-hole-inch.toml")
    assert job.unit == "in"
    assert job.chuck.diameter == pytest.approx(101.6, abs=1e-12)
    assert job.mill.tool[1].diameter == pytest.approx(0.136 * 25.4, abs=1e-12)  # drill #29
    assert job.mill.rapid == pytest.approx(60 * 25.4, abs=1e-12)
    assert len(job.backplate.bolts.places_deg) == 6


def test_the_jobs_cover_every_choice_of_a_machine_and_every_feature() -> None:
    jobs = _all()
    for choice in ("rear_face", "rotary", "tool_change", "grouping", "single_holes", "restart_map", "proof_pass"):
        assert len({getattr(job.mill, choice) for job in jobs}) == 2, choice
    assert {job.mill.tapping for job in jobs} == {"by hand", "synchronised", "floating holder"}
    for choice in ("surface_speed", "edge", "spring_passes", "measuring_stop", "tool_post"):
        assert len({getattr(job.lathe, choice) for job in jobs}) == 2, choice
    assert {tool.material for job in jobs for tool in job.mill.tool} == {"HSS", "carbide"}
    assert {feature.kind for job in jobs for feature in job.chuck.feature} == {
        *("axial hole", "radial hole", "slot", "ring", "box"),
    }
    assert {job.chuck.cover.plan for job in jobs if job.chuck.cover} == {"kept", "thinned", "left out"}
    assert {job.mill.dialect.cycles for job in jobs} == {True, False}
    assert any(job.chuck.speed_limit_rpm is None for job in jobs)
    assert any(job.chuck.hardness_hb is not None for job in jobs)
    assert any(not job.mill.tool for job in jobs)
    assert {len(job.backplate.bolts.places_deg) for job in jobs} == {3, 4, 6}
    assert any(len(job.spread) > 5 for job in jobs)
    assert any(r.from_jaws is not None for job in jobs for r in job.adjustment.reading)


def test_every_file_says_what_is_invented() -> None:
    for file in FILES:
        text = file.read_text(encoding="utf-8")
        assert "invented" in text.partition("unit =")[0], file.name
        head = text.partition("unit =")[0]
        assert ("from memory" in head) != ("Of no standard: every figure is invented" in head), file.name
        assert head.startswith("# Teaches: "), file.name


@pytest.mark.outside("common practice, no source: 0.4 d of iron at the rear face, hole clear of the recess bottom")
def test_the_recess_of_each_takes_a_screw_and_that_of_the_thin_one_takes_none() -> None:
    smallest_mm = 3.0  # M3, the smallest screw with a hexagon socket that is used for such work
    for file in FILES:
        chuck = load_job(file).chuck
        takes_one = 1.4 * smallest_mm <= chuck.floor_depth
        assert takes_one == (file.stem != "too-thin")
