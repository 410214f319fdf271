"""Every rule between keys refuses what it is for, names the key, and nothing else."""

from __future__ import annotations

import pytest

from gcodegen.errors import JobError
from gcodegen.job import read_job
from gcodegen.job.rules import body, bolts, features, machines, overlaps, plate, wishes
from tests.job.job_text import GONE, changed

HOLE = {"name": "dowel", "kind": "axial hole", "circle": 140, "angle": 20, "diameter": 5, "to_depth": 20}
RING = {"name": "scroll chamber", "kind": "ring", "outer_diameter": 90, "to_depth": 50}
SLOT = {"name": "way", "kind": "slot", "angle": 20, "width": 10, "to_depth": 20}

BROKEN: list[tuple[str, dict[str, object], str]] = [
    # the body
    ("body too small", {"chuck.length": 14}, "chuck.length"),
    ("body too long", {"chuck.length": 501, "chuck.mass_kg": GONE}, "chuck.length"),
    ("recess as large as the body", {"chuck.recess_diameter": 160}, "chuck.recess_diameter"),
    ("rim of 2.9 mm", {"chuck.recess_diameter": 154.2}, "chuck.recess_diameter"),
    ("recess through the body", {"chuck.recess_depth": 64}, "chuck.recess_depth"),
    ("chamfer as deep as the recess", {"chuck.recess_chamfer": 9}, "chuck.recess_chamfer"),
    ("speed with a nought too many", {"chuck.speed_limit_rpm": 25000}, "chuck.speed_limit_rpm"),
    ("mass in pounds", {"chuck.mass_kg": 19.8}, "chuck.mass_kg"),
    ("mass in tonnes", {"chuck.mass_kg": 0.009}, "chuck.mass_kg"),
    # the cover
    ("cover fills the recess", {"chuck.cover.thickness": 9}, "chuck.cover.thickness"),
    ("thinned without a thickness", {"chuck.cover.plan": "thinned"}, "chuck.cover.thickness_after"),
    (
        "thinned to more than it was",
        {"chuck.cover": {"thickness": 2, "plan": "thinned", "thickness_after": 2}},
        "chuck.cover.thickness_after",
    ),
    ("thickness after without thinning", {"chuck.cover.thickness_after": 1}, "chuck.cover.thickness_after"),
    # features
    ("hole ends before it begins", {"chuck.feature[1].from_depth": 14}, "chuck.feature[1].to_depth"),
    ("ring past the front", {"chuck.feature[3].to_depth": 64.1}, "chuck.feature[3].to_depth"),
    ("bore open to the rear face", {"chuck.feature[2].depth": 9.9}, "chuck.feature[2].depth"),
    ("bore open to the front", {"chuck.feature[2].depth": 54.1}, "chuck.feature[2].depth"),
    ("bore wider than the chuck", {"chuck.feature[2].diameter": 70}, "chuck.feature[2].depth"),
    ("hole breaks out of the rim", {"chuck.feature[1].circle": 156}, "chuck.feature[1].circle"),
    ("bore begins outside", {"chuck.feature[2].inner_radius": 80}, "chuck.feature[2].inner_radius"),
    ("slot begins outside", {"chuck.feature[4].inner_radius": 90}, "chuck.feature[4].inner_radius"),
    ("slot as wide as the body", {"chuck.feature[4].width": 160}, "chuck.feature[4].width"),
    ("ring inside out", {"chuck.feature[3].inner_diameter": 118}, "chuck.feature[3].outer_diameter"),
    (
        "ring larger than the body",
        {"chuck.feature[3].outer_diameter": 161},
        "chuck.feature[3].outer_diameter",
    ),
    (
        "angles beside count and angle",
        {"chuck.feature[4]": {**SLOT, "angles": [20, 140], "count": 2}},
        "chuck.feature[4].angles",
    ),
    (
        "the same angle twice",
        {
            "chuck.feature[2].count": GONE,
            "chuck.feature[2].angle": GONE,
            "chuck.feature[2].angles": [-90, 270],
        },
        "chuck.feature[2].angles",
    ),
    (
        "the same feature twice",
        {"chuck.feature[3]": {**SLOT, "width": 12}, "chuck.feature[4]": {**SLOT, "name": "Way"}},
        "chuck.feature[4].name",
    ),
    ("the same ring twice", {"chuck.feature[4]": RING}, "chuck.feature[4].name"),
    # holes in holes
    ("hole in a mounting bolt", {"chuck.feature[4]": {**HOLE, "angle": 0}}, "chuck.feature[4]"),
    ("hole in a cover screw", {"chuck.feature[4]": {**HOLE, "angle": 31, "circle": 134}}, "chuck.feature[4]"),
    ("holes of one pattern", {"chuck.feature[4]": {**HOLE, "circle": 20, "count": 24}}, "chuck.feature[4]"),
    # plate and spigot
    ("plate too small", {"backplate.thickness": 4, "backplate.spigot_length": 3}, "backplate.thickness"),
    ("plate too large", {"backplate.diameter": 801}, "backplate.diameter"),
    ("spigot as large as the plate", {"backplate.diameter": 124}, "backplate.spigot_diameter"),
    ("spigot longer than the plate is thick", {"backplate.spigot_length": 27}, "backplate.spigot_length"),
    ("bore takes the spigot", {"backplate.bore": 119}, "backplate.bore"),
    ("spigot as large as the recess", {"backplate.spigot_diameter": 125}, "backplate.spigot_diameter"),
    ("spigot of another chuck", {"backplate.spigot_diameter": 112}, "backplate.spigot_diameter"),
    ("spigot stands on the cover", {"backplate.spigot_length": 6.5}, "backplate.spigot_length"),
    ("plate inside the recess", {"backplate.diameter": 125}, "backplate.diameter"),
    # bolts
    ("circle off the plate", {"backplate.diameter": 151}, "backplate.bolts.circle"),
    ("circle cuts the recess wall", {"backplate.bolts.circle": 135}, "backplate.bolts.circle"),
    ("circle cuts the outside", {"backplate.bolts.circle": 150}, "backplate.bolts.circle"),
    (
        "clearance holes run into each other",
        {"backplate.bolts.angles": [0, 9, 180], "backplate.bolts.angle": GONE},
        "backplate.bolts.hole_diameter",
    ),
    ("hole smaller than the thread", {"backplate.bolts.hole_diameter": 9.9}, "backplate.bolts.hole_diameter"),
    ("hole twice the thread", {"backplate.bolts.hole_diameter": 20.1}, "backplate.bolts.hole_diameter"),
    ("more under the head than the plate", {"backplate.thickness": 15}, "backplate.bolts.under_head"),
    ("bolt does not come through", {"backplate.bolts.length": 16}, "backplate.bolts.length"),
    ("bolt bottoms", {"backplate.bolts.length": 39}, "backplate.bolts.thread_depth"),
    ("thread through the chuck", {"backplate.bolts.thread_depth": 64}, "backplate.bolts.thread_depth"),
    ("angle beside angles", {"backplate.bolts.angles": [0, 100, 240]}, "backplate.bolts.angle"),
    (
        "count against angles",
        {"backplate.bolts.angles": [0, 100], "backplate.bolts.angle": GONE},
        "backplate.bolts.count",
    ),
    (
        "the same bolt twice",
        {"backplate.bolts.angles": [0, 120, 360], "backplate.bolts.angle": GONE},
        "backplate.bolts.angles",
    ),
    ("a lone bolt", {"backplate.bolts.count": 1}, "backplate.bolts.count"),
    (
        "position error of another circle",
        {"backplate.bolts.position_error": 2.1},
        "backplate.bolts.position_error",
    ),
    # what is wanted
    ("float not known", {"adjustment.travel": GONE, "adjustment.reading": []}, "adjustment.travel"),
    ("travel of a lathe carriage", {"adjustment.travel": 5.1}, "adjustment.travel"),
    ("run-out of a wreck", {"adjustment.reading[1].run_out": 6}, "adjustment.reading[1].run_out"),
    ("angles that are no cross", {"adjustment.angles": [0, 91, 180, 270]}, "adjustment.angles"),
    (
        "angles beside first_angle",
        {"adjustment.angles": [0, 90, 180, 270], "adjustment.first_angle": 0},
        "adjustment.first_angle",
    ),
    ("relief of 21 mm", {"adjustment.relief": 21}, "adjustment.relief"),
    ("relief down to the bore", {"adjustment.relief": 5, "backplate.bore": 114.5}, "adjustment.relief"),
    ("edge broken by 3 mm", {"adjustment.edge_break": 3}, "adjustment.edge_break"),
    ("wall of paper", {"adjustment.least_wall": 0.9}, "adjustment.least_wall"),
    ("wall as thick as the rim", {"adjustment.least_wall": 17.5}, "adjustment.least_wall"),
    ("setback in front of the chuck", {"adjustment.setback": 64}, "adjustment.setback"),
    ("new spigot as long as the chuck", {"adjustment.spigot_length": 64}, "adjustment.spigot_length"),
    ("screw to the middle", {"adjustment.screw_length": 80}, "adjustment.screw_length"),
    (
        "bar larger than the chuck",
        {"adjustment.reading[1].clamped_diameter": 161},
        "adjustment.reading[1].clamped_diameter",
    ),
    # machines
    ("mill speeds exchanged", {"mill.min_speed_rpm": 4000}, "mill.min_speed_rpm"),
    ("lathe speeds exchanged", {"lathe.max_speed_rpm": 60}, "lathe.min_speed_rpm"),
    ("mill feed above the rapid", {"mill.max_feed": 3001}, "mill.max_feed"),
    ("lathe feed above the rapid", {"lathe.rapid": 799}, "lathe.max_feed"),
    ("two mill tools of one number", {"mill.tool[3].number": 1}, "mill.tool[3].number"),
    ("rotary step of 0.7 degrees", {"mill.rotary_step_deg": 0.7}, "mill.rotary_step_deg"),
    ("clear height of 4.9 mm", {"mill.clear_height": 4.9}, "mill.clear_height"),
    ("edge finder of 51 mm", {"mill.edge_finder": 51}, "mill.edge_finder"),
    ("drill without a diameter", {"mill.tool[2].diameter": GONE}, "mill.tool[2].diameter"),
    ("spot drill without a diameter", {"mill.tool[1].diameter": GONE}, "mill.tool[1].diameter"),
    ("drill with a thread", {"mill.tool[2].thread": "M6"}, "mill.tool[2].thread"),
    ("drill with a lead", {"mill.tool[2].lead_threads": 4}, "mill.tool[2].lead_threads"),
    ("tap without a thread", {"mill.tool[3].thread": GONE}, "mill.tool[3].thread"),
    (
        "tap of a diameter that no coarse thread has",
        {"mill.tool[3].thread": GONE, "mill.tool[3].diameter": 6.3},
        "mill.tool[3].thread",
    ),
    ("tap of two sizes", {"mill.tool[3].diameter": 5}, "mill.tool[3].diameter"),
    ("tap with a point", {"mill.tool[3].point_angle_deg": 118}, "mill.tool[3].point_angle_deg"),
    (
        "drill of 51 mm",
        {"mill.tool[2].diameter": 51, "mill.tool[2].holder_diameter": GONE},
        "mill.tool[2].diameter",
    ),
    ("flutes inside the holder", {"mill.tool[2].flute_length": 61}, "mill.tool[2].flute_length"),
    ("holder thinner than the drill", {"mill.tool[1].holder_diameter": 9}, "mill.tool[1].holder_diameter"),
    ("tool fitted 4.9 mm off the work", {"lathe.clear_distance": 4.9}, "lathe.clear_distance"),
    ("cut of 11 mm", {"lathe.max_depth_of_cut": 11}, "lathe.max_depth_of_cut"),
    ("holding slower than the lathe", {"lathe.holding_limit_rpm": 59}, "lathe.holding_limit_rpm"),
    (
        "ring inside of the axis",
        {"lathe.keep_out": [{"name": "jaws", "x": [-1, 60], "z": [-90, -40]}]},
        "lathe.keep_out[1].x",
    ),
    ("no turning tool", {"lathe.tool[1].kind": "chamfer"}, "lathe.tool"),
    ("nose of 6 mm", {"lathe.tool[1].nose_radius": 6}, "lathe.tool[1].nose_radius"),
    (
        "edge shorter than its nose",
        {"lathe.tool[1].nose_radius": 2, "lathe.tool[1].edge_length": 1},
        "lathe.tool[1].edge_length",
    ),
    (
        "a tool like a needle",
        {"lathe.tool[1].entering_angle_deg": 110, "lathe.tool[1].end_angle_deg": 50},
        "lathe.tool[1].end_angle_deg",
    ),
    ("a left-hand tool face up in the front post", {"lathe.tool[1].hand": "left"}, "lathe.tool[1].hand"),
    (
        "a right-hand tool along the axis",
        {"lathe.tool[1].hand": "right", "lathe.tool[1].shank": "along"},
        "lathe.tool[1].hand",
    ),
    (
        "a right-hand tool face up in the rear post",
        {"lathe.tool[1].hand": "right", "lathe.tool_post": "rear"},
        "lathe.tool[1].hand",
    ),
]


