"""Kinds of finding, and the notebook in which the checks of one program write."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from gcodegen.verdict import Finding, Severity, Source

_DIAMETER = re.compile(r"\bX(-?\d+\.\d+)")


@dataclass(frozen=True, slots=True)
class Code:
    """A kind of finding: how grave it is, what it means in full, and where that comes from."""

    code: str
    severity: Severity
    explains: str
    source: Source


@dataclass(slots=True)
class Notebook:
    """Findings in the order in which they were made; ``lines`` is the program's text, line by line.

    Checks count X of a lathe as a diameter. Where ``x_is_radius`` the machine does not: findings tell its own X.
    """

    lines: tuple[str, ...]
    kinds: Mapping[str, Code]
    x_is_radius: bool = False
    findings: list[Finding] = field(default_factory=list)
    _said: set[tuple[str, int, str]] = field(default_factory=set)

    def add(self, code: str, line: int, says: str, do: str) -> None:
        """Write down a finding; the same words about the same line are written once.

        Raises
        ------
        KeyError
            When the code is in no table.
        """
        if self.x_is_radius:
            says, do = _DIAMETER.sub(_as_radius, says), _DIAMETER.sub(_as_radius, do)
        if (code, line, says) in self._said:
            return
        self._said.add((code, line, says))
        kind = self.kinds[code]
        self.findings.append(
            Finding(code=code, severity=kind.severity, line=line, says=says, do=do, block=self.block(line))
        )

    def block(self, line: int) -> str:
        """Return the text of a line, "" where there is none."""
        return self.lines[line - 1].strip() if 0 < line <= len(self.lines) else ""


def _as_radius(found: re.Match[str]) -> str:
    places = len(found[1].partition(".")[2])
    return f"X{float(found[1]) / 2:.{places}f}"
