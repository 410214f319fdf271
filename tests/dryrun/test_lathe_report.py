"""What a lathe program's report says besides its findings: differences, minutes by tool, where metal is met."""

from __future__ import annotations

import json

import pytest

from gcodegen.dryrun.lathe import check_lathe
from gcodegen.dryrun.run import dry_run
from gcodegen.rs274 import Machine, read_program
from tests.dryrun.lathe_jobs import GOOD_INCH, GOOD_MM, inch_job, mm_job
from tests.dryrun.test_lathe_pairs import BEFORE_FINISH, END, edit


def differences(text: str) -> dict[str, tuple[float | None, float | None]]:
    report = dry_run(text, mm_job(), "lathe", "lathe.nc")
    return {d.what: (d.wanted, None if d.found is None else round(d.found, 3)) for d in report.differences}


@pytest.mark.parametrize(("text", "job"), [(GOOD_MM, mm_job()), (GOOD_INCH, inch_job())], ids=["mm", "inch"])
def test_a_good_program_leaves_the_metal_as_it_is_wanted(text, job):
    assert dry_run(text, job, "lathe").differences == ()


@pytest.mark.parametrize(
    ("old", "new", "wanted"),
    [
        (
            "G1 Z-7.5\n",
            "G1 Z-7.52\n",
            {
                "seat, Z at its highest": (-7.5, -7.52),
                "seat, Z at its lowest": (-7.5, -7.52),
                "plate, thickness at its least": (20.5, 20.48),
            },
        ),
        (
            "G1 Z-7.5\n",
            "G1 Z-7.49\n",
            {
                "seat, Z at its highest": (-7.5, -7.49),
                "seat, Z at its lowest": (-7.5, -7.49),
                "corner, metal over the nose's fillet": (0.0, 0.01),
            },
        ),
        (
            "G1 X162.0\n",
            "G1 X140.0\nG1 X142.0 Z-7.6\nG1 X144.0 Z-7.5\nG1 X162.0\n",
            {"seat, Z at its lowest": (-7.5, -7.6), "plate, thickness at its least": (20.5, 20.4)},
        ),
        (
            "G1 X123.97 Z-0.534 F0.1\n",
            "G1 X123.95 Z-0.524 F0.1\n",
            {"spigot, largest diameter": (123.97, 123.95), "spigot, least diameter": (123.97, 123.95)},
        ),
        (
            "G0 X120.901\n",
            "G0 X126.0\nG0 Z-0.02\nG1 X30.0 F0.1\nG0 Z1.0\nG0 X120.901\n",
            {"spigot's end, Z at its lowest": (0.0, -0.02)},
        ),
        (
            "X123.97 Z-0.534",
            "X124.17 Z-0.534",
            {
                "spigot, largest diameter": (123.97, 124.17),
                "spigot, least diameter": (123.97, 124.17),
                "relief on the diameter": (1.0, 0.8),
                "corner, metal over the nose's fillet": (0.0, 0.1),
            },
        ),
    ],
    ids=["seat deep", "seat high", "groove", "spigot small", "end faced", "spigot large"],
)
def test_the_report_says_what_differs_and_by_how_much(old, new, wanted):
    found = differences(edit(old, new))
    edges = {what: pair for what, pair in found.items() if what.startswith("edge")}
    assert {what: pair for what, pair in found.items() if what not in edges} == wanted


def test_a_spigot_without_its_chamfer_is_told_with_a_sharp_edge():
    found = differences(edit("G0 X120.901\nG1 X123.97 Z-0.534 F0.1", "G0 X119.0\nG1 Z-7.5 F0.1"))
    assert found["edge, broken along the spigot"] == (0.3, 0.0)
    assert found["spigot, largest diameter"] == (123.97, 119.0)


def test_what_is_gone_is_told_as_gone():
    found = differences(edit("G1 Z-7.5\n", "G1 Z-7.6\nG1 X30.0\n"))
    assert found["edge, broken along the spigot"] == (0.3, None)
    assert found["spigot, largest diameter"] == (123.97, None)


def test_differences_stand_in_the_json_as_plain_figures():
    (first, *_) = dry_run(edit("G1 Z-7.5\n", "G1 Z-7.52\n"), mm_job(), "lathe").as_json()["differences"]
    assert json.loads(json.dumps(first)) == {
        "where": "backplate",
        "what": "seat, Z at its highest",
        "wanted": -7.5,
        "found": -7.52,
        "unit": "mm",
        "limit": "equal",
    }


def test_minutes_are_told_for_each_tool():
    text = edit(BEFORE_FINISH, "G0 Z6.0\nM5\nT3 M0\nM3\nG4 P30.0\nG0 Z1.0\n(FINISH")
    report = dry_run(text, mm_job(), "lathe")
    assert [t.tool for t in report.tools] == [1, 3]
    assert sum(t.minutes for t in report.tools) == pytest.approx(report.minutes)
    assert report.tools[1].minutes > 0.5


@pytest.mark.parametrize(
    ("new", "stops"),
    [
        ("G1 Z-7.0\nG0 X170.0 Z5.0\nM5\nG94\nG1 Z8.0 F30.0\n", set()),
        ("G1 Z-7.0\nG0 X170.0 Z5.0\nM5\nG94\nG1 Z-7.6 F30.0\nG1 X158.0\n", {"spindle-off-in-cut"}),
    ],
    ids=["in the air", "in metal"],
)
def test_a_feed_with_the_spindle_off_stops_only_in_metal(new, stops):
    report = dry_run(edit(END, new), mm_job(), "lathe")
    assert stops <= {f.code for f in report.findings}
    if not stops:
        assert report.findings == ()


def test_a_rounded_edge_of_the_wanted_size_is_no_difference():
    rounded = edit("G1 X123.97 Z-0.534 F0.1", "G1 Z0.0 F0.1\nG1 X122.57\nG3 X123.97 Z-0.7 I0.0 K-0.7")
    assert differences(rounded) == {}


def test_progress_is_told_and_never_goes_back():
    told: list[float] = []
    lines = "\n".join(f"G0 X{170 + k % 2:.1f}" for k in range(300))
    reading = read_program(edit(END, f"{lines}\n{END}"), Machine(lathe=True))
    check_lathe(reading, mm_job(), told.append)
    assert len(told) >= 3
    assert told == sorted(told)
    assert 0 <= told[0] <= told[-1] <= 1
