"""Operations: what is done to the metal, in order, planned from a design for no machine in particular.

A design goes in, a plan comes out: spots, drillings and tappings by tool or by hole (mill), passes and their moves
(lathe), each a small frozen record in millimetres (steps). No word of a program stands here; the post writes them.
"""

from gcodegen.operations.lathe import plan_lathe
from gcodegen.operations.mill import one_hole, plan_mill
from gcodegen.operations.steps import (
    Drill,
    LatheMove,
    LathePass,
    LathePlan,
    LathePoint,
    MillOperation,
    MillPlan,
    Place,
    Spot,
    Tap,
)

__all__ = [
    "Drill",
    "LatheMove",
    "LathePass",
    "LathePlan",
    "LathePoint",
    "MillOperation",
    "MillPlan",
    "Place",
    "Spot",
    "Tap",
    "one_hole",
    "plan_lathe",
    "plan_mill",
]
