"""Runs chosen tests on the spoilt program, each time in a process of its own, and says whether one noticed."""

from __future__ import annotations

import importlib.abc
import importlib.util
import io
import os
import signal
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType

import pytest

from tests.mutation.changes import Change, spoilt
from tests.mutation.swapping import ROOT, loaded, put

PATIENCE = 90  # seconds after which a run counts as noticed: it hangs
OPTIONS = ["-q", "-p", "no:cacheprovider", "-p", "no:cov", "-p", "no:xdist", "-m", "slow or not slow"]
Found = Callable[[Change, bool], None]


def noticed(act: Callable[[], bool]) -> bool:
    """Do something in a child of this process; whether it says that a test failed, or fails or hangs itself."""
    child = os.fork()
    if child == 0:
        signal.alarm(PATIENCE)
        failed = True
        try:
            failed = act()
        finally:
            os._exit(1 if failed else 0)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status) != 0


def try_imported(change: Change, tests: list[str]) -> bool:
    """Import the program with the fault and run the tests: for what is worked out once, when a module is loaded."""

    def act() -> bool:
        sys.meta_path.insert(0, _Spoilt(change))
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        return int(pytest.main(["-x", *OPTIONS, *tests])) != 0

    return noticed(act)


def try_swapped(wanted: list[tuple[Change, list[str]]], found: Found) -> None:
    """Gather all tests once, then run those of each fault with the fault in the functions that are loaded."""
    files = sorted({test.partition("::")[0] for _, tests in wanted for test in tests})
    code = pytest.main([*OPTIONS, *files], plugins=[_Trials(wanted, found)])
    if code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
        raise SystemExit(f"the tests could not be gathered: {code}")


@dataclass
class _Trials:
    wanted: list[tuple[Change, list[str]]]
    found: Found

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items, functions = {item.nodeid: item for item in session.items}, loaded()
        for change, tests in self.wanted:

            def act(change: Change = change, tests: Iterable[str] = tests) -> bool:
                if not put(change, functions):
                    raise LookupError(f"{change}: its function is not loaded")
                session.config.get_terminal_writer()._file = io.StringIO()  # nothing is told
                for test in tests:
                    if test in items:
                        items[test].config.hook.pytest_runtest_protocol(item=items[test], nextitem=None)
                    if session.testsfailed:
                        return True
                return False

            self.found(change, noticed(act))
        return True


@dataclass(frozen=True)
class _Spoilt(importlib.abc.MetaPathFinder):
    """Gives the module its spoilt code when it is imported."""

    change: Change

    def find_spec(self, fullname: str, path: object = None, target: object = None) -> ModuleSpec | None:
        file = ROOT / self.change.path
        name = self.change.path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        if fullname != name:
            return None
        return importlib.util.spec_from_file_location(fullname, file, loader=_Loader(fullname, str(file), self.change))


class _Loader(SourceFileLoader):
    def __init__(self, fullname: str, path: str, change: Change) -> None:
        super().__init__(fullname, path)
        self._change = change

    def get_code(self, fullname: str) -> CodeType:
        text = Path(self.path).read_text(encoding="utf-8")
        return compile(spoilt(text, self._change.number), self.path, "exec")
