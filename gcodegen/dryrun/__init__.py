"""The dry run: reads a program's text back and holds what it does against the settled job.

It sees text and job, never the operations that made the text, so it is a second opinion on any program. Begin with
``dry_run`` (run): the reader's steps go to the mill's side (mill) or the lathe's (lathe), and to what both share
(machine). Files of the mill begin with mill, those of the lathe with lathe.

The mill's metal is judged by certified distances between convex bodies (solids, cut_body, distance), the lathe's by
sweeping the tool through the plate's outline (lathe_sweep, lathe_stock). Findings are kinds with their long text in
tables (codes), written into one notebook (notebook) and told in one report (report).
"""

from gcodegen.dryrun.codes import CODES, Code
from gcodegen.dryrun.report import HoleWall, Report, ToolMinutes
from gcodegen.dryrun.run import dry_run

__all__ = ["CODES", "Code", "HoleWall", "Report", "ToolMinutes", "dry_run"]