# One slip that breaks more rules than the one it stands for, by what was changed to what.
ALSO_BROKEN: dict[str, tuple[str, ...]] = {
    "chuck.length = 14": (
        *("chuck.mass_kg", "chuck.feature[2].depth", "chuck.feature[3].to_depth"),
        *("chuck.feature[4].to_depth", "backplate.bolts.thread_depth"),
    ),
    "chuck.recess_diameter = 160": (*("backplate.spigot_diameter", "backplate.diameter", "backplate.bolts.circle"),),
    "chuck.recess_diameter = 154.2": ("backplate.spigot_diameter", "backplate.bolts.circle"),
    "backplate.thickness = 4": ("backplate.bolts.under_head",),
    "backplate.diameter = 124": ("backplate.bolts.circle", "backplate.diameter"),
    "backplate.diameter = 125": ("backplate.bolts.circle",),
    "backplate.bolts.hole_diameter = 20.1": ("backplate.bolts.circle",),
}


def key_of(changes: dict[str, object]) -> str:
    key, value = next(iter(changes.items()))
    return f"{key} = {value}"


@pytest.mark.parametrize(("changes", "key"), [case[1:] for case in BROKEN], ids=[case[0] for case in BROKEN])
def test_a_broken_rule_names_its_key(changes: dict[str, object], key: str) -> None:
    with pytest.raises(JobError) as caught:
        read_job(changed(changes))
    found = {problem.key: problem for problem in caught.value.problems}
    assert set(found) == {key, *ALSO_BROKEN.get(key_of(changes), ())}
    assert found[key].do
    assert found[key].says


