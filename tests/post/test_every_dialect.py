"""In every dialect: proof pass, both groupings, single holes, the stop to measure; what rounding does to a program."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gcodegen.design import Design
from gcodegen.dryrun.run import dry_run
from gcodegen.job import DIALECTS, Lathe, Mill, machine_for
from gcodegen.operations import one_hole, plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.rs274 import Kind, Motion, Reading, Stop, Turning, read_program
from gcodegen.verdict import Severity
from tests.design.jobs import shipped
from tests.post.test_every_switch import mill_cuts

NAMES = list(DIALECTS)
HALF_DIGIT = 0.0005 + 1e-9  # mm: of three digits; five in inches are less


def on_mill(dialect: str, name: str = "chuck-160", **keys: object) -> Design:
    base = shipped(name)
    kept = {k: getattr(base.job.mill, k) for k in Mill.model_fields}
    hands = dict.fromkeys(("rotary", "tool_change", "tapping"), "by hand") if DIALECTS[dialect].all_by_hand else {}
    mill = Mill.model_validate(kept | hands | keys | {"dialect": dialect})
    return replace(base, job=base.job.model_copy(update={"mill": mill}))


def on_lathe(dialect: str, name: str = "chuck-160", **keys: object) -> Design:
    base = shipped(name)
    kept = {k: getattr(base.job.lathe, k) for k in Lathe.model_fields}
    lathe = Lathe.model_validate(kept | keys | {"dialect": dialect})
    return replace(base, job=base.job.model_copy(update={"lathe": lathe}))


def read_mill(text: str, d: Design) -> Reading:
    return read_program(text, machine_for(d.job, "mill"))


def check_clean(text: str, d: Design, on: str, **keys: int) -> None:
    report = dry_run(text, d.job, on, **keys)  # type: ignore[arg-type]
    assert [f for f in report.findings if f.severity is not Severity.NOTE] == []
    assert report.differences == ()


@pytest.mark.parametrize("grouping", ["by tool", "by hole"])
@pytest.mark.parametrize("dialect", NAMES)
def test_a_proof_pass_before_either_grouping_is_read_back(dialect, grouping):
    d = on_mill(dialect, proof_pass=True, grouping=grouping)
    text = write_mill(plan_mill(d), d)
    check_clean(text, d, "mill")
    reading = read_mill(text, d)
    looks = [s for s in reading.steps if isinstance(s, Stop) and "LOOK" in s.message]
    assert len(looks) == 4
    assert all(s.state.spindle is Turning.OFF and s.position.z == pytest.approx(2.0) for s in looks)
    assert all(s.position.x == pytest.approx(d.layout.setback, abs=HALF_DIGIT) for s in looks)
    cuts = mill_cuts(reading)
    assert len(cuts) == 12
    tools = [tool for tool, *_ in cuts]
    (spot, drill, tap) = dict.fromkeys(tools)
    assert tools == ([spot] * 4 + [drill] * 4 + [tap] * 4 if grouping == "by tool" else [spot, drill, tap] * 4)
    first = next(s.line for s in reading.steps if isinstance(s, Motion) and s.kind is Kind.FEED)
    assert max(s.line for s in looks) < first


@pytest.mark.parametrize("dialect", NAMES)
def test_each_hole_by_itself_goes_through_the_dry_run(dialect):
    d = on_mill(dialect, single_holes=True)
    plan = plan_mill(d)
    whole = mill_cuts(read_mill(write_mill(plan, d), d))
    for number in (1, 2, 3, 4):
        text = write_mill(one_hole(plan, number), d)
        check_clean(text, d, "mill", only_hole=number)
        index = whole[(number - 1)][1]
        assert mill_cuts(read_mill(text, d)) == [cut for cut in whole if cut[1] == index]
        other = number % 4 + 1
        assert dry_run(text, d.job, "mill", only_hole=other).stops


@pytest.mark.parametrize("dialect", NAMES)
def test_the_stop_to_measure_is_read_back_clear_of_the_work(dialect):
    d = on_lathe(dialect, measuring_stop=True, spring_passes=1)
    text = write_lathe(plan_lathe(d), d)
    check_clean(text, d, "lathe")
    reading = read_program(text, machine_for(d.job, "lathe"))
    (stop,) = [s for s in reading.steps if isinstance(s, Stop) and "MEASURE" in s.message]
    assert stop.state.spindle is Turning.OFF
    assert stop.position.x > d.job.backplate.diameter
    assert stop.position.z > 0
    diameter = d.lathe.turn_diameters[-1]
    assert f"{diameter:.3f}".rstrip("0") in stop.message
    before = [s for s in reading.steps if isinstance(s, Motion) and s.kind is not Kind.RAPID and s.line < stop.line]
    assert min(s.end.x for s in before) == pytest.approx(diameter, abs=HALF_DIGIT)


@pytest.mark.parametrize("name", ["chuck-160", "chuck-6-hole-inch"])
@pytest.mark.parametrize("dialect", NAMES)
@pytest.mark.outside("closed form: a number rounded once is off by half its last digit at most, wherever it stands")
def test_rounding_moves_no_place_of_a_whole_program_by_more_than_half_a_thousandth(dialect, name):
    d = on_mill(dialect, name)
    plan = plan_mill(d)
    cuts = mill_cuts(read_mill(write_mill(plan, d), d))
    for (_, index, x, bottom), planned in zip(cuts, plan.operations, strict=True):
        assert abs(x - planned.place.x) <= HALF_DIGIT
        assert abs((index - planned.place.index + 180) % 360 - 180) <= 0.0005 + 1e-9
        assert bottom is None or abs(bottom + planned.depth) <= HALF_DIGIT
    d = on_lathe(dialect, name, edge="round", spring_passes=3)
    lathe = plan_lathe(d)
    steps = read_program(write_lathe(lathe, d), machine_for(d.job, "lathe")).steps
    done = iter([s.end for s in steps if isinstance(s, Motion)])
    for one in lathe.passes:  # every place planned comes in its order; speed steps and chords may stand between
        for move in one.moves:
            assert any(abs(p.x - move.to.x) <= HALF_DIGIT and abs(p.z - move.to.z) <= HALF_DIGIT for p in done)
