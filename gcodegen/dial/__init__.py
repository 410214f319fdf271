"""Dialling in: what indicator readings mean, and which screw to turn which way, how far.

Readings (readings) are fitted plane by plane (fit), two planes or more tell the tilt (tilt), the eccentricity
becomes turns of the four screws (turns), and all of it one answer (answer).
"""

from gcodegen.dial.answer import WANTED_MM, Answer, ChuckAsMade, dial_answer
from gcodegen.dial.fit import Fit, fit
from gcodegen.dial.readings import Reading, load_readings, read_csv, read_toml
from gcodegen.dial.tilt import Tilt, tilt
from gcodegen.dial.turns import AFTER_TURNING, BEFORE_TURNING, Turn, Way

__all__ = [
    "AFTER_TURNING",
    "BEFORE_TURNING",
    "WANTED_MM",
    "Answer",
    "ChuckAsMade",
    "Fit",
    "Reading",
    "Tilt",
    "Turn",
    "Way",
    "dial_answer",
    "fit",
    "load_readings",
    "read_csv",
    "read_toml",
    "tilt",
]
