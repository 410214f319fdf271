"""What the post writes for a sound job, the dry run finds nothing against: two rooms that share only text and job."""

from __future__ import annotations

from typing import Any

import pytest

from gcodegen.verdict import Verdict
from tests.dryrun.generated import GOOD_JOBS, Made, edited, is_good, made, shipped

WALL = 0.02  # mm between the design's wall, in closed form, and the dry run's, from certified distances
FAR = 2e-3  # of a wall of many millimetres: the closed form begins the hole on the crown of the recess wall

_SWITCHES: list[tuple[str, tuple[Any, Any]]] = [
    ("mill.rear_face", ("-X", "+X")),
    ("mill.rotary", ("A", "by hand")),
    ("mill.tool_change", ("by hand", "automatic")),
    ("mill.tapping", ("by hand", "synchronised")),
    ("mill.grouping", ("by tool", "by hole")),
    ("unit", ("mm", "in")),
]
_MILL_DIALECTS: dict[str, Any] = {
    "plain": "plain",
    "long hand": "long hand",
    "numbered": {"block_numbers": 10, "percent_lines": True, "line_ends": "crlf"},
}
_LATHES: list[tuple[bool, Any]] = [
    (False, "plain"),
    (True, "long hand"),
    (True, {"speed_clamp": "G92 S"}),
    (True, {"speed_clamp": "G50 S", "cycles": False, "block_numbers": 5}),
]


def _matrix() -> list[tuple[str, dict[str, Any]]]:
    """Return sixteen sets of switches for each dialect, in which every pair of settings occurs."""
    rows = []
    for place, (name, dialect) in enumerate(_MILL_DIALECTS.items()):
        for number in range(16):
            bits = [number >> k & 1 for k in range(4)]
            bits += [bits[0] ^ bits[1] ^ bits[2], bits[1] ^ bits[2] ^ bits[3] ^ (place & 1)]
            row: dict[str, Any] = {key: pair[bit] for (key, pair), bit in zip(_SWITCHES, bits, strict=True)}
            speed, lathe = _LATHES[(number + place) % 4]
            row |= {"mill.dialect": dialect, "lathe.surface_speed": speed, "lathe.dialect": lathe}
            rows.append((f"{name} {number}", row))
    return rows


_DEEP = {"chuck.recess_depth": 16, "backplate.spigot_length": 10}
_HSS = {"number": 1, "material": "HSS"}
_SPECIAL: dict[str, dict[str, Any]] = {
    "spigot already long enough": _DEEP,
    "spigot already long enough, edge kept sharp": _DEEP | {"adjustment.edge_break": 0},
    "a fiftieth to face back": _DEEP | {"adjustment.spigot_length": 10.02},
    "three tenths to face back": _DEEP | {"adjustment.spigot_length": 10.3},
    "hardly anything to relieve": {
        "backplate.spigot_diameter": 123.97,
        "adjustment.relief": 0.01,
        "adjustment.travel": 0.2,
    },
    "edge kept sharp": {"adjustment.edge_break": 0},
    "edge of a millimetre": {"adjustment.edge_break": 1.0},
    "very small depth of cut": {"lathe.max_depth_of_cut": 0.05},
    "very large depth of cut": {"lathe.max_depth_of_cut": 5},
    "no tools given": {"mill.tool": [], "lathe.tool": []},
    "tools given partly": {
        "mill.tool": [
            {"number": 3, "kind": "spot drill", "diameter": 8},
            {"number": 5, "kind": "drill", "diameter": 5},
            {"number": 9, "kind": "tap", "thread": "M6"},
        ]
    },
    "spot drill smaller than the thread": {"mill.tool": [{"number": 1, "kind": "spot drill", "diameter": 5.5}]},
    "spot drill far larger than the thread": {"mill.tool": [{"number": 1, "kind": "spot drill", "diameter": 20}]},
    "tap with a long lead": {
        "mill.tool": [{"number": 3, "kind": "tap", "thread": "M6", "lead_threads": 9}],
        "mill.tapping": "synchronised",
    },
    "soft iron": {"chuck.hardness_hb": 150, "backplate.hardness_hb": 150},
    "hard iron, carbide": {
        "chuck.hardness_hb": 250,
        "backplate.hardness_hb": 250,
        "lathe.tool": [{"number": 4, "material": "carbide"}],
    },
    "nose without a radius": {"lathe.tool": [_HSS | {"nose_radius": 0}]},
    "large nose": {"lathe.tool": [_HSS | {"nose_radius": 1.6}], "chuck.recess_chamfer": 2},
    "screws given": {"adjustment.screw": "M5", "adjustment.setback": 5.1234, "adjustment.first_angle": 75},
    "unified screws in a metric job": {"adjustment.screw": "#8-32"},
    "coarse index plate": {"mill.rotary": "by hand", "mill.rotary_step_deg": 15},
    "slow mill": {"mill.max_speed_rpm": 300, "mill.min_speed_rpm": 60},
    "title that looks like words": {"title": ") G0 Z-50 ;(MSG, x %/N1"},
    "title in other letters": {"title": "Drehfutter \u00d8160 \u2013 zur\u00fcck"},
}


def _is_clean(result: Made) -> None:
    assert [(f.code, f.line, f.block, f.says) for f in result.grave] == []
    decided = result.design.layout
    found = {w.hole: w.wall for w in result.mill_report.walls}
    closed = {f"screw {n}": wall for n, wall in enumerate(decided.per_screw, 1)}
    assert found == pytest.approx(closed, abs=WALL, rel=FAR)
    assert result.mill_report.minutes > 0
    assert result.lathe_report.minutes > 0
    assert result.design.verdict is not Verdict.STOP


@pytest.mark.parametrize("name", GOOD_JOBS)
def test_programs_of_a_shipped_job_raise_nothing(name: str) -> None:
    _is_clean(shipped(name))


@pytest.mark.parametrize("changes", [row for _, row in _matrix()], ids=[name for name, _ in _matrix()])
def test_programs_raise_nothing_whatever_the_switches(changes: dict[str, Any]) -> None:
    _is_clean(made(edited(changes)))


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("changes", _SPECIAL.values(), ids=_SPECIAL)
def test_programs_of_an_odd_job_raise_nothing(changes: dict[str, Any], unit: str) -> None:
    _is_clean(made(edited({**changes, "unit": unit})))


def test_every_pair_of_switches_occurs_in_the_matrix() -> None:
    keys = [key for key, _ in _SWITCHES]
    rows = [row for _, row in _matrix()]
    for one, key in enumerate(keys):
        for other in keys[one + 1 :]:
            assert len({(row[key], row[other]) for row in rows}) == 4, (key, other)


@pytest.mark.parametrize("name", ["chuck-160", "chuck-6-hole-inch"])
def test_a_whole_minute_budget_is_the_sum_of_its_tools(name: str) -> None:
    report = shipped(name).mill_report
    assert sum(t.minutes for t in report.tools) == pytest.approx(report.minutes)
    assert [t.tool for t in report.tools if t.tool] == [1, 2, 3]


def test_the_job_that_cannot_be_converted_is_stopped_by_the_dry_run_as_well() -> None:
    result = shipped("too-thin")
    assert not is_good(result.design)
    assert result.mill_report.stops
