"""Findings of the lathe's dry run."""

from __future__ import annotations

from gcodegen.dryrun.notebook import Code
from gcodegen.verdict import COMMON_PRACTICE, GEOMETRY, Severity, Source

_STOP, _CAUTION, _NOTE = Severity.STOP, Severity.CAUTION, Severity.NOTE
_JOB = Source("the job file's figures for the lathe")
_SPEEDS = Source("the handbook's rows of turning speeds for the plate's iron")
_FEEDS = Source("the handbook's rows of turning feeds for iron")

LATHE_CODES = (
    Code(
        "lathe-job-unsettled",
        _STOP,
        "The job does not say what the backplate must become, or asks for a shape that cannot be cut from"
        " it: a spigot larger or shorter than it is, or a seat behind the plate. Nothing can be checked"
        " against it. Let the design settle the relief and the spigot's length first.",
        GEOMETRY,
    ),
    Code(
        "lathe-nothing-cut",
        _STOP,
        "No feed move of the program takes any metal off the plate. Often a sign is wrong: Z runs"
        " negative towards the headstock. Compare the program's zero with the set-up sheet: Z0 is the"
        " spigot's end.",
        GEOMETRY,
    ),
    Code(
        "lathe-rapid-in-metal",
        _STOP,
        "The tool, or the body behind its edges, goes through metal at rapid. That breaks the tool and"
        " can throw the plate. Often X was written as a radius, or a retract is missing. Move clear of the"
        " metal first.",
        GEOMETRY,
    ),
    Code(
        "lathe-rapid-drags",
        _NOTE,
        "The tool slides along a surface at rapid without cutting. It marks the face and dulls the edge."
        " Feed a little way off the surface before the rapid.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-gouge-spigot",
        _STOP,
        "A cut goes below the finished spigot, more than 0.005 mm square to its surface. The screws then"
        " need more reach than was reckoned, and metal cannot be put back. Check X, which is a diameter.",
        GEOMETRY,
    ),
    Code(
        "lathe-gouge-seat",
        _STOP,
        "A cut goes below the finished seat, more than 0.005 mm, or into the plate elsewhere. The plate"
        " gets thinner than the bolts were reckoned for, and a groove or step in the seat lets the chuck"
        " tilt. Check Z against the settled spigot length.",
        GEOMETRY,
    ),
    Code(
        "lathe-gouge-edge",
        _STOP,
        "The spigot's end edge is broken so far that the set screws may no longer stand on the full"
        " spigot. Check the chamfer against the edge break of the job.",
        GEOMETRY,
    ),
    Code(
        "lathe-plate-cut-through",
        _STOP,
        "A cut goes through the plate to its rear. The outer part comes loose while it turns. Check Z of"
        " that line: the plate ends where the set-up sheet says.",
        GEOMETRY,
    ),
    Code(
        "lathe-spigot-large",
        _STOP,
        "Metal is left on the spigot, more than 0.01 mm on the radius. The chuck then has less room to"
        " float than was reckoned. Turn it down to the settled diameter.",
        GEOMETRY,
    ),
    Code(
        "lathe-seat-high",
        _STOP,
        "Metal is left on the seat, more than 0.01 mm. The spigot is then too short for the set screws,"
        " or the seat is not flat. Face it back to the settled spigot length.",
        GEOMETRY,
    ),
    Code(
        "lathe-seat-step",
        _STOP,
        "The seat is faced back, but not out to the plate's rim: a step is left at the outside, on which"
        " the chuck would ride instead of seating. Go on outwards past the rim.",
        GEOMETRY,
    ),
    Code(
        "lathe-corner-full",
        _STOP,
        "In the corner of spigot and seat more metal is left than the fillet of the job's turning tool."
        " The mouth of the chuck's recess can ride up on it, so that the chuck is not square. Go right"
        " into the corner, or finish with a smaller nose.",
        GEOMETRY,
    ),
    Code(
        "lathe-edge-sharp",
        _STOP,
        "The spigot's end edge is not broken, or less than half of what the job says. A sharp edge cuts"
        " hands and scrapes the recess when the chuck is put on, and it is stock that the job wants off. Break it by"
        " the program; a job that wants none says edge_break = 0.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-edge-large",
        _CAUTION,
        "The spigot's end edge is broken at least 0.1 mm more than the job says. It takes away width on"
        " which the set screws stand. Check the chamfer's moves.",
        GEOMETRY,
    ),
    Code(
        "lathe-deep-cut",
        _CAUTION,
        "A pass is deeper than the job allows this lathe, by more than a tenth. Measured as the metal met"
        " square to the feed, over at least 1 mm of the way. Take it in more passes.",
        _JOB,
    ),
    Code(
        "lathe-too-deep-cut",
        _STOP,
        "A pass is more than twice as deep as the job allows this lathe. The work can be pulled out of"
        " its holding, or the tool break. Take it in more passes.",
        _JOB,
    ),
    Code(
        "lathe-body-in-metal",
        _STOP,
        "In a feed move the part of the tool beyond its cutting edges meets metal: the cut is deeper than"
        " the edge is long, or the tool goes where its body does not fit. Nothing there can cut; it rubs"
        " and pushes. Take less at a time. The body is taken to go straight on from the edges.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-past-axis",
        _STOP,
        "The tool is sent past the axis, to a negative X. Nothing in this work lies there; beyond the"
        " axis the metal runs against the edge. Check the sign of X.",
        GEOMETRY,
    ),
    Code(
        "lathe-behind-plate",
        _STOP,
        "The tool goes behind the rear of the plate while it is not clear of the plate's rim. The"
        " headstock, the spindle nose or the fixing of the plate is there. Stay in front of the plate's"
        " rear.",
        GEOMETRY,
    ),
    Code(
        "lathe-tool-unknown",
        _STOP,
        "A cut is made with a tool that the job does not have, or with none named at all: a T word needs"
        " a stop at which the tool is fitted, or a tool change. Its shape is not known, so what it leaves"
        " cannot be told; the rest of this check takes the job's first turning tool.",
        _JOB,
    ),
    Code(
        "lathe-change-spindle-on",
        _STOP,
        "The operator fits a tool at a stop while the spindle turns; a stop by itself does not stop the"
        " spindle. A turning plate catches a sleeve or a key. Put M5 before the stop.",
        Source("NISTIR 6556", "section 3.6.1: a stop leaves the spindle as it is"),
    ),
    Code(
        "lathe-place-unknown",
        _CAUTION,
        "Where this move begins or ends is not known in the work's own coordinates, so it was not held"
        " against the metal. Retract in the work's coordinates, or prove this move by hand.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-other-plane",
        _STOP,
        "An arc is made in another plane than that of X and Z. On this lathe there is no such plane. Give"
        " G18 before the arc.",
        Source("ISO 6983-1 (from memory)", "selection of the plane"),
    ),
    Code(
        "lathe-over-marked-speed",
        _STOP,
        "The spindle turns faster than the speed marked on the chuck. The plate is made for that chuck"
        " and may be turned with it on; above its marked speed a chuck can burst. Lower S or the clamp.",
        Source("the job file's speed limit of the chuck"),
    ),
    Code(
        "lathe-speed-high",
        _CAUTION,
        "The surface speed is more than a tenth above the fastest figure for this iron and tool material."
        " The edge wears fast and the work leaves size. Lower S.",
        _SPEEDS,
    ),
    Code(
        "lathe-speed-far-high",
        _STOP,
        "The surface speed is more than half as much again as the fastest figure for this iron and tool"
        " material. The edge fails in the cut. Lower S.",
        _SPEEDS,
    ),
    Code(
        "lathe-speed-low",
        _CAUTION,
        "The surface speed is below half of the slowest figure for this iron and tool material. It does"
        " no harm to people, but cuts badly and slowly; often S was read in the wrong unit.",
        _SPEEDS,
    ),
    Code(
        "lathe-no-speed-figure",
        _NOTE,
        "The handbook has no turning speeds for the hardness of this plate, so the program's speed was"
        " not judged. Ask the maker of the tool.",
        _SPEEDS,
    ),
    Code(
        "lathe-feed-high",
        _CAUTION,
        "The feed per turn is more than a tenth above the largest figure for turning iron. The surface is"
        " rough and the force high. Lower F.",
        _FEEDS,
    ),
    Code(
        "lathe-feed-far-high",
        _STOP,
        "The feed per turn is more than half as much again as the largest figure for turning iron. Often"
        " a feed per minute was read as a feed per turn. Check G94 and G95.",
        _FEEDS,
    ),
    Code(
        "lathe-feed-far-low",
        _STOP,
        "The feed per turn is below a quarter of the least figure for turning iron. More often F stands in another"
        " unit than was meant: a feed per turn read as one per minute, or inches for millimetres. Check G94 and G95.",
        _FEEDS,
    ),
    Code(
        "lathe-feed-low",
        _CAUTION,
        "The feed per turn is below half of the least figure for turning iron: the edge rubs instead of"
        " cutting. Raise F.",
        _FEEDS,
    ),
    Code(
        "lathe-feed-over-nose",
        _CAUTION,
        "The feed per turn is larger than the tool's nose radius. The turns do not overlap enough: a"
        " thread is left instead of a surface. Lower F, or use a larger nose.",
        COMMON_PRACTICE,
    ),
)
