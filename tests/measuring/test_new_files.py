"""Files that ``gcodegen new`` writes: sound jobs, never over another, nothing half done."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from gcodegen.design import design
from gcodegen.handbook import CHUCK_SIZES
from gcodegen.job import load_job
from gcodegen.measuring.change import answers_of, changed_text
from gcodegen.verdict import Verdict
from tests.cli.calling import call


@pytest.mark.parametrize("size", ["80", "100", "125", "160", "200", "250", "315", "4in", "6in", "8in", "10in"])
def test_the_usual_figures_of_each_size_are_a_sound_job_that_can_be_made(size: str, tmp_path: Path) -> None:
    file = tmp_path / "chuck.toml"
    assert call("new", file, "--yes", "--size", size).code == 0
    job = load_job(file)
    assert job.unit == ("in" if size.endswith("in") else "mm")
    assert design(job).verdict is not Verdict.STOP


@pytest.mark.outside("from memory of DIN 6350: register, bolt circle and bolts by chuck size")
@pytest.mark.parametrize("row", CHUCK_SIZES, ids=lambda row: f"{row.diameter_mm:g}")
def test_register_and_bolts_of_a_stated_size_are_those_of_the_table(row, tmp_path: Path) -> None:
    file = tmp_path / "chuck.toml"
    call("new", file, "--yes", "--size", f"{row.diameter_mm:g}", "--unit", "mm")
    raw = tomllib.loads(file.read_text(encoding="utf-8"))
    bolts = raw["backplate"]["bolts"]
    assert (raw["chuck"]["recess_diameter"], bolts["circle"]) == (row.register_mm, row.bolt_circle_mm)
    assert (bolts["count"], bolts["thread"]) == (row.bolt_count, row.bolt_thread)


def test_what_nobody_measured_is_marked_and_the_speed_is_never_made_up(tmp_path: Path) -> None:
    file = tmp_path / "chuck.toml"
    call("new", file, "--yes")
    lines = file.read_text(encoding="utf-8").splitlines()
    assert all("MEASURE" in line for line in lines if line.startswith(("diameter", "recess", "length", "circle")))
    assert any(line.startswith("# speed_limit_rpm") for line in lines)
    assert load_job(file).chuck.speed_limit_rpm is None
    assert "not measured yet" in load_job(file).title


def test_a_file_that_is_there_is_kept_unless_force_is_given(tmp_path: Path) -> None:
    file = tmp_path / "chuck.toml"
    file.write_text("mine", encoding="utf-8")
    refused = call("new", file, "--yes")
    assert (refused.code, file.read_text(encoding="utf-8")) == (2, "mine")
    assert "--force" in refused.err
    assert call("new", file, "--yes", "--force").code == 0
    assert load_job(file)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--size", "30"), "no size of chuck"),
        (("--size", "big"), "is not a length"),
        (("--unit", "cm"), "allowed: mm, in"),
        (("--change",), "no such file"),
        ((), "--yes"),
    ],
)
def test_a_wrong_call_says_what_to_do_and_writes_nothing(words: tuple[str, ...], said: str, tmp_path: Path) -> None:
    again = words if words in ((), ("--change",)) else ("--yes", *words)
    done = call("new", tmp_path / "chuck.toml", *again)
    assert done.code == 2
    assert said in done.err
    assert list(tmp_path.iterdir()) == []


def test_a_file_of_the_same_figures_has_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.toml", "b.toml"):
        call("new", tmp_path / name, "--yes", "--size", "200")
    assert (tmp_path / "a.toml").read_bytes() == (tmp_path / "b.toml").read_bytes()


def test_the_measuring_sheet_asks_for_every_measured_key_and_needs_no_network(tmp_path: Path) -> None:
    file = tmp_path / "sheet.html"
    assert call("new", file, "--sheet").code == 0
    text = file.read_text(encoding="utf-8")
    for asked in ("Depth of the recess", "Thread of the bolts", "Diameter of the spigot", "Full movement", "marked"):
        assert asked in text
    assert "http" not in text
    assert "src=" not in text


@pytest.mark.parametrize("name", ["chuck-100", "chuck-125", "chuck-160", "chuck-200", "chuck-250", "chuck-6-hole-inch"])
def test_changing_one_key_of_a_shipped_job_keeps_every_other_line_and_comment(name: str, root: Path) -> None:
    before = (root / "jobs" / f"{name}.toml").read_text(encoding="utf-8")
    assert changed_text(before, answers_of(before, name)) == before
    after = changed_text(before, {"backplate.thickness": "1.25"})
    different = [(a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    ((old, new),) = different
    assert old.startswith("thickness")
    assert new.startswith("thickness = 1.25")
    assert old.partition("#")[2] == new.partition("#")[2]


@pytest.mark.parametrize("name", ["chuck-100", "chuck-160", "chuck-6-hole-inch"])
def test_a_table_that_goes_on_further_down_the_file_is_read_whole(name: str, root: Path) -> None:
    before = (root / "jobs" / f"{name}.toml").read_text(encoding="utf-8")
    features = re.findall(r"(?ms)^\[\[chuck\.feature\]\]\n.*?(?=^\[|\Z)", before)
    moved = before
    for feature in features:
        moved = moved.replace(feature, "", 1)
    moved = moved.rstrip() + "\n\n" + "".join(features)
    assert tomllib.loads(moved) == tomllib.loads(before) != {}
    assert answers_of(moved, name) == answers_of(before, name)
    assert changed_text(moved, answers_of(moved, name)) == moved
    changed = tomllib.loads(changed_text(moved, {"chuck.diameter": "161", "chuck.feature[1].count": "7"}))
    assert (changed["chuck"]["diameter"], changed["chuck"]["feature"][0]["count"]) == (161, 7)


def test_what_is_left_out_makes_no_empty_table() -> None:
    text = 'unit = "mm"\n\n[[chuck.feature]]\nkind = "ring"\n'
    gone = {
        "chuck.cover.thickness": "",
        "mill.rapid": "",
        "chuck.feature[2].diameter": "",
        "chuck.cover.plan": '"none"',
    }
    assert changed_text(text, gone) == text
    ended = {"chuck.feature[3].kind": '"none"', "adjustment.reading[1].clamped_diameter": '"none"'}
    assert changed_text(text, ended) == text
    assert tomllib.loads(changed_text(text, {"chuck.feature[1].kind": ""})) == {
        "unit": "mm",
        "chuck": {"feature": [{}]},
    }
