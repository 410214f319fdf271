"""The design: every decision the job asks for, each with value, limit, margin, verdict, reason and source.

``design(job)`` chooses what the job leaves open and checks what it gives: where the screws go round the rim
(angles) and along the axis (placing), which screw (search), spigot and float, torque (forces), tools and
cuts (tools, milling, turning). Its answer carries the job with every choice filled in.
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
