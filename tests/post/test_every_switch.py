"""One job, any machine: each pair of switches gives the same cuts as the plain dialect, by two readers."""

from __future__ import annotations

import functools
import itertools
import math
from dataclasses import replace
from pathlib import Path

import pytest
import shapely

from gcodegen.design import Design, design
from gcodegen.dryrun.run import dry_run
from gcodegen.job import Lathe, Mill, load_job, machine_for
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.post import write_lathe, write_mill
from gcodegen.rs274 import Kind, Motion, Reading, Stop, ToolChange, read_program
from gcodegen.verdict import Severity
from tests.design.jobs import shipped
from tests.post.pairwise import LATHE, MILL, Row, allowed, pairwise, parted
from tests.post.second_reader import Told, by_number, tell

JOBS = ("chuck-125", "chuck-160", "chuck-6-hole-inch")
SEEDS = range(5)
WITHIN = 0.001  # mm
ROOT = Path(__file__).parents[2]


@functools.cache
def turned_with(name: str, facing: str, corner: str, shank: str, edges: tuple[float, float]) -> Design:
    """Return the design of a shipped job whose plate is turned in some other way, with a tool of other edges."""
    job = load_job(ROOT / "jobs" / f"{name}.toml")
    angles = dict(zip(("entering_angle_deg", "end_angle_deg"), edges, strict=True))
    tool = job.lathe.turning_tool.model_copy(update=angles | {"shank": shank})
    lathe = job.lathe.model_copy(update={"facing": facing, "tool": (tool,)})
    wish = job.adjustment.model_copy(update={"corner": corner})
    return design(job.model_copy(update={"lathe": lathe, "adjustment": wish}))


TURNED = ("facing", "corner", "shank", "edges")


def switched(name: str, on: str, row: Row) -> Design:
    """Return the job's design with its machine and dialect as the row says."""
    keys, dialect = parted(row)
    base = shipped(name)
    if on == "lathe":
        base = turned_with(name, *(keys.pop(k) for k in TURNED))  # type: ignore[arg-type]
        hand = {"hand": keys.pop("hand")}
        keys["tool"] = tuple(t.model_copy(update=hand) for t in base.job.lathe.tool)
    machine: Mill | Lathe = base.job.mill if on == "mill" else base.job.lathe
    model = type(machine)
    kept = {k: getattr(machine, k) for k in model.model_fields if k not in keys and k != "dialect"}
    made = model.model_validate(kept | keys | {"dialect": dialect})
    return replace(base, job=base.job.model_copy(update={on: made}))


def program(d: Design, on: str) -> str:
    return write_mill(plan_mill(d), d) if on == "mill" else write_lathe(plan_lathe(d), d)


def mill_cuts(reading: Reading) -> list[tuple[int, float, float, float | None]]:
    """Tool, index, X and deepest Z (None: by hand) of each cut, in order, by the project's reader."""
    out: list[tuple[int, float, float, float | None]] = []
    tool, index = 0, 0.0
    for step in reading.steps:
        match step:
            case ToolChange():
                tool = step.tool
            case Stop():
                says = step.message or by_number(reading.lines[step.line - 1])
                tool = step.named_tool or tool
                if "INDEX WORK TO" in says:
                    index = float(says.split("INDEX WORK TO")[1].split()[0])
                elif "BY HAND" in says and "TAP HOLE" in says:
                    out.append((tool, (index + step.position.a) % 360, step.position.x, None))
            case Motion(kind=Kind.FEED) if step.end.z < step.start.z:
                key = (tool, (index + step.end.a) % 360, step.end.x)
                if out and out[-1][:3] == key and out[-1][3] is not None:
                    out[-1] = (*key, min(out[-1][3], step.end.z))
                else:
                    out.append((*key, step.end.z))
    return out


def lathe_paths(reading: Reading) -> shapely.MultiLineString:
    """The feeds as lines in (z, radius), arcs in fine steps, by the project's reader."""
    lines: list[list[tuple[float, float]]] = []
    for step in reading.steps:
        if not isinstance(step, Motion) or step.kind is Kind.RAPID:
            continue
        points = [(step.start.z, step.start.x / 2)]
        if step.arc is not None:
            z, x = step.arc.centre
            first = math.atan2(points[0][1] - x, points[0][0] - z)
            turns = [first + math.radians(step.arc.sweep_deg) * k / 200 for k in range(1, 200)]
            points += [(z + step.arc.radius * math.cos(t), x + step.arc.radius * math.sin(t)) for t in turns]
        lines.append([*points, (step.end.z, step.end.x / 2)])
    return shapely.MultiLineString([line for line in lines if len(set(line)) > 1])


