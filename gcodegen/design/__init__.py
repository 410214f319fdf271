"""The design: every decision the job asks for, each with value, limit, margin, verdict, reason and source.

``design(job)`` (design) chooses what the job leaves open and checks what it gives: where the screws go round the rim
(angles, layout, uneven) and along the axis (placing), which screw (search, preference), spigot and float (geometry,
floating, corner), torque and what the bolts hold (forces, pushing, holding), tools and cuts (tools, milling, turning).
Its answer carries the job with every choice filled in: the settled job (result).

A wall is a closed form of one hole and one obstacle (walls, flat, rising, obstacles). Shop rules stand in one place
(rules), and so does what makes a verdict of a value and its limit (decide). ``reckoned/`` holds the formulas for
people, ``sure/`` what becomes of margins when a measurement is off; what would do where nothing does is tried by the
same design (offers). Read design, then search, then geometry.
"""

from gcodegen.design.design import design
from gcodegen.design.result import (
    Cut,
    Design,
    Float,
    HoleDepths,
    LatheWork,
    Layout,
    MillWork,
    Screw,
    Spigot,
    Torque,
)

__all__ = [
    "Cut",
    "Design",
    "Float",
    "HoleDepths",
    "LatheWork",
    "Layout",
    "MillWork",
    "Screw",
    "Spigot",
    "Torque",
    "design",
]
