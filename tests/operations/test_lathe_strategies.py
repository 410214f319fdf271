"""Facing outward, a shank along the axis, an undercut: planned, written, read back, and held against the job."""

from __future__ import annotations

import functools
import itertools
from pathlib import Path

import pytest

from gcodegen.design import Design, design
from gcodegen.dryrun.run import Report, dry_run
from gcodegen.job import Job, Lathe, load_job
from gcodegen.operations import plan_lathe
from gcodegen.post import write_lathe
from gcodegen.verdict import Severity, Verdict

ROOT = Path(__file__).parents[2]
TOOLS = {
    "80 degrees": {"nose_radius": 0.4},
    "large nose": {"nose_radius": 0.8},
    "55 degrees": {"entering_angle_deg": 93, "end_angle_deg": 32},
    "set over": {"entering_angle_deg": 108, "end_angle_deg": 18, "nose_radius": 0.8},
}
WAYS = list(itertools.product(("inward", "outward"), ("fillet", "undercut"), ("across", "along"), TOOLS))


@functools.cache
def base(name: str) -> Job:
    return load_job(ROOT / "jobs" / f"{name}.toml")


def given_job(name: str, corner: str | None, tool: dict[str, object], lathe: dict[str, object]) -> Job:
    job = base(name)
    keys = {k: getattr(job.lathe, k) for k in Lathe.model_fields}
    keys |= {"tool": [{"number": 1, "material": "carbide"} | tool]} | lathe
    adjustment = job.adjustment.model_copy(update={"corner": corner})
    return job.model_copy(update={"lathe": Lathe.model_validate(keys), "adjustment": adjustment})


@functools.cache
def decided(name: str, facing: str, corner: str, shank: str, tool: str, post: str = "front") -> Design:
    return design(given_job(name, corner, TOOLS[tool] | {"shank": shank}, {"facing": facing, "tool_post": post}))


def program(d: Design) -> str:
    return write_lathe(plan_lathe(d), d)


def ran(text: str, d: Design) -> Report:
    return dry_run(text, d.job, "lathe")


def codes(text: str, d: Design) -> set[str]:
    return {f.code for f in ran(text, d).findings if f.severity is not Severity.NOTE}


def check(name: str, way: tuple[str, str, str, str], post: str = "front") -> None:
    d = decided(name, *way, post)
    assert d.verdict is not Verdict.STOP
    report = ran(program(d), d)
    assert [f for f in report.findings if f.severity is not Severity.NOTE] == []
    assert report.differences == ()


@pytest.mark.parametrize(("way", "post"), [(way, ("front", "rear")[k % 2]) for k, way in enumerate(WAYS) if k % 5 == 0])
def test_some_ways_to_turn_the_plate_are_read_back_clean(way: tuple[str, str, str, str], post: str) -> None:
    check("chuck-160", way, post)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["chuck-125", "chuck-160", "chuck-6-hole-inch"])
def test_every_way_to_turn_the_plate_is_read_back_clean(name: str) -> None:
    for way, post in itertools.product(WAYS, ("front", "rear")):
        check(name, way, post)


def test_facing_outward_begins_beside_the_spigot_and_ends_past_the_rim() -> None:
    d = decided("chuck-160", "outward", "fillet", "across", "80 degrees")
    spigot, rim = d.job.backplate.spigot_diameter, d.job.backplate.diameter
    faces = [p for p in plan_lathe(d).passes if p.name.startswith("face")]
    assert len(faces) == len(d.lathe.face_depths) > 1
    for one, depth in zip(faces, d.lathe.face_depths, strict=True):
        cuts = [m.to for m in one.moves if m.cut is not None]
        assert cuts[-2].x == pytest.approx(spigot + 0.1)
        assert cuts[-1].x >= rim + 2
        assert cuts[-2].z == cuts[-1].z == pytest.approx(-d.job.backplate.spigot_length - depth)


@pytest.mark.outside(
    "common practice, no source: an edge that lies within 15 degrees of the feed takes 0.25 mm at most"
)
@pytest.mark.parametrize(("angles", "deepest"), [((95, 5), 0.25), ((104, 5), 0.25), ((110, 5), 0.364), ((92, 5), 0.25)])
def test_the_edge_that_lies_along_the_seat_takes_thin_cuts(angles: tuple[float, float], deepest: float) -> None:
    tool = {"entering_angle_deg": angles[0], "end_angle_deg": angles[1]}
    d = design(given_job("chuck-160", None, tool, {"facing": "outward", "max_depth_of_cut": 1.0}))
    steps = [b - a for a, b in itertools.pairwise((0.0, *d.lathe.face_depths))]
    assert max(steps) <= deepest + 1e-6
    assert max(steps) > 0.8 * deepest
    inward = design(given_job("chuck-160", None, tool, {"facing": "inward", "max_depth_of_cut": 1.0}))
    assert len(inward.lathe.face_depths) < len(d.lathe.face_depths)


