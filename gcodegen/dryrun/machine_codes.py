"""Findings that belong to the machine, mill or lathe alike."""

from __future__ import annotations

from gcodegen.dryrun.notebook import Code
from gcodegen.verdict import COMMON_PRACTICE, Severity, Source

_NIST = "NISTIR 6556"
_JOB = Source("the job file's figures for the machine")
_STOP, _CAUTION, _NOTE = Severity.STOP, Severity.CAUTION, Severity.NOTE

MACHINE_CODES = (
    Code(
        "program-says-nothing",
        _CAUTION,
        "The dialect leaves every text out of the program: neither its cautions nor what the operator is to do at a "
        "stop, which tool to fit, how deep to tap, shows at the machine. All of it stands in the packet; lay it "
        "beside the machine. What is told by a text alone, such as the depth of a tap by hand, was not checked.",
        _JOB,
    ),
    Code(
        "feed-over-machine",
        _STOP,
        "A cut is programmed faster than the largest feed of the machine. Some machines then stop, some "
        "go on at their own feed, and a tap that must keep step with the spindle breaks. Lower the feed, "
        "or put the machine's real figure into the job.",
        _JOB,
    ),
    Code(
        "speed-over-machine",
        _STOP,
        "The spindle is told to turn faster than the machine can or may. What it does then is not known. "
        "Lower S, or put the machine's real figure into the job.",
        _JOB,
    ),
    Code(
        "speed-under-machine",
        _STOP,
        "The spindle is told to turn slower than the machine can. It will turn faster than the program "
        "says, and feeds per minute and tapping no longer fit. Raise S, or tap by hand.",
        _JOB,
    ),
    Code(
        "spindle-off-in-cut",
        _STOP,
        "The tool is fed into metal while the spindle stands still. A drill or a turning tool that is "
        "pushed without turning breaks, or moves the work. Start the spindle before the cut.",
        Source(_NIST, "section 3.6.2: the language allows it, so the reader of a program must see it"),
    ),
    Code(
        "spindle-wrong-way",
        _STOP,
        "The tool cuts while the spindle turns against its edges. They rub backwards and break, and a chuck or collet "
        "that is screwed on may come loose. Right-hand tools of the mill want M3; the lathe's way is the one that the "
        "job's lathe.turns gives.",
        COMMON_PRACTICE,
    ),
    Code(
        "no-speed",
        _STOP,
        "The spindle is started but no speed was given, or a speed of zero, so that it does not turn in "
        "the cut. Give S on the line that starts the spindle.",
        Source(_NIST, "section 3.7.2"),
    ),
    Code(
        "zero-shifted",
        _STOP,
        "The program moves its own zero (G92, G10). From there on its figures are not those of the set-up "
        "sheet, and a zero left shifted spoils the next program as well. Set the zero at the machine and "
        "leave it.",
        Source(_NIST, "sections 3.5.5 and 3.5.18"),
    ),
    Code(
        "other-zero",
        _STOP,
        "The program works in a coordinate system other than G54. The set-up sheet sets G54 and no other, "
        "so the tool would go where an earlier job left its zero. Use G54.",
        Source(_NIST, "section 3.5.13"),
    ),
    Code(
        "zero-not-stated",
        _CAUTION,
        "The program never says in which coordinate system it works, and takes the one the machine happens to be in. "
        "If an earlier job left another, the tool goes to that job's zero, perhaps into the work. The set-up sheet "
        "sets G54. State it at the start.",
        Source(_NIST, "section 3.5.13"),
    ),
    Code(
        "distance-not-stated",
        _CAUTION,
        "The program never says before its first motion whether its figures are places (G90) or increments "
        "(G91), and takes what the machine happens to be in. Left in increments, the tool goes somewhere else "
        "from the first move on. State G90 at the start.",
        Source(_NIST, "section 3.5.17"),
    ),
    Code(
        "unit-differs",
        _CAUTION,
        "The program counts in another unit than the job. The positions were converted and checked, but the figures "
        "on the set-up sheet will not look like those in the program. Whoever types one of them in at the machine, or "
        "edits the text, is wrong by 25.4. Keep one unit.",
        Source(_NIST, "section 3.5.7"),
    ),
    Code(
        "block-delete",
        _CAUTION,
        "A line that begins with a slash is skipped while the block delete switch at the machine is on. The text does "
        "not tell how the switch stands, so the program was checked both ways, and must be good both ways. Take the "
        "slashes out, or see that the switch stands as it must.",
        Source(_NIST, "section 2.2.2"),
    ),
    Code(
        "overrides-off",
        _CAUTION,
        "M49 takes the feed and speed knobs away from the operator. Whoever proves the program slowly, a hand on the "
        "knob, finds that the knob does nothing. Take it out; no cut of this work needs it.",
        Source(_NIST, "section 3.6.5"),
    ),
    Code(
        "dwell-long",
        _CAUTION,
        "The tool waits longer than any cut of this work needs. P of a dwell counts seconds; a figure "
        "meant as thousandths of a second makes the tool rub for minutes. Write the seconds that are "
        "meant.",
        Source(_NIST, "section 3.5.4"),
    ),
    Code(
        "spindle-on-at-end",
        _CAUTION,
        "The program ends with the spindle still turning and leaves it to the end code to stop it. Not "
        "every machine does so at once. Stop the spindle with M5 before the end.",
        Source(_NIST, "section 3.6.1, and common practice"),
    ),
    Code(
        "more-of-the-same",
        _NOTE,
        "The same kind of finding came so often that only the first ones are listed. Put these right and "
        "run the check again.",
        COMMON_PRACTICE,
    ),
)
