"""Finds which tests come by a fault, and runs them with the fault in place, each time in a process of its own."""

from __future__ import annotations

import builtins
import importlib.abc
import importlib.util
import io
import json
import os
import signal
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType
from typing import TextIO

import pytest

from tests.mutation.changes import Change, spoilt
from tests.mutation.swapping import ROOT, WIRE, Loaded, inside_a_function, loaded, module_of, put, wired, work_out_again

PATIENCE = 90  # seconds after which a run counts as noticed: it hangs
OPTIONS = ["-q", "-p", "no:cacheprovider", "-p", "no:cov", "-p", "no:xdist"]


def in_a_child(act: Callable[[], bool], patience: int = PATIENCE) -> bool:
    """Do something in a child of this process; whether it says so, or fails or hangs itself."""
    child = os.fork()
    if child == 0:
        signal.alarm(patience)
        failed = True
        try:
            failed = act()
        finally:
            os._exit(1 if failed else 0)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status) != 0


def imported_is_noticed(change: Change, tests: Sequence[str]) -> bool:
    """Import the program with the fault and run the tests: for what is worked out once, when a module is loaded."""

    def act() -> bool:
        sys.meta_path.insert(0, _Spoilt(change))
        _be_silent()
        return int(pytest.main(["-x", *OPTIONS, *tests])) != 0

    return in_a_child(act)


@dataclass
class Trials:
    """A plugin for one run of pytest: the tests are gathered once; each fault is put into the loaded functions.

    Answers are lines of JSON on ``out``: {"fault": its number, "noticed": whether a test failed}, or {"fault": its
    number, "tests": those to be run with the fault imported}, where that alone can tell.
    """

    faults: Sequence[Change]
    budget: float
    longest: float
    out: TextIO

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Run the tests of each fault in the place of all tests."""
        session.config.get_terminal_writer()._file = io.StringIO()  # the children tell nothing
        for change in self.faults:
            importlib.import_module(module_of(change))  # the command line loads some of them only when they are wanted
        items, functions = {item.nodeid: item for item in session.items}, loaded()
        by_fault, by_file = self._that_come_by(session, functions)
        for number, change in enumerate(self.faults):
            inside = inside_a_function(change)
            tests = by_fault[number] if inside else by_file[change.path]
            own = [items[test] for test in tests]
            if own and in_a_child(partial(self._fails, session, functions, change, own)):
                self._say(fault=number, noticed=True)
            elif (inside and own) or not by_file[change.path]:
                self._say(fault=number, noticed=False)
            else:  # a table, or what is called only while tables are made
                self._say(fault=number, tests=by_file[change.path])
        return True

    def _say(self, **answer: object) -> None:
        print(json.dumps(answer), file=self.out, flush=True)

    def _fails(self, session: pytest.Session, functions: Loaded, change: Change, tests: Sequence[pytest.Item]) -> bool:
        tree = spoilt((ROOT / change.path).read_text(encoding="utf-8"), change.number)
        put(change.path, tree, functions)
        if not inside_a_function(change):
            work_out_again(change, tree)
        for test in tests:
            test.config.hook.pytest_runtest_protocol(item=test, nextitem=None)
            if session.testsfailed:
                return True
        return False

    def _that_come_by(
        self, session: pytest.Session, functions: Loaded
    ) -> tuple[dict[int, list[str]], dict[str, list[str]]]:
        """Return for each fault and each file the tests that come by, as many as the budget holds.

        Those in the file's own tests come first, and the quickest of all.
        """
        with tempfile.TemporaryFile("w+", encoding="utf-8") as noted:
            in_a_child(lambda: self._note(session, functions, noted), patience=36_000)
            noted.seek(0)
            rows = [json.loads(line) for line in noted]
        by_place: dict[int | str, list[tuple[bool, float, str]]] = defaultdict(list)
        for row in rows:
            # A test may hold a table without coming by a function of its file: any test of the room may.
            for place in [*row["touched"], ""]:
                file = self.faults[place].path if isinstance(place, int) else str(place)
                others = not file or Path(file).stem not in Path(row["test"].partition("::")[0]).stem
                by_place[place].append((others, row["seconds"], row["test"]))
        found: dict[int | str, list[str]] = defaultdict(list)
        found |= {place: self._within_budget(sorted(tests)) for place, tests in by_place.items()}
        return (
            {number: found[number] for number in range(len(self.faults))},
            {change.path: list(dict.fromkeys([*found[change.path], *found[""]])) for change in self.faults},
        )

    def _within_budget(self, tests: Sequence[tuple[bool, float, str]]) -> list[str]:
        found: list[str] = []
        spent = 0.0
        for _, seconds, test in tests:
            if not found or spent + seconds < self.budget:
                found.append(test)
                spent += seconds
        return found

    def _note(self, session: pytest.Session, functions: Loaded, noted: TextIO) -> bool:
        """Run every test on the program with wires in it, and write down which wires it touched."""
        by_file: dict[str, list[tuple[int, Change]]] = defaultdict(list)
        for number, change in enumerate(self.faults):
            by_file[change.path].append((number, change))
        for path, some in by_file.items():
            put(path, wired(path, some), functions)
        touched: set[int | str] = set()
        setattr(builtins, WIRE, touched.add)
        signal.signal(signal.SIGPROF, signal.default_int_handler)
        for number, item in enumerate(session.items):
            touched.clear()
            begin, failed = time.process_time(), session.testsfailed
            signal.setitimer(signal.ITIMER_PROF, self.longest)
            try:
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
            except KeyboardInterrupt:
                session._setupstate.teardown_exact(None)
                continue  # it takes too long to be tried on every fault
            finally:
                signal.setitimer(signal.ITIMER_PROF, 0)
            row = {"test": item.nodeid, "seconds": time.process_time() - begin, "touched": sorted(touched, key=str)}
            if session.testsfailed == failed:
                print(json.dumps(row), file=noted, flush=True)
            else:
                sys.stderr.write(f"fails without a fault and is left out: {item.nodeid}\n")
            if number % 200 == 199:
                sys.stderr.write(f"{number + 1} of {len(session.items)} tests noted\n")
        return False


def _be_silent() -> None:
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)


@dataclass(frozen=True)
class _Spoilt(importlib.abc.MetaPathFinder):
    """Gives the module its spoilt code when it is imported."""

    change: Change

    def find_spec(self, fullname: str, path: object = None, target: object = None) -> ModuleSpec | None:
        file = ROOT / self.change.path
        if fullname != module_of(self.change):
            return None
        return importlib.util.spec_from_file_location(fullname, file, loader=_Loader(fullname, str(file), self.change))


class _Loader(SourceFileLoader):
    def __init__(self, fullname: str, path: str, change: Change) -> None:
        super().__init__(fullname, path)
        self._change = change

    def get_code(self, fullname: str) -> CodeType:
        text = Path(self.path).read_text(encoding="utf-8")
        return compile(spoilt(text, self._change.number), self.path, "exec")