def check_mill(name: str, row: Row) -> None:
    d = switched(name, "mill", row)
    text = program(d, "mill")
    keys, _ = parted(row)
    plain = switched(name, "mill", keys | {"tool_change": "by hand"})
    want = mill_cuts(read_program(program(plain, "mill"), machine_for(plain.job, "mill")))
    reading = read_program(text, machine_for(d.job, "mill"))
    assert [f for f in reading.faults if f.severity is Severity.STOP] == []
    assert len(want) == 12
    told = tell(text, dict(row), lathe=False)
    assert told.ended
    second = [(c.tool, c.index, c.x, c.bottom) for c in told.cuts]
    for got in (mill_cuts(reading), second):
        assert [(g[0], round(g[1], 3)) for g in got] == [(w[0], round(w[1], 3)) for w in want]
        for g, w in zip(got, want, strict=True):
            assert g[2] == pytest.approx(w[2], abs=WITHIN)
            assert (g[3] is None) == (w[3] is None)
            assert g[3] is None or g[3] == pytest.approx(w[3], abs=WITHIN)
    check_dry_run(text, d, "mill")


def check_lathe(name: str, row: Row) -> None:
    d = switched(name, "lathe", row)
    text = program(d, "lathe")
    keys, _ = parted(row)
    plain = switched(name, "lathe", keys)
    want = lathe_paths(read_program(program(plain, "lathe"), machine_for(plain.job, "lathe")))
    reading = read_program(text, machine_for(d.job, "lathe"))
    assert [f for f in reading.faults if f.severity is Severity.STOP] == []
    told = tell(text, dict(row), lathe=True)
    assert told.ended
    assert told.spindle_at_cut == {d.job.lathe.turns}
    for got in (lathe_paths(reading), shapely.MultiLineString(told.paths)):
        assert shapely.hausdorff_distance(got, want) <= WITHIN
    assert told_order(told) == told_order(tell(program(plain, "lathe"), dict(keys), lathe=True))
    check_dry_run(text, d, "lathe")


def told_order(told: Told) -> list[tuple[float, float]]:
    """Where each pass ends, to a hundredth: the passes come in one order."""
    return [(round(p[-1][0], 2), round(p[-1][1], 2)) for p in told.paths]


def check_dry_run(text: str, d: Design, on: str) -> None:
    report = dry_run(text, d.job, on)  # type: ignore[arg-type]
    assert [f for f in report.findings if f.severity is Severity.STOP] == []


def rows(on: str) -> list[tuple[str, Row]]:
    axes = MILL if on == "mill" else LATHE
    made = [row for seed in SEEDS for row in pairwise(axes, seed)]
    return [(job, row) for row in made for job in JOBS]


@functools.cache
def all_rows() -> list[tuple[str, str, Row]]:
    return [(on, job, row) for on in ("mill", "lathe") for job, row in rows(on)]


def check(on: str, job: str, row: Row) -> None:
    (check_mill if on == "mill" else check_lathe)(job, row)


@pytest.mark.parametrize("on", ["mill", "lathe"])
@pytest.mark.outside("closed form: each pair of values of two axes stands in some row (pairwise covering array)")
def test_the_generator_covers_every_allowed_pair(on):
    axes = MILL if on == "mill" else LATHE
    made = pairwise(axes)
    seen = {frozenset(pair) for row in made for pair in itertools.combinations(row.items(), 2)}
    for a, b in itertools.combinations(axes, 2):
        for x, y in itertools.product(axes[a], axes[b]):
            assert (frozenset({(a, x), (b, y)}) in seen) == allowed({a: x, b: y})


@pytest.mark.parametrize("on", ["mill", "lathe"])
def test_some_of_every_pair_of_switches_cuts_the_same_metal(on):
    for k, (job, row) in enumerate(rows(on)):
        if k % 97 == 0:
            check(on, job, row)


@pytest.mark.slow
def test_every_pair_of_switches_cuts_the_same_metal_over_three_jobs():
    made = all_rows()
    assert len(made) >= 400
    for on, job, row in made:
        check(on, job, row)
