"""Runs templates in a sandbox; knows nothing of programs or jobs.

A template places words and chooses, and can do no more than that: whoever wrote it may be a stranger. It reads no file
outside of its folder, calls nothing, does no sums, and ends: so it can neither tell what is on the machine nor fill
its memory or its time.
"""

from gcodegen.templating.faults import Fault
from gcodegen.templating.running import Output, run
from gcodegen.templating.sandbox import Sandbox
from gcodegen.templating.survey import survey

__all__ = ["Fault", "Output", "Sandbox", "run", "survey"]
