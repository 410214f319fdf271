"""Findings of the mill about its room, its loads, and the tool in an open hole."""

from __future__ import annotations

from gcodegen.dryrun.notebook import Code
from gcodegen.handbook import DRILL_LOAD
from gcodegen.verdict import COMMON_PRACTICE, GEOMETRY, Severity, Source, memory_of

_STOP, _CAUTION, _NOTE = Severity.STOP, Severity.CAUTION, Severity.NOTE

MILL_SPACE_CODES = (
    Code(
        "mill-travel",
        _STOP,
        "A move goes farther than the axis can. The machine stops at its switch or its end, perhaps with the "
        "tool in the work, and its place may be lost. Set the work up elsewhere on the table, or change the move.",
        Source("the job file's travel", "in the program's own frame, as the work is set up"),
    ),
    Code(
        "mill-keep-out",
        _STOP,
        "The tool or its holder meets a box that the job says to keep out of: the rotary, a fixture, jaws that are "
        "still fitted, a tailstock. The box does not turn with the work. The tool breaks, or pushes work and fixture "
        "out of their place. Lead the tool round it, or change the set-up.",
        GEOMETRY,
    ),
    Code(
        "below-crest-beside",
        _CAUTION,
        "The tool goes lower than the crest where the body is not under it: in front of the rear face, beyond the "
        "jaws' end, beside the body, or lower than its axis. Rotary, face plate, arbor, jaws, tailstock, vice and "
        "table are there, and the job's file tells of them only what stands under mill.keep_out. A rapid into one of "
        "them breaks the tool and pushes the work out of its place. No cut of this work needs such a move: go "
        "across at the clear height. If you want it, name what stands there as a box to keep out of, and look at "
        "the machine before you let it run.",
        COMMON_PRACTICE,
    ),
    Code(
        "place-not-checked",
        _NOTE,
        "The move ends in machine coordinates, of which the text does not tell where they lie in the program's frame. "
        "Travel and the boxes to keep out of were not checked on it. Look at the machine whether the way is clear "
        "before you let it run.",
        Source("NISTIR 6556", "section 3.5.12"),
    ),
    Code(
        "axis-not-stated",
        _STOP,
        "The first cut comes before the text has named one of the axes X, Y and A. That axis stands where the last "
        "job, or the touching off, has left it, and nobody can say where the hole will be. Name it first.",
        COMMON_PRACTICE,
    ),
    Code(
        "rapid-not-straight",
        _CAUTION,
        "A rapid moves across and up or down at once, and is clear only if it goes along a straight line. On many "
        "machines each axis runs at its own rapid and the shorter way ends first, so that the tool goes round a "
        "corner, here into metal or into a box to keep out of. Move up or down in a block of its own.",
        memory_of("ISO 6983-1", "G00: the axes of a rapid need not be coordinated"),
    ),
    Code(
        "rapid-to-bottom",
        _CAUTION,
        "A rapid goes back down to the very bottom of the hole, onto the dust that lies there, and the edge "
        "meets the iron at the rapid's speed. Stop a few tenths of a millimetre above the last depth and feed.",
        COMMON_PRACTICE,
    ),
    Code(
        "spindle-in-hole",
        _CAUTION,
        "The spindle is stopped or started while the tool stands in the work. A drill that is stopped in its hole "
        "is jammed by the dust, and one that starts there bites. Retract above the crest first.",
        COMMON_PRACTICE,
    ),
    Code(
        "stop-in-hole",
        _CAUTION,
        "The program waits for the operator with the tool in the work. Whoever reaches in reaches for a tool that "
        "stands in its hole, perhaps turning, and a drill that rubs at one depth goes blunt. Retract first.",
        COMMON_PRACTICE,
    ),
    Code(
        "tap-at-rapid",
        _STOP,
        "The tap moves in its own thread at a rapid. It is torn out, and the thread with it. In and out it is fed in "
        "step with the spindle. Use the tapping cycle, or feed it out with the spindle reversed.",
        GEOMETRY,
    ),
    Code(
        "tap-not-reversed",
        _STOP,
        "The tap is drawn out of its thread while the spindle still turns the way it went in. It strips the "
        "thread or breaks. Reverse the spindle at the bottom, as the tapping cycle does.",
        GEOMETRY,
    ),
    Code(
        "tap-bottoms",
        _STOP,
        "When the tap comes, the hole is not drilled as deep as the tap goes. It runs onto the bottom that the drill "
        "has left, and breaks. What is drilled later does not help it. Drill through before the tap comes, or tap "
        "less deep.",
        GEOMETRY,
    ),
    Code(
        "tap-depth-unsaid",
        _CAUTION,
        "A hole is tapped by hand and the stop's message does not say how deep the tap's tip must go, so neither "
        "the operator nor this check knows whether the thread will go through. Write TAP TIP and the depth.",
        COMMON_PRACTICE,
    ),
    Code(
        "drill-not-led",
        _CAUTION,
        "When the drill comes, the spot is narrower than half of the drill. Its point is not led and wanders on the "
        "round rim. Spot to the full depth first.",
        COMMON_PRACTICE,
    ),
    Code(
        "power-over-machine",
        _STOP,
        "The cut asks for more power than the machine has: feed in a turn, diameter and speed are too much "
        "together. The spindle slows down and the tool may break. Feed less.",
        DRILL_LOAD,
    ),
    Code(
        "torque-over-machine",
        _STOP,
        "The cut asks for more torque than the spindle has. It stalls in the hole. Feed less in a turn, or drill "
        "in two steps; a tap is counted at twice the torque of a sharp one.",
        DRILL_LOAD,
    ),
    Code(
        "thrust-over-machine",
        _STOP,
        "The drill pushes harder than the quill or head can. The feed stalls, the head gives way, or the work is "
        "pushed out of its place. Feed less in a turn, or drill in two steps.",
        DRILL_LOAD,
    ),
    Code(
        "coolant-on-iron",
        _NOTE,
        "Coolant is turned on. Grey iron is cut dry: with coolant its dust becomes a paste that grinds in slides "
        "and in the chuck's scroll. Take the dust away with a vacuum.",
        COMMON_PRACTICE,
    ),
)
