"""Any sane job has a design, and what is called good keeps the rules said again here."""

from __future__ import annotations

import re
from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gcodegen.design import Design, design
from gcodegen.errors import JobError
from gcodegen.job import Job, load_job, read_job
from gcodegen.verdict import Verdict
from tests.design.jobs import JOBS, STEMS, job, shipped

TEXT = (JOBS / "chuck-160.toml").read_text(encoding="utf-8")
CHOICES = ("screw", "screw_length", "setback", "first_angle", "relief", "spigot_length")


def edited(values: dict[str, object]) -> str:
    """Return the shipped file's text with the first figure after each key, in its table, exchanged."""
    text = TEXT
    for path, value in values.items():
        table, key = path.rsplit(".", 1)
        start = re.search(rf"^\[+{re.escape(table)}\]+", text, re.MULTILINE)
        assert start, path
        head, tail = text[: start.end()], text[start.end() :]
        shown = f'"{value}"' if isinstance(value, str) else f"{value:.6g}"
        tail, count = re.subn(rf"^{key} = [^#\n]*", f"{key} = {shown} ", tail, count=1, flags=re.MULTILINE)
        assert count == 1, path
        text = head + tail
    return text


def numbers(low: float, high: float, places: int = 2) -> st.SearchStrategy[float]:
    return st.integers(round(low * 10**places), round(high * 10**places)).map(lambda n: n / 10**places)


MEASURED = {
    "chuck.diameter": numbers(153, 175),
    "chuck.recess_depth": numbers(6.6, 14),
    "chuck.recess_chamfer": numbers(0, 1.2),
    "chuck.material": st.sampled_from(["EN-GJL-150", "EN-GJL-350", "A48 class 60"]),
    "backplate.spigot_length": numbers(1, 4),
    "backplate.spigot_diameter": numbers(124, 124.99),
    "backplate.bore": numbers(0, 118),
    "backplate.bolts.count": st.integers(2, 3),
    "backplate.bolts.angle": numbers(-15, 15),
    "backplate.bolts.hole_diameter": numbers(11, 16),
    "backplate.bolts.thread_depth": numbers(18, 30),
    "adjustment.travel": numbers(0, 0.6),
    "mill.min_speed_rpm": numbers(50, 700),
    "mill.max_feed": numbers(10, 2000),
    "mill.power_kw": numbers(0.05, 3),
    "lathe.min_speed_rpm": numbers(20, 90),
    "lathe.max_feed": numbers(5, 1500),
    "lathe.max_depth_of_cut": numbers(0.02, 3),
    "lathe.tool.nose_radius": numbers(0, 1),
    "lathe.tool.entering_angle_deg": numbers(91, 110, 0),
    "lathe.tool.material": st.sampled_from(["HSS", "carbide"]),
}
WISHED = {
    "adjustment.screw": st.sampled_from(["M3", "M4", "M5", "M6", "M8", "M10", "#8-32", "1/4-20"]),
    "adjustment.screw_length": st.sampled_from([6, 10, 16, 25]),
    "adjustment.setback": numbers(3, 8),
    "adjustment.first_angle": numbers(-350, -330),
    "adjustment.relief": numbers(0.5, 3),
    "adjustment.spigot_length": numbers(3, 12),
    "adjustment.least_wall": numbers(1, 6),
}


