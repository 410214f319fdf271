"""What a record shows, from entries made by hand: bars of a chart, and before and after at each diameter."""

from __future__ import annotations

import pytest

from gcodegen.dial import Way
from gcodegen.dial.progress import Acceptance, Point, acceptance, chart, points, table
from gcodegen.dial.record import SAME_DIAMETER_MM, Entry
from gcodegen.dial.turns import Turn
from tests.dial.dial_jobs import settled_job

TURNS = (Turn(order=1, screw=1, way=Way.EASE, degrees=18.0, travel=0.05),)


def entry(run_out: float, diameter: float | None = None, *, wanted: float = 0.01, turns: bool = False) -> Entry:
    return Entry(
        clamped_diameter=diameter,
        wanted=wanted,
        run_out=run_out,
        eccentricity=run_out / 2,
        x=run_out / 2,
        y=0.0,
        standard_error=0.001,
        done=run_out <= wanted,
        note="",
        turns=TURNS if turns else (),
    )


def bars(*sets: tuple[float, float]) -> list[str]:
    """Return the bars of the chart of sets of run-out and figure wanted, blanks before them cut off."""
    lines = chart(points([entry(run_out, wanted=wanted) for run_out, wanted in sets]), "mm")[1:]
    return [line.split("mm  ", 1)[1] for line in lines]


def drawn(bar: str) -> tuple[int, int]:
    """Return where the bar ends and where its stroke stands."""
    return bar.rindex("=") + 1 if "=" in bar else 0, bar.index("|")


def test_points_are_the_entries_numbered_from_one() -> None:
    one, two = points([entry(0.1, 12.0), entry(0.004, None, wanted=0.005)])
    assert one == Point(
        number=1,
        run_out=0.1,
        eccentricity=0.05,
        standard_error=0.001,
        wanted=0.01,
        clamped_diameter=12.0,
        done=False,
    )
    assert (two.number, two.wanted, two.clamped_diameter, two.done) == (2, 0.005, None, True)


@pytest.mark.outside("closed form: on a logarithmic scale like factors take like ways")
def test_the_scale_begins_at_half_of_the_least_run_out_and_ends_at_the_largest() -> None:
    long, short = bars((0.16, 0.02), (0.0025, 0.02))  # from 0.00125: 7 doublings, 1, and 4 to the stroke
    width = drawn(long)[0]
    assert drawn(short)[0] == round(width / 7)
    assert drawn(long)[1] == drawn(short)[1] == round(width * 4 / 7)


@pytest.mark.outside("closed form: on a logarithmic scale like factors take like ways")
def test_the_scale_ends_at_the_largest_figure_where_all_run_outs_are_less() -> None:
    first, second = bars((0.01, 0.04), (0.01, 0.16))  # from 0.005: 1 doubling, strokes at 3 and 5
    width = drawn(second)[1]
    assert drawn(first) == (round(width / 5), round(width * 3 / 5))
    assert drawn(second)[0] == drawn(first)[0]
    assert second.endswith("| within")  # the stroke stands in the last column
    assert first.endswith(" within")
    assert len(first) == len(second)


def test_no_run_out_has_no_end_of_the_scale_to_itself() -> None:
    long, none = bars((0.16, 0.02), (0.0, 0.02))
    assert drawn(none)[0] < drawn(none)[1] == drawn(long)[1] < drawn(long)[0]


def test_a_line_of_the_chart_names_its_diameter() -> None:
    lines = chart(points([entry(0.1, 12.7), entry(0.1)]), "in")
    assert lines[1].endswith("  at 0.500 in")
    assert "at" not in lines[2]


def test_the_table_has_the_diameters_in_their_order_and_the_one_not_told_at_the_end() -> None:
    rows = acceptance(settled_job(), [entry(0.1), entry(0.1, 40.0), entry(0.1, 25.0)], 0.01)
    assert [r.clamped_diameter for r in rows] == [12.0, 25.0, 40.0, None]  # 12 mm stands in the job


@pytest.mark.parametrize("gap", [0.0, SAME_DIAMETER_MM - 1e-9, SAME_DIAMETER_MM])
def test_diameters_that_a_caliper_cannot_tell_apart_are_one(gap: float) -> None:
    bar = SAME_DIAMETER_MM  # as small as that, so that the sum is exact
    rows = acceptance(settled_job(), [entry(0.1, bar), entry(0.004, bar + gap)], 0.01)
    assert len(rows) == (3 if gap >= SAME_DIAMETER_MM else 2)
    if gap < SAME_DIAMETER_MM:
        assert (rows[0].before, rows[0].after, rows[0].met) == (0.1, 0.004, True)
    else:
        assert [(r.before, r.after) for r in rows[:2]] == [(0.1, None), (0.004, None)]


def test_a_bar_not_told_is_no_bar_of_a_known_diameter() -> None:
    rows = acceptance(settled_job(), [entry(0.1, 30.0), entry(0.004)], 0.01)
    assert [(r.clamped_diameter, r.before, r.after) for r in rows] == [
        (12.0, 0.09, None),
        (30.0, 0.1, None),
        (None, 0.004, None),
    ]
    twice = acceptance(settled_job(), [entry(0.1), entry(0.004)], 0.01)
    assert [(r.clamped_diameter, r.before, r.after) for r in twice] == [(12.0, 0.09, None), (None, 0.1, 0.004)]


def test_a_row_has_the_figure_of_its_own_last_set_and_else_the_one_asked_for() -> None:
    unread, read = acceptance(settled_job(), [entry(0.1, 30.0), entry(0.03, 30.0, wanted=0.04)], 0.02)
    assert (unread.wanted, unread.met, unread.current) == (0.02, False, False)
    assert (read.wanted, read.met, read.current) == (0.04, True, True)


def test_a_setting_holds_until_a_set_with_turns_is_followed_by_another() -> None:
    def current(*later: Entry) -> bool:
        rows = acceptance(settled_job(), [entry(0.1, 30.0), entry(0.004, 30.0), *later], 0.01)
        return next(r.current for r in rows if r.clamped_diameter == 30.0)

    assert current()
    assert current(entry(0.1, 40.0, turns=True))  # told, and not made as far as the record goes
    assert not current(entry(0.1, 40.0, turns=True), entry(0.004, 40.0))
    assert current(entry(0.004, 40.0), entry(0.003, 40.0))


@pytest.mark.parametrize(
    ("met", "after", "current", "stands"),
    [
        (True, 0.004, True, "within"),
        (True, 0.004, False, "within at an earlier setting: the screws were turned since"),
        (False, 0.04, True, "not within"),
        (False, 0.04, False, "not within"),
        (False, None, True, "read it"),
        (False, None, False, "read it"),
        (True, None, True, "within"),
    ],
)
def test_the_table_says_where_each_diameter_stands(met: bool, after: float | None, current: bool, stands: str) -> None:
    row = Acceptance(clamped_diameter=None, before=None, after=after, wanted=0.01, met=met, current=current)
    line = table([row], "mm")[1]
    assert line.startswith("not told           not read     ")
    assert line.split("0.0100 mm", 1)[1].strip() == stands
    assert line[32:].startswith("not read") == (after is None)
