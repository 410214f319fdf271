"""Findings of the mill: tool and index, moves against metal, holes and walls."""

from __future__ import annotations

from gcodegen.dryrun.notebook import Code
from gcodegen.verdict import COMMON_PRACTICE, GEOMETRY, Severity, Source

_NIST = "NISTIR 6556"
_STOP, _CAUTION = Severity.STOP, Severity.CAUTION

MILL_CODES = (
    Code(
        "tool-unknown",
        _STOP,
        "The program moves down or cuts before any tool was put in the spindle by its text, so nobody can "
        "say what cuts. Name the tool and stop or change for it first.",
        Source(_NIST, "section 3.6.3"),
    ),
    Code(
        "tool-not-in-job",
        _STOP,
        "The program takes a tool that the job does not have, or whose sizes the job does not give in "
        "full. What it would cut cannot be checked. Add the tool to the job, or use one that is there.",
        Source("the job file's tools"),
    ),
    Code(
        "optional-stop-needed",
        _STOP,
        "The program relies on an optional stop for a tool change, an index or a hole tapped by hand. "
        "With the switch off the machine runs on with the old tool or at the old place. Use M0.",
        Source(_NIST, "section 3.6.1"),
    ),
    Code(
        "change-low",
        _STOP,
        "A tool is changed with the tip lower than the clear height of the job. Hands need the room, and "
        "a longer tool may strike the work as it is fitted. Retract first.",
        Source("the job file's clear height"),
    ),
    Code(
        "change-spindle-on",
        _STOP,
        "The program stops for a tool change by hand while the spindle turns: a stop does not stop the spindle. The "
        "hand that reaches for the tool is caught. Put M5 before the stop.",
        Source(_NIST, "section 3.6.1"),
    ),
    Code(
        "change-by-word",
        _STOP,
        "The program leaves a tool change to M6, and the job says that tools are changed by hand. A machine without "
        "a changer may pass over M6: then it goes on with the old tool to the depths of the new one, a spot drill "
        "driven in as deep as a drill. Stop for the change, T with M0. If M6 does stop your machine or change its "
        'tool, say tool_change = "automatic" in the job.',
        Source("the job file's tool change"),
    ),
    Code(
        "touch-off-unsaid",
        _CAUTION,
        "The machine has no table of tool lengths, so the height of each tool's tip is set anew when it is fitted. "
        "The stop does not ask for that. Run on with the old zero, a longer tool goes into the work at a rapid, a "
        "shorter one cuts air. Write it into the stop's message.",
        Source("the job file's dialect", "length_offset"),
    ),
    Code(
        "no-length-offset",
        _STOP,
        "A tool moves without a tool length offset. The machine then takes the tip to be elsewhere by the "
        "whole length of the tool. Give G43 with the tool's H number on the first Z move after the "
        "change.",
        Source(_NIST, "section 3.5.11"),
    ),
    Code(
        "wrong-length-offset",
        _STOP,
        "A tool moves with the length offset of another tool, so that its tip is too high or too low by "
        "the difference of the two lengths. On the set-up sheet H and T are the same number. Give G43 "
        "with it.",
        Source(_NIST, "section 3.5.11, and the set-up sheet's rule that H equals T"),
    ),
    Code(
        "height-not-known",
        _CAUTION,
        "The tool moves across, or the work is indexed, while the text does not tell the height over the work: after "
        "a move in machine coordinates or a new length offset without a Z. A tool that stands low is dragged through "
        "the work. Go to a Z in G54 first.",
        Source(_NIST, "sections 3.5.11 and 3.5.12"),
    ),
    Code(
        "index-low",
        _STOP,
        "The work is turned with the tip lower than the clear height of the job. A tool in its hole "
        "breaks or drags the work round; above the crest it has less room than the job asks for. Retract "
        "first.",
        Source("the job file's clear height"),
    ),
    Code(
        "index-with-move",
        _STOP,
        "The rotary turns together with another axis, or is fed round with the tool low. No cut of this "
        "work needs that, and the tool's path over the work is then a curve nobody checked. Turn A alone.",
        Source(_NIST, "section 2.1.2.5"),
    ),
    Code(
        "no-rotary-axis",
        _STOP,
        "The program turns A, and the job's rotary is turned by hand. The machine stops with an error or, "
        "worse, goes on without turning, and all holes come at one place.",
        Source("the job file's rotary"),
    ),
    Code(
        "index-unread",
        _STOP,
        "A stop asks for the work to be indexed, but no angle can be read from its message, so neither the operator "
        "nor this check knows to where. The work stays where it is or goes somewhere else, and the hole with it. "
        "Write INDEX WORK TO and the angle from the mark.",
        COMMON_PRACTICE,
    ),
    Code(
        "index-spindle-on",
        _STOP,
        "The operator indexes the work by hand under a turning tool, which can catch a hand or a sleeve. "
        "Stop the spindle before the stop and start it after.",
        COMMON_PRACTICE,
    ),
    Code(
        "rapid-in-metal",
        _STOP,
        "A rapid takes the cutter or its shank into metal that is not cut yet. The tool breaks or the "
        "work is thrown. Rapids go above the crest, or in a hole as deep as it is cut already.",
        GEOMETRY,
    ),
    Code(
        "rapid-near-metal",
        _CAUTION,
        "A rapid passes the body closer than half a millimetre. Turned outsides run out by tenths, and "
        "the height of the crest was touched off at one place only. Keep rapids a millimetre away.",
        COMMON_PRACTICE,
    ),
    Code(
        "sideways-in-metal",
        _STOP,
        "A drill, tap or spot drill is fed sideways in metal, or the work turns while the tool is in it. "
        "Drills do not mill: they bend and break. Retract above the crest first.",
        COMMON_PRACTICE,
    ),
    Code(
        "deeper-than-flutes",
        _STOP,
        "The tool goes deeper than it has flutes, or a tap deeper than it has thread. The dust has no way "
        "out, the plain shank rubs or jams, and the tool breaks. Go less deep or take a longer one.",
        COMMON_PRACTICE,
    ),
    Code(
        "holder-hits-body",
        _STOP,
        "The tool's holder goes into the body of the chuck on this move. The tool breaks, or the work is pushed out "
        "of its place. Let the tool stick out farther, or take a slimmer holder.",
        GEOMETRY,
    ),
    Code(
        "nothing-cut",
        _STOP,
        "No motion of the program meets metal. Either it is no program for this work, or its zero or its signs are "
        "wrong: Z0 is on the crest of the body, and depths are negative. Hold both against the set-up sheet before "
        "the program is run.",
        GEOMETRY,
    ),
    Code(
        "hole-missing",
        _STOP,
        "One of the four holes lacks its spot, its drilling or its thread. Three screws cannot push a "
        "chuck true. Cut all four places with all three tools.",
        GEOMETRY,
    ),
    Code(
        "hole-wrong-place",
        _STOP,
        "A hole is cut where none belongs. It may meet a bolt hole or a cavity, its screw will not stand "
        "where the spigot is, and the chuck is spoiled. Put it where the set-up sheet has it.",
        GEOMETRY,
    ),
    Code(
        "hole-cut-twice",
        _CAUTION,
        "A tool goes again where it has been, and no deeper. A second stroke widens a drilled hole and may cut a "
        "second thread across the first. As a rule an index move is missing before it. Take the second stroke out, or "
        "put the index in.",
        COMMON_PRACTICE,
    ),
    Code(
        "drill-before-spot",
        _STOP,
        "A hole is drilled before it is spotted. On a round rim a drill slides off the crest, bends, and starts "
        "beside its place or breaks. Spot every place first.",
        COMMON_PRACTICE,
    ),
    Code(
        "tap-without-hole",
        _STOP,
        "A tap goes where no hole is drilled yet. It breaks, and often cannot be taken out of the chuck again. Drill "
        "the hole through before the tap comes.",
        COMMON_PRACTICE,
    ),
    Code(
        "tap-tool-missing",
        _STOP,
        "The program stops for a hole to be tapped by hand, and the tool in the spindle is not the tap or "
        "its follower. Change to it first, so that the tap goes in square.",
        COMMON_PRACTICE,
    ),
    Code(
        "wrong-drill",
        _STOP,
        "The drill is not the tap drill of the screws' thread. Too small a hole breaks the tap, too large a one "
        "leaves a thread that strips. Use the tap drill that the tool list names, or put the drill you have into the "
        "job.",
        Source("the handbook's thread tables"),
    ),
    Code(
        "wrong-tap",
        _STOP,
        "The tap, or the thread that the stop names, is not that of the screws. The screws do not go in, or fall "
        "through. Fit the tap of the job's screw, or write its name into the stop.",
        Source("the job file's screw"),
    ),
    Code(
        "wall-thin",
        _STOP,
        "A hole leaves less metal to a feature of the chuck, or to a mounting bolt's hole, than the job asks for. The "
        "wall is measured over the thread's crests, from the recess wall to the rim. A thin wall breaks out as the "
        "drill or the screw comes, and cannot be put back. Move the hole, take a smaller screw, or let the design "
        "look for another place.",
        GEOMETRY,
    ),
    Code(
        "hole-breaks-in",
        _STOP,
        "A hole runs into another hole or cavity of the chuck. The drill grabs and breaks as it breaks in, the screw "
        "may foul a bolt or the scroll, and dust gets into the works. Put the hole where the design has it, or let it "
        "look for another place.",
        GEOMETRY,
    ),
    Code(
        "rear-edge-thin",
        _STOP,
        "Less than 0.4 of the screw's diameter of iron is left between hole and rear face. The edge breaks out under "
        "the screw's load, and the seating face with it. Set the hole farther back from the rear face, or take a "
        "smaller screw.",
        COMMON_PRACTICE,
    ),
    Code(
        "hole-in-floor",
        _STOP,
        "The hole runs into the bottom of the recess or the cover plate there. The drill nicks it at the side, "
        "wanders and may break. Set the hole nearer to the rear face, or take a smaller screw.",
        GEOMETRY,
    ),
    Code(
        "chamfer-over-edge",
        _STOP,
        "The spot's chamfer runs over the edge of the rear seating face and leaves a burr or a gap where the chuck "
        "must seat square. Spot less deep, or set the hole farther back from the rear face.",
        GEOMETRY,
    ),
    Code(
        "low-at-end",
        _STOP,
        "The program ends with the tool lower than the clear height. The next thing that moves, by hand "
        "or by program, may strike the work. Retract before the end.",
        Source("the job file's clear height"),
    ),
)
