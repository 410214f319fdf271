from __future__ import annotations

import io
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gcodegen.dial import Reading, ReadingSet, load_readings, read_csv, read_toml
from gcodegen.dial.readings import assumed_resolution
from gcodegen.errors import ReadingError

_VALUES = {0: 0.01, 120: -0.02, 240: 0}
THREE = "\n".join(f"[[reading]]\nangle_deg = {a}\nvalue = {v}" for a, v in _VALUES.items())


def one(angle: str = "90", value: str = "0.02", more: str = "") -> str:
    return f"[[reading]]\nangle_deg = {angle}\nvalue = {value}\n{more}"


def test_toml_counts_in_the_unit_of_the_job():
    assert read_toml(THREE, "mm").readings == (
        Reading(angle_deg=0.0, value=0.01),
        Reading(angle_deg=120.0, value=-0.02),
        Reading(angle_deg=240.0, value=0.0),
    )


@pytest.mark.outside("exact by definition: 1 in = 25.4 mm (agreement of 1959)")
def test_a_unit_in_the_file_or_at_a_value_wins_over_the_jobs():
    (found,) = read_toml('unit = "in"\n' + one(value="0.002", more="plane = 1"), "mm").readings
    assert (found.value, found.plane) == (0.0508, 25.4)
    (found,) = read_toml(one(value='"0.02 mm"', more='plane = "1 1/2 in"'), "in").readings
    assert (found.value, found.plane) == (0.02, 38.1)


def test_csv_reads_with_and_without_planes_in_any_order_of_columns():
    assert read_csv("angle_deg,value\n0,0.01\n\n 90 , -.02\n", "mm").readings == (
        Reading(angle_deg=0.0, value=0.01),
        Reading(angle_deg=90.0, value=-0.02),
    )
    (found,) = read_csv("plane, value, angle_deg\r\n10,0.001,22.5\r\n", "in").readings
    assert found == Reading(angle_deg=22.5, value=0.0254, plane=254.0)


def test_what_is_piped_in_is_told_by_its_text(monkeypatch):
    def piped(data: bytes) -> ReadingSet:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))
        return load_readings("-", "mm")

    assert piped(THREE.encode()) == read_toml(THREE, "mm")
    csv = "angle_deg,value\n0,0.01\n120,-0.02\n240,0\n"
    assert piped(b"\xef\xbb\xbf# unit = in\n" + csv.encode()) == read_csv(csv, "in")
    for data, says in (
        (b"", "the head reads ''"),
        (b"\xff\xfea", "is not UTF-8 text but UTF-16"),
        (b"#" * 1_000_001, "is larger than 1000000 bytes"),
    ):
        with pytest.raises(ReadingError, match=says) as refused:
            piped(data)
        assert str(refused.value).startswith("standard input: ")


def test_files_are_told_by_their_names(tmp_path):
    (tmp_path / "a.toml").write_text(THREE)
    (tmp_path / "a.CSV").write_text("\ufeffangle_deg,value\n0,0.01\n120,-0.02\n240,0\n", encoding="utf-8")
    assert load_readings(tmp_path / "a.toml", "mm") == load_readings(tmp_path / "a.CSV", "mm")


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("a.txt", b"", "neither .toml nor .csv"),
        ("a.csv", b"\xff\xfe", "is not UTF-8 text but UTF-16"),
        ("a.toml", b"#" * 1_000_001, "larger than 1000000 bytes"),
        ("a.toml", b"[[reading]\n", "is not TOML: .*line 1"),
        ("gone.csv", None, "cannot be read: No such file"),
    ],
)
def test_a_file_that_cannot_be_read_is_refused(tmp_path, name, data, says):
    if data is not None:
        (tmp_path / name).write_bytes(data)
    with pytest.raises(ReadingError, match=says):
        load_readings(tmp_path / name, "mm")


