"""Put faults in, one at a time, and list those that no test notices."""

from __future__ import annotations

import argparse
import importlib.abc
import importlib.util
import os
import random
import signal
import sys
import time
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType

from tests.mutation.changes import Change, changes, spoilt
from tests.mutation.reached import Reached

ROOT = Path(__file__).resolve().parents[2]
BUDGET = 25.0  # seconds of tests a fault may be given
PATIENCE = 90  # seconds after which a run counts as noticed: it hangs


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


def _in_child(change: Change, tests: list[str]) -> int:
    """Run the tests on the spoilt program in this process; 0 if all pass."""
    import pytest

    sys.meta_path.insert(0, _Spoilt(change))
    quiet = os.open(os.devnull, os.O_WRONLY)
    os.dup2(quiet, 1)
    os.dup2(quiet, 2)
    words = ["-x", "-q", "-p", "no:cacheprovider", "-p", "no:cov", "-p", "no:xdist", "-m", "slow or not slow"]
    return int(pytest.main([*words, *tests]))


def noticed(change: Change, tests: list[str]) -> bool:
    """Whether a test fails, or hangs, on the spoilt program."""
    child = os.fork()
    if child == 0:
        signal.alarm(PATIENCE)
        code = 1
        try:
            code = _in_child(change, tests)
        except BaseException:
            code = 1
        finally:
            os._exit(0 if code == 0 else 1)
    _, status = os.waitpid(child, 0)
    return os.waitstatus_to_exitcode(status) != 0


def _chosen(rooms: list[str], share: float, seed: int) -> list[Change]:
    found: list[Change] = []
    for room in rooms:
        base = ROOT / "gcodegen" / room
        files = [base.with_suffix(".py")] if base.with_suffix(".py").exists() else sorted(base.rglob("*.py"))
        for file in files:
            found += changes(file.relative_to(ROOT).as_posix(), file.read_text(encoding="utf-8"))
    if share >= 1:
        return found
    return sorted(random.Random(seed).sample(found, round(share * len(found))), key=lambda c: (c.path, c.number))


def main() -> None:
    """Read the call, try the faults, write what was not noticed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("data", type=Path, help="what coverage noted, with a context for each test")
    parser.add_argument("times", type=Path, help="the run's times as JUnit XML")
    parser.add_argument("rooms", nargs="+", help="rooms or files of gcodegen, such as design or rs274/arcs")
    parser.add_argument("--share", type=float, default=1.0, help="the part of all faults to try")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--at-once", type=int, default=2)
    parser.add_argument("-o", "--out", type=Path, required=True)
    call = parser.parse_args()

    import numpy  # noqa: F401  (loaded once, for every child)
    import pydantic  # noqa: F401
    import pytest  # noqa: F401
    import scipy.optimize  # noqa: F401
    import shapely  # noqa: F401

    reached = Reached(call.data, call.times)
    lines = {}
    tried: Counter[str] = Counter()
    missed: Counter[str] = Counter()
    begun = time.monotonic()

    def one(change: Change) -> tuple[Change, str]:
        inside = change.path.removeprefix("gcodegen/")
        known = lines[inside]
        tests = known.get(change.line) or set().union(*known.values(), set())
        chosen = reached.quickest(tests, BUDGET)
        if not chosen:
            return change, "no test comes here"
        return change, "" if noticed(change, chosen) else f"{len(chosen)} of {len(tests)} tests"

    faults = _chosen(call.rooms, call.share, call.seed)
    for inside in {change.path.removeprefix("gcodegen/") for change in faults}:
        lines[inside] = reached.lines(inside)
    with call.out.open("w", encoding="utf-8") as out, ThreadPoolExecutor(call.at_once) as pool:
        for done, (change, why) in enumerate(pool.map(one, faults), 1):
            room = change.path.split("/")[1].removesuffix(".py")
            tried[room] += 1
            if why:
                missed[room] += 1
                out.write(f"{change}  [{why}]\n")
                out.flush()
            if done % 20 == 0:
                rate = (time.monotonic() - begun) / done
                sys.stderr.write(f"{done} of {len(faults)}, {sum(missed.values())} not noticed, {rate:.1f} s each\n")
        for room in tried:
            share = 100 * (1 - missed[room] / tried[room])
            out.write(f"{room}: {tried[room]} tried, {missed[room]} not noticed, {share:.1f} % noticed\n")


if __name__ == "__main__":
    main()
