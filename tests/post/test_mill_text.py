from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from gcodegen.operations import Drill, MillPlan, Spot, Tap, plan_mill
from gcodegen.post import write_mill
from gcodegen.rs274 import Kind, Motion, SpindleChange, Stop, ToolChange, Turning
from tests.operations.designs import make_design, make_job
from tests.post.reading import WORD, HandTapped, Plunge, bare, done_in, read_sound

DIALECTS = {
    "plain": "plain",
    "long hand": "long hand",
    "table": {"block_numbers": 10, "percent_lines": True, "line_ends": "crlf"},
    "long table": {"cycles": False, "block_numbers": 5, "line_ends": "crlf"},
}
SWITCHES = [
    pytest.param(*row, id="/".join(row).replace(" ", "_"))
    for row in itertools.product(
        ["-X", "+X"],
        ["A", "by hand"],
        ["by hand", "automatic"],
        ["by hand", "synchronised"],
        ["by tool", "by hole"],
        DIALECTS,
        ["mm", "in"],
    )
]
EVERY_SWITCH = pytest.mark.parametrize(("rear", "rotary", "change", "tapping", "grouping", "dialect", "unit"), SWITCHES)


def switched(rear, rotary, change, tapping, grouping, dialect, unit):
    mill = {
        "rear_face": rear,
        "rotary": rotary,
        "tool_change": change,
        "tapping": tapping,
        "grouping": grouping,
        "dialect": DIALECTS[dialect],
    }
    design = make_design(job=make_job(unit=unit, mill=mill))
    plan = plan_mill(design)
    return design, plan, write_mill(plan, design)


def expected(plan: MillPlan, tapping: str) -> list[tuple[type, float, float, float, int]]:
    """Return kind, index, x, bottom, tool of what the plan wants to see in the text."""
    rows: list[tuple[type, float, float, float, int]] = []
    for o in plan.operations:
        if isinstance(o, Tap) and tapping == "by hand":
            rows.append((HandTapped, o.place.index, o.place.x, plan.clear, 0))
        else:
            rows.append((Plunge, o.place.index, o.place.x, -o.depth, o.tool.number))
    return rows


@EVERY_SWITCH
def test_the_text_read_back_does_what_the_plan_says(rear, rotary, change, tapping, grouping, dialect, unit):
    _, plan, text = switched(rear, rotary, change, tapping, grouping, dialect, unit)
    half_digit = 0.00051 if unit == "mm" else 0.00128  # half of 0.001 mm; half of 0.0001 in
    done = done_in(read_sound(text))
    wanted = expected(plan, tapping)
    assert [type(d) for d in done] == [w[0] for w in wanted]
    for got, (_, index, x, depth, tool) in zip(done, wanted, strict=True):
        assert got.index == index
        assert got.x == pytest.approx(x, abs=half_digit)
        if isinstance(got, Plunge):
            assert got.bottom == pytest.approx(depth, abs=half_digit)
            assert got.tool == tool
        else:
            assert got.height == pytest.approx(depth, abs=half_digit)


@EVERY_SWITCH
def test_every_number_and_block_is_in_plain_form(rear, rotary, change, tapping, grouping, dialect, unit):
    _, _, text = switched(rear, rotary, change, tapping, grouping, dialect, unit)
    assert text.isascii()
    assert all(len(line) <= 80 for line in text.splitlines())
    assert_plain(bare(text))


def assert_plain(lines: list[str]) -> None:
    """Coordinates and feeds have a point, zero has no sign, a block has one motion word at most."""
    for line in lines:
        if line == "%":
            continue
        words = WORD.findall(line)
        assert "".join(f"{letter}{value}" for letter, value in words) == line.replace(" ", "")
        for letter, value in words:
            assert ("." in value) == (letter in "XYZARQPFIJK"), line
            assert not (value.startswith("-") and float(value) == 0), line
        motions = [v for letter, v in words if letter == "G" and (int(v) in (0, 1, 4) or 80 <= int(v) <= 89)]
        if "G17" not in line and "G40" not in line:
            assert len(motions) <= 1, line


