"""What the text of a program cannot say about the machine, from the job's dialect."""

from __future__ import annotations

from typing import Literal

from gcodegen.job.job import Job
from gcodegen.rs274.machine import Machine

_LANGUAGE_LINE = 256  # NISTIR 6556, section 3.3


def machine_for(job: Job, on: Literal["mill", "lathe"], *, block_delete: bool = False) -> Machine:
    """Return the machine as whose program a text is to be read.

    A dialect that states its own line length is held to it; else the published one counts, for programs
    from other hands.
    """
    lathe = on == "lathe"
    dialect = job.lathe.dialect if lathe else job.mill.dialect
    return Machine(
        lathe=lathe,
        block_delete=block_delete,
        speed_clamp=dialect.speed_clamp if lathe else "none",
        longest_line=dialect.line_length if "line_length" in dialect.model_fields_set else _LANGUAGE_LINE,
        x_radius=lathe and dialect.x_values == "radius",
        tool_word=dialect.tool_word if lathe else "tool alone",
        rotary_letter="A" if lathe else dialect.rotary_letter,
        rotary_by_hand=not lathe and job.mill.rotary == "by hand",
        rotary_reversed=not lathe and dialect.rotary_sense == "reversed",
        program_number=dialect.program_number > 0,
        semicolon_comments=dialect.comments == "semicolon",
        home_clear=dialect.safe_return != "clear height",
    )