def test_a_folder_is_refused(tmp_path):
    (tmp_path / "a.csv").mkdir()
    with pytest.raises(ReadingError, match="is not a plain file"):
        load_readings(tmp_path / "a.csv", "mm")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "has no readings"),
        ('unit = "cm"\n' + THREE, "unit: read 'cm'; allowed"),
        ("units = 1\n" + THREE, "'units' is no key here; the nearest is unit"),
        ("reading = 3", "reading is no list of tables"),
        ("reading = [3]", "reading 1: is no table"),
        (one(value="nan"), r"reading 1 \(line 1\): value is not a finite number; read nan"),
        (one(value="inf"), "value is not a finite number"),
        (one(value="true"), "value is not a length"),
        (one(value="1e300"), "value is far too large"),
        (one(value='"1/64"'), "value is a fraction without its unit"),
        (one(value=f"0x{'f' * 9000}"), "read a whole number of more than 60 digits"),
        (one(value=f"[0x{'f' * 9000}]"), "read a list or table"),
        (one(angle="nan"), "angle_deg is out of range"),
        (one(angle="361"), "angle_deg is out of range; allowed: -360 to 360; read 361"),
        (one(angle="false"), "angle_deg is not a number of degrees"),
        (one(angle="1979-05-27"), "angle_deg is not a number of degrees"),
        (one(more="plane = -1"), "plane is behind the jaws"),
        (one(more="plan = 1"), "'plan' is no key here; the nearest is plane"),
        (one(more="wieght = 2"), "'wieght' is no key here; the nearest is weight"),
        (one(more="weight = 0"), "weight is out of range; allowed: 0.1 to 100"),
        (one(more="weight = nan"), "weight is out of range"),
        (one(more="weight = true"), "weight is out of range"),
        (one(more='spot = "middle"'), 'spot is no spot; allowed: "high", "low"'),
        ("resolution = 0\n" + THREE, "resolution is no step of an indicator; allowed: 0.000001 to 1 mm"),
        ("resolution = 1e-200\n" + THREE, "resolution is no step of an indicator"),
        ("resolution = 2\n" + THREE, "resolution is no step of an indicator"),
        ("lever_angle_deg = 75\n" + THREE, "lever_angle_deg is out of range; allowed: 0 to 60"),
        ("lever_angle = 15\n" + THREE, "'lever_angle' is no key here; the nearest is lever_angle_deg"),
        ("clamped_diameter = -3\n" + THREE, "clamped_diameter is not more than 0"),
        ("[[reading]]\nangle_deg = 1", "value is missing"),
        (one() + one(more="plane = 1"), "plane stands at 1 of 2 readings"),
        ("reading = [" + "{angle_deg = 1, value = 1}," * 10_001 + "]", "has 10001 readings; allowed"),
        ("a = " + "[" * 5000 + "]" * 5000, "is not TOML"),
    ],
)
def test_a_bad_toml_text_is_refused(text, says):
    with pytest.raises(ReadingError, match=says):
        read_toml(text, "mm")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "line 1: the head reads ''; allowed: angle_deg,value and if you like"),
        ("angle_deg;value\n0;1", "the head reads 'angle_deg;value'"),
        ("angle_deg,value,value\n0,1,1", "the head reads"),
        ("angle_deg,value\n", "has no readings"),
        ("angle_deg,value\n0,0,02\n", "line 2: has 3 cells; allowed: 2"),
        ("angle_deg,value\n\n0,abc\n", "line 3: value is not a length.*read 'abc'"),
        ("angle_deg,value\n0,1e-3\n", "line 2: value is not a length"),
        ("angle_deg,value\n0,inf\n", "line 2: value is not a length"),
        ("angle_deg,value\n1_0,0\n", "line 2: angle_deg is not a number of degrees"),
        ("angle_deg,value\nnan,0\n", "line 2: angle_deg is not a number of degrees"),
        ("angle_deg,value\n,0\n", "line 2: angle_deg is not a number of degrees"),
        ("angle_deg,value,plane\n0,0,\n", "line 2: plane is not a length"),
        ('angle_deg,value\n"0,0\n', "is not CSV"),
        ("angle_deg,value,wait\n0,0,1\n", "'wait' is no key here; the nearest is weight"),
        (
            "# resolutoin = 0.01\nangle_deg,value\n0,0\n",
            "line 1: 'resolutoin' is no key here; the nearest is resolution",
        ),
        ("# unit = cm\nangle_deg,value\n0,0\n", "unit: read 'cm'; allowed: mm or in"),
        ("# resolution = fine\nangle_deg,value\n0,0\n", "resolution is not a length"),
    ],
)
def test_a_bad_csv_text_is_refused(text, says):
    with pytest.raises(ReadingError, match=says):
        read_csv(text, "mm")


