"""Each check of a lathe program against a pair of edits: one that it must catch, and a near miss that it lets pass."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import pytest

from gcodegen.dryrun.lathe import CODES, check_lathe
from gcodegen.job import Job
from gcodegen.job.limits import LatheKeepOut, LatheTravel
from gcodegen.rs274 import Machine, read_program
from gcodegen.verdict import Severity
from tests.dryrun.lathe_jobs import GOOD_MM, codes_of, findings_of, mm_job
from tests.dryrun.test_lathe_mutants import INCH_EDITS, MM_EDITS, swap

FIRST_PASS = "G0 Z-4.85\nG1 X125.2 F0.15\n"
SECOND_PASS = "G0 Z-5.7\nG1 X125.2\n"
BEFORE_FINISH = "G0 Z1.0\n(FINISH"
END = "G1 Z-7.0\nG0 X170.0 Z5.0\nM5\n"
TURN_IN = "G0 Z1.0\nG0 X124.37\n"


@dataclass(frozen=True)
class Pair:
    """A code, a text that raises it and one that is close to that and good, and what the lathe is then."""

    code: str
    harm: str
    miss: str
    lathe: dict[str, Any] = field(default_factory=dict)
    harm_lathe: dict[str, Any] = field(default_factory=dict)

    @property
    def job(self) -> Job:
        """The job of the near miss."""
        return with_lathe(**self.lathe)

    @property
    def harm_job(self) -> Job:
        """The job of the harm."""
        return with_lathe(**self.lathe | self.harm_lathe)


def with_lathe(**changes: Any) -> Job:
    """Return the mm job with other keys of its lathe."""
    job = mm_job()
    return job.model_copy(update={"lathe": job.lathe.model_copy(update=changes)})


def edit(old: str, new: str) -> str:
    """Return the good program with one place changed."""
    return swap(GOOD_MM, old, new)


def jaw(x: tuple[float, float], z: tuple[float, float]) -> dict[str, Any]:
    """Return a keep-out zone as a key of the lathe."""
    return {"keep_out": (LatheKeepOut(name="jaw", x=x, z=z),)}


def in_bits(depth: float, feeds: tuple[float, float]) -> str:
    """Return a facing pass in pieces of 0.15 mm at changing feeds, so that none goes on from the one before."""
    bits = [f"G1 X{160 - 0.3 * k:.2f} F{feeds[k % 2]}" for k in range(1, 117)]
    return edit(SECOND_PASS, "\n".join([f"G0 Z-{depth}", *bits, ""]))


# the tool behind the programmed point reaches 39 mm along Z and 62 mm outwards
PAIRS = [
    # places
    Pair(
        "lathe-travel",
        GOOD_MM,
        GOOD_MM,
        {"travel": LatheTravel(x=(100, 170), z=(-7.5, 6))},
        {"travel": LatheTravel(x=(100, 169))},
    ),
    Pair("lathe-travel", GOOD_MM, GOOD_MM, {"travel": LatheTravel(z=(-7.5, 6))}, {"travel": LatheTravel(z=(-7.4, 6))}),
    Pair("lathe-keep-out", GOOD_MM, GOOD_MM, jaw((0, 220), (-60, -7.51)), jaw((0, 220), (-60, -7.4))),
    Pair("lathe-keep-out", GOOD_MM, GOOD_MM, jaw((0, 100), (0.1, 60)), jaw((0, 125), (0.1, 60))),
    Pair("lathe-rapid-corner", edit(TURN_IN, "G0 X124.37 Z0.5\n"), edit(TURN_IN, "G0 X164.0 Z1.0\nG0 X124.37\n")),
    # what the text must say; a line that may be skipped says nothing
    Pair("lathe-feed-mode-not-said", edit("G90 G95", "G90 (G95)"), edit("G90 G95\n", "G90\nG095\n")),
    Pair("lathe-feed-mode-not-said", edit("G90 G95", "G90\n/G95"), edit("G90 G95", "G90\nN5 g95")),
    # halts
    Pair(
        "lathe-change-close",
        edit(BEFORE_FINISH, "G0 X130.0 Z1.0\nM5\nT3 M0\nT1 M0\nM3\n(FINISH"),
        edit(BEFORE_FINISH, "G0 Z6.0\nM5\nT3 M0\nT1 M0\nM3\nG0 Z1.0\n(FINISH"),
    ),
    Pair(
        "lathe-stop-spindle-on",
        edit("(FINISH", "M0 (MEASURE)\n(FINISH"),
        edit("(FINISH", "M5\nM0 (MEASURE)\nM3\n(FINISH"),
    ),
    Pair("lathe-stop-spindle-on", edit("(FINISH", "M1\n(FINISH"), edit("(FINISH", "M5\nM1\nM3\n(FINISH")),
    Pair(
        "lathe-spindle-in-contact",
        edit(FIRST_PASS, FIRST_PASS + "M5\nM3\n"),
        edit(FIRST_PASS, FIRST_PASS + "G1 Z-4.3\nM5\nM3\n"),
    ),
    Pair("lathe-dwell-in-cut", edit(FIRST_PASS, FIRST_PASS + "G4 P5.0\n"), edit(FIRST_PASS, FIRST_PASS + "G4 P1.0\n")),
    Pair(
        "lathe-dwell-in-cut",
        edit(FIRST_PASS, FIRST_PASS + "G4 P5.0\n"),
        edit(BEFORE_FINISH, "G0 Z1.0\nG4 P5.0\n(FINISH"),
    ),
    Pair(
        "lathe-ends-close",
        edit(END, "G1 Z-7.0\nM5\n").replace("X162.0", "X161.2"),
        edit(END, "G1 Z-6.3\nM5\n").replace("X162.0", "X162.2"),
    ),
    # depth, however it is written
    Pair("lathe-too-deep-cut", in_bits(7.0, (0.15, 0.16)), in_bits(5.7, (0.15, 0.16))),
    Pair("lathe-deep-cut", in_bits(6.05, (0.15, 0.16)), in_bits(5.9, (0.15, 0.16))),
    Pair(
        "lathe-too-deep-cut",
        edit(SECOND_PASS, "G0 Z-4.85\nG1 X162.0\nG2 X130.0 Z-7.4 R40.0\n"),
        edit(SECOND_PASS, "G0 Z-5.7\nG1 X162.0\nG2 X125.2 Z-5.7 R212.0\n"),
    ),
    # power: 0.85 mm at 0.15 mm and 57.7 m/min asks for 0.278 kW of the motor
    Pair("lathe-power-high", GOOD_MM, GOOD_MM, {"power_kw": 0.26}, {"power_kw": 0.24}),
    Pair("lathe-power-far-high", GOOD_MM, GOOD_MM, {"power_kw": 0.26}, {"power_kw": 0.17}),
    # edge and chip
    Pair(
        "lathe-edge-drags",
        edit(TURN_IN, "G0 X170.0\nG0 Z-6.5\nG1 X124.17\nG1 Z1.0\nG0 X124.37\n"),
        edit(TURN_IN, "G0 X170.0\nG0 Z-6.5\nG1 X124.57\nG1 Z1.0\nG0 X124.37\n"),
    ),
    Pair("lathe-chip-thin", edit("F0.1\n", "F0.05\n"), edit("F0.1\n", "F0.06\n")),
    Pair("lathe-interrupted-fast", edit("S115", "S220"), edit("S115", "S210")),
    Pair("lathe-interrupted-feed", edit("F0.15", "F0.23"), edit("F0.15", "F0.21")),
    # inside of the bolt holes the feed may be larger
    Pair("lathe-interrupted-feed", edit("F0.15", "F0.23"), edit("G0 X124.37\nG1 Z-7.4", "G0 X124.37\nG1 Z-7.4 F0.23")),
    Pair("lathe-rough-finish", edit("F0.1\n", "F0.22\n"), edit("F0.1\n", "F0.2\n")),
    # speeds
    Pair("lathe-over-holding-speed", GOOD_MM, GOOD_MM, {"holding_limit_rpm": 115}, {"holding_limit_rpm": 114}),
]
IDS = [f"{n} {pair.code}" for n, pair in enumerate(PAIRS)]


@pytest.mark.parametrize("pair", PAIRS, ids=IDS)
def test_the_harmful_one_of_a_pair_is_caught(pair: Pair) -> None:
    assert pair.code in {f.code for f in findings_of(pair.harm, pair.harm_job)}


@pytest.mark.parametrize("pair", PAIRS, ids=IDS)
def test_the_near_miss_of_a_pair_is_let_pass(pair: Pair) -> None:
    assert pair.code not in {f.code for f in findings_of(pair.miss, pair.job)}
    assert codes_of(pair.miss, pair.job) == set()


def without_a_mark() -> Job:
    """Return the mm job of a chuck that carries no speed."""
    job = mm_job()
    return job.model_copy(update={"chuck": job.chuck.model_copy(update={"speed_limit_rpm": None})})


def test_a_speed_that_nothing_is_marked_for_is_a_note() -> None:
    job = without_a_mark()
    assert {f.code for f in findings_of(GOOD_MM, job)} == {"lathe-no-marked-speed"}
    held = job.model_copy(update={"lathe": job.lathe.model_copy(update={"holding_limit_rpm": 500.0})})
    assert findings_of(GOOD_MM, held) == []


@pytest.mark.parametrize(("under_head", "found"), [(10.9, True), (11.1, False)])
def test_a_plate_too_thin_under_the_bolt_heads_is_a_stop(under_head: float, found: bool) -> None:
    # M10 wants 7.5 mm; the seat goes back 3.5 mm
    job = mm_job()
    bolts = job.backplate.bolts.model_copy(update={"under_head": under_head})
    thin = job.model_copy(update={"backplate": job.backplate.model_copy(update={"bolts": bolts})})
    assert codes_of(GOOD_MM, thin) == ({"lathe-plate-thin"} if found else set())


def test_a_body_pushed_in_by_a_hair_at_a_time_is_found() -> None:
    """Each of many short moves takes the body 4 micrometres further into the metal, under what one may."""
    allowance = 0.95  # the edge reaches 0.872 mm
    feeds = (0.1, 0.11)  # in turn, so that no move goes on from the one before
    steps = "".join(f"G1 X{123.97 + 0.008 * k:.3f} F{feeds[k % 2]}\n" for k in range(1, 120))
    text = GOOD_MM.replace("Z-7.4\n", f"Z-{7.5 - allowance:.3f}\n").replace("Z-6.9", "Z-6.0")
    text = swap(text, "G1 X162.0\n", f"{steps}G1 X162.0\n")
    last = swap(text, "G1 X162.0\n", "G1 Z-6.0\n")
    lines = [f.line for f in findings_of(last, mm_job()) if f.code == "lathe-body-in-metal"]
    first = last.splitlines().index("G1 X123.978 F0.11") + 1
    assert any(line > first for line in lines)  # the plunge down to the seat is found apart


def test_a_rapid_that_keeps_just_off_the_metal_says_nothing() -> None:
    # 0.002 mm off the rim, the spigot and its end: the tool touches nothing, and slides along nothing
    turned = "G0 Z1.0\nG0 X124.974\nG0 Z-1.0\nG0 Z1.0\nG0 X124.37\n"
    for text in (
        edit("G0 X170.0 Z5.0\n(FACE", "G0 X160.004 Z-4.85\n(FACE"),
        edit(TURN_IN, turned),
        edit(TURN_IN, f"G0 Z0.002\nG0 X100.0\nG0 X170.0\n{TURN_IN}"),
        edit("(FACE", "G0 X200.0\nG0 X124.966 Z-3.998\nG0 X200.0 Z5.0\n(FACE"),
    ):
        assert {f.code for f in findings_of(text, mm_job())} <= {"lathe-rapid-corner"}
    slides = {f.code for f in findings_of(edit(TURN_IN, turned.replace("124.974", "124.97")), mm_job())}
    assert "lathe-rapid-drags" not in slides  # the nose alone touches
    assert "lathe-rapid-in-metal" in codes_of(edit(TURN_IN, turned.replace("124.974", "124.90")), mm_job())


def test_where_the_first_rapid_begins_is_not_judged() -> None:
    assert findings_of(edit("G0 X170.0 Z5.0\n(FACE", "G0 X160.0 Z-4.85\n(FACE"), mm_job()) == []


@pytest.mark.outside("closed form: F6 makes 11.2 mm, the radius from 170 to 147.6 mm, in a sixth of a minute")
def test_inverse_time_counts_for_each_block_by_itself() -> None:
    way = "G93\nG1 X147.6 F6.0\nG1 X125.2 F6.0\nG1 Z-4.35 F100.0\nG95\n"
    text = edit("G1 X125.2 F0.15\nG1 Z-4.35\n", way).replace("G1 X125.2\n", "G1 X125.2 F0.15\n")
    fast = [f for f in findings_of(text, mm_job()) if f.code == "lathe-feed-over-nose"]
    assert [f.line for f in fast] == [11, 13]  # 0.5 mm in a hundredth of a minute
    for found, millimetres_a_minute in zip(fast, (11.2 * 6, 0.5 * 100), strict=True):
        assert f"the feed is {millimetres_a_minute / 115:.3f} mm a turn" in found.says


def test_a_spindle_whose_speed_is_not_told_is_held_against_no_mark() -> None:
    reading = read_program(edit("G97 S115 M3", "G97 M3"), Machine(lathe=True))
    assert "missing-speed" in {f.code for f in reading.faults}
    assert not {f.code for f in check_lathe(reading, mm_job())[0]} & {"lathe-over-marked-speed", "lathe-feed-high"}


def test_a_tool_changed_in_the_metal_is_told_and_its_first_cut_may_go_nowhere() -> None:
    change = "G0 Z-5.7\nG1 X140.0\nM5\nT3 M0\nM3\nG1 X140.0\nG1 X125.2\n"
    assert {"lathe-change-close", "lathe-spindle-in-contact"} <= codes_of(edit(SECOND_PASS, change), mm_job())


def test_moves_beside_metal_that_is_gone_do_not_hide_the_next_one() -> None:
    faced = "G0 Z-1.0\nG1 X36.0 F0.15\nG0 Z5.0\n"
    beside = "".join(f"G0 X{90 + k % 2}.0 Z-0.{5 + k % 2}\n" for k in range(300))
    text = edit("G0 X170.0 Z5.0\n(FACE", f"G0 X130.0 Z5.0\n{faced}{beside}G0 X90.0 Z-3.0\nG0 X130.0 Z5.0\n(FACE")
    rapids = [f for f in findings_of(text, mm_job()) if f.code == "lathe-rapid-in-metal"]
    assert [f.line for f in rapids][:1] == [7 + 3 + 300 + 1]


def test_every_code_of_the_table_is_raised_by_some_edit() -> None:
    raised = {code for _, code in (*MM_EDITS, *INCH_EDITS)} | {pair.code for pair in PAIRS}
    elsewhere = {"lathe-job-unsettled", "lathe-no-speed-figure", "lathe-other-plane", "lathe-rapid-drags"}
    elsewhere |= {"lathe-change-by-word", "lathe-wrong-offset"}  # by_hand
    here = {"lathe-no-marked-speed", "lathe-plate-thin", "lathe-undercut-full"}
    assert raised | elsewhere | here == set(CODES)
    assert all(str(row.source) and len(row.explains) > 60 for row in CODES.values())


def test_a_note_is_not_a_caution() -> None:
    assert {code for code, row in CODES.items() if row.severity is Severity.NOTE} == {
        "lathe-chip-thin",
        "lathe-no-marked-speed",
        "lathe-no-speed-figure",
        "lathe-rapid-drags",
    }
