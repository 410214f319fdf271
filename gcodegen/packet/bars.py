"""Margins as bars that are read at a glance, in black and white too.

The line in the middle is the limit; the bar goes to the right of it by the margin as a share of the limit
(where the limit is nothing, of one millimetre or one unit), at most to the end; to the left where it is broken.
"""

from __future__ import annotations

from markupsafe import Markup

from gcodegen.packet.svg import num
from gcodegen.verdict import Decision

_WIDTH, _HEIGHT, _LIMIT = 100.0, 12.0, 40.0
_THIN = 0.1
"""A margin below this share of the limit is drawn open: it is there, and it is small."""


def margin_share(d: Decision) -> float | None:
    """Return the margin as a share of its limit, -1 to 1; None where a decision has no margin."""
    if d.margin is None or not isinstance(d.limit, int | float):
        return None
    return max(-1.0, min(1.0, d.margin / (abs(d.limit) or 1.0)))


def margin_bar(d: Decision) -> Markup:
    """Return the bar of a decision as SVG; nothing where it has no margin."""
    share = margin_share(d)
    if share is None:
        return Markup("")
    room = _LIMIT if share < 0 else _WIDTH - _LIMIT
    end = _LIMIT + share * (room - 1.0)
    x, width = min(_LIMIT, end), max(abs(end - _LIMIT), 0.6)
    look = "broken" if share < 0 else "thin-margin" if share < _THIN else "left"
    says = f"{'broken by' if share < 0 else 'margin'} {abs(share):.0%} of the limit"
    return Markup(
        f'<svg viewBox="0 0 {num(_WIDTH)} {num(_HEIGHT)}" preserveAspectRatio="none" role="img"><title>{says}</title>'
        f'<rect class="edge" x="0.5" y="0.5" width="{num(_WIDTH - 1)}" height="{num(_HEIGHT - 1)}"/>'
        f'<rect class="{look}" x="{num(x)}" y="2.5" width="{num(width)}" height="{num(_HEIGHT - 5)}"/>'
        f'<line class="limit" x1="{num(_LIMIT)}" y1="0" x2="{num(_LIMIT)}" y2="{num(_HEIGHT)}"/></svg>'
    )
