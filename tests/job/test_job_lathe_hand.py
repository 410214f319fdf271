"""Which hand of tool goes with which post, face and shank; and the undercut that a tool can turn."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box

from gcodegen.job import Lathe, LatheTool, Undercut, undercut_of
from gcodegen.job.undercut import RUN_OUT_SEAT_DEG

UP = np.array([0.0, 0.0, 1.0])  # x along the spindle away from the headstock, y away from the operator


def edge_looks(post: str, face: str, shank: str, hand: str) -> np.ndarray:
    """Return the way that the main edge looks, by a turn of the tool as it is held in the hand.

    A right-hand tool, its tip pointing away from whoever looks down on its cutting face, has the main edge at the left.
    """
    across = np.array([0.0, 1.0 if post == "front" else -1.0, 0.0])  # from the post to the axis
    tip = across if shank == "across" else np.array([-1.0, 0.0, 0.0])
    left = np.cross(UP if face == "up" else -UP, tip)
    return left if hand == "right" else -left


@pytest.mark.outside("ISO 5608 and ISO 1832, letters R and L (from memory): a right-hand tool cuts from right to left")
@pytest.mark.parametrize(
    ("post", "face", "shank"), list(itertools.product(("front", "rear"), ("up", "down"), ("across", "along")))
)
def test_the_hand_asked_for_looks_to_the_corner_of_spigot_and_seat(post: str, face: str, shank: str) -> None:
    lathe = Lathe.model_validate(
        {"max_speed_rpm": 2000, "power_kw": 1, "max_feed": 500, "rapid": 500, "tool_post": post, "tool_face": face}
    )
    hand = lathe.hand_of(LatheTool(number=1, shank=shank))
    to_headstock = np.array([-1.0, 0.0, 0.0])
    to_axis = np.array([0.0, 1.0 if post == "front" else -1.0, 0.0])
    wanted = to_headstock if shank == "across" else to_axis
    assert edge_looks(post, face, shank, hand) == pytest.approx(wanted)
    other = "left" if hand == "right" else "right"
    assert edge_looks(post, face, shank, other) == pytest.approx(-wanted)


tools = st.builds(
    LatheTool,
    number=st.just(1),
    nose_radius=st.floats(0.1, 1.6),
    entering_angle_deg=st.floats(91, 110),
    end_angle_deg=st.floats(1, 40),
    shank=st.sampled_from(["across", "along"]),
)


@given(tool=tools)
@pytest.mark.outside("shapely: buffer of the path of a nose's centre; DIN 509: shapes E and F")
def test_an_undercut_clears_the_corner_and_ends_where_it_says(tool: LatheTool) -> None:
    cut = undercut_of(tool)
    assert cut is not None
    # corner at 0, spigot below r = 0 (z > 0), seat left of z = 0 (r > 0); the tip goes in along the spigot
    nose = tool.nose_radius
    floor = np.array([-cut.into_seat, -cut.into_spigot])
    begin = floor + np.array([cut.run_out_spigot, cut.into_spigot])
    leave = floor + np.array([cut.into_seat, max(cut.run_out_seat, cut.into_spigot)])
    far = np.array([[80, 0], [0, 80]])
    path = np.array([begin + far[0], begin, floor, leave, leave + far[1]]) + nose
    taken = LineString(path).buffer(nose, quad_segs=256)
    assert Point(0, 0).distance(taken) == 0  # the mouth's sharp corner has room
    assert Point(0.02, -0.02).buffer(0.015).within(taken)
    spigot, seat = box(0, -50, 60, 0), box(-50, 0, 0, 60)
    under_spigot, below_seat = taken.intersection(spigot).buffer(-1e-4), taken.intersection(seat).buffer(-1e-4)
    assert under_spigot.bounds[2] == pytest.approx(cut.along_spigot, abs=0.02)
    assert -under_spigot.bounds[1] == pytest.approx(cut.into_spigot, abs=2e-3)
    if cut.shape == "F":
        assert below_seat.bounds[3] == pytest.approx(cut.along_seat, abs=0.02)
    else:
        assert below_seat.is_empty
        assert tool.spigot_clearance_deg >= 15
    # no metal stands proud of the two faces beside the corner
    beside = Polygon([(0, 0), (cut.along_spigot, 0), (0, nose)])
    assert beside.difference(taken.buffer(1e-3)).area < 1e-6
    assert cut.spigot_deg <= min(15, tool.spigot_clearance_deg)
    assert cut.seat_deg <= min(8, max(tool.seat_clearance_deg, 0))


@pytest.mark.parametrize(
    ("radius", "into_spigot", "into_seat", "width"),
    [
        *((0.2, 0.1, 0.1, 0.9), (0.4, 0.2, 0.1, 1.1), (0.6, 0.2, 0.1, 1.4), (0.6, 0.3, 0.2, 2.1), (1, 0.4, 0.3, 3.2)),
        *((1, 0.2, 0.1, 1.8), (1.6, 0.3, 0.2, 3.1), (2.5, 0.4, 0.3, 4.8)),
    ],
)
@pytest.mark.outside(
    'DIN 509, read: "DIN 509: Freistiche (Auszug)", r, t1, t2 and width g of shape F along the flat face'
)
def test_shape_f_is_as_wide_along_the_seat_as_the_standard_s(
    radius: float, into_spigot: float, into_seat: float, width: float
) -> None:
    cut = Undercut(nose=radius, into_spigot=into_spigot, into_seat=into_seat, spigot_deg=15, seat_deg=RUN_OUT_SEAT_DEG)
    assert cut.along_seat + into_spigot == pytest.approx(width, abs=0.06)  # g counts from the undercut's own floor


@pytest.mark.outside("closed form: a fillet's nearest point is r (sqrt(2) - 1) from the corner along the diagonal")
def test_shape_f_goes_just_deep_enough_for_the_corner() -> None:
    for nose in (0.2, 0.4, 0.8, 1.2):
        cut = undercut_of(LatheTool(number=1, nose_radius=nose))
        assert cut is not None
        cleared = nose - math.sqrt(2) * (nose - cut.into_spigot)
        assert 0.05 - 1e-9 <= cleared < 0.05 + 0.0142


@pytest.mark.parametrize(
    "changes",
    [
        {"nose_radius": 0},
        {"entering_angle_deg": 90},
        {"end_angle_deg": 0},
        {"entering_angle_deg": 75, "end_angle_deg": 30},
    ],
)
def test_a_tool_without_nose_or_room_turns_no_undercut(changes: dict[str, float]) -> None:
    assert undercut_of(LatheTool.model_validate({"number": 1} | changes)) is None
