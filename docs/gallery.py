"""Write the page on the shipped jobs anew: ``python docs/gallery.py`` from the project's folder."""

from __future__ import annotations

import json
import re
import tempfile
from pathlib import Path
from typing import Any

from gcodegen.batch import make_all
from gcodegen.job import load_job
from gcodegen.units import show_length

ROOT = Path(__file__).resolve().parent.parent
JOBS = ROOT / "jobs"
HEAD = """\
# Shipped jobs

Begin with a copy of the one that is nearest to your chuck, and measure everything again. All chucks, shops and machines
here are invented; register, bolt circle and bolts are those of a standard, from memory, where a file says so. The
verdict is that of design and dry run together: **a job that passes here says nothing about a chuck of yours.** Cautions
are not ornaments; `gcodegen make` shows them.

| job | what it teaches | verdict | screw | least wall |
| --- | --- | --- | --- | --- |
"""


def page(made: Path) -> str:
    """Return the page, told by what was made of every shipped job: a folder each under ``made``."""
    jobs = {path.stem: load_job(path) for path in JOBS.glob("*.toml")}
    order = sorted(jobs, key=lambda stem: (_refused(made / stem), jobs[stem].chuck.diameter, stem))
    return HEAD + "".join(_row(stem, jobs[stem].unit, made / stem) for stem in order)


def _refused(folder: Path) -> bool:
    return not (folder / "mill.nc").exists()


def _row(stem: str, unit: str, folder: Path) -> str:
    design: dict[str, Any] = json.loads((folder / "design.json").read_text(encoding="utf-8"))
    refused = _refused(folder)
    by = "the design" if design["verdict"] == "stop" else "the dry run"
    verdict = (
        f"**refused** by {by}" if refused else {"good": "good", "caution": "good with cautions"}[design["verdict"]]
    )
    screw = "none" if design["verdict"] == "stop" else design["screw"]["thread"]
    least = design["wall_mm"]
    wall = "" if design["verdict"] == "stop" else f"{show_length(least['least'], unit)} to {least['feature']}"
    return f"| [{stem}]({stem}.toml) | {teaches(stem)} | {verdict} | {screw} | {wall} |\n"


def teaches(stem: str) -> str:
    """Return what a job file says that it teaches: its head, to the first empty line of comment."""
    text = (JOBS / f"{stem}.toml").read_text(encoding="utf-8")
    told = re.match(r"# Teaches: (.*?)\n#\n", text, re.DOTALL)
    if told is None:
        raise ValueError(f"{stem}.toml does not begin with what it teaches")
    return told[1].replace("\n# ", " ")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as scratch:
        out = Path(scratch)
        make_all([(load_job(path), out / path.stem) for path in sorted(JOBS.glob("*.toml"))])
        (JOBS / "README.md").write_text(page(out), encoding="utf-8")
