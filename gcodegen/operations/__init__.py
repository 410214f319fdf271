"""Operations: what is done to the metal, in order, planned from a design for no machine in particular."""

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