@EVERY_SWITCH
def test_the_spindle_and_the_height_are_safe_wherever_they_matter(
    rear, rotary, change, tapping, grouping, dialect, unit
):
    design, plan, text = switched(rear, rotary, change, tapping, grouping, dialect, unit)
    clear = plan.clear - 0.002
    lengths_taken = 0
    for step in read_sound(text).steps:
        match step:
            case Motion(kind=Kind.FEED):
                assert step.state.tool_length_offset > 0
                assert step.state.spindle is Turning.CLOCKWISE or step.cycle == "G84"
            case Motion() if step.start.a != step.end.a:
                assert step.start.z == step.end.z
                assert step.end.z >= clear
            case Motion() if step.end.z < clear:
                assert step.state.tool_length_offset > 0
            case Stop() | ToolChange():
                assert step.state.spindle is Turning.OFF
                assert step.position.z >= clear
                lengths_taken += isinstance(step, ToolChange) or "FIT TOOL" in step.message
            case SpindleChange() if step.after is Turning.CLOCKWISE and step.before is Turning.OFF:
                assert step.position.z >= clear
    assert lengths_taken == (3 if design.job.mill.grouping == "by tool" else 12)
    assert sum(" G43 " in line for line in bare(text)) == lengths_taken


@EVERY_SWITCH
def test_switches_that_only_change_words_leave_the_metal_alone(rear, rotary, change, tapping, grouping, dialect, unit):
    _, _, text = switched(rear, rotary, change, tapping, grouping, dialect, unit)
    _, _, plain = switched(rear, "A", "by hand", tapping, grouping, "plain", unit)

    def metal(program: str) -> list[object]:
        return [
            (d.index, d.x, d.bottom, d.feed, d.speed, d.tool) if isinstance(d, Plunge) else d
            for d in done_in(read_sound(program))
        ]

    assert metal(text) == metal(plain)


def mill_text(**mill: object) -> str:
    design = make_design(job=make_job(mill=mill))
    return write_mill(plan_mill(design), design)


def test_feeds_are_speed_times_feed_per_turn():
    design = make_design()
    plan = plan_mill(design)
    done = [d for d in done_in(read_sound(write_mill(plan, design))) if isinstance(d, Plunge)]
    for got, o in zip(done, (o for o in plan.operations if not isinstance(o, Tap)), strict=True):
        assert isinstance(o, Spot | Drill)
        assert got.speed <= o.cut.speed_rpm < got.speed + 1
        assert got.feed == pytest.approx(got.speed * o.cut.feed_per_turn, abs=0.051)


def test_a_tool_with_the_speed_of_the_last_one_is_started_again():
    design = make_design()
    same = replace(design, mill=replace(design.mill, drill_cut=design.mill.spot_cut))
    steps = read_sound(write_mill(plan_mill(same), same)).steps
    cuts = [s for s in steps if isinstance(s, Motion) and s.kind is Kind.FEED]
    assert {s.state.tool_length_offset for s in cuts} == {1, 2}
    assert all(s.state.spindle is Turning.CLOCKWISE for s in cuts)


def test_the_rotary_always_comes_to_a_place_forwards():
    moves = [s for s in read_sound(mill_text()).steps if isinstance(s, Motion) and s.start.a != s.end.a]
    reached = [m for m in moves if m.end.a >= 0]
    assert len(reached) == 12
    assert all(m.end.a > m.start.a for m in reached)


def test_an_operator_who_indexes_never_meets_an_a_word():
    assert not any(w[0] == "A" for line in bare(mill_text(rotary="by hand")) for w in WORD.findall(line))


def test_hand_tapping_never_starts_the_spindle_for_the_tap():
    lines = mill_text(tapping="by hand").splitlines()
    tap = next(k for k, line in enumerate(lines) if "TAP FOLLOWER" in line)
    assert not any(line.endswith("M3") for line in lines[tap:])


