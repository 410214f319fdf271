"""The long text of a finding or a decision, with its source."""

from __future__ import annotations

import difflib
import re

from gcodegen.design.explained import DECISIONS
from gcodegen.dryrun.codes import CODES
from gcodegen.errors import GcodegenError
from gcodegen.rs274.faults import FAULTS
from gcodegen.verdict import Severity


def explain(code: str) -> str:
    """Return the long text of a code.

    Raises
    ------
    GcodegenError
        When there is no such code; the nearest is named.
    """
    name = re.sub(r"-t\d+$", "", code.strip().lower())
    if name in DECISIONS:
        return f"{name} (a decision of the design)\n{DECISIONS[name]}\n"
    if name in CODES:
        code_row = CODES[name]
        return _finding(name, code_row.severity, code_row.explains, str(code_row.source))
    if name in FAULTS:
        fault = FAULTS[name]
        return _finding(name, fault.severity, f"{fault.long} {fault.do}", fault.source)
    near = difflib.get_close_matches(name, [*DECISIONS, *CODES, *FAULTS], n=3)
    hint = f"Nearest: {', '.join(near)}" if near else "Codes stand in every finding and decision"
    raise GcodegenError("no such finding or decision", where=code[:60], do=hint)


def _finding(name: str, severity: Severity, text: str, source: str) -> str:
    return f"{name} (a finding of the dry run: {severity.value})\n{text}\nSource: {source}\n"
