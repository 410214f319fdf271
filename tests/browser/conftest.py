"""A real headless Chromium for the packet. Where the machine has none, these tests say so and are left out;
GCODEGEN_BROWSER=needed makes that a failure instead, as in .ci/run."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("playwright", reason="the browser tests need playwright")

from playwright.sync_api import Browser, Page, sync_playwright

from gcodegen.job import load_job
from gcodegen.make import make

SWITCHES = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
JOBS = ("chuck-160", "chuck-250", "chuck-6-hole-inch", "too-thin")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    where = shutil.which("chromium") or shutil.which("chromium-browser")
    if where is None:
        if os.environ.get("GCODEGEN_BROWSER") == "needed":
            pytest.fail("no Chromium on this machine: install Debian's package chromium")
        # A newcomer without a browser may run the tests; .ci/run installs one and takes no excuse.
        pytest.skip("no Chromium on this machine")
    with sync_playwright() as driver:
        running = driver.chromium.launch(executable_path=where, args=list(SWITCHES))
        yield running
        running.close()


@pytest.fixture(scope="session")
def packets(tmp_path_factory: pytest.TempPathFactory, jobs_folder: Path) -> dict[str, Path]:
    """The packet's file of each job."""
    folder = tmp_path_factory.mktemp("packets")
    found = {}
    for name in JOBS:
        found[name] = folder / f"{name}.html"
        found[name].write_text(make(load_job(jobs_folder / f"{name}.toml")).files["packet.html"], encoding="utf-8")
    return found


class Opened:
    """A page with what it asked for and what went wrong in it."""

    def __init__(self, browser: Browser, file: Path, width: int = 1000, scheme: str = "light") -> None:
        self.page: Page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
        self.wrong: list[str] = []
        self.asked: list[str] = []
        self.page.on("pageerror", lambda error: self.wrong.append(str(error)))
        self.page.on("console", lambda said: self.wrong.append(said.text) if said.type == "error" else None)
        self.page.on("request", lambda request: self.asked.append(request.url))
        self.page.goto(file.as_uri())

    def __enter__(self) -> Opened:
        return self

    def __exit__(self, *_: object) -> None:
        self.page.close()
