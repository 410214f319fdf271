"""The dry run: reads a program's text back and holds what it does against the settled job.

It sees text and job, never the operations that made the text, so it is a second opinion on any program. The
mill's metal is judged by certified distances, the lathe's by sweeping the tool through the plate.
"""

from gcodegen.dryrun.codes import CODES, Code
from gcodegen.dryrun.report import HoleWall, Report, ToolMinutes
from gcodegen.dryrun.run import dry_run

__all__ = ["CODES", "Code", "HoleWall", "Report", "ToolMinutes", "dry_run"]
