"""What a key may not hold by itself: wrong kinds of value, unknown keys, missing keys."""

from __future__ import annotations

from pathlib import Path

import pytest

from gcodegen.errors import JobError
from gcodegen.job import load_job, read_job
from tests.job.job_text import GONE, JOBS, Raw, changed

REFUSED: list[tuple[str, object, str, str]] = [
    # key changed, value, key named, a part of the message
    ("unit", GONE, "unit", 'unit = "mm"'),
    ("unit", "metre", "unit", '"mm" or "in"'),
    ("unit", 25.4, "unit", '"mm" or "in"'),
    ("unit", Raw("[]"), "unit", "an empty list"),
    ("title", GONE, "title", "is missing"),
    ("title", "", "title", "empty"),
    ("title", "   ", "title", "empty"),
    ("title", 7, "title", "not a text"),
    ("title", "a\nG0 Z-50", "title", "printed"),
    ("title", "x" * 121, "title", "at most 120 characters"),
    ("chuck", GONE, "chuck", "[chuck]"),
    ("chuck", 5, "chuck", "not a table"),
    ("chuck", Raw("[{diameter = 160}]"), "chuck", "not a table"),
    ("lathe", GONE, "lathe", "[lathe]"),
    ("mill.tool", 1, "mill.tool", "not a list"),
    ("mill.tool", Raw("{number = 1}"), "mill.tool", "not a list"),
    ("mill.tool", Raw("[1]"), "mill.tool[1]", "not a table"),
    ("chuck.diameter", GONE, "chuck.diameter", 'diameter = "160 mm"'),
    ("chuck.diameter", 5_000_000, "chuck.diameter", "far too large"),
    ("chuck.diameter", 0, "chuck.diameter", "more than 0"),
    ("chuck.diameter", -160, "chuck.diameter", "more than 0"),
    ("chuck.diameter", True, "chuck.diameter", "read true"),
    ("chuck.diameter", Raw("nan"), "chuck.diameter", "not a finite number"),
    ("chuck.diameter", Raw("inf"), "chuck.diameter", "not a finite number"),
    ("chuck.diameter", Raw("1e999"), "chuck.diameter", "not a finite number"),
    ("chuck.diameter", Raw("1" + "0" * 400), "chuck.diameter", "far too large"),
    ("chuck.diameter", Raw("0x" + "f" * 5000), "chuck.diameter", "more than 60 digits"),
    ("chuck.diameter", Raw("1979-05-27"), "chuck.diameter", "the date or time 1979-05-27"),
    ("chuck.diameter", Raw("07:32:00"), "chuck.diameter", "the date or time 07:32:00"),
    ("chuck.diameter", [160], "chuck.diameter", "a list of 1"),
    ("adjustment.least_wall", {"value": 2, "within": 0.05}, "adjustment.least_wall", "without braces"),
    ("mill.tool[1].stick_out", {"value": 45, "within": 1}, "mill.tool[1].stick_out", "without braces"),
    ("chuck.diameter", {"value": 160}, "chuck.diameter", "without within"),
    ("chuck.diameter", {"within": 0.05}, "chuck.diameter", "without value"),
    ("chuck.diameter", {}, "chuck.diameter", "without value"),
    ("chuck.diameter", {"value": 160, "witin": 0.05}, "chuck.diameter", "nearest: within"),
    ("chuck.diameter", {"value": 160, "within": -0.05}, "chuck.diameter", "negative within"),
    ("chuck.diameter", {"value": 160, "within": 161}, "chuck.diameter", "at most 160 mm"),
    ("chuck.diameter", {"value": 160, "within": Raw("nan")}, "chuck.diameter", "not a finite number"),
    ("chuck.diameter", {"value": 160, "within": True}, "chuck.diameter", "not a length"),
    ("chuck.diameter", {"value": 160, "within": "much"}, "chuck.diameter", "not a length"),
    ("chuck.diameter", {"value": -160, "within": 1}, "chuck.diameter", "less than nothing"),
    ("chuck.diameter", {"value": "6.3 in", "within": 0.05}, "chuck.diameter", "within as a text too"),
    ("chuck.diameter", {"value": {"value": 160, "within": 1}, "within": 1}, "chuck.diameter", "without braces"),
    ("chuck.recess_chamfer", {"value": 0, "within": 0.1}, "chuck.recess_chamfer", "less than nothing"),
    ("chuck.cover", {"value": 2, "within": 0.1}, "chuck.cover.value", "nearest"),
    ("spread", [], "spread", "nearest"),
    ("chuck.feature[3].to_depth", {"value": 34, "within": 25}, "chuck.feature[3].to_depth", "less than 25 mm"),
    ("chuck.feature[2].inner_radius", {"value": 40, "within": 40}, "chuck.feature[2].inner_radius", "may by its"),
    ("chuck.diameter", "160 m", "chuck.diameter", "not a length"),
    ("chuck.diameter", "1/0 in", "chuck.diameter", "divides by zero"),
    ("chuck.diameter", "3/16", "chuck.diameter", "fraction without its unit"),
    ("chuck.diameter", "\x00", "chuck.diameter", r"\x00"),
    ("chuck.recess_chamfer", -0.1, "chuck.recess_chamfer", "at least 0"),
    ("chuck.recess_chamfer", "choose", "chuck.recess_chamfer", "not a length"),
    ("chuck.material", "copper", "chuck.material", "EN-GJL-250"),
    ("chuck.material", 250, "chuck.material", "EN-GJL-250"),
    ("chuck.hardness_hb", 2000, "chuck.hardness_hb", "at most 400"),
    ("chuck.hardness_hb", "210", "chuck.hardness_hb", "not a plain number"),
    ("chuck.speed_limit_rpm", 0, "chuck.speed_limit_rpm", "more than 0"),
    ("chuck.speed_limit_rpm", True, "chuck.speed_limit_rpm", "not a plain number"),
    ("chuck.jaws", 3.0, "chuck.jaws", "whole number"),
    ("chuck.jaws", 9, "chuck.jaws", "at most 8"),
    ("chuck.jaws", Raw("9" * 400), "chuck.jaws", "at most 8"),
    ("chuck.cover.plan", "eaten", "chuck.cover.plan", '"left out"'),
    ("chuck.cover.thickness", GONE, "chuck.cover.thickness", "is missing"),
    ("chuck.feature[1].kind", "keyway", "chuck.feature[1].kind", '"axial hole"'),
    ("chuck.feature[1].kind", Raw("0x" + "f" * 5000), "chuck.feature[1].kind", "more than 60 digits"),
    ("mill.rotary", Raw("0x" + "f" * 5000), "mill.rotary", "more than 60 digits"),
    ("title", Raw("0x" + "f" * 5000), "title", "more than 60 digits"),
    ("chuck.feature[1].kind", GONE, "chuck.feature[1].kind", "is missing"),
    ("chuck.feature[3].circle", 30, "chuck.feature[3].circle", "outer_diameter"),
    ("chuck.feature[2].depth", GONE, "chuck.feature[2].depth", "is missing"),
    ("chuck.feature[2].name", GONE, "chuck.feature[2].name", "is missing"),
    ("chuck.feature[2].name", "a\x1b[31m", "chuck.feature[2].name", "printed"),
    ("chuck.feature[1].count", 25, "chuck.feature[1].count", "at most 24"),
    ("chuck.feature[1].angle", 361, "chuck.feature[1].angle", "at most 360"),
    ("chuck.feature[1].diameter", "#61", "chuck.feature[1].diameter", "#61"),
    ("chuck.feature[1].ring", 3, "chuck.feature[1].ring", "nearest"),
    ("backplate.bolts.thread", "M9.5", "backplate.bolts.thread", "M9.5"),
    ("backplate.bolts.thread", "choose", "backplate.bolts.thread", "M10"),
    ("backplate.bolts.count", GONE, "backplate.bolts.count", "is missing"),
    ("backplate.bolts.angles", Raw("[]"), "backplate.bolts.angles", "empty"),
    ("adjustment.screw", 5, "adjustment.screw", "not a thread"),
    ("adjustment.setback", "chose", "adjustment.setback", '"choose"'),
    ("adjustment.first_angle", "north", "adjustment.first_angle", '"choose"'),
    ("adjustment.spacing_tolerance_deg", True, "adjustment.spacing_tolerance_deg", "not a plain number"),
    (
        "adjustment.reading",
        [{"clamped_diameter": 9, "run_out": 0.1}] * 101,
        "adjustment.reading",
        "at most 100",
    ),
    ("mill.power_kw", Raw("-inf"), "mill.power_kw", "not a finite number"),
    ("mill.power_kw", Raw("9" * 400), "mill.power_kw", "far too large"),
    ("mill.rear_face", "X", "mill.rear_face", '"-X" or "+X"'),
    ("mill.rapid", 60_001, "mill.rapid", "far too large"),
    ("adjustment.screw", "M10x1", "adjustment.screw", "allowed: M10, "),
    ("adjustment.angles", [15, 105, 195], "adjustment.angles", "not a list of four angles"),
    ("adjustment.angles", 15, "adjustment.angles", 'such as [15, 105, 195, 285], or "choose"'),
    ("mill.rotary_step_deg", 0, "mill.rotary_step_deg", "at least 1e-05"),
    ("mill.dialect", "short hand", "mill.dialect", "long hand"),
    ("mill.dialect", 3, "mill.dialect", "not a table"),
    ("mill.dialect", {"cycels": True}, "mill.dialect.cycels", "Did you mean cycles?"),
    ("mill.tool[2].number", 100, "mill.tool[2].number", "at most 99"),
    ("mill.tool[2].point_angle_deg", "118", "mill.tool[2].point_angle_deg", "not a plain number"),
    ("mill.tool[3].lead_threads", Raw("nan"), "mill.tool[3].lead_threads", "not a finite number"),
    ("lathe.surface_speed", "yes", "lathe.surface_speed", "true or false"),
    ("lathe.surface_speed", 1, "lathe.surface_speed", "true or false"),
    ("chuck.diamter", 160, "chuck.diamter", "Did you mean diameter?"),
    ("mill.surface_speed", True, "mill.surface_speed", "belongs in [lathe]"),
    ("backplate.circle", 140, "backplate.circle", "[backplate.bolts] or [[chuck.feature]]"),
    ("chuk", {"diameter": 160}, "chuk", "Did you mean chuck?"),
    ("mill.tool[1].diamter", 6, "mill.tool[1].diamter", "Did you mean diameter?"),
    ("chuck.x\ny", 1, r"chuck.'x\ny'", "nearest"),
]


