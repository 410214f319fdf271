"""Asks for what a job file holds, in the order in which one measures, and writes it with comments.

The questions (questions) are asked one by one (interview) or printed for the bench (sheet). The answers so far are a
draft (draft); each is judged by the job's own rules (judging), and in the end they become commented text (jobtext) or
change a file in place (change). Nothing is decided here: what an answer may be is known to ``gcodegen.job`` alone.
Figures of a likely size, none of them measured, stand in one file (starting).
"""

from gcodegen.measuring.change import changed_text
from gcodegen.measuring.draft import Draft
from gcodegen.measuring.interview import Stopped, interview
from gcodegen.measuring.jobtext import job_text
from gcodegen.measuring.sheet import measuring_sheet
from gcodegen.measuring.starting import SIZES_MM, stated_size

__all__ = [
    "SIZES_MM",
    "Draft",
    "Stopped",
    "changed_text",
    "interview",
    "job_text",
    "measuring_sheet",
    "stated_size",
]
