"""Moves below the crest that are not over the body: which are told, and which are let pass."""

from __future__ import annotations

import pytest

from gcodegen.dryrun.mill_beside import _below, check_beside
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.job.limits import MillKeepOut
from gcodegen.rs274.motions import Dwell, Motion
from tests.dryrun.mill_jobs import CHUCK_160, job
from tests.dryrun.mill_parts import SETUP, arc, book, moment, move, state


def beside(*motions: Motion, setup: MillSetup = SETUP, number: int | None = 1) -> list[str]:
    notes = book()
    check_beside([moment(Dwell(1, 1.0, state())), *(moment(m, number) for m in motions)], setup, notes)
    return [f.says for f in notes.findings]


@pytest.mark.parametrize(
    ("end", "side"),
    [
        ((-3.01, 0), "in front of the rear face"),  # the tool is 6 mm across
        ((-2.99, 0), ""),
        ((66.99, 0), ""),
        ((67.01, 0), "beyond the jaws' end"),
        ((30, 83.01), "beside the body"),
        ((30, 82.99), ""),
        ((30, -83.01), "beside the body"),
        ((30, -82.99), ""),
    ],
)
def test_a_tool_that_is_wholly_off_the_block_over_the_body_is_told(end: tuple[float, float], side: str) -> None:
    found = beside(move((*end, 10), (*end, -2)))
    assert [side in says for says in found] == ([True] if side else [])
    assert all("goes 2.0 mm under the crest" in says for says in found)
    assert beside(move((*end, 10), (*end, -0.01))) == []
    assert len(beside(move((*end, 10), (*end, -0.011)))) == len(found)
    mirrored = MillSetup(job(CHUCK_160, mill__rear_face="+X"))
    other = (-end[0], end[1])
    assert [side in says for says in beside(move((*other, 10), (*other, -2)), setup=mirrored)] == (
        [True] if side else []
    )


def test_the_tip_s_own_place_counts_where_no_tool_is_known() -> None:
    for x, found in ((-0.01, 1), (0.01, 0)):
        assert len(beside(move((x, 0, 10), (x, 0, -2)), number=None)) == found


def test_a_tip_lower_than_the_axis_is_told() -> None:
    assert beside(move((30, 0, 10), (30, 0, -80.0))) == []
    (says,) = beside(move((30, 0, 10), (30, 0, -80.1)))
    assert "lower than the chuck's axis" in says
    assert len(beside(move((30, 0, -80.1), (30, 0, 10)))) == 1


@pytest.mark.outside("closed form: two figures that run evenly are both below 0 where their parts of the way overlap")
def test_only_a_move_that_is_low_while_it_is_beside_is_told() -> None:
    # Beside the body from Y83 on: under the crest before that, or after.
    for start, end, found in (
        ((30, 73, -8), (30, 93, 4), 1),  # under the crest until Y86
        ((30, 73, -4), (30, 93, 4.1), 0),  # until Y82.9
        ((30, 93, 4), (30, 73, -8), 1),
        ((30, 93, 4.1), (30, 73, -4), 0),
        ((30, 93, -4), (30, 73, 8), 1),
        ((30, 73, 20), (30, 93, -1), 1),
        ((30, 93, -1), (30, 73, 20), 1),
        ((30, 73, -8), (30, 93, 7.97), 1),  # 0.015 mm under it there
        ((30, 73, -8), (30, 93, 7.99), 0),  # less than what is rounded
        ((30, 93, 7.99), (30, 73, -8), 0),
        ((-1, 0, -4), (-5, 0, 4.1), 0),  # beyond X-3 from half the way on
        ((-1, 0, -4), (-5, 0, 3.9), 1),
        ((-1, 0, -4.1), (-5, 0, 4), 1),
    ):
        assert len(beside(move(start, end))) == found, (start, end)


@pytest.mark.outside("closed form: a figure that runs evenly from a to b is 0 at a / (a - b) of the way")
def test_on_which_part_of_the_way_a_figure_is_below_zero() -> None:
    for first, last, part in (
        (-1.0, -3.0, (0.0, 1.0)),
        (0.5, -0.5, (0.5, 1.0)),
        (-0.5, 0.5, (0.0, 0.5)),
        (-3.0, 1.0, (0.0, 0.75)),
        (0.5, -4.5, (0.1, 1.0)),
        (0.0, -2.0, (0.0, 1.0)),
        (-2.0, 0.0, (0.0, 1.0)),
        (0.0, 0.0, (0.0, 0.0)),
        (0.5, 3.0, (0.0, 0.0)),
        (3.0, 0.0, (0.0, 0.0)),
        (0.0, 3.0, (0.0, 0.0)),
    ):
        assert _below(first, last) == pytest.approx(part), (first, last)


def test_an_arc_that_dips_beside_the_body_is_told_and_what_has_no_place_is_not() -> None:
    dip = arc("yz", 180.0, 180.0, 10.0, (30.0, 100.0, 5.0))
    assert len(beside(dip)) == 1
    assert beside(arc("yz", 180.0, 180.0, 10.0, (30.0, 100.0, 11.0))) == []
    low = move((30, 100, 10), (30, 100, -2))
    assert beside(low._replace(state=state(unknown="x"))) == []
    assert beside(low._replace(state=state(machine_coordinates=True))) == []
    # What is not judged does not hide what is.
    clear = move((30, 0, 10), (30, 0, 5))
    assert len(beside(low._replace(state=state(unknown="x")), clear, low)) == 1


def test_whether_boxes_were_looked_at_is_said() -> None:
    low = move((30, 100, 10), (30, 100, -2))
    assert beside(low)[0].endswith("the job names none")
    vice = MillKeepOut.model_construct(name="vice", x=(300.0, 310.0), y=(0.0, 1.0), z=(0.0, 1.0))
    named = MillSetup(job(CHUCK_160, mill__keep_out=(vice,)))
    assert beside(low, setup=named)[0].endswith("were looked at")
