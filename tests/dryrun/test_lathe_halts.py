"""Halts of a lathe program one by one, the tool at a given distance from a bar that stands alone."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from gcodegen.dryrun.lathe_codes import LATHE_CODES
from gcodegen.dryrun.lathe_halts import Halts
from gcodegen.dryrun.lathe_path import Halt
from gcodegen.dryrun.lathe_tool import fitted
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import LatheTool
from gcodegen.rs274.motions import Dwell, End, Point, SpindleChange, Stop, ToolChange, Turning
from tests.dryrun.machine_steps import state

KINDS = {row.code: row for row in LATHE_CODES}
BAR = shapely.box(-20.0, 0.0, 0.0, 50.0)  # its end face at Z0, its rim at X100
TOOL = fitted(LatheTool(number=1))
MAX_RPM = 4000.0
AT = Point(0.0, 0.0, 0.0, 0.0)  # not looked at: the walk says where the tool is
ON, OFF = state(speed_rpm=300.0), state(speed_rpm=300.0, spindle=Turning.OFF)
FAR = 80.0


def _found(*halts: tuple[Halt, float | None], metal: shapely.Geometry = BAR) -> list[tuple[str, str]]:
    """Return code and words; each step with the tool so far before the bar's end face, on X40."""
    book = Notebook((), KINDS)
    looks = Halts(book, MAX_RPM)
    for step, room in halts:
        at = None if room is None else np.array([room, 20.0])
        looks.check(Halt(step=step, tool=1, at=at), metal, TOOL)
    return [(f.code, f.says) for f in book.findings]


def _codes(*halts: tuple[object, float | None], metal: shapely.Geometry = BAR) -> list[str]:
    return [code for code, _ in _found(*halts, metal=metal)]


def _stop(tool: int = 0, *, on: bool = False, optional: bool = False) -> Stop:
    return Stop(5, "", AT, ON if on else OFF, tool, optional)


END = End(9, AT, OFF, OFF)


@pytest.mark.parametrize(("room", "close"), [(4.999, True), (5.0, False), (None, False), (0.0, True)])
def test_a_tool_is_changed_five_millimetres_off_the_metal(room: float | None, close: bool) -> None:
    said = ["lathe-change-close"] if close else []
    assert _codes((_stop(3), room)) == said
    assert _codes((ToolChange(5, 3, AT, OFF), room)) == [*said, "lathe-change-by-word"]
    for no_change in (_stop(0), _stop(3, optional=True)):
        assert _codes((no_change, room)) == []


@pytest.mark.parametrize(("room", "close"), [(0.999, True), (1.0, False), (None, False), (-5.0, True)])
def test_a_program_ends_a_millimetre_off_the_metal(room: float | None, close: bool) -> None:
    assert _codes((END, room)) == (["lathe-ends-close"] if close else [])


@pytest.mark.outside("closed form: beside the corner of a bar the distance is the hypotenuse")
def test_the_distance_is_that_to_the_nearest_metal() -> None:
    pointed = fitted(LatheTool(number=1, nose_radius=0, entering_angle_deg=90, end_angle_deg=0))
    book = Notebook((), KINDS)
    Halts(book, MAX_RPM).check(Halt(step=END, tool=1, at=np.array([0.3, 50.4])), BAR, pointed)
    assert [f.says for f in book.findings] == ["the program ends with the tool 0.50 mm from the metal"]


def test_where_no_metal_is_left_nothing_is_close_to_it() -> None:
    assert _codes((END, 0.0), (_stop(3), 0.0), metal=shapely.Polygon()) == []


def test_a_stop_wants_the_spindle_off_and_names_what_is_done_there() -> None:
    assert _codes((_stop(), FAR), (_stop(3), FAR), (_stop(optional=True), FAR)) == []
    for stop, code in (
        (_stop(on=True), "lathe-stop-spindle-on"),
        (_stop(on=True, optional=True), "lathe-stop-spindle-on"),
        (_stop(3, on=True, optional=True), "lathe-stop-spindle-on"),
        (_stop(1, on=True), "lathe-change-spindle-on"),
        (_stop(3, on=True), "lathe-change-spindle-on"),
    ):
        assert _codes((stop, FAR)) == [code]


@pytest.mark.parametrize("first", [_stop(3), ToolChange(4, 3, AT, OFF)], ids=["stop", "word"])
def test_a_tool_that_is_in_the_post_already_is_not_changed(first: Stop | ToolChange) -> None:
    before = _codes((first, FAR))
    assert _codes((first, FAR), (_stop(3, on=True), 0.5)) == [*before, "lathe-stop-spindle-on"]
    assert _codes((first, FAR), (_stop(1), 0.5)) == [*before, "lathe-change-close"]
    assert _codes((first, FAR), (_stop(1), FAR), (_stop(3), 0.5)) == [*before, "lathe-change-close"]


@pytest.mark.parametrize(("room", "touches"), [(0.0019, True), (0.0021, False), (-1.0, True), (None, False)])
@pytest.mark.parametrize(("after", "word"), [(Turning.OFF, "stops"), (Turning.CLOCKWISE, "starts")])
def test_the_spindle_starts_and_stops_clear_of_the_metal(
    room: float | None, touches: bool, after: Turning, word: str
) -> None:
    change = SpindleChange(5, Turning.COUNTER, after, AT)
    said = [("lathe-spindle-in-contact", f"the spindle {word} while the tool touches the metal")]
    assert _found((change, room)) == (said if touches else [])


@pytest.mark.outside("worked by hand: 300 rev/min make five turns in a second; 60 m/min on 40 mm make 477.5 rev/min")
@pytest.mark.parametrize(
    ("spindle", "seconds", "turns"),
    [
        (ON, 1.0, None),
        (ON, 1.01, 5),
        (ON, 4.0, 20),
        (OFF, 4.0, None),
        (state(speed_rpm=9000.0), 0.06, None),  # as fast as the lathe can: four turns
        (state(speed_rpm=9000.0), 0.09, 6),
        (state(speed_rpm=None, surface_m_min=60.0), 0.62, None),
        (state(speed_rpm=None, surface_m_min=60.0), 0.64, 5),
        (state(speed_rpm=None, surface_m_min=60.0), 6.0, 48),
        (state(speed_rpm=None), 6000.0, None),
    ],
)
def test_a_tool_stands_against_turning_metal_for_five_turns(spindle: object, seconds: float, turns: int | None) -> None:
    dwell = Dwell(5, seconds, spindle)  # type: ignore[arg-type]
    said = [("lathe-dwell-in-cut", f"the tool rubs on the metal for {turns} turns")] if turns else []
    assert _found((dwell, 0.0)) == said
    assert _found((dwell, 0.1)) == []
    assert _found((dwell, None)) == []
