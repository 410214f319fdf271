"""All kinds of finding that are the dry run's own, in one table; the reader's faults have theirs in rs274."""

from __future__ import annotations

from gcodegen.dryrun.lathe_codes import LATHE_CODES
from gcodegen.dryrun.machine_codes import MACHINE_CODES
from gcodegen.dryrun.mill_codes import MILL_CODES
from gcodegen.dryrun.mill_trade_codes import MILL_TRADE_CODES
from gcodegen.dryrun.notebook import Code

__all__ = ["CODES", "Code"]

CODES: dict[str, Code] = {row.code: row for row in (*MACHINE_CODES, *MILL_CODES, *MILL_TRADE_CODES, *LATHE_CODES)}