def test_the_head_tells_hand_shank_undercut_and_the_way_of_facing() -> None:
    # comments are folded at the line's end
    text = program(decided("chuck-160", "outward", "undercut", "along", "55 degrees")).replace(")\n(- ", " ")
    assert "LEFT-HAND TURNING TOOL, SHANK ALONG THE AXIS, MAIN EDGE TO THE AXIS" in text
    assert "ROUGHED OUTWARD" in text
    assert "UNDERCUT, SHAPE E" in text or "UNDERCUT, SHAPE F" in text
    rear = program(decided("chuck-160", "inward", "fillet", "across", "80 degrees", "rear")).replace(")\n(- ", " ")
    assert "LEFT-HAND TURNING TOOL, SHANK ACROSS THE AXIS, MAIN EDGE TO THE HEADSTOCK" in rear
    assert "M4" in rear


UNDERCUT = ("chuck-160", "inward", "undercut", "across")


def last_pass(text: str) -> tuple[int, list[str]]:
    """Return the place of the undercut's comment among the lines of a program, and the lines."""
    lines = text.splitlines()
    return next(k for k, line in enumerate(lines) if line.startswith("(UNDERCUT") and "SHAPE" not in line), lines


@pytest.mark.parametrize("tool", ["80 degrees", "55 degrees"])
def test_an_undercut_that_is_left_out_is_a_stop(tool: str) -> None:
    d = decided(*UNDERCUT, tool)
    place, lines = last_pass(program(d))
    end = next(k for k in range(place + 1, len(lines)) if lines[k].startswith("G0 Z") and lines[k - 1].startswith("G1"))
    report = ran("\n".join([*lines[:place], *lines[end:]]) + "\n", d)
    assert "lathe-undercut-full" in {f.code for f in report.findings if f.severity is Severity.STOP}
    (left,) = [x for x in report.differences if "undercut" in x.what]
    cut = d.job.undercut
    assert cut is not None
    assert left.found is not None
    assert left.found > 0.9 * cut.into_spigot


@pytest.mark.parametrize("tool", ["80 degrees", "55 degrees"])
def test_an_undercut_too_deep_or_too_long_is_a_stop(tool: str) -> None:
    d = decided(*UNDERCUT, tool)
    cut = d.job.undercut
    assert cut is not None
    text = program(d)
    place, lines = last_pass(text)
    bottom = next(
        k for k in range(place, len(lines)) if f"X{round(d.spigot.diameter - 2 * cut.into_spigot, 3):g}" in lines[k]
    )
    x = d.spigot.diameter - 2 * cut.into_spigot
    for slip in (
        lines[bottom].replace(f"X{x:g}", f"X{x - 0.1:g}"),
        lines[bottom].replace("Z-", "Z-1"),
    ):
        assert slip != lines[bottom]
        stops = {f.code for f in ran("\n".join([*lines[:bottom], slip, *lines[bottom + 1 :]]) + "\n", d).findings}
        assert stops & {"lathe-gouge-spigot", "lathe-gouge-seat", "lathe-plate-cut-through", "lathe-behind-plate"}


def test_an_undercut_that_nobody_asked_for_is_a_gouge() -> None:
    wanted, plain = (decided("chuck-160", "inward", c, "across", "55 degrees") for c in ("undercut", "fillet"))
    assert wanted.spigot == plain.spigot
    assert "lathe-gouge-spigot" in codes(program(wanted), plain)


def test_a_tool_clamped_the_other_way_round_than_the_job_says_is_told() -> None:
    # 93 and 32 degrees turned over: the end edge, not the main edge, stands along the seat
    for shank, other in (("across", "along"), ("along", "across")):
        d = decided("chuck-160", "outward", "undercut", shank, "55 degrees")
        there = decided("chuck-160", "outward", "undercut", other, "55 degrees")
        assert codes(program(d), d) == set()
        assert codes(program(d), there) != set()


@pytest.mark.parametrize(
    ("tool", "relief", "corner", "verdict"),
    [
        ({"nose_radius": 1.2}, 1.0, "undercut", "good"),  # the fillet would take 0.7 of 0.515 mm
        ({"nose_radius": 1.2}, None, "fillet", "good"),  # left open, the relief makes room for the fillet
        ({"nose_radius": 0.4}, 1.0, "fillet", "good"),
        ({"nose_radius": 1.2, "entering_angle_deg": 90.5}, 1.0, "fillet", "stop"),  # no room for a run-out
        ({"nose_radius": 1.2}, 0.2, "fillet", "stop"),  # too little relief with or without a fillet
    ],
)
def test_the_design_asks_for_an_undercut_only_where_a_given_relief_needs_it(
    tool: dict[str, float], relief: float | None, corner: str, verdict: str
) -> None:
    job = given_job("chuck-160", None, dict(tool), {})
    d = design(job.model_copy(update={"adjustment": job.adjustment.model_copy(update={"relief": relief})}))
    assert d.job.adjustment.corner == corner
    assert next(x for x in d.decisions if x.id == "float").verdict == verdict
    assert ("corner" in {x.id for x in d.decisions}) is (corner == "undercut")


def test_an_undercut_that_the_tool_cannot_turn_is_a_stop_with_a_cure() -> None:
    d = design(given_job("chuck-160", "undercut", {"end_angle_deg": 0}, {}))
    says = next(x for x in d.decisions if x.id == "corner")
    assert says.verdict is Verdict.STOP
    assert "15 degrees" in says.do
    assert not any(p.name.startswith("undercut") for p in plan_lathe(d).passes)
