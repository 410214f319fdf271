"""Gouges planted in a good program are found or let pass as their depth says."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.dryrun.lathe_jobs import GOOD_MM, findings_of, mm_job

DOWN = "G1 Z-7.5\n"
OUT = "G1 X162.0\n"
SPIGOT = 123.97


def planted_in_spigot(depth: float, place: float) -> str:
    """Return the program with a dip of ``depth`` (mm on the radius) in the spigot at Z = -place."""
    low = f"G1 X{SPIGOT - 2 * depth:.4f} Z-{place:.4f}\n"
    dip = f"G1 Z-{place - 0.5:.4f}\n{low}G1 X{SPIGOT} Z-{place + 0.5:.4f}\n"
    return GOOD_MM.replace(DOWN, dip + DOWN)


def planted_in_seat(depth: float, diameter: float) -> str:
    """Return the program with a dip of ``depth`` in the seat at a diameter."""
    dip = f"G1 X{diameter - 2:.4f}\nG1 X{diameter:.4f} Z-{7.5 + depth:.4f}\nG1 X{diameter + 2:.4f} Z-7.5\n"
    return GOOD_MM.replace(OUT, dip + OUT)


def gouges(text: str) -> list[tuple[str, float]]:
    found = [f for f in findings_of(text, mm_job()) if "gouge" in f.code]
    depths = [re.search(r"(\d+\.\d+) mm", f.says) for f in found]
    return [(f.code, float(m[1])) for f, m in zip(found, depths, strict=True) if m]


@pytest.mark.parametrize(("micrometres", "found"), [(3, False), (4.5, False), (6, True), (10, True)])
@pytest.mark.parametrize(
    ("plant", "code"),
    [
        (lambda d: GOOD_MM.replace(f"X{SPIGOT}", f"X{SPIGOT - 2 * d:.4f}"), "lathe-gouge-spigot"),
        (lambda d: GOOD_MM.replace("Z-7.5\n", f"Z-{7.5 + d:.4f}\n"), "lathe-gouge-seat"),
        (lambda d: planted_in_spigot(d, 4.0), "lathe-gouge-spigot"),
        (lambda d: planted_in_seat(d, 140.0), "lathe-gouge-seat"),
    ],
    ids=["whole spigot", "whole seat", "dip in the spigot", "dip in the seat"],
)
def test_planted_gouge_is_found_as_its_depth_says(plant, code, micrometres, found):
    result = gouges(plant(micrometres / 1000))
    assert {c for c, _ in result} == ({code} if found else set())
    # a depth is told with three places
    assert all(depth == pytest.approx(micrometres / 1000, abs=0.0006) for _, depth in result)


@settings(max_examples=60, deadline=None)
@given(depth=st.floats(0.0061, 0.3), place=st.floats(1.6, 6.4))
def test_gouge_deeper_than_six_micrometres_is_found_anywhere_on_the_spigot(depth, place):
    assert any(code == "lathe-gouge-spigot" for code, _ in gouges(planted_in_spigot(depth, place)))


@settings(max_examples=60, deadline=None)
@given(depth=st.floats(0.0061, 0.3), diameter=st.floats(127.0, 159.0))
def test_gouge_deeper_than_six_micrometres_is_found_anywhere_on_the_seat(depth, diameter):
    assert any(code == "lathe-gouge-seat" for code, _ in gouges(planted_in_seat(depth, diameter)))


@pytest.mark.outside("closed form: a 45 degree line moved by d along X goes d cos 45 deep")
@settings(max_examples=40, deadline=None)
@given(more=st.floats(-0.2, 0.6))
def test_edge_gouge_is_the_normal_depth_of_the_chamfer(more):
    # the edge may be broken 0.3 mm more than wished: from there on the normal depth counts
    deep = (more - 0.3) * math.cos(math.radians(45))
    assume(abs(deep - 0.005) > 0.0002)
    text = GOOD_MM.replace("X120.901", f"X{120.901 - 2 * more:.4f}").replace("Z-0.534", f"Z-{0.534 + more:.4f}")
    found = gouges(text)
    assert {c for c, _ in found} == ({"lathe-gouge-edge"} if deep > 0.005 else set())


def test_gouge_by_many_shallow_passes_is_found():
    passes = "".join(f"G1 Z-0.6\nG1 X{SPIGOT - 0.004 * k:.4f}\nG1 Z-7.5\n" for k in range(1, 6))
    assert "lathe-gouge-spigot" in {c for c, _ in gouges(GOOD_MM.replace(DOWN, DOWN + passes))}