def test_all_that_is_wrong_is_said_at_once():
    with pytest.raises(ReadingError) as caught:
        read_toml(one(angle="400") + one(value="nan", more="plan = 2"), "mm", "dial.toml")
    assert str(caught.value).splitlines() == [
        "dial.toml: 3 things to put right",
        "  reading 1 (line 1): angle_deg is out of range; allowed: -360 to 360; read 400.",
        "  reading 2 (line 4): 'plan' is no key here; the nearest is plane.",
        "  reading 2 (line 4): value is not a finite number; read nan.",
    ]


def test_a_flood_of_problems_is_cut():
    with pytest.raises(ReadingError) as caught:
        read_csv("angle_deg,value\n" + "x,0\n" * 80, "mm")
    lines = str(caught.value).splitlines()
    assert (len(lines), lines[0], lines[-1]) == (52, "80 things to put right", "  and 30 more.")


@settings(deadline=None, derandomize=True, max_examples=150)
@given(text=st.one_of(st.text(max_size=60), st.text(max_size=40).map(lambda t: f"angle_deg,value\n{t}")))
@pytest.mark.parametrize("reader", [read_csv, read_toml])
def test_any_text_is_read_or_refused(reader, text):
    try:
        found = reader(text, "mm")
    except ReadingError:
        return
    assert found.readings
    assert all(abs(r.angle_deg) <= 360 for r in found.readings)


def test_a_name_too_long_for_a_file_is_refused():
    with pytest.raises(ReadingError, match="cannot be read"):
        load_readings("a" * 5000 + ".csv", "mm")


def test_what_holds_for_the_whole_set_stands_above_the_readings():
    told = 'unit = "in"\nresolution = 0.0005\nlever_angle_deg = 20\nclamped_diameter = 0.5\n'
    for found in (
        read_toml(told + THREE, "mm"),
        read_csv(
            "".join(f"# {line}\n" for line in told.splitlines()) + "# my own words\nangle_deg,value\n0,0.01\n", "mm"
        ),
    ):
        assert found.resolution == pytest.approx(0.0127)
        assert found.lever_angle_deg == 20
        assert found.clamped_diameter == pytest.approx(12.7)
        assert found.readings[0].value == pytest.approx(0.254)


@pytest.mark.outside("closed form: a lever at 10, 20, 30, 60 degrees shows 0.200 for 0.197, 0.188, 0.173, 0.100")
@pytest.mark.parametrize(("angle", "true"), [(10, 0.197), (20, 0.188), (30, 0.173), (60, 0.100)])
def test_a_lever_s_readings_are_brought_square_to_the_surface(angle, true):
    found = read_toml(f"resolution = 0.01\nlever_angle_deg = {angle}\n" + one(value="0.2"), "mm")
    assert found.square[0].value == pytest.approx(true, abs=5e-4)
    assert found.step("mm") == pytest.approx(0.01 * true / 0.2, abs=3e-5)
    assert found.readings[0].value == 0.2


@pytest.mark.parametrize(
    ("values", "unit", "step"),
    [
        ((0.0, 0.05, -0.02), "mm", 0.01),
        ((0.0, 0.005, 0.06), "mm", 0.005),
        ((0.002, 0.014), "mm", 0.002),
        ((0.041, 0.02), "mm", 0.001),
        ((0.0123456, 0.02), "mm", 0.001),
        ((0.0508, 0.0254), "in", 0.0254),
        ((0.0508, 0.0127), "in", 0.0127),
        ((0.00254, 0.0), "in", 0.00254),
    ],
)
def test_a_step_that_is_not_told_is_the_coarsest_that_all_values_share(values, unit, step):
    assert assumed_resolution(values, unit) == pytest.approx(step)
