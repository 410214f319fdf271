from __future__ import annotations

import math
import re

import pytest

from gcodegen.dryrun.machine import check_machine, feed_per_minute, travel
from gcodegen.dryrun.machine_codes import MACHINE_CODES
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.run import dry_run
from gcodegen.rs274 import Machine, read_program
from gcodegen.rs274.motions import Motion
from tests.dryrun.generated import shipped
from tests.dryrun.mill_jobs import AUTOMATIC

KINDS = {row.code: row for row in MACHINE_CODES}
MILL_HEAD = "G21 G17 G90 G94 G54\n"
LATHE_HEAD = "G21 G18 G90 G54\n"


def codes_on_lathe(body: str, clamp: str = "none") -> list[tuple[int, str]]:
    """Return line and code of what a lathe program's machine checks find."""
    reading = read_program(LATHE_HEAD + body + "M5\nM30\n", Machine(lathe=True, speed_clamp=clamp))
    assert reading.faults == ()
    book = Notebook(reading.lines, KINDS)
    check_machine(reading, AUTOMATIC.lathe, "mm", book)
    return [(finding.line, finding.code) for finding in book.findings]


def motions(body: str) -> list[Motion]:
    """Return the motions of a mill program."""
    reading = read_program(MILL_HEAD + body + "M30\n", Machine())
    return [step for step in reading.steps if isinstance(step, Motion)]


def test_a_sound_lathe_program_raises_nothing() -> None:
    assert codes_on_lathe("G97 S400 M3\nG0 X170.0 Z2.0\nG95 G1 X100.0 F0.1\nG0 Z50.0\n") == []


def test_a_feed_per_turn_is_held_against_the_feed_per_minute() -> None:
    # 2000 rev/min at 0.5 mm is 1000 mm/min; the lathe goes to 800.
    found = codes_on_lathe("G97 S2000 M3\nG0 X170.0 Z2.0\nG95 G1 X100.0 F0.5\n")
    assert found == [(4, "feed-over-machine")]


def test_a_feed_at_the_limit_is_no_fault() -> None:
    assert codes_on_lathe("G97 S2000 M3\nG0 X170.0 Z2.0\nG95 G1 X100.0 F0.4\n") == []


def test_a_turning_cut_without_the_spindle_is_found() -> None:
    assert codes_on_lathe("G0 X170.0 Z2.0\nG94 G1 X100.0 F50.0\n") == [(3, "spindle-off-in-cut")]


def test_a_turning_cut_the_wrong_way_round_is_found() -> None:
    found = codes_on_lathe("G97 S400 M4\nG0 X170.0 Z2.0\nG94 G1 X100.0 F50.0\n")
    assert found == [(4, "spindle-wrong-way")]


def test_the_clamp_of_a_constant_surface_speed_is_held_against_the_machine() -> None:
    body = "G92 S2500\nG96 S60 M3\nG0 X170.0 Z2.0\nG95 G1 X100.0 F0.1\n"
    assert codes_on_lathe(body, "G92 S") == [(4, "speed-over-machine")]
    assert codes_on_lathe(body.replace("2500", "2000"), "G92 S") == []


def test_a_speed_is_said_once_however_many_moves_are_made_at_it() -> None:
    found = codes_on_lathe("G97 S3000 M3\nG0 X170.0 Z2.0\nG0 X160.0\nG0 X150.0\n")
    assert found == [(3, "speed-over-machine")]


@pytest.mark.parametrize(
    "line", ["G20", "g 2 0", "G020", "N5 G90 G20 (BACK TO G21)"], ids=["plain", "apart", "zero", "comment"]
)
def test_the_other_unit_is_seen_however_it_is_written(line: str) -> None:
    reading = read_program(f"{line}\nG90 G54\nG0 Z2.0\nM30\n", Machine())
    book = Notebook(reading.lines, KINDS)
    check_machine(reading, AUTOMATIC.mill, "mm", book)
    assert [(f.line, f.code) for f in book.findings] == [(1, "unit-differs")]


def test_a_unit_in_a_comment_is_none() -> None:
    reading = read_program("G21 G90 G54 (NOT G20)\nG0 Z2.0\nM30\n", Machine())
    book = Notebook(reading.lines, KINDS)
    check_machine(reading, AUTOMATIC.mill, "mm", book)
    assert book.findings == []


@pytest.mark.outside("closed form: length of a straight line and of a helix")
def test_paths_have_their_lengths() -> None:
    line, helix = motions("G1 X3.0 Y4.0 F100.0\nG3 X3.0 Y4.0 Z290.0 I-3.0 J-4.0\n")
    assert travel(line) == pytest.approx(5.0)
    assert travel(helix) == pytest.approx(math.hypot(2 * math.pi * 5, 10))


@pytest.mark.outside("NISTIR 6556, section 3.5.19: under G93 a move takes 1/F minutes")
def test_inverse_time_gives_the_feed_that_takes_its_time() -> None:
    (line,) = motions("G93 G1 X30.0 F2.0\n")
    assert travel(line) / (feed_per_minute(line) or math.nan) == pytest.approx(0.5)


def test_a_code_that_is_in_no_table_cannot_be_written_down() -> None:
    with pytest.raises(KeyError):
        Notebook((), KINDS).add("no-such-code", 1, "says", "do")


def test_a_surface_speed_that_leaves_the_spindle_all_but_standing_is_a_stop() -> None:
    made = shipped("chuck-125")
    slow = re.sub(r"G96 S[\d.]+", "G96 S1.4", made.lathe)
    assert slow != made.lathe
    assert "speed-under-machine" in {f.code for f in dry_run(slow, made.design.job, "lathe").findings}
    # A wide face asks for somewhat less than the slowest speed; the lathe keeps that, and no harm comes of it.
    wide = made.design.job.model_copy(
        update={"lathe": made.design.job.lathe.model_copy(update={"min_speed_rpm": 90.0})}
    )
    assert "speed-under-machine" not in {f.code for f in dry_run(made.lathe, wide, "lathe").findings}
