"""The restart map: from each cut, with what it says must hold, the rest of the program cuts the same."""

from __future__ import annotations

import functools
from dataclasses import replace

import pytest

from gcodegen.design import Design
from gcodegen.dryrun.run import dry_run
from gcodegen.errors import TemplateError
from gcodegen.job import DIALECTS, Mill, machine_for
from gcodegen.operations import Drill, MillOperation, Spot, Tap, one_hole, plan_mill
from gcodegen.post import restart_map, restart_sheet, write_mill
from gcodegen.rs274 import Motion, SpindleChange, Turning, read_program
from gcodegen.verdict import Severity
from tests.design.jobs import shipped
from tests.operations.designs import make_design, make_job
from tests.post.test_every_switch import mill_cuts

SHIPPED = ["chuck-100", "chuck-125", "chuck-160", "chuck-200", "chuck-250", "chuck-6-hole-inch"]
MILLS = [
    {},
    {"rotary": "by hand", "dialect": "operator does all"},
    {"tapping": "synchronised", "tool_change": "automatic", "grouping": "by hole"},
    {"tapping": "floating holder", "dialect": "long hand", "proof_pass": True},
    {"dialect": "turret"},
    {"dialect": "punched tape", "rear_face": "+X"},
    {"dialect": {"rotary_letter": "B", "rotary_sense": "reversed", "comments": "semicolon"}},
    {"dialect": "small memory", "rotary": "by hand"},
]


@pytest.mark.parametrize("mill", MILLS, ids=range(len(MILLS)))
def test_begun_at_any_cut_with_its_lead_in_the_rest_is_cut_as_planned(mill):
    design = make_design(job=make_job(mill=mill))
    plan = plan_mill(design)
    text = write_mill(plan, design)
    machine = machine_for(design.job, "mill")
    whole = mill_cuts(read_program(text, machine))
    points = restart_map(text, plan, design)
    assert len(points) == len(whole) == 12
    lines = text.splitlines()
    for place, point in enumerate(points):
        begun = "\n".join([*point.lead_in, *(line for line in lines[point.line - 1 :] if line != "%")]) + "\n"
        reading = read_program(begun, machine)
        assert [f.code for f in reading.faults] == []
        assert reading.ended
        assert mill_cuts(reading) == whole[place:]
        check_safe(reading, plan.clear)


def check_safe(reading, clear: float) -> None:
    """Before the first cut nothing goes under the clear height, and the spindle stands while the tool comes."""
    for step in reading.steps:
        if isinstance(step, Motion):
            if step.end.z < clear - 0.01:
                return
        elif isinstance(step, SpindleChange):
            assert step.after is Turning.CLOCKWISE


def test_the_sheet_names_line_cut_and_state_in_plain_text():
    design = make_design(job=make_job(mill={"dialect": "punched tape"}))
    plan = plan_mill(design)
    text = write_mill(plan, design)
    sheet = restart_sheet(restart_map(text, plan, design), design)
    assert sheet.isascii()
    line = next(k for k, one in enumerate(text.splitlines(), start=1) if "TAP HOLE 3, SCREW 3" in one)
    assert f"Line {line}: TAP HOLE 3, SCREW 3\n" in sheet
    assert "tool 3 in the spindle, H3 is its length" in sheet
    assert "180.000 degrees from the mark, screw 3 on top" in sheet


def test_a_title_that_names_a_cut_is_not_taken_for_it():
    title = " ".join(["tap hole 3, screw 3"] * 5)
    design, plain = make_design(job=make_job(title=title)), make_design()
    texts = [write_mill(plan_mill(d), d) for d in (design, plain)]
    shift = len(texts[0].splitlines()) - len(texts[1].splitlines())
    named = restart_map(texts[0], plan_mill(design), design)
    assert [p.line - shift for p in named] == [p.line for p in restart_map(texts[1], plan_mill(plain), plain)]


def test_a_template_that_leaves_the_cut_s_name_out_gets_no_map(tmp_path):
    (tmp_path / "mill_spot.nc.j2").write_text("G0 Z{{ step.clear }}\n")
    design = make_design()
    plan = plan_mill(design)
    text = write_mill(plan, design, templates=tmp_path)
    with pytest.raises(TemplateError, match="SPOT HOLE 1"):
        restart_map(text, plan, design, templates=tmp_path)


