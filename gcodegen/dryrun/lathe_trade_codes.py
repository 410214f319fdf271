"""Findings of the lathe's dry run about the trade: speed, feed, depth, power, chip, finish."""

from __future__ import annotations

from gcodegen.dryrun.notebook import Code
from gcodegen.handbook import INTERRUPTED_CUT_FACTOR
from gcodegen.handbook.cutforce import KIENZLE_ROWS
from gcodegen.verdict import COMMON_PRACTICE, Severity, Source

_STOP, _CAUTION, _NOTE = Severity.STOP, Severity.CAUTION, Severity.NOTE
_JOB = Source("the job file's figures for the lathe")
_SPEEDS = Source("the handbook's rows of turning speeds for the plate's iron", "HSS from memory, carbide after it")
_FEEDS = Source("the handbook's rows of turning feeds for iron")
_FORCE = KIENZLE_ROWS[0].source
_FINISH = Source("Ra = f^2 / (32 r), from the cusp height f^2 / (8 r); the limits are common practice, no source")
_STRIKES = INTERRUPTED_CUT_FACTOR.source

LATHE_TRADE_CODES = (
    Code(
        "lathe-deep-cut",
        _CAUTION,
        "A pass is deeper than the job allows this lathe, by more than a tenth. It chatters, and a light lathe or a "
        "weak holding gives way. Measured as the metal met square to the feed, over at least half a millimetre of the "
        "way. Take it in more passes.",
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
        "The surface speed is below half of the slowest figure for this iron and tool material. It does no harm to "
        "people, but cuts badly and slowly; often S was read in the wrong unit. Check S, G96 and G97.",
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
        "The feed per turn is more than half as much again as the largest figure for turning iron. The edge breaks, "
        "or the spindle stalls with the edge in the metal. Often a feed per minute was read as a feed per turn. Check "
        "G94 and G95.",
        _FEEDS,
    ),
    Code(
        "lathe-feed-far-low",
        _STOP,
        "The feed per turn is below a quarter of the least figure for turning iron. The edge rubs until it is blunt. "
        "More often F stands in another unit than was meant: a feed per turn read as one per minute, or inches for "
        "millimetres. Check G94 and G95.",
        _FEEDS,
    ),
    Code(
        "lathe-feed-low",
        _CAUTION,
        "The feed per turn is below half of the least figure for turning iron: the edge rubs instead of cutting, goes "
        "blunt and leaves the face torn. Raise F.",
        _FEEDS,
    ),
    Code(
        "lathe-feed-over-nose",
        _STOP,
        "The feed per turn is more than 0.8 of the tool's nose radius. The turns do not overlap: a thread is left"
        " instead of a surface, and the whole chip hangs on the tip of the nose, which chips. Lower F, or use a"
        " larger nose.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-over-holding-speed",
        _STOP,
        "The spindle turns faster than the speed marked on what holds the plate (holding_limit_rpm of the "
        "job). A face plate or a chuck with its jaws out lets go above it. Lower S or the clamp.",
        Source("the job file's speed limit of what holds the plate"),
    ),
    Code(
        "lathe-no-marked-speed",
        _NOTE,
        "The job states no marked speed, neither of the chuck nor of what holds the plate, so the program's "
        "speed was held against the lathe alone. Look for the mark before the spindle is started.",
        _JOB,
    ),
    Code(
        "lathe-power-high",
        _CAUTION,
        "The cut asks for more than a tenth more power than the lathe has, by the handbook's cutting force "
        "for the depth and feed that were measured in the metal, and three quarters of the power reaching the "
        "spindle. The belt slips or the spindle slows in the cut. Take less.",
        _FORCE,
    ),
    Code(
        "lathe-power-far-high",
        _STOP,
        "The cut asks for more than half as much power again as the lathe has, by the handbook's cutting "
        "force for the depth and feed that were measured in the metal. The spindle stalls with the edge in "
        "the metal. Take less depth, feed or speed.",
        _FORCE,
    ),
    Code(
        "lathe-edge-drags",
        _CAUTION,
        "A cut deeper than 0.3 mm is taken by an edge that lies within 15 degrees of the feed, as when the "
        "end edge cuts on the way back. The chip is many times as wide as the cut is deep, the force pushes "
        "the tool off, and it chatters. Cut the other way.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-chip-thin",
        _NOTE,
        "The chip, spread over the edge in engagement, is thinner than 5 micrometres on the mean. An edge is "
        "not sharper than that; it rubs in part. A finishing pass along a face with an edge nearly parallel "
        "to it does this. Feed more, or use a tool whose edge stands more square to the feed.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-interrupted-fast",
        _CAUTION,
        "The cut crosses the bolt holes faster than three quarters of the highest figure for this iron and "
        "tool material. Each hole strikes the edge, and it chips. Lower S.",
        _STRIKES,
    ),
    Code(
        "lathe-interrupted-feed",
        _CAUTION,
        "The cut crosses the bolt holes with a feed of more than half the nose radius. The whole chip strikes "
        "the nose at once at every hole. Lower F, or use a larger nose.",
        COMMON_PRACTICE,
    ),
    Code(
        "lathe-rough-finish",
        _CAUTION,
        "The last cut on spigot or seat leaves a finish rougher than Ra 3.2 micrometres, from feed and nose "
        "radius alone: Ra = f^2 / (32 r). The chuck rides on the crests of the seat, and they wear down. "
        "Finish with less feed.",
        _FINISH,
    ),
    Code(
        "lathe-far-too-rough",
        _STOP,
        "The last cut on spigot or seat leaves a finish rougher than Ra 6.3 micrometres, from feed and nose radius "
        "alone: Ra = f^2 / (32 r). That is a fine thread, not a face. The crests of the seat give way under the "
        "bolts and those of the spigot under the screws, so the bolts lose their hold and the setting is lost while "
        "the chuck turns. As a rule the finishing feed was changed, or its F is missing and the roughing feed goes "
        "on. Finish with less feed; what stands too rough is cured by one more fine pass only while there is stock.",
        _FINISH,
    ),
)
