"""Shop rules of the design that no standard gives: each stands here once, as common practice.

Every rule is used by one decision and can be read in its reason.
"""

from __future__ import annotations

EDGE_TO_REAR_FACE = 0.4
"""Iron between the hole's edge and the rear face, in screw diameters."""
RECESS_GAP = 0.25
"""Least gap between the new spigot and what lies behind it in the recess, mm."""
TIP_COVER = 0.2
"""How far the spigot's flat reaches past the tip when the program chooses, mm."""
SUNK = 0.5
"""How far the screw's head stays under the surface, mm."""
USUAL_RELIEF_MM = 1.0
"""Usual relief off the spigot's diameter, mm; 0.040 in where the job is in inches."""
USUAL_RELIEF_IN = 0.040
FLOAT_SPARE = 0.1
"""Spare float when the program chooses the relief, mm."""
LEAST_PLATE_UNDER_HEAD = 0.75
"""Plate left under a bolt's head, in bolt diameters."""
BOLT_ENGAGEMENT_LEAST = 1.0
"""Thread engagement of bolt and screw in grey iron, in diameters: at least, and as wished for."""
BOLT_ENGAGEMENT_WISHED = 1.5
SPOT_OVER_THREAD = 0.4
"""How much wider than the thread the spotted chamfer is, mm on diameter."""
BREAKTHROUGH = 0.5
"""How far the drill's full diameter goes past the recess wall, mm."""
TAP_PAST_WALL_PITCHES = 1.0
"""Full threads past the recess wall, in pitches."""
PECK_FROM_DIAMETERS = 3.0
"""Holes deeper than this many diameters are pecked, one diameter at a time."""
FINISH_ALLOWANCE = 0.2
"""Left on spigot and seat for the finishing pass, mm square to the surface."""
ROUND_DEPTHS = {"mm": (0.05, 0.02, 0.01), "in": (0.0508, 0.0254, 0.0127)}
"""Depths of a roughing cut go up to a multiple of one of these, mm, the first that serves: marks of hand wheels,
0.05, 0.02 and 0.01 mm, in inches 0.002, 0.001 and 0.0005."""
FACE_STOPS_SHORT = 0.05
"""Facing stops this far short of the old spigot, radially, so that the tool does not rub along it, mm."""
TRUING_SHARE_OF_SEATING = 1 / 3
"""For truing, at most this share of the published seating torque."""
TIP_PRESSURE_SHARE = 0.5
"""Mean pressure under the tip, as a share of the iron's compressive strength."""
THREAD_SAFETY = 2.0
"""Factor against stripping the thread in the rim."""
RIM_BENDING_SAFETY = 4.0
"""Factor of the rim's bending stress below the iron's tensile strength: grey iron gives no warning."""
JAWS_SIDE_GIVES = 0.005
"""How far four screws, evenly tight, may press the body in at the jaws before it is a caution, mm."""
CUT_FACTOR_WISHED = 1.5
"""How much more the clamped seat should hold than the work asks of it."""
BOLT_THREAD_FACTOR = 1.5
"""How much more the iron round a mounting bolt should stand than the bolt's preload."""
CANNOT_MEND = 0.02
"""Change of run-out, full movement, along a bar or from one diameter to another, from which it is a caution, mm."""
