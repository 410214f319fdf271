"""The sheets' figures: touch-off values, ways round the body, torques, forms."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from pathlib import Path

import pytest

from gcodegen.design import design
from gcodegen.dryrun.report import Report
from gcodegen.job import load_job, read_job
from gcodegen.make import make
from gcodegen.operations import plan_lathe, plan_mill
from gcodegen.packet import Program, write_packet
from gcodegen.packet.figures import NBSP, Figures, plain
from gcodegen.packet.labels import Column, Label, set_column
from gcodegen.packet.lathe_sheet import pass_table
from gcodegen.packet.mill_sheet import mark_of_screw_1, operation_table, touch_offs
from gcodegen.packet.shop_lists import inspection
from gcodegen.packet.svg import Drawing, num
from gcodegen.packet.table import Table
from gcodegen.verdict import Finding, Severity


def with_lines(jobs_folder: Path, *changes: tuple[str, str], name: str = "chuck-160") -> str:
    text = (jobs_folder / f"{name}.toml").read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return text


@pytest.mark.parametrize(("rear", "value", "hole"), [("-X", -2.5, 5.7), ("+X", 2.5, -5.7)])
@pytest.mark.outside("common practice, no source")
def test_x_is_set_to_half_the_edge_finder_on_the_outside(jobs_folder: Path, rear: str, value: float, hole: float):
    d = design(read_job(with_lines(jobs_folder, ('rear_face = "-X"', f'rear_face = "{rear}"'))))
    row = touch_offs(d, plan_mill(d)).rows[0]
    assert row[2] == f"X{NBSP}={NBSP}{value:.3f}{NBSP}mm"
    assert f"X {hole:.3f}{NBSP}mm" in row[3]


@pytest.mark.outside("closed form: arc = radius x angle in radians; chord = 2 radius sin(angle / 2)")
def test_tape_and_dividers_find_the_mark(jobs_folder: Path):
    d = design(load_job(jobs_folder / "chuck-160.toml"))
    assert d.layout.angles[0] == pytest.approx(15.0)
    rows = mark_of_screw_1(d).rows
    ways = [float(row[2].split(NBSP)[0]) for row in rows]
    assert ways[0] == pytest.approx(math.pi * 160 * 15 / 360, abs=0.006)
    assert sum(ways) == pytest.approx(math.pi * 160, abs=0.011)
    # The chord of 15 degrees by the half-angle: sin 7.5 degrees = 0.1305262.
    assert float(rows[0][3].split(NBSP)[0]) == pytest.approx(160 * 0.1305262, abs=0.006)
    assert rows[1][3] == "go the other way"  # 345 degrees: dividers would step off the shorter way


@pytest.mark.parametrize("name", ["chuck-160", "chuck-250", "chuck-6-hole-inch"])
def test_speeds_and_depths_of_the_operation_list_stand_in_the_program(jobs_folder: Path, name: str):
    made = make(load_job(jobs_folder / f"{name}.toml"))
    table = operation_table(made.design, plan_mill(made.design))
    program = made.files["mill.nc"]
    for row in table.rows:
        if "spindle" in row[5]:
            continue
        assert re.search(rf"\bS{row[5].split(NBSP)[0]}\b", program), row
        depth = float(row[4].split(NBSP)[0])
        assert any(abs(float(z) - depth) < 0.00051 for z in re.findall(r"Z-(\d+\.\d+)", program)), row


@pytest.mark.parametrize("name", ["chuck-160", "chuck-6-hole-inch"])
def test_the_points_of_the_pass_list_stand_in_the_program(jobs_folder: Path, name: str):
    made = make(load_job(jobs_folder / f"{name}.toml"))
    words = {float(w) for w in re.findall(r"\b[XZ](-?\d+\.\d+)", made.files["lathe.nc"])}
    for row in pass_table(made.design, plan_lathe(made.design)).rows:
        for figure in re.findall(rf"[XZ]{NBSP}(-?\d+\.\d+)", row[2]):
            assert min(abs(float(figure) - w) for w in words) < 1.1e-3, row


@pytest.mark.outside("NIST SP 811, appendix B.8: 1 lbf in = 0.1129848 N m, from memory")
def test_torque_in_inches_is_shown_in_both_and_never_rounded_up():
    assert Figures("in").torque(112.9848 * 10) == "9.91 lbf in (1.12 N m)"
    assert Figures("in").torque(112.9 * 100) == "99.9 lbf in (11.29 N m)"
    assert Figures("mm").torque(919.9) == "0.91 N m"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (2500.0, "2500"),
        (22.572, "22.57"),
        (0.12281, "0.123"),
        (-0.0, "0"),
        (911.5, "911.5"),
        (1395.0, "1395"),
        (3.0, "3"),
    ],
)
def test_a_number_has_the_decimals_its_size_deserves(value: float, text: str):
    assert plain(value) == text


@pytest.mark.parametrize(("value", "text"), [(-0.0001, "0"), (12.5, "12.5"), (3.0, "3"), (-1.23456, "-1.235")])
def test_a_coordinate_on_paper_has_no_needless_digits(value: float, text: str):
    assert num(value) == text


def test_an_inch_job_shows_its_lengths_in_inches(jobs_folder: Path):
    page = make(load_job(jobs_folder / "chuck-6-hole-inch.toml")).files["packet.html"]
    sheets = page[page.index('id="glance"') : page.index('id="decisions"')]
    assert f"4.000{NBSP}in diameter" in sheets
    assert not re.search(rf"\d[ {NBSP}]mm\b", sheets)


def test_the_form_has_room_for_the_pen_in_every_row(jobs_folder: Path):
    form = inspection(design(load_job(jobs_folder / "chuck-160.toml")))
    assert len(form.rows) >= 15
    assert all(row[3:] == ("", "") for row in form.rows)


def test_a_table_with_a_short_row_is_refused():
    with pytest.raises(ValueError, match="2 columns, but a row has 1"):
        Table(caption="x", head=("a", "b"), rows=(("1",),))


def test_labels_that_point_at_one_place_are_pushed_apart():
    drawing = Drawing("x", "x", 100, 60)
    column = Column(side="right", x=60.0, width=30.0, top=0.0, bottom=60.0)
    set_column(drawing, column, [Label((10.0, 30.0), f"label {k}") for k in range(6)])
    heights = sorted(float(y) for y in re.findall(r'<text x="60" y="([\d.]+)"', drawing.markup()))
    assert len(heights) == 6
    assert min(b - a for a, b in pairwise(heights)) >= 4.0


def test_every_section_of_the_page_is_there_once_and_in_order(jobs_folder: Path):
    page = make(load_job(jobs_folder / "too-thin.toml")).files["packet.html"]
    found = re.findall(r'<section id="([\w-]+)"', page)
    assert found == [
        "not-fit", "cautions", "glance", "decisions", "drawings", "mill", "lathe", "dry-run", "bench", "inspection",
        "step-mill", "step-lathe", "reasons",
    ]  # fmt: skip
    assert set(re.findall(r'href="#([\w-]+)"', page)) <= set(found)


def test_a_program_and_its_findings_are_shown_as_they_are_and_escaped(jobs_folder: Path):
    d = design(load_job(jobs_folder / "chuck-160.toml"))
    finding = Finding(code="x", severity=Severity.STOP, line=1, says="reads <b>", do="Mend <i>", block="(<script>)")
    report = Report(program="own.nc", on="mill", blocks=1, motions=0, minutes=0.0, findings=(finding,))
    program = Program(name="own.nc", on="mill", text="(<script> & co)\nM30\n", report=report)
    page = write_packet(d, plan_mill(d), plan_lathe(d), (program,))
    assert "<code>(&lt;script&gt; &amp; co)</code>" in page
    assert "<code>M30</code>" in page
    assert "own.nc, line 1: reads &lt;b&gt;. Mend &lt;i&gt;" in page[: page.index(">Cautions<")]
    assert not re.search(r"<(script> &|b>\.|i>)", page)