@pytest.mark.parametrize("name", list(DIALECTS))
def test_one_hole_alone_cuts_that_hole_as_the_whole_program_does(name):
    hands = {"rotary": "by hand", "tool_change": "by hand", "tapping": "by hand"}
    design = make_design(job=make_job(mill=hands | {"dialect": name}))
    plan, machine = plan_mill(design), machine_for(design.job, "mill")
    whole = mill_cuts(read_program(write_mill(plan, design), machine))
    for number in (1, 2, 3, 4):
        part = one_hole(plan, number)
        text = write_mill(part, design)
        assert f"HOLE {number} ALONE" in text
        index = part.operations[0].place.index
        assert mill_cuts(read_program(text, machine)) == [cut for cut in whole if cut[1] == index]


def test_a_refused_design_has_a_map_of_the_same_text_below_its_marks():
    design = make_design(refused=True)
    plan = plan_mill(design)
    text = write_mill(plan, design)
    sound = replace(design, decisions=())
    shift = len(text.splitlines()) - len(write_mill(plan, sound).splitlines())
    assert shift > 0
    pairs = zip(restart_map(text, plan, design), restart_map(write_mill(plan, sound), plan, sound), strict=True)
    assert all(a.line == b.line + shift for a, b in pairs)


# What the dry run must say of a program that begins later: work that was done before is not in it.
NOT_DONE_HERE = {"drill-before-spot", "tap-without-hole", "hole-missing"}


@functools.cache
def speaking(name: str, dialect: str) -> Design:
    """Return the design of a shipped job with its mill speaking a dialect, by hand where that leaves it to the hand."""
    base = shipped(name)
    keys = {k: getattr(base.job.mill, k) for k in Mill.model_fields if k != "dialect"}
    if DIALECTS[dialect].all_by_hand:
        keys |= dict.fromkeys(("rotary", "tool_change", "tapping"), "by hand")
    if DIALECTS[dialect].length_offset == "touch off":
        keys["tool_change"] = "by hand"
    mill = Mill.model_validate(keys | {"dialect": dialect})
    return replace(base, job=base.job.model_copy(update={"mill": mill}))


def check_restarts(name: str, dialect: str, every: int = 1) -> None:
    """Begin at every cut: of all that the dry run looks at, only the cuts that were done before are missing."""
    d = speaking(name, dialect)
    plan = plan_mill(d)
    text = write_mill(plan, d)
    assert dry_run(text, d.job, "mill").differences == ()
    lines, points = text.splitlines(), restart_map(text, plan, d)
    assert len(points) == 12
    for place, point in list(enumerate(points))[::every]:
        begun = [*point.lead_in, *(line for line in lines[point.line - 1 :] if line != "%")]
        report = dry_run("\n".join(begun) + "\n", d.job, "mill")
        graver = [f for f in report.findings if f.severity is not Severity.NOTE]
        assert {f.code for f in graver} <= NOT_DONE_HERE
        assert (graver == []) is (place == 0)
        assert sorted((x.where, x.what) for x in report.differences) == sorted(map(missing, plan.operations[:place]))
        assert all(x.found is None for x in report.differences)


def missing(done: MillOperation) -> tuple[str, str]:
    """Return where and what the dry run misses when a cut is left out."""
    kinds = {
        Spot: "mouth chamfer, across the axis",
        Drill: "drilled depth to full diameter",
        Tap: "depth of full thread",
    }
    return f"screw {done.place.screw}", kinds[type(done)]


@pytest.mark.parametrize(("name", "dialect"), [("chuck-160", "plain"), ("chuck-6-hole-inch", "punched tape")])
def test_a_restarted_program_goes_through_the_whole_dry_run(name, dialect):
    check_restarts(name, dialect, every=3)


@pytest.mark.slow
@pytest.mark.parametrize("name", SHIPPED)
def test_every_restart_of_every_shipped_job_in_every_dialect_goes_through_the_whole_dry_run(name):
    for dialect in DIALECTS:
        check_restarts(name, dialect)


def test_a_restart_without_its_lead_in_is_stopped():
    d = speaking("chuck-160", "plain")
    plan = plan_mill(d)
    text = write_mill(plan, d)
    lines = text.splitlines()
    for point in restart_map(text, plan, d):
        report = dry_run("\n".join(lines[point.line - 1 :]) + "\n", d.job, "mill")
        assert {f.code for f in report.findings if f.severity is Severity.STOP} - NOT_DONE_HERE
