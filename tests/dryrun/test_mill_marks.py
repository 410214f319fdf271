"""Programs whose texts are left out: the stops' block numbers are read, and a slip in them is caught as any other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from gcodegen.design import Design, design
from gcodegen.dryrun.report import Report
from gcodegen.dryrun.run import dry_run
from gcodegen.dryrun.trace import trace
from gcodegen.job import read_job
from gcodegen.job.stop_marks import StopKind, StopMark, read_mark
from gcodegen.operations import one_hole, plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.verdict import Severity

KEYS = {
    "by tool": 'rotary = "by hand"\n',
    "by hole": 'rotary = "by hand"\n#by hole\n',
    "proved": 'rotary = "by hand"\nproof_pass = true\n',
    "rotary": 'rotary = "A"\nproof_pass = true\n',
}
BARE = 'comments = "left out", block_numbers = 10, line_length = 40'


def decided(jobs_folder: Path, keys: str, switches: str = BARE, angles: str = "") -> Design:
    text = (jobs_folder / "chuck-160.toml").read_text().replace("[adjustment]\n", f"[adjustment]\n{angles}")
    if angles:
        text = text.replace("spacing_tolerance_deg = 0", "spacing_tolerance_deg = 5")
    if "#by hole" in keys:
        text = text.replace('grouping = "by tool"', 'grouping = "by hole"')
    text = text.replace('dialect = "long hand"', f'dialect = {{ base = "long hand", {switches} }}')
    return design(read_job(text.replace('rotary = "A"\n', keys)))


def checked(d: Design, text: str) -> Report:
    return dry_run(text, d.job, "mill")


def stops(report: Report) -> set[str]:
    return {f.code for f in report.findings if f.severity is Severity.STOP}


@pytest.mark.parametrize("keys", KEYS.values(), ids=KEYS)
def test_a_program_without_texts_is_good_and_the_one_caution_says_so(jobs_folder: Path, keys: str):
    d = decided(jobs_folder, keys)
    text = write_mill(plan_mill(d), d)
    assert not re.search("[(;]", text)
    assert max(map(len, text.splitlines())) <= 40
    assert [f.code for f in checked(d, text).findings] == ["program-says-nothing"]
    report = dry_run(write_lathe(plan_lathe(d), d), d.job, "lathe")
    assert [f.code for f in report.findings] == ["program-says-nothing"]


@pytest.mark.parametrize("keys", list(KEYS.values())[:3], ids=list(KEYS)[:3])
def test_each_hole_comes_out_as_with_texts(jobs_folder: Path, keys: str):
    bare, told = decided(jobs_folder, keys), decided(jobs_folder, keys, "block_numbers = 10")
    first, second = (checked(d, write_mill(plan_mill(d), d)) for d in (bare, told))
    assert first.walls == second.walls
    turns = [{m.turn for m in trace(write_mill(plan_mill(d), d), d.job, "mill").motions} for d in (bare, told)]
    assert turns[0] == turns[1] == {0.0, 90.0, 180.0, 270.0}


def test_uneven_places_are_turned_to_their_own_angles(jobs_folder: Path):
    d = decided(jobs_folder, KEYS["by tool"], angles="angles = [15, 107, 195, 283]\n")
    text = write_mill(plan_mill(d), d)
    marks = [mark for n in re.findall(r"(?m)^N(9\d{4}) M0", text) if (mark := read_mark(int(n)))]
    assert [m.count for m in marks] == sorted({m.count for m in marks})
    assert [m.hole for m in marks] == [1, 2, 3, 4] * 3
    assert not stops(checked(d, text))
    turns = {m.turn for m in trace(text, d.job, "mill").motions}
    assert turns == {0.0, 92.0, 180.0, 268.0}


def slips(text: str) -> dict[str, str]:
    marked = re.findall(r"(?m)^N9\d{4} M0\n", text)
    third, fourth = marked[2], marked[3]
    return {
        "lost": text.replace(third, ""),
        "bare": text.replace(third, "M0\n"),
        "plain number": text.replace(third, "N77 M0\n"),
        "another hole": text.replace(third, third.replace("03 M0", "04 M0")),
        "the hole before": text.replace(third, third.replace("03 M0", "02 M0")),
        "no such hole": text.replace(third, third.replace("03 M0", "09 M0")),
        "swapped": text.replace(third, "@").replace(fourth, third).replace("@", fourth.replace("04 M0", "01 M0")),
        "all bare": re.sub(r"(?m)^N9\d{4} M0", "M0", text),
    }


@pytest.mark.parametrize("keys", list(KEYS.values())[:2], ids=list(KEYS)[:2])
@pytest.mark.parametrize("slip", list(slips("N9 M0\n" + "N90101 M0\n" * 4)))
def test_a_slip_in_a_stop_s_number_is_a_stop(jobs_folder: Path, keys: str, slip: str):
    d = decided(jobs_folder, keys)
    text = write_mill(plan_mill(d), d)
    changed = slips(text)[slip]
    assert changed != text
    assert stops(checked(d, changed))


def test_a_number_is_no_index_where_the_dialect_has_texts(jobs_folder: Path):
    d = decided(jobs_folder, KEYS["by tool"])
    told = decided(jobs_folder, KEYS["by tool"], "block_numbers = 10")
    assert "index-unread" in stops(dry_run(write_mill(plan_mill(d), d), told.job, "mill"))


def test_stops_that_say_nothing_are_named_once_and_not_as_strokes_made_twice(jobs_folder: Path):
    d = decided(jobs_folder, KEYS["by tool"], "block_numbers = 10")
    text = write_mill(plan_mill(d), d)
    bare = re.sub(r"\(.*?\)", "", text).replace("\n\n", "\n")
    report = checked(d, bare)
    cause = [f for f in report.findings if f.code == "index-unread"]
    assert len(cause) == 1
    assert "stops say nothing" in cause[0].says
    assert "INDEX WORK TO" in cause[0].do
    assert stops(report) == {"index-unread", "hole-missing"}


def test_a_stroke_made_twice_is_told_where_every_stop_speaks(jobs_folder: Path):
    d = decided(jobs_folder, KEYS["by tool"], "block_numbers = 0")
    text = write_mill(plan_mill(d), d)
    again = text.replace("INDEX WORK TO 90.000", "INDEX WORK TO 0.000", 1)
    assert again != text
    assert "hole-cut-twice" in {f.code for f in checked(d, again).findings}


def test_a_single_hole_has_its_own_number(jobs_folder: Path):
    d = decided(jobs_folder, KEYS["by tool"])
    text = write_mill(one_hole(plan_mill(d), 3), d)
    assert re.findall(r"(?m)^N9\d\d(\d\d) M0", text) == ["03"]
    assert not stops(dry_run(text, d.job, "mill", only_hole=3))
    assert stops(dry_run(text, d.job, "mill", only_hole=2))


@pytest.mark.parametrize("kind", StopKind)
def test_a_mark_is_read_as_it_was_written(kind: StopKind):
    for count, hole in ((1, 1), (24, 4), (99, 2)):
        mark = StopMark(kind, count, hole)
        assert read_mark(int(mark.word[1:])) == mark
    assert read_mark(69_999) is None
