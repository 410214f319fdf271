"""Files of readings: how large, how many, and where what is wrong stands; every text is invented."""

from __future__ import annotations

import re

import pytest

from gcodegen.dial import Reading, load_readings, read_csv, read_toml
from gcodegen.dial.reading_file import _readings, file_text, refuse
from gcodegen.dial.reading_keys import Settings
from gcodegen.errors import ReadingError

ROW = {"angle_deg": 1, "value": 1}
HEAD = "angle_deg,value\n"


def wrong(text: str, reader=read_csv, unit: str = "mm") -> list[str]:
    """Return what is said to be wrong, a line each, without the head."""
    with pytest.raises(ReadingError) as caught:
        reader(text, unit)
    return [line.strip() for line in str(caught.value).splitlines()[1:]]


@pytest.mark.parametrize(("size", "read"), [(999_999, True), (1_000_000, True), (1_000_001, False), (2_000_000, False)])
def test_a_file_holds_a_million_bytes(tmp_path, size, read):
    path = tmp_path / "a.csv"
    path.write_bytes(b"#" * size)
    if read:
        assert len(file_text(path, "a.csv")) == size
        return
    with pytest.raises(ReadingError, match="is larger than 1000000 bytes"):
        file_text(path, "a.csv")


def test_ten_thousand_readings_are_read_and_one_more_is_not():
    rows = [("line 2", ROW)] * 10_000
    assert len(_readings(rows, "mm", "", [], Settings()).readings) == 10_000
    with pytest.raises(ReadingError, match="has 10001 readings; allowed: at most 10000"):
        _readings([*rows, rows[0]], "mm", "", [], Settings())


@pytest.mark.parametrize(
    ("count", "head", "last"),
    [
        (1, "1 thing to put right", "thing 1."),
        (2, "2 things to put right", "thing 2."),
        (50, "50 things to put right", "thing 50."),
        (51, "51 things to put right", "and 1 more."),
        (80, "80 things to put right", "and 30 more."),
    ],
)
def test_fifty_things_to_put_right_are_listed_and_the_rest_is_counted(count, head, last):
    lines = str(refuse([f"thing {i + 1}" for i in range(count)], "")).splitlines()
    assert lines[0] == head
    assert lines[-1].strip() == last
    assert len(lines) == 1 + min(count, 51)
    assert lines[1].strip() == "thing 1."


@pytest.mark.parametrize("planes", [(None, None, None), (1.0, 2.0, 1.0), (0.0, 0.0, 0.0)])
def test_planes_are_given_to_all_readings_or_to_none(planes):
    def rows(*planes: float | None):
        return [("line", ROW | ({} if p is None else {"plane": p})) for p in planes]

    found = _readings(rows(*planes), "mm", "", [], Settings(lever_angle_deg=12.0, resolution=0.01))
    assert [r.plane for r in found.readings] == list(planes)
    assert (found.lever_angle_deg, found.resolution, found.clamped_diameter) == (12.0, 0.01, None)
    assert _readings(rows(None), "mm", "", [], Settings(clamped_diameter=20.0)).lever_angle_deg == 0.0
    for some, told in (((1.0, None, None), 1), ((None, 1.0, 1.0), 2)):
        with pytest.raises(ReadingError, match=f"plane stands at {told} of 3 readings"):
            _readings(rows(*some), "mm", "", [], Settings())


def test_the_lines_of_a_csv_text_are_counted_as_they_stand():
    text = "# unit = mm\n\n# resolution = 0.01\n\nangle_deg,value\n0,x\n\n\n90,y\n1\n"
    assert [line.split(":")[0] for line in wrong(text)] == ["line 10", "line 6", "line 9"]
    assert wrong("# my words\n\nangle,value\n0,1\n")[0].startswith("line 3: the head reads 'angle,value'")
    assert wrong("")[0].startswith("line 1: the head reads ''")
    assert wrong("# unit = mm\n# wait = 3\n" + HEAD + "0,0\n")[0].startswith("line 2: 'wait' is no key here")
    assert wrong("\n\nangle_deg,value,sopt\n0,0,low\n") == ["line 3: 'sopt' is no key here; the nearest is spot."]


