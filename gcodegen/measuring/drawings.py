"""Small drawings of what to measure, in plain characters, for a terminal and for the measuring sheet."""

from __future__ import annotations

DRAWINGS: dict[str, str] = {
    "body": r"""
   rear face                 jaws
      |<----- length ----->|
      +--------------------+ - - - -
      |                    |      ^
   ---+                    |      |
   recess                  |   diameter
   ---+                    |      |
      |                    |      v
      +--------------------+ - - - -
""",
    "recess": r"""
      rear face
      |
      +-----------------
       \  <- chamfer      ^
        +----             |
   open |   bottom      recess
   here |   of recess   diameter
        +----             |
       /                  v
      +-----------------
      |<->|
      recess depth
""",
    "cover": r"""
      +-----------------
      |
      |   #| <- plate over the scroll:
   recess #|    its thickness
      |   #|
      |
      +-----------------
""",
    "bolts": r"""
      seen from the rear
         .-----.
       o         \        o  bolts; circle: diameter
      |     + - - o       through their middles
       o         /        first bolt: angle 0; angles
         `-----'          grow counter-clockwise
""",
    "plate": r"""
        seat
         |   spigot
   +-----+
   |     +--+  ^
   |        |  | spigot diameter
   |     +--+  v
   +-----+
   |<--->| thickness
         |<-->| spigot length
   under head: from where a bolt's head sits
   to the seat
""",
    "features": r"""
   body from the side, rear face left
      +-------------------------
      |==== axial hole
      |        ( ) radial hole
      |   [///////] ring: hollow all round
      |     [__] box   |__| slot
""",
    "axial hole": r"""
      |from
      |   |<-- hole -->|
      |   +------------+
      |   +------------+  diameter
      |<------ to ---->|
      rear face
      circle: through the middles of the holes
""",
    "radial hole": r"""
      |        |  |  diameter
   rim|________|  |______
      |        |  |
      |<- depth ->|  of its axis
      |        |  |
      |        +--+  inner radius: from the
      rear           chuck's axis to this end
""",
    "slot": r"""
      |   from      to
      |    |         |
   rim|____|         |____
      |    |  width  |    across, seen from outside
      |    +---------+  inner radius
      rear face
""",
    "box": r"""
   rim|____________________
      |   from      to
      |    +---------+  outer radius: from the
      |    |  width  |    chuck's axis to this end
      |    +---------+  inner radius
      |    width: across, seen from outside
      rear face: closed all round
""",
    "ring": r"""
      |   from      to
      |    +---------+  outer diameter
      |    |  hollow |
      |    +---------+  inner diameter
      |  all the way round the axis
      rear face
""",
    "run-out": r"""
        jaws   (o) indicator
      ]=====   |
      ]-----------------
      ]    true bar        turn the chuck once by hand:
      ]-----------------   highest less lowest
      ]=====
""",
    "mill": r"""
      seen from the front of the mill
            | tool
            v
       +---------+
    -X | chuck   | +X     the chuck's axis lies along X
       +---------+        its rear face looks to -X or +X
""",
}


def drawing(name: str) -> str:
    """Return a drawing without its leading blank line; empty for no name."""
    return DRAWINGS[name].strip("\n") if name else ""
