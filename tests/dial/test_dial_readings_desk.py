"""Steps and levers of an indicator, and the desk that takes a call's words; figures and files are invented."""

from __future__ import annotations

import io
import math
from pathlib import Path
from types import SimpleNamespace
from typing import cast

import pytest

from gcodegen.design import Design
from gcodegen.dial import Answer, ChuckAsMade, Reading, ReadingSet
from gcodegen.dial import desk as desks
from gcodegen.dial.desk import Desk, Told, refuse_stopped
from gcodegen.dial.reading_keys import Settings
from gcodegen.dial.readings import STEPS_IN, STEPS_MM, assumed_resolution
from gcodegen.dial.record import load_record
from gcodegen.errors import GcodegenError
from gcodegen.verdict import Verdict
from tests.dial.dial_jobs import off, read_at, settled_job, steps

NOTHING = Told(settings=Settings())


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
@pytest.mark.parametrize(("unit", "size", "usual"), [("mm", 1.0, STEPS_MM), ("in", 25.4, STEPS_IN)])
@pytest.mark.parametrize("at", range(4))
def test_each_usual_step_is_found_from_its_multiples(unit, size, usual, at):
    values = [n * usual[at] * size for n in (1, 3, -7, 0)]
    assert assumed_resolution(values, unit) == pytest.approx(usual[at] * size)
    assert assumed_resolution([0.0], unit) == pytest.approx(usual[0] * size)
    assert assumed_resolution([0.00001234 * size], unit) == pytest.approx(usual[3] * size)


@pytest.mark.parametrize(("part", "step"), [(0.5e-4, 0.01), (-0.5e-4, 0.01), (2e-4, 0.001), (-2e-4, 0.001)])
def test_a_value_within_a_ten_thousandth_of_a_step_counts_as_its_multiple(part, step):
    assert assumed_resolution([0.02, 0.01 * (3 + part)]) == step


@pytest.mark.outside("closed form: a lever at an angle shows one over its cosine too much")
@pytest.mark.parametrize("angle", [0.0, 15.0, 60.0])
def test_values_and_step_are_those_of_a_stylus_square_to_the_surface(angle):
    readings = (Reading(angle_deg=10, value=0.02, weight=2.0), Reading(angle_deg=20, value=-0.04, plane=3.0))
    found = ReadingSet(readings=readings, lever_angle_deg=angle)
    share = math.cos(math.radians(angle))
    assert found.share == pytest.approx(share)
    assert [r.value for r in found.square] == pytest.approx([0.02 * share, -0.04 * share])
    assert [(r.angle_deg, r.weight, r.plane) for r in found.square] == [(10, 2.0, None), (20, 1.0, 3.0)]
    assert found.step("mm") == pytest.approx(0.01 * share)
    told = ReadingSet(readings=readings, lever_angle_deg=angle, resolution=0.002)
    assert told.step("mm") == told.step("in") == pytest.approx(0.002 * share)


def test_what_is_not_told_of_a_reading_is_nothing():
    one = Reading(angle_deg=0, value=0)
    assert (one.plane, one.weight, one.spot) == (None, 1.0, None)
    whole = ReadingSet(readings=(one,))
    assert (whole.resolution, whole.lever_angle_deg, whole.clamped_diameter) == (None, 0.0, None)


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
def test_the_words_of_a_call_count_in_the_unit_of_the_job():
    found = Told.read("0.0005", "12.5", "1/2", "blue", "in")
    assert found.note == "blue"
    assert found.settings == Settings(resolution=pytest.approx(0.0127), lever_angle_deg=12.5, clamped_diameter=12.7)
    assert Told.read(None, None, None, "", "mm") == NOTHING
    for words, where in (
        (("x", None, None), "--resolution"),
        ((None, "61", None), "--lever"),
        ((None, None, "0"), "--at"),
    ):
        with pytest.raises(GcodegenError) as refused:
            Told.read(*words, "", "mm")
        assert str(refused.value).startswith(where)


def test_a_design_that_says_stop_is_refused_with_what_stops_it():
    decisions = [
        SimpleNamespace(what="the wall", verdict=Verdict.STOP),
        SimpleNamespace(what="the bolts", verdict=Verdict.GOOD),
        SimpleNamespace(what="the float", verdict=Verdict.STOP),
    ]
    with pytest.raises(GcodegenError, match=r"says stop \(the wall; the float\), so nothing"):
        refuse_stopped(cast(Design, SimpleNamespace(verdict=Verdict.STOP, decisions=decisions)))
    refuse_stopped(cast(Design, SimpleNamespace(verdict=Verdict.GOOD, decisions=[])))


def desk(folder: Path, wanted: float = 0.01) -> Desk:
    return Desk(
        job=settled_job(), chuck=ChuckAsMade(float_available=0.5), wanted=wanted, record=folder / "mine.dial.toml"
    )


def file_of(folder: Path, x: float, y: float = 0.0, head: str = "# resolution = 0.001\n") -> Path:
    rows = "".join(f"{r.angle_deg},{r.value:.6f}\n" for r in read_at(steps(8), off(x, y)))
    (folder / "r.csv").write_text(f"{head}angle_deg,value\n{rows}")
    return folder / "r.csv"


def told(**more: float) -> Told:
    return Told(settings=Settings(**more), note="mine")