@pytest.mark.parametrize(("change", "value", "key", "part"), REFUSED)
def test_a_bad_value_is_refused_by_name(change: str, value: object, key: str, part: str) -> None:
    with pytest.raises(JobError) as caught:
        read_job(changed({change: value}))
    found = {problem.key: str(problem) for problem in caught.value.problems}
    assert key in found
    assert part in found[key]


def test_the_table_of_bad_files_is_long_enough() -> None:
    assert len(REFUSED) >= 50


def test_all_problems_of_a_file_are_told_at_once() -> None:
    bad = {
        "title": 3,
        "chuck.length": "long",
        "chuck.feature[1].circle": GONE,
        "backplate.bolts.hole_diameter": 9,
        "adjustment.travel": 9,
        "mill.rapd": 1,
        "mill.tool[2].thread": 5,
        "lathe.max_speed_rpm": 10,
    }
    with pytest.raises(JobError) as caught:
        read_job(changed(bad))
    keys = [problem.key for problem in caught.value.problems]
    assert sorted(keys) == sorted([*(key for key in bad if key != "lathe.max_speed_rpm"), "lathe.min_speed_rpm"])
    assert all(key in str(caught.value) for key in keys)


def test_a_wrong_unit_alone_brings_no_other_complaint() -> None:
    with pytest.raises(JobError) as caught:
        read_job(changed({"unit": "mn"}))
    assert [problem.key for problem in caught.value.problems] == ["unit"]


