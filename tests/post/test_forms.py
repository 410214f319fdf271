"""Single switches of a dialect and single keys of the machines, each held to what it is for."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gcodegen.errors import TemplateError
from gcodegen.job import Dialect, machine_for
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import mark_not_fit, write_lathe, write_mill
from gcodegen.post.lines import finish
from gcodegen.post.numbers import Numbers
from gcodegen.rs274 import Kind, Motion, Stop, Turning, read_program
from gcodegen.templating import Output
from tests.operations.designs import make_design, make_job


def mill(**keys: object) -> str:
    design = make_design(job=make_job(mill=keys))
    return write_mill(plan_mill(design), design)


def lathe(faced_back: float = 1.1, relief: float = 2.0, **keys: object):
    """Return text, design and reading of a lathe program."""
    design = make_design(job=make_job(lathe=keys), relief=relief, faced_back=faced_back)
    text = write_lathe(plan_lathe(design), design)
    return text, design, read_program(text, machine_for(design.job, "lathe"))


@given(mm=st.floats(-400, 400), more=st.integers(0, 2), unit=st.sampled_from(["mm", "in"]), plus=st.booleans())
@pytest.mark.outside("closed form: rounding once moves a number by half its last digit at most; 1 in = 25.4 mm")
def test_a_place_is_off_by_less_than_half_a_thousandth(mm, more, unit, plus):
    base = {"mm_decimals": 3 + more, "inch_decimals": min(5 + more, 6), "plus_signs": plus, "trailing_zeros": plus}
    for x_values in ("diameter", "radius"):
        numbers = Numbers(unit, Dialect.model_validate(base | {"x_values": x_values}))
        factor = Fraction(254, 10) if unit == "in" else Fraction(1)
        assert abs(Fraction(numbers.length(mm)) * factor - Fraction(mm)) <= Fraction("0.00050001")
        across = Fraction(numbers.across(mm)) * factor * (2 if x_values == "radius" else 1)
        assert abs(across - Fraction(mm)) <= Fraction("0.00050001")
        assert (numbers.length(mm)[0] in "+-") == (plus or float(numbers.length(mm)) < 0)
        assert not re.match(r"-0\.0*$", numbers.length(mm))


@pytest.mark.parametrize(("rear", "x"), [("-X", "-2.5"), ("+X", "2.5")])
@pytest.mark.outside("closed form: the finder's centre stands half its diameter outside the face or side it touches")
def test_touch_off_values_have_the_sign_of_the_side_they_are_on(rear, x):
    design = make_design(job=make_job(mill={"rear_face": rear}))
    text = write_mill(plan_mill(design), design)
    assert f"AGAINST THE REAR FACE: SET X {x} MM)" in text
    assert "SET Y 82.5 MM AND -82.5 MM" in text  # 160 / 2 + 5 / 2
    # The holes lie on the body's side of X0, the finder on the other.
    assert all(o.place.x * float(x) < 0 for o in plan_mill(design).operations)


def test_a_proof_pass_stands_over_each_place_with_the_spindle_stopped_before_any_cut():
    text = mill(proof_pass=True)
    reading = read_program(text, machine_for(make_job(mill={"proof_pass": True}), "mill"))
    looks = [s for s in reading.steps if isinstance(s, Stop) and s.message.startswith("LOOK")]
    assert [round(s.position.a) for s in looks] == [0, 90, 180, 270]
    assert all(s.state.spindle is Turning.OFF and s.position.z == 2.0 and s.position.x == 5.0 for s in looks)
    first_cut = next(s.line for s in reading.steps if isinstance(s, Motion) and s.kind is Kind.FEED)
    assert all(s.line < first_cut for s in looks)


@pytest.mark.parametrize("share", [0.9, 0.95, 1.0])
@pytest.mark.outside("closed form: feed = share x speed x pitch; M5 has a pitch of 0.8 mm, ISO 261 from memory")
def test_a_floating_holder_is_fed_its_share_and_backs_out_reversed(share):
    keys = {"tapping": "floating holder", "dialect": {"cycles": False, "floating_feed_share": share}}
    reading = read_program(mill(**keys), machine_for(make_job(mill=keys), "mill"))
    taps = [
        s for s in reading.steps if isinstance(s, Motion) and s.kind is Kind.FEED and s.state.tool_length_offset == 3
    ]
    assert len(taps) == 8
    for way, motion in zip(["in", "out"] * 4, taps, strict=True):
        assert motion.feed == pytest.approx(share * motion.state.speed_rpm * 0.8, abs=0.051)
        assert motion.state.spindle is (Turning.CLOCKWISE if way == "in" else Turning.COUNTER)
        assert not motion.synchronised


def test_stops_for_an_index_are_counted():
    text = mill(rotary="by hand")
    told = re.findall(r"^\(STOP (\d+) OF (\d+)\)\nM0 \(INDEX", text, re.MULTILINE)
    assert told == [(str(k), "12") for k in range(1, 13)]


def test_a_reference_return_is_followed_by_the_index_anew():
    lines = mill(dialect={"safe_return": "reference"}, tapping="synchronised", grouping="by hole").splitlines()
    for k, line in enumerate(lines[:-3]):
        if line.startswith("G28"):
            after = lines[k : k + 8]
            assert any(one.startswith("G0 A") for one in after), after


def test_the_spindle_stands_and_the_tool_is_clear_where_one_measures():
    text, design, reading = lathe(measuring_stop=True)
    (stop,) = [s for s in reading.steps if isinstance(s, Stop) and "MEASURE" in s.message]
    diameter = design.lathe.turn_diameters[-1]
    assert f"SHOULD NOW MEASURE {diameter:.3f}".rstrip("0") in text
    assert stop.state.spindle is Turning.OFF
    assert stop.position.x > design.job.backplate.diameter
    assert stop.position.z == 5.0
    before = [s for s in reading.steps if isinstance(s, Motion) and s.kind is Kind.FEED and s.line < stop.line]
    assert min(s.end.x for s in before) == pytest.approx(diameter, abs=5e-4)
    after = [s for s in reading.steps if isinstance(s, Motion) and s.kind is Kind.FEED and s.line > stop.line]
    assert all(s.state.spindle is Turning.CLOCKWISE for s in after)


def test_no_stop_to_measure_is_made_where_nothing_was_turned_and_the_header_says_so():
    text, _, _ = lathe(measuring_stop=True, relief=0.3)
    assert "NO STOP TO MEASURE" in text
    assert "MEASURE THE SPIGOT" not in text


@pytest.mark.parametrize("count", [0, 1, 3])
def test_spring_passes_run_the_finish_again_and_nothing_else(count):
    _, design, reading = lathe(spring_passes=count)
    plan = plan_lathe(design)
    finish = next(p for p in plan.passes if p.name == "finish")
    springs = [p for p in plan.passes if p.name.startswith("spring")]
    assert len(springs) == count
    cuts = [m for m in finish.moves if m.cut]
    assert all([m for m in p.moves if m.cut] == cuts for p in springs)
    assert reading.faults == ()


@pytest.mark.parametrize(
    ("post", "face", "word"),
    [("front", "up", "M3"), ("front", "down", "M4"), ("rear", "up", "M4"), ("rear", "down", "M3")],
)
@pytest.mark.outside("closed form: v = w x r of the work at the tip; M3 is clockwise along +Z, ISO 841 from memory")
def test_the_spindle_turns_the_work_against_the_cutting_face(post, face, word):
    text, design, _ = lathe(tool_post=post, tool_face=face)
    assert design.job.lathe.turns == word
    assert set(re.findall(r"\bM[34]\b", text)) == {word}
    # Z to the operator's right, U up, F towards him: a right-handed set. Clockwise seen along +Z is +Z itself.
    turning = (1.0 if word == "M3" else -1.0, 0.0, 0.0)
    tip = (0.0, 0.0, 1.0 if post == "front" else -1.0)
    normal = (0.0, 1.0 if face == "up" else -1.0, 0.0)
    work = np.cross(turning, tip)
    assert np.dot(work, normal) < 0


@pytest.mark.parametrize("x_values", ["diameter", "radius"])
@pytest.mark.parametrize("per_turn", [True, False])
@pytest.mark.outside("closed form: v = pi D n / 1000")
def test_speed_steps_keep_the_surface_speed_within_a_step_and_never_above(x_values, per_turn):
    dialect = {"speed_steps": True, "x_values": x_values, "feed_per_turn": per_turn}
    _, design, reading = lathe(dialect=dialect)
    seen = set()
    for step in reading.steps:
        if not isinstance(step, Motion) or step.kind is not Kind.FEED:
            continue
        rpm = step.state.speed_rpm
        assert rpm is not None
        assert step.feed is not None
        per_turn_mm = step.feed if per_turn else step.feed / rpm
        finishes = per_turn_mm < 0.15  # roughing feeds 0.2 mm a turn, finishing 0.1
        wide = min(max(step.start.x, step.end.x), design.job.backplate.diameter)
        reached = math.pi * wide * rpm / 1000
        wanted = (design.lathe.finish if finishes else design.lathe.rough).surface_m_min
        assert reached <= wanted + 0.01
        lifts = step.end.x > step.start.x and step.end.z > step.start.z
        if not finishes and not lifts:
            assert reached >= wanted * 0.97
        seen.add(rpm)
    assert len(seen) > 2


@pytest.mark.parametrize("facing", ["inward", "outward"])
def test_a_speed_steps_neither_in_the_finishing_cut_nor_for_the_run_out(facing):
    job = make_job(lathe={"dialect": {"speed_steps": True}, "facing": facing, "spring_passes": 1})
    design = make_design(job=job, relief=2.0, faced_back=3.0)
    text = write_lathe(plan_lathe(design), design)
    passes = re.split(r"(?m)^\((?=FACE|TURN|FINISH|SPRING)", text)[1:]
    assert {p.split()[0].rstrip(")") for p in passes} == {"FACE", "TURN", "FINISH", "SPRING"}
    stepped = 0
    for one in passes:
        moves = one.split("G97 S60 M3")[0]
        steps = re.findall(r"(?m)^G97 S\d+\n(G1 .*)", moves)
        assert not (steps and one.startswith(("FINISH", "SPRING", "TURN")))
        assert not [move for move in steps if "X" in move and "Z" in move]
        stepped += len(steps)
    assert stepped


def test_words_that_do_not_fit_on_a_line_are_refused_with_the_line():
    with pytest.raises(TemplateError, match=r"allows 48: N1000 G98 G82 .*set cycles = false or set spaces = false"):
        mill(dialect={"line_length": 48, "trailing_zeros": True, "block_numbers": 100})


@pytest.mark.parametrize("form", [{}, {"comments": "semicolon"}, {"percent_lines": True, "program_number": 5}])
def test_marks_stand_before_all_but_percent_line_and_number(form):
    text = mill(dialect=form)
    marked = mark_not_fit(text, ["WALL THIN"], Dialect.model_validate(form))
    head = ["%", "O0005"] if form.get("program_number") else []
    sign = "; NOT FIT TO RUN: WALL THIN" if form.get("comments") else "(NOT FIT TO RUN: WALL THIN)"
    assert marked.splitlines()[: len(head) + 1] == [*head, sign]
    assert [line for line in marked.splitlines() if line != sign] == text.splitlines()


@pytest.mark.parametrize("odd", ["G0 X1.0 \u2028G1", "G0 X\u0661", "G0\x00 X1.0", "G0 X1.0 (\u00e9)"])
def test_what_is_not_plain_in_a_template_is_refused(odd):
    with pytest.raises(TemplateError, match="plain letters only"):
        finish(Output(odd), Dialect())


def test_templates_that_lead_out_of_their_folder_or_have_no_end_are_refused(tmp_path: Path):
    own = tmp_path / "own"
    own.mkdir()
    secret = tmp_path / "secret.txt"
    secret.write_text("M3 S9999\n")
    (own / "mill_spindle.nc.j2").symlink_to(secret)
    design = make_design()
    with pytest.raises(TemplateError, match="leads out"):
        write_mill(plan_mill(design), design, templates=own)
    endless = tmp_path / "endless"
    endless.mkdir()
    loop = (
        "{% for a in '"
        + "x" * 300
        + "' %}{% for b in '"
        + "x" * 300
        + "' %}G0 X1.0 Y1.0 Z1.0\n{% endfor %}{% endfor %}"
    )
    (endless / "mill_spindle.nc.j2").write_text(loop)
    with pytest.raises(TemplateError, match="characters"):
        write_mill(plan_mill(design), design, templates=endless)


def test_a_dialect_s_own_templates_are_used_and_those_of_the_call_stand_over_them(tmp_path: Path):
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "mill_spindle.nc.j2").write_text(f"({name.upper()})\nS{{{{ step.speed }}}} M3\n")
    design = make_design(job=make_job(mill={"dialect": Dialect(templates=str(tmp_path / "one"))}))
    assert "(ONE)" in write_mill(plan_mill(design), design)
    assert "(TWO)" in write_mill(plan_mill(design), design, templates=tmp_path / "two")


@pytest.mark.parametrize("more", [{}, {"stop_text": "message"}, {"block_numbers": 100}, {"comments": "semicolon"}])
@pytest.mark.parametrize("jobs", [{}, {"rotary": "by hand", "proof_pass": True}, {"tapping": "floating holder"}])
def test_lines_of_36_characters_hold_a_whole_program(more: dict[str, object], jobs: dict[str, object]):
    short = {"line_length": 36, "spaces": False, "cycles": False, "arcs": "radius", **more}
    text = mill(dialect=short, **jobs)
    assert max(map(len, text.splitlines())) <= 36
    job = make_job(mill={"dialect": short, **jobs}, lathe={"dialect": short, "edge": "round"})
    d = make_design(job=job)
    turned = write_lathe(plan_lathe(d), d)
    assert max(map(len, turned.splitlines())) <= 36
    plain = mill(**jobs)
    text = re.sub(r"\)\n\((?:MSG, )?|\n; ", " ", text)  # as a reader joins them
    for word in ("INDEX WORK TO", "TAP TIP", "EYE PROTECTION"):
        assert (word in plain) == (word in text)


@pytest.mark.parametrize("tapping", ["synchronised", "floating holder"])
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_with_trailing_zeros_each_word_has_all_digits_of_its_kind(tapping: str, unit: str):
    digits = {"mm": {"XYZRQ": 3, "F": 1, "P": 2}, "in": {"XYZRQ": 5, "F": 2, "P": 2}}[unit]
    keys = {"tapping": tapping, "dialect": {"trailing_zeros": True}}
    design = make_design(job=make_job(unit=unit, mill=keys))  # type: ignore[arg-type]
    text = re.sub(r"\(.*?\)", "", write_mill(plan_mill(design), design))
    for letters, count in digits.items():
        written = re.findall(rf"[{letters}]-?\d+\.(\d*)", text)
        assert written
        assert {len(w) for w in written} == {count}


def test_where_x_counts_in_radius_half_of_what_was_measured_goes_into_the_offset():
    across, _, _ = lathe(measuring_stop=True)
    radial, _, _ = lathe(measuring_stop=True, dialect={"x_values": "radius"})
    assert "HALF OF" not in across
    said = re.sub(r"\)\n\(", " ", radial)
    assert "HALF OF WHAT IT IS OVER OR UNDER" in said
    assert "COUNTS IN RADIUS" in said


def test_a_tool_is_fitted_as_far_off_the_work_as_the_job_says():
    text, design, _ = lathe(clear_distance=20.0)
    x = design.job.backplate.diameter + 40.0
    assert text.count(f"\nG0 X{x}\nG0 Z20.0\n") == 2


def test_odd_characters_in_a_mark_are_called_by_name():
    marked = mark_not_fit("G21\n", ["; is no part of a word, nor is '#'. The tap for #8-32 is", "[ or ( was meant"])
    assert marked.startswith(
        "(NOT FIT TO RUN: SEMICOLON IS NO PART OF A WORD, NOR IS NUMBER SIGN. THE TAP)\n(- FOR NO.8-32 IS)\n"
        "(NOT FIT TO RUN: LEFT SQUARE BRACKET OR LEFT PARENTHESIS WAS MEANT)\n"
    )
