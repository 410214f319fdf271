"""The codes of the language as tables: modal groups, letters, and what is refused with its reason.

A G code is held as ten times its number (G59.1 is 591), an M code as its number.
"""

from __future__ import annotations

from typing import Final

# NISTIR 6556, Table 4. G33 (motion), G95 (feed mode) and the speed mode group are additions of
# ISO 6983-1, from memory of that publication.
_G_GROUPS: Final = {
    "motion": (0, 10, 20, 30, 330, 340, 350, 382, *range(800, 900, 10)),
    "plane": (170, 180, 190),
    "distance": (900, 910),
    "feed mode": (930, 940, 950),
    "unit": (200, 210),
    "radius": (400, 410, 420),
    "length": (430, 490),
    "return": (980, 990),
    "system": (*range(540, 600, 10), 591, 592, 593),
    "path": (610, 611, 640),
    "once": (40, 100, 280, 300, 530, 920, 921, 922, 923),
    "speed mode": (960, 970),
}
_M_GROUPS: Final = {
    "stop": (0, 1, 2, 30, 60),
    "tool": (6,),
    "spindle": (3, 4, 5),
    "coolant": (7, 8, 9),
    "override": (48, 49),
}
G_GROUP: Final = {code: group for group, codes in _G_GROUPS.items() for code in codes}
M_GROUP: Final = {code: group for group, codes in _M_GROUPS.items() for code in codes}

MOST_M_WORDS: Final = 4  # NISTIR 6556, section 3.3.5

# Codes of the language that this reader does not follow, with the fault and the reason.
REFUSED: Final[dict[int, tuple[str, str]]] = {
    340: ("not-followed", "G34 cuts a thread of growing lead, which is not followed here"),
    350: ("not-followed", "G35 cuts a thread of shrinking lead, which is not followed here"),
    382: ("unknown-place", "G38.2 probes: where it ends is not known before it is run"),
    410: ("not-followed", "G41 offsets the path by the tool's radius, which is not followed here"),
    420: ("not-followed", "G42 offsets the path by the tool's radius, which is not followed here"),
    880: ("unknown-place", "G88 leaves the retract to the operator: where it ends, the text does not tell"),
}
# Read in different ways by different machines and never settled by a standard (ISO 6983-1, from memory).
NOT_STANDARDISED: Final = frozenset(range(700, 800, 10))
# Calls and ends of subprograms where a machine has them; the report has none (common practice, no source).
SUBPROGRAM_G: Final = frozenset({650, 660, 670})
SUBPROGRAM_M: Final = frozenset({96, 97, 98, 99})

WORD_LETTERS: Final = frozenset("ABCDFHIJKLPQRSTXYZ")  # besides G, M and N: NISTIR 6556, Table 3
AXIS_LETTERS: Final = frozenset("XYZABC")
POINTED_LETTERS: Final = frozenset("XYZAIJKRQ")  # where a missing point makes a thousandfold difference

# Who uses a word that is not an axis, F, S or T.
CLAIMS: Final[dict[int | None, frozenset[str]]] = {
    20: frozenset("IJKR"),
    30: frozenset("IJKR"),
    330: frozenset("IK"),
    40: frozenset("P"),
    100: frozenset("LP"),
    430: frozenset("H"),
    810: frozenset("RL"),
    820: frozenset("RLP"),
    830: frozenset("RLQ"),
    840: frozenset("RL"),
    850: frozenset("RL"),
    860: frozenset("RLP"),
    870: frozenset("RLIJK"),
    890: frozenset("RLP"),
}
CLAIMED_LETTERS: Final = frozenset("DHIJKLPQR")
# The usual spellings of the codes that are followed, so that most words need no arithmetic.
PLAIN_G: Final = {
    spelling: code
    for code in G_GROUP
    if code not in REFUSED and code % 10 == 0
    for spelling in (f"{code // 10}", f"{code // 10:02}")
}
CYCLES: Final = frozenset({810, 820, 830, 840, 850, 860, 870, 890})


def g_name(code: int) -> str:
    """Return how a G code is written: 591 is "G59.1"."""
    return f"G{code // 10}.{code % 10}" if code % 10 else f"G{code // 10}"
