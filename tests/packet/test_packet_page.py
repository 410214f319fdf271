"""The packet: one whole page, cautions first, nothing from outside, drawings true to scale."""

from __future__ import annotations

import base64
import hashlib
import html
import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from gcodegen.design import design
from gcodegen.job import load_job, read_job
from gcodegen.make import make
from gcodegen.packet.rear_view import rear_view
from gcodegen.packet.section import section_at_screw

SVG = re.compile(r"<svg .*?</svg>", re.DOTALL)
JOBS = ("chuck-100", "chuck-160", "chuck-250", "chuck-6-hole-inch", "too-thin")


@pytest.fixture(scope="module")
def page(jobs_folder: Path) -> str:
    return make(load_job(jobs_folder / "chuck-160.toml")).files["packet.html"]


@pytest.mark.parametrize("name", JOBS)
def test_a_packet_needs_nothing_from_outside_and_is_the_same_each_time(jobs_folder: Path, name: str):
    job = load_job(jobs_folder / f"{name}.toml")
    text = make(job).files["packet.html"]
    assert text == make(job).files["packet.html"]
    assert not re.search(r"https?:|src\s*=|url\((?!#)|@import|<link", text)


@pytest.mark.outside("from memory of W3C Content Security Policy Level 3, section 8.3: a hash is sha256, in base64")
def test_no_script_or_style_runs_but_the_two_that_the_page_s_own_policy_names(page: str):
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', page)[1]
    policy = html.unescape(policy)
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    for tag, count in (("style", 1), ("script", 2)):
        inside = re.findall(rf"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
        digests = [base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in inside]
        assert len(digests) == count
        named = " ".join(f"'sha256-{digest}'" for digest in digests)
        assert f"{tag}-src {named};" in policy
    assert not re.search(r"\son\w+\s*=|javascript:|\sstyle\s*=", page)


def test_the_cautions_come_before_every_other_section(page: str):
    order = [page.index(f">{head}<") for head in ("Cautions", "The job at a glance", "Set-up of the mill")]
    assert order == sorted(order)
    first = page[: order[1]]
    # closed form of ISO 21940-11: 9549 x 6.3 / 45 um, half of the worst run-out
    assert first.index("Run it at most at 1336 rev/min") < first.index("never above 2500 rev/min")


def test_a_speed_limit_that_is_not_known_is_said_to_be_unknown(jobs_folder: Path):
    text = (jobs_folder / "chuck-160.toml").read_text().replace("speed_limit_rpm = 2500", "# no marking")
    made = make(read_job(text)).files["packet.html"]
    assert "The highest speed of this chuck is not known" in made
    assert "2500 rev/min" not in made


def test_what_looks_like_a_slip_stands_on_the_first_page_and_nothing_where_nothing_does(jobs_folder: Path, page: str):
    text = (jobs_folder / "chuck-160.toml").read_text()
    doubted = read_job(text.replace("run_out = 0.09", "run_out = 0.9"))
    assert doubted.doubts
    made = make(doubted).files["packet.html"]
    told = html.unescape(made)
    assert told.index("Sound, but look at this first") < told.index("In this packet")
    for doubt in doubted.doubts:
        assert str(doubt) in told
    assert "look at this first" not in page


def test_a_refused_job_says_so_at_the_head(jobs_folder: Path):
    text = make(load_job(jobs_folder / "too-thin.toml")).files["packet.html"]
    assert text.index("NOT FIT TO RUN") < text.index(">Cautions<")


def test_text_from_the_job_cannot_become_markup(jobs_folder: Path):
    text = (jobs_folder / "chuck-160.toml").read_text()
    text = text.replace('"Shop chuck 160"', '"<script>alert(1)</script> & co"').replace('"cover screw"', '"<b>x</b>"')
    made = make(read_job(text)).files["packet.html"]
    assert "<script>alert" not in made
    assert "<b>x</b>" not in made
    assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; co" in made


@pytest.mark.parametrize("name", JOBS)
def test_every_drawing_is_well_formed_and_has_a_title(jobs_folder: Path, name: str):
    drawings = SVG.findall(make(load_job(jobs_folder / f"{name}.toml")).files["packet.html"])
    assert len(drawings) >= 5
    for drawing in drawings:
        root = ET.fromstring(drawing)
        assert root.find("title").text
        assert root.get("id") is None or root.find("desc").text  # bars and live views have a title alone
        assert not re.search(r"nan|inf\b", drawing)


@pytest.mark.parametrize("name", ["chuck-100", "chuck-160", "chuck-6-hole-inch"])
def test_the_rear_view_is_true_to_scale(jobs_folder: Path, name: str):
    decided = design(load_job(jobs_folder / f"{name}.toml"))
    root = ET.fromstring(rear_view(decided).markup())
    radius = {c.get("data-what"): float(c.get("r")) for c in root.iter("circle") if c.get("data-what")}
    chuck = decided.job.chuck
    scale = radius["body"] / chuck.radius
    assert radius["recess"] / scale == pytest.approx(chuck.recess_radius, rel=2e-4)
    assert radius["spigot"] / scale == pytest.approx(decided.spigot.diameter / 2, rel=2e-4)
    assert radius["bolt-circle"] / scale == pytest.approx(decided.job.backplate.bolts.circle / 2, rel=2e-4)
    body = next(c for c in root.iter("circle") if c.get("data-what") == "body")
    bolts = [c for c in root.iter("circle") if c.get("data-what") == "mounting bolt"]
    assert len(bolts) == decided.job.backplate.bolts.count
    dx, dy = (float(bolts[0].get(k)) - float(body.get(k)) for k in ("cx", "cy"))
    first = decided.job.backplate.bolts.places_deg[0]
    assert (math.degrees(math.atan2(-dy, dx)) - first + 180) % 360 - 180 == pytest.approx(0, abs=0.02)


def test_the_section_shows_the_setback_and_the_new_spigot(jobs_folder: Path):
    decided = design(load_job(jobs_folder / "chuck-160.toml"))
    texts = " ".join("".join(t.itertext()) for t in ET.fromstring(section_at_screw(decided).markup()).iter("text"))
    assert f"{decided.layout.setback:.2f}" in texts
    assert "8.20" in texts
    assert "123.97 mm" in texts


def test_every_decision_and_both_programs_are_on_the_page(jobs_folder: Path):
    made = make(load_job(jobs_folder / "chuck-160.toml"))
    page = made.files["packet.html"]
    plain = html.unescape(re.sub(r"<[^>]+>", " ", page))
    assert [d.id for d in made.design.decisions if d.what[1:] not in plain] == []
    for name in ("mill.nc", "lathe.nc"):
        assert "M30" in page[page.index(name) :]
