"""Asks for what a job file holds, in the order in which one measures, and writes it with comments.

The questions (questions) are asked one by one (interview) or printed for the bench (sheet); the answers so far are a
draft that the job's own rules check (draft), and it becomes commented text (jobtext) or changes a file in place
(change). Nothing is decided here: what an answer may be is known to ``gcodegen.job`` alone, which is asked after every
answer. Figures of a likely size, none of them measured, stand in one file (starting).
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
