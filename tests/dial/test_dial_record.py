from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from gcodegen.dial import ChuckAsMade, dial_answer
from gcodegen.dial.progress import Point, acceptance, chart, points, table
from gcodegen.dial.record import append, load_record, moved_since_start, record_path
from gcodegen.errors import OutputError, ReadingError
from tests.dial.dial_jobs import off, read_at, settled_job, steps, taken

CHUCK = ChuckAsMade(float_available=0.3)


def recorded(path: Path, *sets: tuple[float, float, float | None], unit: str = "mm"):
    """Append sets of readings of a part off by (x, y) on a bar of a diameter; return the record."""
    for x, y, diameter in sets:
        one = taken(read_at(steps(8), off(x, y)), clamped_diameter=diameter)
        append(path, dial_answer(settled_job(), CHUCK, one), one, unit=unit)
    return load_record(path)


def test_a_set_comes_back_as_it_was_written(tmp_path):
    path = record_path(tmp_path / "my chuck.toml")
    assert path.name == "my chuck.dial.toml"
    assert load_record(path) == ()
    (entry,) = recorded(path, (0.05, -0.02, 12.0))
    assert (entry.x, entry.y, entry.clamped_diameter) == pytest.approx((0.05, -0.02, 12.0), abs=1e-6)
    assert entry.run_out == pytest.approx(0.1, abs=0.01)
    assert [(t.screw, t.way.value) for t in entry.turns] == [(1, "ease"), (3, "tighten"), (4, "ease"), (2, "tighten")]
    assert entry.turns[0].travel == pytest.approx(0.05, abs=1e-6)
    assert len(tomllib.loads(path.read_text())["set"][0]["readings"]) == 8


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
def test_a_record_in_inches_holds_inches(tmp_path):
    path = tmp_path / "a.dial.toml"
    (entry,) = recorded(path, (0.0508, 0.0, 12.7), unit="in")
    raw = tomllib.loads(path.read_text())
    assert raw["unit"] == "in"
    assert (raw["set"][0]["off_x"], raw["set"][0]["clamped_diameter"]) == pytest.approx((0.002, 0.5), abs=1e-7)
    assert entry.x == pytest.approx(0.0508, abs=1e-6)


def test_what_stood_in_a_record_stays(tmp_path):
    path = tmp_path / "a.dial.toml"
    recorded(path, (0.05, 0.0, None))
    path.write_text(path.read_text().replace("\n[[set]]", "\n# the blue chuck\n[[set]]"))
    assert len(recorded(path, (0.01, 0.0, None))) == 2
    assert "# the blue chuck" in path.read_text()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("unit = 'mm'\n[[set]]\nwanted = 1\n", "is no record of dialling in: set.0.run_out"),
        ("unit = 'ell'\n", "is no record of dialling in: unit"),
        ("unit = 'mm'\nsets = 1\n", "sets"),
        ("unit =", "is not TOML"),
    ],
)
def test_a_file_that_is_no_record_is_left_alone(tmp_path, text, says):
    path = tmp_path / "a.dial.toml"
    path.write_text(text)
    with pytest.raises(ReadingError, match=says):
        recorded(path, (0.05, 0.0, None))
    assert path.read_text() == text


def test_a_record_that_cannot_be_written_is_said(tmp_path):
    one = taken(read_at(steps(8), off(0.1, 0)))
    (tmp_path / "file").write_text("")
    with pytest.raises(OutputError, match="cannot write"):
        append(tmp_path / "file" / "a.dial.toml", dial_answer(settled_job(), CHUCK, one), one, unit="mm")


def test_the_way_of_the_chuck_is_counted_bar_by_bar(tmp_path):
    entries = recorded(tmp_path / "r.toml", (0.1, 0.0, 12), (0.02, 0.01, 12), (0.07, 0.0, 30), (0.01, 0.0, 30))
    assert moved_since_start(entries) == pytest.approx((-0.08 - 0.06, 0.01), abs=1e-6)


def test_acceptance_holds_before_and_after_against_the_figure_at_each_diameter(tmp_path):
    job = settled_job()  # run-out as found at 12 mm: 0.09
    entries = recorded(tmp_path / "r.toml", (0.1, 0, 12.0), (0.004, 0, 12.0), (0.03, 0, 25.0))
    rows = acceptance(job, entries, 0.01)
    assert [(r.clamped_diameter, r.met) for r in rows] == [(12.0, True), (25.0, False)]
    assert (rows[0].before, rows[0].after) == pytest.approx((0.09, 0.008), abs=1e-4)
    assert rows[1].before == pytest.approx(0.06, abs=1e-4)
    assert rows[1].after is None  # read once, never again
    said = "\n".join(table(rows, "mm"))
    assert "12.00 mm           0.0900 mm    0.0080 mm    0.0100 mm    within" in said
    assert "One setting holds for one clamped diameter" in said


