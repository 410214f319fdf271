"""Findings as people read them: like ones in one row, and what is the cause before what follows from it.

One wrong word early in a program makes dozens of findings further on. Nothing is left out of the report for that;
here the findings of one code are put together, and the rows stand so that the first is the one to put right.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from gcodegen.dryrun.report import MORE, Difference, HoleWall
from gcodegen.verdict import Finding, Severity

CAUSES = frozenset(
    {
        *("unit-differs", "unit-not-stated", "unit-change", "distance-not-stated", "no-decimal-point"),
        *("zero-not-stated", "zero-shifted", "other-zero", "axis-not-stated", "position-unknown", "unknown-place"),
        *("tool-unknown", "tool-not-in-job", "wrong-drill", "wrong-tap", "change-by-word", "optional-stop-needed"),
        *("no-length-offset", "wrong-length-offset", "no-rotary-axis", "index-unread"),
        *("no-speed", "spindle-off-in-cut", "spindle-wrong-way", "speed-over-machine", "speed-under-machine"),
        *("lathe-job-unsettled", "lathe-tool-unknown", "lathe-wrong-offset", "lathe-change-by-word"),
        *("lathe-place-unknown", "lathe-other-plane", "lathe-feed-mode-not-said"),
    }
)
"""A word that is missing or wrong, from which on all that the program does is something else."""

FOLLOWING = frozenset(
    {
        *("hole-missing", "drill-before-spot", "tap-without-hole", "drill-not-led", "tap-bottoms", "nothing-cut"),
        *("low-at-end", "spindle-on-at-end", "rapid-to-bottom", "not-followed", "no-end"),
        *("lathe-nothing-cut", "lathe-spigot-large", "lathe-seat-high", "lathe-seat-step", "lathe-corner-full"),
        *("lathe-edge-sharp", "lathe-plate-thin", "lathe-undercut-full", "lathe-ends-close", "lathe-rapid-drags"),
    }
)
"""What a program has not done by the time that it is asked: as a rule because of what stands above."""

_MOST_LINES = 6
_ORDER = list(Severity)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """Findings of one code and severity, by line; ``count`` has those too that are not listed."""

    findings: tuple[Finding, ...]
    count: int

    @property
    def first(self) -> Finding:
        """Return the earliest in the program."""
        return self.findings[0]

    @property
    def where(self) -> str:
        """Return the lines in words: ``line 37``, ``lines 37, 44 and 51``, ``lines 37 to 138``."""
        lines = sorted({f.line for f in self.findings})
        on = " and on" if self.count > len(self.findings) else ""
        if len(lines) == 1:
            return f"line {lines[0]}{on}"
        if on or len(lines) > _MOST_LINES:
            return f"lines {lines[0]} to {lines[-1]}{on}"
        return f"lines {', '.join(map(str, lines[:-1]))} and {lines[-1]}"

    @property
    def is_cause(self) -> bool:
        """Whether other findings may come of it."""
        return self.first.code in CAUSES and self.first.severity is not Severity.NOTE

    @property
    def follows(self) -> bool:
        """Whether it comes as a rule of another finding."""
        return self.first.code in FOLLOWING


def folded(findings: Iterable[Finding], unlisted: Mapping[str, int]) -> tuple[Row, ...]:
    """Return a row for each code and severity: causes first, then by severity and line, what follows last.

    ``unlisted`` counts, by code, what the findings leave out; the notes that say so are left out here.
    """
    together: dict[tuple[str, Severity], list[Finding]] = {}
    for finding in sorted(findings, key=lambda f: f.line):
        if finding.code != MORE:
            together.setdefault((finding.code, finding.severity), []).append(finding)
    rows = (Row(findings=tuple(like), count=len(like) + unlisted.get(code, 0)) for (code, _), like in together.items())
    return tuple(sorted(rows, key=_rank))


def _rank(row: Row) -> tuple[int, int, int]:
    severity = _ORDER.index(row.first.severity)
    if row.is_cause:  # the earliest is the one to look at, however grave it is by itself
        return 0, row.first.line, severity
    return 2 if row.follows else 1, severity, row.first.line


def same_walls(walls: Sequence[HoleWall]) -> tuple[tuple[str, HoleWall], ...]:
    """Return walls with the names of the holes that have the same one, to the micrometre."""
    rows = [list(like) for _, like in groupby(walls, key=lambda w: (round(w.wall, 3), w.feature))]
    return tuple((_joined([w.hole for w in like]), like[0]) for like in rows)


def same_differences(differences: Sequence[Difference]) -> tuple[tuple[str, Difference], ...]:
    """Return differences with the names of all places that have the same one."""
    together: dict[tuple[object, ...], list[Difference]] = {}
    for d in differences:
        found = None if d.found is None else round(d.found, 3)
        together.setdefault((d.what, d.wanted, found, d.unit, d.limit), []).append(d)
    return tuple((_joined([d.where for d in like]), like[0]) for like in together.values())


def _joined(names: Sequence[str]) -> str:
    """Return names in a row, the word that all begin with told once: ``screw 1, 2, 3 and 4``."""
    if len(names) == 1:
        return names[0]
    head, _, first = names[0].rpartition(" ")
    ends = [name.rpartition(" ")[2] for name in names]
    same = head and all(name.rpartition(" ")[0] == head for name in names)
    told = [f"{head} {first}", *ends[1:]] if same else list(names)
    return f"{', '.join(told[:-1])} and {told[-1]}"
