"""The restart map: from each cut, with what it says must hold, the rest of the program cuts the same."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gcodegen.errors import TemplateError
from gcodegen.job import DIALECTS, machine_for
from gcodegen.operations import one_hole, plan_mill
from gcodegen.post import restart_map, restart_sheet, write_mill
from gcodegen.rs274 import Motion, SpindleChange, Turning, read_program
from tests.operations.designs import make_design, make_job
from tests.post.test_every_switch import mill_cuts

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
