"""Runs templates in a sandbox; knows nothing of programs or jobs.

Our own templates run in the process that asks. A stranger's run in a process that begins in ``__main__``: it may
take little time and little memory, and is ended by the system when it takes more.
"""

from gcodegen.templating.apart import run_apart
from gcodegen.templating.faults import Fault
from gcodegen.templating.running import Output, run
from gcodegen.templating.sandbox import environment

__all__ = ["Fault", "Output", "environment", "run", "run_apart"]
