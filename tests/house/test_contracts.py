"""The house itself: imports go one way, heavy packages load late, the wheel is whole, files stay small."""

from __future__ import annotations

import re
import subprocess
import sys
import zipfile
from pathlib import Path

ROOM_MOST_LINES = 400


def run(*command: str, cwd: Path, path: Path | None = None) -> subprocess.CompletedProcess[str]:
    env = {"PATH": "/usr/bin:/bin", "PYTHONPATH": str(path or cwd)}
    return subprocess.run(command, cwd=cwd, env=env, capture_output=True, text=True, check=False)


def test_imports_go_one_way(root: Path):
    says = (
        "import sys; from importlinter.cli import lint_imports;"
        "sys.exit(lint_imports(config_filename='pyproject.toml', no_cache=True, no_logo=True))"
    )
    done = run(sys.executable, "-c", says, cwd=root)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "3 kept, 0 broken" in done.stdout


def test_the_command_line_loads_no_heavy_package_before_it_needs_one(root: Path):
    says = "import sys, gcodegen.cli; print([m for m in ('numpy', 'shapely', 'scipy', 'jinja2') if m in sys.modules])"
    assert run(sys.executable, "-c", says, cwd=root).stdout.strip() == "[]"


def test_a_wheel_holds_all_templates_and_works_where_it_is_unpacked(root: Path, tmp_path: Path):
    built = run(sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path), cwd=root)
    assert built.returncode == 0, built.stderr
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
        archive.extractall(tmp_path / "site")
    wanted = {f"gcodegen/_post_templates/{t.name}" for t in (root / "post_templates").iterdir() if t.is_file()}
    wanted |= {f"gcodegen/packet/{t.name}" for t in (root / "gcodegen" / "packet").glob("*.j2")}
    assert wanted <= names
    job = root / "jobs" / "chuck-160.toml"
    made = run(
        *(sys.executable, "-m", "gcodegen", "make", str(job), "-o", str(tmp_path / "out")),
        cwd=tmp_path,
        path=tmp_path / "site",
    )
    assert made.returncode == 0, made.stderr
    assert (tmp_path / "out" / "mill.nc").is_file()


def test_constraints_hold_names_and_versions_only(root: Path):
    for line in (root / "constraints.txt").read_text().splitlines():
        assert re.fullmatch(r"[A-Za-z0-9._-]+==[0-9][0-9A-Za-z.]*", line), line


def test_no_file_of_the_house_is_too_long(root: Path):
    long = {p.name for p in (root / "gcodegen").rglob("*.py") if len(p.read_text().splitlines()) > ROOM_MOST_LINES}
    assert not long


def test_every_room_says_what_it_is_for(root: Path):
    rooms = list((root / "gcodegen").rglob("__init__.py"))
    assert len(rooms) > 8
    assert all(p.read_text().startswith('"""') for p in rooms), [str(p) for p in rooms]
