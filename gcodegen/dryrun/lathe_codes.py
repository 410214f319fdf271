"""Findings of the lathe's dry run: metal, place and halts here, those of the trade from their own table."""

from __future__ import annotations

from gcodegen.dryrun.lathe_trade_codes import LATHE_TRADE_CODES
from gcodegen.dryrun.notebook import Code
from gcodegen.verdict import COMMON_PRACTICE, GEOMETRY, Severity, Source

_STOP, _CAUTION, _NOTE = Severity.STOP, Severity.CAUTION, Severity.NOTE
_JOB = Source("the job file's figures for the lathe")

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
        "The spigot's end edge is broken so far that the set screws may no longer stand on the full spigot. A screw "
        "on the chamfer slides off and loses the setting. Check the chamfer against the edge break of the job.",
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
        "lathe-undercut-full",
        _STOP,
        "The job wants the corner of spigot and seat undercut, so that no fillet stands in the way of the"
        " chuck's float, and metal is left there. The mouth of the recess can ride up on it, so that the chuck is not"
        " square. Turn the undercut after the finishing pass.",
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
        "The tool is sent past the axis, to a negative X. Nothing in this work lies there; beyond the axis the metal "
        "runs against the edge. The edge is broken off, or the tool runs into what holds the plate. Check the sign of "
        "X.",
        GEOMETRY,
    ),
    Code(
        "lathe-behind-plate",
        _STOP,
        "The tool goes behind the rear of the plate, within its rim or beside it. The headstock, the"
        " spindle nose or the fixing of the plate is there, and nothing of this work. Stay in front of"
        " the plate's rear.",
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
        "lathe-wrong-offset",
        _STOP,
        "A tool moves with the offset of another, or with none. Its point then is not where the program has it, by"
        " the difference of the two tools, which may be many millimetres: it goes into the plate or the headstock"
        " on its first rapid. On the set-up sheet tool and offset have the same number. Write the tool's own, and"
        " take an offset away only where nothing moves after it but a return to the machine's own zero.",
        _JOB,
    ),
    Code(
        "lathe-change-by-word",
        _CAUTION,
        "The program leaves a tool change to M6 alone. A lathe whose tools are fitted by hand may pass over that word,"
        " and the old tool goes on where the new one is meant. Stop for the change: T with M0, and M5 before it. If"
        " your lathe does change at M6, see at a dry pass that it does.",
        Source("ISO 6983-1 (from memory)", "M06, tool change: by hand or by the machine"),
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
        "Where this move begins or ends is not known in the work's own coordinates, so it was not held against the "
        "metal: whether it hits the plate, nobody has checked. Retract in the work's coordinates, or prove this move "
        "by hand.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-other-plane",
        _STOP,
        "An arc is made in another plane than that of X and Z. On this lathe there is no such plane: it stops with an "
        "error, or cuts a curve that nobody asked for. Give G18 before the arc.",
        Source("ISO 6983-1 (from memory)", "selection of the plane"),
    ),
    Code(
        "lathe-plate-thin",
        _STOP,
        "The plate as it was cut is thinner under the heads of the mounting bolts than three quarters of "
        "their diameter. The bolts then pull through iron that is too weak to hold a turning chuck. Leave the "
        "seat where the job says, or take a thicker plate.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-rapid-corner",
        _CAUTION,
        "The straight line of this rapid is clear, but many lathes move their axes at rapid each at its own "
        "rate, so that the tool goes anywhere in the box between the two places, and in this box there is "
        "metal. Move one axis at a time.",
        Source("ISO 6983-1 (from memory)", "positioning at rapid: the movements of the axes need not keep step"),
    ),
    Code(
        "lathe-travel",
        _STOP,
        "The tool is sent past the travel that the job states for the lathe. The slide runs into its stop or "
        "its end, loses its place, or takes the tailstock along. Check the figure; if it is right, the zero "
        "is not.",
        _JOB,
    ),
    Code(
        "lathe-keep-out",
        _STOP,
        "The tool, with the body behind its edges, goes into a zone that the job says is taken: jaws, spindle nose, "
        "fixture, a bolt, the tailstock. What it meets there turns, or does not give way. Go round it, or correct the "
        "zone in the job. The body is taken to be 30 mm wide and 60 mm long.",
        _JOB,
    ),
    Code(
        "lathe-change-close",
        _CAUTION,
        "A tool is fitted or changed closer than 5 mm to the metal. The next tool may stand out further than "
        "this one, and hands need room. Go clear of the plate first.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-stop-spindle-on",
        _CAUTION,
        "The program stops for the operator while the spindle turns; a stop by itself does not stop it. "
        "Whoever reaches in to look or to measure is caught by the plate. Put M5 before the stop, and M3 "
        "after it.",
        Source("NISTIR 6556", "section 3.6.1: a stop leaves the spindle as it is"),
    ),
    Code(
        "lathe-spindle-in-contact",
        _CAUTION,
        "The spindle starts or stops while the tool stands against the metal. A carbide edge chips when the "
        "work stops under it, and a start drags the edge backwards over its own mark. Feed clear of the metal "
        "first.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-dwell-in-cut",
        _CAUTION,
        "The tool stands still against turning metal for more than five turns. It rubs and dulls the edge; "
        "one or two turns are enough to clean a shoulder. Take the dwell out or make it shorter.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-ends-close",
        _CAUTION,
        "The program ends with the tool less than 1 mm from the metal. The plate cannot be taken off or "
        "measured without touching the edge. Retract before the end.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-feed-mode-not-said",
        _STOP,
        "The program feeds before its text has said how F counts. A lathe left in feed per turn by an earlier "
        "program reads F12 as 12 mm a turn, and one left in feed per minute hardly moves at F0.1. State G94 or "
        "G95 at the start.",
        Source("ISO 6983-1 (from memory)", "G94 and G95: feed per minute, feed per revolution"),
    ),
    *LATHE_TRADE_CODES,
)
