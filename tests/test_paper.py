"""The packet as PDF: where the browser fails or is not there, the page stands and it is said; no old PDF stays."""

from __future__ import annotations

from pathlib import Path

import pytest

from gcodegen.paper import BROWSERS, print_packet


@pytest.mark.parametrize(
    ("script", "said"),
    [
        (None, "there is no Chromium on this machine"),
        ("#!/bin/sh\nexit 3\n", "Chromium failed (CalledProcessError)"),
        ("#!/bin/sh\nexit 0\n", "Chromium failed (FileNotFoundError)"),
    ],
    ids=["none", "fails", "writes nothing"],
)
def test_without_a_pdf_the_page_stands_and_it_is_said(
    script: str | None, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    (tmp_path / "bin").mkdir()
    if script is not None:
        browser = tmp_path / "bin" / BROWSERS[0]
        browser.write_text(script)
        browser.chmod(0o755)
    page = tmp_path / "packet.html"
    page.write_text("<p>page</p>")
    (tmp_path / "packet.pdf").write_text("of another day")
    told = print_packet(page)
    assert told.startswith("no packet.pdf: ")
    assert said in told
    assert told.endswith("print packet.html from a browser")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["bin", "packet.html"]
