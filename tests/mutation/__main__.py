"""Put faults in, one at a time, and list those that no test notices."""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter
from pathlib import Path

from tests.mutation.changes import Change, changes
from tests.mutation.reached import Reached
from tests.mutation.running import try_imported, try_swapped
from tests.mutation.swapping import ROOT, inside_a_function

BUDGET = 25.0  # seconds of tests a fault may be given


def chosen(room: str, share: float, seed: int) -> list[Change]:
    """Return a part of all the faults of a room or a file, the same part for the same seed."""
    base = ROOT / "gcodegen" / room
    files = [base.with_suffix(".py")] if base.with_suffix(".py").exists() else sorted(base.rglob("*.py"))
    found: list[Change] = []
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
    parser.add_argument("--budget", type=float, default=BUDGET, help="seconds of tests for one fault")
    parser.add_argument("-o", "--out", type=Path, required=True)
    call = parser.parse_args()

    import numpy  # noqa: F401  (loaded once, for every child)
    import pydantic  # noqa: F401
    import scipy.optimize  # noqa: F401
    import shapely  # noqa: F401

    reached = Reached(call.data, call.times)
    faults = [fault for room in call.rooms for fault in chosen(room, call.share, call.seed)]
    tests = {fault: reached.tests(fault.path.removeprefix("gcodegen/"), fault.line, call.budget) for fault in faults}
    with call.out.open("w", encoding="utf-8") as out:
        count = _Count(len(faults), out)
        for fault in faults:
            if not tests[fault]:
                count(fault, False)
            elif not inside_a_function(fault):
                count(fault, try_imported(fault, tests[fault]))
        swapped = [(fault, tests[fault]) for fault in faults if tests[fault] and inside_a_function(fault)]
        if swapped:
            try_swapped(swapped, count)
        count.tell_rooms()


class _Count:
    """Counts what was tried and what was not noticed, and writes that down at once."""

    def __init__(self, most: int, out: object) -> None:
        self._most, self._out, self._begun = most, out, time.monotonic()
        self._tried: Counter[str] = Counter()
        self._missed: Counter[str] = Counter()

    def __call__(self, change: Change, was_noticed: bool) -> None:
        room = change.path.split("/")[1].removesuffix(".py")
        self._tried[room] += 1
        if not was_noticed:
            self._missed[room] += 1
            print(change, file=self._out, flush=True)  # type: ignore[call-overload]
        if (done := self._tried.total()) % 20 == 0:
            rate = (time.monotonic() - self._begun) / done
            sys.stderr.write(f"{done} of {self._most}, {self._missed.total()} not noticed, {rate:.1f} s each\n")

    def tell_rooms(self) -> None:
        for room, tried in self._tried.items():
            share = 100 * (1 - self._missed[room] / tried)
            line = f"{room}: {tried} tried, {self._missed[room]} not noticed, {share:.1f} % noticed"
            print(line, file=self._out)  # type: ignore[call-overload]


if __name__ == "__main__":
    main()