def test_the_chart_falls_with_the_run_out_and_marks_the_figure(tmp_path):
    entries = recorded(tmp_path / "r.toml", (0.1, 0, None), (0.02, 0, None), (0.004, 0, None))
    shown = points(entries)
    assert [p.number for p in shown] == [1, 2, 3]
    assert [p.done for p in shown] == [False, False, True]
    lines = chart(shown, "mm")[1:]
    bars = [line.count("=") for line in lines]
    assert bars == sorted(bars, reverse=True)
    assert len({line.index("|") for line in lines}) == 1
    assert lines[-1].endswith("within")
    assert chart((), "mm") == ["nothing is recorded yet"]


def test_a_diameter_that_was_true_before_the_screws_were_turned_for_another_is_not_called_true_now(tmp_path):
    job = settled_job()
    entries = recorded(tmp_path / "r.toml", (0.1, 0, 12.0), (0.004, 0, 12.0), (0.03, 0, 25.0), (0.002, 0, 25.0))
    rows = acceptance(job, entries, 0.01)
    assert [(r.clamped_diameter, r.met, r.current) for r in rows] == [(12.0, True, False), (25.0, True, True)]
    assert "within at an earlier setting: the screws were turned since" in table(rows, "mm")[1]
    again = recorded(tmp_path / "r.toml", (0.003, 0, 12.0))
    assert all(r.met and r.current for r in acceptance(job, again, 0.01))


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
def test_a_record_in_inches_comes_back_in_millimetres_in_all_its_lengths(tmp_path):
    (mm,) = recorded(tmp_path / "mm.toml", (0.05, -0.02, 12.7))
    (inch,) = recorded(tmp_path / "in.toml", (0.05, -0.02, 12.7), unit="in")
    for name in ("wanted", "run_out", "eccentricity", "x", "y", "standard_error", "clamped_diameter"):
        assert getattr(inch, name) == pytest.approx(getattr(mm, name), abs=4e-6), name
    assert [t.travel for t in inch.turns] == pytest.approx([t.travel for t in mm.turns], abs=4e-6)
    assert [t.degrees for t in inch.turns] == pytest.approx([t.degrees for t in mm.turns], abs=1e-3)


@pytest.mark.parametrize(("bars", "warned"), [((12.0,), True), ((12.0, 25.0), False), ((12.0, 25.0, 40.0), False)])
def test_more_diameters_are_asked_for_until_two_were_read_after_the_turns(tmp_path, bars, warned):
    sets = [(x, 0.0, bar) for bar in bars for x in (0.1, 0.003)]
    lines = table(acceptance(settled_job(), recorded(tmp_path / "r.toml", *sets), 0.01), "mm")
    assert any("One setting holds for one clamped diameter" in line for line in lines) == warned


def test_a_note_of_any_signs_stands_in_the_record_as_plain_words(tmp_path):
    path = tmp_path / "r.toml"
    one = taken(read_at(steps(8), off(0.02, 0.0)))
    (entry,) = append(
        path, dial_answer(settled_job(), CHUCK, one), one, unit="mm", note='the "blue"\tone\n\\x1b\x1b' + "y" * 300
    )
    assert entry.note == "the  blue  one  x1b " + "y" * 180


@pytest.mark.outside("closed form: on a logarithmic scale like factors take like ways")
def test_the_bars_of_the_chart_are_logarithms_from_half_of_the_least_figure() -> None:
    def point(number: int, run_out: float) -> Point:
        own = {"eccentricity": run_out / 2, "standard_error": 0.0, "wanted": 0.01, "clamped_diameter": None}
        return Point(number=number, run_out=run_out, done=False, **own)  # type: ignore[arg-type]

    lines = chart([point(1, 0.16), point(2, 0.04), point(3, 0.02)], "mm")[1:]
    bars = [line.split("mm  ", 1)[1] for line in lines]
    # From 0.005 mm: 32, 8 and 4 times that are 5, 3 and 2 doublings; the figure wanted is one.
    width = bars[0].count("=") + 1
    assert [bar.index("|") for bar in bars] == [round(width / 5)] * 3
    assert [bar.rstrip().rindex("=") + 1 for bar in bars] == [width, round(width * 3 / 5), round(width * 2 / 5)]


def test_turns_are_numbered_in_the_order_in_which_they_are_made() -> None:
    answer = dial_answer(settled_job(), CHUCK, taken(read_at(steps(8), off(0.09, 0.05))))
    assert len(answer.turns) > 2
    assert [turn.order for turn in answer.turns] == list(range(1, len(answer.turns) + 1))
