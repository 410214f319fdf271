"""The example scripts run as they stand, and what they print is true."""

from __future__ import annotations

import contextlib
import io
import os
import re
import runpy
import subprocess
import sys
from pathlib import Path

import pytest

import gcodegen


def _run(root: Path, name: str, *words: str | Path) -> tuple[int, str]:
    """Run a script in this process, as ``python script words`` would; return its exit code and what it printed."""
    script, out, code = root / "docs" / "examples" / name, io.StringIO(), 0
    with pytest.MonkeyPatch.context() as patch, contextlib.redirect_stdout(out):
        patch.setattr(sys, "argv", [str(script), *map(str, words)])
        try:
            runpy.run_path(str(script), run_name="__main__")
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 1
    return code, out.getvalue()


def test_every_example_is_run_here(root: Path) -> None:
    text = Path(__file__).read_text(encoding="utf-8")
    scripts = sorted(p.name for p in (root / "docs" / "examples").glob("*.py"))
    assert len(scripts) == 4
    assert all(f'"{name}"' in text for name in scripts)


@pytest.mark.slow
def test_setbacks_are_gone_through(root: Path, jobs_folder: Path) -> None:
    path = jobs_folder / "chuck-160.toml"
    code, told = _run(root, "setbacks.py", path)
    assert code == 0
    assert len(told.splitlines()) == 11
    design = gcodegen.design_job(gcodegen.load_job(path, {"adjustment.setback": 5.5}))
    assert f" 5.50 mm  {design.layout.least_wall:6.2f} mm  {design.screw.name} " in told
    assert " stop " in told


def test_a_folder_of_edited_programs_is_checked(root: Path, jobs_folder: Path, tmp_path: Path) -> None:
    job = jobs_folder / "chuck-125.toml"
    made = gcodegen.make_job(gcodegen.load_job(job))
    made.write(tmp_path)
    code, told = _run(root, "check_folder.py", job, tmp_path)
    assert (code, told.count("good  ")) == (0, 2)
    (tmp_path / "mill-edited.nc").write_text(made.files["mill.nc"].replace("M3", "M4"), encoding="utf-8")
    code, told = _run(root, "check_folder.py", job, tmp_path)
    assert (code, told.count("good  ")) == (1, 2)
    assert "STOP  mill-edited.nc" in told
    assert _run(root, "check_folder.py", job, tmp_path / "none")[0] == 1


def test_a_program_is_written_for_another_dialect(root: Path, jobs_folder: Path, tmp_path: Path) -> None:
    job = jobs_folder / "chuck-160.toml"
    code, told = _run(root, "another_dialect.py", job, "turret", tmp_path)
    assert code == 0
    text = (tmp_path / "lathe.nc").read_text(encoding="utf-8")
    before = len(gcodegen.make_job(gcodegen.load_job(job)).files["lathe.nc"].splitlines())
    assert f"lathe.nc: {before} lines before, {len(text.splitlines())} now" in told
    assert "T0101" in text
    assert _run(root, "another_dialect.py", job, "no such dialect", tmp_path / "none") == (1, "")
    assert not (tmp_path / "none").exists()


def test_the_first_offer_is_taken(root: Path, jobs_folder: Path, tmp_path: Path) -> None:
    job = tmp_path / "wishful.toml"
    text = (jobs_folder / "chuck-160.toml").read_text(encoding="utf-8")
    assert '\nfirst_angle = "choose"\n' in text
    job.write_text(text.replace('\nfirst_angle = "choose"\n', "\nfirst_angle = 0\n"), encoding="utf-8")
    code, told = _run(root, "first_offer.py", job)
    assert code == 0
    assert told.startswith("stop: ")
    assert "\noffer: other angles\n" in told
    assert "with it: caution, " in told or "with it: good, " in told
    assert "no change was found" in _run(root, "first_offer.py", jobs_folder / "too-thin.toml")[1]
    assert _run(root, "first_offer.py", jobs_folder / "chuck-160.toml") == (0, "nothing stops it\n")


def test_the_page_s_own_script_runs_as_it_stands(root: Path) -> None:
    page = (root / "docs" / "python.md").read_text(encoding="utf-8")
    (script,) = re.findall(r"```python\n(.*?)```", page, re.DOTALL)
    environment = {**os.environ, "PYTHONPATH": str(root)}
    done = subprocess.run([sys.executable, "-c", script], cwd=root, capture_output=True, text=True, env=environment)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "caution M6 x 16 3.51 False\n"


def test_the_page_tells_every_public_step_and_error(root: Path) -> None:
    page = (root / "docs" / "python.md").read_text(encoding="utf-8")
    for name in gcodegen.__all__:
        if name.islower() and name != "__version__":
            assert f"`{name}(" in page, name
        if name.endswith("Error"):
            assert f"`{name}`" in page, name
