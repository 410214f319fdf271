"""The sheets speak in the words of the programs: X as they count it, their tool word, index, speeds and feeds."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from pathlib import Path

import pytest

from gcodegen.design import Design, design
from gcodegen.job import read_job
from gcodegen.make import make
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.packet.detail import detail
from gcodegen.packet.figures import NBSP, Figures
from gcodegen.packet.glance import glance
from gcodegen.packet.lathe_setup import lathe_setup
from gcodegen.packet.lathe_sheet import lathe_tool_table, lathe_touch_offs, pass_table
from gcodegen.packet.mill_sheet import operation_table, place_table, touch_offs
from gcodegen.packet.stop_sheet import lathe_stops, mill_stops
from gcodegen.post import write_lathe, write_mill

LATHES = [
    'base = "radius lathe"',
    'x_values = "radius", plus_signs = true, trailing_zeros = true, tool_word = "tool and offset"',
    'feed_per_turn = false, speed_steps = true, tool_word = "tool, then offset"',
    'speed_clamp = "G92 S"',
    'arcs = "chords", x_values = "radius", speed_steps = true',
]


def job_text(jobs_folder: Path, *, mill: str = "", lathe: str = "", name: str = "chuck-160") -> str:
    text = (jobs_folder / f"{name}.toml").read_text()
    for section, switches in (("mill", mill), ("lathe", lathe)):
        if switches:
            head, tail = text.split(f"[{section}]\n", 1)
            own = f"dialect = {{ {switches} }}\n" if "dialect" not in switches else switches
            text = f"{head}[{section}]\n" + re.sub(r'dialect = ".*"\n', own, tail, count=1)
    return text


def decided(jobs_folder: Path, **switches: str) -> Design:
    return design(read_job(job_text(jobs_folder, **switches)))


def words(text: str, letter: str) -> set[str]:
    bare = re.sub(r"\([^)]*\)", "", text)
    return {w.lstrip("+") for w in re.findall(rf"(?<![A-Z]){letter}([+-]?\d+\.?\d*)", bare)}


@pytest.mark.parametrize("lathe", LATHES)
def test_each_x_of_the_pass_table_stands_in_the_program(jobs_folder: Path, lathe: str):
    d = decided(jobs_folder, lathe=lathe)
    plan = plan_lathe(d)
    written = {float(x) for x in words(write_lathe(plan, d), "X")}
    rows = pass_table(d, plan).rows
    told = [float(x) for row in rows for x in re.findall(rf"X{NBSP}([+-]?[\d.]+)", row[2])]
    assert len(told) >= 3 * len(rows) - 1
    assert all(min(abs(x - w) for w in written) < 6e-4 for x in told), (told, sorted(written))


@pytest.mark.parametrize("lathe", LATHES)
def test_speeds_and_feeds_of_the_pass_table_are_all_those_of_the_program(jobs_folder: Path, lathe: str):
    d = decided(jobs_folder, lathe=lathe)
    plan = plan_lathe(d)
    text, rows = write_lathe(plan, d), pass_table(d, plan).rows
    told = " ".join(row[3] for row in rows)
    assert {float(s) for s in words(text, "S")} - {60.0} <= {float(s) for s in re.findall(r"\d+", told)}
    feeds = {float(f) for row in rows for f in re.findall(r"\d+\.\d+", row[4].partition(f"{NBSP}mm/")[0])}
    assert feeds == {float(f) for f in words(text, "F")}


def test_constant_surface_speed_is_told_with_its_limit(jobs_folder: Path):
    text = job_text(jobs_folder, lathe='speed_clamp = "G92 S"').replace("surface_speed = false", "surface_speed = true")
    d = design(read_job(text))
    plan = plan_lathe(d)
    written = re.findall(r"G92 S(\d+)\nG96 S(\d+)", write_lathe(plan, d))
    rows = pass_table(d, plan).rows
    assert written
    assert {re.sub(r"\D+", " ", row[3]).strip() for row in rows} == {f"96 {s} {limit}" for limit, s in written}


def test_a_radius_lathe_is_touched_off_at_half_the_diameter(jobs_folder: Path):
    d = decided(jobs_folder, lathe='x_values = "radius"')
    x = lathe_touch_offs(d).rows[1]
    assert x[2] == f"X{NBSP}={NBSP}62.485{NBSP}mm"
    assert "RADIUS" in x[3]
    assert "Set half" in x[3]
    assert f"124.970{NBSP}mm across" in x[3]
    drawn = lathe_setup(d, plan_lathe(d)).markup()
    assert "X is a radius." in drawn
    assert "62.485" in drawn


def test_a_diameter_lathe_is_touched_off_at_the_diameter(jobs_folder: Path):
    x = lathe_touch_offs(decided(jobs_folder)).rows[1]
    assert x[2] == f"X{NBSP}={NBSP}124.970{NBSP}mm"
    assert "X is a diameter" in x[3]


@pytest.mark.parametrize(("form", "word"), [("tool and offset", "T0101"), ("tool, then offset", "T1 D1")])
def test_the_tool_word_is_the_program_s(jobs_folder: Path, form: str, word: str):
    d = decided(jobs_folder, lathe=f'tool_word = "{form}"')
    plan = plan_lathe(d)
    assert lathe_tool_table(d, plan).rows[0][0] == word
    assert f"{word}, in order" in pass_table(d, plan).caption
    assert f"\n{word} M0" in write_lathe(plan, d)


def test_the_index_has_the_letter_and_the_sign_of_the_program(jobs_folder: Path):
    d = decided(jobs_folder, mill='rotary_letter = "C", rotary_sense = "reversed"')
    plan = plan_mill(d)
    written = words(write_mill(plan, d), "C")
    assert {"-90.0", "-180.0", "-270.0"} <= written
    assert [row[1].replace(NBSP, " ") for row in place_table(d, plan).rows] == [
        "C 0.000",
        "C -90.000",
        "C -180.000",
        "C -270.000",
    ]
    assert {float(row[3].split(NBSP)[1]) for row in operation_table(d, plan).rows} == {0.0, -90.0, -180.0, -270.0}
    assert touch_offs(d, plan).rows[3][0] == "C"


@pytest.mark.parametrize("tapping", ["by hand", "synchronised", "floating holder"])
def test_speeds_and_feeds_of_the_operations_are_those_of_the_mill_s_program(jobs_folder: Path, tapping: str):
    text = re.sub(r'(?m)^tapping = ".*"$', f'tapping = "{tapping}"', job_text(jobs_folder))
    d = design(read_job(text))
    plan = plan_mill(d)
    program, rows = write_mill(plan, d), operation_table(d, plan).rows
    speeds = {float(s) for row in rows for s in re.findall(rf"(\d+){NBSP}rev/min", row[5])}
    feeds = {float(f) for row in rows for f in re.findall(rf"([\d.]+){NBSP}mm/min", row[6])}
    assert speeds == {float(s) for s in words(program, "S")}
    assert feeds == {float(f) for f in words(program, "F")}


def test_the_packet_names_the_dialect_that_made_each_program(jobs_folder: Path):
    page = make(read_job(job_text(jobs_folder, mill="block_numbers = 5", lathe='base = "radius lathe"'))).files
    told = page["packet.html"].replace("&#34;", '"')
    assert 'in dialect "plain" with block_numbers = 5.' in told
    assert 'in dialect "radius lathe": X is a <strong>radius</strong>' in told


def test_where_texts_are_left_out_the_packet_tells_what_each_stop_is_for(jobs_folder: Path):
    bare = 'comments = "left out", base = "long hand"'
    text = job_text(jobs_folder, mill=bare, lathe=bare).replace('rotary = "A"', 'rotary = "by hand"')
    d = design(read_job(text.replace("[lathe]\n", "[lathe]\nmeasuring_stop = true\n")))
    for plan, table, written in (
        (plan_mill(d), mill_stops(d, plan_mill(d))[0], write_mill(plan_mill(d), d)),
        (plan_lathe(d), lathe_stops(d, plan_lathe(d))[0], write_lathe(plan_lathe(d), d)),
    ):
        assert plan
        assert [row[0] for row in table.rows] == re.findall(r"(?m)^(.*M0)$", written)
    told = dict(mill_stops(d, plan_mill(d))[0].rows)
    assert told["N90202 M0"].startswith("INDEX WORK TO 90.000 DEG")
    assert any("TAP TIP" in says for says in told.values())


def test_where_the_program_tells_its_stops_the_packet_does_not(jobs_folder: Path):
    d = decided(jobs_folder)
    assert mill_stops(d, plan_mill(d)) == lathe_stops(d, plan_lathe(d)) == ()


def test_the_undercut_is_drawn_and_told_with_its_sizes(jobs_folder: Path):
    text = job_text(jobs_folder).replace("[adjustment]\n", '[adjustment]\ncorner = "undercut"\n', 1)
    d = design(read_job(text))
    cut = d.job.undercut
    assert cut is not None
    drawn, show = _labels(d), Figures("mm")
    told = f"Undercut, {show.length(cut.into_spigot)} below the spigot, {show.length(cut.into_seat)} below the seat"
    assert f"{told}, {show.length(cut.along_spigot)} long".replace(NBSP, " ") in drawn
    assert "Fillet" not in drawn
    assert "Fillet of the tool's nose" in _labels(decided(jobs_folder))


def _labels(d: Design) -> str:
    """Return what the detail says, its broken lines joined."""
    return html.unescape(" ".join(re.findall(r"<text[^>]*>([^<]*)<", detail(d).markup()))).replace(NBSP, " ")


def test_a_program_without_text_has_a_list_of_its_stops_and_the_first_proves_the_rotary(jobs_folder: Path):
    silent = 'comments = "left out"'
    (even,) = mill_stops(d := decided(jobs_folder, mill=silent), plan_mill(d))
    assert "sense of the rotary" not in str(even.rows)
    d = replace(d, layout=replace(d.layout, angles=(3.0, 93.0, 183.0, 270.0)))
    plan = plan_mill(d)
    (listed,) = mill_stops(d, plan)
    program = write_mill(plan, d)
    assert plan.uneven
    assert listed.rows[0] == ("M0, the first", "Uneven spacing: prove the sense of the rotary first")
    assert len(listed.rows) == len(re.findall(r"(?m)\bM0+\b", program))


def test_the_lower_of_marked_speed_and_balance_is_named_at_a_glance(jobs_folder: Path):
    def balance(marked: str, off: str) -> str:
        text = re.sub(r"(?m)^speed_limit_rpm = .*\n", "", job_text(jobs_folder))
        text = text.replace("[chuck]\n", f"[chuck]\n{marked}", 1)
        text = re.sub(r"(?m)^run_out = .*$", f"run_out = {off}", text)
        return dict(glance(design(read_job(text))).rows)["Speed that balance allows"]

    assert balance("speed_limit_rpm = 200\n", "0.1").endswith("grade G6.3")
    assert balance("speed_limit_rpm = 9000\n", "0.1").endswith("grade G6.3: this is the lower one")
    assert balance("", "0.1").endswith("grade G6.3: this is the lower one")
    assert balance("", "0") == "nothing is shifted"