def test_what_a_call_tells_wins_over_the_file_and_the_file_over_nothing(tmp_path):
    own = file_of(tmp_path, 0.05, head="# resolution = 0.002\n# lever_angle_deg = 60\n# clamped_diameter = 12\n")
    one = desk(tmp_path)
    as_filed = one.answer(own, NOTHING, record=True)
    assert (as_filed.at.x, as_filed.at.resolution) == pytest.approx((0.025, 0.001), abs=1e-6)
    as_told = one.answer(own, told(resolution=0.005, lever_angle_deg=0.0, clamped_diameter=30.0), record=True)
    assert (as_told.at.x, as_told.at.resolution) == pytest.approx((0.05, 0.005), abs=1e-6)
    assert [(e.clamped_diameter, e.note) for e in load_record(one.record)] == [(12.0, ""), (30.0, "mine")]


def test_without_the_record_nothing_is_compared_and_nothing_written(tmp_path):
    one = desk(tmp_path)
    one.answer(file_of(tmp_path, 0.05), told(), record=True)
    again = one.answer(file_of(tmp_path, 0.05), told(), record=False)
    assert not any("does not touch" in line for line in again.warnings)
    assert len(load_record(one.record)) == 1


def test_a_set_is_held_against_the_last_one_of_its_bar(tmp_path):
    one = desk(tmp_path)

    def stuck(x: float, bar: float) -> list[str]:
        found: Answer = one.answer(file_of(tmp_path, x), told(clamped_diameter=bar), record=True)
        return [line[:7] for line in found.warnings if "does not touch" in line]

    assert stuck(0.20, 12.0) == []  # the first
    assert stuck(0.10, 12.0) == []  # it went half of its way
    assert stuck(0.10, 12.0) == ["screw 3"]  # and stands still, held against the last and not the first
    assert stuck(0.10, 30.0) == []  # another bar
    assert stuck(0.02, 30.0) == []


@pytest.mark.outside("worked by hand: of a float of 0.5 the chuck has used 0.3, and 0.2 are left that way")
def test_the_float_that_earlier_sets_used_is_counted(tmp_path):
    one = desk(tmp_path)
    one.answer(file_of(tmp_path, -0.9), told(), record=True)
    one.answer(file_of(tmp_path, -0.7), told(), record=True)
    assert one.answer(file_of(tmp_path, -0.6), told(), record=False).shift == pytest.approx((0.5, 0.0), abs=1e-6)
    assert one.answer(file_of(tmp_path, -0.6), told(), record=True).shift == pytest.approx((0.2, 0.0), abs=1e-6)


def test_progress_shows_the_record_and_its_chart(tmp_path):
    one = desk(tmp_path)
    one.answer(file_of(tmp_path, 0.05), told(clamped_diameter=12.0), record=True)
    one.answer(file_of(tmp_path, 0.004), told(clamped_diameter=12.0), record=True)
    lines = one.progress()
    assert lines[0] == f"record: {one.record}"
    assert [line.split()[0] for line in lines[2:4]] == ["1", "2"]
    assert any("0.0900 mm    0.0080 mm    0.0100 mm" in line for line in lines[4:])  # before, after, and the figure


@pytest.mark.parametrize(("wanted", "figure"), [(None, 0.01), ("0.02", 0.02), ("0.001 in", 0.0254), ("1e-9", None)])
def test_a_desk_opens_with_the_figure_wanted(monkeypatch, wanted, figure):
    job = settled_job()
    decided = SimpleNamespace(job=job, verdict=Verdict.GOOD)
    monkeypatch.setattr(desks, "load_job", lambda _: job)
    monkeypatch.setattr(desks, "design", lambda _: decided)
    monkeypatch.setattr(desks, "chuck_as_made", lambda _: ChuckAsMade(float_available=0.1))
    if figure is None:
        with pytest.raises(GcodegenError, match="--wanted"):
            Desk.open(Path("a.toml"), wanted)
        return
    found = Desk.open(Path("a.toml"), wanted)
    assert (found.wanted, found.record, found.job) == (pytest.approx(figure), Path("a.dial.toml"), job)
    for bad in ("0", "-1", "0 in"):
        with pytest.raises(GcodegenError, match=f"wanted is {bad}; allowed: more than 0"):
            Desk.open(Path("a.toml"), bad)
    assert Desk.open(Path("a.toml"), "0.000001").wanted == pytest.approx(1e-6)


def test_a_talk_begins_with_what_the_call_told(tmp_path):
    one, words = desk(tmp_path), io.StringIO()
    settings = Settings(resolution=0.002, lever_angle_deg=60.0, clamped_diameter=14.0)
    typed = ["", "", "", "4", "0.1", "0", "-0.1", "0", "", "q"]
    answers = io.StringIO("".join(f"{line}\n" for line in typed))
    one.session(answers, words, str, Told(settings=settings, note="mine"), record=True)
    assert "[mm]" in words.getvalue()
    assert "Least step that you read [0.002 mm]" in words.getvalue()
    assert "[14.00 mm]" in words.getvalue()
    (entry,) = load_record(one.record)
    assert (entry.x, entry.clamped_diameter, entry.note) == (pytest.approx(0.05), 14.0, "mine")


def test_a_talk_of_which_nothing_is_told_has_no_lever_and_leaves_no_record(tmp_path):
    one, words = desk(tmp_path), io.StringIO()
    typed = ["", "", "", "4", "2", "0", "-2", "0", "", "q"]
    one.session(io.StringIO("".join(f"{line}\n" for line in typed)), words, str, NOTHING, record=False)
    assert "off centre 2.0000 mm" in words.getvalue()
    assert "Least step that you read [0.01 mm]" in words.getvalue()
    assert not one.record.exists()


def test_practice_is_of_the_desk_s_own_figure(tmp_path):
    words = io.StringIO()
    desk(tmp_path, 0.0123).practice(io.StringIO("q\n"), words, str, 3)
    assert "0.0123 mm" in words.getvalue()
