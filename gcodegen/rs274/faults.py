"""Every fault the reader can find: what it means, where the rule stands, what to do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from gcodegen.verdict import Severity

_NIST = "NISTIR 6556"
_ISO = "from memory of ISO 6983-1"
_CAUTION = Severity.CAUTION


@dataclass(frozen=True, slots=True)
class FaultKind:
    """One kind of fault: ``long`` explains it, ``do`` is its cure, ``source`` the rule's place."""

    long: str
    do: str
    source: str
    severity: Severity = Severity.STOP


FAULTS: Final[dict[str, FaultKind]] = {
    "ambiguous-word": FaultKind(
        "One word of the line could belong to two codes. A machine may give it to either of them. The "
        "reader does not choose, because the wrong choice moves the tool or waits where nobody expects "
        "it.",
        "Put the two codes on lines of their own.",
        f"{_NIST}, sections 3.5.4 and 3.5.16",
    ),
    "arc-by-radius": FaultKind(
        "An arc given by its radius over nearly half a turn or nearly a full turn is ill-conditioned. The "
        "last digit of the end point then moves the centre by far more than a digit.",
        "Give the arc by its centre (I, J, K), or cut it in two.",
        f"{_NIST}, section 3.5.3.1",
        _CAUTION,
    ),
    "arc-mismatch": FaultKind(
        "No circle fits what the line says. Start and end lie at different distances from the centre, or "
        "the radius is too small to span them, or an arc by R ends where it begins. A machine stops here, "
        "or cuts a spiral.",
        "Work out the centre offsets or the radius again from the start and the end of the arc.",
        f"{_NIST}, section 3.5.3",
    ),
    "arc-nearly-closed": FaultKind(
        "An arc by its centre ends so near its start that rounding decides between a full turn and almost "
        "none. It is read as written; a machine that rounds otherwise cuts a whole circle more or less.",
        "Let a full turn end exactly where it begins, and leave out an arc of no length.",
        f"{_NIST}, section 3.5.3.2; common practice, no source",
        _CAUTION,
    ),
    "bad-character": FaultKind(
        "A character stands outside comments that is no part of a word. Nothing that the language does "
        "not allow may be skipped: what one machine passes over, another takes for a command. A slash may "
        "only begin a line.",
        "Take the character out, or put the text in ( ).",
        f"{_NIST}, section 3.3",
    ),
    "bad-comment": FaultKind(
        "A comment runs from ( to the first ) on the same line. One that is not closed, or holds a second "
        "(, would let words vanish or comment text become words.",
        "Close each comment on its line and write no ( inside it.",
        f"{_NIST}, section 3.3.4",
    ),
    "bad-formula": FaultKind(
        "An expression, a function or a parameter is not written as the language asks, or it has no value: a "
        "division by zero, the root of a negative number, a result too large. MOD of a negative number is "
        "refused as well, because the report does not give its sign. A sign belongs to a number only: -[2] "
        "and -#1 are no values.",
        "Write [0-#1] for a sign before a value; close each [; work the numbers out by hand to see which fails.",
        f"{_NIST}, sections 3.3.2.2 to 3.3.2.4 and appendix E.2",
    ),
    "bad-number": FaultKind(
        "A word's number cannot be read or has no meaning there: no digit, two points, a fraction where a "
        "whole number must stand, a negative speed or dwell. There are no exponents in this language.",
        "Write sign, digits and at most one point, in the range the word allows.",
        f"{_NIST}, sections 3.3.2.1, 3.5 and 3.7",
    ),
    "comment-character": FaultKind(
        "A comment holds a character outside the plain printable ones. The comment is passed over here, "
        "but some machines show it wrongly or refuse the line.",
        "Write comments in plain letters, digits and signs.",
        "common practice, no source",
        _CAUTION,
    ),
    "computed-number": FaultKind(
        "The program works its numbers out from parameters and expressions. They are read here as the "
        "report has it. Many machines lack them, and those that have them differ in ranks of operators, in "
        "rounding and in what a parameter holds before it is set.",
        "See how the machine reckons, or write the numbers themselves.",
        f"{_NIST}, sections 3.3.2 and 3.3.3; common practice, no source",
        Severity.NOTE,
    ),
    "cycle-depth": FaultKind(
        "The bottom of a canned cycle lies above its R level. The machine would feed upwards or refuse the line.",
        "Put R above the work and the bottom below it.",
        f"{_NIST}, section 3.5.16",
    ),
    "cycle-mode": FaultKind(
        "A canned cycle or a thread is called in a mode that it cannot run in: inverse time feed, a plane "
        "whose normal the machine has not, or a turn of the rotary axis on the same line.",
        "Turn the rotary axis on a line before; use G94 or G95; on a lathe bore under G17.",
        f"{_NIST}, section 3.5.16",
    ),
    "ended-by-percent": FaultKind(
        "The program ends at its second percent line, without M2 or M30. That is allowed, but modes are "
        "not set back and a turning spindle is not stopped.",
        "End with M30 before the percent line.",
        f"{_NIST}, section 3.1",
        _CAUTION,
    ),
    "extra-word": FaultKind(
        "A word stands on the line and no code there uses it. It may be a slip for another letter, or "
        "belong to a code that was lost. The report makes it an error and so does this reader.",
        "Take the word out or write the code that uses it.",
        f"{_NIST}, sections 3.5.3 and 3.5.16 and appendix A",
    ),
    "line-too-long": FaultKind(
        "The line has more characters than a machine need take. What is cut off at its end would be lost "
        "without a word.",
        "Cut the line in two, or shorten its comment.",
        f"{_NIST}, section 3.3",
    ),
    "machine-coordinates": FaultKind(
        "G53 moves in machine coordinates. Where the text does not tell the origin of the program's zero, it "
        "is taken as a rapid retract only: G0, under G90, with Z alone on a mill and with X or Z on a lathe.",
        "Write the move in program coordinates, or retract with G53 G0 Z0 alone.",
        f"{_NIST}, section 3.5.12",
    ),
    "machine-place": FaultKind(
        "G53 goes to a number other than zero in machine coordinates. Where that is in relation to the "
        "work, the text does not tell, so it cannot be checked.",
        "See at the machine that this place is clear of the work.",
        f"{_NIST}, section 3.5.12",
        _CAUTION,
    ),
    "misplaced-number": FaultKind(
        "A line number may stand only at the beginning of its line, after the slash if there is one.",
        "Put the N word first.",
        f"{_NIST}, section 3.3.1",
    ),
    "missing-axis": FaultKind(
        "A code that needs an axis word has none, or not one of those it needs. An arc needs one axis of "
        "its plane, also for a full circle; a motion code alone on a line is an error.",
        "Name the axis, also when it does not move.",
        f"{_NIST}, sections 3.5.1 to 3.5.3, 3.5.16 and 3.5.18",
    ),
    "missing-feed": FaultKind(
        "A cut begins with no feed, or a feed of zero. F must be given anew after a change between G93, "
        "G94 and G95 and after a change of length unit, because its number then counts something else.",
        "Give F before or on this line.",
        f"{_NIST}, sections 2.1.2.10 and 3.5.19; feed of zero from memory of its list of messages",
    ),
    "missing-speed": FaultKind(
        "A thread or a tapping cycle needs a constant spindle speed that the program has given, and feed "
        "per turn needs one that was given at all. Without it feed and turns do not keep step, or nobody "
        "can tell how fast the tool goes.",
        "Give G97 and S before this line.",
        f"{_NIST}, section 3.5.16.5; {_ISO}",
    ),
    "missing-word": FaultKind(
        "A code needs a word that is not there: P of a dwell, H of G43, R, Q and the bottom of a cycle, "
        "the lead of a thread, the centre of an arc, S where its meaning changes, T before M6.",
        "Give the word on this line.",
        f"{_NIST}, section 3.5; {_ISO}",
    ),
    "modal-conflict": FaultKind(
        "Two codes of one modal group stand on one line, or two codes that both take the axis words. Only "
        "one of them can act and the machine would have to choose.",
        "Keep the one that is meant, or use two lines.",
        f"{_NIST}, sections 3.3.5 and 3.4",
    ),
    "needs-clamp": FaultKind(
        "Constant surface speed raises the spindle's speed as the tool nears the axis. Without a limit in "
        "the program it rises to the machine's highest, which can throw a chuck apart. Which word sets "
        "the limit, no standard says.",
        "Limit the spindle before G96, with the words the machine takes, or use G97.",
        _ISO,
    ),
    "no-decimal-point": FaultKind(
        "A length or an angle other than zero is written without a decimal point. The language reads X10 "
        "as ten; some machines read it as ten thousandths. It is read as ten here.",
        "Write the point: X10. is ten everywhere.",
        f"{_NIST}, section 3.3.2.1; common practice, no source",
        _CAUTION,
    ),
    "no-end": FaultKind(
        "A program must end with M2 or M30, or stand between two percent lines. Without its end the text "
        "may have been cut off, and what is missing may be the retract.",
        "Find the whole text, or end it with M30 (and with the second percent line, where there is a first).",
        f"{_NIST}, section 3.1",
    ),
    "no-motion-mode": FaultKind(
        "Axes are given and no motion code is in force: none was given yet, or G80 ended it. The report "
        "makes it an error.",
        "Write G0 or G1 on this line.",
        f"{_NIST}, section 3.5.15",
    ),
    "no-such-axis": FaultKind(
        "The word names an axis that this machine has not, or a plane that lies in such an axis. A lathe "
        "here has X and Z, a mill X, Y, Z and the rotary axis A.",
        "Take the word out, or read the program for the machine it was written for.",
        f"{_NIST}, section 3.3",
    ),
    "not-followed": FaultKind(
        "The code belongs to the language, but this reader does not follow it. What it would do is not "
        "known here, so the program cannot be judged beyond it.",
        "Write the movement without this code.",
        f"{_NIST}, section 3.5; {_ISO}",
    ),
    "not-standardised": FaultKind(
        "The code means different things on different machines and no standard settles it: G70 to G79, "
        "G50, G98 and G99 outside cycles on a lathe, increments of a diameter. Reading it one way would "
        "be a guess.",
        "Write the movement in plain G0, G1, G2, G3 or G33 words.",
        _ISO,
    ),
    "parameter": FaultKind(
        "The line reads a parameter whose value the text does not tell, or a number that is none of 1 to "
        "5399, or it sets one that only the machine keeps. Parameters outlive a program: an old value is "
        "as dangerous as a wrong word, so none is taken as zero.",
        "Set the parameter in the program before it is used, or write the number itself.",
        f"{_NIST}, sections 3.2.1, 3.3.2.2 and 3.3.3",
    ),
    "position-unknown": FaultKind(
        "A cut, or an increment, begins where the text does not tell: after a move in machine "
        "coordinates, a new tool length offset or another coordinate system, until the axis is given in "
        "an absolute move.",
        "Give the axis in a G0 move under G90 first.",
        f"{_NIST}, sections 3.5.11 to 3.5.13",
    ),
    "repeated-word": FaultKind(
        "A letter other than G and M stands twice on one line. Which of the two numbers is meant, nobody can tell.",
        "Keep one of them.",
        f"{_NIST}, section 3.3.5",
    ),
    "return-not-stated": FaultKind(
        "A canned cycle begins from above its R level and neither G98 nor G99 was given. Where the tool "
        "goes after the hole then depends on what ran before; at the end of a program it is not set back. "
        "G98 is assumed in reading on.",
        "Write G98 or G99 before the first cycle.",
        f"{_NIST}, sections 3.5.20 and 3.6.1",
    ),
    "spindle-stopped": FaultKind(
        "The code needs a turning spindle, or one that turns clockwise, and it does not turn so.",
        "Start the spindle before this line.",
        f"{_NIST}, sections 3.5.16.5 and 3.5.16.7; {_ISO}",
    ),
    "sticky-increment": FaultKind(
        "Under G91 and G99 a cycle's R is an increment from where the last hole ended. A kept R is added "
        "again, so that each hole begins and ends lower than the one before.",
        "Give R and Z anew, or drill under G90.",
        f"{_NIST}, section 3.5.16",
        _CAUTION,
    ),
    "subprogram": FaultKind(
        "The line belongs to a loop, a branch or a subprogram, or names a program. The published language has "
        "none of these: every machine that has them spells them in its own way. What would run next is not "
        "told, so nothing can be followed beyond it.",
        "Write the movements out line by line.",
        f"{_NIST}, Tables 3, 5 and 7; common practice, no source",
    ),
    "text-after-end": FaultKind(
        "Text follows the end of the program. A machine does not run it, and a reader of the text may think it does.",
        "Take it out, or move the end behind it.",
        f"{_NIST}, sections 3.1 and 3.6.1",
        _CAUTION,
    ),
    "too-many-lines": FaultKind(
        "The text has more lines than this reader takes. None of it was read.",
        "Cut the program into parts, each with its own start and end.",
        "a limit of this reader",
    ),
    "too-many-m-words": FaultKind(
        "More than four M words stand on one line. Machines differ in which of them they carry out.",
        "Spread them over two lines.",
        f"{_NIST}, section 3.3.5",
    ),
    "too-many-steps": FaultKind(
        "The line, or the whole program, stands for more strokes than this reader follows. Most often a "
        "peck or a repeat count is a slip of the decimal point.",
        "Look at L and Q, or cut the program into parts.",
        "a limit of this reader",
    ),
    "tool-digits": FaultKind(
        "A lathe's tool word has three digits or more. Here it is a plain tool number; on some lathes the "
        "last digits are the number of an offset.",
        "Write the plain tool number, and see how the machine reads it.",
        _ISO,
        _CAUTION,
    ),
    "unit-change": FaultKind(
        "The length unit changes in the middle of the program. Places stay where they are, but the digits "
        "of feeds and of stored lengths stay as well and then mean something else, so F and G43 must be "
        "given anew.",
        "State one unit, at the start of the program.",
        f"{_NIST}, sections 2.1.2.10 and 4.3.3",
        _CAUTION,
    ),
    "unit-not-stated": FaultKind(
        "The tool moves before G20 or G21 has stated the unit. The end of a program does not set the unit "
        "back, so a machine may still stand in the other one: every place would be wrong 25.4 times. "
        "Millimetres are assumed in reading on.",
        "Write G21 (millimetres) or G20 (inches) before the first motion.",
        f"{_NIST}, sections 3.4 and 3.6.1",
    ),
    "unknown-code": FaultKind(
        "The G or M number is no code of the language. What a machine makes of it is not known.",
        "Look for a slip of the pen, or write the movement in codes of the language.",
        f"{_NIST}, Tables 4, 5 and 7",
    ),
    "unknown-place": FaultKind(
        "The code leads to a place that the text does not tell: a reference point of the machine, the end "
        "of a probing move, a retract by hand, a stored shift. All that follows would start from a guess.",
        "Write the place in program coordinates.",
        f"{_NIST}, sections 3.5.8, 3.5.9, 3.5.16 and 3.5.18",
    ),
    "unknown-word": FaultKind(
        "The letter is no word of the language.",
        "Look for a slip of the pen.",
        f"{_NIST}, Table 3",
    ),
}
