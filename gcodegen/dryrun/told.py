"""A finding as it is told to people: lengths, and places along the axes, in the job's own unit."""

from __future__ import annotations

import re

from gcodegen.customary import for_people
from gcodegen.rs274.faults import FAULTS
from gcodegen.units import MM_PER_INCH
from gcodegen.verdict import Finding

_PLACE = re.compile(r"\b(?P<axis>[XYZ])(?P<at>-?\d+\.\d+)(?P<unit> \(mm\))?")


def told(finding: Finding, unit: str) -> tuple[str, str]:
    """Return what a finding says and what it tells to do.

    A dry run reckons in mm. For a job in inches (``unit`` "in") lengths are told in both units, places in inches
    alone: they are what a person would type. A fault of the reader quotes the program's own words and keeps them.
    """
    says, do = (for_people(text, unit, lengths=True) for text in (finding.says, finding.do))
    if unit != "in" or finding.code in FAULTS:
        return says, do
    return _PLACE.sub(_in_inches, says), _PLACE.sub(_in_inches, do)


def _in_inches(found: re.Match[str]) -> str:
    return f"{found['axis']}{float(found['at']) / MM_PER_INCH:.4f}{' (in)' if found['unit'] else ''}"
