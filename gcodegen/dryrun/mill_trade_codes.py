"""Findings of the mill that belong to the trade: depths, tapping, speeds, feeds, habits."""

from __future__ import annotations

from gcodegen.dryrun.notebook import Code
from gcodegen.verdict import COMMON_PRACTICE, GEOMETRY, Severity, Source

_STOP, _CAUTION, _NOTE = Severity.STOP, Severity.CAUTION, Severity.NOTE
_RANGES = Source("the handbook's rows of cutting speeds and feeds", "limits 10 and 50 percent over: common practice")

MILL_TRADE_CODES = (
    Code(
        "chamfer-absent",
        _STOP,
        "The spot is no wider than the drill that follows, so the drill takes it away: no chamfer is "
        "left, the tap starts on a sharp edge, and a burr stands up on the rim. Spot to the thread's "
        "diameter or a little more.",
        GEOMETRY,
    ),
    Code(
        "chamfer-small",
        _CAUTION,
        "The spot's chamfer is narrower than the thread. The first thread is raised above the chamfer and must be "
        "taken down by hand. Spot a little deeper, or take a larger spot drill.",
        GEOMETRY,
    ),
    Code(
        "chamfer-wide",
        _STOP,
        "The spot goes so deep that its chamfer would be more than 2 mm wider than the thread, or the spot drill's "
        "flank is in the metal. It takes away threads and the iron that covers the screw's head. Spot less deep.",
        COMMON_PRACTICE,
    ),
    Code(
        "drill-shallow",
        _STOP,
        "The drill's full diameter does not break through the recess wall over the whole width of the hole. The tap "
        "then meets a shoulder and jams, and the screw does not come through. The wall is round: at the hole's edges "
        "it lies deeper than on its axis, and the drill's point does not count. Drill deeper, to the figure that the "
        "finding names.",
        GEOMETRY,
    ),
    Code(
        "drill-deep",
        _STOP,
        "The drill goes more than 3 mm on after it is through the recess wall. What stands in the recess, a cover, a "
        "hub or the arbor that holds the chuck, the job does not say; the drill runs into it, grabs and breaks. Stop "
        "at the depth that the finding names.",
        COMMON_PRACTICE,
    ),
    Code(
        "tap-shallow",
        _STOP,
        "The tap's lead is not through the recess wall, so the thread there is not full and the screw jams in it "
        "before its tip reaches the spigot. Tap deeper, and see that the hole is drilled deep enough for it.",
        GEOMETRY,
    ),
    Code(
        "tap-deep",
        _STOP,
        "The tap goes more than four pitches on after its lead is through the recess wall, into what may stand in the "
        "recess. A tap that meets a bottom breaks, and a broken tap can cost the chuck. Stop at the depth that the "
        "finding names.",
        COMMON_PRACTICE,
    ),
    Code(
        "tap-fed-by-machine",
        _STOP,
        "The machine feeds the tap, and the job says that taps go by hand because the machine cannot lock its feed to "
        "the spindle. Feed and thread do not agree and the tap breaks. Stop over each hole and tap by hand with the "
        "follower.",
        Source("the job file's tapping"),
    ),
    Code(
        "tap-not-in-step",
        _STOP,
        "A tap is fed by a plain feed move. Nothing locks the feed to the spindle, least of all where it "
        "turns round at the bottom. Use the tapping cycle.",
        Source("NISTIR 6556", "section 3.5.16.4"),
    ),
    Code(
        "tap-out-of-step",
        _STOP,
        "The feed is not the speed times the pitch, within half a percent. The tap is pushed or pulled off its own "
        "thread and strips it or breaks. Make F the speed times the pitch, with all its decimals; change both when "
        "you change one.",
        Source("NISTIR 6556", "section 3.5.16.4"),
    ),
    Code(
        "tap-drawn-out",
        _STOP,
        "A tap in a floating holder leaves its hole at rapid, or with the spindle not reversed. It is torn out "
        "of its own thread, or turned deeper until it breaks. Reverse the spindle and feed out at the same feed.",
        COMMON_PRACTICE,
    ),
    Code(
        "hand-tap-spindle-on",
        _STOP,
        "The program stops for a hole to be tapped by hand while the spindle turns. A hand at a turning "
        "tap is caught. Put M5 before the stop.",
        Source("NISTIR 6556", "section 3.6.1: a stop leaves the spindle as it is"),
    ),
    Code(
        "speed-high",
        _CAUTION,
        "The tool cuts more than 10 percent faster than the range for this iron and tool material. It goes blunt "
        "early, and the iron's skin is hardest on it. Lower S, and F with it.",
        _RANGES,
    ),
    Code(
        "speed-far-high",
        _STOP,
        "The tool cuts more than half again as fast as the top of the range for this iron and tool material. It "
        "burns, and a tool stuck in the rim can spoil the chuck. Lower S, and F with it.",
        _RANGES,
    ),
    Code(
        "speed-low",
        _CAUTION,
        "The tool cuts at less than half of the low end of the range. That does no harm by itself, but the feed per "
        "turn grows if F stays; as a rule S is not what was meant. Put S right, or lower F with it.",
        _RANGES,
    ),
    Code(
        "feed-high",
        _CAUTION,
        "The tool is fed more than 10 percent faster per turn than the range for its diameter. It cuts hard, and a "
        "small drill bends as it breaks through. Lower F.",
        _RANGES,
    ),
    Code(
        "feed-far-high",
        _STOP,
        "The tool is fed more than half again as fast per turn as the top of the range for its diameter. Small drills "
        "break, and the work may move. Lower F.",
        _RANGES,
    ),
    Code(
        "feed-low",
        _CAUTION,
        "The tool is fed at less than half of the low end of the range. It rubs instead of cutting and goes blunt. "
        "Raise F, or lower S.",
        _RANGES,
    ),
    Code(
        "feed-far-low",
        _STOP,
        "The tool is fed at less than a quarter of the low end of the range: it rubs instead of cutting, and its edge "
        "is gone before the hole is through. More often F stands in another unit than was meant, inches for "
        "millimetres or inverse time for feed per minute. Check F, its unit, and G94.",
        _RANGES,
    ),
    Code(
        "no-peck",
        _CAUTION,
        "The hole is drilled more than four diameters deep at one stroke. Iron dust packs in the flutes. "
        "Retract every diameter or so and clear it.",
        COMMON_PRACTICE,
    ),
    Code(
        "no-dwell",
        _NOTE,
        "The spot drill does not wait at the bottom. A dwell of a turn or two leaves a round chamfer. Let it wait "
        "there a turn or two (G82 with P, or G4 P).",
        COMMON_PRACTICE,
    ),
)
