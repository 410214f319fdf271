"""Which tests reach a line, quickest first, read from what a run under coverage noted."""

from __future__ import annotations

import functools
from collections import defaultdict
from pathlib import Path
from xml.etree import ElementTree

from coverage import CoverageData


def seconds_of_tests(times: Path) -> dict[str, float]:
    """How long each test took, by the name under which coverage knows it (without its parameters' ids unlike)."""
    taken: dict[str, float] = {}
    for case in ElementTree.parse(times).iter("testcase"):
        taken[f"{case.get('classname')}::{case.get('name')}"] = float(case.get("time") or 0)
    return taken


def _key(test: str) -> str:
    path, _, name = test.partition("::")
    return f"{path.removesuffix('.py').replace('/', '.')}::{name}"


class Reached:
    """The tests of each line of a file; for a line that runs at import, those of the whole file."""

    def __init__(self, data: Path, times: Path) -> None:
        self._data = CoverageData(str(data))
        self._data.read()
        self._taken = seconds_of_tests(times)
        self._files = {Path(name).as_posix().rpartition("/gcodegen/")[2]: name for name in self._data.measured_files()}

    @functools.cache  # noqa: B019  (one for a run)
    def lines(self, inside: str) -> dict[int, set[str]]:
        """Line to tests, for a file named from the package's folder."""
        tests: dict[int, set[str]] = defaultdict(set)
        if inside not in self._files:
            return tests
        for line, contexts in self._data.contexts_by_lineno(self._files[inside]).items():
            tests[line] |= {context.rpartition("|")[0] for context in contexts if context}
        return tests

    def seconds(self, test: str) -> float:
        """What the test took when it was noted; one second where that is not known."""
        return self._taken.get(_key(test), 1.0)

    def tests(self, inside: str, line: int, budget: float) -> list[str]:
        """The tests to try for a line of a file named from the package's folder, in their order."""
        known = self.lines(inside)
        reach = known.get(line) or set().union(*known.values(), set())
        return self.quickest(reach, budget, inside.split("/")[0])

    def quickest(self, tests: set[str], budget: float, room: str = "") -> list[str]:
        """The tests in the order in which they are tried, until together they take more than the budget (in s).

        Those of the room itself come first: they are the likeliest to notice.
        """
        chosen: list[str] = []
        spent = 0.0
        for test in sorted(tests, key=lambda name: (f"tests/{room}/" not in name, self.seconds(name), name)):
            spent += self.seconds(test)
            if chosen and spent > budget:
                break
            chosen.append(test)
        return chosen