def test_every_rule_has_a_case_that_breaks_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each rule, taken away by itself, lets at least one of the cases above lose its key."""
    tables = [
        (body, "RULES"),
        (features, "RULES"),
        (plate, "RULES"),
        (plate, "RULES_WITH_CHUCK"),
        (bolts, "RULES"),
        (bolts, "RULES_WITH_CHUCK"),
        (wishes, "RULES"),
        (wishes, "RULES_WITH_CHUCK"),
        (wishes, "RULES_WITH_PLATE"),
        (machines, "MILL_RULES"),
        (machines, "LATHE_RULES"),
    ]
    texts = [(changed(changes), key) for _, changes, key in BROKEN]
    for module, name in tables:
        rules = getattr(module, name)
        for rule in rules:
            monkeypatch.setattr(module, name, tuple(r for r in rules if r is not rule))
            assert any(key not in _keys(text) for text, key in texts), rule.__name__
        monkeypatch.setattr(module, name, rules)
    monkeypatch.setattr(overlaps, "holes_overlap", lambda *_: ())
    assert any(key not in _keys(text) for text, key in texts)


def _keys(text: str) -> set[str]:
    try:
        read_job(text)
    except JobError as error:
        return {problem.key for problem in error.problems}
    return set()


ALLOWED: list[tuple[str, dict[str, object]]] = [
    ("screws of the cover inside the recess", {"chuck.feature[1].circle": 118}),
    ("a hole half in the recess wall", {"chuck.feature[1].circle": 125}),
    ("steps of one hole", {"chuck.feature[4]": {**HOLE, "angle": 0, "from_depth": 22, "to_depth": 30}}),
    ("the same name elsewhere", {"chuck.feature[4]": {**HOLE, "name": "cover screw"}}),
    ("uneven bolts", {"backplate.bolts.angles": [0, 100, 240], "backplate.bolts.angle": GONE}),
    (
        "uneven bolts without a count",
        {
            "backplate.bolts.angles": [0, 100, 240],
            "backplate.bolts.angle": GONE,
            "backplate.bolts.count": GONE,
        },
    ),
    ("a rotary by hand with an odd step", {"mill.rotary": "by hand", "mill.rotary_step_deg": 0.7}),
    ("a step that divides 90 degrees only in decimals", {"mill.rotary_step_deg": 0.0025}),
    ("no tools at all", {"mill.tool": [], "lathe.tool": []}),
    ("a plate without a bore", {"backplate.bore": 0}),
    ("no wish but a reading", {"adjustment.travel": GONE}),
    ("a left-hand tool face up in the rear post", {"lathe.tool[1].hand": "left", "lathe.tool_post": "rear"}),
    ("a left-hand tool along the axis", {"lathe.tool[1].hand": "left", "lathe.tool[1].shank": "along"}),
    ("a wish of zero", {"adjustment.travel": 0}),
]


@pytest.mark.parametrize("changes", [case[1] for case in ALLOWED], ids=[case[0] for case in ALLOWED])
def test_what_a_shop_may_have_is_accepted(changes: dict[str, object]) -> None:
    job = read_job(changed(changes))
    assert job.chuck.diameter == 160
