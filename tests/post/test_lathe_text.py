from __future__ import annotations

import itertools
import math
from dataclasses import replace

import pytest

from gcodegen.operations import plan_lathe
from gcodegen.post import write_lathe
from gcodegen.rs274 import FeedUnit, Kind, Motion, Turning
from tests.operations.designs import make_design, make_job
from tests.post.reading import WORD, bare, read_sound

CLAMPS = ["none", "G92 S", "G50 S"]
SWITCHES = list(itertools.product([True, False], CLAMPS, [True, False], ["mm", "in"], [0, 10]))
EVERY_SWITCH = pytest.mark.parametrize(("per_turn", "clamp", "surface", "unit", "step"), SWITCHES)


def switched(per_turn=True, clamp="none", surface=False, unit="mm", step=0, relief=1.0, faced_back=1.1):
    dialect = {
        "feed_per_turn": per_turn,
        "speed_clamp": clamp,
        "block_numbers": step,
        "percent_lines": step > 0,
    }
    job = make_job(unit=unit, lathe={"surface_speed": surface, "dialect": dialect})
    design = make_design(job=job, relief=relief, faced_back=faced_back)
    plan = plan_lathe(design)
    return design, plan, write_lathe(plan, design)


@EVERY_SWITCH
def test_the_text_read_back_makes_the_moves_of_the_plan(per_turn, clamp, surface, unit, step):
    _, plan, text = switched(per_turn, clamp, surface, unit, step)
    motions = [s for s in read_sound(text, lathe=True, speed_clamp=clamp).steps if isinstance(s, Motion)]
    planned = [move for pass_ in plan.passes for move in pass_.moves]
    half_digit = 0.00051 if unit == "mm" else 0.00128
    done = motions[2:-2]  # before and after them the tool goes to where it waits
    assert len(done) == len(planned)
    for got, move in zip(done, planned, strict=True):
        assert got.end.x == pytest.approx(move.to.x, abs=half_digit)
        assert got.end.z == pytest.approx(move.to.z, abs=half_digit)
        assert (got.kind is Kind.FEED) == (move.cut is not None)
        if move.cut is not None:
            check_feed(got, move.cut.feed_per_turn, unit, per_turn)
            assert got.state.spindle is Turning.CLOCKWISE
    assert motions[-1].end[::2] == pytest.approx((plan.safe.x, plan.safe.z), abs=half_digit)


def check_feed(got: Motion, wanted: float, unit: str, per_turn: bool) -> None:
    assert got.feed is not None
    if per_turn:
        assert got.state.feed_unit is FeedUnit.PER_TURN
        assert got.feed == pytest.approx(wanted, abs=0.00051 if unit == "mm" else 0.00128)
    else:
        assert got.state.feed_unit is FeedUnit.PER_MINUTE
        assert got.state.speed_rpm is not None
        assert got.feed == pytest.approx(wanted * got.state.speed_rpm, abs=0.051 if unit == "mm" else 0.128)


@EVERY_SWITCH
def test_every_number_is_in_plain_form(per_turn, clamp, surface, unit, step):
    _, _, text = switched(per_turn, clamp, surface, unit, step)
    assert all(len(line) <= 80 for line in text.splitlines())
    for line in bare(text):
        for letter, value in WORD.findall(line):
            assert ("." in value) == (letter in "XZF"), line
            assert not (value.startswith("-") and float(value) == 0), line
        assert sum(f"G{n}" in line.split() for n in (0, 1)) <= 1


@EVERY_SWITCH
def test_surface_speed_comes_only_with_a_limit_and_feed_per_turn(per_turn, clamp, surface, unit, step):
    _, _, text = switched(per_turn, clamp, surface, unit, step)
    lines = [" ".join(w for w in line.split() if not w.startswith("N")) for line in bare(text)]
    allowed = surface and per_turn and clamp != "none"
    starts = [k for k, line in enumerate(lines) if line.startswith("G96 ")]
    assert len(starts) == (2 if allowed else 0)
    assert all(lines[k - 1].startswith(clamp) for k in starts)
    assert any(line.startswith("G97 S") for line in lines)


@pytest.mark.outside("closed form: n = 1000 v / (pi D), v in m/min, D in mm")
def test_constant_speed_is_the_surface_speed_at_the_outside():
    design, _, text = switched()
    speeds = [float(v) for line in bare(text) for letter, v in WORD.findall(line) if letter == "S"]
    for speed, cut in zip(speeds, (design.lathe.rough, design.lathe.finish), strict=True):
        assert speed == math.floor(1000 * cut.surface_m_min / (math.pi * 160))


@pytest.mark.outside("closed form: 1 ft = 0.3048 m, n = 1000 v / (pi D)")
def test_surface_speed_is_in_the_programs_unit_and_its_limit_at_the_smallest_diameter():
    design, plan, metric = switched(surface=True, clamp="G92 S")
    _, _, inch = switched(surface=True, clamp="G92 S", unit="in")
    smallest = min(m.to.x for p in plan.passes for m in p.moves if m.cut)
    limit = math.floor(1000 * design.lathe.rough.surface_m_min / (math.pi * smallest))
    assert "G96 S70 M3" in metric
    assert f"G96 S{math.floor(70 / 0.3048)} M3" in inch
    assert f"G92 S{limit}\n" in metric
    assert f"G92 S{limit}\n" in inch


@pytest.mark.parametrize("surface", [True, False])
def test_no_speed_goes_above_the_chucks_marked_speed(surface):
    job = make_job(speed_limit_rpm=120, lathe={"surface_speed": surface, "dialect": {"speed_clamp": "G92 S"}})
    design = make_design(job=job)
    lines = bare(write_lathe(plan_lathe(design), design))
    speeds = [int(w[1:]) for line in lines if "G96" not in line for w in line.split() if w[0] == "S"]
    assert speeds
    assert max(speeds) == 120


def test_an_empty_plan_is_said_and_moves_nothing():
    _, _, text = switched(relief=0.0, faced_back=0.0)
    assert "(NOTHING TO CUT" in text
    assert not [s for s in read_sound(text, lathe=True).steps if isinstance(s, Motion)]


def test_a_refused_design_says_so_before_all_else():
    design = make_design(refused=True)
    assert write_lathe(plan_lathe(design), design).startswith("(NOT FIT TO RUN: ")


def test_an_assumed_tool_is_named_as_such():
    design, plan, text = switched()
    assert "CHECK THAT YOURS" not in text
    assumed = replace(design, lathe=replace(design.lathe, assumed_tool=True))
    assert "CHECK THAT YOURS" in write_lathe(plan, assumed)
