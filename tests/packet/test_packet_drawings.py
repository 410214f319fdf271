"""Drawings true to scale, sides that are right, labels that do not cover each other."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import pytest
from shapely.geometry import Point, Polygon

from gcodegen.design import design
from gcodegen.design.result import Design
from gcodegen.job import load_job, read_job
from gcodegen.operations import plan_lathe
from gcodegen.packet.detail import detail
from gcodegen.packet.lathe_setup import lathe_setup
from gcodegen.packet.margin_curve import margin_curve
from gcodegen.packet.mill_setup import mill_setup
from gcodegen.packet.rear_view import rear_view
from gcodegen.packet.section import section_at_bolt, section_at_screw
from gcodegen.packet.svg import Drawing, text_width

JOBS = ("chuck-100", "chuck-125", "chuck-160", "chuck-200", "chuck-250", "chuck-6-hole-inch", "too-thin")
ON_PAPER = 0.003  # coordinates are rounded to a thousandth of a millimetre on paper


def decided(jobs_folder: Path, name: str) -> Design:
    return design(load_job(jobs_folder / f"{name}.toml"))


def drawings(d: Design) -> tuple[Drawing, ...]:
    plain = (rear_view, margin_curve, section_at_screw, section_at_bolt, detail, mill_setup)
    return (*(draw(d) for draw in plain), lathe_setup(d, plan_lathe(d)))


def parts(drawing: Drawing, what: str) -> list[ET.Element]:
    return [e for e in ET.fromstring(drawing.markup()).iter() if e.get("data-what") == what]


def points(element: ET.Element) -> list[tuple[float, float]]:
    pairs = (p.split(",") for p in element.get("points", "").split())
    return [(float(x), float(y)) for x, y in pairs]


def all_points(drawing: Drawing, what: str) -> list[tuple[float, float]]:
    return [p for element in parts(drawing, what) for p in points(element)]


def scale_of(drawing: Drawing, unit: str) -> float:
    """Return millimetres on paper for each real one, as the scale bar and its own text say."""
    bar = points(parts(drawing, "scale-bar")[0])
    texts = ["".join(t.itertext()) for t in ET.fromstring(drawing.markup()).iter("text")]
    says = next(t for t in texts if "scale" in t)
    real = float(says.split()[0]) * (25.4 if unit == "in" else 1.0)
    found = (max(x for x, _ in bar) - min(x for x, _ in bar)) / real
    top, bottom = re.search(r"scale ([\d.]+) : ([\d.]+)", says).groups()
    assert found == pytest.approx(float(top) / float(bottom), rel=1e-3)
    return found


@pytest.mark.parametrize("name", JOBS)
def test_the_four_screws_lie_at_their_angles_and_their_length_is_to_scale(jobs_folder: Path, name: str):
    d = decided(jobs_folder, name)
    drawing = rear_view(d)
    scale = scale_of(drawing, d.job.unit)
    body = parts(drawing, "body")[0]
    cx, cy = float(body.get("cx")), float(body.get("cy"))
    assert float(body.get("r")) / scale == pytest.approx(d.job.chuck.diameter / 2, rel=1e-3)
    for number, theta in enumerate(d.layout.angles, start=1):
        corners = points(parts(drawing, f"screw-{number}")[0])
        mx, my = (sum(c[k] for c in corners) / 4 for k in (0, 1))
        assert math.degrees(math.atan2(cy - my, mx - cx)) % 360 == pytest.approx(theta, abs=0.02)
        assert math.dist(corners[0], corners[1]) / scale == pytest.approx(d.screw.length, rel=2e-3)
        assert math.dist(corners[1], corners[2]) / scale == pytest.approx(d.screw.thread.major_mm, rel=3e-3)


@pytest.mark.parametrize("name", ["chuck-125", "chuck-200", "chuck-6-hole-inch"])
def test_the_line_of_the_least_wall_is_as_long_as_the_wall(jobs_folder: Path, name: str):
    d = decided(jobs_folder, name)
    drawing = rear_view(d)
    (line,) = parts(drawing, "least-wall")
    on_screw, on_bolt = ((float(line.get(f"x{k}")), float(line.get(f"y{k}"))) for k in (1, 2))
    scale = scale_of(drawing, d.job.unit)
    assert math.dist(on_screw, on_bolt) / scale == pytest.approx(d.layout.least_wall, abs=0.03)
    bolts = [(float(b.get("cx")), float(b.get("cy"))) for b in parts(drawing, "mounting bolt")]
    crest = d.job.backplate.bolts.row.major_mm / 2
    assert min(math.dist(on_bolt, b) for b in bolts) / scale == pytest.approx(crest, abs=0.03)
    screws = [Polygon(points(parts(drawing, f"screw-{n}")[0])).exterior for n in range(1, 5)]
    assert min(screw.distance(Point(on_screw)) for screw in screws) / scale < 0.03


@pytest.mark.parametrize("name", ["chuck-100", "chuck-160"])
def test_a_wall_that_runs_along_the_axis_is_not_drawn_square_to_it(jobs_folder: Path, name: str):
    d = decided(jobs_folder, name)
    assert d.layout.feature == "scroll chamber"
    assert parts(rear_view(d), "least-wall") == []


@pytest.mark.parametrize("name", JOBS)
def test_the_section_is_to_scale(jobs_folder: Path, name: str):
    d = decided(jobs_folder, name)
    drawing = section_at_screw(d)
    scale = scale_of(drawing, d.job.unit)
    screw = all_points(drawing, "screw")
    high = max(y for _, y in screw) - min(y for _, y in screw)
    wide = max(x for x, _ in screw) - min(x for x, _ in screw)
    assert high / scale == pytest.approx(d.screw.length, abs=2 * ON_PAPER / scale)
    assert wide / scale == pytest.approx(d.screw.thread.major_mm, abs=2 * ON_PAPER / scale)
    axis = (max(x for x, _ in screw) + min(x for x, _ in screw)) / 2
    # The lowest of the screw is its tip on the spigot; the highest of the plate is its outside.
    plate = all_points(drawing, "plate")
    tip, outside = max(y for _, y in screw), min(y for _, y in plate)
    assert (tip - outside) / scale == pytest.approx(
        d.job.backplate.diameter / 2 - d.spigot.diameter / 2, abs=2 * ON_PAPER / scale
    )
    spigot_end = max(x for x, _ in plate)
    assert (spigot_end - axis) / scale == pytest.approx(d.spigot.length - d.layout.setback, abs=2 * ON_PAPER / scale)


@pytest.mark.parametrize("name", JOBS)
def test_the_bolt_reaches_as_deep_as_the_design_says(jobs_folder: Path, name: str):
    d = decided(jobs_folder, name)
    drawing = section_at_bolt(d)
    scale = scale_of(drawing, d.job.unit)
    plate, bolt = all_points(drawing, "plate"), all_points(drawing, "bolt")
    seat = max(x for x, _ in plate) - d.spigot.length * scale
    reach = next(x for x in d.decisions if x.id == "bolt-reach").value
    assert (max(x for x, _ in bolt) - seat) / scale == pytest.approx(reach, abs=2 * ON_PAPER / scale)


@pytest.mark.parametrize("name", JOBS)
def test_the_gap_in_the_detail_is_to_scale(jobs_folder: Path, name: str):
    d = decided(jobs_folder, name)
    drawing = detail(d)
    scale = scale_of(drawing, d.job.unit)
    tip = max(y for _, y in all_points(drawing, "screw"))
    # The recess wall is the chuck's lowest edge on the seat's side of the screw.
    screw_left = min(x for x, _ in all_points(drawing, "screw"))
    wall = max(y for x, y in all_points(drawing, "chuck") if x < screw_left + 0.01)
    assert (tip - wall) / scale == pytest.approx(d.float_room.register_gap, abs=2 * ON_PAPER / scale)


@pytest.mark.parametrize("name", ["chuck-100", "chuck-160", "chuck-6-hole-inch"])
def test_the_lathe_drawing_shows_how_far_the_seat_goes_back(jobs_folder: Path, name: str):
    d = decided(jobs_folder, name)
    drawing = lathe_setup(d, plan_lathe(d))
    scale = scale_of(drawing, d.job.unit)
    old, new = all_points(drawing, "before"), all_points(drawing, "plate")
    top = min(y for _, y in new)
    seat_after = max(x for x, y in new if abs(y - top) < ON_PAPER)
    seat_before = min(x for x, _ in old)
    assert (seat_before - seat_after) / scale == pytest.approx(d.spigot.faced_back, abs=2 * ON_PAPER / scale)
    zero = parts(drawing, "zero")[0]
    assert float(zero.get("cx")) == pytest.approx(max(x for x, _ in new), abs=ON_PAPER)


@pytest.mark.parametrize("rear", ["-X", "+X"])
def test_the_edge_finder_stands_outside_of_the_rear_face(jobs_folder: Path, rear: str):
    text = (jobs_folder / "chuck-160.toml").read_text().replace('rear_face = "-X"', f'rear_face = "{rear}"')
    d = design(read_job(text))
    drawing = mill_setup(d)
    body, finder = points(parts(drawing, "side")[0]), points(parts(drawing, "edge-finder")[0])
    face = min(x for x, _ in body) if rear == "-X" else max(x for x, _ in body)
    touching = max(x for x, _ in finder) if rear == "-X" else min(x for x, _ in finder)
    assert touching == pytest.approx(face, abs=2 * ON_PAPER)
    hole = float(parts(drawing, "hole-axis")[0].get("x1"))
    assert abs(hole - face) / scale_of(drawing, "mm") == pytest.approx(d.layout.setback, abs=0.02)
    assert min(x for x, _ in body) < hole < max(x for x, _ in body)


@pytest.mark.parametrize(("rear", "y_is"), [("-X", -1), ("+X", 1)])
@pytest.mark.outside("closed form: a right-handed frame, X x Y = Z (ISO 841)")
def test_y_points_the_right_way_in_the_view_on_the_rear_face(jobs_folder: Path, rear: str, y_is: int):
    # Who looks at the rear face looks along +X when it looks to -X; right is then forward x up = -Y.
    text = (jobs_folder / "chuck-160.toml").read_text().replace('rear_face = "-X"', f'rear_face = "{rear}"')
    drawing = mill_setup(design(read_job(text)))
    texts = {t.text: (float(t.get("x")), t) for t in ET.fromstring(drawing.markup()).iter("text")}
    ups = [float(t.get("x")) for t in ET.fromstring(drawing.markup()).iter("text") if t.text == "+Z"]
    assert math.copysign(1, texts["+Y"][0] - max(ups)) == y_is


@pytest.mark.parametrize("name", JOBS)
def test_the_curve_reaches_its_height_at_the_chosen_angle(jobs_folder: Path, name: str):
    d = decided(jobs_folder, name)
    drawing = margin_curve(d)
    (chosen,) = parts(drawing, "chosen")
    curve = points(parts(drawing, "curve")[0])
    x, y = float(chosen.get("cx")), float(chosen.get("cy"))
    before, after = next((a, b) for a, b in pairwise(curve) if a[0] <= x <= b[0])
    between = before[1] + (after[1] - before[1]) * (x - before[0]) / max(after[0] - before[0], 1e-9)
    assert y == pytest.approx(between, abs=0.3)
    assert y == pytest.approx(min(p[1] for p in curve), abs=0.3)


@pytest.mark.parametrize("name", JOBS)
def test_no_text_covers_another_or_leaves_the_paper(jobs_folder: Path, name: str):
    for drawing in drawings(decided(jobs_folder, name)):
        boxes = [_box(t) for t in ET.fromstring(drawing.markup()).iter("text")]
        for left, top, right, bottom, says in boxes:
            assert left >= -2, (drawing.name, says)
            assert right <= drawing.width + 2, (drawing.name, says)
            assert top >= -0.5, (drawing.name, says)
            assert bottom <= drawing.height + 0.5, (drawing.name, says)
        for k, a in enumerate(boxes):
            for b in boxes[k + 1 :]:
                apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
                assert apart, (drawing.name, a[4], b[4])


def _box(text: ET.Element) -> tuple[float, float, float, float, str]:
    """Return about the box that a text takes: its letters' height above the base line, a little below."""
    says = "".join(text.itertext())
    x, y, wide = float(text.get("x")), float(text.get("y")), 0.92 * text_width(says)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[text.get("text-anchor")]
    return left, y - 2.4, left + wide, y + 0.6, says


def test_the_margin_curve_of_the_small_chuck_as_it_was_last_looked_at(jobs_folder: Path, snapshot):
    assert margin_curve(decided(jobs_folder, "too-thin")).markup() == snapshot


def test_a_name_from_the_job_is_escaped_in_a_drawing(jobs_folder: Path):
    text = (jobs_folder / "chuck-160.toml").read_text().replace('"pinion bore"', "\"<b> & 'co'\"")
    markup = rear_view(design(read_job(text))).markup()
    assert "<b>" not in markup
    assert any("<b>" in "".join(t.itertext()) for t in ET.fromstring(markup).iter("text"))