def test_what_was_read_is_told_as_the_file_has_it() -> None:
    with pytest.raises(JobError) as caught:
        read_job(changed({"unit": "in", "chuck.recess_chamfer": -0.5}))
    problem = next(p for p in caught.value.problems if p.key == "chuck.recess_chamfer")
    assert problem.read == "-0.5"  # not -12.7, its millimetres


def test_a_figure_of_a_rule_is_told_in_the_files_unit() -> None:
    text = (JOBS / "chuck-6-hole-inch.toml").read_text(encoding="utf-8")
    with pytest.raises(JobError) as caught:
        read_job(text.replace("[chuck]\ndiameter = 4.0", "[chuck]\ndiameter = 1.5"))
    problem = next(p for p in caught.value.problems if p.key == "chuck.diameter")
    assert problem.read == "1.5 in"
    assert problem.allowed == "1.5748 in to 31.4961 in"


def test_what_was_read_never_fills_the_page() -> None:
    for value in ("y" * 5000, "\x1b" * 500, Raw("'''" + "\n" * 300 + "'''"), Raw("0x" + "f" * 9000)):
        with pytest.raises(JobError) as caught:
            read_job(changed({"chuck.length": value}))
        problem = next(p for p in caught.value.problems if p.key == "chuck.length")
        assert len(problem.read) <= 60
        assert problem.read.isprintable()


def test_a_file_in_the_other_unit_is_told_so_however_much_it_brings(tmp_path: Path) -> None:
    tool = '[[mill.tool]]\nkind = "drill"\ndiameter = 0.196\npoint_angle_deg = 118\nmaterial = "HSS"\n'
    sizes = "flute_length = 1.5\nstick_out = 1.75\nholder_diameter = 1.2\n"
    file = tmp_path / "job.toml"
    text = (JOBS / "chuck-6-hole-inch.toml").read_text(encoding="utf-8")
    file.write_text(text + "".join(f"{tool}{sizes}number = {n}\n" for n in range(30, 60)), encoding="utf-8")
    load_job(file)
    file.write_text(file.read_text(encoding="utf-8").replace('unit = "in"', 'unit = "mm"'), encoding="utf-8")
    with pytest.raises(JobError) as caught:
        load_job(file)
    assert len(caught.value.problems) > 50
    (slip,) = caught.value.perhaps
    assert (slip.key, slip.do[:16]) == ("unit", 'With unit = "in"')


def test_a_flood_of_problems_is_cut() -> None:
    flood = "".join(f"k{n} = 1\n" for n in range(1000))
    with pytest.raises(JobError) as caught:
        read_job(flood)
    assert len(caught.value.problems) == 201
    assert "more" in caught.value.problems[-1].says
