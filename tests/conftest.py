"""Shared by all tests: the count of checks held against something outside, printed at the end of a run."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from hypothesis import settings

# The same examples every time and no stop-watch: a busy machine must not fail a test.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")

ROOT = Path(__file__).resolve().parent.parent
_SOURCES: Counter[str] = Counter()


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    if report.when == "call" and report.passed:
        for name, value in report.user_properties:
            if name == "outside":
                _SOURCES[str(value)] += 1


@pytest.hookimpl
def pytest_runtest_setup(item: pytest.Item) -> None:
    for mark in item.iter_markers("outside"):
        if len(mark.args) != 1 or not str(mark.args[0]).strip():
            pytest.fail("outside() takes one argument, the source", pytrace=False)
        item.user_properties.append(("outside", mark.args[0]))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    terminalreporter.section("checks against something outside")
    for source, count in sorted(_SOURCES.items(), key=lambda row: (-row[1], row[0])):
        terminalreporter.write_line(f"{count:5}  {source}")
    terminalreporter.write_line(f"{sum(_SOURCES.values()):5}  in all, from {len(_SOURCES)} sources")


@pytest.fixture(scope="session")
def root() -> Path:
    """The project's folder."""
    return ROOT


@pytest.fixture(scope="session")
def jobs_folder(root: Path) -> Path:
    """The shipped job files."""
    return root / "jobs"
