"""Dialling in: what indicator readings mean, and which screw to turn which way, how far.

Readings (readings, reading_file) are fitted plane by plane (fit, spots) and doubted where they do not belong
together (doubts); two planes or more tell the tilt (tilt). The eccentricity becomes turns of the four screws
(turns), and all of it one answer (answer), said in plain lines (said). A rig (rig) stands in for the chuck in
tests and practice; a record (record) keeps what was read.
"""

from gcodegen.dial.answer import WANTED_MM, Answer, dial_answer
from gcodegen.dial.chuck import ChuckAsMade, chuck_as_made
from gcodegen.dial.fit import Fit, fit
from gcodegen.dial.reading_file import load_readings, read_csv, read_toml
from gcodegen.dial.readings import Reading, ReadingSet, Spot
from gcodegen.dial.said import in_lines
from gcodegen.dial.tilt import Tilt, tilt
from gcodegen.dial.turns import Turn, Way

__all__ = [
    "WANTED_MM",
    "Answer",
    "ChuckAsMade",
    "Fit",
    "Reading",
    "ReadingSet",
    "Spot",
    "Tilt",
    "Turn",
    "Way",
    "chuck_as_made",
    "dial_answer",
    "fit",
    "in_lines",
    "load_readings",
    "read_csv",
    "read_toml",
    "tilt",
]
