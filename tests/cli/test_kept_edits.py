"""A program that a hand has changed is never lost: `make` keeps it under another name and says so."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path

import pytest

from gcodegen.kept import work_of_a_hand
from gcodegen.output import OutputError, write_files
from tests.cli.calling import Outcome, call
from tests.cli.test_commands import FIVE, REFUSED

EDITED = "(MY OWN EDIT)\nG21\nM30\n"


def _names(folder: Path) -> list[str]:
    return sorted(p.name for p in folder.iterdir())


@pytest.fixture(scope="module")
def made_once(jobs_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("once") / "out"
    assert call("make", jobs_folder / "chuck-125.toml", "-o", out, "-q").code == 0
    return out


@pytest.fixture
def out(made_once: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made_once, tmp_path / "out"))


def _make(jobs_folder: Path, out: Path, job: str = "chuck-125", *words: str) -> Outcome:
    return call("make", jobs_folder / f"{job}.toml", "-o", out, *words)


def test_what_nobody_touched_is_written_over_without_a_word(jobs_folder: Path, out: Path) -> None:
    before = {p.name: p.read_bytes() for p in out.iterdir()}
    assert _make(jobs_folder, out).err == ""
    assert {p.name: p.read_bytes() for p in out.iterdir()} == before
    assert _make(jobs_folder, out, "chuck-160", "-q").err == ""  # another job, other programs
    assert _names(out) == FIVE


@pytest.mark.parametrize("words", [(), ("-q",), ("--json",)])
def test_an_edited_program_keeps_its_bytes_and_it_is_said(words: tuple[str, ...], jobs_folder: Path, out: Path) -> None:
    fresh = (out / "mill.nc").read_bytes()
    (out / "mill.nc").write_text(EDITED, encoding="utf-8")
    done = _make(jobs_folder, out, "chuck-125", *words)
    assert done.code == 0
    assert "mill.nc is not what was last written there" in done.err
    assert "kept as mill.kept-1.nc" in done.err
    assert (out / "mill.kept-1.nc").read_text(encoding="utf-8") == EDITED
    assert (out / "mill.nc").read_bytes() == fresh
    assert _names(out) == sorted([*FIVE, "mill.kept-1.nc"])
    if "--json" in words:
        (job,) = json.loads(done.out)["jobs"]
        assert (job["kept"], job["removed"]) == ({"mill.nc": "mill.kept-1.nc"}, [])


def test_edits_one_after_another_are_all_kept(jobs_folder: Path, out: Path) -> None:
    for turn in (1, 2, 3):
        (out / "lathe.nc").write_text(f"{EDITED}{turn}", encoding="utf-8")
        _make(jobs_folder, out)
    for turn in (1, 2, 3):
        assert (out / f"lathe.kept-{turn}.nc").read_text(encoding="utf-8") == f"{EDITED}{turn}"


def test_a_refused_job_keeps_edits_and_says_what_it_took_away(jobs_folder: Path, out: Path) -> None:
    (out / "mill.nc").write_text(EDITED, encoding="utf-8")
    done = _make(jobs_folder, out, "too-thin")
    assert done.code == 1
    assert "because this job is refused: lathe.nc\n" in done.err
    assert (out / "mill.kept-1.nc").read_text(encoding="utf-8") == EDITED
    assert _names(out) == sorted([*REFUSED, "mill.kept-1.nc"])
    (out / "mill.refused.nc").write_text(EDITED, encoding="utf-8")
    _make(jobs_folder, out)
    assert _names(out) == sorted([*FIVE, "mill.kept-1.nc", "mill.kept-1.refused.nc"])


def test_a_kept_program_is_dry_run_as_one_of_its_machine(jobs_folder: Path, out: Path) -> None:
    good = (out / "mill.nc").read_text(encoding="utf-8")
    (out / "mill.nc").write_text(good.replace("EYE PROTECTION ON", "EYES"), encoding="utf-8")
    _make(jobs_folder, out)
    assert call("dryrun", jobs_folder / "chuck-125.toml", out / "mill.kept-1.nc").code == 0


@pytest.mark.parametrize(
    "record",
    [None, "", "{", "[" * 100_000, '["mill.nc"]', '[{"program": "mill.nc", "sha256": 7}]', "null"],
    ids=["none", "empty", "half", "deep", "words", "number", "null"],
)
def test_without_a_record_of_what_was_written_all_counts_as_edited(
    record: str | None, jobs_folder: Path, out: Path
) -> None:
    (out / "dryrun.json").unlink()
    if record is not None:
        (out / "dryrun.json").write_text(record, encoding="utf-8")
    old = (out / "mill.nc").read_bytes()
    _make(jobs_folder, out, "chuck-160", "-q")
    assert (out / "mill.kept-1.nc").read_bytes() == old
    assert "lathe.kept-1.nc" in _names(out)


def test_a_dry_run_of_an_edit_does_not_make_it_ours(jobs_folder: Path, out: Path) -> None:
    (out / "mill.nc").write_text(EDITED, encoding="utf-8")
    report = call("dryrun", jobs_folder / "chuck-125.toml", out / "mill.nc", "--json").out
    (out / "dryrun.json").write_text(report, encoding="utf-8")
    _make(jobs_folder, out)
    assert (out / "mill.kept-1.nc").read_text(encoding="utf-8") == EDITED


def test_edits_are_kept_where_several_jobs_are_made_at_once(jobs_folder: Path, tmp_path: Path) -> None:
    jobs = [jobs_folder / f"{name}.toml" for name in ("chuck-80", "chuck-100", "chuck-125", "too-thin")]
    call("make", *jobs, "-o", tmp_path, "-q")
    (tmp_path / "chuck-100" / "mill.nc").write_text(EDITED, encoding="utf-8")
    done = call("make", *jobs, "-o", tmp_path, "-q")
    assert done.err.count("kept as") == 1
    assert (tmp_path / "chuck-100" / "mill.kept-1.nc").read_text(encoding="utf-8") == EDITED
    assert [p for p in tmp_path.rglob("*.kept-*") if p.parent.name != "chuck-100"] == []


def test_a_failure_puts_an_edited_program_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "mill.nc").write_text(EDITED, encoding="utf-8")
    (tmp_path / "packet.html").write_text("old", encoding="utf-8")
    plain = os.replace

    def replace(one: Path, other: Path) -> None:
        if other.name == "packet.html" and not one.name.endswith(".before"):
            raise OSError(28, "No space left on device")
        plain(one, other)

    monkeypatch.setattr(Path, "replace", replace)
    with pytest.raises(OutputError, match="No space left"):
        write_files(tmp_path, {"mill.nc": "new", "packet.html": "new"}, spare=work_of_a_hand)
    assert _names(tmp_path) == ["mill.nc", "packet.html"]
    assert (tmp_path / "mill.nc").read_text(encoding="utf-8") == EDITED


def test_a_pipe_in_the_way_is_kept_and_never_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "mill.nc")
    placed = write_files(tmp_path, {"mill.nc": "new"}, spare=work_of_a_hand)
    assert placed.kept == {"mill.nc": "mill.kept-1.nc"}
    assert (tmp_path / "mill.kept-1.nc").is_fifo()
