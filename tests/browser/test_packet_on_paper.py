"""The packet as it is printed: pages, and a strip that measures right."""

from __future__ import annotations

import logging
import math
import xml.etree.ElementTree as ET
from pathlib import Path

import pdfplumber
import pytest
from playwright.sync_api import Browser

from gcodegen.job import load_job
from tests.browser.conftest import JOBS, Opened
from tests.cli.calling import call

logging.getLogger("pdfminer").setLevel(logging.ERROR)  # it tells at length of fonts that do not matter here
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
MM = 25.4 / 72  # of a point


@pytest.fixture(scope="module")
def printed(
    browser: Browser, packets: dict[str, Path], tmp_path_factory: pytest.TempPathFactory
) -> dict[tuple[str, str], Path]:
    folder = tmp_path_factory.mktemp("printed")
    found = {}
    for job in JOBS:
        with Opened(browser, packets[job]) as opened:
            for paper in PAPERS:
                found[job, paper] = folder / f"{job}-{paper}.pdf"
                opened.page.pdf(path=found[job, paper], format=paper, prefer_css_page_size=False)
    return found


@pytest.mark.outside(
    "ISO 216 and ANSI/ASME Y14.1, from memory: A4 is 210 x 297 mm, Letter 215.9 x 279.4 mm; pdfplumber reads them"
)
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("job", JOBS)
def test_a_common_job_prints_on_fewer_than_fourteen_pages_of_the_right_size(job: str, paper: str, printed) -> None:
    with pdfplumber.open(printed[job, paper]) as pdf:
        assert 5 < len(pdf.pages) < 14
        for page in pdf.pages:
            assert (float(page.width) * MM, float(page.height) * MM) == pytest.approx(PAPERS[paper], abs=0.5)
        assert all((page.extract_text() or "").strip() for page in pdf.pages)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("job", JOBS)
def test_every_page_carries_its_number_and_the_job_s_name(job: str, paper: str, printed, jobs_folder: Path) -> None:
    title = load_job(jobs_folder / f"{job}.toml").title
    with pdfplumber.open(printed[job, paper]) as pdf:
        texts = [page.extract_text() for page in pdf.pages]
    for number, text in enumerate(texts, start=1):
        assert f"{number} / {len(texts)}" in text, number
        assert title in text, number


@pytest.mark.outside("closed form: the circumference is pi D; pdfplumber measures the printed lines")
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("job", ["chuck-160", "chuck-6-hole-inch"])
def test_the_strip_measures_right_on_paper(job: str, paper: str, printed, jobs_folder: Path) -> None:
    loaded = load_job(jobs_folder / f"{job}.toml")
    circumference = math.pi * loaded.chuck.diameter
    pieces = math.ceil(circumference / 168)
    bar = 50.0 if loaded.unit == "mm" else 50.8
    lengths = []
    with pdfplumber.open(printed[job, paper]) as pdf:
        for page in pdf.pages:
            lengths += [abs(line["x1"] - line["x0"]) * MM for line in page.lines]
    assert sum(abs(length - circumference / pieces) < 0.2 for length in lengths) >= pieces
    assert sum(abs(length - bar) < 0.2 for length in lengths) >= pieces


def test_make_prints_the_packet_and_leaves_the_drawings_when_asked(
    browser: Browser, tmp_path: Path, jobs_folder: Path
) -> None:
    done = call("make", jobs_folder / "chuck-100.toml", "-o", tmp_path, "--pdf", "--drawings")
    assert done.code == 0
    assert "packet.pdf printed" in done.err
    with pdfplumber.open(tmp_path / "packet.pdf") as pdf:
        assert 5 < len(pdf.pages) < 14
    drawn = sorted(p.name for p in tmp_path.glob("*.svg"))
    assert {"rear-view.svg", "mill-setup.svg", "lathe-setup.svg", "strip-1.svg"} <= set(drawn)
    for name in drawn:
        assert ET.parse(tmp_path / name).getroot().tag.endswith("svg")


def test_without_a_chromium_the_packet_stands_and_make_says_so(
    tmp_path: Path, jobs_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    done = call("make", jobs_folder / "chuck-100.toml", "-o", tmp_path, "--pdf")
    assert done.code == 0
    assert "no Chromium" in done.err
    assert (tmp_path / "packet.html").is_file()
    assert not (tmp_path / "packet.pdf").exists()