def test_a_synchronised_tap_moves_one_pitch_a_turn():
    done = done_in(read_sound(mill_text(tapping="synchronised")))
    taps = [d for d in done if isinstance(d, Plunge) and d.cycle == "G84"]
    assert len(taps) == 4
    assert all(t.feed / t.speed == pytest.approx(0.8, abs=1e-12) for t in taps)


def test_long_hand_tapping_in_step_says_why_it_keeps_its_cycle():
    text = mill_text(tapping="synchronised", dialect="long hand")
    assert "TAPPING KEEPS ITS CYCLE WORD" in text
    assert text.count("G84") == 4
    assert "G84" not in mill_text(dialect="long hand")


def test_pecks_written_out_never_meet_metal_at_a_rapid():
    text = mill_text(dialect="long hand")
    depth = {}
    for step in read_sound(text).steps:
        if not isinstance(step, Motion):
            continue
        key = (step.end.a, step.state.tool_length_offset)
        if step.kind is Kind.RAPID and step.end.z < 0:
            assert step.end.z > depth[key]
        if step.kind is Kind.FEED:
            depth[key] = min(depth.get(key, 0.0), step.end.z)


@pytest.mark.outside("NISTIR 6556, section 3.5.16.4: G83 feeds down by Q, from R, until it is at Z")
@pytest.mark.parametrize("peck", [None, 0.7, 4.2, 10.9059, 21.8118, 50.0])
def test_pecks_written_out_reach_the_depths_of_the_cycle(peck):
    def bottoms(dialect: str) -> list[float]:
        design = make_design(job=make_job(mill={"dialect": dialect}), peck=peck)
        steps = read_sound(write_mill(plan_mill(design), design)).steps
        feeds = (s for s in steps if isinstance(s, Motion) and s.kind is Kind.FEED and s.end.z < s.start.z)
        return [s.end.z for s in feeds if s.state.tool_length_offset == 2]

    assert bottoms("long hand") == pytest.approx(bottoms("plain"), abs=0.001)


def test_uneven_spacing_stops_for_a_check_of_the_sense():
    even = mill_text()
    design = make_design(angles=(17.0, 110.0, 197.0, 287.0))
    uneven = write_mill(plan_mill(design), design)
    assert "PROVE THE SENSE" in uneven
    assert "PROVE THE SENSE" not in even
    assert sorted({d.index for d in done_in(read_sound(uneven))}) == [0, 90, 180, 267]


def test_a_refused_design_says_so_before_all_else():
    design = make_design(refused=True)
    text = write_mill(plan_mill(design), design)
    assert text.startswith("(NOT FIT TO RUN: LEAST WALL TO THE BOLT. 0.4 OF 2.0 MM)\n")
    assert "NOT FIT" not in mill_text()


def test_the_header_names_zero_tools_and_cautions():
    text = mill_text(rear_face="+X")
    for wanted in (
        "UNITS MM. X0 REAR SEATING FACE, IT LOOKS TO +X", "Z0 CREST", "T1 SPOT DRILL 8.0 MM", "POINT 118 DEG",
        "NOT IN THE JOB: CHECK", "ABOVE 2500 REV/MIN", "UNDER THE SURFACE", "KEYS OUT", "TORQUE",
        "GUARD CLOSED", "DUST", "EYE PROTECTION", "WITH NO WORK FIRST",
    ):  # fmt: skip
        assert wanted in text


def test_an_unknown_speed_limit_is_said_and_not_guessed():
    design = make_design(job=make_job(speed_limit_rpm=None))
    text = write_mill(plan_mill(design), design)
    assert "SPEED LIMIT NOT KNOWN - ASK THE MAKER" in text
    assert "NEVER RUN THE CHUCK ABOVE" not in text


def test_the_same_job_gives_the_same_text():
    assert mill_text(grouping="by hole") == mill_text(grouping="by hole")
