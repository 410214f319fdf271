"""How each decision is reckoned: its formula in symbols, the figures of a design to put in, and what changes it.

The formulas here are for people. They can be reckoned as they stand (angles in degrees, ^ for powers), and a test
does so: over the shipped jobs they give what the design decided.
"""

from gcodegen.design.reckoned.cutting import CUTTING
from gcodegen.design.reckoned.forces import FORCES
from gcodegen.design.reckoned.geometry import GEOMETRY
from gcodegen.design.reckoned.holding import HOLDING
from gcodegen.design.reckoned.symbol import Reckoned, Symbol

__all__ = ["RECKONED", "Reckoned", "Symbol"]

RECKONED: dict[str, Reckoned] = {**GEOMETRY, **FORCES, **HOLDING, **CUTTING}
"""By the decision's id; ids that end in a tool's number stand here without it."""
