"""Edits that the newer checks of the mill must find, each with a near miss that they must leave alone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from gcodegen.job import Job
from gcodegen.job.limits import MillKeepOut, MillTravel
from tests.dryrun.harm import swap
from tests.dryrun.mill_edits import JOBS
from tests.dryrun.mill_jobs import BY_HAND, CHUCK_160, job

TapeEdit = Callable[[str], str]
AUTOMATIC = JOBS["cycles"]


@dataclass(frozen=True)
class Pair:
    """A code, a program with the edit that must raise it, and another edit of it that must raise nothing."""

    name: str
    code: str
    program: str
    bad: TapeEdit
    fine: TapeEdit
    job: Job
    fine_job: Job


def _same(text: str) -> str:
    return text


def _put(new: str, after: str = "G0 G43 Z25.0 H1\n") -> TapeEdit:
    return lambda text: swap(text, after, after + new, 1)


def _change(old: str, new: str, count: int = 1) -> TapeEdit:
    return lambda text: swap(text, old, new, count)


def _travel(**limits: tuple[float, float]) -> Job:
    return job(CHUCK_160, mill__travel=MillTravel.model_construct(**{a: limits.get(a) for a in "xyza"}))


def _zone(x: tuple[float, float], y: tuple[float, float], z: tuple[float, float]) -> Job:
    return job(CHUCK_160, mill__keep_out=(MillKeepOut.model_construct(name="rotary", x=x, y=y, z=z),))


def _pair(
    name: str,
    code: str,
    bad: TapeEdit,
    fine: TapeEdit,
    *,
    program: str = "cycles",
    on: Job | None = None,
    fine_on: Job | None = None,
) -> Pair:
    before = on or (BY_HAND if program == "by_hand" else AUTOMATIC)
    return Pair(name, code, program, bad, fine, before, fine_on or before)


_SPOTTING = "S1500 M3\nG0 X5.0 Y0.0\n"
_DRILLED = "G98 G83 X5.0 Y0.0 Z-19.3 R2.0 Q4.2 F126.0\nG80\n"
_TAP = "G98 G84 X5.0 Y0.0 Z-21.6 R5.0 F200.0\n"

_UP = "G0 Z25.0\nG0 X5.0 Y0.0\n"

SPACE = [
    _pair(
        "down in front of the rear face",
        "below-crest-beside",
        _put(f"G0 X-20.0\nG0 Z-5.0\n{_UP}"),
        _put(f"G0 X-20.0\nG0 Z1.0\n{_UP}"),
    ),
    _pair(
        "down at a slant past the side",
        "below-crest-beside",
        _put(f"G0 Y-100.0\nG0 Y-70.0 Z-50.0\n{_UP}"),
        _put(f"G0 Y-100.0\nG0 Y-70.0 Z1.0\n{_UP}"),
    ),
    _pair(
        "beyond the jaws' end",
        "below-crest-beside",
        _put(f"G0 X80.0\nG0 Z-0.5\n{_UP}"),
        _put(f"G0 X80.0\nG0 Z0.5\n{_UP}"),
    ),
    _pair("x farther than it goes", "mill-travel", _put("G0 X60.1\n"), _put("G0 X60.0\n"), on=_travel(x=(-10, 60))),
    _pair(
        "a farther than it goes", "mill-travel", _same, _same, on=_travel(a=(-10, 180)), fine_on=_travel(a=(-5, 270))
    ),
    _pair(
        "arc bulging past y",
        "mill-travel",
        _put("G3 X15.0 Y0.0 I5.0 J0.0 F500.0\n", _SPOTTING),
        _put("G2 X15.0 Y0.0 I5.0 J0.0 F500.0\n", _SPOTTING),
        on=_travel(y=(-4.9, 5.0)),
        fine_on=_travel(y=(-0.1, 5.0)),
    ),
    _pair("z under its end", "mill-travel", _same, _same, on=_travel(z=(-21.5, 300)), fine_on=_travel(z=(-21.6, 300))),
    # The rotary's face stands at X70; the holder is 30 mm across and 55 mm over the drill's tip.
    _pair(
        "across low into a box",
        "mill-keep-out",
        _put("G0 X80.0\n"),
        _put("G0 X66.0\n"),
        on=_zone((70, 200), (-90, 90), (-200, 30)),
    ),
    _pair(
        "under a box, holder in it",
        "mill-keep-out",
        _put("G0 X60.0\n"),
        _put("G0 X54.0\n"),
        on=_zone((70, 200), (-90, 90), (60, 300)),
    ),
    _pair(
        "arc through a box",
        "mill-keep-out",
        _put("G2 X45.0 Y0.0 I20.0 J0.0 F500.0\n", _SPOTTING),
        _put("G3 X45.0 Y0.0 I20.0 J0.0 F500.0\n", _SPOTTING),
        on=_zone((24, 26), (22.5, 30), (0, 40)),
    ),
    _pair(
        "slanted over the corner of a box",
        "mill-keep-out",
        _put("G0 X100.0\nG0 Z100.0\n"),
        _put("G0 X100.0 Z160.0\n"),
        on=_zone((40, 60), (-5, 5), (-80, 26)),
    ),
    _pair(
        "rapid round a corner into a box",
        "rapid-not-straight",
        _put("G0 Z160.0\nG0 X100.0\nG0 X160.0 Z25.0\nG0 Z160.0\n"),
        _put("G0 Z160.0\nG0 X160.0\nG0 Z25.0\nG0 Z160.0\n"),
        on=_zone((98, 102), (-5, 5), (-80, 100)),
    ),
    _pair(
        "machine coordinates",
        "place-not-checked",
        _put("G53 G0 Z0.0\nG0 Z25.0\n"),
        _put("G0 Z30.0\n"),
        on=_travel(z=(-90, 300)),
    ),
]

SPACE += [
    _pair(
        "y never named",
        "axis-not-stated",
        lambda text: text.replace(" Y0.0", ""),
        lambda text: swap(text, "G0 Z100.0\n", "G0 Z100.0\nG0 Y0.0\n").replace("X5.0 Y0.0", "X5.0"),
    ),
    _pair(
        "a not named before the first hole",
        "axis-not-stated",
        _change("G0 A-5.0\nG0 A0.0\n", ""),
        _change("G0 A-5.0\nG0 A0.0\n", "G0 A0.0\n"),
    ),
    _pair("a in a comment alone", "axis-not-stated", _change("G0 A-5.0\nG0 A0.0\n", "(A0.0)\n"), _same),
    _pair(
        "no rotary axis to name", "axis-not-stated", lambda text: text.replace(" Y0.0", ""), _same, program="by_hand"
    ),
]

METAL = [
    _pair(
        "rapid that may go round a corner",
        "rapid-not-straight",
        _put("G0 X90.0\nG0 Z-10.0\nG0 X5.0 Z60.0\n"),
        _put("G0 X90.0\nG0 Z-10.0\nG0 Z30.0\nG0 X5.0\n"),
    ),
    _pair(
        "spindle stopped in the hole",
        "spindle-in-hole",
        _change("G1 Z-19.3 F126.0\n", "G1 Z-19.3 F126.0\nM5\nG0 Z2.0\nS1800 M3\n"),
        _change("G1 Z-19.3 F126.0\n", "G1 Z-19.3 F126.0\nG0 Z0.5\nM5\nS1800 M3\n"),
        program="by_hand",
    ),
    _pair(
        "stop in the hole",
        "stop-in-hole",
        _change("G1 Z-4.2 F126.0\n", "G1 Z-4.2 F126.0\nM0 (CLEAR THE DUST)\n"),
        _change("G1 Z-4.2 F126.0\nG0 Z2.0\n", "G1 Z-4.2 F126.0\nG0 Z2.0\nM0 (CLEAR THE DUST)\n"),
        program="by_hand",
    ),
    _pair(
        "rapid onto the bottom",
        "rapid-to-bottom",
        _change("G0 Z-8.1", "G0 Z-8.4"),
        _change("G0 Z-8.1", "G0 Z-8.3"),
        program="by_hand",
    ),
    _pair(
        "drill at a rapid into the spot",
        "rapid-near-metal",
        _change("Z-19.3 R2.0", "Z-19.3 R-1.6"),
        _change("Z-19.3 R2.0", "Z-19.3 R0.6"),
    ),
    _pair(
        "tap drawn out at a rapid",
        "tap-at-rapid",
        _change(_TAP, _TAP + "G80\nG0 Z-5.0\n"),
        _change(_TAP, _TAP + "G80\nG0 Z1.0\nG0 Z25.0\n"),
    ),
    _pair(
        "tap drawn out and not reversed",
        "tap-not-reversed",
        _change(_TAP, "G80\nG1 Z-21.6 F200.0\nG1 Z5.0\nG0 Z25.0\n"),
        _same,
    ),
    _pair(
        "tap before the hole is through",
        "tap-bottoms",
        lambda text: swap(swap(text, "Z-19.3", "Z-12.0"), "M5\nM30", _drill_again()),
        _same,
    ),
    _pair(
        "stop that says no depth",
        "tap-depth-unsaid",
        _change(", TAP TIP 21.6 BELOW THE CREST", ""),
        _same,
        program="by_hand",
    ),
    _pair(
        "drill after a mere touch",
        "drill-not-led",
        lambda text: swap(text, "Z-2.746", "Z-0.9"),
        lambda text: swap(text, "Z-2.746", "Z-2.3"),
    ),
    _pair(
        "drilled in steps that never come out",
        "no-peck",
        _change(
            _DRILLED,
            "G0 Z2.0\n"
            + "".join(f"G1 Z-{z} F126.0\nG0 Z-{z - 0.5}\n" for z in (4.2, 8.4, 12.6, 16.8))
            + "G1 Z-19.3\nG0 Z25.0\n",
        ),
        _change(
            _DRILLED,
            "G0 Z2.0\n"
            + "".join(f"G1 Z-{z} F126.0\nG0 Z0.5\nG0 Z-{z - 0.5:.1f}\n" for z in (4.2, 8.4, 12.6, 16.8))
            + "G1 Z-19.3\nG0 Z25.0\n",
        ),
    ),
    _pair(
        "plunges split over lines",
        "no-peck",
        _change(_DRILLED, "G0 Z2.0\n" + "".join(f"G1 Z-{z} F126.0\n" for z in (4, 8, 12, 16, 19.3)) + "G0 Z25.0\n"),
        _same,
    ),
    _pair("coolant", "coolant-on-iron", _put("M8\n"), _put("M9 (M8 IS NOT USED)\n")),
]

LOADS = [
    _pair(
        "more thrust than the quill",
        "thrust-over-machine",
        _same,
        _same,
        on=job(CHUCK_160, mill__max_thrust_n=200.0),
        fine_on=job(CHUCK_160, mill__max_thrust_n=900.0),
    ),
    _pair(
        "more torque than the spindle",
        "torque-over-machine",
        _same,
        _same,
        on=job(CHUCK_160, mill__max_torque_nm=0.5),
        fine_on=job(CHUCK_160, mill__max_torque_nm=3.0),
    ),
    _pair(
        "more power than the mill",
        "power-over-machine",
        _same,
        _same,
        on=job(CHUCK_160, mill__power_kw=0.05),
        fine_on=job(CHUCK_160, mill__power_kw=0.5),
    ),
]


def _drill_again() -> str:
    holes = "".join(f"G0 A{a}.0\nG98 G83 X5.0 Y0.0 Z-19.3 R2.0 Q4.2 F126.0\nG80\n" for a in (0, 90, 180, 270))
    return f"M5\nT2 M6\nG0 G43 Z25.0 H2\nS1800 M3\nG0 X5.0 Y0.0\n{holes}M5\nM30"


PAIRS = (*SPACE, *METAL, *LOADS)
