"""An answer in plain lines, in the order in which to read them."""

from __future__ import annotations

from gcodegen.dial.answer import Answer
from gcodegen.dial.chuck import ChuckAsMade
from gcodegen.dial.procedure import after_turning, before_turning, turn_in_words, when_done, while_turning
from gcodegen.dial.remarks import fine

SENSE = "angles run counter-clockwise seen from the rear of the chuck: clockwise as you face the jaws"


def figures(answer: Answer, unit: str) -> list[str]:
    """Return what the readings mean, a line each."""
    at = answer.at
    says = [
        f"run-out as read {fine(answer.run_out, unit)}, wanted {fine(answer.wanted, unit)}",
        f"off centre {fine(at.eccentricity, unit)} (standard error {fine(at.standard_error, unit)}, 95 in 100 within"
        f" {fine(at.sure_within, unit)}), high spot at {at.direction_deg:.1f} deg from screw 1"
        f" (standard error {at.direction_error_deg:.1f} deg)",
        SENSE,
    ]
    if answer.tilt is not None:
        lean = answer.tilt
        says.append(
            f"tilt {lean.um_per_100mm:.1f} um in 100 mm (standard error {lean.standard_error_um:.1f})"
            f" towards {lean.direction_deg:.1f} deg"
        )
    return says


def advice(answer: Answer, chuck: ChuckAsMade, unit: str, *, as_read: bool = False) -> list[str]:
    """Return what to do, a line each; cautions begin with an exclamation mark.

    From readings that do not hold together no turns are told, unless they are to be taken ``as_read``.
    """
    if answer.done:
        return ["Done: the run-out is within the figure wanted.", *(f"! {line}" for line in when_done(chuck, unit))]
    if not answer.turns and 2 * answer.at.eccentricity > answer.wanted:
        return ["No screw to turn: what is wanted lies beyond the float, as said above."]
    if not answer.turns:
        return [
            "No screw to turn: what is left is not eccentricity, or too little of it to be told.",
            "! Clean jaws, part and stylus and read again; then see what is said above.",
        ]
    if answer.doubts and not as_read:
        return [
            "No turns yet: the readings do not hold together.",
            "! Read again what is named above before you turn anything.",
        ]
    turns = [f"{t.order}. {turn_in_words(t, unit)}" for t in answer.turns]
    if any(t.bites > 1 for t in answer.turns):
        turns.append(
            "! Bites go by turns: the first bite of each screw, then the second, so that nothing is ever loose."
        )
    return [
        *(f"! {line}" for line in before_turning(chuck, unit)),
        *turns,
        f"! {while_turning(chuck, unit)}",
        *(f"! {line}" for line in after_turning(chuck, unit)),
    ]


def in_lines(answer: Answer, chuck: ChuckAsMade, unit: str, *, as_read: bool = False) -> list[str]:
    """Return the whole answer, a line each."""
    warnings = (f"! {says}" for says in answer.warnings)
    return [*figures(answer, unit), *warnings, *advice(answer, chuck, unit, as_read=as_read)]
