"""The job file and what it describes: chuck, backplate, wishes, machines; read, checked, frozen."""

from gcodegen.job.adjustment import Adjustment, Reading
from gcodegen.job.backplate import Backplate, Bolts
from gcodegen.job.chuck import AxialHole, Box, Chuck, Cover, Feature, RadialHole, Ring, Slot
from gcodegen.job.dialect import DIALECTS, Dialect
from gcodegen.job.job import Job
from gcodegen.job.limits import MillKeepOut
from gcodegen.job.load import load_job, read_job
from gcodegen.job.machines import Lathe, LatheTool, Mill, MillTool
from gcodegen.job.reading import machine_for
from gcodegen.job.schema import job_schema
from gcodegen.job.spread import Spread
from gcodegen.job.undercut import Undercut, undercut_of

__all__ = [
    "DIALECTS",
    "Adjustment",
    "AxialHole",
    "Backplate",
    "Bolts",
    "Box",
    "Chuck",
    "Cover",
    "Dialect",
    "Feature",
    "Job",
    "Lathe",
    "LatheTool",
    "Mill",
    "MillKeepOut",
    "MillTool",
    "RadialHole",
    "Reading",
    "Ring",
    "Slot",
    "Spread",
    "Undercut",
    "job_schema",
    "load_job",
    "machine_for",
    "read_job",
    "undercut_of",
]
