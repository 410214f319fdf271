"""The record's figures in its text, and bars that are one or two; every figure is invented."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from gcodegen.dial import ChuckAsMade, Reading, dial_answer
from gcodegen.dial.answer import Answer
from gcodegen.dial.readings import ReadingSet
from gcodegen.dial.record import Entry, append, load_record, moved_since_start, record_path
from gcodegen.dial.turns import Turn, Way
from gcodegen.errors import ReadingError
from tests.dial.dial_jobs import off, read_at, settled_job, steps, taken

ENTRY = Entry(
    clamped_diameter=None,
    wanted=0.01,
    run_out=0.0,
    eccentricity=0.0,
    x=0.0,
    y=0.0,
    standard_error=0.0,
    done=False,
    note="",
    turns=(),
)
SET = "wanted = 0.01\nrun_out = 0\noff_centre = 0\noff_x = 0\noff_y = 0\nstandard_error = 0\ndone = true\n"


def bar(diameter: float | None, x: float = 0.0, y: float = 0.0) -> Entry:
    return replace(ENTRY, clamped_diameter=diameter, x=x, y=y)


def answered(readings: list[Reading], **more: float) -> tuple[Answer, ReadingSet]:
    one = taken(readings, **more)
    return dial_answer(settled_job(), ChuckAsMade(float_available=0.3), one), one


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (0.1, 0.05, False),
        (0.05, 0.1, False),
        (12.0, 12.049, True),
        (12.0, 11.951, True),
        (12.0, 12.051, False),
        (12.0, 11.949, False),
        (None, 12.0, True),
        (12.0, None, True),
        (None, None, True),
    ],
)
def test_diameters_less_than_half_a_tenth_apart_are_one_bar(one, other, same):
    assert bar(one).same_bar(other) is same


@pytest.mark.outside("closed form: on one bar the ways add up to last less first")
def test_the_chuck_has_moved_by_what_each_bar_moved():
    path = [(0.1, 0.2), (0.05, 0.1), (-0.02, 0.3), (0.4, -0.1)]
    assert moved_since_start(tuple(bar(12.0, *at) for at in path)) == pytest.approx((0.3, -0.3))
    assert moved_since_start(tuple(bar(d, *at) for d, at in zip((12.0, 12.0, 20.0, 20.0), path, strict=True))) == (
        pytest.approx((0.05 - 0.1 + 0.4 + 0.02, 0.1 - 0.2 - 0.1 - 0.3))
    )
    assert moved_since_start((bar(12.0, 5.0, 5.0),)) == moved_since_start(()) == (0.0, 0.0)


def test_an_entry_s_round_is_its_centre_and_its_turns():
    turn = Turn(order=1, screw=2, way=Way.EASE, degrees=18.0, travel=0.05)
    round_ = replace(bar(None, 0.1, -0.2), turns=(turn,)).round
    assert (round_.x, round_.y, round_.turns) == (0.1, -0.2, (turn,))


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
@pytest.mark.parametrize(("unit", "size"), [("mm", 1.0), ("in", 25.4)])
def test_the_text_of_a_set_holds_every_figure_to_a_tenth_of_a_nanometre_and_its_planes(tmp_path, unit, size):
    path = tmp_path / "a.dial.toml"
    readings = [
        *read_at(steps(8), off(0.0512345678, -0.0212345678), plane=12.5),
        *read_at(steps(8), off(0.05, 0.0), plane=0.0),
    ]
    answer, one = answered(readings, clamped_diameter=31.75, lever_angle_deg=60.0)
    append(path, answer, one, unit=unit, note="blue")
    (found,) = tomllib.loads(path.read_text())["set"]
    figures = {
        "off_x": answer.at.x,
        "off_y": answer.at.y,
        "off_centre": answer.at.eccentricity,
        "run_out": answer.run_out,
    }
    for key, mm in (
        figures | {"wanted": 0.01, "standard_error": answer.at.standard_error, "clamped_diameter": 31.75}
    ).items():
        assert found[key] == pytest.approx(mm / size, abs=0.51e-7), key
    assert (found["done"], found["note"]) == (False, "blue")
    assert [row[0] for row in found["readings"]] == [*steps(8), *steps(8)]
    for row, r in zip(found["readings"], readings, strict=True):
        # A lever at 60 degrees shows twice as much as there is.
        assert row[1:] == pytest.approx([r.value / 2 / size, (r.plane or 0.0) / size], abs=0.51e-7)
    for row, t in zip(found["turns"], answer.turns, strict=True):
        assert row == [
            t.screw,
            t.way.value,
            pytest.approx(t.degrees, abs=0.0051),
            pytest.approx(t.travel / size, abs=1e-7),
        ]


def test_figures_are_plain_and_nothing_is_nought(tmp_path):
    path = tmp_path / "a.dial.toml"
    answer, one = answered([Reading(angle_deg=a, value=v) for a, v in zip(steps(4), (1, -1e-10, -1, 0), strict=True)])
    append(path, answer, one, unit="mm")
    text = path.read_text()
    assert "readings = [[0, 1], [90, 0], [180, -1], [270, 0]]\n" in text
    assert "off_x = 1\n" in text
    assert "wanted = 0.01\n" in text
    assert "note" not in text
    assert "clamped_diameter" not in text
    assert text.startswith("# Dialling in: ")
    assert text.endswith("# screw, way, degrees, travel\n")


def test_a_figure_of_two_nanometres_is_not_nought(tmp_path):
    answer, one = answered([Reading(angle_deg=a, value=v) for a, v in zip(steps(4), (2e-6, 0, 0, 0), strict=True)])
    append(tmp_path / "a.toml", answer, one, unit="mm")
    assert "[[0, 0.000002], [90, 0]" in (tmp_path / "a.toml").read_text()


def test_a_set_is_appended_in_the_unit_of_its_record(tmp_path):
    path = tmp_path / "a.dial.toml"
    answer, one = answered(read_at(steps(8), off(0.0508, 0.0)))
    append(path, answer, one, unit="in")
    entries = append(path, answer, one, unit="mm")
    assert [e.x for e in entries] == pytest.approx([0.0508, 0.0508], abs=3e-6)
    assert path.read_text().count("unit") == 1


def test_what_is_done_and_what_is_left_out_come_back(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text('unit = "mm"\n[[set]]\n' + SET)
    assert load_record(path) == (replace(ENTRY, done=True),)
    path.write_text('unit = "mm"\n')
    assert load_record(path) == ()
    path.write_text('unit = "mm"\n[[set]]\n' + SET + 'turns = [[2, "ease", 18, 0.05], [4, "tighten", 9, 0.025]]\n')
    assert load_record(path)[0].turns == (
        Turn(order=1, screw=2, way=Way.EASE, degrees=18.0, travel=0.05),
        Turn(order=2, screw=4, way=Way.TIGHTEN, degrees=9.0, travel=0.025),
    )


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("wanted = 0.01", "wanted = 0", "wanted"),
        ("run_out = 0", "run_out = -0.001", "run_out"),
        ("off_centre = 0", "off_centre = -1", "off_centre"),
        ("standard_error = 0", "standard_error = -1", "standard_error"),
        ("off_x = 0", "off_x = nan", "off_x"),
        ("done = true", "done = true\nclamped_diameter = 0", "clamped_diameter"),
        ("done = true", f'done = true\nnote = "{"n" * 201}"', "note"),
        ("done = true", 'done = true\nturns = [[1, "loose", 1, 1]]', "turns.0.1"),
    ],
)
def test_a_record_s_figures_are_held_at_their_limits(tmp_path, old, new, key):
    path = tmp_path / "a.toml"
    path.write_text('unit = "mm"\n[[set]]\n' + SET.replace(old, new))
    with pytest.raises(ReadingError, match=f"is no record of dialling in: set.0.{key}: .*Put it right by hand"):
        load_record(path)


def test_figures_at_their_limits_and_a_note_of_two_hundred_signs_are_kept(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(
        'unit = "mm"\n[[set]]\n' + SET.replace("0.01", "1e-9") + f'note = "{"n" * 200}"\nclamped_diameter = 1e-9\n'
    )
    assert len(load_record(path)[0].note) == 200


def test_a_record_lies_beside_its_job():
    assert record_path(Path("shop") / "my.chuck.toml") == Path("shop") / "my.chuck.dial.toml"
