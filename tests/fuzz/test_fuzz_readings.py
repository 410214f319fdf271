"""Readings of any kind and number: each set is refused in our own words, or answered with figures that exist."""

from __future__ import annotations

import json
import math
from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from hypothesis import strategies as st

from gcodegen.design import design
from gcodegen.dial import ChuckAsMade, Reading, ReadingSet, dial_answer, read_csv, read_toml
from gcodegen.dial.record import append, load_record
from gcodegen.errors import GcodegenError
from gcodegen.job import Job, load_job
from tests.dial.dial_jobs import off, read_at, settled_job, steps, taken
from tests.fuzz.edits import ODD, edited, is_plain, try_out
from tests.job.job_text import JOBS

CHUCK = ChuckAsMade(float_available=0.3)
ROWS = [(0, 0.05), (45, 0.04), (90, 0.01), (135, -0.02), (180, -0.04), (225, -0.03), (270, 0.0), (315, 0.03)]
CSV = [
    "angle_deg,value\n" + "".join(f"{a},{v}\n" for a, v in ROWS),
    "# unit = in\n# resolution = 0.0005\nangle_deg,value,plane\n"
    + "".join(f"{a},{v},{p}\n" for p in (1, 3) for a, v in ROWS),
    "angle_deg,value,spot\n30,0.05,high\n210,-0.03,low\n",
    "# lever_angle_deg = 20\nangle_deg,value,weight\n" + "".join(f"{a},{v},2\n" for a, v in ROWS),
]
TOML = [
    "".join(f"[[reading]]\nangle_deg = {a}\nvalue = {v}\n" for a, v in ROWS),
    'unit = "in"\nresolution = 0.0005\nclamped_diameter = 0.5\n'
    + "".join(f'[[reading]]\nangle_deg = {a}\nvalue = "{v} mm"\nplane = {p}\n' for p in (1, 2) for a, v in ROWS),
]
FIGURES = st.sampled_from([*ODD, "0.01", "-0.02", "90", "361", "1e-9", "0.5", " 3 ", "4 mm", '"5"', ""])
CELLS = st.lists(st.lists(FIGURES, min_size=1, max_size=4).map(",".join), max_size=12).map("\n".join)


@cache
def job() -> Job:
    return design(load_job(JOBS / "chuck-160.toml")).job


def answered(found: ReadingSet) -> None:
    """Hold the answer to JSON with figures that exist, and its turns to those that a screw can make."""
    answer = dial_answer(job(), CHUCK, found)
    document = json.loads(json.dumps(answer.as_json(), allow_nan=False))
    assert 0 <= document["direction_deg"] < 360
    assert 0 <= document["eccentricity_mm"] < math.inf
    for turn in answer.turns:
        assert 0 < turn.degrees < 360 * CHUCK.float_available * 2 + 1  # M6: a millimetre a turn
    assert math.hypot(*answer.shift) <= CHUCK.float_available + 1e-9


def with_all(examples: int, texts: st.SearchStrategy[str], reader: object) -> Counter[str]:
    """Return how many sets were refused, and how many answered."""
    met: Counter[str] = Counter()

    def one(text: str) -> None:
        try:
            answered(reader(text, "mm"))  # type: ignore[operator]
            met["answered"] += 1
        except GcodegenError as error:
            is_plain(error)
            met["refused"] += 1

    try_out(examples, texts, one)
    return met


@pytest.mark.parametrize("examples", [60, pytest.param(3000, marks=pytest.mark.slow)])
@pytest.mark.parametrize(("texts", "reader"), [(CSV, read_csv), (TOML, read_toml)], ids=["csv", "toml"])
def test_edited_readings_are_refused_or_answered(texts: list[str], reader: object, examples: int) -> None:
    met = with_all(examples, edited(texts), reader)
    assert min(met["refused"], met["answered"]) >= examples / 10, met


@pytest.mark.parametrize("examples", [60, pytest.param(3000, marks=pytest.mark.slow)])
@pytest.mark.parametrize("head", ["angle_deg,value\n", "angle_deg,value,plane\n", "angle_deg,value,spot\n", ""])
def test_a_file_of_any_cells_is_refused_or_answered(head: str, examples: int) -> None:
    met = with_all(examples, CELLS.map(lambda cells: head + cells), read_csv)
    assert met["refused"] >= examples / 2, met


ANY_FLOAT = st.floats() | st.sampled_from([1e308, -1e308, 5e-324, 0.0])


def readings_with(values: st.SearchStrategy[float], least: int = 0) -> st.SearchStrategy[tuple[Reading, ...]]:
    def on(planes: tuple[float | None, ...]) -> st.SearchStrategy[tuple[Reading, ...]]:
        one = st.builds(Reading, angle_deg=st.floats(-360, 360), value=values, plane=st.sampled_from(planes))
        return st.lists(one, min_size=least, max_size=24).map(tuple)

    return st.sampled_from([(None,), (None,), (0.0, 40.0)]).flatmap(on)


# Sound ones, wild ones, and sound ones among which one is wild.
READINGS = (
    readings_with(st.floats(-0.2, 0.2), 5)
    | readings_with(ANY_FLOAT)
    | st.tuples(readings_with(st.floats(-0.2, 0.2), 5), readings_with(ANY_FLOAT)).map(lambda two: two[0] + two[1][:1])
)


@pytest.mark.parametrize("examples", [80, pytest.param(5000, marks=pytest.mark.slow)])
def test_readings_given_by_a_program_are_refused_or_answered(examples: int) -> None:
    met: Counter[str] = Counter()

    def one(readings: tuple[Reading, ...]) -> None:
        try:
            answered(ReadingSet(readings=readings))
            met["answered"] += 1
        except GcodegenError as error:
            is_plain(error)
            met["refused"] += 1

    try_out(examples, READINGS, one)
    assert min(met["refused"], met["answered"]) > 0, met


def test_ten_thousand_readings_are_answered_and_one_more_is_refused() -> None:
    rows = [f"{angle / 28 % 360:.3f},{0.05 * math.cos(math.radians(angle / 28)):.4f}" for angle in range(10_001)]
    head = "angle_deg,value\n"
    answered(read_csv(head + "\n".join(rows[:10_000]), "mm"))
    with pytest.raises(GcodegenError, match="10001 readings"):
        read_csv(head + "\n".join(rows), "mm")


@pytest.mark.parametrize("examples", [40, pytest.param(2000, marks=pytest.mark.slow)])
def test_an_edited_record_is_read_or_refused(tmp_path: Path, examples: int) -> None:
    path, met = tmp_path / "a.dial.toml", Counter()
    for x in (0.05, 0.02):
        one = taken(read_at(steps(8), off(x, 0.01)), clamped_diameter=12.0)
        append(path, dial_answer(settled_job(), CHUCK, one), one, unit="mm")

    def read(text: str) -> None:
        path.write_text(text, encoding="utf-8")
        try:
            entries = load_record(path)
        except GcodegenError as error:
            is_plain(error)
            met["refused"] += 1
            return
        met["read"] += 1
        assert all(math.isfinite(v) for e in entries for v in (e.x, e.y, e.run_out, e.wanted, e.eccentricity))

    try_out(examples, edited([path.read_text(encoding="utf-8")]), read)
    assert min(met.values()) >= examples / 20, met
