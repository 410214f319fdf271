"""Dialects: shipped ones, single switches over a base, files beside the job, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from gcodegen.errors import JobError
from gcodegen.job import DIALECTS, Dialect, Job, load_job, machine_for, read_job
from gcodegen.rs274 import Machine
from gcodegen.rs274.groups import G_GROUP, NOT_STANDARDISED
from tests.job.job_text import GONE, changed


def job_with(changes: dict[str, object], folder: Path | None = None) -> Job:
    return read_job(changed(changes), folder=folder)


def refused(changes: dict[str, object], folder: Path | None = None) -> str:
    with pytest.raises(JobError) as caught:
        job_with(changes, folder)
    return str(caught.value)


def in_folder(folder: Path, changes: dict[str, object]) -> Path:
    path = folder / "job.toml"
    path.write_text(changed(changes), encoding="utf-8")
    return path


def test_plain_has_every_switch_as_it_stands():
    assert DIALECTS["plain"] == Dialect()
    assert next(iter(DIALECTS)) == "plain"
    assert Dialect().speed_clamp == "none"


def test_the_older_names_keep_their_meaning():
    long_hand = DIALECTS["long hand"]
    assert (long_hand.cycles, long_hand.feed_per_turn) == (False, False)
    job = job_with({"lathe.dialect": {"block_numbers": 10, "percent_lines": True, "line_ends": "crlf"}})
    assert job.lathe.dialect.model_dump(exclude_defaults=True) == {
        "block_numbers": 10,
        "percent_lines": True,
        "line_ends": "crlf",
    }


@pytest.mark.parametrize("name", list(DIALECTS))
def test_a_shipped_dialect_by_name_as_base_and_with_a_switch_over_it(name):
    hands = {"mill.rotary": "by hand", "mill.tool_change": "by hand", "mill.tapping": "by hand"}
    by_name = job_with(hands | {"mill.dialect": name}).mill.dialect
    over = job_with(hands | {"mill.dialect": {"base": name, "block_numbers": 7}}).mill.dialect
    assert by_name == DIALECTS[name]
    assert over == by_name.model_copy(update={"base": name, "block_numbers": 7})


def test_an_unknown_name_or_switch_is_told_with_what_there_is():
    assert "long hand" in refused({"mill.dialect": "short hand"})
    assert "not a dialect" in refused({"mill.dialect": {"base": "short hand"}})
    assert "block_numbers" in refused({"mill.dialect": {"block_number": 5}})


def test_the_operator_takes_what_the_dialect_leaves_to_him():
    gone = {"mill.rotary": GONE, "mill.tool_change": GONE, "mill.tapping": GONE}
    mill = job_with(gone | {"mill.dialect": "operator does all"}).mill
    assert (mill.rotary, mill.tool_change, mill.tapping) == ("by hand", "by hand", "by hand")
    over = gone | {"mill.dialect": {"base": "operator does all", "cycles": True}}
    assert job_with(over).mill.rotary == "by hand"
    assert "mill.rotary" in refused(gone | {"mill.dialect": "operator does all", "mill.rotary": "A"})


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        (
            {"mill.tool_change": "automatic", "mill.dialect": {"length_offset": "touch off"}},
            "mill.dialect.length_offset",
        ),
        ({"mill.dialect": {"stop_text": "message", "comments": "semicolon"}}, "mill.dialect.stop_text"),
        ({"lathe.dialect": {"stop_text": "message", "comments": "semicolon"}}, "lathe.dialect.stop_text"),
        ({"mill.dialect": {"floating_feed_share": 1.01}}, "mill.dialect.floating_feed_share"),
        ({"mill.dialect": {"stop_text": "message", "comments": "left out"}}, "mill.dialect.stop_text"),
        ({"mill.restart_map": True, "mill.dialect": {"comments": "left out"}}, "mill.restart_map"),
        ({"mill.dialect": {"line_length": 35}}, "mill.dialect.line_length"),
        ({"mill.dialect": {"line_length": 257}}, "mill.dialect.line_length"),
        ({"mill.dialect": {"inch_decimals": 3}}, "mill.dialect.inch_decimals"),
        ({"lathe.dialect": {"speed_clamp": "S"}}, "lathe.dialect.speed_clamp"),
    ],
)
def test_what_is_unsafe_together_or_out_of_range_is_refused(changes, key):
    assert key in refused(changes)


@pytest.mark.outside("NISTIR 6556, Table 4: the G codes of the language; a limit of the spindle may be none of them")
def test_no_code_of_the_language_can_be_made_a_limit_of_the_spindle():
    for tenths in {*G_GROUP, *NOT_STANDARDISED} - {920}:
        if tenths % 10 == 0:
            assert "speed_clamp" in refused({"lathe.dialect": {"speed_clamp": f"G{tenths // 10} S"}})
    assert job_with({"lathe.dialect": {"speed_clamp": "G26 S"}}).lathe.dialect.speed_clamp == "G26 S"


def test_a_file_beside_the_job_gives_its_switches_and_the_job_s_own_stand_over_them(tmp_path):
    (tmp_path / "machines").mkdir()
    (tmp_path / "machines" / "old.toml").write_text('base = "long hand"\nblock_numbers = 5\nspaces = false\n')
    path = in_folder(tmp_path, {"mill.dialect": {"file": "machines/old.toml", "spaces": True}})
    dialect = load_job(path).mill.dialect
    assert (dialect.cycles, dialect.block_numbers, dialect.spaces) == (False, 5, True)


def test_a_folder_of_templates_under_the_job_is_found(tmp_path):
    (tmp_path / "own").mkdir()
    (tmp_path / "d.toml").write_text('templates = "own"\n')
    for dialect in ({"templates": "own"}, {"file": "d.toml"}):
        found = load_job(in_folder(tmp_path, {"mill.dialect": dialect})).mill.dialect.template_folder
        assert found == (tmp_path / "own").resolve()


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("cycles = 3\n", "cycles"),
        ("cyles = true\n", "cyles"),
        ("cycles = \n", "cannot be read"),
        ('file = "x.toml"\n', "another file"),
        ("#" * 100_001, "larger"),
        ('base = "Long Hand"\n', 'base is "Long Hand", which is no dialect'),
        ('x_values = "radii"\n', "x_values is \"radii\" (allowed: 'diameter' or"),
        ('speed_clamp = "G28 S"\n', 'speed_clamp is "G28 S", which is no safe way'),
        ("[mill]\ncycles = true\n", "[mill] is a head in brackets"),
        (
            'cyles = true\nx_values = "radii"\n',
            "(allowed: 'diameter' or 'radius'); cyles is no switch, the nearest is cycles",
        ),
        ("block_numbers = 101\n", "block_numbers is 101 (allowed: less"),
        (b"cycles = false # f\xfcr die alte\n", "not UTF-8 text: byte 19 cannot be read"),
    ],
)
def test_a_fault_in_a_dialect_file_is_told_with_the_file(tmp_path, text, says):
    (tmp_path / "own.toml").write_bytes(text if isinstance(text, bytes) else text.encode())
    told = refused({"mill.dialect": {"file": "own.toml"}}, tmp_path)
    assert "mill.dialect" in told
    assert "own.toml" in told
    assert says in told


def test_a_byte_order_mark_before_a_dialect_is_no_fault(tmp_path):
    (tmp_path / "own.toml").write_bytes(b"\xef\xbb\xbfcycles = false\n")
    assert load_job(in_folder(tmp_path, {"mill.dialect": {"file": "own.toml"}})).mill.dialect.cycles is False


def test_a_file_that_is_named_as_if_it_were_a_dialect_is_told_how():
    assert 'dialect = { file = "mill-a.toml" }' in refused({"mill.dialect": "mill-a.toml"})


@pytest.mark.parametrize("name", ["../out.toml", "{outside}", "link.toml", "folder", "none.toml", "", "a\0b"])
def test_no_file_outside_of_the_job_s_folder_is_read(tmp_path, name):
    home = tmp_path / "home"
    (home / "folder").mkdir(parents=True)
    outside = tmp_path / "out.toml"
    outside.write_text("cycles = false\n")
    (home / "link.toml").symlink_to(outside)
    name = name.replace("{outside}", str(outside))
    assert "mill.dialect" in refused({"mill.dialect": {"file": name}}, home)
    assert "mill.dialect" in refused({"mill.dialect": {"templates": name if name != "folder" else ".."}}, home)


def test_without_a_folder_no_file_may_be_named():
    assert "not known" in refused({"mill.dialect": {"file": "own.toml"}})


def test_the_reader_is_told_all_that_a_text_cannot_say():
    plain = job_with({"mill.dialect": "plain", "lathe.dialect": "plain"})
    assert machine_for(plain, "mill") == Machine(rotary_by_hand=plain.mill.rotary == "by hand")
    assert machine_for(plain, "lathe") == Machine(lathe=True)
    odd = job_with(
        {
            "mill.dialect": {"rotary_letter": "C", "rotary_sense": "reversed", "comments": "semicolon"},
            "lathe.dialect": {"x_values": "radius", "tool_word": "tool and offset", "safe_return": "reference"},
        }
    )
    mill, lathe = machine_for(odd, "mill"), machine_for(odd, "lathe")
    assert (mill.rotary_letter, mill.rotary_reversed, mill.semicolon_comments) == ("C", True, True)
    assert (lathe.x_radius, lathe.tool_word, lathe.home_clear) == (True, "tool and offset", True)
