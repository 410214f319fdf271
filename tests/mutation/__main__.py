"""Put faults in, one at a time, and list those that no test notices."""

from __future__ import annotations

import argparse
import json
import os
import random
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import TextIO

import pytest

from tests.mutation.changes import Change, changes
from tests.mutation.running import OPTIONS, Trials, imported_is_noticed
from tests.mutation.swapping import ROOT

BUDGET = 10.0  # seconds of tests a fault may be given
LONGEST = 1.0  # seconds that one test may take to be tried
HOUSE = "tests/house/test_frozen.py"  # what it holds is told at import, so no wire leads to it


def all_faults(room: str) -> list[Change]:
    """Return every fault of a room or a file of gcodegen."""
    base = ROOT / "gcodegen" / room
    files = [base.with_suffix(".py")] if base.with_suffix(".py").exists() else sorted(base.rglob("*.py"))
    return [
        fault
        for file in files
        for fault in changes(file.relative_to(ROOT).as_posix(), file.read_text(encoding="utf-8"))
    ]


def chosen(rooms: list[str], share: float, seed: int) -> list[Change]:
    """Return a part of all faults of each room, the same part for the same seed."""
    found: list[Change] = []
    for room in rooms:
        faults = all_faults(room)
        found += random.Random(seed).sample(faults, round(share * len(faults))) if share < 1 else faults
    return sorted(found, key=lambda fault: (fault.path, fault.number))


def listed(file: Path) -> list[Change]:
    """Return the faults that another run listed."""
    lines = set(file.read_text(encoding="utf-8").splitlines())
    rooms = sorted({line.split("/")[1] for line in lines if line.startswith("gcodegen/")})
    return [fault for room in rooms for fault in all_faults(room.removesuffix(".py")) if str(fault) in lines]


def answers(faults: list[Change], tests: list[str], budget: float, longest: float) -> Iterator[tuple[Change, bool]]:
    """Return each fault with whether a test noticed it."""
    reader, writer = os.pipe()
    child = os.fork()  # so that this process stays free of the program, for faults that must be imported
    if child == 0:
        os.close(reader)
        with os.fdopen(writer, "w", encoding="utf-8") as out:
            code = pytest.main([*OPTIONS, *tests], plugins=[Trials(faults, budget, longest, out)])
        os._exit(int(code))
    os.close(writer)
    later: list[dict[str, object]] = []
    with os.fdopen(reader, encoding="utf-8") as told:
        for answer in map(json.loads, told):
            if "tests" in answer:
                later.append(answer)
            else:
                yield faults[answer["fault"]], answer["noticed"]
    os.waitpid(child, 0)
    for answer in later:
        change, own = faults[int(str(answer["fault"]))], [str(test) for test in answer["tests"]]  # type: ignore[attr-defined]
        yield change, imported_is_noticed(change, [HOUSE, *own])


def main() -> None:
    """Read the call, try the faults, write what was not noticed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("rooms", nargs="*", help="rooms or files of gcodegen, such as design or rs274/arcs")
    parser.add_argument("--again", type=Path, help="try the faults that another run listed")
    parser.add_argument("--tests", action="append", help="where to look for tests; left out, in the rooms' own")
    parser.add_argument("--share", type=float, default=1.0, help="the part of all faults to try")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--budget", type=float, default=BUDGET, help="seconds of tests for one fault")
    parser.add_argument("--longest", type=float, default=LONGEST, help="seconds that one test may take")
    parser.add_argument("-o", "--out", type=Path, required=True)
    call = parser.parse_args()

    import numpy  # noqa: F401  (loaded once, for every child)
    import pydantic  # noqa: F401
    import scipy.optimize  # noqa: F401
    import shapely  # noqa: F401

    faults = listed(call.again) if call.again else chosen(call.rooms, call.share, call.seed)
    tests = call.tests or sorted({f"tests/{room.split('/')[0]}" for room in call.rooms})
    with call.out.open("w", encoding="utf-8") as out:
        _tell(answers(faults, tests, call.budget, call.longest), len(faults), out)


def _tell(found: Iterator[tuple[Change, bool]], most: int, out: TextIO) -> None:
    """Write down what was not noticed, at once, and the count by rooms in the end."""
    tried: Counter[str] = Counter()
    missed: Counter[str] = Counter()
    begun = time.monotonic()
    for change, noticed in found:
        room = change.path.split("/")[1].removesuffix(".py")
        tried[room] += 1
        if not noticed:
            missed[room] += 1
            print(change, file=out, flush=True)
        if tried.total() % 20 == 0:
            rate = (time.monotonic() - begun) / tried.total()
            sys.stderr.write(f"{tried.total()} of {most}, {missed.total()} not noticed, {rate:.1f} s each\n")
    for room, count in tried.items():
        share = 100 * (1 - missed[room] / count)
        print(f"{room}: {count} tried, {missed[room]} not noticed, {share:.1f} % noticed", file=out)


if __name__ == "__main__":
    main()
