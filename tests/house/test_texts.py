"""Texts of the house and of what it makes: no machine's own paths, no dates, nothing too long."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.cli.calling import call

MOST_LINES = 400
_FOLDERS = ("gcodegen", "tests", "jobs", "post_templates", "docs", ".ci")
_KINDS = {".py", ".toml", ".j2", ".md", ".nc", ".txt", ".sh", ".css", ""}
_MACHINE_PATH = re.compile(r"(?<![\w.$}])/(?:home|Users|root|work|tmp|mnt|opt|srv|private)/\w|\b[A-Z]:\\\w")
_DATE = re.compile(r"\b(?:19|20)\d\d-[01]\d-[0-3]\d\b|\b[0-2]\d:[0-5]\d:[0-5]\d\b")


def _texts(root: Path) -> list[Path]:
    found = [p for p in root.iterdir() if p.is_file() and p.suffix in _KINDS and p.name != ".coverage"]
    for folder in _FOLDERS:
        found += [p for p in (root / folder).rglob("*") if p.is_file() and p.suffix in _KINDS]
    return [p for p in found if "__pycache__" not in p.parts]


def test_no_text_names_a_path_of_somebody_s_machine(root: Path) -> None:
    texts = _texts(root)
    assert len(texts) > 150
    named = [
        f"{path.relative_to(root)}:{number}: {line.strip()[:80]}"
        for path in texts
        for number, line in enumerate(
            path.read_text(encoding="utf-8", errors="replace").splitlines(), 1
        )  # some are what a fuzzer found
        if _MACHINE_PATH.search(line)
    ]
    assert named == []


def test_no_source_is_longer_than_a_reader_can_hold(root: Path) -> None:
    sources = [p for p in _texts(root) if p.suffix in {".py", ".j2"}]
    assert len(sources) > 150
    long = [str(p) for p in sources if len(p.read_text(encoding="utf-8").splitlines()) > MOST_LINES]
    assert long == []


@pytest.mark.parametrize("job", ["chuck-125", "chuck-6-hole-inch", "too-thin"])
def test_what_is_made_tells_no_date_no_path_and_no_place(job: str, root: Path, tmp_path: Path) -> None:
    call("make", root / "jobs" / f"{job}.toml", "-o", tmp_path)
    files = sorted(tmp_path.iterdir())
    assert len(files) == 5
    for file in files:
        text = file.read_text(encoding="utf-8")
        assert _DATE.search(text) is None, file.name
        assert _MACHINE_PATH.search(text) is None, file.name
        assert str(tmp_path) not in text
        assert str(root) not in text


@pytest.mark.parametrize("job", ["chuck-125", "chuck-160", "chuck-6-hole-inch", "too-thin"])
def test_programs_are_plain_printable_ascii_in_short_lines(job: str, root: Path, tmp_path: Path) -> None:
    call("make", root / "jobs" / f"{job}.toml", "-o", tmp_path)
    for file in tmp_path.glob("*.nc"):
        lines = file.read_bytes().decode("ascii").splitlines()
        assert all(line.isprintable() and len(line) <= 80 for line in lines), file.name


def test_the_packet_asks_nothing_of_any_other_machine(root: Path, tmp_path: Path) -> None:
    call("make", root / "jobs" / "chuck-160.toml", "-o", tmp_path)
    page = (tmp_path / "packet.html").read_text(encoding="utf-8")
    outside = re.findall(r"""(?:src|href|action)\s*=\s*["']?(?!#|data:)([^"'\s>]+)""", page, re.IGNORECASE)
    assert outside == []
    assert re.search(r"@import|url\(\s*['\"]?(?!#|data:)", page) is None
    assert page.count("<html") == page.count("</html>") == 1
