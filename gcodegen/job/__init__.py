"""The job file and what it describes: chuck, backplate, wishes, machines; read, checked, frozen.

A TOML text becomes tables (load), tables become sections (chuck, backplate, adjustment, machines, with the kinds of
key in fields), sections become a ``Job`` (job) when the rules between keys hold (rules). Everything that is wrong is
said at once, each with its key and line (messages, where). What a slip of the pen may have meant is looked for apart
(toml_slips, key_slips, value_slips, one_slip), and so is what can be and yet looks wrong (doubts). What a machine's
words look like is a dialect (dialect, dialects); what its programs cannot say goes to the reader (reading). Nothing
here is chosen or reckoned: the design does that.
"""

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