def verdicts(keys: dict[str, st.SearchStrategy[object]], examples: int) -> Counter[str]:
    """Return how many jobs drawn from these keys were refused, or have a design of each verdict."""
    met: Counter[str] = Counter()

    @settings(max_examples=examples, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
    @given(st.fixed_dictionaries({}, optional=keys))
    def tried(values: dict[str, object]) -> None:
        try:
            wanted = read_job(edited(values))
        except JobError:
            met["file refused"] += 1
            return
        met[has_a_design(wanted).verdict] += 1

    tried()
    return met


def test_any_chuck_and_shop_have_a_design_and_one_that_may_be_made_keeps_the_rules() -> None:
    met = verdicts(MEASURED, 25)
    assert met["good"] + met["caution"] > 15
    assert met["stop"] > 2


def test_any_wishes_are_kept_and_one_that_may_be_made_keeps_the_rules() -> None:
    met = verdicts(MEASURED | WISHED, 30)
    assert met["stop"] > 10
    assert met["good"] + met["caution"] > 5


def has_a_design(wanted: Job) -> Design:
    """Return the design, held against what was given and, where it may be made, against the rules."""
    decided = design(wanted)
    settled = decided.job.adjustment
    assert all(getattr(settled, name) is not None for name in CHOICES)
    for name in CHOICES:
        asked = getattr(wanted.adjustment, name)
        if asked is not None:
            assert getattr(settled, name) == (asked % 360 if name == "first_angle" else asked)
    for tool in (decided.mill.spot, decided.mill.drill, decided.mill.tap):
        assert None not in (tool.flute_length, tool.stick_out, tool.holder_diameter)
    if decided.verdict is not Verdict.STOP:
        keeps_the_rules(decided)
    return decided


def test_the_edits_reach_a_job_and_both_verdicts_occur() -> None:
    good = design(read_job(edited({"adjustment.travel": 0.1, "backplate.bolts.count": 6})))
    assert len(good.job.backplate.bolts.places_deg) == 6
    assert good.verdict is not Verdict.STOP
    keeps_the_rules(good)
    assert design(read_job(edited({"adjustment.travel": 1.0}))).verdict is Verdict.STOP


def keeps_the_rules(decided: Design) -> None:
    """Hold a design that may be made against the rules, said again."""
    chuck, plate, lathe = decided.job.chuck, decided.job.backplate, decided.job.lathe
    bolts, spigot, room = plate.bolts, decided.spigot, decided.float_room
    s, d, flat = decided.layout.setback, decided.screw.thread.major_mm, decided.screw.row.tip_max_mm
    floor = chuck.recess_depth - (chuck.cover.remaining if chuck.cover else 0)
    near = 1e-6
    assert s >= 0.9 * d - near
    assert s + d / 2 <= floor + near
    assert s + flat / 2 + spigot.edge_break <= spigot.length + near
    assert s - flat / 2 >= decided.lathe.tool.nose_radius - near
    assert plate.spigot_length - near <= spigot.length <= floor - 0.25 + near
    assert (spigot.diameter - plate.bore) / 2 >= 3 - near
    assert bolts.length - bolts.under_head + spigot.faced_back <= bolts.thread_depth + near
    assert bolts.under_head - spigot.faced_back >= 0.75 * bolts.row.major_mm - near
    assert decided.layout.least_wall >= decided.job.adjustment.least_wall - near
    assert room.available >= decided.job.adjustment.worst_run_out / 2 + (decided.job.adjustment.travel or 0) - near
    radius = (chuck.radius**2 - (d / 2) ** 2) ** 0.5
    assert spigot.diameter / 2 + room.available + decided.screw.length + 0.5 <= radius + near
    for cut, machine in ((decided.mill.drill_cut, decided.job.mill), (decided.lathe.rough, lathe)):
        assert machine.min_speed_rpm <= cut.speed_rpm <= machine.max_speed_rpm


def inch(mm: float) -> str:
    return f"{mm / 25.4:.12f} in"


def test_a_job_told_in_inches_has_the_same_design_where_its_choices_are_given() -> None:
    given_mm = {
        "adjustment.screw": "M5",
        "adjustment.screw_length": 12,
        "adjustment.setback": 5.25,
        "adjustment.first_angle": 15,
        "adjustment.relief": 1.2,
        "adjustment.spigot_length": 8.1,
    }
    told = {
        k: inch(v) if isinstance(v, int | float) and k != "adjustment.first_angle" else v for k, v in given_mm.items()
    }
    lengths = {
        "chuck.diameter": 160,
        "chuck.recess_depth": 9,
        "backplate.spigot_diameter": 124.97,
        "adjustment.travel": 0.3,
        "lathe.max_depth_of_cut": 1.0,
    }
    one = design(job(given_mm))
    other = design(job(told | {k: inch(v) for k, v in lengths.items()}))
    assert other.layout.least_wall == pytest.approx(one.layout.least_wall, abs=1e-6)
    assert other.float_room.available == pytest.approx(one.float_room.available, abs=1e-6)
    assert other.torque.safe == pytest.approx(one.torque.safe, rel=1e-6)
    assert other.depths.drill_tip == pytest.approx(one.depths.drill_tip, abs=1e-6)
    assert other.lathe.face_depths == pytest.approx(one.lathe.face_depths, abs=1e-5)


def test_a_file_in_inches_is_designed_as_its_lengths_in_millimetres() -> None:
    text = (JOBS / "chuck-6-hole-inch.toml").read_text(encoding="utf-8")
    decided = shipped("chuck-6-hole-inch")
    given = "\n".join(
        [
            f'[adjustment]\nscrew = "{decided.screw.row.thread}"',
            f"screw_length = {decided.screw.length / 25.4!r}",
            f"setback = {decided.layout.setback / 25.4!r}",
            f"first_angle = {decided.layout.angles[0]!r}",
            f"relief = {decided.spigot.relief / 25.4!r}",
            f"spigot_length = {decided.spigot.length / 25.4!r}",
        ]
    )
    again = design(read_job(text.replace("[adjustment]", given, 1)))
    assert again.verdict == decided.verdict
    assert again.layout.least_wall == pytest.approx(decided.layout.least_wall, abs=1e-6)
    assert again.spigot.faced_back == pytest.approx(decided.spigot.faced_back, abs=1e-6)
    assert again.lathe.turn_diameters == pytest.approx(decided.lathe.turn_diameters, abs=1e-5)


@pytest.mark.parametrize("stem", STEMS)
def test_a_settled_job_is_designed_as_it_stands(stem: str) -> None:
    decided = shipped(stem)
    again = design(decided.job)
    assert again.layout.angles == decided.layout.angles
    assert again.layout.per_screw == pytest.approx(decided.layout.per_screw, abs=1e-9)
    assert again.spigot == decided.spigot
    assert again.screw == decided.screw
    assert again.depths == decided.depths
    assert again.torque == decided.torque


def test_a_job_is_not_changed_by_its_design() -> None:
    wanted = load_job(JOBS / "chuck-160.toml")
    before = wanted.model_dump_json()
    design(wanted)
    assert wanted.model_dump_json() == before
