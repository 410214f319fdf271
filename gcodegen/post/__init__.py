"""Post: from operations to the text of a program, in plain RS-274 words, as a dialect wants them.

A plan is walked (mill, lathe) and put into words (mill_cuts, lathe_moves, tapping, headers); numbers are rounded once
(numbers). Templates see finished strings and choices only (views, render): they stand in ``post_templates/`` and do no
sums. The blocks become lines, comments are reduced to safe characters (lines, comment). Where a program can be taken
up again is told apart (restart).
"""

from gcodegen.post.lathe import lathe_fit, lathe_steps, tool_word, write_lathe
from gcodegen.post.lines import mark_not_fit
from gcodegen.post.mill import mill_steps, write_mill
from gcodegen.post.restart import Restart, restart_map, restart_sheet

__all__ = [
    "Restart",
    "lathe_fit",
    "lathe_steps",
    "mark_not_fit",
    "mill_steps",
    "restart_map",
    "restart_sheet",
    "tool_word",
    "write_lathe",
    "write_mill",
]
