"""What the dial-in page needs to know of this chuck, and what is said before and after the turns."""

from __future__ import annotations

import json
from dataclasses import dataclass

from markupsafe import Markup

from gcodegen.design.result import Design
from gcodegen.dial import WANTED_MM, chuck_as_made
from gcodegen.dial.answer import GUARD
from gcodegen.dial.fit import SURE
from gcodegen.dial.procedure import ARM_MM, after_turning, before_turning, when_done, while_turning
from gcodegen.dial.reading_keys import STEPS_OF_INDICATORS_MM
from gcodegen.dial.readings import STEPS_IN, STEPS_MM
from gcodegen.dial.remarks import SURE_ERRORS
from gcodegen.dial.student import t_within
from gcodegen.dial.turns import LARGEST_BITE_MM, LEAST_MOVE_MM
from gcodegen.job.rules.wishes import LARGEST_RUN_OUT
from gcodegen.units import MM_PER_INCH, in_unit

PLACES = (8, 12)
HARMONICS = 3
ROUNDS_ON_PAPER = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Dialling:
    """The dial-in page in finished strings; ``data`` is a JSON text for its script."""

    unit: str
    wanted: str
    step: str
    places: tuple[int, ...]
    rounds: tuple[int, ...]
    before: tuple[str, ...]
    on_the_way: str
    after: tuple[str, ...]
    done: tuple[str, ...]
    data: Markup


def dialling(design: Design) -> Dialling:
    """Return the dial-in page of a design; its screws at their true angles."""
    chuck, unit = chuck_as_made(design), design.job.unit
    per_unit = 1.0 if unit == "mm" else MM_PER_INCH
    data = {
        "unit": unit,
        "perUnit": per_unit,
        "steps": [step * per_unit for step in (STEPS_MM if unit == "mm" else STEPS_IN)],
        "room": chuck.float_available,
        "stoppedBy": chuck.stopped_by,
        "screws": list(chuck.from_screw_1),
        "pitch": design.screw.thread.pitch_mm,
        "arm": ARM_MM,
        "leastMove": LEAST_MOVE_MM,
        "largestBite": LARGEST_BITE_MM,
        "largestRunOut": LARGEST_RUN_OUT,
        "stepsRead": STEPS_OF_INDICATORS_MM,
        "guard": GUARD,
        "sureErrors": SURE_ERRORS,
        "t": {str(n): t_within(SURE, n - 1 - 2 * HARMONICS) for n in PLACES},
    }
    text = json.dumps(data, separators=(",", ":"), allow_nan=False)
    return Dialling(
        unit=unit,
        wanted=f"{in_unit(WANTED_MM, unit):.{3 if unit == 'mm' else 4}f}",
        step=f"{(STEPS_MM if unit == 'mm' else STEPS_IN)[0]:g}",
        places=PLACES,
        rounds=tuple(range(1, ROUNDS_ON_PAPER + 1)),
        before=before_turning(chuck, unit),
        on_the_way=while_turning(chuck, unit),
        after=after_turning(chuck, unit),
        done=when_done(chuck, unit),
        data=Markup(text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")),
    )