def test_a_line_of_csv_has_as_many_cells_as_the_head():
    assert wrong(HEAD + "0\n1,2\n1,2,3\n") == [
        "line 2: has 1 cells; allowed: 2, as the head has.",
        "line 4: has 3 cells; allowed: 2, as the head has.",
    ]


@pytest.mark.parametrize("head", ["value", "angle_deg", "angle_deg,angle_deg,value", "angle_deg,value,spot,spot"])
def test_a_head_names_both_columns_once(head):
    (says,) = wrong(f"{head}\n0,0\n")
    assert says.endswith("allowed: angle_deg,value and if you like plane, weight, spot.")


def test_below_the_head_a_sign_of_number_is_no_setting():
    text = "# resolution = 0.01\n" + HEAD + "0,0.1\n# resolution = 0.02\n"
    assert wrong(text) == ["line 4: has 1 cells; allowed: 2, as the head has."]
    found = read_csv("# resolution = '0.01'\n# clamped_diameter = \"1/2 in\"\n# =\n#\n" + HEAD + "0,0.1\n", "mm")
    assert (found.resolution, found.clamped_diameter) == pytest.approx((0.01, 12.7))


def test_the_unit_of_a_file_goes_before_the_job_s():
    for text, unit, value in (
        ("", "mm", 1.0),
        ("", "in", 25.4),
        ("# unit = mm\n", "in", 1.0),
        ("# unit = in\n", "mm", 25.4),
    ):
        assert read_csv(text + HEAD + "0,1\n", unit).readings == (Reading(angle_deg=0.0, value=value),)
    assert wrong("# unit = cm\n" + HEAD + "0,1\n") == ["unit: read 'cm'; allowed: mm or in."]
    assert wrong("unit = 3\n", read_toml)[0] == 'unit: read 3; allowed: "mm" or "in".'


def test_a_reading_of_toml_is_told_by_its_number_and_its_line():
    table = "[[reading]]\nangle_deg = 1\nvalue = 1\n"
    text = "# mine\n" + table + "\n" + table.replace("= 1\n", "= 'x'\n", 1)
    assert wrong(text, read_toml)[0].startswith("reading 2 (line 6): angle_deg")
    spaced = text.replace("[[reading]]", " [[ 'reading' ]]")
    assert wrong(spaced, read_toml)[0].startswith("reading 2 (line 6): angle_deg")
    # Where heads and tables cannot be matched no line is told.
    inline = "reading = [{angle_deg = 1, value = 1}, 3, {angle_deg = 'x', value = 1}]\n"
    assert [line.split(":")[0] for line in wrong(inline, read_toml)] == ["reading 2", "reading 3"]
    assert wrong('a = """\n[[reading]]\n"""\n' + inline, read_toml)[0].startswith("'a' is no key here")


def test_a_file_is_told_by_the_end_of_its_name_and_a_folder_is_none(tmp_path):
    (tmp_path / "r.TOML").write_text("[[reading]]\nangle_deg = 1\nvalue = 1\n")
    assert load_readings(tmp_path / "r.TOML", "mm").readings == (Reading(angle_deg=1.0, value=1.0),)
    with pytest.raises(ReadingError, match=re.escape("is neither .toml nor .csv")):
        load_readings(tmp_path / "r", "mm")
    (tmp_path / "b.csv").write_bytes(b"angle_deg,value\n0,\xff\n")
    with pytest.raises(ReadingError, match="UTF-8"):
        load_readings(tmp_path / "b.csv", "mm")


def test_nothing_is_said_of_no_readings_where_something_else_is_wrong():
    assert wrong(HEAD) == ["has no readings; write angle_deg = 90 and value = 0.02 under [[reading]]."]
    assert wrong("# wait = 1\n" + HEAD) == ["line 1: 'wait' is no key here; the nearest is unit."]
